package plant

import (
	"math"

	"noonkeep/plant/clock"
)

// Soiling is how mirrors or covers get dirty between washings. The zero value is none: [Field.Cleanliness] all year.
//
// From a wash on, each day takes PerDay of the washed collector's light, up to MostLossFrac. A day on which they are
// washed is a clean one. Rain washes nothing here: no rain is read from the weather.
type Soiling struct {
	PerDay    float64 // share of the washed collector's light, lost with each day
	EveryDays int     // washed on the first day of the axis and after each so many days; 0 with Dates
	Dates     []clock.Date
	// MostLossFrac is the most that dirt takes; 0 is MostSoilingFrac.
	MostLossFrac float64
}

// MostSoilingFrac bounds the loss by dirt when nothing else is said.
// Kimber et al. 2006, whose rain model stops at 30 %.
const MostSoilingFrac = 0.30

// Factors gives, for each day of the axis, the light that is left over that of a washed collector: 1 on a day of washing.
// Dates go round the year: before the first of them, dirt has grown since the last.
func (s Soiling) Factors(a clock.Axis) []float64 {
	days := int(math.Ceil(float64(a.N) * a.StepH() / 24))
	out := make([]float64, days)
	since := 0
	if s.EveryDays == 0 {
		since = s.sinceLast(a, days)
	}
	most := s.MostLossFrac
	if most == 0 {
		most = MostSoilingFrac
	}
	for d := range out {
		if s.washes(a, d) {
			since = 0
		}
		out[d] = 1 - min(most, s.PerDay*float64(since))
		since++
	}
	return out
}

// sinceLast counts the days from the year's last washing to its end.
func (s Soiling) sinceLast(a clock.Axis, days int) int {
	for back := range days {
		if s.washes(a, days-1-back) {
			return back + 1
		}
	}
	return days
}

func (s Soiling) washes(a clock.Axis, day int) bool {
	if s.EveryDays > 0 {
		return day%s.EveryDays == 0
	}
	at := a.Start.AddDate(0, 0, day)
	for _, d := range s.Dates {
		if d.Month == at.Month() && d.Day == at.Day() && (d.Year == 0 || d.Year == at.Year()) {
			return true
		}
	}
	return false
}

func (s Soiling) check(bad *faults) {
	bad.require(s.PerDay >= 0 && s.PerDay <= 0.2, "soiling", "is %g per day; want 0 to 0.2", s.PerDay)
	bad.require(s.EveryDays >= 0, "wash", "is every %d days; want 1 or more", s.EveryDays)
	bad.require(s.EveryDays == 0 || len(s.Dates) == 0, "wash", "has days between and dates; want one of them")
	bad.require(s.PerDay == 0 || s.EveryDays > 0 || len(s.Dates) > 0, "wash",
		"is never, while dirt grows; want how often, or the dates")
	bad.require(s.MostLossFrac >= 0 && s.MostLossFrac < 1, "soiling", "takes at most %g; want 0 to below 1", s.MostLossFrac)
}

// AvailableIn is the availability in a year of a field's life, the first being 1, when it changes by driftPerYear of the
// new field's each year; in a life of years, with a year of 0, its mean. It may fall below 0, which Check refuses.
func AvailableIn(year, life int, availability, driftPerYear float64) float64 {
	after := float64(year - 1)
	if year == 0 {
		after = float64(life-1) / 2
	}
	return availability * (1 + driftPerYear*after)
}
