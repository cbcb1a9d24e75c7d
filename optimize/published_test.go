package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"
)

// plan is Plan where the test knows that there is one.
func plan(t *testing.T, p Problem) Schedule {
	t.Helper()
	needsClp(t, p)
	s, _, err := Plan(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func closeTo(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.10g; want %.10g within %g", what, got, want, tol)
	}
}

// eightSteps is the heat store of checks-heat 9.3. A ninth step, in which nothing is asked and nothing
// kept, makes the store start empty.
func eightSteps() (Problem, StoreLaw) {
	sun := []float64{0, 0, 150, 200, 150, 0, 0, 0, 0}
	demand := append(flat(8, 60), 0)
	p := simple(demand, []float64{0.04, 0.04, 0.04, 0.04, 0.06, 0.06, 0.05, 0.03, 0.03})
	p.Fields = []Field{one("dishes", sun, sun)}
	law := func(v float64) (Store, error) {
		s := lossless(9, v)
		s.VolumeM3, s.Keep = v, append(flat(8, 0.99), 0)
		return s, nil
	}
	s, _ := law(100)
	p.Stores = []Store{s}
	return p, law
}

func TestStoreOfEightSteps(t *testing.T) {
	const src = "checks-heat 9.3 (scipy's HiGHS and closed form)"
	p, law := eightSteps()
	rows := []struct{ v, cost, slope float64 }{ // slope NaN: a knot lies within the step of its difference
		{0, 13.2, 0.0594}, {30, 11.418, 0.0594}, {60, 9.636, 0.0594}, {61, 9.580695, 0.049005}, {90, 8.15955, 0.049005},
		{120, 6.6894, 0.049005}, {150, 5.779834, 0.029109}, {180, 4.906565, 0.029109}, {183.7, 4.8, 0}, {200, 4.8, 0},
	}
	for _, r := range rows {
		// The slope at a volume is that of a curve which ends there; its grid begins with the volume itself.
		c, err := Trace(context.Background(), p, 0, law, Options{ToM3: math.Max(r.v, 10), StepM3: math.Max(r.v, 10), GapFrac: 1})
		if err != nil {
			t.Fatal(err)
		}
		pt := c.Points[0]
		if r.v > 0 {
			pt = c.Points[len(c.Points)-1]
		}
		closeTo(t, fmt.Sprintf("cost at %g kWh, %s", r.v, src), pt.Outcome.Cost, r.cost, 6e-7) // the source cuts 5.7798345 to 5.779834
		closeTo(t, fmt.Sprintf("slope at %g kWh, %s", r.v, src), pt.MarginalPerM3, r.slope, 5e-7)
	}
	s := plan(t, p)
	for i, want := range []float64{60, 60, 0, 0, 0, 0, 21.39, 60} {
		closeTo(t, fmt.Sprintf("boiler in step %d at 100 kWh, %s", i+1, src), s.BoilerKW[0][i], want, 1e-9)
	}
	for i, want := range []float64{0.04, 0.04, 0, 0, 0, 0.0495, 0.05, 0.03} {
		closeTo(t, fmt.Sprintf("price in step %d at 100 kWh, %s", i+1, src), s.HeatPrice[0][i], want, 1e-9)
	}
	closeTo(t, "content after step 5, "+src, s.StoredKWh[0][5], 100, 1e-9)
	closeTo(t, "content after step 6, "+src, s.StoredKWh[0][6], 39, 1e-9)
}

// The traced curve must find the knots 60/r + 60/r² + 60/r³ and the saturation 8.40 of 9.3.
func TestTraceFindsKnots(t *testing.T) {
	p, law := eightSteps()
	c, err := Trace(context.Background(), p, 0, law, Options{ToM3: 240, StepM3: 10, GapFrac: 1e-4})
	if err != nil {
		t.Fatal(err)
	}
	const r = 0.99
	exact := func(v float64) float64 { // checks-heat 9.3, closed form
		save, length := 0.0, 60.0
		for _, slope := range []float64{0.06 * r, 0.05 * r * r, 0.03 * r * r * r} {
			length /= r
			save += slope * math.Min(v, length)
			v -= math.Min(v, length)
		}
		return save
	}
	for i, pt := range c.Points {
		closeTo(t, fmt.Sprintf("savings at %g", pt.VolumeM3), pt.VsNoStore, exact(pt.VolumeM3), 1e-9)
		if i+1 < len(c.Points) {
			for j := range 20 {
				v := pt.VolumeM3 + (c.Points[i+1].VolumeM3-pt.VolumeM3)*float64(j)/20
				if exact(v) > pt.UpperBound+1e-9 {
					t.Errorf("at %g the closed form saves %g, above the bound %g", v, exact(v), pt.UpperBound)
				}
			}
		}
	}
	if !(c.GapFrac <= 1e-4) {
		t.Errorf("gap is %g", c.GapFrac)
	}
}

// Two price levels and a lossless store charged from the header.
func TestTwoPriceLevels(t *testing.T) {
	const src = "checks-heat 9.4.1 (closed form = scipy LP)"
	price := append(flat(8, 0.03), flat(16, 0.06)...)
	p := simple(flat(24, 100), price)
	p.Boilers[0].Pieces[0].CapacityKW = 150
	p.Stores = []Store{lossless(24, 0)}
	p.Stores[0].HeaderChargeKW = 1e4
	for _, r := range []struct{ v, save float64 }{{0, 0}, {100, 3}, {200, 6}, {300, 9}, {400, 12}, {500, 12}} {
		p.Stores[0].CapacityKWh = r.v
		closeTo(t, fmt.Sprintf("savings at %g, %s", r.v, src), 120-plan(t, p).Cost, r.save, 1e-9)
	}
}

// sunDay is a day in which sun of the given series must cover 100 kW beside a boiler at 1 a kWh.
func sunDay(sun []float64, stepH float64) Problem {
	n := len(sun)
	p := simple(flat(n, 100), flat(n, 1))
	p.StepH = stepH
	p.Boilers[0].Pieces[0].CapacityKW = 100
	p.Fields = []Field{one("dishes", sun, sun)}
	p.Stores = []Store{lossless(n, 0)}
	return p
}

func TestConstantSun(t *testing.T) {
	const src = "checks-heat 9.4.3 (algebra): full cover by K = D (24 - ts), savings linear up to it"
	sun := append(flat(8, 300), flat(16, 0)...)
	p := sunDay(sun, 1)
	for _, v := range []float64{0, 400, 800, 1599, 1600, 2000} {
		p.Stores[0].CapacityKWh = v
		closeTo(t, fmt.Sprintf("cost at %g, %s", v, src), plan(t, p).Cost, 1600-math.Min(v, 1600), 1e-8)
	}
}

func TestHalfSineSun(t *testing.T) {
	const src = "checks-heat 9.4.4"
	const n = 24 * 60 // one-minute steps
	half := func(peak float64) []float64 {
		sun := make([]float64, n)
		for t := range n / 2 { // mean over the step: the integral of the sine over it
			a, b := math.Pi*float64(t)/(n/2), math.Pi*float64(t+1)/(n/2)
			sun[t] = peak * (math.Cos(a) - math.Cos(b)) / (b - a)
		}
		return sun
	}
	// The step in which sun and demand cross averages a little surplus away: up to 0.003 kWh of it.
	const tol = 0.005
	p := sunDay(half(300), 1.0/60)
	closeTo(t, "short without store, "+src, plan(t, p).Cost, 1328.5443, tol)
	p.Stores[0].CapacityKWh = 600
	closeTo(t, "savings are linear, "+src, plan(t, p).Cost, 1328.5443-600, tol)
	p.Stores[0].CapacityKWh = 5000
	s := plan(t, p)
	closeTo(t, "short with all surplus stored, "+src, s.Cost, 2400-2291.8312, tol)
	// A lossless store may also hold sun while the boiler runs, at the same cost: at least the surplus is stored.
	if stored := s.Outcome(p, Proof{}).SunStoreKWh; stored < 1220.3754-tol {
		t.Errorf("%g kWh are stored; want at least the surplus of 1220.3754, %s", stored, src)
	}

	p = sunDay(half(100*math.Pi), 1.0/60)
	p.Stores[0].CapacityKWh = 1322.6447
	closeTo(t, "just covered by K, checks-heat 9.4.5", plan(t, p).Cost, 0, tol)
	p.Stores[0].CapacityKWh = 1312.6447
	closeTo(t, "10 kWh less are short, checks-heat 9.4.5", plan(t, p).Cost, 10, tol)
}

// A reservoir is a store: the least capacity that meets a yield is known from the sequent peak method.
func TestSequentPeak(t *testing.T) {
	loucks := []float64{1, 3, 3, 5, 8, 6, 7, 2, 1}
	month := []float64{382.8, 303.5, 290.1, 518.7, 741.6, 950.5, 1123.2, 1200.4, 973.1, 671.7, 498.9, 347.1}
	rows := []struct {
		name         string
		inflow       []float64
		yield, k, by float64
		src          string
	}{
		{"loucks 3.5", loucks, 3.5, 7.5, 1e-3, "checks-heat 9.4.7 (data from memory, trace computed there)"},
		{"loucks 2", loucks, 2, 2, 1e-3, "checks-heat 9.4.8"},
		{"loucks 3", loucks, 3, 5, 1e-3, "checks-heat 9.4.8"},
		{"loucks 4", loucks, 4, 10, 1e-3, "checks-heat 9.4.8"},
		{"months", month, 555.9167, 994.4002, 0.01, "checks-heat 9.4.9"},
		{"months at 0.8 of the mean", month, 0.8 * 666.8, 859.54, 0.02, "checks-heat 9.4.10"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			n := len(r.inflow)
			p := Problem{Start: day1, StepH: 1, Headers: []Header{{Name: "river", DemandKW: flat(n, r.yield)}},
				Fields: []Field{one("inflow", r.inflow, r.inflow)}, Stores: []Store{lossless(n, r.k+r.by)}}
			if _, _, err := Plan(context.Background(), p, Options{}); err != nil {
				t.Errorf("a little more than %g is not enough (%s): %v", r.k, r.src, err)
			}
			p.Stores[0].CapacityKWh = r.k - r.by
			var e *NoPlan
			if _, _, err := Plan(context.Background(), p, Options{}); !errors.As(err, &e) {
				t.Errorf("a little less than %g is enough (%s): %v", r.k, r.src, err)
			}
		})
	}
}

// rampDay is checks-heat 9.5. Boiler A starts from 30 kW, so that it can give 70 in the first step.
func rampDay(ramp float64) Problem {
	p := simple([]float64{110, 180, 220, 160}, flat(4, 0.02))
	p.Boilers[0] = Boiler{Name: "A", Pieces: []Piece{{140, 1}}, FuelPrice: flat(4, 0.02), RampKW: ramp}
	if ramp > 0 {
		p.Boilers[0].Available = []float64{0.5, 1, 1, 1}
	}
	p.Boilers = append(p.Boilers, Boiler{Name: "B", Pieces: []Piece{{200, 1}}, FuelPrice: flat(4, 0.05)})
	return p
}

func TestRamp(t *testing.T) {
	const src = "checks-heat 9.5 (GLPK 5.0)"
	p := rampDay(40)
	needsClp(t, p)
	eng, _, _, err := choose(p, "")
	if err != nil {
		t.Fatal(err)
	}
	defer eng.close()
	w := newWork(p)
	a, err := solveProven(context.Background(), w, eng)
	if err != nil {
		t.Fatal(err)
	}
	closeTo(t, "cost 9.5.1", a.plan.Cost, 19.70, 1e-9)
	for i, want := range []struct{ a, b float64 }{{70, 40}, {110, 70}, {140, 80}, {140, 20}} {
		closeTo(t, fmt.Sprintf("A in step %d, %s", i+1, src), a.plan.BoilerKW[0][i], want.a, 1e-9)
		closeTo(t, fmt.Sprintf("B in step %d, %s", i+1, src), a.plan.BoilerKW[1][i], want.b, 1e-9)
		closeTo(t, fmt.Sprintf("header dual in step %d, %s", i+1, src), a.plan.HeatPrice[0][i], 0.05, 1e-9)
	}
	// The limit of the first step is here the bound of its column: its dual is the reduced cost.
	closeTo(t, "dual of the first rise, "+src, w.heatCost(a.prices, 0, 0, 0), -0.06, 1e-9)
	for i, want := range []float64{-0.03, 0, 0} {
		closeTo(t, fmt.Sprintf("dual of rise %d, %s", i+2, src), a.prices.ramp[0][i+1], want, 1e-9)
	}
	closeTo(t, "reduced cost of A in step 3, "+src, w.heatCost(a.prices, 0, 0, 2), -0.03, 1e-9)
	closeTo(t, "reduced cost of A in step 4, "+src, w.heatCost(a.prices, 0, 0, 3), -0.03, 1e-9)
	closeTo(t, "cost without the limit, "+src, plan(t, rampDay(0)).Cost, 17.60, 1e-9)
}

// unit is a heat source with cost a + b P + c P², as chords of the given width.
type unit struct{ a, b, c, least, most float64 }

func (u unit) cost(p float64) float64 { return u.a + u.b*p + u.c*p*p }

func (u unit) chords(width float64) []Piece {
	var list []Piece
	for p := u.least; p < u.most; p += width {
		list = append(list, Piece{width, u.b + u.c*(2*p+width)})
	}
	return list
}

// dispatch shares load among units, each at its least load or more, and returns cost and loads.
func dispatch(t *testing.T, load, width float64, units ...unit) (float64, []float64, float64) {
	t.Helper()
	p := Problem{Start: day1, StepH: 1, Headers: []Header{{Name: "main"}}}
	cost, least := 0.0, 0.0
	for i, u := range units {
		p.Boilers = append(p.Boilers, Boiler{Name: fmt.Sprintf("U%d", i+1), Pieces: u.chords(width), FuelPrice: []float64{1}})
		cost, least = cost+u.cost(u.least), least+u.least
	}
	p.Headers[0].DemandKW = []float64{load - least}
	s := plan(t, p)
	loads := make([]float64, len(units))
	for i, u := range units {
		loads[i] = u.least + s.BoilerKW[i][0]
	}
	return cost + s.Cost, loads, s.HeatPrice[0][0]
}

func TestConvexDispatch(t *testing.T) {
	saadat := []unit{{500, 5.3, 0.004, 0, 800}, {400, 5.5, 0.006, 0, 800}, {200, 5.8, 0.009, 0, 800}}
	const src = "checks-heat 9.6.1 (Saadat, example 7.4, from memory, verified by arithmetic there)"
	// Chords of 50 MW have joints at the answer, where they are exact.
	cost, loads, _ := dispatch(t, 800, 50, saadat...)
	closeTo(t, "cost, "+src, cost, 6682.5, 1e-9)
	for i, want := range []float64{400, 250, 150} {
		closeTo(t, fmt.Sprintf("load %d, %s", i+1, src), loads[i], want, 1e-9)
	}
	// Elsewhere chords stand above the curves by at most c·w²/4 each.
	for _, width := range []float64{80, 32, 16} {
		cost, _, _ := dispatch(t, 800, width, saadat...)
		if above := cost - 6682.5; above < -1e-9 || above > 0.019*width*width/4 {
			t.Errorf("chords of %g MW cost %g more than the curves; want 0 to %g (%s)", width, above, 0.019*width*width/4, src)
		}
	}
	two := []unit{{100, 2, 0.01, 25, 150}, {80, 2.6, 0.004, 30, 200}}
	_, loads, lambda := dispatch(t, 125, 0.01, two...)
	const src2 = "checks-heat 9.6.2; why a looser tolerance: chords of 0.01 MW"
	closeTo(t, "first, "+src2, loads[0], 57.142857, 0.01)
	closeTo(t, "second, "+src2, loads[1], 67.857143, 0.01)
	closeTo(t, "lambda, "+src2, lambda, 3.142857, 0.01*0.01*2)
}
