package optimize

import "math"

// finish turns samples into points, bounds and slopes.
func (tr *tracer) finish() error {
	var err error
	if tr.gaps == nil { // interrupted in the first pass
		if tr.gaps, err = tr.intervals(); err != nil {
			return err
		}
	}
	c, gaps := &tr.curve, tr.gaps
	c.Proof = worse(c.NoStore.Proof, c.BoilersOnly.Proof)
	for i, s := range tr.samples {
		pt := Point{VolumeM3: s.v, CapacityKWh: s.store.CapacityKWh, Outcome: s.outcome,
			VsNoStore: c.NoStore.Cost - s.cost, VsBoilersOnly: c.BoilersOnly.Cost - s.cost}
		if pt.MarginalPerM3, err = tr.marginal(s); err != nil {
			return err
		}
		if i < len(gaps) {
			pt.UpperBound = max(gaps[i].most, pt.VsNoStore, c.NoStore.Cost-tr.samples[i+1].cost) // rounding
			c.GapFrac = math.Max(c.GapFrac, gaps[i].gap/tr.scale())
		} else {
			pt.UpperBound = max(c.NoStore.Cost-s.outcome.Proof.LowerBound, pt.VsNoStore)
		}
		c.Points = append(c.Points, pt)
		c.Proof = worse(c.Proof, s.outcome.Proof)
	}
	return nil
}

// worse takes the larger of each figure; cost and bound stay those of the first.
func worse(a, b Proof) Proof {
	if b.PrimalResidual > a.PrimalResidual {
		a.PrimalResidual, a.WorstRow = b.PrimalResidual, b.WorstRow
	}
	a.DualResidual = math.Max(a.DualResidual, b.DualResidual)
	a.DualityGap = math.Max(a.DualityGap, b.DualityGap)
	return a
}

// marginal is the slope of the savings at a sample, by its own prices and the law a little further on.
func (tr *tracer) marginal(s *sample) (float64, error) {
	if s.v == 0 {
		if len(tr.samples) == 1 { // interrupted
			return 0, nil
		}
		next := tr.samples[1]
		return (s.cost - next.cost) / next.v, nil
	}
	h := 1e-4 * s.v // a small vessel's shell bends the law within less
	next, err := tr.storeAt(s.v + h)
	if err != nil { // the law may end at the largest volume
		h = -h
		if next, err = tr.storeAt(s.v + h); err != nil {
			return 0, err
		}
	}
	return 0 - s.view.shadow.slope(s.store, next, s.storedKWh)/h, nil
}
