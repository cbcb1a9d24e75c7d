package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

func newCheck(s streams) *cobra.Command {
	var schema, json, all bool
	cmd := &cobra.Command{
		Use:     "check SCENARIO",
		GroupID: "scenario",
		Short:   "Read a scenario and say what was understood",
		Long: `Read a scenario with its weather and series, and say what was understood, what was left out
and filled in, what is simpler than the plant, and what is doubtful, with its line.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep check dyehouse
  $ noonkeep check --schema`,
		Args: func(cmd *cobra.Command, args []string) error {
			if schema && len(args) == 0 {
				return nil
			}
			return one("SCENARIO")(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if schema {
				if len(args) > 0 {
					return errors.New("check: --schema takes no SCENARIO")
				}
				_, err := fmt.Fprintf(s.out, "%s\n", scenarios.Schema())
				return written(err)
			}
			c, err := load(s, args[0])
			if err != nil {
				return err
			}
			u, err := answer.Understand(c)
			if err != nil {
				return err
			}
			if json {
				return written(report.JSON(s.out, u))
			}
			return written(report.CheckText(s.out, u, all))
		},
	}
	cmd.Flags().BoolVar(&schema, "schema", false, "print the JSON Schema of scenario files")
	cmd.Flags().BoolVar(&json, "json", false, "print one JSON object and nothing else")
	cmd.Flags().BoolVar(&all, "all", false, "list each simplification in full")
	return cmd
}
