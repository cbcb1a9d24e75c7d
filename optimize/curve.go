package optimize

import (
	"context"
	"fmt"
	"slices"
	"sync"
)

// Options for [Plan] and [Trace]; the zero value is good.
//
// Trace supposes of its law that, as volume grows, capacity, limits and standing loss rise and bend
// down (are concave), and that Keep does not fall: so do vessels of one shape. It looks at several
// volumes in each interval and returns an error where it sees otherwise.
type Options struct {
	Engine string // EngineClp or EngineOneStore; empty: the fitting one is chosen

	ToM3      float64  // Trace: the largest volume, m³; 0: twice the volume of the problem's store
	StepM3    float64  // Trace: first spacing of points, m³; 0: ToM3/24
	GapFrac   float64  // Trace: asked certainty, as a fraction of the range of savings; 0: 0.001
	MaxPoints int      // Trace: stop there even if the gap is wider; 0: 200
	Progress  Progress // Trace: nil is silent
}

// Progress is called from the goroutine that called Trace, never twice at once. Nil is silent.
type Progress func(Step)

// Step is one solved volume.
type Step struct {
	Solved  int     // volumes so far
	Planned int     // volumes of the first pass
	AtM3    float64 // the one just solved
	GapFrac float64 // the widest gap left, as a fraction of the range of savings; 1 in the first pass
}

// Curve is what storage saves against its volume, proven at its points and bounded between them.
type Curve struct {
	Engine, Why string // which engine solved it, and why that one
	NoStore     Outcome
	BoilersOnly Outcome // neither field nor store, nor their fixed costs
	Points      []Point // from the smallest volume up
	GapFrac     float64 // widest gap between bounds, as a fraction of the range of savings
	Proof       Proof   // the worst of each figure over all points and baselines
}

// Point is one solved volume. Savings and prices are for the whole period of the problem.
type Point struct {
	VolumeM3      float64
	CapacityKWh   float64
	VsNoStore     float64 // cost without the store, less the cost with it
	VsBoilersOnly float64
	// MarginalPerM3 is what the next m³ saves, from the dual values (envelope theorem) with the loss and
	// limits of the larger vessel. At a kink it is one of the slopes there. The point of no
	// store, where a law's slope may be infinite, shows the mean up to the next point.
	MarginalPerM3 float64
	UpperBound    float64 // VsNoStore is nowhere above this from here up to the next point
	Outcome       Outcome
}

// Volumes and Savings are the curve as two series of equal length: m³, and savings against no store.
func (c Curve) Volumes() []float64 {
	return each(c.Points, func(p Point) float64 { return p.VolumeM3 })
}

// Savings stands at [Curve.Volumes].
func (c Curve) Savings() []float64 {
	return each(c.Points, func(p Point) float64 { return p.VsNoStore })
}

func each[T any](list []T, value func(T) float64) []float64 {
	out := make([]float64, len(list))
	for i, x := range list {
		out[i] = value(x)
	}
	return out
}

// Trace solves the problem at volumes of store k from none to opt.ToM3, adds points where the curve is
// least certain, and bounds it everywhere. The error is as that of [Plan], or the law's; interrupted, it
// returns the curve so far beside the context's error, and what that curve says is true.
func Trace(ctx context.Context, p Problem, k int, law StoreLaw, opt Options) (Curve, error) {
	tr, err := newTracer(p, k, law, opt)
	if err != nil {
		return Curve{}, err
	}
	if err := tr.open(); err != nil {
		return Curve{}, err
	}
	defer tr.close()
	if err := tr.baselines(ctx); err != nil {
		return Curve{}, err
	}
	err = tr.firstPass(ctx)
	if err == nil {
		err = tr.refine(ctx)
	}
	if err != nil && ctx.Err() == nil {
		return Curve{}, err
	}
	if err := tr.finish(); err != nil {
		return Curve{}, err
	}
	if err != nil { // interrupted
		err = ctx.Err()
	}
	return tr.curve, err
}

func (o Options) filled(p Problem, k int) (Options, error) {
	if o.ToM3 == 0 {
		o.ToM3 = 2 * p.Stores[k].VolumeM3
	}
	if o.StepM3 == 0 {
		o.StepM3 = o.ToM3 / 24
	}
	if o.GapFrac == 0 {
		o.GapFrac = 0.001
	}
	if o.MaxPoints == 0 {
		o.MaxPoints = 200
	}
	var f faults
	f.require(o.ToM3 > 0 && finite(o.ToM3), "curve: to: is %g m³; want more than 0", o.ToM3)
	f.require(o.StepM3 > 0 && o.StepM3 <= o.ToM3, "curve: step: is %g m³; want more than 0, up to %g", o.StepM3, o.ToM3)
	f.require(o.ToM3/o.StepM3 <= 10000, "curve: step: %g m³ makes more than 10000 points to %g m³; want fewer", o.StepM3, o.ToM3)
	f.require(o.GapFrac > 0, "curve: gap: is %g; want more than 0", o.GapFrac)
	f.require(o.MaxPoints > 1, "curve: points: is %d; want at least 2", o.MaxPoints)
	return o, f.err()
}

// baselines are solved on their own: without the store, the steps hardly hang together and it is quick.
func (tr *tracer) baselines(ctx context.Context) error {
	boilers := tr.p
	boilers.Fields, boilers.Stores = nil, nil
	var group sync.WaitGroup
	var errBoilers, errNoStore error
	group.Go(func() { tr.curve.BoilersOnly, errBoilers = tr.baseline(ctx, boilers) })
	group.Go(func() { tr.curve.NoStore, errNoStore = tr.baseline(ctx, tr.p.Without(tr.k)) })
	group.Wait()
	if errBoilers != nil {
		return fmt.Errorf("boilers alone: %w", errBoilers)
	}
	if errNoStore != nil {
		return fmt.Errorf("without the store: %w", errNoStore)
	}
	return nil
}

func (tr *tracer) baseline(ctx context.Context, p Problem) (Outcome, error) {
	s, proof, err := Plan(ctx, p, Options{Engine: tr.opt.Engine})
	if err != nil {
		return Outcome{}, err
	}
	return s.Outcome(p, proof), nil
}

// Without is the problem less store k and its uses.
func (p Problem) Without(k int) Problem {
	p.Stores = slices.Delete(slices.Clone(p.Stores), k, k+1)
	p.Fields = slices.Clone(p.Fields)
	for i, f := range p.Fields {
		if k < len(f.StoreKWM2) {
			p.Fields[i].StoreKWM2 = slices.Delete(slices.Clone(f.StoreKWM2), k, k+1)
		}
	}
	return p
}
