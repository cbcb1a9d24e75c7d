package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/plant"
	"noonkeep/scenarios"
)

type guaranteeFlags struct {
	field, measured, out string
	json                 bool
}

func newGuarantee(s streams) *cobra.Command {
	f := guaranteeFlags{}
	cmd := &cobra.Command{
		Use:     "guarantee SCENARIO",
		GroupID: "answer",
		Short:   "State the power a field must show, and check it",
		Long: `State what power a collector field must show in a test, after the method of ISO 24194: measured
sun and temperatures put into the collector's formula, less factors for pipes (f_P), instruments
(f_U) and all else (f_O); and say when an hour counts. With --measured, check it.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
Factors and limits are set in the scenario, fields[].guarantee; what is left out is taken from
memory and marked so: the standard's text, which both parties hold, decides.

FILE.csv has a header line and rows of 1 to 60 min; of shorter rows whole hours are made. Its
columns are named with their unit, in any order after the first:
  start or end       which end of its row a time is: 2026-07-01 10:00, local standard time, or
                     with its offset (Z, +02:00)
  DNI, GHI, DHI      W/m2; on a plane that faces the sun; on the level: global, diffuse
  plane              W/m2; global light in the collectors' plane
  air, wind          degC; m/s
  inlet, outlet      degC, of the collectors; or fluid, their mean
  heat               kW; or flow, kg/h, of water from inlet to outlet
  warming            K/h; how fast the fluid changes, for hours without neighbours (optional)
  aside              why the parties set the row aside (optional)
Every hour is judged, and listed with what it breaks. With --out, guarantee.txt (to be printed and
signed), guarantee.csv, guarantee-sheet.csv (to be filled), guarantee.json and, with --measured,
guarantee-hours.csv, guarantee.svg and guarantee.png are written there.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep guarantee dyehouse
  $ noonkeep guarantee dyehouse --field dishes --out check`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error { return runGuarantee(cmd.Context(), s, args[0], f) },
	}
	flags := cmd.Flags()
	flags.StringVar(&f.field, "field", "", "the `name` of the field (default: the scenario's first)")
	flags.StringVar(&f.measured, "measured", "", "check the measurements in this CSV `file`")
	flags.StringVar(&f.out, "out", "", "write statement, sheet and tables into this `folder`")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

func runGuarantee(ctx context.Context, s streams, name string, f guaranteeFlags) error {
	c, err := load(s, name)
	if err != nil {
		return err
	}
	opt := answer.GuaranteeOptions{Field: f.field}
	if f.measured != "" {
		if opt.Log, err = fieldLog(f.measured, c); err != nil {
			return err
		}
	}
	g, err := answer.GuaranteeOf(c, opt)
	if err != nil {
		return err
	}
	warn(s.err, c)
	return deliver(ctx, s, f.out, f.json, g,
		func() ([]string, error) { return report.GuaranteeFiles(f.out, g) },
		func(w io.Writer) error { return report.GuaranteeText(w, g) })
}

// fieldLog reads the measurements that the command line names.
func fieldLog(path string, c scenarios.Case) (*plant.FieldLog, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("--measured: %w", err)
	}
	defer file.Close()
	log, err := plant.ReadFieldLog(file, path, c.Place.UTCOffset)
	if err != nil {
		return nil, err
	}
	return &log, nil
}
