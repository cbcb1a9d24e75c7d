package onestore

import (
	"context"
	"fmt"
	"math"
	"testing"
)

// solved is an answer with what was checked of it from the plant's own numbers.
type solved struct {
	*Plan
	cost  float64
	bound float64 // by weak duality, no plan of this plant and store costs less
}

// dualityTol is the breach and the gap allowed, as a share of what is there: rounding, with room to spare.
const dualityTol = 1e-9

// solve solves and checks: every row and bound holds, and the prices bound the cost from below at the
// cost itself. Nothing of the engine's own working enters the check.
func solve(p Plant, store *Store) (solved, error) {
	s, err := New(p)
	if err != nil {
		return solved{}, err
	}
	plan, err := s.Solve(context.Background(), store)
	if err != nil {
		return solved{}, err
	}
	return checked(p, store, plan)
}

func must(t *testing.T, p Plant, store *Store) solved {
	t.Helper()
	a, err := solve(p, store)
	if err != nil {
		t.Fatalf("%v\n%s", err, told(p, store))
	}
	return a
}

// told is a plant and a store for a message, not longer than one can read.
func told(p Plant, store *Store) string {
	return fmt.Sprintf("%.2000s", fmt.Sprintf("%+v\n%+v", *store, p))
}

func checked(p Plant, store *Store, plan *Plan) (solved, error) {
	a := solved{Plan: plan}
	most := max(1e-200, 2*closeFrac/dualityTol*store.Capacity) // heats nearer than closeFrac of it are one to the engine
	for t := range p.Demand {
		most = max(most, p.Demand[t]+store.Standing[t]+plan.Held[t])
		for _, b := range p.Sources {
			most = max(most, b.Cap[t])
		}
		for _, f := range p.Fields {
			most = max(most, at(f.Header, t), at(f.Store, t))
		}
	}
	if kWh, where := worstBreach(p, store, plan); !(kWh <= dualityTol*most) {
		return a, fmt.Errorf("%s is off by %g kWh, where flows are up to %g", where, kWh, most)
	}
	a.cost, a.bound = costOf(p, plan), lowerBound(p, store, plan)
	dearest, asked := p.UnmetCost, 0.0
	for _, d := range p.Demand {
		asked += d
	}
	scale := max(math.Abs(a.cost), dearest*max(1e-3*asked, 1e-3*most))
	if gap := math.Abs(a.cost-a.bound) / scale; !(gap <= dualityTol) {
		return a, fmt.Errorf("cost %.12g, bound %.12g: %.1e of %g apart", a.cost, a.bound, gap, scale)
	}
	return a, nil
}

// worstBreach goes through every row and bound.
func worstBreach(p Plant, s *Store, plan *Plan) (worst float64, where string) {
	note := func(kWh float64, what string, t int) {
		if !(kWh <= worst) {
			worst, where = kWh, fmt.Sprintf("step %d: %s", t, what)
		}
	}
	for t, demand := range p.Demand {
		box := func(x, most float64, what string) { note(max(-x, x-most), what, t) }
		header := plan.Draw[t] + plan.Unmet[t] - plan.Vent[t] - demand - plan.Warm[t] - plan.Take[t]
		charged := plan.Take[t]
		for i, b := range p.Sources {
			box(plan.Source[i][t], b.Cap[t], "source")
			header += plan.Source[i][t]
		}
		for i, f := range p.Fields {
			now, later := plan.FieldHeader[i][t], plan.FieldStore[i][t]
			box(now, at(f.Header, t), "field to header")
			box(later, at(f.Store, t), "field to store")
			if a, b := at(f.Header, t), at(f.Store, t); a > 0 && b > 0 {
				note((now/a+later/b-1)*max(a, b), "area", t)
			}
			header, charged = header+now, charged+later
		}
		box(plan.Draw[t], s.Discharge, "draw")
		box(plan.Warm[t], s.Standing[t], "warm")
		box(plan.Take[t], s.FromHeader, "take")
		box(plan.Unmet[t], demand+s.Standing[t], "unmet")
		box(charged, s.Charge, "charging limit")
		box(plan.Held[t], s.Capacity, "held")
		if plan.Vent[t] != 0 && !p.Vents {
			note(math.Abs(plan.Vent[t]), "vent", t)
		}
		note(-plan.Vent[t], "vent", t)
		note(math.Abs(header), "header", t)
		gain := charged + plan.Warm[t] - plan.Draw[t] - s.Standing[t]
		note(math.Abs(s.Keep[t]*plan.Held[t]+gain-plan.Held[t+1]), "store", t)
	}
	note(math.Abs(plan.Held[len(p.Demand)]-plan.Held[0]), "the year's end", len(p.Demand))
	return worst, where
}

func costOf(p Plant, plan *Plan) float64 {
	cost := 0.0
	for t := range p.Demand {
		cost += p.UnmetCost * plan.Unmet[t]
		for i, b := range p.Sources {
			cost += b.Cost[t] * plan.Source[i][t]
		}
		for i := range p.Fields {
			cost += p.HeatCost * (plan.FieldHeader[i][t] + plan.FieldStore[i][t])
		}
	}
	return cost
}

// lowerBound is the Lagrangian at the plan's prices, each flow at its cheapest within its bounds. Any prices
// give a true bound; room to charge has no price below nothing.
func lowerBound(p Plant, s *Store, plan *Plan) float64 {
	n, sum := len(p.Demand), 0.0
	for t, demand := range p.Demand {
		header, stored, room := plan.HeaderPrice[t], plan.StorePrice[t], max(plan.RoomPrice[t], 0)
		free := func(limit, cost float64) { sum += min(0, limit*cost) }
		sum += header*demand + stored*s.Standing[t] - room*s.Charge
		everything := s.Discharge
		for _, b := range p.Sources {
			free(b.Cap[t], b.Cost[t]-header)
			everything += b.Cap[t]
		}
		for _, f := range p.Fields {
			now, later := at(f.Header, t)*(p.HeatCost-header), at(f.Store, t)*(p.HeatCost-stored+room)
			sum += min(0, now, later) // the area goes to one use, or to none
			everything += at(f.Header, t)
		}
		free(demand+s.Standing[t], p.UnmetCost-header)
		free(s.Discharge, stored-header)
		free(s.Standing[t], header-stored)
		free(s.FromHeader, header-stored+room)
		if p.Vents {
			free(everything, header)
		}
		free(s.Capacity, plan.StorePrice[(t+n-1)%n]-s.Keep[t]*stored)
	}
	return sum
}

// capacityWorth is what a kWh more of capacity would save, by the plan's prices.
func capacityWorth(s *Store, plan *Plan) float64 {
	n, worth := len(s.Keep), 0.0
	for t, keep := range s.Keep {
		worth += max(0, keep*plan.StorePrice[t]-plan.StorePrice[(t+n-1)%n])
	}
	return worth
}

// opened says whether the last solve had to open the year.
func (s *Solver) opened() bool { return s.year.spare.gain != nil }
