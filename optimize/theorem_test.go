package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

const (
	randomSeed  = 20261125
	randomCount = 200
)

// randomProblem is a small plant with a chance of every feature. Shortage has a price, so that there
// always is a plan.
func randomProblem(rng *rand.Rand) Problem {
	n := 2 + rng.IntN(6)
	series := func(lo, hi, zeros float64) []float64 {
		v := make([]float64, n)
		for t := range v {
			if rng.Float64() >= zeros {
				v[t] = lo + (hi-lo)*rng.Float64()
			}
		}
		return v
	}
	p := Problem{Start: day1, StepH: []float64{0.25, 0.5, 1}[rng.IntN(3)]}
	headers, stores := 1+rng.IntN(2), rng.IntN(3)
	for l := range headers {
		p.Headers = append(p.Headers, Header{Name: fmt.Sprintf("H%d", l), DemandKW: series(20, 100, 0.1), UnmetPrice: 0.5 + rng.Float64()})
	}
	for k := range stores {
		s := Store{Name: fmt.Sprintf("S%d", k), Header: rng.IntN(headers), VolumeM3: 1, CapacityKWh: 100 * rng.Float64(),
			Keep: series(0.8, 1, 0), StandingKW: series(0, 3, 0.2), ChargeKW: 20 + 80*rng.Float64(), DischargeKW: 20 + 80*rng.Float64()}
		if rng.IntN(2) == 0 {
			s.HeaderChargeKW = 50 * rng.Float64()
		}
		p.Stores = append(p.Stores, s)
	}
	for i := range rng.IntN(3) {
		f := Field{Name: fmt.Sprintf("F%d", i), AreaM2: 50 + 200*rng.Float64(), HeatCost: 0.01 * rng.Float64(), FixedCost: rng.Float64(),
			HeaderKWM2: make([][]float64, headers), StoreKWM2: make([][]float64, stores)}
		for l := range f.HeaderKWM2 {
			if rng.IntN(3) > 0 {
				f.HeaderKWM2[l] = series(0.1, 0.8, 0.5)
			}
		}
		for k := range f.StoreKWM2 {
			if rng.IntN(3) > 0 {
				f.StoreKWM2[k] = series(0.1, 0.8, 0.5)
			}
		}
		p.Fields = append(p.Fields, f)
	}
	for i := range 1 + rng.IntN(2) {
		b := Boiler{Name: fmt.Sprintf("B%d", i), Header: rng.IntN(headers), FuelPrice: series(0.03, 0.1, 0),
			Pieces: []Piece{{30 + 50*rng.Float64(), 1.1}, {30 * rng.Float64(), 1.3}}}
		if rng.IntN(3) == 0 {
			b.RampKW = 20 + 30*rng.Float64()
		}
		if rng.IntN(3) == 0 {
			b.Available = series(0.5, 1, 0.1)
		}
		if rng.IntN(6) == 0 {
			b.FuelPrice[0] = -0.02
		}
		p.Boilers = append(p.Boilers, b)
	}
	if headers == 2 {
		p.Valves = []Valve{{0, 1, 40 * rng.Float64()}}
	}
	if rng.IntN(3) == 0 {
		m := Limit{Name: "flue", MostKW: series(20, 120, 0), OfFuel: rng.IntN(3) == 0}
		for i := range p.Boilers {
			m.Boilers = append(m.Boilers, i)
		}
		p.Limits = []Limit{m}
	}
	if rng.IntN(3) == 0 {
		p.Takes = []Take{{Name: "gas", Boilers: []int{0}, LeastKWh: 400 * rng.Float64(), Price: 0.1 * rng.Float64()}}
	}
	return p
}

// forRandom runs a check on each random problem that an engine of this program takes, and names the one
// that fails.
func forRandom(t *testing.T, check func(t *testing.T, p Problem, rng *rand.Rand)) {
	t.Parallel()
	for i := range randomCount {
		rng := rand.New(rand.NewPCG(randomSeed, uint64(i)))
		p := randomProblem(rng)
		if !t.Run(fmt.Sprintf("seed=%d,%d", randomSeed, i), func(t *testing.T) {
			needsClp(t, p)
			check(t, p, rng)
		}) {
			t.Fatalf("problem %d of seed %d: %+v", i, randomSeed, p)
		}
	}
}

func TestRandomPrimalEqualsDual(t *testing.T) {
	forRandom(t, func(t *testing.T, p Problem, _ *rand.Rand) {
		s, proof, err := Plan(context.Background(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if proof.LowerBound > s.Cost+1e-9*math.Max(1, math.Abs(s.Cost)) || proof.DualityGap > 1e-9 || proof.DualResidual > 1e-9 || proof.PrimalResidual > 1e-9 {
			t.Errorf("proof %+v", proof)
		}
		total := s.FixedCost + s.TakeCost
		for _, c := range s.StepCost {
			total += c
		}
		closeTo(t, "sum of steps", total, s.Cost, 1e-9)
	})
}

// Heat in equals heat out, to 1e-9 of the demand.
func TestRandomEnergyCloses(t *testing.T) {
	forRandom(t, func(t *testing.T, p Problem, _ *rand.Rand) {
		s := plan(t, p)
		o := s.Outcome(p, Proof{})
		in := o.SunHeaderKWh + o.SunStoreKWh + sum(o.HeatKWh) + o.UnmetKWh
		closeTo(t, "heat in", in, o.DemandKWh+o.LossKWh+o.VentKWh, 1e-9*(1+o.DemandKWh))
		closeTo(t, "heat into stores", o.SunStoreKWh+o.StoreInKWh+o.KeepWarmKWh, o.StoreOutKWh+o.LossKWh, 1e-9*(1+o.DemandKWh))
	})
}

// standard is the program as gonum's dense simplex wants it: equalities and columns of 0 or more.
func standard(m *matrix) (c []float64, a *mat.Dense, b []float64) {
	cols, rows := len(m.cost), len(m.rowUpper)
	type entry struct {
		row, col int
		v        float64
	}
	var es []entry
	for j := range cols {
		for e := m.start[j]; e < m.start[j+1]; e++ {
			es = append(es, entry{int(m.index[e]), j, m.value[e]})
		}
	}
	c, b = slices.Clone(m.cost), slices.Clone(m.rowUpper)
	slack := func(row int, v float64) {
		es = append(es, entry{row, len(c), v})
		c = append(c, 0)
	}
	for i := range rows {
		if m.rowLower[i] == m.rowUpper[i] {
			continue
		}
		slack(i, 1)
		if !math.IsInf(m.rowLower[i], -1) { // the slack's own upper bound
			es = append(es, entry{len(b), len(c) - 1, 1})
			b = append(b, m.rowUpper[i]-m.rowLower[i])
			slack(len(b)-1, 1)
		}
	}
	for j := range cols {
		es = append(es, entry{len(b), j, 1})
		b = append(b, m.upper[j])
		slack(len(b)-1, 1)
	}
	a = mat.NewDense(len(b), len(c), nil)
	for _, e := range es {
		a.Set(e.row, e.col, e.v)
	}
	return c, a, b
}

// gonum's simplex is another program by other people. It gives up on some degenerate problems: at
// least three quarters must be answered for this to be a check.
func TestRandomAgreesWithGonum(t *testing.T) {
	unraced(t)
	if !haveClp {
		t.Skip("most of these problems need Clp, which is not in this program")
	}
	answered, asked := 0, 0
	for i := range randomCount {
		p := randomProblem(rand.New(rand.NewPCG(randomSeed, uint64(i))))
		w := newWork(p)
		y := newLayout(w)
		c, a, b := standard(build(w, y))
		if len(b) > 120 {
			continue
		}
		asked++
		cost, _, err := lp.Simplex(c, a, b, 1e-10, nil)
		if err != nil {
			continue
		}
		answered++
		if got := plan(t, p).Cost; math.Abs(got-cost-p.fixedCost()) > 1e-6*math.Max(1, math.Abs(got)) {
			t.Errorf("problem %d of seed %d: Clp %.9g, gonum %.9g", i, randomSeed, got, cost+p.fixedCost())
		}
	}
	t.Logf("gonum answered %d of %d", answered, asked)
	if answered < asked*3/4 || asked < 50 {
		t.Errorf("gonum answered %d of %d; want three quarters of at least 50", answered, asked)
	}
}

// scaled2 is the problem with every kW, kWh and m² doubled.
func scaled2(p Problem) Problem {
	p.Headers, p.Fields, p.Boilers = slices.Clone(p.Headers), slices.Clone(p.Fields), slices.Clone(p.Boilers)
	p.Valves, p.Stores = slices.Clone(p.Valves), slices.Clone(p.Stores)
	for i := range p.Headers {
		p.Headers[i].DemandKW = scaled(p.Headers[i].DemandKW, 2)
	}
	for i := range p.Fields {
		p.Fields[i].AreaM2 *= 2
		p.Fields[i].FixedCost *= 2
	}
	for i := range p.Boilers {
		p.Boilers[i].RampKW *= 2
		p.Boilers[i].Pieces = slices.Clone(p.Boilers[i].Pieces)
		for j := range p.Boilers[i].Pieces {
			p.Boilers[i].Pieces[j].CapacityKW *= 2
		}
	}
	for i := range p.Valves {
		p.Valves[i].CapacityKW *= 2
	}
	for i := range p.Stores {
		s := &p.Stores[i]
		s.CapacityKWh, s.ChargeKW, s.DischargeKW, s.HeaderChargeKW = 2*s.CapacityKWh, 2*s.ChargeKW, 2*s.DischargeKW, 2*s.HeaderChargeKW
		s.StandingKW = scaled(s.StandingKW, 2)
	}
	p.Limits, p.Takes = slices.Clone(p.Limits), slices.Clone(p.Takes)
	for i := range p.Limits {
		p.Limits[i].MostKW = scaled(p.Limits[i].MostKW, 2)
	}
	for i := range p.Takes {
		p.Takes[i].LeastKWh *= 2
	}
	return p
}

func TestRandomTheorems(t *testing.T) {
	forRandom(t, func(t *testing.T, p Problem, rng *rand.Rand) {
		cost := plan(t, p).Cost
		tol := 1e-7 * math.Max(1, math.Abs(cost))
		closeTo(t, "everything doubled", plan(t, scaled2(p)).Cost, 2*cost, 2*tol)

		turned := p
		turned.Fields, turned.Boilers = slices.Clone(p.Fields), slices.Clone(p.Boilers)
		slices.Reverse(turned.Fields)
		slices.Reverse(turned.Boilers)
		turned.Takes = slices.Clone(p.Takes) // a limit has all boilers
		for i := range turned.Takes {
			turned.Takes[i].Boilers = []int{len(p.Boilers) - 1}
		}
		closeTo(t, "fields and boilers in another order", plan(t, turned).Cost, cost, tol)

		for i := range p.Fields {
			more := p
			more.Fields = slices.Clone(p.Fields)
			more.Fields[i].AreaM2 *= 1.3
			if c := plan(t, more).Cost; c > cost+tol {
				t.Errorf("more of field %d costs %g instead of %g", i, c, cost)
			}
		}
		for k := range p.Stores {
			more := p
			more.Stores = slices.Clone(p.Stores)
			more.Stores[k].CapacityKWh *= 1.5
			if c := plan(t, more).Cost; c > cost+tol {
				t.Errorf("more of store %d at the same loss costs %g instead of %g", k, c, cost)
			}
		}
		if k := len(p.Stores); k > 0 { // an empty vessel equals no vessel
			none := p
			none.Stores = slices.Clone(p.Stores)
			none.Stores[k-1] = Store{Name: "none", Header: none.Stores[k-1].Header, Keep: none.Stores[k-1].Keep, StandingKW: flat(p.N(), 0)}
			closeTo(t, "an empty store", plan(t, none).Cost, plan(t, p.Without(k-1)).Cost, tol)
		}
	})
}

// At fixed loss the cost bends one way only: the middle is no dearer than the mean of the ends.
func TestRandomConvexInCapacity(t *testing.T) {
	forRandom(t, func(t *testing.T, p Problem, rng *rand.Rand) {
		if len(p.Stores) == 0 {
			return
		}
		at := func(q float64) float64 {
			p.Stores = slices.Clone(p.Stores)
			p.Stores[0].CapacityKWh = q
			return plan(t, p).Cost
		}
		a, b := 1+40*rng.Float64(), 50+60*rng.Float64()
		ends := (at(a) + at(b)) / 2
		if mid := at((a + b) / 2); mid > ends+1e-7*math.Max(1, math.Abs(ends)) {
			t.Errorf("between %g and %g kWh: %.9g in the middle, %.9g as the mean", a, b, mid, ends)
		}
	})
}

// With no shortage allowed there is either a plan without any, or a NoPlan.
func TestRandomNoShortage(t *testing.T) {
	forRandom(t, func(t *testing.T, p Problem, _ *rand.Rand) {
		for l := range p.Headers {
			p.Headers[l].UnmetPrice = 0
		}
		s, _, err := Plan(context.Background(), p, Options{})
		var short *NoPlan
		if errors.As(err, &short) {
			if short.TotalKWh <= 0 || short.Hours <= 0 || short.WorstKW <= 0 {
				t.Errorf("%+v", short)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if o := s.Outcome(p, Proof{}); o.UnmetKWh > 1e-6 {
			t.Errorf("%g kWh unmet in a plan that allows none", o.UnmetKWh)
		}
	})
}
