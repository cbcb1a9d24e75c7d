package answer

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"noonkeep/optimize"
	"noonkeep/optimize/replay"
	"noonkeep/plant"
	"noonkeep/plant/sky"
	"noonkeep/scenarios"
)

// stage is what all plays of one plant share.
type stage struct {
	m      *machine
	c      scenarios.Case // by the hour, with movable work as soon as it may be
	p      optimize.Problem
	usual  scenarios.Case
	usualP optimize.Problem
	f      *forecast
	t      tariff
	engine string
}

// set is a plant at one size of its store, with what the ways need to know.
type set struct {
	volumeM3 float64
	p        optimize.Problem
	usual    usualYear
	plan     optimize.Schedule
	lower    float64
	on       [][]bool          // of a plan that keeps to on and off
	free     optimize.Schedule // the plan before it kept to them
}

// stageOf reads the scenario as the ways see it.
func stageOf(c scenarios.Case, opt ReplayOptions) (*stage, error) {
	m, err := machineOf(c, opt)
	if err != nil {
		return nil, err
	}
	s := &stage{m: m, c: c, usual: c}
	if seed, generated := c.Seed(); generated {
		if s.usual, err = c.WithSeed(seed ^ 1); err != nil { // a neighbour that is a seed wherever this is one
			return nil, err
		}
	}
	if s.p, err = problemOf(c); err != nil {
		return nil, err
	}
	if s.usualP, err = problemOf(s.usual); err != nil {
		return nil, err
	}
	s.t = tariffOf(s.p, c.PowerPerKWh)
	s.f, err = s.forecast()
	return s, err
}

// problemOf is a case's problem with all work done as soon as it may be.
func problemOf(c scenarios.Case) (optimize.Problem, error) {
	p, err := c.Problem()
	if err != nil {
		return p, err
	}
	return p.AtSoonest(), nil
}

// forecast makes the forecast of a case, which learns from the usual year.
func (s *stage) forecast() (*forecast, error) {
	f := &forecast{axis: s.c.Axis}
	clear, err := clearYields(s.c)
	if err != nil {
		return nil, err
	}
	usual, err := clearYields(s.usual)
	if err != nil {
		return nil, err
	}
	for i := range s.c.Fields {
		x := fieldForecast{areaM2: s.c.Fields[i].AreaM2(), actual: s.c.Fields[i].Yield().KWM2, clear: clear[i].main,
			best: most(clear[i].main), clearHeaders: clear[i].headers, clearStores: clear[i].stores}
		x.learn(s.usual.Axis, s.usual.Fields[i].Yield().KWM2, usual[i].main)
		f.fields = append(f.fields, x)
	}
	for l := range s.c.Headers {
		x := loadForecast{known: slices.Clone(s.p.Headers[l].DemandKW), unsure: make([]float64, s.c.Axis.N)}
		for i, load := range s.c.Loads {
			if load.Header != l || load.Moved != nil || s.c.KnownAhead(i) {
				continue
			}
			for t, kW := range load.KW {
				x.known[t] -= kW
				x.unsure[t] += kW
			}
		}
		f.loads = append(f.loads, x)
	}
	return f, nil
}

// clearField are a field's yields under a clear sky, kW per m².
type clearField struct {
	main            []float64
	headers, stores [][]float64
}

func clearYields(c scenarios.Case) ([]clearField, error) {
	year, err := sky.ClearSky(c.Weather)
	if err != nil {
		return nil, fmt.Errorf("clear sky: %w", err)
	}
	var out []clearField
	for i := range c.Fields {
		f := &c.Fields[i]
		x := clearField{headers: make([][]float64, len(c.Headers))}
		at := func(field plant.Field, fluidC float64) []float64 {
			var y plant.YieldYear
			if err == nil {
				y, err = field.Yield(year, fluidC)
			}
			return y.KWM2
		}
		if f.Feeds != scenarios.ToStoreAlone {
			x.main = at(f.Field, f.AtC)
			x.headers[f.Header] = x.main
		}
		for k, y := range f.ToStores {
			x.stores = append(x.stores, nil)
			if y.KWM2 != nil {
				x.stores[k] = at(f.Field, c.Stores[k].HotC())
				if x.main == nil {
					x.main = x.stores[k]
				}
			}
		}
		if err != nil {
			return nil, fmt.Errorf("field %q under a clear sky: %w", f.Name, err)
		}
		out = append(out, x)
	}
	return out, nil
}

// at is the plant at a size of its store.
func (s *stage) at(volumeM3 float64) (*set, error) {
	k := s.c.StoreAt()
	x := &set{volumeM3: volumeM3, p: s.p}
	store, err := s.c.StoreLaw()(volumeM3)
	if err != nil {
		return nil, err
	}
	x.p.Stores = slices.Clone(s.p.Stores)
	x.p.Stores[k] = store
	x.usual.p = s.usualP
	if store, err = s.usual.StoreLaw()(volumeM3); err != nil {
		return nil, err
	}
	x.usual.p.Stores = slices.Clone(s.usualP.Stores)
	x.usual.p.Stores[k] = store
	return x, nil
}

// solve finds the plan; where asked and boilers ask for it, one that keeps to on and off, which takes seconds.
func (s *stage) solve(ctx context.Context, x *set, onOff bool) error {
	plan, proof, err := optimize.Plan(ctx, x.p, optimize.Options{Engine: s.engine})
	if err != nil {
		return err
	}
	x.plan, x.free, x.lower = plan, plan, proof.LowerBound
	cycles := s.c.Cycles()
	if cycles == nil || !onOff {
		return nil
	}
	r, err := optimize.Repair(ctx, x.p, cycles, plan, proof.LowerBound, optimize.Options{Engine: s.engine})
	if refused(err) {
		return nil
	}
	if err != nil {
		return err
	}
	x.plan, x.on = r.Schedule, r.On
	x.plan.Cost = r.Cost
	return nil
}

// toTheLetter is the plan with each draw prescribed: how it is tried for what the physics refuses.
const toTheLetter = "plan to the letter"

// same is the way that a way comes to: without a store, or where nothing is held back, the plain rule.
func (s *stage) same(name string, x *set) string {
	switch {
	case name == WaySight:
	case x.p.Stores[s.c.StoreAt()].CapacityKWh == 0 && len(s.c.Stores) == 1, name == WayGuide && most(x.usual.hold) == 0:
		return WayRule
	}
	return name
}

// way makes a way of running; the error is read after the play.
func (s *stage) way(ctx context.Context, name string, x *set) (w replay.Way, fault func() error) {
	none := func() error { return nil }
	k := s.c.StoreAt()
	switch {
	case name == WayPlan, name == toTheLetter:
		return plannedOf(s.m, x.p, &x.plan, x.on, name == toTheLetter), none
	case name == WayGuide && x.usual.hold != nil:
		return &holding{k, hourly(x.usual.hold, s.t.perHour)}, none
	case name == WayRolling && x.p.Stores[k].CapacityKWh > 0:
		w := &rolling{ctx: ctx, at: -1, r: roller{axis: s.c.Axis, p: x.p, f: s.f, left: x.usual.left}}
		w.r.p.Takes = nil
		return w, func() error { return w.err }
	}
	return replay.PlainRule{}, none
}

// played is a year that was played, and what it cost.
type played struct {
	replay.Played
	cost float64
}

// play runs a way.
func (s *stage) play(ctx context.Context, name string, x *set) (*played, error) {
	w, fault := s.way(ctx, name, x)
	out, err := replay.Run(ctx, s.m.at(x.volumeM3), w, replay.Options{})
	if err == nil {
		err = fault()
	}
	if err != nil {
		return nil, fmt.Errorf("%s at %.4g m³: %w", name, x.volumeM3, err)
	}
	return &played{out, s.t.cost(&out, s.m.merit, true)}, nil
}

// each does n things on all cores and returns the first error in their order.
func each(n int, do func(i int) error) error {
	errs := make([]error, n)
	var group sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range n {
		group.Go(func() {
			slots <- struct{}{}
			errs[i] = do(i)
			<-slots
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func share(part, of float64) float64 {
	if of == 0 || math.IsNaN(part/of) {
		return 0
	}
	return part / of
}
