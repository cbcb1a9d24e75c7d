package optimize

import (
	"context"
	"errors"
	"fmt"
)

// Plan finds the schedule of least cost and proves it. The error is the problem's faults, a *NoPlan if
// a header goes short that may not, an *Unproven if the proof fails, or the context's; there is then no
// schedule. Of opt it reads Engine alone.
func Plan(ctx context.Context, p Problem, opt Options) (Schedule, Proof, error) {
	if err := p.Check(); err != nil {
		return Schedule{}, Proof{}, fmt.Errorf("problem: %w", err)
	}
	eng, _, _, err := choose(p, opt.Engine)
	if err != nil {
		return Schedule{}, Proof{}, err
	}
	defer eng.close()
	a, err := solveProven(ctx, newWork(p), eng)
	if err != nil {
		return Schedule{}, Proof{}, err
	}
	return *a.plan, a.proof, nil
}

// proven is an answer that passed its proof, with the prices that prove it.
type proven struct {
	plan   *Schedule
	prices *prices
	proof  Proof
}

// standby is an engine that knows another to ask where its own answer fails the proof.
type standby interface{ other() (engine, error) }

// solveProven is the only door from an engine to a number.
func solveProven(ctx context.Context, w *work, eng engine) (*proven, error) {
	a, err := solveOnce(ctx, w, eng)
	var failed *Unproven
	if by, ok := eng.(standby); ok && errors.As(err, &failed) {
		if next, nextErr := by.other(); nextErr == nil {
			defer next.close()
			return solveOnce(ctx, w, next)
		}
	}
	return a, err
}

func solveOnce(ctx context.Context, w *work, eng engine) (*proven, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s, q, err := eng.solve(ctx)
	if err != nil {
		return nil, err
	}
	s.finish(w, q)
	if err := s.short(w); err != nil {
		return nil, err
	}
	q.tidy(w)
	proof, err := prove(w, s, q)
	if err != nil {
		return nil, err
	}
	return &proven{s, q, proof}, nil
}

// short reports the header that misses most of the heat it may not miss.
func (s *Schedule) short(w *work) error {
	var worst *NoPlan
	for l, h := range w.p.Headers {
		if h.UnmetPrice > 0 {
			continue
		}
		e := NoPlan{Header: h.Name, Moves: w.p.movable(l)}
		for t, kW := range s.UnmetKW[l] {
			if kW <= residualLimit*w.peakKW {
				continue
			}
			e.Hours += w.dt
			e.TotalKWh += kW * w.dt
			if kW > e.WorstKW {
				e.WorstKW, e.At = kW, w.p.At(t)
			}
		}
		if e.TotalKWh > 0 && (worst == nil || e.TotalKWh > worst.TotalKWh) {
			worst = &e
		}
	}
	if worst == nil {
		return nil
	}
	return worst
}

// volume is that of the first store, for messages.
func volume(p *Problem) float64 {
	if len(p.Stores) == 0 {
		return 0
	}
	return p.Stores[0].VolumeM3
}
