package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/report"
)

type replayFlags struct {
	volume  volume
	step    time.Duration
	seed    seed
	volumes int
	out     string
	json    bool
}

func newReplay(s streams) *cobra.Command {
	f := replayFlags{step: time.Minute, volumes: 7}
	cmd := &cobra.Command{
		Use:     "replay SCENARIO",
		GroupID: "answer",
		Short:   "Play the year by the minute: what of the promise arrives",
		Long: `Play the year by the minute through the plant's physics, and show what of the promised saving
arrives: clouds within the hour, the vessel as water and steam, boilers with a lowest fire, a
time to start and a ramp.

SCENARIO is a file, - for standard input, or a built-in one (noonkeep starter lists them).
The same plant is run in four ways. The plan: its hourly set-points, mended until the physics
accepts them; it knew the whole year. The plain rule: sun to the header, the rest to the store,
the store before any boiler. The guide line: the same, but heat is held back as a usual year
advises. Rolling: a new plan every few hours, with a forecast that has no sight of tomorrow.
Beside them stands the bound, below which no way of running costs. Savings are against boilers
alone, played through the same physics. The last column is the tank that each way would choose.

Weather by the hour is spread over minutes with each hour's sum kept, its clouds by --seed;
weather by the minute is taken as it is. With --out, replay.svg, replay.png, replay.csv,
replay-volumes.svg, .png and .csv, replay-hours-*.csv (one a way) and replay.json are written
there.

` + statuses + "\n" + cautions,
		Example: `  $ noonkeep replay dyehouse --volumes 0
  $ noonkeep replay winery --volume "40 m3" --volumes 3 --out pictures`,
		Args: one("SCENARIO"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return runReplay(cmd.Context(), s, args[0], f)
		},
	}
	flags := cmd.Flags()
	flags.Var(&f.volume, "volume", "the store's volume (default: the scenario's store.volume)")
	flags.DurationVar(&f.step, "step", f.step, "length of a step, such as 10s; a whole fraction of an hour")
	flags.Var(&f.seed, "seed", "number that chooses the clouds within the hours (default: the weather's seed, or 7)")
	flags.IntVar(&f.volumes, "volumes", f.volumes, "how many other `volumes` are played for the best of each way; 0: none")
	flags.StringVar(&f.out, "out", "", "write pictures, tables and JSON into this `folder`")
	flags.BoolVar(&f.json, "json", false, "print one JSON object and nothing else")
	return cmd
}

// Bounds of the flags.
const (
	leastStep   = 5 * time.Second
	mostStep    = 10 * time.Minute
	mostVolumes = 50
)

func runReplay(ctx context.Context, s streams, name string, f replayFlags) error {
	if f.step < leastStep || f.step > mostStep || time.Hour%f.step != 0 {
		return fmt.Errorf("--step: is %v; want %v to %v, a whole fraction of an hour", f.step, leastStep, mostStep)
	}
	if f.volumes != 0 && f.volumes < 3 || f.volumes > mostVolumes {
		return fmt.Errorf("--volumes: is %d; want 3 to %d, or 0 for none", f.volumes, mostVolumes)
	}
	c, err := load(s, name)
	if err != nil {
		return err
	}
	warn(s.err, c)
	opt := answer.ReplayOptions{StepS: f.step.Seconds(), Volumes: f.volumes}
	if f.volumes == 0 {
		opt.Volumes = -1
	}
	if v := f.volume.orNone(); v >= 0 {
		opt.VolumeM3 = &v
	}
	if f.seed.set {
		opt.Seed = &f.seed.n
	}
	show, done := countProgress(s.err, "volumes played")
	opt.Progress = show
	r, err := answer.PlayYear(ctx, c, opt)
	done()
	if err != nil {
		return err
	}
	return deliver(ctx, s, f.out, f.json, r,
		func() ([]string, error) { return report.ReplayFiles(f.out, r) },
		func(w io.Writer) error { return report.ReplayText(w, r) })
}
