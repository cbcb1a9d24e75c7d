package optimize

import (
	"context"
	"math"
	"testing"
)

// cappedPlant is a boiler at 0.1 a kWh and a field of 100 m² on one header; the field may give a fifth of the demand.
func cappedPlant() Problem {
	demand := []float64{100, 100, 50, 0}
	most := make([]float64, len(demand))
	for t, kW := range demand {
		most[t] = kW / 5
	}
	return Problem{
		StepH:   1,
		Headers: []Header{{Name: "main", DemandKW: demand}},
		Fields: []Field{{Name: "flat plates", AreaM2: 100, HeaderKWM2: [][]float64{{0.1, 0.5, 0.4, 0.3}},
			MostKW: most, HeatCost: 0.01}},
		Boilers: []Boiler{{Name: "B1", Pieces: []Piece{{CapacityKW: 200, FuelPerHeat: 1}}, FuelPrice: []float64{0.1, 0.1, 0.1, 0.1}}},
	}
}

// Sun by step: 10 of 10 kW, 20 of 50, 10 of 40, 0 of 30; boilers 90 + 80 + 40 kWh. Cost 210 × 0.1 + 40 × 0.01 = 21.4.
func TestFieldWithALimitByHand(t *testing.T) {
	const src = "hand calculation above the test"
	for _, engine := range []string{"onestore", "clp"} {
		if engine == "clp" && !haveClp {
			t.Skip("the rest needs Clp, which is not in this program")
		}
		for _, store := range []bool{false, true} {
			p := cappedPlant()
			if store { // nothing charges it
				p.Stores = []Store{{Name: "tank", CapacityKWh: 50, DischargeKW: 50, ChargeKW: 50,
					Keep: []float64{1, 1, 1, 1}, StandingKW: make([]float64, 4)}}
			}
			s, proof, err := Plan(context.Background(), p, Options{Engine: engine})
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(s.Cost-21.4) > 1e-9 || math.Abs(proof.LowerBound-21.4) > 1e-9 {
				t.Errorf("%s: cost %g, bound %g; want 21.4 (%s)", engine, s.Cost, proof.LowerBound, src)
			}
			for i, want := range []float64{10, 20, 10, 0} {
				if got := s.SunHeaderKW[0][0][i]; math.Abs(got-want) > 1e-9 {
					t.Errorf("%s: sun in step %d is %g kW; want %g (%s)", engine, i, got, want, src)
				}
				if got, want := s.SpilledKW[0][i], []float64{0, 30, 30, 30}[i]; math.Abs(got-want) > 1e-9 {
					t.Errorf("%s: spilled in step %d is %g kW; want %g (%s)", engine, i, got, want, src)
				}
			}
		}
	}
}

// A limit that never binds changes no digit.
func TestLimitThatNeverBinds(t *testing.T) {
	p := cappedPlant()
	for i := range p.Fields[0].MostKW {
		p.Fields[0].MostKW[i] = 1e6
	}
	limited, _, err := Plan(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	p.Fields[0].MostKW = nil
	free, _, err := Plan(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if limited.Cost != free.Cost {
		t.Errorf("cost %v with a limit that never binds, %v without; want the same", limited.Cost, free.Cost)
	}
}

func TestMostFaults(t *testing.T) {
	const want = `field "flat plates": has a limit and more uses than one header; want that header alone`
	p := cappedPlant()
	p.Stores = []Store{{Name: "tank", CapacityKWh: 50, DischargeKW: 50, ChargeKW: 50, Keep: []float64{1, 1, 1, 1}, StandingKW: make([]float64, 4)}}
	p.Fields[0].StoreKWM2 = [][]float64{{0.1, 0.5, 0.4, 0.3}}
	if err := p.Check(); err == nil || err.Error() != want {
		t.Errorf("got %v; want %s", err, want)
	}
	p = cappedPlant()
	p.Fields[0].MostKW = p.Fields[0].MostKW[:3]
	if err := p.Check(); err == nil || err.Error() != `field "flat plates": most: has 3 values; want 4, one a step` {
		t.Errorf("got %v", err)
	}
}
