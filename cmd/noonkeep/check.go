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

type checkFlags struct {
	schema, json, all bool
	out               string
}

const checkLong = `Read a scenario with its weather and series, and say what was understood, what was left out
and filled in, what is simpler than the plant, and what is doubtful, with its line.

The plant is drawn as a one-line diagram. The heat of some days is balanced, with nothing solved:
of the sunniest, the dullest working day and the day of the highest demand, what the sun serves as
it comes, what a store could take and how large it would be, and what is left to the boilers.
By month it says where the middle of clear days' light falls against the sun's noon.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
With --out, plant.svg (the diagram), weather.svg (the light hour by day with the sun's way over
it, which shows a mistimed file), the same as PNG, and check.json.

` + statuses + "\n" + cautions

func newCheck(s streams) *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use:     "check SCENARIO",
		GroupID: "scenario",
		Short:   "Read a scenario and say what was understood",
		Long:    checkLong,
		Example: `  $ noonkeep check dyehouse
  $ noonkeep check dyehouse --out pictures
  $ noonkeep check --schema`,
		Args: func(cmd *cobra.Command, args []string) error {
			if f.schema && len(args) == 0 {
				return nil
			}
			return one("SCENARIO")(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case f.schema && len(args) > 0:
				return errors.New("check: --schema takes no SCENARIO")
			case f.schema && f.out != "":
				return errors.New("check: --schema writes to the terminal alone; want it without --out")
			case f.schema:
				_, err := fmt.Fprintf(s.out, "%s\n", scenarios.Schema())
				return written(err)
			}
			return runCheck(cmd.Context(), s, args[0], f)
		},
	}
	cmd.Flags().BoolVar(&f.schema, "schema", false, "print the JSON Schema of scenario files")
	cmd.Flags().BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	cmd.Flags().BoolVar(&f.all, "all", false, "list each simplification in full")
	cmd.Flags().StringVar(&f.out, "out", "", "write pictures and JSON into this `folder`")
	return cmd
}

func runCheck(ctx context.Context, s streams, name string, f checkFlags) error {
	c, err := load(s, name)
	if err != nil {
		return err
	}
	u, err := answer.Understand(c)
	if err != nil {
		return err
	}
	return deliver(ctx, s, f.out, f.json, u,
		func() ([]string, error) { return report.CheckFiles(f.out, u) },
		func(w io.Writer) error { return report.CheckText(w, u, f.all, unicode()) })
}
