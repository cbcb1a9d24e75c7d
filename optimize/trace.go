package optimize

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// tracer holds what Trace knows so far. Volumes are solved from the largest down, which leaves the
// dual simplex method least to do, and kept in order of volume.
type tracer struct {
	p     Problem // with the store at opt.ToM3
	w     *work
	k     int
	law   StoreLaw
	opt   Options
	eng   engine
	curve Curve

	spareCost []float64 // by step: what a kWh of heat costs at the dearest boiler piece
	samples   []*sample
	first     *sample // the small volume whose prices and slope stand for the first m³
	solved    int
}

// sample is one volume with what is kept of its answer.
type sample struct {
	v         float64
	store     Store
	cost      float64
	outcome   Outcome
	storedKWh []float64
	plant     float64 // the bound's part that no size of the store changes
	shadow    shadow
}

func newTracer(p Problem, k int, law StoreLaw, opt Options) (*tracer, error) {
	if k < 0 || k >= len(p.Stores) {
		return nil, fmt.Errorf("curve: store %d: there are %d", k, len(p.Stores))
	}
	opt, err := opt.filled(p, k)
	if err != nil {
		return nil, err
	}
	largest, err := law(opt.ToM3)
	if err != nil {
		return nil, fmt.Errorf("store at %.4g m³: %w", opt.ToM3, err)
	}
	p.Stores = slices.Clone(p.Stores)
	p.Stores[k] = largest
	if err := p.Check(); err != nil {
		return nil, fmt.Errorf("problem: %w", err)
	}
	tr := &tracer{p: p, w: newWork(p), k: k, law: law, opt: opt}
	tr.spareCost = tr.w.spareCost()
	return tr, nil
}

func (tr *tracer) open() (err error) {
	tr.eng, tr.curve.Engine, tr.curve.Why, err = choose(tr.p, tr.opt.Engine)
	return err
}

// firstPass solves the asked grid, and last a small volume: the prices of an empty store say nothing
// of what a store would be worth, those of a small one do.
func (tr *tracer) firstPass(ctx context.Context) error {
	empty, err := tr.storeAt(0)
	if err != nil {
		return err
	}
	zero := &sample{v: 0, store: empty, cost: tr.curve.NoStore.Cost, outcome: tr.curve.NoStore, storedKWh: make([]float64, tr.w.n+1)}
	tr.samples = []*sample{zero}
	steps := int(math.Ceil(tr.opt.ToM3/tr.opt.StepM3 - 1e-9))
	for i := steps; i > 0; i-- {
		s, err := tr.solve(ctx, math.Min(float64(i)*tr.opt.StepM3, tr.opt.ToM3))
		if err != nil {
			return err
		}
		tr.samples = slices.Insert(tr.samples, 1, s)
		tr.report(s.v, steps+1, 1)
	}
	tr.first, err = tr.solve(ctx, math.Min(1, tr.opt.StepM3/5))
	if err != nil {
		return err
	}
	tr.report(tr.first.v, steps+1, 1)
	return nil
}

func (tr *tracer) report(at float64, planned int, gap float64) {
	tr.solved++
	if tr.opt.Progress != nil {
		tr.opt.Progress(Step{Solved: tr.solved, Planned: planned, AtM3: at, GapFrac: gap})
	}
}

// refine halves the interval with the widest gap until the curve is as certain as asked.
func (tr *tracer) refine(ctx context.Context) error {
	gaps, err := tr.intervals()
	planned := tr.solved
	for err == nil {
		worst := widest(gaps)
		if gaps[worst].gap <= tr.opt.GapFrac*tr.scale() || len(tr.samples) >= tr.opt.MaxPoints {
			return nil
		}
		var s *sample
		if s, err = tr.solve(ctx, (tr.samples[worst].v+tr.samples[worst+1].v)/2); err != nil {
			return err
		}
		tr.samples = slices.Insert(tr.samples, worst+1, s)
		var left, right interval
		if left, err = tr.between(worst); err != nil {
			return err
		}
		if right, err = tr.between(worst + 1); err != nil {
			return err
		}
		gaps = slices.Insert(gaps, worst+1, right)
		gaps[worst] = left
		tr.report(s.v, planned, gaps[widest(gaps)].gap/tr.scale())
	}
	return err
}

func widest(gaps []interval) int {
	at := 0
	for i := range gaps {
		if gaps[i].gap > gaps[at].gap {
			at = i
		}
	}
	return at
}

// scale is the range of savings, or a millionth of the cost where the store changes less than that.
func (tr *tracer) scale() float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range tr.samples {
		lo, hi = math.Min(lo, s.cost), math.Max(hi, s.cost)
	}
	return math.Max(hi-lo, 1e-6*tr.w.costScale(hi))
}

// solve brings the engine to a volume and keeps what later bounds need.
func (tr *tracer) solve(ctx context.Context, v float64) (*sample, error) {
	store, err := tr.storeAt(v)
	if err != nil {
		return nil, err
	}
	if err := tr.eng.resize(tr.k, store); err != nil {
		return nil, err
	}
	tr.w.resize(tr.k, store)
	a, err := solveProven(ctx, tr.w, tr.eng)
	if err != nil {
		return nil, fmt.Errorf("at %.4g m³: %w", v, err)
	}
	s := &sample{v: v, store: store, cost: a.plan.Cost, outcome: a.plan.Outcome(*tr.w.p, a.proof),
		storedKWh: slices.Clone(a.plan.StoredKWh[tr.k])}
	s.plant = tr.w.boundPlant(a.prices)
	for k := range tr.p.Stores {
		h := tr.w.newShadow(a.prices, k)
		if k == tr.k {
			s.shadow = h
			continue
		}
		s.plant += h.bound(tr.p.Stores[k])
	}
	return s, nil
}

// storeAt asks the law and checks what it says.
func (tr *tracer) storeAt(v float64) (Store, error) {
	s, err := tr.law(v)
	if err != nil {
		return Store{}, fmt.Errorf("store at %.4g m³: %w", v, err)
	}
	var f faults
	tr.p.checkStore(&f, fmt.Sprintf("store at %.4g m³", v), s)
	f.require(s.Header == tr.p.Stores[tr.k].Header, "store at %.4g m³: serves header %d, at the largest volume header %d", v, s.Header, tr.p.Stores[tr.k].Header)
	return s, f.err()
}

// spareCost is, step by step, the price of the dearest heat that a boiler has there; where none runs,
// that of the dearest of all.
func (w *work) spareCost() []float64 {
	list := make([]float64, w.n)
	for t := range list {
		for i, b := range w.p.Boilers {
			for j, piece := range b.Pieces {
				if b.capacity(j, t) > 0 {
					list[t] = math.Max(list[t], w.p.Boilers[i].FuelPrice[t]*piece.FuelPerHeat)
				}
			}
		}
		if list[t] <= 0 {
			list[t] = w.dearest
		}
	}
	return list
}

// finish turns samples into points, bounds and slopes.
func (tr *tracer) finish() error {
	gaps, err := tr.intervals()
	if err != nil {
		return err
	}
	c := &tr.curve
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
		next := tr.first
		if next == nil { // interrupted before it was solved
			if len(tr.samples) == 1 {
				return 0, nil
			}
			next = tr.samples[1]
		}
		return (s.cost - next.cost) / next.v, nil
	}
	h := 1e-4 * tr.opt.ToM3
	next, err := tr.storeAt(s.v + h)
	if err != nil { // the law may end at the largest volume
		h = -h
		if next, err = tr.storeAt(s.v + h); err != nil {
			return 0, err
		}
	}
	return 0 - s.shadow.slope(s.store, next, s.storedKWh)/h, nil
}
