package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

type sizeFlags struct {
	over   over
	to     volume
	count  count
	field  string
	out    string
	engine string
	store  string
	by     string
	hurdle percent
	years  float64
	json   bool
}

func newSize(s streams) *cobra.Command {
	f := sizeFlags{}
	cmd := &cobra.Command{
		Use:     "size SCENARIO",
		GroupID: "answer",
		Short:   "Find the size of the store, or of store and field",
		Long: `Find the size of the store that earns most, or saves most where no money is given, or draw the
map of what every number of collectors brings with every volume of store.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
Over the store alone, the sizes are read off the certified curve. Over store and field, at
least 25 volumes by 25 numbers of collectors are solved, each proven; where there are few
collectors, parts of one stand for its area.
Where the scenario has the costs (store.cost, the fields' cost, money.life), money chooses:
  --by npv      the most net present value; this is the default
  --by payback  the shortest payback
  --by irr      with --hurdle: the size up to which each further m³ earns so much a year
  --by largest  with --years: the largest tank that pays back in so many years
and the volumes that are as good are said: within 1 %, or as far as the curve is certain. Of the
sizes that can be had (store.cost.sizes) one is taken. Without costs, what is saved in a year is
all that is said.
Where the heat does not suffice without the store, the smallest store with which none is
missing is found too: an accumulator that carries a peak above the boilers.
With --out, size.svg, size.png, size.csv and size.json are written there.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep size dyehouse
  $ noonkeep size dyehouse --by largest --years 6
  $ noonkeep size dyehouse --over store,field --to "60 m3" --count 40 --out pictures`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(); err != nil {
				return err
			}
			if f.over.field {
				return runSizeMap(cmd.Context(), s, args[0], f)
			}
			return runSizeStore(cmd.Context(), s, args[0], f)
		},
	}
	flags := cmd.Flags()
	flags.Var(&f.over, "over", "what to size: store, or store,field")
	flags.Var(&f.to, "to", "largest volume (default: the scenario's store.steps)")
	flags.Var(&f.count, "count", "largest number of collectors (default: twice the scenario's)")
	flags.StringVar(&f.field, "field", "", "`name` of the field to size, where there are several")
	flags.StringVar(&f.out, "out", "", "write pictures, table and JSON into this `folder`")
	flags.StringVar(&f.engine, "engine", "", "solve with this `engine`: "+engines+" (default: the fitting one)")
	flags.StringVar(&f.store, "store", "", storeFlag)
	flags.StringVar(&f.by, "by", "", "choose by `way`: npv, payback, irr or largest (default: npv where there is money)")
	flags.Var(&f.hurdle, "hurdle", "with --by irr: what each further m³ has to earn, in % a year")
	flags.Float64Var(&f.years, "years", 0, "with --by largest: years within which the tank has to pay back")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

// check refuses flags that would do nothing.
func (f sizeFlags) check() error {
	if err := f.checkBy(); err != nil || f.over.field {
		return err
	}
	switch {
	case f.count != 0:
		return errors.New("size: --count is of the field; add --over store,field")
	case f.field != "":
		return errors.New("size: --field names the field to size; add --over store,field")
	}
	return nil
}

// checkBy refuses a way that is not known, or that lacks its figure.
func (f sizeFlags) checkBy() error {
	switch {
	case f.by != "" && !slices.Contains(answer.SizeWays, f.by):
		return fmt.Errorf("size: --by is %q; want npv, payback, irr or largest", f.by)
	case f.over.field && f.by != "" && f.by != "npv":
		return fmt.Errorf("size: --by %s is of the store alone; the map goes by npv", f.by)
	case f.by == "irr" && f.hurdle <= 0:
		return errors.New("size: --by irr asks for what each further m³ has to earn; add for example --hurdle 12")
	case f.by != "irr" && f.hurdle != 0:
		return errors.New("size: --hurdle is of --by irr; add that")
	case f.by == "largest" && !(f.years > 0):
		return errors.New("size: --by largest asks for the years to pay back in; add for example --years 6")
	case f.by != "largest" && f.years != 0:
		return errors.New("size: --years is of --by largest; add that")
	}
	return nil
}

func runSizeMap(ctx context.Context, s streams, name string, f sizeFlags) error {
	c, err := loadVarying(s, name, f.store)
	if err != nil {
		return err
	}
	show, done := cellProgress(s.err)
	m, err := answer.SizeOver(ctx, c, answer.SizeOptions{
		Field: f.field, ToCount: float64(f.count), ToM3: f.to.m3(), Engine: f.engine, Progress: show,
	})
	done()
	if err != nil {
		return err
	}
	warn(s.err, c)
	return deliver(ctx, s, f.out, f.json, m,
		func() ([]string, error) { return report.SizeMapFiles(f.out, m) },
		func(w io.Writer) error { return report.SizeMapText(w, m) })
}

func runSizeStore(ctx context.Context, s streams, name string, f sizeFlags) error {
	c, err := loadVarying(s, name, f.store)
	if err != nil {
		return err
	}
	show, done := progress(s.err)
	a, err := answer.SizeOverStore(ctx, c, answer.Options{ToM3: f.to.m3(), Engine: f.engine, Progress: show,
		By: answer.SizeBy{By: f.by, HurdleFrac: float64(f.hurdle), Years: f.years}})
	done()
	if err != nil {
		return err
	}
	warn(s.err, c)
	return deliver(ctx, s, f.out, f.json, a,
		func() ([]string, error) { return report.SizeStoreFiles(f.out, a) },
		func(w io.Writer) error { return report.SizeStoreText(w, a) })
}

// over is a flag of what is to be sized.
type over struct{ field bool }

func (o *over) String() string {
	if o.field {
		return "store,field"
	}
	return "store"
}
func (o *over) Type() string { return "sizes" }

func (o *over) Set(text string) error {
	seen := map[string]bool{}
	for word := range strings.SplitSeq(text, ",") {
		word = strings.TrimSpace(word)
		if word != "store" && word != "field" || seen[word] {
			return fmt.Errorf("is %q; want store or store,field", text)
		}
		seen[word] = true
	}
	if !seen["store"] {
		return fmt.Errorf("is %q, without the store; want store or store,field", text)
	}
	o.field = seen["field"]
	return nil
}

// count is a flag of a number of collectors.
type count float64

func (c *count) String() string {
	if *c == 0 {
		return ""
	}
	return strconv.FormatFloat(float64(*c), 'g', -1, 64)
}
func (c *count) Type() string { return "number" }

func (c *count) Set(text string) error {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v > 0 && v <= math.MaxInt32) {
		return fmt.Errorf("is %q; want a number above 0", text)
	}
	*c = count(v)
	return nil
}
