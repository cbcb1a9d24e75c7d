package scenarios

import (
	"math"
	"strings"
	"testing"
)

// Whatever is said of fuels and boilers, it ends in a problem that passes its own check, or in faults that each carry a line.
func FuzzBoilerHouse(f *testing.F) {
	for _, s := range [][2]string{
		{"price: 0.05 EUR/kWh", "efficiency: 0.85"},
		{"price: [52, 52, 50, 45, 42, 40, 40, 41, 43, 46, 50, 52 EUR/MWh], price_basis: gross, standing_charge: 3 EUR/a", "efficiency: [{load: 25 %, efficiency: 78 %}, {load: 1, efficiency: 0.86}], minimum_fire: 25 %"},
		{`tariff: [{when: "daily 06:00-22:00", price: 0.06 EUR/kWh}, {when: "daily 22:00-06:00", season: 1 Nov..31 Mar, price: 0.03 EUR/kWh}], price: 1 EUR/kg`, "efficiency: {losses: {flue: 180 degC, oxygen: 4 %}}, start: {fuel: 3 kWh, time: 2 h}, hot_standby: 1 %"},
		{"price_series: market.csv", "efficiency: {losses: {flue: 180 degC, oxygen: 4 %, analysis: {carbon: 70 %, hydrogen: 5 %}}}"},
		{"price: 0.05 EUR/kWh, minimum_take: 5 MWh/a", "efficiency: 80 %, standing_loss: 2 %, ramp: 5 kW/min, out_of_service: [2026-03-01..2026-03-07, 24 Dec..6 Jan]"},
		{"tariff: []", "efficiency: []"},
		{"price: []", "efficiency: {}"},
	} {
		f.Add(s[0], s[1])
	}
	folder := files{"market.csv": marketYear()}
	f.Fuzz(func(t *testing.T, fuel, boiler string) {
		if len(fuel)+len(boiler) > 1500 {
			return
		}
		text := strings.Replace(plain, "price: 0.05 EUR/kWh, price_basis: net", fuel, 1)
		text = strings.Replace(text, "efficiency: 0.85", boiler, 1) + "limits: [{name: flue, boilers: [B1], most: 1 MW}]\nelectricity: {price: 0.1 EUR/kWh}\n"
		form, d := read("f.yaml", []byte(text))
		b := builder{decoder: d, f: form, open: folder.open}
		if d.fatal {
			checkFaults(t, text, b.err())
			return
		}
		b.understand()
		if err := b.err(); err != nil {
			checkFaults(t, text, err)
			return
		}
		for i, x := range b.c.Boilers {
			p := b.c.boiler(x)
			sum, last := 0.0, 0.0
			for _, piece := range p.Pieces {
				if !(piece.FuelPerHeat > 0) || piece.FuelPerHeat < last || math.IsInf(piece.FuelPerHeat, 0) {
					t.Fatalf("pieces %v", p.Pieces)
				}
				sum, last = sum+piece.CapacityKW, piece.FuelPerHeat
			}
			if math.Abs(sum-x.CapacityKW) > 1e-9*sum || len(p.FuelPrice) != b.c.Axis.N {
				t.Fatalf("pieces sum to %g of %g kW, %d prices", sum, x.CapacityKW, len(p.FuelPrice))
			}
			for step, price := range p.FuelPrice {
				if math.IsNaN(price) || math.IsInf(price, 0) {
					t.Fatalf("step %d costs %g", step, price)
				}
			}
			if cycles := b.c.Cycles(); cycles != nil && cycles[i].Curve != nil && cycles[i].Curve[len(cycles[i].Curve)-1].HeatKW != x.CapacityKW {
				t.Fatalf("curve %v", cycles[i].Curve)
			}
		}
	})
}
