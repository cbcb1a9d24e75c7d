package onestore

import (
	"fmt"
	"math"
	"testing"
)

// eightSteps is the heat store of checks-heat 9.3. A ninth step, in which nothing is asked and nothing
// kept, makes the store start empty.
func eightSteps(capacity float64) (Plant, *Store) {
	sun := []float64{0, 0, 150, 200, 150, 0, 0, 0, 0}
	p := burner(append(flat(8, 60), 0), []float64{0.04, 0.04, 0.04, 0.04, 0.06, 0.06, 0.05, 0.03, 0.03})
	p.Fields = []Field{{Header: sun, Store: sun}}
	s := tank(9, capacity)
	s.Keep = append(flat(8, 0.99), 0)
	return p, s
}

var eightStepTests = []struct{ capacity, cost, slope float64 }{
	{0, 13.2, 0.0594}, {30, 11.418, 0.0594}, {60, 9.636, 0.0594}, {61, 9.580695, 0.049005}, {90, 8.15955, 0.049005},
	{120, 6.6894, 0.049005}, {150, 5.779834, 0.029109}, {180, 4.906565, 0.029109}, {183.7, 4.8, 0}, {200, 4.8, 0},
}

func TestStoreOfEightSteps(t *testing.T) {
	t.Parallel()
	const src = "checks-heat 9.3 (scipy's HiGHS and closed form)"
	for _, tt := range eightStepTests {
		p, s := eightSteps(tt.capacity)
		a := must(t, p, s)
		if math.Abs(a.cost-tt.cost) > 6e-7 { // the source cuts 5.7798345 to 5.779834
			t.Errorf("at %g kWh: cost %.9g; want %.9g (%s)", tt.capacity, a.cost, tt.cost, src)
		}
		// At nothing any steeper slope is one too, since there is no smaller store.
		if worth := capacityWorth(s, a.Plan); worth < tt.slope-5e-7 || tt.capacity > 0 && worth > tt.slope+5e-7 {
			t.Errorf("at %g kWh: slope %.9g; want %.9g (%s)", tt.capacity, worth, tt.slope, src)
		}
	}
}

// The closed form has knots where a third, sixth and so on of the boiler's steps is replaced: on either side of
// each the slope is that of its side, at it the cost is exact and the slope between both.
func TestKnotsOfEightSteps(t *testing.T) {
	t.Parallel()
	const src = "checks-heat 9.3, closed form"
	const r = 0.99
	slopes := []float64{0.06 * r, 0.05 * r * r, 0.03 * r * r * r, 0}
	knot, saved := 0.0, 0.0
	for i, printed := range []float64{60.606061, 121.824304, 183.660913} {
		length := 60 / math.Pow(r, float64(i+1))
		knot, saved = knot+length, saved+length*slopes[i]
		if math.Abs(knot-printed) > 5e-7 {
			t.Fatalf("knot %d is %.9g; the source prints %.9g", i, knot, printed)
		}
		for _, side := range []float64{-1e-6, 0, 1e-6} {
			p, s := eightSteps(knot + side)
			a := must(t, p, s)
			most, least := slopes[i], slopes[i+1]
			if side < 0 {
				least = most
			} else if side > 0 {
				most = least
			}
			if worth := capacityWorth(s, a.Plan); worth > most+1e-12 || worth < least-1e-12 {
				t.Errorf("%g from knot %d: slope %.9g; want %.9g to %.9g (%s)", side, i, worth, least, most, src)
			}
			want := 13.2 - saved - min(side*slopes[i], side*slopes[i+1])
			if math.Abs(a.cost-want) > 1e-11 {
				t.Errorf("%g from knot %d: cost %.12g; want %.12g (%s)", side, i, a.cost, want, src)
			}
		}
	}
	if math.Abs(saved-8.4) > 1e-12 {
		t.Errorf("saturates at %.9g; want 8.40 (%s)", saved, src)
	}
	p, s := eightSteps(100)
	a := must(t, p, s)
	for i, want := range []float64{60, 60, 0, 0, 0, 0, 21.39, 60} {
		near(t, fmt.Sprintf("boiler in step %d at 100 kWh, %s", i+1, src), a.Source[0][i], want, 1e-9)
	}
	for i, want := range []float64{0.04, 0.04, 0, 0, 0, 0.0495, 0.05, 0.03} {
		near(t, fmt.Sprintf("price in step %d at 100 kWh, %s", i+1, src), a.HeaderPrice[i], want, 1e-9)
	}
	near(t, "held after step 5, "+src, a.Held[5], 100, 1e-9)
	near(t, "held after step 6, "+src, a.Held[6], 39, 1e-9)
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.10g; want %.10g within %g", what, got, want, tol)
	}
}

// Two prices of a lossless store charged from the header.
func TestTwoPriceLevels(t *testing.T) {
	t.Parallel()
	const src = "checks-heat 9.4.1 (closed form = scipy LP)"
	p := burner(flat(24, 100), append(flat(8, 0.03), flat(16, 0.06)...))
	p.Sources[0].Cap = flat(24, 150)
	for _, tt := range []struct{ v, save, slope float64 }{
		{0, 0, 0.03}, {100, 3, 0.03}, {200, 6, 0.03}, {300, 9, 0.03}, {400, 12, math.NaN()}, {500, 12, 0}} {
		s := tank(24, tt.v)
		s.FromHeader = 1e3
		a := must(t, p, s)
		near(t, fmt.Sprintf("savings at %g, %s", tt.v, src), 120-a.cost, tt.save, 1e-9)
		if !math.IsNaN(tt.slope) {
			near(t, fmt.Sprintf("slope at %g, %s", tt.v, src), capacityWorth(s, a.Plan), tt.slope, 1e-12)
		}
	}
}

// halfSine is the sun of checks-heat 9.4.4 in steps of a minute over a day, kWh.
func halfSine(peakKW float64) []float64 {
	sun := make([]float64, 24*60)
	for t := range 12 * 60 { // the integral of the sine over the step
		a, b := math.Pi*float64(t)/720, math.Pi*float64(t+1)/720
		sun[t] = peakKW * 12 / math.Pi * (math.Cos(a) - math.Cos(b))
	}
	return sun
}

func TestHalfSineSun(t *testing.T) {
	t.Parallel()
	const src = "checks-heat 9.4.4"
	// The two steps in which sun and demand cross hide a little surplus: by the sine's slope there, up to
	// 300·π/12·(1/60)²/8 = 0.0027 kWh each.
	const tol = 0.006
	sun := halfSine(300)
	p := Plant{Demand: flat(len(sun), 100.0/60), UnmetCost: 1, Fields: []Field{{Header: sun, Store: sun}}}
	for _, tt := range []struct{ capacity, short, slope float64 }{
		{0, 1328.5443, 1}, {300, 1028.5443, 1}, {1200, 128.5443, 1}, {1220.3754, 2400 - 2291.8312, math.NaN()}, {5000, 2400 - 2291.8312, 0},
	} {
		s := tank(len(sun), tt.capacity)
		a := must(t, p, s)
		near(t, fmt.Sprintf("short at %g kWh, %s", tt.capacity, src), a.cost, tt.short, tol)
		if !math.IsNaN(tt.slope) {
			near(t, fmt.Sprintf("slope at %g kWh, %s", tt.capacity, src), capacityWorth(s, a.Plan), tt.slope, 1e-9)
		}
	}
	sun = halfSine(100 * math.Pi)
	p.Fields = []Field{{Header: sun, Store: sun}}
	near(t, "just covered by K, checks-heat 9.4.5", must(t, p, tank(len(sun), 1322.6447)).cost, 0, tol)
	near(t, "10 kWh less are short, checks-heat 9.4.5", must(t, p, tank(len(sun), 1312.6447)).cost, 10, tol)
}

// 100 kWh stored in step 0 and drawn n steps later, in a year whose last step keeps nothing.
func TestHoldLoss(t *testing.T) {
	t.Parallel()
	const src = "checks-heat 9.4.6"
	for _, tt := range []struct {
		keep  float64
		steps int
		left  float64
	}{{0.995, 12, 0.94162281}, {0.99, 16, 0.85145777}} {
		n := tt.steps + 2
		p := Plant{Demand: flat(n, 0), UnmetCost: 1, Fields: []Field{{Store: append([]float64{100}, flat(n-1, 0)...)}}}
		p.Demand[tt.steps] = 100
		s := tank(n, 1e4)
		s.Keep = flat(n, tt.keep)
		s.Keep[n-1] = 0
		near(t, fmt.Sprintf("left after %d steps of %g, %s", tt.steps, tt.keep, src), 100-must(t, p, s).cost, 100*tt.left, 5e-7)
	}
}

// A reservoir is a store: the least capacity that meets a yield is known from the sequent peak method.
func TestSequentPeak(t *testing.T) {
	t.Parallel()
	loucks := []float64{1, 3, 3, 5, 8, 6, 7, 2, 1}
	month := []float64{382.8, 303.5, 290.1, 518.7, 741.6, 950.5, 1123.2, 1200.4, 973.1, 671.7, 498.9, 347.1}
	mean := 0.0
	for _, x := range month {
		mean += x / 12
	}
	for _, tt := range []struct {
		inflow        []float64
		yield, k, tol float64
		src           string
	}{
		{loucks, 3.5, 7.5, 1e-9, "checks-heat 9.4.7 (data from memory, trace computed there)"},
		{loucks, 1, 0, 1e-9, "checks-heat 9.4.8"},
		{loucks, 2, 2, 1e-9, "checks-heat 9.4.8"},
		{loucks, 3, 5, 1e-9, "checks-heat 9.4.8"},
		{loucks, 4, 10, 1e-9, "checks-heat 9.4.8"},
		{month, 555.9167, 994.4002, 1e-3, "checks-heat 9.4.9"},
		{month, mean, 1659.70, 0.01, "checks-heat 9.4.9"},
		{month, 0.9 * mean, 1259.62, 0.01, "checks-heat 9.4.10"},
		{month, 0.8 * mean, 859.54, 0.01, "checks-heat 9.4.10"},
		{month, 0.75 * mean, 678.10, 0.01, "checks-heat 9.4.10"},
		{month, 0.6 * mean, 276.82, 0.01, "checks-heat 9.4.10"},
	} {
		n := len(tt.inflow)
		p := Plant{Demand: flat(n, tt.yield), UnmetCost: 1, Fields: []Field{{Header: tt.inflow, Store: tt.inflow}}}
		k := least(t, p, n)
		near(t, fmt.Sprintf("K for a yield of %g, %s", tt.yield, tt.src), k, tt.k, tt.tol)
	}
}

// least is the smallest capacity with nothing short: Newton's steps along the slopes of a convex function never
// pass it, and end on its last straight piece.
func least(t *testing.T, p Plant, n int) float64 {
	t.Helper()
	k := 0.0
	for range 50 {
		s := tank(n, k)
		a := must(t, p, s)
		short := 0.0
		for _, x := range a.Unmet {
			short += x
		}
		if short <= 1e-10 {
			return k
		}
		k += short / capacityWorth(s, a.Plan)
	}
	t.Fatal("no capacity is enough")
	return 0
}
