package optimize

import (
	"context"
	"fmt"
)

// engine solves one problem again and again as one of its stores changes size. It is asked for values
// only: the proof does not believe it.
type engine interface {
	// solve gives the flows and prices of a plan of least cost, which the next solve may overwrite. An
	// error is the context's, or says why the engine has no plan.
	solve(ctx context.Context) (*Schedule, *prices, error)
	// resize gives store k new numbers; its header and which of its series are zero must stay.
	resize(k int, s Store) error
	close()
}

// twinner is an engine of which there can be a second, to solve two sizes at once. A twin may start from
// what the other has found, but only as far as that was known at its resize: so that an answer does
// not depend on which was quicker.
type twinner interface{ twin() (engine, error) }

// prices are the dual values of the program's rows, by part and step, per kW or kWh in that row. Any
// values give a true lower bound on the cost (see bound.go); the engine's best ones give the cost itself.
type prices struct {
	header [][]float64 // what one more kW of demand in the step costs
	area   [][]float64 // what one more m² of field in the step saves, 0 or more
	store  [][]float64 // what one more kWh in the store at the step's end saves
	room   [][]float64 // what one more kW of charging limit saves, 0 or more
	ramp   [][]float64 // of the rise into the step: below 0 the rise is held back, above 0 the fall
	window [][]float64 // by move and window: what one more kWh of its heat costs
	limit  [][]float64 // what one more kW of it saves, 0 or more
	take   [][]float64 // one value each: what one more kWh of it costs, 0 or more
}

// newPrices gives each row memory of its own, so that a row can be dropped alone.
func newPrices(p *Problem) *prices {
	rows := func(count int) [][]float64 {
		list := make([][]float64, count)
		for i := range list {
			list[i] = make([]float64, p.N())
		}
		return list
	}
	windows := make([][]float64, len(p.Moves))
	for i, m := range p.Moves {
		windows[i] = make([]float64, len(m.Windows))
	}
	return &prices{rows(len(p.Headers)), rows(len(p.Fields)), rows(len(p.Stores)), rows(len(p.Stores)), rows(len(p.Boilers)), windows,
		rows(len(p.Limits)), grid(len(p.Takes), 1)}
}

// grid is rows × n zeros in one piece of memory.
func grid(rows, n int) [][]float64 {
	all, list := make([]float64, rows*n), make([][]float64, rows)
	for i := range list {
		list[i] = all[i*n : (i+1)*n : (i+1)*n]
	}
	return list
}

// Names of engines for [Options].Engine.
const (
	EngineClp      = "clp"
	EngineOneStore = "onestore"
)

// mostClpSteps is how many steps Clp is given. A dyehouse's curve of two headers took 10 s and 0.9 GB
// for a year of 10-minute steps, 37 s and 2.2 GB for one of 5-minute steps; a plan by the minute took 50 s,
// and a curve by the minute was not done in 10 min.
const mostClpSteps = 60000

// clpInSeconds is Clp, unless the problem has too many steps for it.
func clpInSeconds(p Problem, why string) (engine, error) {
	if n := p.N(); haveClp && n > mostClpSteps {
		return nil, &NeedsClp{Why: why, Steps: n}
	}
	return newClpEngine(p, why)
}

// choose picks the engine for a problem and says why; force names one, empty leaves it open.
func choose(p Problem, force string) (eng engine, name, why string, err error) {
	not := misfit(p)
	if not == "" && force == "" {
		not = binds(context.Background(), p)
	}
	switch force {
	case "":
		if not == "" {
			eng, err = newOneStoreEngine(p, false)
			return eng, EngineOneStore, "one store is all that couples the hours", err
		}
		eng, err = clpInSeconds(p, not)
		return eng, EngineClp, not, err
	case EngineClp:
		eng, err = clpInSeconds(p, "it was asked for")
		return eng, EngineClp, "it was asked for", err
	case EngineOneStore:
		if not != "" {
			return nil, "", "", fmt.Errorf("engine onestore: cannot take this plant: %s; use clp", not)
		}
		eng, err = newOneStoreEngine(p, true)
		return eng, EngineOneStore, "it was asked for", err
	}
	return nil, "", "", fmt.Errorf("engine: is %q; want clp or onestore", force)
}
