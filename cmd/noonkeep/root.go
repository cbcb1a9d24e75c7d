package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/cmd/internal/study/crew"
	"noonkeep/optimize"
)

// streams are where a command reads and writes. Results go to out; warnings,
// progress and errors go to err.
type streams struct {
	in       io.Reader
	out, err io.Writer
	may      *access // which files a scenario may read; newRoot sets it
}

// Exit statuses, the same in every command and in every help page.
const (
	statusDone        = 0
	statusNoAnswer    = 1 // the demand cannot be met, the answer is not proven, or it could not be written
	statusBadInput    = 2 // the scenario or the command line is wrong
	statusInterrupted = 130
)

const cautions = `For feasibility and planning. Vessels, relief valves and boiler connections are designed,
built and inspected under the local pressure code by licensed people.`

const statuses = "Exit status: 0 done, 1 no proven answer to be had, 2 the input is wrong, 130 interrupted."

// run is the whole program but for the process: it returns the exit status.
func run(ctx context.Context, args []string, s streams) int {
	s.may = &access{ctx: ctx}
	root := newRoot(s)
	root.SetArgs(args)
	return fail(s.err, root.ExecuteContext(ctx))
}

// fail prints an error the one way errors are printed and says which status it earns.
func fail(w io.Writer, err error) int {
	if err == nil {
		return statusDone
	}
	w = report.Plain(w)
	var stopped *crew.Stopped
	if errors.As(err, &stopped) {
		fmt.Fprintf(w, "noonkeep: %v\n", stopped)
		return statusInterrupted
	}
	if errors.Is(err, context.Canceled) {
		fmt.Fprintln(w, "noonkeep: interrupted; nothing was written")
		return statusInterrupted
	}
	for line := range strings.Lines(err.Error()) {
		fmt.Fprintf(w, "noonkeep: %s\n", strings.TrimRight(line, "\n"))
	}
	var (
		short    *optimize.NoPlan
		unproven *optimize.Unproven
		needsClp *optimize.NeedsClp
		failed   *answer.Failed
	)
	if errors.As(err, &short) || errors.As(err, &unproven) || errors.As(err, &needsClp) || errors.As(err, &failed) {
		return statusNoAnswer
	}
	return statusBadInput
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "noonkeep",
		Short: "Size the hot-water store of a solar process-heat plant",
		Long: `Noonkeep answers: how large a hot-water store pays its place beside solar collectors
and boilers, and what does each further cubic metre save?

Start with:
  $ noonkeep curve dyehouse
  $ noonkeep starter dyehouse > my.yaml

SCENARIO is a file, - for standard input, or a built-in example (noonkeep starter lists them).
` + statuses + "\n" + cautions,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	if s.may == nil {
		s.may = &access{ctx: context.Background()}
	}
	s.may.flags(root)
	root.AddGroup(
		&cobra.Group{ID: "answer", Title: "The answer:"},
		&cobra.Group{ID: "scenario", Title: "The scenario:"},
	)
	root.AddCommand(newCurve(s), newSize(s), newSchedule(s), newCompare(s), newYears(s), newReplay(s), newDoubt(s), newBid(s), newGuarantee(s), newStudy(s), newWorker(s), newStarter(s), newSet(s), newCheck(s), newDemand(s), newExport(s), newDesk(s))
	return root
}

// terminal says whether w is a screen a person looks at.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
