package optimize

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// accumulator is a plant of two pressures without sun: boilers on the high one, the batch on the low one, and a vessel
// that is charged from the high and serves the low.
func accumulator(capacityKWh float64) Problem {
	from := 0
	return Problem{Start: day1, StepH: 1,
		Headers: []Header{{Name: "high", DemandKW: []float64{10, 10, 10, 10}}, {Name: "low", DemandKW: []float64{20, 20, 140, 20}}},
		Boilers: []Boiler{{Name: "B", Pieces: []Piece{{100, 1.25}}, FuelPrice: []float64{0.04, 0.04, 0.04, 0.04}}},
		Valves:  []Valve{{From: 0, To: 1, CapacityKW: 1000}},
		Stores: []Store{{Name: "S", Header: 1, ChargedFrom: &from, VolumeM3: 1, CapacityKWh: capacityKWh, ChargeKW: 1000, DischargeKW: 1000,
			HeaderChargeKW: 1000, Keep: []float64{1, 1, 1, 1}, StandingKW: []float64{0, 0, 0, 0}}}}
}

// The peak of 150 kW is 50 kW over the boiler: it must have been stored, 50 kWh, and all steps burn 1.25 · 0.04 a kWh:
// demand 40 + 200 = 240 kWh at 0.05 is 12.00. With 49 kWh of store a kWh is short.
func TestAccumulatorShavesThePeak(t *testing.T) {
	t.Parallel()
	p := accumulator(50)
	needsClp(t, p)
	s, _, err := Plan(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.Cost-12) > 1e-9 || math.Abs(s.DischargeKW[0][2]-50) > 1e-9 {
		t.Errorf("cost %g, drawn %g in the peak; by hand 12 and 50", s.Cost, s.DischargeKW[0][2])
	}
	var short *NoPlan
	_, _, err = Plan(context.Background(), accumulator(49), Options{})
	if !errors.As(err, &short) || math.Abs(short.TotalKWh-1) > 1e-6 || short.Header != "low" {
		t.Errorf("%v; want 1 kWh short at low, by hand", err)
	}
	// Charged from its own header, the low one, the same is had through the valve.
	p.Stores[0].ChargedFrom = nil
	own, _, err := Plan(context.Background(), p, Options{})
	if err != nil || math.Abs(own.Cost-12) > 1e-9 {
		t.Errorf("charged through the valve: %g, %v; want 12", own.Cost, err)
	}
	// Without a valve only the vessel joins the two: then it carries the low header's 200 kWh, all through itself.
	p = accumulator(50)
	p.Valves = nil
	through, _, err := Plan(context.Background(), p, Options{})
	if err != nil || math.Abs(through.Cost-12) > 1e-9 {
		t.Errorf("through the vessel: %g, %v; want 12", through.Cost, err)
	}
	if got := sum(through.DischargeKW[0]); math.Abs(got-200) > 1e-9 {
		t.Errorf("drawn %g kWh; want the low header's 200", got)
	}
}

// Standing loss is made up from the header that charges: a loss of 3 kW costs the high header 12 kWh in four steps.
func TestAccumulatorIsKeptWarmFromItsSource(t *testing.T) {
	t.Parallel()
	p := accumulator(50)
	needsClp(t, p)
	p.Headers[1].DemandKW = []float64{0, 0, 0, 0}
	p.Valves = nil
	p.Stores[0].DischargeKW = 0
	p.Stores[0].StandingKW = []float64{3, 3, 3, 3}
	s, proof, err := Plan(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if want := (40 + 12) * 0.05; math.Abs(s.Cost-want) > 1e-9 || proof.DualityGap > 1e-9 {
		t.Errorf("cost %g, gap %g; by hand %g", s.Cost, proof.DualityGap, want)
	}
}

// Random plants of two headers, two stores and a field: the proof closes, a source that costs more never helps, and doubling
// all doubles the cost.
func TestTwoStoresOfTwoHeaders(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(5, 1))
	for i := range 60 {
		p := twoStores(rng)
		needsClp(t, p)
		s, proof, err := Plan(context.Background(), p, Options{})
		if err != nil {
			t.Fatalf("%d: %v", i, err)
		}
		if proof.DualityGap > 1e-6 {
			t.Errorf("%d: gap %g", i, proof.DualityGap)
		}
		more := p
		more.Stores = append([]Store(nil), p.Stores...)
		more.Stores[1].CapacityKWh *= 2
		larger, _, err := Plan(context.Background(), more, Options{})
		if err != nil || larger.Cost > s.Cost+1e-7*math.Abs(s.Cost) {
			t.Errorf("%d: twice the capacity at the same loss costs %g, before %g (%v)", i, larger.Cost, s.Cost, err)
		}
	}
}

func twoStores(rng *rand.Rand) Problem {
	const n = 24
	series := func(low, high float64) []float64 {
		v := make([]float64, n)
		for t := range v {
			v[t] = low + (high-low)*rng.Float64()
		}
		return v
	}
	from := 0
	p := Problem{Start: day1, StepH: 1,
		Headers: []Header{{Name: "high", UnmetPrice: 1, DemandKW: series(0, 200)}, {Name: "low", UnmetPrice: 0.9, DemandKW: series(0, 300)}},
		Fields: []Field{
			{Name: "F", AreaM2: 400, HeatCost: 0.001, HeaderKWM2: [][]float64{series(0, 0.6), nil}, StoreKWM2: [][]float64{series(0, 0.5), series(0, 0.4)}},
			{Name: "G", AreaM2: 300, HeatCost: 0.001, HeaderKWM2: [][]float64{nil, series(0, 0.5)}, StoreKWM2: [][]float64{nil, series(0, 0.5)}}},
		Boilers: []Boiler{{Name: "A", Pieces: []Piece{{150, 1.1}, {100, 1.2}}, FuelPrice: series(0.03, 0.06)}, {Name: "B", Header: 1, Pieces: []Piece{{100, 1.15}}, FuelPrice: series(0.03, 0.06)}},
		Valves:  []Valve{{0, 1, 80}},
	}
	for k := range 2 {
		s := Store{Name: []string{"S", "T"}[k], Header: k, VolumeM3: 1, CapacityKWh: 300 * rng.Float64(), ChargeKW: 150, DischargeKW: 150,
			HeaderChargeKW: []float64{0, 60}[rng.IntN(2)], Keep: series(0.97, 1), StandingKW: series(0, 3)}
		if k == 1 && rng.IntN(2) == 0 {
			s.ChargedFrom = &from
		}
		p.Stores = append(p.Stores, s)
	}
	return p
}
