package storage

import (
	"errors"
	"math"
	"strings"
	"testing"

	"noonkeep/plant/steam"
)

// layered is a thermocline between saturation at 15 bar(a), 198.295 °C, and at 3 bar(a), 133.525 °C.
func layered() Spec {
	return Spec{Discharge: Thermocline, Working: steam.BarAbs(15), SupplyC: 180, ReturnC: 128.525, ApproachK: 5, LimitKW: 800,
		FillFrac: 0.9, LengthPerDiameter: 3, Ends: Ellipsoidal, InsulationM: 0.15, InsulationWMK: 0.055, OutsideWM2K: 10,
		ThermoclineFrac: 0.1, WallM: 0.016}
}

func TestThermoclineHeat(t *testing.T) {
	const src = "v' 0.0011539 m³/kg, h' 844.72 and 561.46 kJ/kg, checks-heat 1.2; 0.9 · 0.9/v' · dh/3600 by hand"
	v := mustNew(t, layered())
	want := 0.9 * 0.9 / 0.0011539 * (844.72 - 561.46) / 3600
	near(t, "kWh/m³", v.HeatKWhM3(), want, 0.002*want, src+"; the steam cushion and v dp are in ours")
	near(t, "hot", v.HotC(), 198.295, 0.001, "checks-heat 1.2")
	// A tenth of the way from cold to hot is left in the layer; c of water rises by 4 % in between.
	near(t, "mean of the empty tank", v.FloorC(), 133.525+0.1*(198.295-133.525), 0.2, "by hand, with constant heat capacity")
	if v.SteamKgM3() != 0 || v.ShortForms() != (ShortForms{}) {
		t.Errorf("steam %g", v.SteamKgM3())
	}
	near(t, "bar", v.PressureAt(0.1).BarAbs(), 15, 1e-9, "the hot layer stands at the top as long as there is any")
	mixed := layered()
	mixed.Discharge = Exchanger
	near(t, "bar", mustNew(t, mixed).PressureAt(0).BarAbs(), 11.24, 0.02, "mixed water at 185 °C, checks-heat 1.2: 11 bar(a) 184.07, 12 bar(a) 187.97 °C, interpolated to 11.24")
}

// The same tank mixed gives only what lies over supply and approach.
func TestThermoclineAgainstMixed(t *testing.T) {
	mixed := layered()
	mixed.Discharge = Exchanger
	near(t, "mixed over layered", mustNew(t, mixed).HeatKWhM3()/mustNew(t, layered()).HeatKWhM3(), (198.295-185)/(0.9*(198.295-133.525)), 0.01,
		"by hand: 13.3 K against nine tenths of 64.8 K, c of water 3 % up")
}

func TestThermoclineLoss(t *testing.T) {
	v := mustNew(t, layered())
	const v0 = 40.0
	l, err := v.Limits(v0)
	if err != nil {
		t.Fatal(err)
	}
	section := math.Pi / 4 * l.DiameterM * l.DiameterM
	thick := 0.1 * 0.9 * v0 / section
	want := (0.67 + 45*4*0.016/l.DiameterM) * section / thick * (198.295 - 133.525) / 1000
	near(t, "mixing kW", l.MixingKW, want, 1e-5*want, "Fourier's law by hand, water and wall side by side")
	bare := l
	bare.MixingKW = 0
	near(t, "keep", l.KeepFrac(5), bare.KeepFrac(5)*math.Exp(-5*l.MixingKW/l.CapacityKWh), 1e-12, "two losses in a row")
	if l.DischargeKW != 800 {
		t.Errorf("discharge %g", l.DischargeKW)
	}
	// A day's stand by the state and by the planner's two parts.
	s, err := v.Hold(v.At(v0, 1), 24, 20)
	if err != nil {
		t.Fatal(err)
	}
	keep := l.KeepFrac(24)
	rate := -math.Log(keep)
	planned := l.CapacityKWh*keep - l.StandingKW(20)*24*(1-keep)/rate
	near(t, "kWh after a day", v.HeatKWh(s), planned, 0.003*l.CapacityKWh, "the planner's straight line against the state")
}

func TestThermoclineLedger(t *testing.T) {
	v := mustNew(t, layered())
	full := v.At(30, 1)
	l, _ := v.Limits(30)
	s, err := v.Draw(full, 700)
	near(t, "after a draw", v.HeatKWh(s), l.CapacityKWh-700, 1e-6, "the ledger")
	if err != nil {
		t.Error(err)
	}
	near(t, "deliverable", v.DeliverableKWh(s), l.CapacityKWh-700, 1e-6, "the ledger")
	s, err = v.Charge(s, 700)
	near(t, "and back", s.UKJ, full.UKJ, 1e-3, "the ledger")
	if err != nil {
		t.Error(err)
	}
	var limit *LimitError
	if _, err = v.Draw(full, l.CapacityKWh+50); !errors.As(err, &limit) || math.Abs(limit.DoneKWh-l.CapacityKWh) > 1e-6 {
		t.Error(err)
	}
}

// counterflow is an exchanger by the effectiveness of Kays and London: what the load's water leaves with, and the tank's.
func counterflow(hotC, coldC, hotKWK, coldKWK, uaKWK float64) (loadOutC, tankOutC float64) {
	least, most := min(hotKWK, coldKWK), max(hotKWK, coldKWK)
	ntu, r := uaKWK/least, least/most
	e := ntu / (1 + ntu)
	if r < 1 {
		x := math.Exp(-ntu * (1 - r))
		e = (1 - x) / (1 - r*x)
	}
	kW := e * least * (hotC - coldC)
	return coldC + kW/coldKWK, hotC - kW/hotKWK
}

// The temperatures at which the two kinds are empty follow from the exchanger's balance of energy. With one area and
// balanced flow both ends are an approach apart: the load's water is made, and the tank's comes back at return plus
// approach. With mixed water under supply plus approach no flow of the tank's water makes the supply, though with ever more of
// it the last approach closes: an area for a given approach has that as its limit.
func TestExchangerBalance(t *testing.T) {
	const returnC, supplyC, approachK, loadKW = 110.0, 140.0, 5.0, 600.0
	load := loadKW / (supplyC - returnC) // kW/K
	ua := loadKW / approachK             // balanced: the difference is the approach all along
	out, back := counterflow(supplyC+approachK, returnC, load, load, ua)
	near(t, "supply", out, supplyC, 1e-9, "balanced counterflow")
	near(t, "tank's return", back, returnC+approachK, 1e-9, "balanced counterflow")
	near(t, "energy", load*(supplyC+approachK-back), loadKW, 1e-9, "what the tank gives is what the load takes")
	// Water at 180 °C makes the supply with less flow, and comes back cooler than return plus approach: the program's is the safe side.
	lo, hi := 0.01, load
	for range 60 {
		mid := (lo + hi) / 2
		if o, _ := counterflow(180, returnC, mid, load, ua); o < supplyC {
			lo = mid
		} else {
			hi = mid
		}
	}
	out, back = counterflow(180, returnC, hi, load, ua)
	near(t, "supply with hotter water", out, supplyC, 1e-6, "less flow")
	if back > returnC+approachK {
		t.Errorf("comes back at %g °C; want no more than %g", back, returnC+approachK)
	}
	near(t, "energy", hi*(180-back), loadKW, 1e-3, "what the tank gives is what the load takes")
	// Mixed water between return and supply cannot make the supply, at any flow.
	for _, flow := range []float64{1, 3, 10, 1000} {
		if o, _ := counterflow(supplyC-0.5, returnC, flow*load, load, ua); o >= supplyC {
			t.Errorf("%g °C made of %g °C", o, supplyC-0.5)
		}
	}
}

func TestThermoclineFaults(t *testing.T) {
	for _, c := range []struct {
		change func(*Spec)
		want   string
	}{
		{func(s *Spec) { s.ReturnC = 180 }, "vessel: return temperature: is 180 °C; want above 0 and below the supply's 180 °C"},
		{func(s *Spec) { s.ReturnC = math.NaN() }, "vessel: return temperature: is NaN °C; want above 0 and below the supply's 180 °C"},
		{func(s *Spec) { s.ThermoclineFrac = 0 }, "vessel: thermocline: is 0 of the tank; want 0.01 to 0.5"},
		{func(s *Spec) { s.WallM = -1 }, "vessel: wall: is -1 m; want 0 to 0.2 m"},
		{func(s *Spec) { s.SupplyC = 195 }, "vessel: working pressure: is 15 bar(a) less 0 bar of margin, 198.3 °C; want no less than the 200.0 °C of supply and approach"},
		{func(s *Spec) { s.LimitKW = 0 }, "vessel: exchanger rating: is 0 kW; want more than 0"},
		{func(s *Spec) { s.FillFrac = 0 }, "vessel: fill: is 0; want 0.2 to 0.95, the rest is steam space"},
	} {
		s := layered()
		c.change(&s)
		if _, err := New(s); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v\nwant %s", err, c.want)
		}
	}
}

// What charges a vessel limits how hot it gets.
func TestMostC(t *testing.T) {
	s := flashSpec(20, 6, 0.9, WhileCharging)
	s.MostC = 190
	near(t, "hot", mustNew(t, s).HotC(), 190, 1e-9, "the limit")
	s.MostC = 250
	near(t, "hot", mustNew(t, s).HotC(), 212.385, 0.001, "20 bar(a), checks-heat 1.2")
	s.MostC = 150
	if _, err := New(s); err == nil || err.Error() != "vessel: charging temperature: makes water of 150.0 °C; want more than the 158.8 °C of the empty vessel" {
		t.Error(err)
	}
	s.MostC = -1
	if _, err := New(s); err == nil {
		t.Error("a limit under nothing was taken")
	}
}
