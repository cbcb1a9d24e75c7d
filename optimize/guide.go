package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// GuideLine says step by step how far the store may be drawn down in place of a boiler.
//
// A kWh drawn now spares a boiler's kWh now; a kWh held spares one later. HoldKWh is where the two are
// worth the same: the store should give down to that heat at the step's end, and no further. It holds
// for any content, not only the plan's own, and supposes that what comes is known, as [Plan] does.
type GuideLine struct {
	HoldKWh []float64 // 0: give all there is; the store's capacity: give nothing
	// BoilerPrice is what HoldKWh weighs the stored heat against, per kWh: the dearest boiler heat of the
	// step if the store gives nothing, and where the sun suffices, the cheapest there could be. Where the
	// boilers fall short it is the price of unmet heat, +Inf if none may be missing.
	BoilerPrice []float64
}

// NoGuide says why there is no guide line for a problem.
type NoGuide struct{ Why string }

func (e *NoGuide) Error() string { return "no guide line: " + e.Why }

// Guide finds the guide line of a problem with one store that the one-store engine takes. The error is
// as that of [Plan], or a *NoGuide: without a store, for a problem of another kind, or where that
// engine's answer fails the proof.
func Guide(ctx context.Context, p Problem) (GuideLine, error) {
	e, err := guideEngine(ctx, p)
	if err != nil {
		return GuideLine{}, err
	}
	defer e.close()
	return e.guide(ctx)
}

// guideEngine solves and proves a problem for its guide line.
func guideEngine(ctx context.Context, p Problem) (*oneStoreEngine, error) {
	if err := p.Check(); err != nil {
		return nil, fmt.Errorf("problem: %w", err)
	}
	if len(p.Stores) == 0 {
		return nil, &NoGuide{"there is no store"}
	}
	if not := misfit(p); not != "" {
		return nil, &NoGuide{"it needs one store to be all that couples the hours, but " + not}
	}
	eng, err := newOneStoreEngine(p, true)
	if err != nil {
		return nil, err
	}
	e := eng.(*oneStoreEngine)
	if _, err := solveProven(ctx, e.w, e); err != nil {
		e.close()
		if failed := (*Unproven)(nil); errors.As(err, &failed) {
			return nil, &NoGuide{err.Error()}
		}
		return nil, err
	}
	return e, nil
}

// guide reads the levels of the problem that was just solved.
func (e *oneStoreEngine) guide(ctx context.Context) (GuideLine, error) {
	g := GuideLine{BoilerPrice: make([]float64, e.w.n)}
	short := make([]bool, e.w.n)
	for t := range g.BoilerPrice {
		cost, enough := e.solver.NextCost(t)
		g.BoilerPrice[t], short[t] = cost, !enough
	}
	var err error
	if g.HoldKWh, err = e.solver.Levels(ctx, g.BoilerPrice); err != nil {
		return GuideLine{}, err
	}
	if e.w.p.Headers[0].UnmetPrice == 0 {
		for t := range short {
			if short[t] {
				g.BoilerPrice[t] = math.Inf(1)
			}
		}
	}
	return g, nil
}
