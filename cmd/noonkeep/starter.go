package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/report"
	"noonkeep/scenarios"
)

func newStarter(s streams) *cobra.Command {
	var json bool
	cmd := &cobra.Command{
		Use:     "starter [NAME]",
		GroupID: "scenario",
		Short:   "List the built-in examples, or print one to start from",
		Long: `List the built-in examples, or print one as a commented scenario file to start from.

` + statuses,
		Example: `  $ noonkeep starter
  $ noonkeep starter dyehouse > my.yaml`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 {
				text, err := scenarios.Source(args[0])
				if err != nil {
					return err
				}
				if json {
					return written(report.JSON(s.out, struct {
						Name string `json:"name"`
						YAML string `json:"yaml"`
					}{args[0], string(text)}))
				}
				_, err = s.out.Write(text)
				return written(err)
			}
			list := scenarios.Starters()
			if json {
				return written(report.JSON(s.out, list))
			}
			for _, e := range list {
				if _, err := fmt.Fprintf(s.out, "%-10s %s\n", e.Name, e.Text); err != nil {
					return written(err)
				}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&json, "json", false, "print one JSON value and nothing else")
	return cmd
}
