package answer

import (
	"fmt"
	"math"
	"strings"

	"noonkeep/plant"
	"noonkeep/scenarios"
)

const (
	fromScenario = "scenario"
	fromMemory   = "memory"
)

// guaranteeFactors lists the factors and where each is from.
func guaranteeFactors(f scenarios.Field) []GuaranteeFactor {
	p := f.Promise
	from := func(key, other string) string {
		if p.Says(key) {
			return fromScenario
		}
		return other
	}
	pipes := "the scenario's pipe_loss"
	if f.PipeUAWM2K > 0 || f.Pipes.LossWMK > 0 {
		pipes = fmt.Sprintf("its pipes at %d W/m², %d °C air", plant.PipeFactorSunWM2, plant.PipeFactorAirC)
	}
	return []GuaranteeFactor{
		{"f_P", "heat lost by pipes up to the meter", "pipe_factor", p.PipeFactor, from("pipe_factor", pipes)},
		{"f_U", "what the instruments may be off", "uncertainty_factor", p.UncertaintyFactor, from("uncertainty_factor", fromMemory+", usual 0.90 to 0.95")},
		{"f_O", "all else: uneven flow, dirt that stays on", "other_factor", p.OtherFactor, from("other_factor", fromMemory+", usual close to 1")},
	}
}

// guaranteeLimits lists the conditions and where each is from.
func guaranteeLimits(f scenarios.Field) []GuaranteeLimit {
	p := f.Promise
	sun := "beam on the aperture"
	if p.Formula == plant.Hemispheric {
		sun = "global light on the aperture"
	}
	list := []GuaranteeLimit{
		{sun, fmt.Sprintf("at least %.4g W/m²", p.LeastSunWM2), "least_sun", fromMemory},
		{"angle of incidence", upTo(p.MostIncidenceDeg, plant.NoIncidenceLimit, "°"), "most_incidence", fromMemory},
		{"wind", upTo(p.MostWindMS, math.Inf(1), " m/s"), "most_wind", fromMemory},
		{"air", "at least " + fmt.Sprintf("%.4g °C", p.LeastAirC), "least_air", fromMemory},
		{"change of the mean fluid temperature", upTo(p.MostWarmingKH, math.Inf(1), " K/h"), "most_warming", fromMemory},
		{"shade of other collectors or horizon, by geometry", upTo(100*p.MostShadeFrac, 100, " %"), "most_shade", fromMemory},
	}
	if math.IsInf(p.LeastAirC, -1) {
		list[3].Limit = "none"
	}
	for i := range list {
		if p.Says(list[i].Key) {
			list[i].From = fromScenario
		}
	}
	if stow := f.Collector; stow.Tracks() && !math.IsInf(stow.StowWindMS, 1) {
		at := stow.StowWindMS
		if at == 0 {
			at = plant.DefaultStowWindMS
		}
		list = append(list, GuaranteeLimit{"wind that stows the collectors", fmt.Sprintf("at most %.4g m/s", at/max(1, stow.GustFactor)), "collector.stow_wind", "collector"})
	}
	least := GuaranteeLimit{"hours that count, for a verdict", fmt.Sprintf("at least %d", p.LeastHours), "least_hours", fromMemory}
	if p.Says(least.Key) {
		least.From = fromScenario
	}
	return append(list, least)
}

func upTo(v, none float64, unit string) string {
	switch {
	case v >= none:
		return "none"
	case v == 0:
		return "none allowed"
	}
	return fmt.Sprintf("at most %.4g%s", v, unit)
}

// formulaWords gives the formula with the field's own numbers, and then what its letters are.
func formulaWords(f scenarios.Field) (formula string, letters []GuaranteeLetter) {
	c, p := f.Collector, f.Promise
	w := formulaWriter{}
	w.optical(c, p.Formula)
	w.loss(c.A1, "dT")
	w.loss(c.A2, "dT²")
	w.loss(c.A3, "u' dT")
	if c.A4 != 0 || c.A7 != 0 {
		w.terms = append(w.terms, fmt.Sprintf("- 100 (%.4g - %.4g u')", c.A4, c.A7))
	}
	if c.A6 != 0 {
		w.terms = append(w.terms, fmt.Sprintf("- %.4g u' G", c.A6))
	}
	w.loss(c.A8, "dT⁴")
	if r := c.Receiver; r.Concentration > 0 {
		w.terms = append(w.terms, fmt.Sprintf("- (%.4g dT + %.4g σ (Tm⁴ - Ta⁴))/%.4g", r.FilmWM2K, r.Emissivity, r.Concentration))
	}
	share := ""
	if s := c.ApertureShare; s != 0 && s != 1 {
		share = fmt.Sprintf(" / %.4g", s)
	}
	if whM2K := checkCapacity(c); whM2K > 0 {
		w.terms = append(w.terms, fmt.Sprintf("- %.3g dtm/dt", whM2K))
	}
	formula = fmt.Sprintf("Q = %.4g x %.6g m² x (%s)%s / 1000, in kW", p.SafeFactor(), f.AreaM2(), strings.Join(w.terms, " "), share)
	return formula, formulaLetters(f)
}

func formulaLetters(f scenarios.Field) []GuaranteeLetter {
	c, p := f.Collector, f.Promise
	var list []GuaranteeLetter
	say := func(letter, is string) { list = append(list, GuaranteeLetter{letter, is}) }
	if p.Formula != plant.Hemispheric {
		beam := "beam on the aperture, W/m²: DNI times the cosine of incidence"
		if c.Tracking == plant.TwoAxis {
			beam = "beam on the aperture, W/m²: the DNI itself, the collectors facing the sun"
		}
		if f.Ends.Set() {
			beam += ", less what passes the ends"
		}
		say("Gb", beam)
		kb := ", by the table below"
		if modifierTable(f) == nil {
			kb = ", 1 at every angle that these collectors meet"
		}
		say("Kb", "incidence modifier"+kb)
	}
	switch p.Formula {
	case plant.BeamAndDiffuse:
		say("Gd", "diffuse light on the aperture, W/m²: global light measured in its plane less Gb, or from GHI or DHI")
	case plant.Hemispheric:
		say("G", "global light in the collectors' plane, W/m²")
	}
	say("dT", "tm - ta, K: tm mean of the fluid at the collectors' inlet and outlet, ta air, °C")
	if c.Receiver.Concentration > 0 {
		say("Tm, Ta", "the same in kelvin; σ = 5.670e-8 W/(m² K⁴)")
	}
	if c.A3 != 0 || c.A4 != 0 || c.A6 != 0 || c.A7 != 0 {
		say("u'", "wind less 3 m/s")
	}
	if c.A6 != 0 && p.Formula != plant.Hemispheric {
		say("G", map[plant.Formula]string{plant.BeamAlone: "here Gb", plant.BeamAndDiffuse: "Gb + Gd"}[p.Formula])
	}
	if checkCapacity(c) > 0 {
		say("dtm/dt", "change of tm, K/h")
	}
	return list
}

// checkCapacity is the heat capacity in the formula, Wh/(m² K) of the area to which the coefficients refer.
func checkCapacity(c plant.Collector) float64 {
	const kJPerWh, jPerWh = 3.6, 3600
	if c.HeatCapacityKJM2K > 0 {
		share := c.ApertureShare
		if share == 0 {
			share = 1
		}
		return c.HeatCapacityKJM2K / kJPerWh * share
	}
	return c.A5 / jPerWh
}

type formulaWriter struct{ terms []string }

func (w *formulaWriter) optical(c plant.Collector, m plant.Formula) {
	eta := fmt.Sprintf("%.4g", c.Eta0b)
	if c.OpticalFallPerK != 0 {
		eta += fmt.Sprintf(" (1 - %.4g dT)", c.OpticalFallPerK)
	}
	switch m {
	case plant.BeamAlone:
		w.terms = append(w.terms, eta+" Kb Gb")
	case plant.BeamAndDiffuse:
		kd := fmt.Sprintf("%.4g Gd", c.Kd)
		if c.Kd == 1 {
			kd = "Gd"
		}
		w.terms = append(w.terms, fmt.Sprintf("%s (Kb Gb + %s)", eta, kd))
	default:
		w.terms = append(w.terms, fmt.Sprintf("%.4g G", c.SteadyEta0()))
	}
}

func (w *formulaWriter) loss(a float64, of string) {
	if a != 0 {
		w.terms = append(w.terms, fmt.Sprintf("- %.4g %s", a, of))
	}
}
