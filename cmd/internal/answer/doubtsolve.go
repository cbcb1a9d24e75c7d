package answer

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// doubtRun is one thing to solve: a case of the sample, or one of what goes with it.
type doubtRun struct {
	what  string
	times []float64
	year  int // -1: the scenario's own weather
}

// doubtFound is what came of it.
type doubtFound struct {
	figures   DoubtFigures
	savings   []float64 // over no store, by volume
	net       []float64 // less what the store costs
	proof     Proof
	engine    string
	engineWhy string
}

// doubtWork solves all runs: the scenario as it is, its middle, each input at its ends, each year, and then the cases.
type doubtWork struct {
	base    scenarios.Case
	opt     DoubtOptions
	unsure  []scenarios.Unsure
	years   []doubtYear
	volumes []float64 // that every run is solved at, from 0 up; empty without a store
	at      int       // which of them is told of
	runs    []doubtRun
	found   []doubtFound

	mu   sync.Mutex
	errs []error
	done int
}

// Places of the first runs. After them come two for each input but weather, one for each year, and the cases.
const runAsWritten, runMiddle, runEnds = 0, 1, 2

func newDoubtWork(c scenarios.Case, d Doubt, years []doubtYear, opt DoubtOptions) *doubtWork {
	w := &doubtWork{base: c, opt: opt, years: years}
	middle, asWritten := []float64{}, []float64{}
	for _, in := range d.Inputs {
		w.unsure = append(w.unsure, in.unsure)
		middle, asWritten = append(middle, in.Median), append(asWritten, 1)
	}
	if c.Store != nil {
		w.volumes = roundAxis(opt.ToM3, false)
		i, has := slices.BinarySearch(w.volumes, d.VolumeM3)
		if !has {
			w.volumes = slices.Insert(w.volumes, i, d.VolumeM3)
		}
		w.at = i
		if yearly := c.StoreYearly(); yearly != nil {
			w.volumes = slices.DeleteFunc(w.volumes, func(v float64) bool { return !priced(yearly, v) })
		}
	}
	w.runs = []doubtRun{{"the scenario as it is written", asWritten, -1}, {"every input in its middle", middle, -1}}
	for k, u := range w.unsure {
		if u.What == scenarios.UnsureWeather {
			continue
		}
		for _, end := range []float64{u.Low, u.High} {
			times := slices.Clone(middle)
			times[k] = end
			w.runs = append(w.runs, doubtRun{fmt.Sprintf("%v at %.4g %%", u, 100*end), times, -1})
		}
	}
	for y := range years {
		w.runs = append(w.runs, doubtRun{years[y].name, middle, y})
	}
	w.sample()
	w.found, w.errs = make([]doubtFound, len(w.runs)), make([]error, len(w.runs))
	return w
}

// sample adds the cases.
func (w *doubtWork) sample() {
	for i, point := range latin(w.opt.Cases, len(w.unsure), w.opt.Seed) {
		run := doubtRun{year: -1}
		var says []string
		for k, u := range w.unsure {
			run.times = append(run.times, u.At(point[k]))
			if u.What == scenarios.UnsureWeather {
				run.year = int(point[k] * float64(len(w.years)))
				says = append(says, w.years[run.year].name)
				continue
			}
			says = append(says, fmt.Sprintf("%v %.4g %%", u, 100*run.times[k]))
		}
		run.what = fmt.Sprintf("case %d (%s)", i+1, strings.Join(says, ", "))
		w.runs = append(w.runs, run)
	}
}

// firstCase is the place of the sample's first case among the runs.
func (w *doubtWork) firstCase() int { return len(w.runs) - w.opt.Cases }

// run solves everything on all cores. What comes first is what fails first where an end of a range cannot be met; the rest
// goes year by year, so that few years are held at a time.
func (w *doubtWork) run(parent context.Context) error {
	ctx, stop := context.WithCancel(parent)
	defer stop()
	order := make([]int, len(w.runs))
	for i, r := range w.runs {
		if order[i] = i; r.year >= 0 {
			w.years[r.year].left++
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(w.runs[a].year, w.runs[b].year) })
	queue := make(chan int)
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := range queue {
				if w.do(ctx, i) != nil {
					stop() // one that cannot be had is the answer for all
				}
			}
		})
	}
	for _, i := range order {
		queue <- i
	}
	close(queue)
	group.Wait()
	if err := parent.Err(); err != nil {
		return err
	}
	for _, i := range order {
		if err := w.errs[i]; err != nil && !errors.Is(err, context.Canceled) {
			return err
		}
	}
	return nil
}

func (w *doubtWork) do(ctx context.Context, i int) error {
	found, err := w.solve(ctx, w.runs[i])
	if err != nil {
		err = fmt.Errorf("%s: %w", w.runs[i].what, err)
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.found[i], w.errs[i] = found, err
	if w.done++; w.opt.Progress != nil && err == nil {
		w.opt.Progress(w.done, len(w.runs))
	}
	return err
}

// solve makes one plant and solves it at all volumes.
func (w *doubtWork) solve(ctx context.Context, r doubtRun) (doubtFound, error) {
	if err := ctx.Err(); err != nil {
		return doubtFound{}, err
	}
	c, weather := w.base, ""
	if r.year >= 0 {
		y := &w.years[r.year]
		defer y.done()
		var err error
		if c, err = y.use(); err != nil {
			return doubtFound{}, err
		}
		weather = y.name
	}
	c, err := c.With(w.unsure, r.times)
	if err != nil {
		return doubtFound{}, err
	}
	p, err := c.Problem()
	if err != nil {
		return doubtFound{}, err
	}
	boilers, err := boilersAlone(ctx, p, w.opt.Engine)
	if err != nil {
		return doubtFound{}, err
	}
	base := Baseline{BoilersOnlyCost: boilers}
	if c.Store == nil {
		x, err := Compared{}.withoutStore(ctx, c, w.opt.Engine)
		return doubtFound{figures: figuresOf(weather, x.point(), boilers), proof: x.Proof}, err
	}
	row := optimize.Row{Name: "store", Problem: p}
	law := c.StoreLaw()
	for _, v := range w.volumes {
		s, err := law(v)
		if err != nil {
			return doubtFound{}, err
		}
		row.Stores = append(row.Stores, s)
	}
	grid, err := optimize.Grid(ctx, c.StoreAt(), []optimize.Row{row}, optimize.Options{Engine: w.opt.Engine})
	if err != nil {
		return doubtFound{}, err
	}
	return w.foundOf(c, weather, base, grid), nil
}

// foundOf reads savings and the best volume off the solved volumes.
func (w *doubtWork) foundOf(c scenarios.Case, weather string, base Baseline, grid optimize.Map) doubtFound {
	cells := grid.Cells[0]
	base.NoStorageCost = cells[0].Cost
	yearly := c.StoreYearly()
	f := doubtFound{engine: grid.Engine, engineWhy: grid.Why,
		proof: Proof{PrimalResidual: grid.Proof.PrimalResidual, DualResidual: grid.Proof.DualResidual, DualityGap: grid.Proof.DualityGap}}
	best := 0
	for j, o := range cells {
		saved := base.NoStorageCost - o.Cost
		f.savings = append(f.savings, saved)
		if yearly != nil {
			whole, _ := yearly(w.volumes[j])
			saved -= whole
		}
		f.net = append(f.net, saved)
		if f.net[j] > f.net[best] {
			best = j
		}
	}
	f.figures = figuresOf(weather, pointOf(c, base, optimize.Point{VolumeM3: w.volumes[w.at], Outcome: cells[w.at]}), base.BoilersOnlyCost)
	f.figures.BestVolumeM3 = &w.volumes[best]
	if yearly != nil {
		if _, next := yearly(w.volumes[w.at]); !math.IsInf(next, 0) {
			f.figures.StorePerM3 = &next
		}
	}
	return f
}

func figuresOf(weather string, p Point, boilersOnly float64) DoubtFigures {
	return DoubtFigures{Weather: weather, AnnualCost: p.AnnualCost, BoilersOnlyCost: boilersOnly, SavingsVsBoilersOnly: p.SavingsVsBoilersOnly,
		SavingsVsNoStorage: p.SavingsVsNoStorage, SolarFraction: p.SolarFraction, FuelKWh: p.FuelKWh, CO2Kg: p.CO2Kg, UnmetKWh: p.UnmetKWh}
}

// point is what a plant without a store came to.
func (out Compared) point() Point {
	return Point{AnnualCost: out.AnnualCost, SavingsVsBoilersOnly: out.SavingsVsBoilersOnly, SolarFraction: out.SolarFraction,
		FuelKWh: out.FuelKWh, CO2Kg: out.CO2Kg, UnmetKWh: out.UnmetKWh}
}
