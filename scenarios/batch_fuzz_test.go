package scenarios

import (
	"math"
	"strings"
	"testing"
)

// Whatever stands under batch, it ends in finite heat whose parts sum to it, or in faults of the file.
func FuzzBatchLoad(f *testing.F) {
	for _, s := range []string{
		"mass: 300 kg, liquor_ratio: 10, goods: wool, machine: {mass: 900 kg}, from: 15 degC, to: 98 degC, hold: 45 min, refills: 2, heat_up: {gradient: 2 K/min}, starts: 'Mon-Fri 06:00, 15:00', machines: 4, stagger: 45 min",
		"volume: 5 m3, material: wort, from: 74 degC, to: 99 degC, hold: 70 min, boil_off: 8 %, heat_up: {coil: 9 m2, coefficient: 1500 W/m2K, pressure: 2 bar(g)}, every: 4 h",
		"volume: 5 m3, stages: [{from: 15 degC, to: 80 degC, hold: 20 min}, {wait: 10 min, to: 60 degC, gradient: 1 K/min}], heat_up: {live_steam: 1200 kg/h}, loss: 3 kW, starts: daily 23:00",
		"mass: 1 t, specific_heat: 3.6 kJ/kgK, density: 1 kg/l, from: 0 degC, to: 164.9 degC, surface: 3 m2, loss_coefficient: 9 W/m2K, air: -9 degC, heat_up: {power: 1 MW}, every: 1 min",
		"mass: 1e-9 kg, from: 20 degC, to: 20 degC, hold: 1 s, loss: 1e-9 W, heat_up: {power: 1e-9 W}, every: 1 d, machines: 200",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 2000 {
			return
		}
		whole := strings.Replace(plain, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "batch: {"+s+"}", 1)
		c, err := withoutSun(whole)
		if err != nil {
			checkFaults(t, whole, err)
			return
		}
		for _, load := range c.Loads {
			sum, parts := 0.0, 0.0
			for i, kW := range load.KW {
				if !(kW >= 0) || math.IsInf(kW, 0) {
					t.Fatalf("%v kW in step %d", kW, i)
				}
				sum += kW
			}
			for _, p := range load.Parts {
				parts += p.KWh
			}
			if sum *= c.Axis.StepH(); math.Abs(sum-parts) > 1e-8*sum+1e-12 {
				t.Fatalf("%v kWh in the steps, %v in the parts", sum, parts)
			}
		}
	})
}
