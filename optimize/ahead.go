package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"

	"noonkeep/optimize/internal/onestore"
)

// Worth is a stretch of heat in a store and what each kWh of it is worth.
type Worth struct {
	PricePerKWh float64
	KWh         float64
}

// Outlook is a stretch of time as it is expected: a problem whose year is that stretch, what the stores hold at its
// start, and what heat left at its end is worth.
type Outlook struct {
	Problem Problem
	HeldKWh []float64 // by store, 0 to its capacity
	// Left is by store, the dearest stretch first; heat beyond the last stretch is worth nothing. Without it all is.
	Left [][]Worth
}

// Ahead solves outlook after outlook, as an operator does who plans anew every few hours. It serves one goroutine.
//
// Its plans are not proven: nothing is promised by them. That they are the best ones is tested, against proven plans
// of the same stretch closed into a year by two more parts.
type Ahead struct {
	solver *onestore.Solver
}

// Course is the plan of an outlook. Its prices are not worked out.
type Course struct {
	Schedule
	// HoldKWh is, for a plant that the one-store engine takes, how far the store should give in place of a boiler,
	// by step, as in a [GuideLine]; nil for others.
	HoldKWh []float64
	// SpareKWh is likewise the content above which heat may replace any boiler's, the cheapest that could burn too. Sole
	// says, by step, that all boilers' heat costs the same then, so that HoldKWh says all; where it does not, a store that
	// gives in a cheap boiler's place may lack the heat for a dear one's.
	SpareKWh []float64
	Sole     []bool
	// Value is the cost of the steps, fixed costs apart, less the worth of what is left. Heat that may not be missing
	// counts in it at a thousand times the dearest.
	Value float64
}

// Plan finds the plan of least cost of an outlook. Heat that may not be missing, and cannot be had, is missing in it all
// the same: a forecast is no reason to refuse a plan. The error is the outlook's faults, a *[NeedsClp], or the context's.
func (a *Ahead) Plan(ctx context.Context, o Outlook) (Course, error) {
	if err := o.check(); err != nil {
		return Course{}, err
	}
	w := newWork(o.Problem)
	var c Course
	if len(o.Problem.Stores) == 1 && misfit(o.Problem) == "" {
		err := a.oneStore(ctx, w, o, &c)
		if err != nil {
			return Course{}, err
		}
	} else {
		s, err := clpAhead(ctx, w, o)
		if err != nil {
			return Course{}, err
		}
		c.Schedule = *s
	}
	c.finish(w, newPrices(w.p))
	for k := range w.p.Stores {
		c.StoredKWh[k][w.n] = w.endKWh(&c.Schedule, k)
	}
	c.Value = w.value(&c.Schedule)
	for k, left := range o.Left {
		c.Value -= worthOf(left, c.StoredKWh[k][w.n])
	}
	return c, nil
}

// value is a plan's cost without what is fixed, heat that may not be missing at its penalty.
func (w *work) value(s *Schedule) float64 {
	value := s.Cost - s.FixedCost - s.TakeCost
	for l, h := range w.p.Headers {
		if h.UnmetPrice == 0 {
			value += w.dt * w.penalty[l] * sum(s.UnmetKW[l])
		}
	}
	return value
}

func (o Outlook) check() error {
	if err := o.Problem.Check(); err != nil {
		return fmt.Errorf("problem: %w", err)
	}
	stores := o.Problem.Stores
	switch {
	case len(o.HeldKWh) != len(stores):
		return fmt.Errorf("outlook: what %d stores hold is given; want %d", len(o.HeldKWh), len(stores))
	case o.Left != nil && len(o.Left) != len(stores):
		return fmt.Errorf("outlook: what is left in %d stores is given; want %d", len(o.Left), len(stores))
	case len(o.Problem.Takes) > 0:
		return errors.New("outlook: has a least take of a whole period; want none")
	case o.Problem.N() < 2:
		return errors.New("outlook: is one step; want two or more")
	}
	for k, held := range o.HeldKWh {
		if !(held >= 0 && held <= stores[k].CapacityKWh) {
			return fmt.Errorf("outlook: store %q holds %g kWh; want 0 to %g", stores[k].Name, held, stores[k].CapacityKWh)
		}
	}
	for k, left := range o.Left {
		last := math.Inf(1)
		for _, v := range left {
			if !(v.KWh >= 0 && v.PricePerKWh >= 0 && v.PricePerKWh <= last) {
				return fmt.Errorf("outlook: %g kWh left in store %q are worth %g each; want 0 or more of both, the dearest first",
					v.KWh, stores[k].Name, v.PricePerKWh)
			}
			last = v.PricePerKWh
		}
	}
	return nil
}

// oneStore asks the exact engine.
func (a *Ahead) oneStore(ctx context.Context, w *work, o Outlook, c *Course) error {
	e := &oneStoreEngine{w: w, plant: w.oneStorePlant(), alone: true}
	if a.solver == nil {
		a.solver = &onestore.Solver{}
	}
	if err := a.solver.Reset(e.plant); err != nil {
		return err
	}
	e.solver = a.solver
	plan := e.plan()
	e.solver.Into(plan)
	if err := e.resize(0, w.p.Stores[0]); err != nil {
		return err
	}
	var left []onestore.Worth
	if o.Left != nil {
		for _, v := range o.Left[0] {
			left = append(left, onestore.Worth{Price: v.PricePerKWh, KWh: v.KWh})
		}
	}
	dearest, cheapest := make([]float64, w.n), make([]float64, w.n)
	c.Sole = make([]bool, w.n)
	for t := range dearest {
		dearest[t], _ = e.solver.NextCost(t)
		cheapest[t], c.Sole[t] = e.solver.LeastCost(t)
	}
	got, levels, err := e.solver.Window(ctx, &e.store, o.HeldKWh[0], left, dearest, cheapest)
	if err != nil {
		return err
	}
	e.perHour(got)
	c.Schedule, c.HoldKWh, c.SpareKWh = *e.flows, levels[0], levels[1]
	return nil
}

// endKWh is what store k holds after the last step.
func (w *work) endKWh(s *Schedule, k int) float64 {
	store, t := &w.p.Stores[k], w.n-1
	in := s.HeaderChargeKW[k][t] + s.KeepWarmKW[k][t] - s.DischargeKW[k][t] - store.StandingKW[t]
	for i := range w.p.Fields {
		in += s.SunStoreKW[i][k][t]
	}
	return min(max(store.Keep[t]*s.StoredKWh[k][t]+w.dt*in, 0), store.CapacityKWh)
}

// worthOf is what heat is worth by stretches.
func worthOf(left []Worth, kWh float64) float64 {
	sum := 0.0
	for _, v := range left {
		n := min(v.KWh, kWh)
		sum += n * v.PricePerKWh
		kWh -= n
	}
	return sum
}

// leftTo makes stretches end at a capacity.
func leftTo(left []Worth, capacity float64) []Worth {
	var out []Worth
	room := capacity
	for _, v := range left {
		if n := min(v.KWh, room); n > 0 {
			out = append(out, Worth{v.PricePerKWh, n})
			room -= n
		}
	}
	if room > 0 {
		out = append(out, Worth{0, room})
	}
	return out
}

// Worths says what heat in the store of a problem that repeats is worth at the start of every so many steps, from the
// first on, as stretches from empty to full. The error is as that of [Guide].
func Worths(ctx context.Context, p Problem, every int) ([][]Worth, error) {
	if every < 1 {
		return nil, fmt.Errorf("worths: are asked for every %d steps; want 1 or more", every)
	}
	e, err := guideEngine(ctx, p)
	if err != nil {
		return nil, err
	}
	defer e.close()
	lists, err := e.solver.Worths(ctx, every)
	out := make([][]Worth, len(lists))
	for i, list := range lists {
		for _, v := range list {
			out[i] = append(out[i], Worth{v.Price, v.KWh})
		}
	}
	return out, err
}
