package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

type yearsFlags struct {
	seeds  howMany
	to     volume
	unsure percent
	out    string
	engine string
	json   bool
}

func newYears(s streams) *cobra.Command {
	f := yearsFlags{seeds: howMany{least: 2, most: answer.MostSeeds, of: "years"}}
	cmd := &cobra.Command{
		Use:     "years SCENARIO",
		GroupID: "answer",
		Short:   "Solve many years of weather, and show their spread",
		Long: `Solve many years of weather one by one, and show how far they lie apart: what a tank saves
in the middle year (P50), in nine of ten (P90) and in one of ten (P10), the sun of each year,
the tank that pays over all of them, the worst and the best year.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
With monthly means, --seeds years are generated from them: the scenario's own seed, then 1, 2
and on. They have the same means and so differ less than real years, unless the scenario says by
how much the site's years differ (weather.monthly.between_years). With weather files of several
years every whole year is solved (weather.year is the one that the other commands take). The
calendar stays that of time.year; the weather changes, and the loads that follow it. With under
10 years no P90 is taken from them. --unsure adds what data and model may be off. With --out,
years.svg, years.png, years.csv, years-volumes.csv and years.json are written there.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep years dyehouse --seeds 12
  $ noonkeep years dyehouse --seeds 10 --to "60 m3" --unsure "5 %" --json`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error { return runYears(cmd.Context(), s, args[0], f) },
	}
	flags := cmd.Flags()
	flags.Var(&f.seeds, "seeds", "how many years to generate from monthly means (default 30)")
	flags.Var(&f.to, "to", "largest volume of the curves (default: the scenario's store.steps)")
	flags.Var(&f.unsure, "unsure", "standard deviation, in %, of what weather data and model may be off; for a P90 that has it in")
	flags.StringVar(&f.out, "out", "", "write picture, tables and JSON into this `folder`")
	flags.StringVar(&f.engine, "engine", "", "solve with this `engine`: "+engines+" (default: the fitting one)")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func runYears(ctx context.Context, s streams, name string, f yearsFlags) error {
	c, err := load(s, name)
	if err != nil {
		return err
	}
	show, done := countProgress(s.err, "years solved")
	y, err := answer.ManyYears(ctx, c, answer.YearsOptions{Seeds: f.seeds.n, ToM3: f.to.m3(), Engine: f.engine, UnsureFrac: float64(f.unsure), Progress: show})
	done()
	if err != nil {
		return err
	}
	warn(s.err, c)
	warnYears(s.err, c.File, y)
	return deliver(ctx, s, f.out, f.json, y,
		func() ([]string, error) { return report.YearsFiles(f.out, y) },
		func(w io.Writer) error { return report.YearsText(w, y) })
}

// mostYearNotes is how many lines of single years are printed; the JSON has all.
const mostYearNotes = 12

// warnYears prints what is doubtful in single measured years. What is said of a generated year is no doubt.
func warnYears(w io.Writer, file string, y answer.Years) {
	if y.Weather == answer.WeatherGenerated {
		return
	}
	n := 0
	for _, x := range y.Years {
		for _, text := range x.Notes {
			if n++; n <= mostYearNotes {
				fmt.Fprintf(w, "%s: warning: %s: %s\n", file, x.Name, text)
			}
		}
	}
	if n > mostYearNotes {
		fmt.Fprintf(w, "%s: and %d more of such lines, all in --json under notes\n", file, n-mostYearNotes)
	}
}
