package answer

import (
	"fmt"
	"math"
	"strings"
	"time"

	"noonkeep/plant"
	"noonkeep/scenarios"
)

// GuaranteeMeasured is what measurements say of a guarantee.
type GuaranteeMeasured struct {
	File        string        `json:"file"`
	Rows        int           `json:"rows"`
	StepMin     float64       `json:"step_min"`
	Hours       []CheckedHour `json:"hours"`
	Valid       int           `json:"valid_hours"`
	LeastHours  int           `json:"least_valid_hours"`
	MeasuredKWh float64       `json:"measured_kWh"` // of the valid hours
	ExpectedKWh float64       `json:"expected_kWh"`
	Ratio       *float64      `json:"ratio"` // null without a valid hour
	Verdict     string        `json:"verdict"`
	Broken      []BrokenCount `json:"hours_that_break"` // an hour may break several
	Days        []CheckedDay  `json:"days"`
	Notes       []string      `json:"notes"`
}

// The verdicts.
const (
	VerdictMet       = "met"
	VerdictNotMet    = "not met"
	VerdictUndecided = "undecided: too few hours count"
)

// CheckedHour is one hour of measurements. What was not measured, or cannot be had, is null.
type CheckedHour struct {
	Start      string   `json:"start"`
	Line       int      `json:"line"`
	Valid      bool     `json:"valid"`
	Why        []string `json:"why_not"`
	DNIWM2     *float64 `json:"dni_W_m2"`
	BeamWM2    *float64 `json:"beam_on_aperture_W_m2"`
	DiffuseWM2 *float64 `json:"diffuse_on_aperture_W_m2"`
	ThetaDeg   float64  `json:"incidence_deg"`
	Kb         float64  `json:"kb"`
	AirC       *float64 `json:"air_degC"`
	WindMS     *float64 `json:"wind_m_s"`
	FluidC     *float64 `json:"mean_fluid_degC"`
	WarmingKH  *float64 `json:"warming_K_h"`
	MeasuredKW *float64 `json:"measured_kW"`
	FormulaKW  *float64 `json:"formula_kW"`
	ExpectedKW *float64 `json:"expected_kW"`
	Ratio      *float64 `json:"ratio"`
}

// CheckedDay is a day whose hours of light were all measured.
type CheckedDay struct {
	Date        string   `json:"date"`
	MeasuredKWh float64  `json:"measured_kWh"`
	ExpectedKWh float64  `json:"expected_kWh"`
	Ratio       *float64 `json:"ratio"`
}

// checkLog puts measurements against the guarantee.
func checkLog(c scenarios.Case, f scenarios.Field, k *plant.Checker, log plant.FieldLog) (*GuaranteeMeasured, error) {
	if err := logNeeds(f, k, log); err != nil {
		return nil, err
	}
	if h := c.Headers[f.Header]; !log.Has("heat") && h.Medium != nil && h.Medium.Carrier != plant.HotWater {
		return nil, fmt.Errorf("%s:1: has a flow and no heat; a flow is taken for water, and header %q carries %v: give heat kW", log.Source, h.Name, h.Medium.Carrier)
	}
	out := &GuaranteeMeasured{File: log.Source, Rows: log.Rows, StepMin: 60 * log.StepH, LeastHours: f.Promise.LeastHours,
		Hours: []CheckedHour{}, Days: []CheckedDay{}, Notes: []string{}}
	counts := map[plant.Limit]int{}
	hours := log.Hours()
	verdicts := make([]plant.Verdict, len(hours))
	litNights := 0
	for i, h := range hours {
		v := k.Judge(h)
		verdicts[i] = v
		for _, b := range v.Broken {
			counts[b.Limit]++
			if b.Limit == plant.LimitNight && h.DNIWM2 > 100 {
				litNights++
			}
		}
		out.Hours = append(out.Hours, checkedHour(h, v))
		if v.Valid() {
			out.Valid++
			out.MeasuredKWh += h.HeatKW
			out.ExpectedKWh += v.ExpectedKW
		}
	}
	out.Ratio = ratio(out.MeasuredKWh, out.ExpectedKWh)
	out.Broken = brokenCounts(counts)
	switch {
	case out.Valid < out.LeastHours || out.Ratio == nil:
		out.Verdict = VerdictUndecided
	case *out.Ratio >= 1:
		out.Verdict = VerdictMet
	default:
		out.Verdict = VerdictNotMet
	}
	out.Days = checkedDays(f, hours, verdicts)
	out.notes(log, litNights)
	return out, nil
}

func (m *GuaranteeMeasured) notes(log plant.FieldLog, litNights int) {
	say := func(format string, args ...any) { m.Notes = append(m.Notes, fmt.Sprintf(format, args...)) }
	if log.StepAssumed {
		say("the rows stand further than an hour apart, or there is one alone: each is taken for the mean of one hour")
	}
	if !log.Has("heat") {
		say("heat is worked out from the flow as that of liquid water between inlet and outlet")
	} else if log.Has("flow") {
		say("the heat column is taken; the flow has no effect")
	}
	if litNights > 0 {
		say("%d hours have a beam above 100 W/m² with the sun down by the site's place and clock: look at the clock of the times, and at which end of its row each is", litNights)
	}
}

// logNeeds says which column is missing for the formula.
func logNeeds(f scenarios.Field, k *plant.Checker, log plant.FieldLog) error {
	level := log.Has("GHI") || log.Has("DHI")
	m := f.Promise.Formula
	var lacks []string
	need := func(ok bool, what string) {
		if !ok {
			lacks = append(lacks, what)
		}
	}
	need(log.Has("DNI") || m == plant.Hemispheric && log.Has("plane"), "DNI W/m2")
	need(m == plant.BeamAlone || log.Has("plane") || level, "plane W/m2 (or GHI W/m2, or DHI W/m2)")
	need(log.Has("air"), "air degC")
	need(!k.NeedsWind() || log.Has("wind"), "wind m/s")
	need(log.Has("fluid") || log.Has("inlet") && log.Has("outlet"), "inlet degC and outlet degC (or fluid degC, their mean)")
	need(log.Has("heat") || log.Has("flow") && log.Has("inlet") && log.Has("outlet"), "heat kW (or flow kg/h of water, with inlet and outlet)")
	if len(lacks) > 0 {
		return fmt.Errorf("%s:1: has no column %s; the check with the %v formula needs it", log.Source, strings.Join(lacks, ", nor "), m)
	}
	return nil
}

// checkedHour is an hour as it is printed and written.
func checkedHour(h plant.FieldHour, v plant.Verdict) CheckedHour {
	why := []string{}
	for _, b := range v.Broken {
		text := b.Text
		if b.Limit == plant.LimitAside {
			text = "set aside: " + text
		}
		why = append(why, text)
	}
	out := CheckedHour{Start: hourName(h.Start), Line: h.Line, Valid: v.Valid(), Why: why, DNIWM2: known(h.DNIWM2), BeamWM2: known(v.BeamWM2),
		DiffuseWM2: known(v.DiffuseWM2), ThetaDeg: v.ThetaDeg, Kb: v.Kb, AirC: known(h.AirC), WindMS: known(h.WindMS), FluidC: known(h.FluidC),
		WarmingKH: known(h.WarmingKH), MeasuredKW: known(h.HeatKW), FormulaKW: known(v.FormulaKW), ExpectedKW: known(v.ExpectedKW)}
	if !math.IsNaN(h.HeatKW) {
		out.Ratio = ratio(h.HeatKW, v.ExpectedKW)
	}
	return out
}

// known is a value, or nil for none.
func known(v float64) *float64 {
	if math.IsNaN(v) {
		return nil
	}
	return &v
}

func ratio(measured, expected float64) *float64 {
	if !(expected > 0) {
		return nil
	}
	return known(measured / expected)
}

// checkedDays sums the days of which every hour of light was measured and none set aside. An hour in which the formula
// gives less than nothing, the wind stows or the beam is under the collector's least counts nothing.
func checkedDays(f scenarios.Field, hours []plant.FieldHour, verdicts []plant.Verdict) []CheckedDay {
	days := []CheckedDay{}
	for i := 0; i < len(hours); {
		date := hours[i].Start.Format(time.DateOnly)
		day, whole, n := CheckedDay{Date: date}, true, 0
		for ; i < len(hours) && hours[i].Start.Format(time.DateOnly) == date; i++ {
			h, v := hours[i], verdicts[i]
			if n++; breaks(v, plant.LimitNight) {
				continue
			}
			whole = whole && h.Lacks == "" && h.Aside == "" && !math.IsNaN(v.ExpectedKW)
			day.MeasuredKWh += h.HeatKW
			if !breaks(v, plant.LimitStow) && !(h.DNIWM2 < f.Collector.LeastDNIWM2) {
				day.ExpectedKWh += max(0, v.ExpectedKW)
			}
		}
		if whole && n == 24 {
			day.Ratio = ratio(day.MeasuredKWh, day.ExpectedKWh)
			days = append(days, day)
		}
	}
	return days
}

func breaks(v plant.Verdict, l plant.Limit) bool {
	for _, b := range v.Broken {
		if b.Limit == l {
			return true
		}
	}
	return false
}
