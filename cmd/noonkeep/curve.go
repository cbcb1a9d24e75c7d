package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

type curveFlags struct {
	to, step volume
	gap      percent
	out      string
	engine   string
	store    string
	json     bool
}

func newCurve(s streams) *cobra.Command {
	f := curveFlags{gap: 0.001}
	cmd := &cobra.Command{
		Use:     "curve SCENARIO",
		GroupID: "answer",
		Short:   "Draw what each further cubic metre of storage saves",
		Long: `Draw what each further cubic metre of storage saves.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
Savings are a year's, in fuel and power, against the same plant without a store and against
boilers alone. Each point is proven; between points the curve lies within --gap of its range.
Work that may be moved (a load's key movable) is done at its best hours at every volume, and in
what the savings are against too; what that choice is worth is said at the scenario's volume.
Boilers may burn as little as they like and start for nothing; where some have a lowest fire or a
start, a plan that keeps to it is said at the scenario's volume, and how near it is to the best.
Of several stores one is varied and the others keep their volume, at every point and in the
baseline without storage too: savings are those of the one.
With a price of the store (store.cost) and a life of money (money.life), the tables also say what
each volume earns, what the next m³ may cost and where it stops paying; with the fields' cost, what
sun and tank earn together.
With --out, curve.svg, curve.png, curve.csv and curve.json are written there.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep curve dyehouse
  $ noonkeep curve dyehouse --to "60 m3" --step 5 --json`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error { return runCurve(cmd.Context(), s, args[0], f) },
	}
	flags := cmd.Flags()
	flags.Var(&f.to, "to", "largest volume (default: the scenario's store.steps)")
	flags.Var(&f.step, "step", "distance between the first points (default: a round 24th of the range)")
	flags.Var(&f.gap, "gap", "widest gap allowed between the curve and its proven bound, in % of the curve's range")
	flags.StringVar(&f.out, "out", "", "write pictures, table and JSON into this `folder`")
	flags.StringVar(&f.engine, "engine", "", "solve with this `engine`: "+engines+" (default: the fitting one)")
	flags.StringVar(&f.store, "store", "", storeFlag)
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func runCurve(ctx context.Context, s streams, name string, f curveFlags) error {
	c, err := loadVarying(s, name, f.store)
	if err != nil {
		return err
	}
	show, done := progress(s.err)
	a, err := answer.Make(ctx, c, answer.Options{
		OnOff: true,
		ToM3:  f.to.m3(), StepM3: f.step.m3(), GapFrac: float64(f.gap), Engine: f.engine, Progress: show,
	})
	done()
	if err != nil {
		return err
	}
	if a, err = a.WithMoney(c); err != nil {
		return err
	}
	warn(s.err, c)
	return deliver(ctx, s, f.out, f.json, a,
		func() ([]string, error) { return report.CurveFiles(f.out, a) },
		func(w io.Writer) error { return report.CurveText(w, a, unicode()) })
}
