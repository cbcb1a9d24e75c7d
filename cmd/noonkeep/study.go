package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
	"noonkeep/cmd/internal/study"
	"noonkeep/cmd/internal/study/crew"
	"noonkeep/cmd/internal/study/queue"
)

type studyFlags struct {
	out      string
	jobs     int
	nats     string
	replicas int
	silence  time.Duration
	json     bool
}

// natsDoc is what both commands say of a server.
const natsDoc = `A server asks for proof of who one is by the usual variables of the environment: NATS_USER and
NATS_PASSWORD, NATS_TOKEN, NATS_NKEY or NATS_CREDS (files), and for TLS NATS_CA, NATS_CERT and
NATS_KEY. Nothing secret is written on a command line, and nothing of it into files or messages.`

func newStudy(s streams) *cobra.Command {
	f := studyFlags{}
	cmd := &cobra.Command{
		Use:     "study FILE",
		GroupID: "answer",
		Short:   "Solve many scenarios, years and prices, here or on workers",
		Long: `Solve every case of a study: scenarios times weather years times values, and show how far the
savings and the best tanks lie apart.

FILE says which scenarios, which years, which values of theirs, and what to keep of each case;
noonkeep study example prints one with an explanation of its keys. Results go into a folder, FILE's
name with .study in place of its ending unless --out names another: results.parquet has every case
and study.csv every scenario, beside study.svg, study.png and study.json.

A study may be stopped at any time, by Ctrl-C, a crash or a power cut: the same command goes on from
there, and no case that is done is solved again. A case that cannot be solved is set aside with its
reason. The rows are the same, byte by byte, whoever solved them in which order, on processors of
one kind. Every program that takes part must be the same build.

By default this process does all, with a queue of its own. With --nats the cases go to a NATS
JetStream server, where any number of noonkeep worker take them.

` + natsDoc + `

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep study example > small.yaml
  $ noonkeep study small.yaml
  $ noonkeep study status small.study
  $ noonkeep study results small.study --csv`,
		Args: one("FILE"),
		RunE: func(cmd *cobra.Command, args []string) error { return runStudy(cmd.Context(), s, args[0], f) },
	}
	flags := cmd.Flags()
	flags.StringVar(&f.out, "out", "", "keep the results in this `folder` (default: FILE with .study as its ending)")
	flags.IntVar(&f.jobs, "jobs", -1, "cases solved at once in this process (default: one a core; with --nats none)")
	flags.StringVar(&f.nats, "nats", "", "hand the cases out through the JetStream server at this `URL`")
	flags.IntVar(&f.replicas, "replicas", 1, "how many servers of a cluster keep what is handed out, with --nats")
	flags.DurationVar(&f.silence, "silence", time.Minute, "a worker that is silent for so long loses its cases to another")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	cmd.AddCommand(newStudyStatus(s), newStudyCancel(s), newStudyResults(s), newStudyExample(s))
	return cmd
}

// check refuses flags that do not fit each other.
func (f studyFlags) check() error {
	switch {
	case f.silence < time.Second || f.silence > time.Hour:
		return fmt.Errorf("study: --silence: is %v; want 1s to 1h", f.silence)
	case f.replicas < 1 || f.replicas > 5:
		return fmt.Errorf("study: --replicas: are %d; want 1 to 5", f.replicas)
	case f.replicas > 1 && f.nats == "":
		return fmt.Errorf("study: --replicas: are of a server's cluster; want --nats beside it")
	case f.jobs == 0 && f.nats == "":
		return fmt.Errorf("study: --jobs: is 0, and without --nats nobody would solve a case; want 1 or more")
	case f.jobs < -1 || f.jobs > 1024:
		return fmt.Errorf("study: --jobs: is %d; want 0 to 1024", f.jobs)
	}
	return nil
}

func runStudy(ctx context.Context, s streams, path string, f studyFlags) error {
	if err := f.check(); err != nil {
		return err
	}
	plan, inputs, err := s.may.study(path)
	if err != nil {
		return err
	}
	if f.out == "" {
		f.out = strings.TrimSuffix(path, filepath.Ext(path)) + ".study"
	}
	conn, err := f.connect(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	line := newStatusLine(s.err)
	done, err := crew.Coordinate(ctx, plan, inputs, conn, crew.Options{
		Dir: f.out, Server: f.nats, Jobs: f.jobsHere(), Silence: f.silence, Progress: line.show, Say: line.say,
	})
	line.wipe()
	if err != nil {
		return studyFault(err)
	}
	return tellStudy(ctx, s, plan, done, f.json)
}

// connect opens the queue: of a server, or one in this process.
func (f studyFlags) connect(ctx context.Context) (*queue.Conn, error) {
	if f.nats == "" {
		return queue.Embedded(ctx)
	}
	return queue.Dial(ctx, queue.Options{URL: f.nats, Replicas: f.replicas, Silence: f.silence, Name: "noonkeep study"})
}

func (f studyFlags) jobsHere() int {
	switch {
	case f.jobs >= 0:
		return f.jobs
	case f.nats != "":
		return 0
	}
	return runtime.GOMAXPROCS(0)
}

// studyFault tells wrong input from an answer that is not to be had.
func studyFault(err error) error {
	var taken *queue.Taken
	var folder *crew.FolderError
	if errors.Is(err, context.Canceled) || errors.As(err, &taken) || errors.As(err, &folder) {
		return err
	}
	return &answer.Failed{Err: err}
}

// tellStudy sums a study up, draws it into its folder, and prints it.
func tellStudy(ctx context.Context, s streams, plan study.Plan, done crew.Outcome, json bool) error {
	sum, err := summed(ctx, plan, done.Path)
	if err != nil {
		return &answer.Failed{Err: err}
	}
	err = deliver(ctx, s, done.Path, json, sum,
		func() ([]string, error) {
			paths, err := report.StudyFiles(done.Path, sum)
			return append([]string{filepath.Join(done.Path, crew.ResultsName)}, paths...), err
		},
		func(w io.Writer) error { return report.StudyText(w, sum) })
	if err == nil && done.SetAside == done.Done {
		err = &answer.Failed{Err: fmt.Errorf("study: all %d cases were set aside, so there is no answer; their reasons stand above and in %s", done.Done, crew.ResultsName)}
	}
	return err
}

func summed(ctx context.Context, plan study.Plan, dir string) (study.Summary, error) {
	_, rows, err := crew.Rows(dir)
	if err != nil {
		return study.Summary{}, err
	}
	return study.Summarise(ctx, plan, rows)
}

func newStudyExample(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "example",
		Short: "Print a small study file that explains its keys",
		Args:  none,
		RunE: func(*cobra.Command, []string) error {
			_, err := s.out.Write(study.Example())
			return written(err)
		},
	}
}

// none wants no argument.
func none(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return fmt.Errorf("%s: got %d arguments; want none (see noonkeep %s --help)", cmd.Name(), len(args), strings.TrimPrefix(cmd.CommandPath(), "noonkeep "))
}

// cacheFolder is where a worker keeps inputs between runs; empty where the system has no such place.
func cacheFolder() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "noonkeep", "inputs")
}
