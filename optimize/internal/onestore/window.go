package onestore

import (
	"context"
	"errors"
	"fmt"
)

// Worth is a stretch of heat in the store and what each kWh of it is worth.
type Worth struct{ Price, KWh float64 }

// Reset gives the solver another plant, in the room that it has.
func (s *Solver) Reset(p Plant) error {
	if len(p.Demand) == 0 {
		return errors.New("onestore: no step")
	}
	if !(p.HeatCost >= 0) {
		return fmt.Errorf("onestore: heat cost %g; want 0 or more", p.HeatCost)
	}
	s.plant, s.plan = p, nil
	s.n = len(p.Demand)
	s.ladder, s.uses = s.ladder[:0], s.uses[:0]
	if cap(s.steps) < s.n {
		s.steps = make([]ready, s.n)
	}
	s.steps = s.steps[:s.n]
	for t := range s.steps {
		s.steps[t] = s.makeReady(t)
	}
	return nil
}

// Window finds a course of least cost for steps that begin with some heat in the store and end where what is left
// is worth so much: stretches, the dearest first; what the store holds beyond them is worth nothing. The cost that is
// least is that of the steps less the worth of what is left. Levels are as [Solver.Levels] gives them, for each list of
// prices by step. The Plan has flows and contents and no prices, and is good until the next solve.
func (s *Solver) Window(ctx context.Context, store *Store, held float64, left []Worth, prices ...[]float64) (plan *Plan, levels [][]float64, err error) {
	if err := s.check(store); err != nil {
		return nil, nil, err
	}
	if !(held >= 0 && held <= store.Capacity) {
		return nil, nil, fmt.Errorf("onestore: holds %g at the start; want 0 to %g", held, store.Capacity)
	}
	y := &s.year
	y.ctx, y.s, y.store = ctx, s, store
	y.prepare()
	if err := y.endWith(left); err != nil {
		return nil, nil, err
	}
	for range prices {
		levels = append(levels, make([]float64, s.n))
	}
	look := func(t int) {
		for i, price := range prices {
			levels[i][t] = y.level(price[t])
		}
	}
	if err := y.overSteps(look); err != nil {
		return nil, nil, err
	}
	y.plan.held[0] = held
	y.forward(&y.plan, false)
	clear(y.price)
	return s.fill(), levels, nil
}

// endWith makes the list that of heat left at the end.
func (y *yearWork) endWith(left []Worth) error {
	y.list.clear()
	room, last := y.store.Capacity, 0.0
	for i, w := range left {
		if !(w.KWh >= 0 && w.Price >= 0) || i > 0 && w.Price > last {
			return fmt.Errorf("onestore: %g kWh left are worth %g each; want 0 or more of both, the dearest first", w.KWh, w.Price)
		}
		last = w.Price
		if n := min(w.KWh, room); n > 0 {
			y.list.pushBack(w.Price, n, false)
			room -= n
		}
	}
	if room > 0 {
		y.list.pushBack(0, room, false)
	}
	return nil
}

// Worths gives what heat in the store is worth at the start of every so many steps, from the first on: V itself (doc.go).
// It follows a Solve, as Levels does, and leaves its Plan as it is.
func (s *Solver) Worths(ctx context.Context, every int) ([][]Worth, error) {
	y := &s.year
	if y.store == nil {
		return nil, errors.New("onestore: worths are asked for before a solve")
	}
	out := make([][]Worth, (s.n+every-1)/every)
	if y.store.Capacity == 0 {
		return out, nil
	}
	y.ctx = ctx
	err := y.overYears(func(t int) {
		if next := (t + 1) % s.n; next%every == 0 {
			out[next/every] = y.list.worths(out[next/every][:0])
		}
	})
	return out, err
}

// worths writes the list out; stretches of one price are one.
func (l *slopes) worths(out []Worth) []Worth {
	for _, s := range l.at[l.lo:l.hi] {
		w := Worth{max(s.price*l.priceUnit, 0), s.len * l.lenUnit}
		if n := len(out); n > 0 && out[n-1].Price <= w.Price {
			out[n-1].KWh += w.KWh // rounding apart, the same price
			continue
		}
		out = append(out, w)
	}
	return out
}
