package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

type compareFlags struct {
	to     volume
	shift  []string
	try    []string
	out    string
	engine string
	json   bool
}

func newCompare(s streams) *cobra.Command {
	f := compareFlags{}
	cmd := &cobra.Command{
		Use:     "compare SCENARIO...",
		GroupID: "answer",
		Short:   "Set variants or scenarios side by side",
		Long: `Set a scenario and its variants side by side, or several scenarios: what a year costs, what it
burns, what the sun does, and which tank pays; what changes is said in plain sentences.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
One SCENARIO is compared with its own variants (section variants), or, with --shift and --try,
with itself at other hours, the cheapest first. Each --shift moves a load's whole pattern by
steps of an hour, or of what stands after a slash; each --try puts other hours in its place.
Several take all their combinations. The figures are those of the store that a scenario has;
the best volume is where the next m³ saves what it costs in a year (store.cost, money.life and
money.discount), or without prices where most is saved. With --out, compare.svg, compare.png,
compare.csv and compare.json are written there.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep compare dyehouse
  $ noonkeep compare dyehouse cannery --to "60 m3" --json
  $ noonkeep compare dyehouse --shift "dye machines, night shift:-12h..+12h/4h"
  $ noonkeep compare dyehouse --try "stenter and dryers:Mon-Fri 06:00-18:00|Mon-Sat 08:00-18:00"`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("compare: got no argument; want one SCENARIO or more (see noonkeep compare --help)")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return runCompare(cmd.Context(), s, args, f) },
	}
	flags := cmd.Flags()
	flags.Var(&f.to, "to", "largest volume of the curves (default: each scenario's store.steps)")
	flags.StringArrayVar(&f.shift, "shift", nil, "move a load's `hours`: \"load:-3h..+3h\", or \"load:-3h..+3h/30min\"")
	flags.StringArrayVar(&f.try, "try", nil, "put other `hours` in the place of a load's: \"load:Mon-Fri 06:00-14:00|Mon-Sat 06:00-22:00\"")
	flags.StringVar(&f.out, "out", "", "write picture, table and JSON into this `folder`")
	flags.StringVar(&f.engine, "engine", "", "solve with this `engine`: "+engines+" (default: the fitting one)")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func runCompare(ctx context.Context, s streams, names []string, f compareFlags) error {
	cases, err := f.cases(s, names)
	if err != nil {
		return err
	}
	show, done := countProgress(s.err, "plants solved")
	c, err := answer.Compare(ctx, cases, answer.CompareOptions{ToM3: f.to.m3(), Engine: f.engine, Ranked: f.moves(), Progress: show})
	done()
	if err != nil {
		return err
	}
	warnAll(s.err, cases)
	return deliver(ctx, s, f.out, f.json, report.WithSentences(c),
		func() ([]string, error) { return report.CompareFiles(f.out, c) },
		func(w io.Writer) error { return report.CompareText(w, c) })
}

func (f compareFlags) moves() bool { return len(f.shift)+len(f.try) > 0 }

// cases are what is to be compared: scenarios, a scenario's variants, or its loads at other hours.
func (f compareFlags) cases(s streams, names []string) ([]answer.Named, error) {
	if f.moves() && len(names) > 1 {
		return nil, errors.New("compare: --shift and --try are of one SCENARIO; name one")
	}
	var all []scenarios.Case
	for i, name := range names {
		if name == "-" && i > 0 {
			return nil, errors.New("compare: standard input can be read once, as the first SCENARIO")
		}
		c, err := load(s, name)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	switch first := all[0]; {
	case len(all) > 1:
		return answer.NameApart(all), nil
	case f.moves():
		return answer.Moves(first, f.shift, f.try)
	case len(first.Variants) == 0:
		return nil, fmt.Errorf("%s: has no variants to compare; write some under `variants`, name a second scenario, or move a load with --shift", first.File)
	default:
		return answer.Variants(first)
	}
}

// warnAll prints what is doubtful, each thing once.
func warnAll(w io.Writer, cases []answer.Named) {
	seen := map[string]bool{}
	for _, n := range cases {
		var fresh []scenarios.Warning
		for _, x := range n.Case.Warnings {
			if key := fmt.Sprint(n.Case.File, x.Line, x.Text); !seen[key] {
				seen[key] = true
				if n.Case.Variant != "" {
					x.Text += fmt.Sprintf(" (with %q)", n.Case.Variant)
				}
				fresh = append(fresh, x)
			}
		}
		c := n.Case
		c.Warnings = fresh
		warn(w, c)
	}
}
