package main

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"time"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/study/crew"
	"noonkeep/cmd/internal/study/queue"
)

type workerFlags struct {
	nats, cache string
	jobs        int
	silence     time.Duration
}

func newWorker(s streams) *cobra.Command {
	f := workerFlags{}
	cmd := &cobra.Command{
		Use:     "worker --nats URL",
		GroupID: "answer",
		Short:   "Solve cases of the studies on a server",
		Long: `Solve cases of the studies that noonkeep study --nats hands out through the same server, until it is
told to end by Ctrl-C or SIGTERM: then what is solved is handed over, and the rest goes to others.
Workers may come and go, and be killed. Each must be the same build as the study's; another is
refused.

` + natsDoc + `

` + statuses,
		Args: none,
		RunE: func(cmd *cobra.Command, args []string) error { return runWorker(cmd.Context(), s, f) },
	}
	flags := cmd.Flags()
	flags.StringVar(&f.nats, "nats", "", "the JetStream server's `URL`, such as nats://host:4222")
	flags.IntVar(&f.jobs, "jobs", runtime.GOMAXPROCS(0), "cases solved at once")
	flags.StringVar(&f.cache, "cache", cacheFolder(), "keep weather and scenarios in this `folder` between runs; \"\" keeps none")
	flags.DurationVar(&f.silence, "silence", time.Minute, "as the study's --silence")
	flags.Lookup("jobs").DefValue = "one a core"
	flags.Lookup("cache").DefValue = "the user's cache folder"
	return cmd
}

func runWorker(ctx context.Context, s streams, f workerFlags) error {
	switch {
	case f.nats == "":
		return fmt.Errorf("worker: --nats: is missing; want the server's URL, such as nats://host:4222")
	case f.jobs < 1 || f.jobs > 1024:
		return fmt.Errorf("worker: --jobs: is %d; want 1 to 1024", f.jobs)
	case f.silence < time.Second || f.silence > time.Hour:
		return fmt.Errorf("worker: --silence: is %v; want 1s to 1h", f.silence)
	}
	conn, err := queue.Dial(ctx, queue.Options{URL: f.nats, Silence: f.silence, Name: "noonkeep worker"})
	if err != nil {
		return err
	}
	defer conn.Close()
	line := newStatusLine(s.err)
	line.say("ready; Ctrl-C ends it")
	err = crew.Worker{Jobs: f.jobs, Cache: f.cache, Silence: f.silence, Say: line.say, Seen: line.worked}.Work(ctx, conn)
	line.wipe()
	var refused *crew.Refused
	switch {
	case err == nil || errors.Is(err, context.Canceled):
		return nil // told to end, and that is what it did
	case errors.As(err, &refused):
		return err
	}
	return studyFault(err)
}
