package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

type bidFlags struct {
	out             string
	volume          volume
	seeds, cases    int
	quick           bool
	words           string
	printWords      bool
	paper, currency string
	marks           string
	engine, store   string
	json            bool
}

func newBid(s streams) *cobra.Command {
	f := bidFlags{}
	cmd := &cobra.Command{
		Use:     "bid SCENARIO --out FOLDER",
		GroupID: "answer",
		Short:   "Write the document that justifies a store",
		Long: `Write the consultant's document for one volume of store, for a reader who doubts it: the answer
in three sentences, the curve, a week of summer and of winter, where the heat comes from, good and
bad years, the money, how to check it all, every input and assumption, methods with their sources,
doubts, limits and cautions.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
Into the folder go bid.html, one page that prints on paper and needs no network and no script, a
spreadsheet bid.xlsx whose formulas work the money out again, the pictures as SVG and PNG, and the
data as CSV and JSON. A part for which the scenario gives no ground, such as money without a price
of the vessel, is left out, and the document says so.

The sentences stand in one file: --print-words prints it, and --words takes a translation.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep bid dyehouse --out bid
  $ noonkeep bid dyehouse --out bid --volume 60 --paper letter --marks "1,234.5" --currency before
  $ noonkeep bid --print-words > other.yaml`,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.printWords && len(args) == 0 {
				return nil
			}
			return one("SCENARIO")(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if f.printWords {
				_, err := s.out.Write(report.EnglishWords())
				return written(err)
			}
			return runBid(cmd.Context(), s, args[0], f)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.out, "out", "", "write the document into this `folder`")
	flags.Var(&f.volume, "volume", "the volume that is bid for (default: the scenario's store.volume)")
	flags.IntVar(&f.seeds, "seeds", 20, "how many years to generate from monthly means for P50 and P90; 0: none")
	flags.IntVar(&f.cases, "cases", 100, "how many cases of what is not known for sure; 0: none")
	flags.BoolVar(&f.quick, "quick", false, "leave out what takes long: other years, what is not known for sure, running by the minute")
	flags.StringVar(&f.words, "words", "", "take the sentences from this `file`, a translation of --print-words")
	flags.BoolVar(&f.printWords, "print-words", false, "print the English sentences, to be translated, and nothing else")
	flags.StringVar(&f.paper, "paper", "A4", "`size` of the page: A4 or letter")
	flags.StringVar(&f.marks, "marks", "1 234.5", "how numbers are written, by a `sample`: \"1 234.5\", \"1,234.5\", \"1.234,5\", \"1 234,5\"")
	flags.StringVar(&f.currency, "currency", "after", "the currency's `place`: before or after the sum")
	flags.StringVar(&f.store, "store", "", storeFlag)
	flags.StringVar(&f.engine, "engine", "", "solve with this `engine`: "+engines+" (default: the fitting one)")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func runBid(ctx context.Context, s streams, name string, f bidFlags) error {
	if f.out == "" && !f.json {
		return errors.New("bid: --out is missing; want a folder to write the document into, as --out bid")
	}
	style, err := f.style()
	if err != nil {
		return err
	}
	c, err := loadVarying(s, name, f.store)
	if err != nil {
		return err
	}
	if f.volume.set {
		if c, err = c.WithVolume(f.volume.m3()); err != nil {
			return err
		}
	}
	seeds, err := f.count("seeds", f.seeds, 2, answer.MostSeeds)
	if err != nil {
		return err
	}
	cases, err := f.count("cases", f.cases, answer.LeastCases, answer.MostCases)
	if err != nil {
		return err
	}
	show, done := progress(s.err)
	b, err := answer.MakeBid(ctx, c, answer.BidOptions{Options: answer.Options{Engine: f.engine, Progress: show}, Seeds: seeds, Cases: cases, Play: !f.quick})
	done()
	if err != nil {
		return err
	}
	warn(s.err, c)
	return deliver(ctx, s, f.out, f.json, b,
		func() ([]string, error) { return report.BidFiles(f.out, b, style) },
		func(w io.Writer) error { return report.BidText(w, b, style) })
}

// count reads a count that may be none, which an answer takes for below 0.
func (f bidFlags) count(name string, n, least, most int) (int, error) {
	switch {
	case n == 0 || f.quick:
		return -1, nil
	case n < least || n > most:
		return 0, fmt.Errorf("bid: --%s: is %d; want 0 for none, or %d to %d", name, n, least, most)
	}
	return n, nil
}

// style reads how the document is to be written.
func (f bidFlags) style() (report.BidStyle, error) {
	var style report.BidStyle
	switch f.paper {
	case "A4", "a4":
	case "letter", "Letter":
		style.Letter = true
	default:
		return style, fmt.Errorf("bid: --paper: is %q; want A4 or letter", f.paper)
	}
	switch f.currency {
	case "after":
	case "before":
		style.CurrencyFirst = true
	default:
		return style, fmt.Errorf("bid: --currency: is %q; want before or after", f.currency)
	}
	if err := style.ParseMarks(f.marks); err != nil {
		return style, fmt.Errorf("bid: --marks: %w", err)
	}
	if f.words == "" {
		return style, nil
	}
	in, err := os.Open(f.words)
	if err != nil {
		return style, fmt.Errorf("bid: --words: %w", err)
	}
	defer in.Close()
	words, err := report.ReadWords(f.words, in)
	if err != nil {
		return style, err
	}
	style.Words = &words
	return style, nil
}
