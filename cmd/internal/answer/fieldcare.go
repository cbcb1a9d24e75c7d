package answer

import (
	"fmt"
	"math"

	"noonkeep/optimize"
	"noonkeep/plant"
	"noonkeep/scenarios"
)

// care adds what a field's keeping, its dirt and its frost do, and how hot it may get; only what there is.
func (s *Section) care(f scenarios.Field) {
	y := f.Yield()
	if p := f.Preheat; p != nil {
		what := "feedwater"
		if p.MakeUp {
			what = "make-up before the deaerator"
		}
		s.add("", "warms the %s from %.4g to %.4g °C at most, and so may give up to %.3g %% of the load at the time", what, p.FromC, p.ToC, 100*p.ShareFrac)
	}
	if y.CleanMeanFrac > 0 && y.CleanMeanFrac < 1 {
		s.add("", "dirt between washings leaves %.1f %% of a washed collector's light in the mean", 100*y.CleanMeanFrac)
	}
	if y.OutH > 0 {
		s.add("", "out of service for %.0f h with the sun up", y.OutH)
	}
	if f.Pipes != (plant.Pipes{}) {
		s.add("", "its pipes hold %.1f kWh for each 100 K", f.Pipes.CapacityKJK()*100/3600)
	}
	s.frost(f, y)
	if f.IdlePumpW > 0 || f.Freeze.PumpW > 0 || f.Freeze.Electric {
		s.add("", "%.0f kWh of electricity a year while idle and against frost", y.IdleKWhM2*f.AreaM2())
	}
	if f.Collector.Tracking == plant.Fixed {
		s.add("", "%s", stagnation(f.Collector))
	}
}

func (s *Section) frost(f scenarios.Field, y plant.YieldYear) {
	switch {
	case !f.Freeze.On:
	case f.Freeze.Drain:
		s.add("", "drained for %.0f h of frost", y.FrostH)
	default:
		from := "of the header, which its next sun gives back"
		if f.Freeze.Electric {
			from = "by electricity"
		}
		s.add("", "kept at %.4g °C for %.0f h of frost with %.0f kWh of heat %s", f.Freeze.KeepC, y.FrostH, y.FrostKWhM2*f.AreaM2(), from)
	}
}

// stagnation says how hot a fixed collector gets when nobody takes its heat.
func stagnation(c plant.Collector) string {
	at := fmt.Sprintf("at %g W/m² and %g °C", plant.StagnationWM2, plant.StagnationAirC)
	tC := c.StagnationC(plant.StagnationWM2, plant.StagnationAirC)
	if math.IsInf(tC, 1) {
		return "its coefficients name no temperature at which it would stand still; ask for the tested stagnation temperature"
	}
	return fmt.Sprintf("without flow its curve ends at %.0f °C, %s; a collector gets hotter than its curve: for safety "+
		"valve, expansion vessel and pipes take the stagnation temperature of the test report", tC, at)
}

// IdleField counts the hours in which a field has sun that nobody takes: mirrors are turned out of focus, and a fixed
// collector stands still and hot.
type IdleField struct {
	Field     string
	Stagnates bool    // a fixed collector, which cannot turn away
	Hours     float64 // in which sun is left, in part or whole
	WholeH    float64 // of them, those in which nothing is taken
	KWh       float64 // heat so left
}

// idleFrac of a field's best step is the least that counts: less is rounding, no sun.
const idleFrac = 1e-3

// idleFields looks through a plan for sun that is left; one entry for each field that leaves some.
func idleFields(c scenarios.Case, p optimize.Problem, s optimize.Schedule) []IdleField {
	var out []IdleField
	for i, f := range c.Fields {
		least := idleFrac * f.Yield().PeakKWM2 * p.Fields[i].AreaM2
		idle := IdleField{Field: f.Name, Stagnates: !f.Collector.Tracks()}
		taken := added(p.N(), s.SunHeaderKW[i])
		addTo(taken, added(p.N(), s.SunStoreKW[i]))
		for t, kW := range s.SpilledKW[i] {
			idle.KWh += kW * p.StepH
			if !(kW > least) {
				continue
			}
			idle.Hours += p.StepH
			if taken[t] <= least {
				idle.WholeH += p.StepH
			}
		}
		if idle.Hours > 0 {
			out = append(out, idle)
		}
	}
	return out
}

// useOf names where a field's heat mainly goes.
func useOf(f scenarios.Field) string {
	switch f.Feeds {
	case scenarios.ToStoreAlone:
		return "store's hottest"
	case scenarios.ToFeedwater:
		return "feedwater"
	}
	return "header"
}
