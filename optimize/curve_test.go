package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"
)

// month is four weeks of the made-up plant with its law of loss.
func month() (Problem, StoreLaw) {
	p := plantYear{28, 24, 5}.problem()
	return p, shellLaw(p.N(), p.StepH)
}

func trace(t *testing.T, p Problem, law StoreLaw, opt Options) Curve {
	t.Helper()
	c, err := Trace(context.Background(), p, 0, law, opt)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// costAt solves one volume on its own.
func costAt(t *testing.T, p Problem, law StoreLaw, v float64) float64 {
	t.Helper()
	s, err := law(v)
	if err != nil {
		t.Fatal(err)
	}
	p.Stores = []Store{s}
	return plan(t, p).Cost
}

// Between its points the curve must lie within what it promises: many real solves, with true loss.
func TestCurveHoldsBetweenPoints(t *testing.T) {
	t.Parallel()
	p, law := month()
	for _, gap := range []float64{0.05, 0.01, 0.001} {
		c := trace(t, p, law, Options{ToM3: 120, StepM3: 20, GapFrac: gap})
		if !(c.GapFrac <= gap) {
			t.Errorf("asked for %g, says %g", gap, c.GapFrac)
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, s := range c.Savings() {
			lo, hi = math.Min(lo, s), math.Max(hi, s)
		}
		rng := rand.New(rand.NewPCG(3, 4))
		for i, a := range c.Points[:len(c.Points)-1] {
			b := c.Points[i+1]
			for _, share := range []float64{0.02, rng.Float64(), 0.5, 0.98} {
				v := a.VolumeM3 + share*(b.VolumeM3-a.VolumeM3)
				saved := c.NoStore.Cost - costAt(t, p, law, v)
				if saved > a.UpperBound+1e-7*c.NoStore.Cost {
					t.Errorf("gap %g: at %.4g m³ saves %.6g, above the bound %.6g", gap, v, saved, a.UpperBound)
				}
				chord := a.VsNoStore + share*(b.VsNoStore-a.VsNoStore)
				off := math.Abs(saved - chord)
				if i == 0 { // below the smallest vessel only the upper side is promised
					off = saved - chord
				}
				if off > c.GapFrac*(hi-lo)+1e-7*c.NoStore.Cost {
					t.Errorf("gap %g: at %.4g m³ saves %.6g, %.3g off the line between points; promised %.3g", gap, v, saved, off, c.GapFrac*(hi-lo))
				}
			}
		}
	}
}

// The bounds themselves, stretch by stretch, on random small plants whose loss grows with the shell.
func TestRandomBoundsHold(t *testing.T) {
	forRandom(t, func(t *testing.T, p Problem, rng *rand.Rand) {
		if len(p.Stores) == 0 {
			return
		}
		for l := range p.Headers {
			p.Headers[l].UnmetPrice = 5
		}
		p.Boilers[0].Pieces[1].CapacityKW += 500 // the little to spare that the upper bound supposes
		p.Boilers[0].Header, p.Boilers[0].RampKW, p.Boilers[0].Available, p.Limits = 0, 0, nil, nil
		if len(p.Valves) > 0 {
			p.Valves[0].CapacityKW = 500
		}
		base := p.Stores[0]
		law := func(v float64) (Store, error) {
			s := base
			s.VolumeM3, s.CapacityKWh = v, 2*v
			s.ChargeKW, s.DischargeKW = math.Min(base.ChargeKW, 3*v), base.DischargeKW*math.Pow(v/50, 0.7)
			s.HeaderChargeKW = base.HeaderChargeKW * math.Pow(v/50, 0.5)
			s.StandingKW, s.Keep = scaled(base.StandingKW, math.Pow(v/50, 2.0/3)), flat(p.N(), 1)
			for t := range s.Keep {
				if v > 0 {
					s.Keep[t] = math.Exp(-(1 - base.Keep[t]) * math.Pow(50/v, 1.0/3))
				}
			}
			return s, nil
		}
		c := trace(t, p, law, Options{ToM3: 60, StepM3: 20, GapFrac: 10})
		at := func(v float64) float64 {
			q := p
			s, _ := law(v)
			q.Stores = append([]Store{s}, p.Stores[1:]...)
			return plan(t, q).Cost
		}
		tol := 1e-6 * math.Max(1, math.Abs(c.NoStore.Cost))
		for i, a := range c.Points[:len(c.Points)-1] {
			b := c.Points[i+1]
			for _, share := range []float64{0.03, rng.Float64(), 0.6} {
				v := a.VolumeM3 + share*(b.VolumeM3-a.VolumeM3)
				saved := c.NoStore.Cost - at(v)
				if saved > a.UpperBound+tol {
					t.Errorf("at %.4g m³ saves %.8g, above the bound %.8g", v, saved, a.UpperBound)
				}
				lo, hi := math.Inf(1), math.Inf(-1)
				for _, s := range c.Savings() {
					lo, hi = math.Min(lo, s), math.Max(hi, s)
				}
				chord := a.VsNoStore + share*(b.VsNoStore-a.VsNoStore)
				off := math.Abs(saved - chord)
				if i == 0 { // below the smallest vessel only the upper side is promised
					off = saved - chord
				}
				if off > c.GapFrac*math.Max(hi-lo, 1e-6)+tol {
					t.Errorf("at %.4g m³ saves %.8g, %.3g off the line; promised %.3g", v, saved, off, c.GapFrac*(hi-lo))
				}
			}
		}
	})
}

func TestCurveAgainstPlans(t *testing.T) {
	t.Parallel()
	p, law := month()
	c := trace(t, p, law, Options{ToM3: 100, StepM3: 25, GapFrac: 0.01})
	noStore := p.Without(0)
	boilers := noStore
	boilers.Fields = nil
	closeTo(t, "no store", c.NoStore.Cost, plan(t, noStore).Cost, 1e-6)
	closeTo(t, "boilers only", c.BoilersOnly.Cost, plan(t, boilers).Cost, 1e-6)
	before := -1.0
	for i, pt := range c.Points {
		cost := costAt(t, p, law, pt.VolumeM3)
		closeTo(t, fmt.Sprintf("cost at %g m³", pt.VolumeM3), pt.Outcome.Cost, cost, 1e-6*cost)
		closeTo(t, "savings against no store", pt.VsNoStore, c.NoStore.Cost-pt.Outcome.Cost, 1e-9)
		closeTo(t, "savings against boilers", pt.VsBoilersOnly, c.BoilersOnly.Cost-pt.Outcome.Cost, 1e-9)
		if pt.VolumeM3 <= before {
			t.Errorf("volumes do not rise: %g after %g", pt.VolumeM3, before)
		}
		before = pt.VolumeM3
		if i+1 < len(c.Points) && pt.UpperBound < math.Max(pt.VsNoStore, c.Points[i+1].VsNoStore) {
			t.Errorf("bound %g from %g m³ is below a point it covers", pt.UpperBound, pt.VolumeM3)
		}
		if pr := pt.Outcome.Proof; pr.PrimalResidual > 1e-6 || pr.DualResidual > 1e-6 || pr.DualityGap > 1e-6 {
			t.Errorf("proof at %g m³: %+v", pt.VolumeM3, pr)
		}
	}
	if c.Points[0].VolumeM3 != 0 || c.Points[0].VsNoStore != 0 || before != 100 {
		t.Errorf("curve runs from %g m³ (saving %g) to %g", c.Points[0].VolumeM3, c.Points[0].VsNoStore, before)
	}
	if c.Engine != EngineOneStore || c.Why == "" {
		t.Errorf("engine %q, %q", c.Engine, c.Why)
	}
}

// What the next m³ saves, by dual values, against real solves a little further on.
func TestMarginalAgainstDifferences(t *testing.T) {
	t.Parallel()
	p, law := month()
	c := trace(t, p, law, Options{ToM3: 120, StepM3: 8, GapFrac: 1})
	const h = 0.02
	for _, pt := range c.Points[1:] {
		right := (costAt(t, p, law, pt.VolumeM3) - costAt(t, p, law, pt.VolumeM3+h)) / h
		left := (costAt(t, p, law, pt.VolumeM3-h) - costAt(t, p, law, pt.VolumeM3)) / h
		// At a kink the dual values may be those of either side; h itself spans some.
		lo, hi := math.Min(left, right), math.Max(left, right)
		if slack := 0.002*math.Abs(hi) + 1e-6*c.NoStore.Cost; pt.MarginalPerM3 < lo-slack || pt.MarginalPerM3 > hi+slack {
			t.Errorf("at %g m³: %.6g; differences %.6g before, %.6g after", pt.VolumeM3, pt.MarginalPerM3, left, right)
		}
	}
}

// A vessel far too big loses more than it saves, and the curve says so.
func TestCurveBendsDown(t *testing.T) {
	t.Parallel()
	p, law := month()
	lossy := func(v float64) (Store, error) {
		s, err := law(v)
		s.StandingKW = scaled(s.StandingKW, 8)
		return s, err
	}
	c := trace(t, p, lossy, Options{ToM3: 400, StepM3: 50})
	last := c.Points[len(c.Points)-1]
	if last.VsNoStore >= 0 || last.MarginalPerM3 >= 0 {
		t.Errorf("at %g m³ with eight times the loss: saves %g, the next m³ %g", last.VolumeM3, last.VsNoStore, last.MarginalPerM3)
	}
}

// Without sun and with one price a store can only lose, and costs what its shell loses.
func TestCurveOfNoUse(t *testing.T) {
	p, law := month()
	p.Fields = nil
	c := trace(t, p, law, Options{ToM3: 50, StepM3: 10})
	for _, pt := range c.Points[1:] {
		if pt.VsNoStore >= 0 {
			t.Errorf("%g m³ saves %g without sun", pt.VolumeM3, pt.VsNoStore)
		}
	}
	closeTo(t, "no field equals boilers alone", c.NoStore.Cost, c.BoilersOnly.Cost, 1e-6)
}

func TestDoublePricesDoubleSavings(t *testing.T) {
	p, law := month()
	opt := Options{ToM3: 60, StepM3: 20, GapFrac: 1}
	one := trace(t, p, law, opt)
	p.Boilers[0].FuelPrice = scaled(p.Boilers[0].FuelPrice, 2)
	p.Fields[0].HeatCost *= 2
	two := trace(t, p, law, opt)
	for i, s := range two.Savings() {
		closeTo(t, fmt.Sprintf("savings at %g m³", two.Volumes()[i]), s, 2*one.Savings()[i], 1e-6*two.NoStore.Cost)
	}
}

func TestLawlessLaws(t *testing.T) {
	p, law := month()
	bend := func(change func(*Store)) StoreLaw {
		return func(v float64) (Store, error) {
			s, err := law(v)
			change(&s)
			return s, err
		}
	}
	laws := map[string]struct {
		law  StoreLaw
		says string
	}{
		"capacity bends up": {bend(func(s *Store) { s.CapacityKWh = s.VolumeM3 * s.VolumeM3 }), "capacity bends up"},
		"standing bends up": {bend(func(s *Store) { s.StandingKW = flat(p.N(), s.VolumeM3*s.VolumeM3/1e3) }), "standing loss bends up"},
		"standing falls":    {bend(func(s *Store) { s.StandingKW = flat(p.N(), 5-s.VolumeM3/100) }), "standing loss falls"},
		"keep falls":        {bend(func(s *Store) { s.Keep = flat(p.N(), 1-s.VolumeM3/1e3) }), "keep falls"},
		"error":             {func(v float64) (Store, error) { return Store{}, errors.New("too long for the road") }, "too long for the road"},
		"short series":      {bend(func(s *Store) { s.Keep = s.Keep[1:] }), "keep: has 671 values; want 672"},
		"moves":             {bend(func(s *Store) { s.Header = 1 }), "there are 1"},
	}
	for name, c := range laws {
		_, err := Trace(context.Background(), p, 0, c.law, Options{ToM3: 50, StepM3: 25, GapFrac: 1})
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: error %v; want one that says %q", name, err, c.says)
		}
	}
}

func TestTraceOptions(t *testing.T) {
	p, law := month()
	for name, opt := range map[string]Options{
		"to": {ToM3: -1}, "step": {ToM3: 10, StepM3: 20}, "gap": {GapFrac: -1}, "points": {MaxPoints: 1},
		"engine": {Engine: "abacus"}, "too many": {ToM3: 100, StepM3: 1e-3},
	} {
		if _, err := Trace(context.Background(), p, 0, law, opt); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := Trace(context.Background(), p, 1, law, Options{}); err == nil {
		t.Error("a store that is not there: no error")
	}
	// MaxPoints ends the search with the true gap, wider than asked.
	c := trace(t, p, law, Options{ToM3: 120, StepM3: 40, GapFrac: 1e-9, MaxPoints: 6})
	if len(c.Points) != 6 || c.GapFrac <= 1e-9 {
		t.Errorf("%d points, gap %g; want 6 and more than asked", len(c.Points), c.GapFrac)
	}
}

func TestProgress(t *testing.T) {
	p, law := month()
	var steps []Step
	trace(t, p, law, Options{ToM3: 100, StepM3: 25, GapFrac: 0.01, Progress: func(s Step) { steps = append(steps, s) }})
	for i, s := range steps {
		if s.Solved != i+1 || s.Planned < 5 || (i >= 5) != (s.GapFrac < 1) {
			t.Errorf("step %d: %+v", i, s)
		}
	}
}

func TestInterruptedTraceKeepsWhatIsTrue(t *testing.T) {
	p, law := month()
	whole := trace(t, p, law, Options{ToM3: 100, StepM3: 10, GapFrac: 1})
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	c, err := Trace(ctx, p, 0, law, Options{ToM3: 100, StepM3: 10, Progress: func(s Step) {
		if s.Solved == 4 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("error is %v", err)
	}
	if n := len(c.Points); n < 5 || n > 6 { // none, the four solved, and one that was under way beside
		t.Fatalf("%d points; want 5 or 6", n)
	}
	for _, pt := range c.Points {
		if math.IsNaN(pt.MarginalPerM3) {
			t.Error("a slope is not a number")
		}
	}
	for _, w := range whole.Points { // bounds of the gap in the middle must still hold
		for i := len(c.Points) - 1; i >= 0; i-- {
			if c.Points[i].VolumeM3 <= w.VolumeM3 {
				if w.VsNoStore > c.Points[i].UpperBound+1e-6*c.NoStore.Cost {
					t.Errorf("at %g m³ saves %g, above the interrupted curve's bound %g", w.VolumeM3, w.VsNoStore, c.Points[i].UpperBound)
				}
				break
			}
		}
	}
}

// Ctrl-C must act within a second on a year. Nothing here fails on time but a stop that never comes.
func TestCancelWithinASolve(t *testing.T) {
	if testing.Short() || !haveClp {
		t.Skip("a year of quarter hours for Clp")
	}
	p := plantYear{365, 96, 7}.problem()
	for _, wait := range []time.Duration{0, 30 * time.Millisecond, 150 * time.Millisecond} {
		ctx, cancel := context.WithTimeout(context.Background(), wait)
		start := time.Now()
		_, _, err := Plan(ctx, p, Options{Engine: EngineClp})
		t.Logf("asked to stop after %v, stopped after %v", wait, time.Since(start))
		if !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("error is %v", err)
		}
		cancel()
	}
}

// Two engines share the work; what comes out must not depend on which was quicker.
func TestTraceRepeatsItself(t *testing.T) {
	p, law := month()
	opt := Options{ToM3: 120, StepM3: 10}
	one := trace(t, p, law, opt)
	for _, procs := range []int{1, 4} {
		before := runtime.GOMAXPROCS(procs)
		two := trace(t, p, law, opt)
		runtime.GOMAXPROCS(before)
		if !reflect.DeepEqual(one, two) {
			t.Errorf("on %d threads the curve is another: gap %g and %g, %d and %d points", procs, one.GapFrac, two.GapFrac, len(one.Points), len(two.Points))
		}
	}
}
