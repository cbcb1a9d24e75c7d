package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

func newDemand(s streams) *cobra.Command {
	var (
		out  string
		json bool
	)
	cmd := &cobra.Command{
		Use:     "demand SCENARIO",
		GroupID: "scenario",
		Short:   "Say what the heat demand is and where it comes from",
		Long: `Say what the year's heat demand is: each load's heat, mean and peak, the hours of the year
above each level, typical days by weekday and season, and where every part came from: shifts,
batches, meters, bills, or filled in. Nothing is solved.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
With --out, demand.svg (typical days, and hours above each level), demand-year.svg (hour by
day), the same as PNG, demand.csv (a column for each load, kW by step) and demand.json.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep demand dyehouse
  $ noonkeep demand cannery --out pictures`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error { return runDemand(cmd.Context(), s, args[0], out, json) },
	}
	cmd.Flags().StringVar(&out, "out", "", "write pictures, table and JSON into this `folder`")
	cmd.Flags().BoolVar(&json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func runDemand(ctx context.Context, s streams, name, out string, json bool) error {
	c, err := load(s, name)
	if err != nil {
		return err
	}
	warn(s.err, c)
	p := answer.ProfileOf(c)
	return deliver(ctx, s, out, json, p,
		func() ([]string, error) { return report.ProfileFiles(out, p) },
		func(w io.Writer) error { return report.ProfileText(w, p) })
}
