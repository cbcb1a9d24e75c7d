package scenarios

import (
	"math"
	"strings"
	"testing"
)

// Whatever a header and a store say, they end in stores that hold heat between two temperatures and demands of 0 or more, or in
// faults that each carry a line.
func FuzzStoresAndHeaders(f *testing.F) {
	for _, s := range [][2]string{
		{"pressure: 3 bar(g), valve: {most: 900 kg/h, desuperheater: yes}", "vessel: flash, charged_from: high, working_pressure: 17 bar(g)"},
		{"medium: {kind: hot water, supply: 140 degC, return: 110 degC}", "vessel: thermocline, working_pressure: 15 bar(g), insulation: {age: 15 a, worsening: 2 %/a}"},
		{"medium: {kind: thermal oil, supply: 290 degC, return: 240 degC}, from_above: yes", "vessel: exchanger, working_pressure: 100 bar(g), header: x"},
		{"pressure: 5 bar(g), condensate: {return: 70 %, flash_to: mid, deaerator: 0.2 bar(g)}", "vessel: thermocline, header: x, charged_from: high, supply: 120 degC, return: 60 degC, thermocline_share: 2 %, wall: 30 mm, working_pressure: 9 bar(g)"},
		{"pressure: 10 bar(g), from_above: no, unmet_price: 1 EUR/kWh", "vessel: flash, header: x, boilers_may_charge: 900 kg/h, working_pressure: 17 bar(g), feed: while charging, volume: 3 m3"},
	} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, header, store string) {
		if len(header)+len(store) > 2000 {
			return
		}
		text := strings.Replace(cascade, "headers:\n", "headers:\n  - {name: x, "+header+"}\n", 1) + "stores:\n  - {name: s, " + store + "}\n"
		form, d := read("f.yaml", []byte(text))
		b := builder{decoder: d, f: form, open: files{}.open}
		if !d.fatal {
			b.understand()
		}
		if err := b.err(); err != nil {
			checkFaults(t, text, err)
			return
		}
		for i, h := range b.c.Headers {
			if h.Above >= i || h.Above >= 0 != h.FromAbove || h.ValveKW < 0 || h.FlashVentedKWh < -1e-9 {
				t.Fatalf("header %+v", h.Header)
			}
			for step, kW := range h.DemandKW {
				if !(kW >= 0) || math.IsInf(kW, 0) {
					t.Fatalf("header %s asks %g kW on %s", h.Name, kW, b.c.Axis.Label(step))
				}
			}
		}
		for _, s := range b.c.Stores {
			if len(b.jobs) > 0 {
				return // the vessel waits for the weather
			}
			if !(s.HotC() > s.FloorC()) || !(s.HeatKWhM3() > 0) || s.From > s.Header {
				t.Fatalf("store %+v", s.Spec)
			}
		}
	})
}
