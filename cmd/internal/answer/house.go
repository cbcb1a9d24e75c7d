package answer

import (
	"fmt"
	"math"

	"noonkeep/scenarios"
)

// perProcessKgH is the process steam that a boiler house's balance is shown for, kg/h.
const perProcessKgH = 1000

// housesOf gives a section for each header with a boiler house: its balance of mass and heat.
func housesOf(c scenarios.Case) []Section {
	var all []Section
	for _, h := range c.Headers {
		if h.House != nil {
			all = append(all, houseOf(h))
		}
	}
	return all
}

func houseOf(h scenarios.Header) Section {
	b := h.House
	s := Section{Title: fmt.Sprintf("boiler house of header %s, for each %d kg/h of process steam", h.Name, perProcessKgH)}
	s.add("feedwater", "%.1f °C, %.1f kg/h; %.1f kg/h of make-up, %.1f kg/h blown down, %.1f kg/h of steam to the deaerator",
		b.FeedwaterC, perProcessKgH*b.FeedKgH, perProcessKgH*b.MakeUpKgH, perProcessKgH*b.BlowdownKgH, perProcessKgH*b.DeaeratorKgH)
	s.add("boiler", "%.1f kW, of which deaerator and blowdown take %.2f %% on top of the process steam", perProcessKgH*b.BoilerKW, 100*b.OwnUseFrac)
	if b.ByStep != nil {
		s.add("", "with make-up of %.1f °C, the year's mean; it runs from %.1f to %.1f °C", b.Plant.MakeUpC, b.Coldest, b.Warmest)
	}
	var kgH, kW [2]float64 // in, out
	for _, x := range b.Streams {
		way, i := "in", 0
		if x.Out {
			way, i = "out", 1
		}
		kgH[i] += perProcessKgH * x.KgH
		kW[i] += perProcessKgH * x.KW
		if x.KgH == 0 {
			if x.KJKg == 0 && math.Abs(perProcessKgH*x.KW) >= 0.05 {
				s.add(way+" "+x.Name, "%.1f kW", perProcessKgH*x.KW)
			}
			continue
		}
		s.add(way+" "+x.Name, "%.1f kg/h of %.1f kJ/kg, %.1f kW", perProcessKgH*x.KgH, x.KJKg, perProcessKgH*x.KW)
	}
	s.add("sum", "in %.1f kg/h and %.1f kW, out %.1f kg/h and %.1f kW", kgH[0], kW[0], kgH[1], kW[1])
	return s
}
