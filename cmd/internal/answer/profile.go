package answer

import (
	"fmt"
	"math"
	"slices"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// Profile is what a plant's heat demand is: what a person reads before believing that a store pays.
type Profile struct {
	Scenario string       `json:"scenario"`
	Steps    int          `json:"steps"`
	StepH    float64      `json:"step_h"`
	Total    Demand       `json:"total"`
	Headers  []Demand     `json:"headers"`
	Loads    []LoadDemand `json:"loads"`
	Above    []Above      `json:"hours_at_or_above"`
	Days     []TypicalDay `json:"typical_days"`
	Warnings []Note       `json:"warnings"`

	Axis clock.Axis `json:"-"`
	KW   clock.KW   `json:"-"` // of all loads
}

// Demand sums up one series of heat.
type Demand struct {
	Name       string  `json:"name"`
	KWh        float64 `json:"heat_kWh"`
	MeanKW     float64 `json:"mean_kW"`
	PeakKW     float64 `json:"peak_kW"`
	PeakAt     string  `json:"peak_at"`     // start of the first step with the peak, local standard time; empty without heat
	LoadFactor float64 `json:"load_factor"` // mean over peak, 0 without heat
	HoursOn    float64 `json:"hours_on"`    // in which it takes any heat
}

// LoadDemand is a load with where its heat came from.
type LoadDemand struct {
	Demand
	Header string     `json:"header"`
	Says   string     `json:"when"`
	Parts  []HeatPart `json:"parts"`

	KW     clock.KW `json:"-"`
	Filled []bool   `json:"-"` // steps of which a part was filled in; nil for a load without
}

// HeatPart is one piece of a load's heat.
type HeatPart struct {
	Name string  `json:"name"`
	KWh  float64 `json:"heat_kWh"`
	Text string  `json:"text,omitempty"`
}

// Above counts the hours of the year with at least so much heat.
type Above struct {
	KW    float64 `json:"kW"`
	Hours float64 `json:"hours"`
}

// TypicalDay is the mean day of one kind in one season.
type TypicalDay struct {
	Season   string      `json:"season"`
	Kind     string      `json:"kind"`
	Days     int         `json:"days"`
	HourKW   [24]float64 `json:"hour_mean_kW"`  // mean of each hour of the day
	LeastKW  [24]float64 `json:"hour_least_kW"` // least and most of each hour's means among the days
	MostKW   [24]float64 `json:"hour_most_kW"`
	DayKWh   float64     `json:"day_kWh"` // mean
	hoursSum [24]float64
}

// Kinds of day, in the order of [Profile.Days]. A day on which the calendar is closed stands apart, or it
// would thin out the working days.
var dayKinds = []string{"Mon-Fri", "Saturday", "Sunday", "closed"}

// ProfileOf sums up a case's demand. It solves nothing.
func ProfileOf(c scenarios.Case) Profile {
	p := Profile{Scenario: c.Name, Steps: c.Axis.N, StepH: c.Axis.StepH(), Axis: c.Axis, Warnings: notes(c), KW: make(clock.KW, c.Axis.N)}
	for _, h := range c.Headers {
		kW := make(clock.KW, c.Axis.N)
		for _, l := range c.Loads {
			if c.Headers[l.Header].Name == h.Name {
				addTo(kW, l.KW)
			}
		}
		addTo(p.KW, kW)
		p.Headers = append(p.Headers, demandOf(h.Name, c.Axis, kW))
	}
	for _, l := range c.Loads {
		load := LoadDemand{Demand: demandOf(l.Name, c.Axis, l.KW), Header: c.Headers[l.Header].Name, Says: l.Says, KW: l.KW, Filled: l.Filled}
		for _, part := range l.Parts {
			load.Parts = append(load.Parts, HeatPart{part.Name, part.KWh, part.Text})
		}
		p.Loads = append(p.Loads, load)
	}
	p.Total = demandOf("all", c.Axis, p.KW)
	p.Above = aboveOf(p.KW, p.Total.PeakKW, p.StepH)
	p.Days = typicalDays(c, p.KW)
	return p
}

func demandOf(name string, a clock.Axis, kW clock.KW) Demand {
	d := Demand{Name: name, KWh: kW.EnergyKWh(a.StepH())}
	d.MeanKW = d.KWh / (float64(a.N) * a.StepH())
	peak, at := kW.Peak()
	if peak > 0 {
		d.PeakKW, d.PeakAt, d.LoadFactor = peak, a.At(at).Format("2006-01-02 15:04"), d.MeanKW/peak
	}
	for _, v := range kW {
		if v > 0 {
			d.HoursOn += a.StepH()
		}
	}
	return d
}

// aboveOf counts hours at and above round levels up to the peak.
func aboveOf(kW clock.KW, peakKW, stepH float64) []Above {
	if peakKW == 0 {
		return nil
	}
	sorted := slices.Sorted(slices.Values(kW))
	at := func(level float64) Above {
		// A level that a load has is not missed by the rounding of its sum.
		first, _ := slices.BinarySearch(sorted, level*(1-1e-12))
		return Above{level, float64(len(sorted)-first) * stepH}
	}
	var out []Above
	step := RoundStep(peakKW / 10)
	for i := 1; float64(i)*step < peakKW*(1-1e-9); i++ {
		out = append(out, at(float64(i)*step))
	}
	return append(out, at(peakKW))
}

// typicalDays averages the days of each kind in each season; kinds that do not occur are left out.
func typicalDays(c scenarios.Case, kW clock.KW) []TypicalDay {
	perHour := int(math.Round(1 / c.Axis.StepH()))
	days := make([]TypicalDay, 4*len(dayKinds))
	for s, name := range seasonNames(c.Place.LatDeg) {
		for k, kind := range dayKinds {
			days[s*len(dayKinds)+k] = TypicalDay{Season: name, Kind: kind}
		}
	}
	for from := 0; from+24*perHour <= c.Axis.N; from += 24 * perHour {
		at := c.Axis.At(from)
		days[seasonOf(at)*len(dayKinds)+kindOf(c.Calendar, at)].add(kW[from:from+24*perHour], perHour)
	}
	days = slices.DeleteFunc(days, func(d TypicalDay) bool { return d.Days == 0 })
	for i := range days {
		for h, sum := range days[i].hoursSum {
			days[i].HourKW[h] = sum / float64(days[i].Days)
			days[i].DayKWh += days[i].HourKW[h]
		}
	}
	return days
}

func (d *TypicalDay) add(kW clock.KW, perHour int) {
	for h := range 24 {
		mean := sum(kW[h*perHour:(h+1)*perHour]) / float64(perHour)
		d.hoursSum[h] += mean
		if d.Days == 0 {
			d.LeastKW[h], d.MostKW[h] = mean, mean
		}
		d.LeastKW[h], d.MostKW[h] = min(d.LeastKW[h], mean), max(d.MostKW[h], mean)
	}
	d.Days++
}

func kindOf(cal clock.Calendar, at time.Time) int {
	holiday, shutdown := cal.Closed(at)
	switch {
	case holiday || shutdown:
		return 3
	case at.Weekday() == time.Saturday:
		return 1
	case at.Weekday() == time.Sunday:
		return 2
	}
	return 0
}

// seasonOf is the quarter of the year that a day lies in: 0 from December to February, and so on.
func seasonOf(at time.Time) int { return int(at.Month()) % 12 / 3 }

// seasonNames are the quarters' names at a latitude.
func seasonNames(latDeg float64) [4]string {
	names := [4]string{"winter", "spring", "summer", "autumn"}
	if latDeg < 0 {
		names = [4]string{"summer", "autumn", "winter", "spring"}
	}
	for i, months := range []string{"Dec-Feb", "Mar-May", "Jun-Aug", "Sep-Nov"} {
		names[i] = fmt.Sprintf("%s %s", months, names[i])
	}
	return names
}
