package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/optimize"
)

func newExport(s streams) *cobra.Command {
	var (
		v         volume
		mps, json string
		store     string
	)
	cmd := &cobra.Command{
		Use:     "export SCENARIO",
		GroupID: "scenario",
		Short:   "Write out the linear program, to solve it elsewhere",
		Long: `Write out the linear program at one volume, so that anybody can solve it with another program:
as MPS, or as JSON with the plain series it is made of. Its least cost is the curve's
annual_cost at that volume. The file - is standard output.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).

` + statuses,
		Example: `  $ noonkeep export dyehouse --volume 40 --mps plant.mps`,
		Args:    one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if mps == "" && json == "" {
				return errors.New("export: nothing to write; give --mps FILE or --json FILE")
			}
			if mps == json {
				return fmt.Errorf("export: --mps and --json are both %q; want two files", mps)
			}
			c, err := loadVarying(s, args[0], store)
			if err != nil {
				return err
			}
			p, err := answer.ProblemAt(c, v.orNone())
			if err != nil {
				return err
			}
			warn(s.err, c)
			if err := to(s, mps, func(w io.Writer) error { return optimize.WriteMPS(w, p) }); err != nil {
				return err
			}
			return to(s, json, func(w io.Writer) error { return report.JSON(w, p) })
		},
	}
	cmd.Flags().Var(&v, "volume", "the store's volume (default: the scenario's store.volume)")
	cmd.Flags().StringVar(&store, "store", "", storeFlag)
	cmd.Flags().StringVar(&mps, "mps", "", "write the program as free MPS into this `file`")
	cmd.Flags().StringVar(&json, "json", "", "write the series it is made of as JSON into this `file`")
	return cmd
}

// to writes into a file, whole or not at all, or to standard output; "" writes nothing.
func to(s streams, path string, write func(io.Writer) error) error {
	switch path {
	case "":
		return nil
	case "-":
		return written(write(s.out))
	}
	if err := report.WriteFile(path, write); err != nil {
		return &answer.Failed{Err: err}
	}
	return wrote(s, []string{path})
}
