package answer

import (
	"fmt"

	"noonkeep/scenarios"
	"noonkeep/storage"
)

// calledOf is what a store is called in a sentence: "store", or its name where there are several.
func calledOf(c scenarios.Case, st *scenarios.Store) string {
	if len(c.Stores) < 2 {
		return "store"
	}
	return "store " + st.Name
}

func storeOf(c scenarios.Case, st *scenarios.Store) (Section, error) {
	s := Section{Title: calledOf(c, st)}
	if len(c.Stores) > 1 {
		role := "its volume is kept"
		if st == c.Store {
			role = "the curve varies its volume"
		}
		s.add("serves", "header %s; %s", c.Headers[st.Header].Name, role)
	}
	if spec := st.Spec; spec.Discharge == storage.Thermocline {
		s.add("water", "%.1f °C over %.1f °C; the layer between keeps %.0f %%, and %.1f °C are in the mean when empty; %.1f kWh in each m³ of vessel",
			st.HotC(), spec.ReturnC+spec.ApproachK, 100*spec.ThermoclineFrac, st.FloorC(), st.HeatKWhM3())
	} else {
		s.add("water", "%.1f °C when full, %.1f °C when empty; %.1f kWh in each m³ of vessel", st.HotC(), st.FloorC(), st.HeatKWhM3())
	}
	at := []float64{st.VolumeM3, st.ToM3}
	if st != c.Store {
		at = at[:1]
	}
	for _, v := range at {
		if v == 0 {
			continue
		}
		l, err := st.Limits(v)
		if err != nil {
			return Section{}, err
		}
		s.add(fmt.Sprintf("at %g m³", v), "%.0f kWh; %.2f m across, %.2f m long; loses %.1f kW full and %.1f kW empty; gives at most %.0f kW",
			l.CapacityKWh, l.DiameterM, l.LengthM, lossKW(l, l.HotC, st)+l.MixingKW, lossKW(l, l.FloorC, st), l.DischargeKW)
	}
	s.add("charging", "%s", charging(c, st))
	return s, nil
}

// lossKW is the loss at a water temperature in the mean air about the vessel.
func lossKW(l storage.Limits, waterC float64, st *scenarios.Store) float64 {
	return l.UAWK / 1000 * (waterC - sum(st.AmbientC)/float64(len(st.AmbientC)))
}

func charging(c scenarios.Case, st *scenarios.Store) string {
	text := "as much as the fields give"
	if len(c.Fields) == 0 {
		text = "no field"
	}
	if st.ChargeKW > 0 {
		text = fmt.Sprintf("at most %.0f kW", st.ChargeKW)
	}
	switch {
	case st.HeaderChargeKW > 0 && st.From != st.Header:
		text += fmt.Sprintf("; steam of header %s may charge it with %.0f kW", c.Headers[st.From].Name, st.HeaderChargeKW)
	case st.HeaderChargeKW > 0:
		text += fmt.Sprintf("; boilers may charge it with %.0f kW", st.HeaderChargeKW)
	}
	return text
}
