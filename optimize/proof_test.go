package optimize

import (
	"math"
	"strings"
	"testing"
	"time"
)

// Where nothing is asked, to do nothing is a plan, and one number off breaks one row or bound: the one
// that is named, with its step, and by what it is off.
func TestProofNamesTheRowThatBreaks(t *testing.T) {
	t.Parallel()
	zeros := []float64{0, 0, 0, 0}
	ones := []float64{1, 1, 1, 1}
	p := Problem{Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), StepH: 1,
		Headers: []Header{{Name: "high", DemandKW: zeros}, {Name: "low", DemandKW: zeros}},
		Fields:  []Field{{Name: "dishes", AreaM2: 10, HeaderKWM2: [][]float64{ones, nil}, StoreKWM2: [][]float64{ones}}},
		Boilers: []Boiler{{Name: "B1", Pieces: []Piece{{50, 1.1}}, FuelPrice: ones, Available: []float64{1, 1, 0.5, 1}, RampKW: 20},
			{Name: "B2", Header: 1, Pieces: []Piece{{30, 1.1}}, FuelPrice: ones}},
		Valves: []Valve{{From: 0, To: 1, CapacityKW: 15}},
		Stores: []Store{{Name: "vessel", Header: 1, CapacityKWh: 40, Keep: ones, StandingKW: zeros, ChargeKW: 8, DischargeKW: 9, HeaderChargeKW: 5}},
	}
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	w := newWork(p)
	for _, tt := range []struct {
		spoil  func(s *Schedule)
		worst  string
		wantKW float64
		src    string
	}{
		{func(s *Schedule) { s.SunHeaderKW[0][0][2] = 7 }, `header "high", 1 Jan 02:00`, 7, "7 kW that nobody takes"},
		{func(s *Schedule) { s.BoilerKW[1][1] = 7 }, `header "low", 1 Jan 01:00`, 7, "7 kW that nobody takes"},
		{func(s *Schedule) { s.SunHeaderKW[0][0][2], s.VentKW[0][2] = 13, 13 }, `field "dishes", 1 Jan 02:00`, 3, "10 m² of 1 kW/m² give 10 kW"},
		{func(s *Schedule) { s.SunHeaderKW[0][1][3], s.VentKW[1][3] = 4, 4 }, `field "dishes", 1 Jan 03:00`, 4, "the field does not feed that header"},
		{func(s *Schedule) {
			s.SunHeaderKW[0][0][0], s.VentKW[0][0], s.SunStoreKW[0][0][0] = 8, 8, 6
			for i := 1; i < 5; i++ {
				s.StoredKWh[0][i] = 6
			}
			s.StoredKWh[0][0], s.StoredKWh[0][4] = 0, 6
		}, `year's end of store "vessel", 1 Jan 03:00`, 6, "6 kWh more at the end; the area of 14 m² for 10 is off by 4"},
		{func(s *Schedule) { s.PieceKW[0][0][2] = 30 }, `boiler "B1", 1 Jan 02:00`, 5, "half of 50 kW is available"},
		{func(s *Schedule) { s.PieceKW[1][0][0] = -2 }, `boiler "B2", 1 Jan 00:00`, 2, "below 0"},
		{func(s *Schedule) { s.BoilerKW[0][1], s.VentKW[0][1] = 29, 29 }, `ramp of boiler "B1", 1 Jan 01:00`, 9, "29 kW of rise for 20"},
		{func(s *Schedule) { s.ValveKW[0][1], s.UnmetKW[0][1], s.VentKW[1][1] = 16, 16, 16 }, `unmet heat of header "high", 1 Jan 01:00`, 16, "nothing is asked that could be missing"},
		{func(s *Schedule) { s.ValveKW[0][1], s.BoilerKW[0][1], s.VentKW[1][1] = 19, 19, 19 }, `valve from header "high", 1 Jan 01:00`, 4, "19 kW through 15"},
		{func(s *Schedule) { s.StoredKWh[0][2] = 3 }, `balance of store "vessel", 1 Jan 01:00`, 3, "3 kWh from nowhere"},
		{func(s *Schedule) {
			for i := range s.StoredKWh[0] {
				s.StoredKWh[0][i] = 46
			}
		}, `content of store "vessel", 1 Jan 00:00`, 6, "46 kWh in 40"},
		{func(s *Schedule) { s.KeepWarmKW[0][1], s.DischargeKW[0][1] = 2, 2 }, `keeping warm of store "vessel", 1 Jan 01:00`, 2, "there is no standing loss"},
		{func(s *Schedule) { s.HeaderChargeKW[0][1], s.DischargeKW[0][1] = 7, 7 }, `charging of store "vessel", 1 Jan 01:00`, 2, "7 kW from the header for 5"},
		{func(s *Schedule) { s.SunStoreKW[0][0][1], s.DischargeKW[0][1], s.VentKW[1][1] = 9.5, 9.5, 9.5 }, `charging of store "vessel", 1 Jan 01:00`, 1.5, "9.5 kW of sun for 8"},
		{func(s *Schedule) {
			s.SunStoreKW[0][0][1], s.HeaderChargeKW[0][1], s.DischargeKW[0][1], s.VentKW[1][1] = 7, 5, 12, 7
		}, `charging of store "vessel", 1 Jan 01:00`, 4, "12 kW together for 8; 12 out for 9 is off by 3"},
		{func(s *Schedule) { s.FuelKW[0][1] = 99 }, "", 0, "fuel follows from heat and is no row"},
	} {
		s := newSchedule(&p)
		c := checker{work: w, s: s}
		tt.spoil(s)
		c.all()
		if c.where != tt.worst || math.Abs(c.worst-tt.wantKW) > 1e-12 {
			t.Errorf("%q is off by %g kW; want %q by %g (%s)", c.where, c.worst, tt.worst, tt.wantKW, tt.src)
		}
	}
}

// What is not a number is the worst breach, whatever comes after it.
func TestProofHoldsOnToNaN(t *testing.T) {
	t.Parallel()
	p := plantYear{2, 24, 3}.problem()
	for name, spoil := range map[string]func(s *Schedule){
		"sun":    func(s *Schedule) { s.SunHeaderKW[0][0][3] = math.NaN() },
		"boiler": func(s *Schedule) { s.PieceKW[0][1][3] = math.NaN() },
		"stored": func(s *Schedule) { s.StoredKWh[0][3] = math.NaN() },
		"draw":   func(s *Schedule) { s.DischargeKW[0][3] = math.NaN() },
		"unmet":  func(s *Schedule) { s.UnmetKW[0][3] = math.NaN() },
	} {
		w, s := newWork(p), newSchedule(&p)
		c := checker{work: w, s: s}
		spoil(s)
		c.all()
		if !math.IsNaN(c.worst) || !strings.Contains(c.where, "1 Jan 0") {
			t.Errorf("%s: worst is %g at %q; want NaN on 1 Jan", name, c.worst, c.where)
		}
	}
}
