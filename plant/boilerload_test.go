package plant

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// tableBoiler is 1000 kW with efficiencies at loads, on net heat.
func tableBoiler(minFire float64, table ...LoadEfficiency) Boiler {
	return Boiler{Name: "B1", Fuel: Fuel{Name: "oil"}, CapacityKW: 1000, Efficiency: table[len(table)-1].Efficiency, Table: table, MinFireFrac: minFire}
}

func TestStandingLoss(t *testing.T) {
	t.Parallel()
	const src = "checks-heat 5.4.12 (forbesmarshall.com tip on boiler load): constant in kW, L(x) = L1/x of the fuel"
	b := Boiler{Name: "B1", Fuel: Fuel{Name: "oil"}, CapacityKW: 1000, Efficiency: 0.8, StandingFrac: 0.01}
	full := b.FuelKW(1000)
	near(t, "full load", full, 1250, 1e-9, "1000/0.8")
	for _, c := range []struct{ firing, wantPct float64 }{{1, 1}, {0.75, 1.33}, {0.5, 2}, {0.25, 4}} {
		// the heat at a firing rate x: x of the fuel, less the loss, at the efficiency of the rest
		heat := (c.firing - 0.01) / 0.99 * 1000
		fuel := b.FuelKW(heat)
		near(t, "firing rate", fuel/full, c.firing, 1e-12, "the fuel is a straight line in the heat")
		near(t, "loss of the fuel, %", 100*0.01*full/fuel, c.wantPct, 0.004, src)
	}
	h := b.Hull()
	if len(h.Points) != 2 {
		t.Fatalf("hull %v; want one straight piece, since the boiler may be off", h.Points)
	}
	near(t, "hull under the curve", h.UnderKW, 12.5, 1e-9, "by hand: 1 % of 1250 kW just above no load")
	b.MinFireFrac = 0.25
	h = b.Hull()
	near(t, "hull under the curve from 25 %", h.UnderKW, 0.75*12.5, 1e-9, "by hand: 12.5 kW less the quarter that full load's share has")
	near(t, "at", h.AtKW, 250, 1e-9, "by hand: the lowest load")
}

func TestEfficiencyByLoad(t *testing.T) {
	t.Parallel()
	b := tableBoiler(0.25, LoadEfficiency{0.25, 0.78}, LoadEfficiency{1, 0.86})
	const hand = "by hand: 250/0.78 = 320.513, 1000/0.86 = 1162.791, straight between"
	near(t, "at 25 %", b.FuelKW(250), 320.5128, 1e-4, hand)
	near(t, "at 100 %", b.FuelKW(1000), 1162.7907, 1e-4, hand)
	near(t, "at 62.5 %", b.FuelKW(625), 741.6518, 1e-4, hand)
	near(t, "efficiency at full load", b.NetEfficiency(), 0.86, 1e-12, "the table")
	h := b.Hull()
	near(t, "hull's one slope", h.Points[1].FuelKW/h.Points[1].HeatKW, 1/0.86, 1e-12, "the boiler is best at full load")
	near(t, "hull under the curve", h.UnderKW, 250/0.78-250/0.86, 1e-9, "by hand at the lowest load")
	near(t, "under the first point", b.FuelKW(100), 320.5128-150*(1162.7907-320.5128)/750, 1e-3, "the line goes on")

	best := tableBoiler(0.2, LoadEfficiency{0.3, 0.90}, LoadEfficiency{0.6, 0.93}, LoadEfficiency{1, 0.88}) // condensing: best in the middle
	best.Fuel.GrossPerNet = 1.11
	h = best.Hull()
	if len(h.Points) != 3 || h.Points[1].HeatKW != 600 {
		t.Fatalf("hull %v; want 0, 600 and 1000 kW: the best efficiency is at 60 %%", h.Points)
	}
	near(t, "to the best point", h.Points[1].FuelKW/600, 1/0.93, 1e-12, "by hand")
	near(t, "beyond it", (h.Points[2].FuelKW-h.Points[1].FuelKW)/400, (1000/0.88-600/0.93)/400, 1e-12, "by hand")

	falls := tableBoiler(0, LoadEfficiency{0.3, 0.97}, LoadEfficiency{1, 0.92})
	near(t, "no better than the first point", falls.FuelKW(100), 100/0.97, 1e-9, "a line through no load")
	over := tableBoiler(0, LoadEfficiency{0.3, 0.80}, LoadEfficiency{0.8, 0.85})
	near(t, "over the last point", over.FuelKW(1000), 1000/0.85, 1e-9, "the last efficiency holds")
}

// On gross heat the same table is the same fuel once its efficiencies are turned to net ones.
func TestEfficiencyByLoadGross(t *testing.T) {
	t.Parallel()
	net := tableBoiler(0.25, LoadEfficiency{0.25, 0.78 * 1.11}, LoadEfficiency{1, 0.86 * 1.11})
	gross := tableBoiler(0.25, LoadEfficiency{0.25, 0.78}, LoadEfficiency{1, 0.86})
	net.Fuel.GrossPerNet, gross.Fuel.GrossPerNet, gross.EfficiencyGross = 1.11, 1.11, true
	for _, kW := range []float64{0, 100, 250, 700, 1000} {
		near(t, "fuel", gross.FuelKW(kW), net.FuelKW(kW), 1e-9, "eta_net = eta_gross · GCV/NCV")
	}
	if err := gross.Check(); err != nil {
		t.Error(err)
	}
}

// Whatever the table: the hull is convex, under the curve, touches it, and as far under as it says.
func TestHullIsUnderTheCurve(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(5, 11))
	for range 500 {
		var table []LoadEfficiency
		for load := 0.1 + 0.2*rng.Float64(); load < 1; load += 0.1 + 0.3*rng.Float64() {
			table = append(table, LoadEfficiency{load, 0.7 + 0.25*rng.Float64()})
		}
		b := tableBoiler(0.4*rng.Float64()*float64(rng.IntN(2)), table...)
		if b.Check() != nil {
			continue // more heat for less fuel
		}
		h := b.Hull()
		worst := 0.0
		for i := 1; i < len(h.Points); i++ {
			p, q := h.Points[i-1], h.Points[i]
			if i > 1 && (q.FuelKW-p.FuelKW)/(q.HeatKW-p.HeatKW) <= (p.FuelKW-h.Points[i-2].FuelKW)/(p.HeatKW-h.Points[i-2].HeatKW) {
				t.Fatalf("table %v: hull %v does not bend up", table, h.Points)
			}
			for s := range 201 {
				kW := p.HeatKW + float64(s)/200*(q.HeatKW-p.HeatKW)
				if kW < b.LeastKW() || kW == 0 {
					continue
				}
				under := b.FuelKW(kW) - onLine(p, q, kW)
				if under < -1e-9 {
					t.Fatalf("table %v: at %g kW the hull lies %g kW over the curve", table, kW, -under)
				}
				worst = math.Max(worst, under)
			}
		}
		if worst > h.UnderKW+1e-9 || b.FuelKW(h.AtKW)-h.UnderKW < -1e-9 {
			t.Fatalf("table %v: the hull is said to lie %g under, and lies %g", table, h.UnderKW, worst)
		}
	}
}

func TestLoadFaults(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		spoil func(*Boiler)
		want  string
	}{
		{func(b *Boiler) { b.MinFireFrac = 1.2 }, `boiler "B1": minimum fire: is 1.2 of the capacity; want 0 to 1`},
		{func(b *Boiler) { b.StandingFrac = 0.01 }, `boiler "B1": standing loss: stands beside efficiencies by load, which hold it; want one of the two`},
		{func(b *Boiler) { b.Table[0].LoadFrac = 1 }, `boiler "B1": efficiency: has 100 % load after 100 %; want the loads to rise`},
		{func(b *Boiler) { b.Table[0] = LoadEfficiency{0.9, 0.5} }, `boiler "B1": efficiency: rises so much from 90 to 100 % load that more heat takes less fuel; want it less steep`},
		{func(b *Boiler) { b.Table[0].Efficiency = 1.3 }, `boiler "B1": efficiency: is 1.3 at 25 % load; want more than 0 and at most 1`},
		{func(b *Boiler) { b.StartKWh = math.Inf(1) }, `boiler "B1": start: takes +Inf kWh; want 0 or more`},
		{func(b *Boiler) { b.StandbyFrac = -1 }, `boiler "B1": hot standby: is -1 of the fuel at full load; want 0 to less than 1`},
		{func(b *Boiler) { b.Fuel.PriceByStep = []float64{1, math.NaN()} }, `fuel "oil": price: is NaN per kWh in step 1; want a number`},
	} {
		b := tableBoiler(0.25, LoadEfficiency{0.25, 0.78}, LoadEfficiency{1, 0.86})
		c.spoil(&b)
		if err := b.Check(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v; want %s", err, c.want)
		}
	}
}
