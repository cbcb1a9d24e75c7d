package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

type doubtFlags struct {
	cases  howMany
	seed   seed
	at, to volume
	out    string
	engine string
	json   bool
}

func newDoubt(s streams) *cobra.Command {
	f := doubtFlags{seed: seed{n: 1}, cases: howMany{least: answer.LeastCases, most: answer.MostCases, of: "cases"}}
	cmd := &cobra.Command{
		Use:     "doubt SCENARIO",
		GroupID: "answer",
		Short:   "Draw what is not known for sure, and show what holds",
		Long: `Solve many cases of what is not known for sure: what is saved in half of them (P50) and in nine
of ten (P90), which unknown matters most, which tank is as good as the best in most cases, and
which is never far off (least regret).

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them). Its
section doubt says what is unsure and how far, each as a share of what the scenario has:

  doubt:
    - {what: demand, times: 90..110 %, shape: triangular}
    - {what: fuel price, of: natural gas, times: 80..150 %, shape: triangular, mode: 110 %}
    - {what: boiler efficiency, times: 96..102 %, shape: normal}
    - {what: weather}

What may be unsure: demand, boiler efficiency, fuel price, electricity price, carbon price,
cleanliness, soiling, availability, collector output, store cost, weather. Shapes: uniform (all
of the range alike), triangular (likeliest at the mode), normal (the range is its 5 to 95 % band).
Without the section usual ranges are taken, and a warning says which: demand 90..110 %, boiler
efficiency 97..103 %, fuel prices 80..120 %, cleanliness and collector output 95..105 %, store cost
80..120 %, all triangular, and 30 generated years; common practice, no source.

Cases are drawn as a Latin hypercube; the same seed gives the same cases everywhere. With --out,
doubt.svg, doubt.png, doubt-causes.svg, doubt-causes.png, doubt.csv (every case with its inputs),
doubt-volumes.csv and doubt.json are written there.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep doubt dyehouse --cases 20
  $ noonkeep doubt dyehouse --cases 10 --seed 2 --volume "60 m3" --json`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error { return runDoubt(cmd.Context(), s, args[0], f) },
	}
	flags := cmd.Flags()
	flags.Var(&f.cases, "cases", "how many cases to draw (default 200)")
	flags.Var(&f.seed, "seed", "number that chooses the cases")
	flags.Var(&f.at, "volume", "the tank that is told of at one volume (default: the scenario's)")
	flags.Var(&f.to, "to", "largest volume of the curves (default: the scenario's store.steps)")
	flags.StringVar(&f.out, "out", "", "write pictures, tables and JSON into this `folder`")
	flags.StringVar(&f.engine, "engine", "", "solve with this `engine`: "+engines+" (default: the fitting one)")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func runDoubt(ctx context.Context, s streams, name string, f doubtFlags) error {
	c, err := load(s, name)
	if err != nil {
		return err
	}
	warn(s.err, c)
	if len(c.Unsure) == 0 {
		fmt.Fprintf(s.err, "%s: warning: has no section doubt, so usual ranges are taken, which have no source: %s; write your own under doubt\n",
			c.File, scenarios.UnsureText(c.UsualUnsure()))
	}
	show, done := countProgress(s.err, "plants solved")
	d, err := answer.Doubtful(ctx, c, answer.DoubtOptions{Cases: f.cases.n, Seed: f.seed.n, VolumeM3: f.at.m3(), ToM3: f.to.m3(), Engine: f.engine, Progress: show})
	done()
	if err != nil {
		return err
	}
	return deliver(ctx, s, f.out, f.json, d,
		func() ([]string, error) { return report.DoubtFiles(f.out, d) },
		func(w io.Writer) error { return report.DoubtText(w, d) })
}
