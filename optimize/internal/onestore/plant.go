package onestore

import (
	"cmp"
	"fmt"
	"slices"
)

// Plant is what feeds and asks heat of the one header, all but the store. Series are by step, kWh.
type Plant struct {
	Demand    []float64
	Sources   []Source
	UnmetCost float64 // per kWh; room for unmet heat is the demand and the standing loss
	Fields    []Field
	HeatCost  float64 // per kWh of heat from any field, 0 or more
	Vents     bool    // heat may be let go from the header, as it must be where a cost is negative
}

// Source gives heat to the header at a cost: one stretch of a boiler's load.
type Source struct {
	Cap  []float64 // kWh
	Cost []float64 // per kWh of heat
}

// Field is what a field can give in a step if all its area works for one use.
type Field struct {
	Header []float64 // kWh to the header; nil: none
	Store  []float64 // kWh into the store; nil: none
}

// Store is the store at one size. Limits are kWh per step.
type Store struct {
	Capacity   float64   // kWh
	Keep       []float64 // share of the heat held at a step's start that is left at its end, 0 to 1
	Standing   []float64 // loss whatever is held, which the header may replace in the same step
	Charge     float64   // from fields and header together
	Discharge  float64
	FromHeader float64 // charging from the header; 0: none
}

// Solver holds a plant made ready and all the room that solving takes.
type Solver struct {
	plant  Plant
	n      int
	steps  []ready
	ladder []rung // of all steps, in order of cost within each
	uses   []use  // of all steps, in order of what they make of a kWh at the header
	year   yearWork
	plan   *Plan
}

// ready is one step of the plant: stretches of ladder and uses, and sums.
type ready struct {
	rungs, cheap, rungsEnd int32 // rungs below the fields' heat cost stand before cheap
	uses, usesEnd          int32
	demand                 float64
	sun                    float64 // of all fields at the header
	alone                  float64 // of fields that can only charge the store
}

// lit says whether any field can do anything in the step.
func (r *ready) lit() bool { return r.sun > 0 || r.alone > 0 }

// rung is heat to the header at a cost.
type rung struct {
	cost, cap float64
	source    int32 // or unmet
}

const unmet = -1

// use is a field that can turn sun at the header into heat in the store: ratio kWh for each kWh there.
type use struct {
	ratio, cap float64 // cap in kWh at the header
	field      int32
}

// New makes a plant ready. It is an error if the plant is not of the kind this engine takes.
func New(p Plant) (*Solver, error) {
	s := &Solver{plant: p, n: len(p.Demand)}
	if s.n == 0 {
		return nil, fmt.Errorf("onestore: no step")
	}
	if !(p.HeatCost >= 0) {
		return nil, fmt.Errorf("onestore: heat cost %g; want 0 or more", p.HeatCost)
	}
	s.steps = make([]ready, s.n)
	for t := range s.steps {
		s.steps[t] = s.makeReady(t)
	}
	return s, nil
}

func (s *Solver) makeReady(t int) ready {
	p := &s.plant
	r := ready{demand: p.Demand[t], rungs: int32(len(s.ladder)), uses: int32(len(s.uses))}
	for i, b := range p.Sources {
		if b.Cap[t] > 0 {
			cost := b.Cost[t]
			if p.Vents { // heat that pays for being made is made, and what is too much let go
				cost = max(cost, 0)
			}
			s.ladder = append(s.ladder, rung{cost, b.Cap[t], int32(i)})
		}
	}
	s.ladder = append(s.ladder, rung{p.UnmetCost, 0, unmet}) // its room depends on the store
	rungs := s.ladder[r.rungs:]
	slices.SortStableFunc(rungs, func(a, b rung) int { return cmp.Compare(a.cost, b.cost) })
	r.rungsEnd = int32(len(s.ladder))
	r.cheap = r.rungs
	for r.cheap < r.rungsEnd && s.ladder[r.cheap].cost < p.HeatCost {
		r.cheap++
	}
	for i, f := range p.Fields {
		header, store := at(f.Header, t), at(f.Store, t)
		switch {
		case header > 0:
			r.sun += header
			if store > 0 {
				s.uses = append(s.uses, use{store / header, header, int32(i)})
			}
		case store > 0:
			r.alone += store
		}
	}
	slices.SortStableFunc(s.uses[r.uses:], func(a, b use) int { return cmp.Compare(b.ratio, a.ratio) })
	r.usesEnd = int32(len(s.uses))
	return r
}

func at(v []float64, t int) float64 {
	if v == nil {
		return 0
	}
	return v[t]
}
