package optimize

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
)

// tracer holds what Trace knows so far. Volumes are solved from the largest down, which leaves the
// dual simplex method least to do, and kept in order of volume.
type tracer struct {
	p     Problem // with the store at opt.ToM3
	w     *work
	k     int
	law   StoreLaw
	opt   Options
	crew  []worker
	curve Curve

	spareCost []float64 // by step: what a kWh of heat costs at the dearest boiler piece
	samples   []*sample
	gaps      []interval // between samples; nil until the first pass is done
	solved    int
}

// worker is an engine with the problem at the size it is solving.
type worker struct {
	eng   engine
	w     *work
	zeros []float64
}

// sample is one volume with what is kept of its answer.
type sample struct {
	v         float64
	store     Store
	cost      float64
	outcome   Outcome
	storedKWh []float64
	prices    *prices
	view      view
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

// open makes the first engine; its twin comes once there is a basis to start from.
func (tr *tracer) open() error {
	eng, name, why, err := choose(tr.p, tr.opt.Engine)
	if err != nil {
		return err
	}
	tr.crew = []worker{{eng, newWork(tr.p), make([]float64, tr.w.n)}}
	tr.curve.Engine, tr.curve.Why = name, why
	return nil
}

func (tr *tracer) grow() error {
	eng, ok := tr.crew[0].eng.(twinner)
	if !ok || len(tr.crew) > 1 {
		return nil
	}
	twin, err := eng.twin()
	if err != nil {
		return err
	}
	tr.crew = append(tr.crew, worker{twin, newWork(tr.p), tr.crew[0].zeros})
	return nil
}

func (tr *tracer) close() {
	for _, c := range tr.crew {
		c.eng.close()
	}
}

// firstPass solves the asked grid, and last the smallest vessel: the prices of an empty store say nothing
// of what a store would be worth, those of a small one do.
func (tr *tracer) firstPass(ctx context.Context) error {
	empty, err := tr.storeAt(0)
	if err != nil {
		return err
	}
	tr.samples = []*sample{{v: 0, store: empty, cost: tr.curve.NoStore.Cost, outcome: tr.curve.NoStore, storedKWh: make([]float64, tr.w.n+1)}}
	small := min(1, tr.opt.StepM3/5)
	var todo []float64
	for i := int(math.Ceil(tr.opt.ToM3/tr.opt.StepM3 - 1e-9)); i > 0; i-- {
		v := math.Round(float64(i)*tr.opt.StepM3*1e9) / 1e9 // 3·0.1 is 0.3
		todo = append(todo, min(v, tr.opt.ToM3))
	}
	todo = append(todo, small)
	planned := len(todo)
	for len(todo) > 0 {
		round := todo[:min(len(tr.crew), len(todo))]
		todo = todo[len(round):]
		found, err := tr.solve(ctx, round)
		if err != nil {
			return err
		}
		for _, s := range found {
			tr.samples = slices.Insert(tr.samples, 1, s)
			tr.report(s.v, planned, 1)
		}
		if err := tr.grow(); err != nil {
			return err
		}
	}
	return nil
}

func (tr *tracer) report(at float64, planned int, gap float64) {
	tr.solved++
	if tr.opt.Progress != nil {
		tr.opt.Progress(Step{Solved: tr.solved, Planned: planned, AtM3: at, GapFrac: gap})
	}
}

// refine halves the intervals with the widest gaps until the curve is as certain as asked.
func (tr *tracer) refine(ctx context.Context) error {
	planned := tr.solved
	var err error
	if tr.gaps, err = tr.intervals(); err != nil {
		return err
	}
	for {
		at := tr.widest()
		if len(at) == 0 {
			return nil
		}
		var round []float64
		for _, i := range at {
			round = append(round, (tr.samples[i].v+tr.samples[i+1].v)/2)
		}
		found, err := tr.solve(ctx, round)
		if err != nil {
			return err
		}
		slices.Sort(at)
		for j := len(at) - 1; j >= 0; j-- { // from the last, so that the places before stay
			s := found[slices.IndexFunc(found, func(s *sample) bool { return s.v > tr.samples[at[j]].v && s.v < tr.samples[at[j]+1].v })]
			if err := tr.split(at[j], s); err != nil {
				return err
			}
			tr.report(s.v, planned, tr.widestGap()/tr.scale())
		}
	}
}

// split puts a sample into interval i.
func (tr *tracer) split(i int, s *sample) error {
	tr.samples = slices.Insert(tr.samples, i+1, s)
	var left, right interval
	var errLeft, errRight error
	var group sync.WaitGroup
	group.Go(func() { left, errLeft = tr.between(i) })
	group.Go(func() { right, errRight = tr.between(i + 1) })
	group.Wait()
	if err := cmp.Or(errLeft, errRight); err != nil {
		return err
	}
	tr.gaps[i] = left
	tr.gaps = slices.Insert(tr.gaps, i+1, right)
	return nil
}

// widest are the intervals whose gaps are too wide, the widest first, one for each of the crew at most.
func (tr *tracer) widest() []int {
	var list []int
	for i, g := range tr.gaps {
		if g.gap > tr.opt.GapFrac*tr.scale() {
			list = append(list, i)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(tr.gaps[b].gap, tr.gaps[a].gap) })
	room := max(0, tr.opt.MaxPoints-len(tr.samples))
	return list[:min(len(list), len(tr.crew), room)]
}

func (tr *tracer) widestGap() float64 {
	gap := 0.0
	for _, g := range tr.gaps {
		gap = max(gap, g.gap)
	}
	return gap
}

// scale is the range of savings, or a millionth of the cost where the store changes less than that.
func (tr *tracer) scale() float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range tr.samples {
		lo, hi = math.Min(lo, s.cost), math.Max(hi, s.cost)
	}
	return math.Max(hi-lo, 1e-6*tr.w.costScale(hi))
}

// solve solves volumes at the same time, one for each of the crew at most.
func (tr *tracer) solve(ctx context.Context, volumes []float64) ([]*sample, error) {
	found, errs := make([]*sample, len(volumes)), make([]error, len(volumes))
	var group sync.WaitGroup
	for i, v := range volumes {
		found[i] = &sample{v: v}
		group.Go(func() { found[i].store, errs[i] = tr.storeAt(v) })
	}
	group.Wait()
	for i, s := range found { // all are resized before any is solved: see twinner
		if errs[i] != nil {
			return nil, errs[i]
		}
		if err := tr.crew[i].eng.resize(tr.k, s.store); err != nil {
			return nil, err
		}
		tr.crew[i].w.resize(tr.k, s.store)
	}
	for i := range volumes {
		group.Go(func() { errs[i] = tr.crew[i].answer(ctx, found[i], tr.k) })
	}
	group.Wait()
	return found, errors.Join(errs...)
}

// answer solves the worker's size and keeps of it what later bounds need.
func (c worker) answer(ctx context.Context, s *sample, at int) error {
	a, err := solveProven(ctx, c.w, c.eng)
	if err != nil {
		return fmt.Errorf("at %.4g m³: %w", s.v, err)
	}
	s.cost, s.outcome = a.plan.Cost, a.plan.Outcome(*c.w.p, a.proof)
	s.storedKWh = slices.Clone(a.plan.StoredKWh[at])
	s.prices = a.prices.kept(c.zeros)
	s.prices.area = a.prices.area
	s.view = c.w.view(s.prices, at)
	s.prices.area = nil
	return nil
}

// storeAt asks the law and checks what it says.
func (tr *tracer) storeAt(v float64) (Store, error) {
	s, err := tr.law(v)
	if err != nil {
		return Store{}, fmt.Errorf("store at %.4g m³: %w", v, err)
	}
	var f faults
	tr.p.checkStore(&f, fmt.Sprintf("store at %.4g m³", v), s)
	largest := &tr.p.Stores[tr.k]
	f.require(s.Header == largest.Header, "store at %.4g m³: serves header %d, at the largest volume header %d", v, s.Header, largest.Header)
	f.require(s.source() == largest.source(), "store at %.4g m³: is charged from header %d, at the largest volume from header %d", v, s.source(), largest.source())
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
