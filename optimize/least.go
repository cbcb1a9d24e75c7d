package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Least is the smallest size of a store with which no header misses heat.
type Least struct {
	VolumeM3 float64 // nothing is missing: a proven plan
	ShortM3  float64 // here something is
	Short    *NoPlan // what is missing without the store; nil if nothing is, and VolumeM3 is then 0
	Solved   int
}

// leastFrac and leastM3 are how close Least's two volumes are, as a share of the larger, or at least in m³.
const (
	leastFrac = 0.001
	leastM3   = 0.002
)

// LeastVolume finds the smallest volume of store k, up to opt.ToM3, with which no heat is missing at any header, priced
// or not: how large an accumulator must be for boilers that cannot carry the peak. It supposes that a larger store never
// falls short where a smaller one does not, and seeks between. The error is that of [Plan] at opt.ToM3 if even that falls
// short. Of opt it reads Engine and ToM3.
func LeastVolume(ctx context.Context, p Problem, k int, law StoreLaw, opt Options) (Least, error) {
	p.Headers = slices.Clone(p.Headers)
	for l := range p.Headers {
		p.Headers[l].UnmetPrice = 0
	}
	tr, err := newTracer(p, k, law, opt)
	if err != nil {
		return Least{}, err
	}
	var out Least
	_, _, err = Plan(ctx, tr.p.Without(k), Options{Engine: opt.Engine})
	if out.Solved = 1; !errors.As(err, &out.Short) {
		return out, err
	}
	if err := tr.open(); err != nil {
		return Least{}, err
	}
	defer tr.close()
	s := seeker{tr: tr, hi: tr.opt.ToM3, missing: [2]float64{math.Inf(1), out.Short.TotalKWh}, at: [2]float64{math.Inf(-1), 0}}
	short, err := s.try(ctx, s.hi)
	if err == nil && short != nil {
		err = fmt.Errorf("even %.4g m³ fall short: %w", s.hi, short)
	}
	for err == nil && s.hi-s.lo > s.tolerance() {
		_, err = s.try(ctx, s.next())
	}
	out.VolumeM3, out.ShortM3, out.Solved = s.hi, s.lo, out.Solved+s.solved
	return out, err
}

// seeker closes in on the volume from which on nothing is missing. What is missing falls with volume and bends up, so that the
// line through two volumes that fall short meets nothing at or before the volume that is sought.
type seeker struct {
	tr          *tracer
	lo, hi      float64
	at, missing [2]float64 // the last two volumes that fell short, kWh
	solved      int
}

func (s *seeker) tolerance() float64 { return max(leastM3, leastFrac*s.hi) }

// next is a volume strictly between lo and hi: just past where the line meets nothing, or just under hi once
// that sufficed, or, every third time, the middle.
func (s *seeker) next() float64 {
	middle, tol := (s.lo+s.hi)/2, s.tolerance()
	if s.solved%3 == 0 {
		return middle
	}
	meets := s.at[1] + s.missing[1]*(s.at[1]-s.at[0])/(s.missing[0]-s.missing[1])
	for _, v := range []float64{meets + tol/2, s.hi - 0.9*tol} {
		if v > s.lo && v < s.hi-0.1*tol && v-s.lo < s.hi-s.lo {
			return v
		}
	}
	return middle
}

// try solves a volume and moves lo or hi there.
func (s *seeker) try(ctx context.Context, v float64) (short *NoPlan, err error) {
	store, err := s.tr.storeAt(v)
	if err != nil {
		return nil, err
	}
	c := s.tr.crew[0]
	if err := c.eng.resize(s.tr.k, store); err != nil {
		return nil, err
	}
	c.w.resize(s.tr.k, store)
	s.solved++
	if _, err = solveProven(ctx, c.w, c.eng); err == nil {
		s.hi = v
		return nil, nil
	}
	if !errors.As(err, &short) {
		return nil, fmt.Errorf("at %.4g m³: %w", v, err)
	}
	if v < s.hi {
		s.lo = v
		s.at, s.missing = [2]float64{s.at[1], v}, [2]float64{s.missing[1], short.TotalKWh}
	}
	return short, nil
}
