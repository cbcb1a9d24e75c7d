package answer

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"runtime"
	"slices"
	"strconv"
	"sync"

	"noonkeep/scenarios"
)

// usualSeeds is how many years are generated where it is not said; a climate normal has as many.
const usualSeeds = 30

// MostSeeds keeps a slip of the finger from running for hours.
const MostSeeds = 1000

// yearTask is a year that is to be solved, or one that cannot be.
type yearTask struct {
	name string
	own  bool
	make func() (scenarios.Case, error)
	out  string // why it is left out; the year is then not solved
}

// yearTasks gives the years in turn, and how many there are (0: not known). An error ends them.
type yearTasks struct {
	count int
	each  iter.Seq2[yearTask, error]
}

// seedYears are the scenario's own seed and then 1, 2 and on.
func seedYears(c scenarios.Case, count int) (yearTasks, error) {
	if count == 0 {
		count = usualSeeds
	}
	if count < 2 || count > MostSeeds {
		return yearTasks{}, fmt.Errorf("years: seeds: are %d; want 2 to %d", count, MostSeeds)
	}
	own, _ := c.Seed()
	seeds := []uint64{own}
	for s := uint64(1); len(seeds) < count; s++ {
		if s != own {
			seeds = append(seeds, s)
		}
	}
	return yearTasks{count, func(yield func(yearTask, error) bool) {
		for _, s := range seeds {
			name := "seed " + strconv.FormatUint(s, 10)
			if !yield(yearTask{name: name, own: s == own && c.BetweenYears() == 0, make: func() (scenarios.Case, error) { return c.WithSeed(s) }}, nil) {
				return
			}
		}
	}}, nil
}

// measuredYears are those of the scenario's weather files, read one after another.
func measuredYears(c scenarios.Case) yearTasks {
	return yearTasks{0, func(yield func(yearTask, error) bool) {
		seen := map[string]int{}
		for year, err := range c.MeasuredYears() {
			name := "typical year"
			if year.Measured > 0 {
				name = strconv.Itoa(year.Measured)
			}
			if seen[name]++; seen[name] > 1 {
				name = fmt.Sprintf("%s, file %d", name, seen[name])
			}
			task := yearTask{name: name, own: year.Measured == c.Weather.Measured}
			switch {
			case err != nil && year.Measured == 0:
				yield(yearTask{}, err)
				return
			case err != nil:
				task.out = cause(err).Error()
			default:
				task.make = func() (scenarios.Case, error) { return c.WithWeather(name, year) }
			}
			if !yield(task, nil) {
				return
			}
		}
	}}
}

// cause takes the scenario's place off an error.
func cause(err error) error {
	var placed *scenarios.Error
	if errors.As(err, &placed) && placed.Err != nil {
		return placed.Err
	}
	return err
}

// solveYears works on as many years at once as there are cores; the answers stand in the order of the tasks.
func solveYears(ctx context.Context, c scenarios.Case, tasks yearTasks, opt YearsOptions) (years []WeatherYear, leftOut []string, err error) {
	parent := ctx
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	work := yearWork{base: c, opt: opt, count: tasks.count}
	queue := make(chan numberedTask)
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for t := range queue {
				if err := work.do(ctx, t); err != nil {
					stop() // one that cannot be had is the answer for all
				}
			}
		})
	}
	leftOut, err = work.feed(ctx, tasks, queue)
	close(queue)
	group.Wait()
	if err == nil {
		err = work.fault()
	}
	if err == nil {
		err = parent.Err()
	}
	return work.years, leftOut, err
}

// feed hands the years over, each when a worker is free, and tells those that are left out.
func (w *yearWork) feed(ctx context.Context, tasks yearTasks, queue chan<- numberedTask) ([]string, error) {
	n, leftOut := 0, []string{}
	for t, err := range tasks.each {
		switch {
		case err != nil:
			return leftOut, err
		case t.out != "":
			leftOut = append(leftOut, t.name+": "+t.out)
			continue
		}
		w.room(n)
		select {
		case queue <- numberedTask{t, n}:
			n++
		case <-ctx.Done():
			return leftOut, nil
		}
	}
	return leftOut, nil
}

type numberedTask struct {
	yearTask
	at int
}

// yearWork gathers what the workers find.
type yearWork struct {
	base  scenarios.Case
	opt   YearsOptions
	count int

	mu    sync.Mutex
	years []WeatherYear
	errs  []error
	done  int
}

func (w *yearWork) room(at int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for len(w.years) <= at {
		w.years, w.errs = append(w.years, WeatherYear{}), append(w.errs, nil)
	}
}

func (w *yearWork) do(ctx context.Context, t numberedTask) error {
	year, err := solveYear(ctx, w.base, t.yearTask, w.opt)
	w.mu.Lock()
	defer w.mu.Unlock()
	w.years[t.at], w.errs[t.at] = year, err
	if w.done++; w.opt.Progress != nil && err == nil {
		w.opt.Progress(w.done, w.count)
	}
	return err
}

// fault is the first year's that failed by itself and not because another had.
func (w *yearWork) fault() error {
	for _, err := range w.errs {
		if err != nil && !errors.Is(err, context.Canceled) {
			return err
		}
	}
	return nil
}

// solveYear solves one year: its curve, and the year with the store as the scenario has it.
func solveYear(ctx context.Context, base scenarios.Case, t yearTask, opt YearsOptions) (WeatherYear, error) {
	if err := ctx.Err(); err != nil {
		return WeatherYear{}, err
	}
	c, err := t.make()
	if err != nil {
		return WeatherYear{}, err
	}
	x, err := compared(ctx, Named{t.name, c}, CompareOptions{ToM3: opt.ToM3, Engine: opt.Engine})
	if err != nil {
		return WeatherYear{}, fmt.Errorf("%s: %w", t.name, err)
	}
	kWhM2 := c.Axis.StepH() / 1000
	y := WeatherYear{
		Name: t.name, Own: t.own,
		DNIKWhM2: sum(c.Weather.DNI) * kWhM2, GHIKWhM2: sum(c.Weather.GHI) * kWhM2, AirC: sum(c.Weather.AirC) / float64(c.Axis.N),
		DemandKWh: x.DemandKWh, AnnualCost: x.AnnualCost, SavingsVsBoilersOnly: x.SavingsVsBoilersOnly,
		SavingsVsNoStorage: x.NoStorageCost - x.AnnualCost, SolarFraction: x.SolarFraction, FuelKWh: x.FuelKWh, CO2Kg: x.CO2Kg,
		SpilledSunKWh: x.SpilledSunKWh, UnmetKWh: x.UnmetKWh, BoilersOnlyCost: x.BoilersOnlyCost,
		Notes: []string{}, curve: x.Curve, gap: x.CertifiedGap, proof: x.Proof,
	}
	for _, w := range c.Warnings {
		if !slices.ContainsFunc(base.Warnings, func(b scenarios.Warning) bool { return b.Text == w.Text }) {
			y.Notes = append(y.Notes, w.Text)
		}
	}
	return y, nil
}
