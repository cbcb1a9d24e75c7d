package answer

import (
	"fmt"

	"noonkeep/scenarios"
)

// header says what a header carries and what is asked of it, and in rows of their own what comes in from above.
func (s *Section) header(c scenarios.Case, i int) {
	h, stepH := c.Headers[i], c.Axis.StepH()
	asks := h.PlannedKW()
	peak, at := asks.Peak()
	what := fmt.Sprintf("%.2f bar(a), steam at %.1f °C, %.0f kJ to make a kg", h.Pressure.BarAbs(), h.SteamC, h.HeatKJKg)
	if h.Medium != nil {
		what = fmt.Sprintf("%v, %.1f °C to the loads and %.1f °C back; a field heats it at %.1f °C in the mean", h.Medium, h.Medium.SupplyC, h.Medium.ReturnC, h.Medium.MeanC())
	}
	s.add("header "+h.Name, "%s; asks %.0f MWh/a, peak %.0f kW on %s", what, sum(asks)*stepH/1000, peak, c.Axis.Label(at))
	if h.FlashKW != nil {
		all := h.FlashKW.EnergyKWh(stepH)
		s.add("", "besides, flash steam of condensate gives it %.0f MWh/a that cost nothing; %.0f MWh/a more are vented", (all-h.FlashVentedKWh)/1000, h.FlashVentedKWh/1000)
	}
	if h.Above >= 0 && len(c.Headers) > 1 {
		s.fromAbove(c.Headers[h.Above], h)
	}
}

// fromAbove says what a valve or an exchanger lets in.
func (s *Section) fromAbove(from, to scenarios.Header) {
	most := "all that comes"
	if to.ValveKW > 0 {
		most = fmt.Sprintf("at most %.0f kW", to.ValveKW)
		if from.HeatKJKg > 0 {
			most += fmt.Sprintf(", %.0f kg/h", to.ValveKW*3600/from.HeatKJKg) // kJ/kg to kW by 3600 s/h
		}
	}
	if to.Medium != nil {
		s.add("", "an exchanger lets in heat from %s, %s", from.Name, most)
		return
	}
	let, err := from.LetDownTo(to.Header)
	if err != nil { // it was checked with the headers
		return
	}
	state := fmt.Sprintf("it comes out superheated by %.1f K to %.1f °C", let.SuperheatK, let.TC)
	switch {
	case let.DryFrac < 1:
		state = fmt.Sprintf("it comes out with %.2f %% of water", 100*(1-let.DryFrac))
	case to.Spray:
		state = fmt.Sprintf("%.1f kg of feedwater are sprayed into each 1000 kg and bring it from %.1f °C down to saturation: %.1f kg arrive, with the same heat",
			1000*let.SprayKgKg, let.TC, 1000*(1+let.SprayKgKg))
	}
	s.add("", "a valve lets in steam from %s, %s; %s", from.Name, most, state)
}
