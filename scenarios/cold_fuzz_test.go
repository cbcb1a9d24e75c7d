package scenarios

import (
	"math"
	"testing"
)

// Whatever a hot-water or cooling load says, it ends in heat of 0 or more whose parts sum to it, or in faults that each carry a line.
func FuzzHotWaterAndCooling(f *testing.F) {
	for _, s := range []string{
		"hot_water: {draw: 12 m3/d, to: 60 degC}",
		"hot_water: {draw: 800 l/h, to: 60 degC, make_up_ground: {depth: 1.5 m}, tank: {volume: 2 m3, heater: 30 kW, loss: 6 kWh/d}}, when: Mon-Fri 22:00-06:00",
		"hot_water: {draw: 5 m3/d, to: 90 degC, make_up_months: [5, 6, 8, 10, 13, 16, 18, 18, 16, 12, 9, 6 degC], profile: [0, 0, 0, 0, 0, 0, 3, 3, 1, 1, 1, 1, 4, 1, 1, 1, 1, 5, 5, 1, 0, 0, 0, 0]}",
		"cooling: {power: 100 TR, chiller: {kind: double effect, capacity: 500 kW}}, season: 1 Jun..30 Sep",
		"cooling: {design: {cooling: 300 kW, at: 34 degC, balance: 16 degC, base: 40 kW}, chiller: {kind: single effect, capacity: 500 kW, fired_by: hot water, cop: 0.75, least_capacity: 40 %}}",
		"cooling: {series: cold.csv, chiller: {kind: double effect, capacity: 60 kW, part_load: [{load: 20 %, cop: 80 %}, {load: 1, cop: 1}]}}",
	} {
		f.Add(s)
	}
	folder := files{"cold.csv": "time,kW\n2026-01-01 00:00,60\n2026-01-01 01:00,60\n"}
	f.Fuzz(func(t *testing.T, load string) {
		if len(load) > 2000 {
			return
		}
		text := chilled("{name: x, "+load+"}", "")
		form, d := read("f.yaml", []byte(text))
		b := builder{decoder: d, f: form, open: folder.open}
		if d.fatal {
			checkFaults(t, text, b.err())
			return
		}
		b.understand()
		if b.err() == nil {
			b.c.Weather.AirC = make([]float64, b.c.Axis.N)
			for i := range b.c.Weather.AirC {
				b.c.Weather.AirC[i] = 14 - 10*math.Cos(2*math.Pi*float64(i)/8760) - 6*math.Cos(2*math.Pi*float64(i)/24)
			}
			b.waited()
		}
		if err := b.err(); err != nil {
			checkFaults(t, text, err)
			return
		}
		for _, l := range b.c.Loads {
			heat, parts := l.KW.EnergyKWh(b.c.Axis.StepH()), 0.0
			for _, p := range l.Parts {
				parts += p.KWh
			}
			for i, kW := range l.KW {
				if !(kW >= 0) || math.IsInf(kW, 0) {
					t.Fatalf("%g kW on %s", kW, b.c.Axis.Label(i))
				}
			}
			if math.Abs(parts-heat) > 1e-9*(heat+1) {
				t.Fatalf("parts %g kWh, heat %g", parts, heat)
			}
		}
	})
}
