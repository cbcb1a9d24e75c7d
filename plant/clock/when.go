package clock

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// When is a weekly pattern: the stretches of each day of the week, and of holidays, in which something
// runs. Make one with [ParseWhen] or [Always]; the zero value has no hours at all and
// counts as missing ([When.IsZero]).
type When struct {
	days [dayKinds][]stretch // Monday first, holidays last; each sorted, none overlapping
}

// stretch is a time of the day it begins on, in minutes after that day's midnight. to is past
// dayMinutes if it runs over midnight; it is shorter than 24 h, or the whole day.
type stretch struct{ from, to int }

const (
	dayMinutes = 24 * 60
	weekDays   = 7
	onHolidays = 7 // index of the holidays' own hours
	dayKinds   = 8
)

var dayNames = []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}

// Always is every hour of every day, holidays and shutdowns apart: the same as "always".
func Always() When {
	var w When
	for d := range weekDays {
		w.days[d] = []stretch{{0, dayMinutes}}
	}
	return w
}

// IsZero reports whether the pattern has no hours: it was never set.
func (w When) IsZero() bool {
	for _, list := range w.days {
		if len(list) > 0 {
			return false
		}
	}
	return true
}

// Equal reports whether both patterns have the same stretches. Two stretches that touch are not
// the same as one long one.
func (w When) Equal(v When) bool {
	for d := range w.days {
		if !slices.Equal(w.days[d], v.days[d]) {
			return false
		}
	}
	return true
}

// HoursPerWeek is what the pattern comes to in a week without holidays, h.
func (w When) HoursPerWeek() float64 {
	minutes := 0
	for _, list := range w.days[:weekDays] {
		for _, s := range list {
			minutes += s.to - s.from
		}
	}
	return float64(minutes) / 60
}

// String writes the pattern so that [ParseWhen] reads back an equal one; "" for the zero value.
func (w When) String() string {
	if w.Equal(Always()) {
		return "always"
	}
	var clauses []string
	var done [dayKinds]bool
	for d, list := range w.days {
		if done[d] || len(list) == 0 {
			continue
		}
		var same [dayKinds]bool
		for e := d; e < dayKinds; e++ {
			same[e] = slices.Equal(list, w.days[e])
			done[e] = done[e] || same[e]
		}
		clauses = append(clauses, daysText(same)+" "+stretchesText(list))
	}
	return strings.Join(clauses, "; ")
}

// daysText names days as people do: "Mon-Fri", "Sat, Sun", "daily", "Mon, Wed-Fri, holidays".
func daysText(in [dayKinds]bool) string {
	var part []string
	for d := 0; d < weekDays; d++ {
		if !in[d] {
			continue
		}
		last := d
		for last+1 < weekDays && in[last+1] {
			last++
		}
		switch last - d {
		case 0:
			part = append(part, dayNames[d][:3])
		case 1:
			part = append(part, dayNames[d][:3], dayNames[last][:3])
		case weekDays - 1:
			part = append(part, "daily")
		default:
			part = append(part, dayNames[d][:3]+"-"+dayNames[last][:3])
		}
		d = last
	}
	if in[onHolidays] {
		part = append(part, "holidays")
	}
	return strings.Join(part, ", ")
}

func stretchesText(list []stretch) string {
	part := make([]string, len(list))
	for i, s := range list {
		part[i] = s.String()
	}
	return strings.Join(part, ", ")
}

func (s stretch) String() string {
	to := s.to
	if to > dayMinutes {
		to -= dayMinutes
	}
	return fmt.Sprintf("%02d:%02d-%02d:%02d", s.from/60, s.from%60, to/60, to%60)
}

// Shares is the part of each step, 0 to 1, that lies inside the pattern. Nothing begins in a
// shutdown, and on a holiday only the pattern's own "holidays" hours do; what began the evening before
// runs on to its end. The axis must pass [Axis.Check].
func (w When) Shares(a Axis, c Calendar) []float64 { return w.SharesIn(a, c, nil) }

// SharesIn is [When.Shares] in a season: nothing begins on a day outside it. Nil is all year.
func (w When) SharesIn(a Axis, c Calendar, season *Span) []float64 {
	if err := a.countable(); err != nil {
		panic("clock: " + err.Error())
	}
	inside := make([]time.Duration, a.N)
	end := time.Duration(a.N) * a.Step
	y, m, d := a.Start.Date()
	first := time.Date(y, m, d, 0, 0, 0, 0, a.Start.Location())
	done := time.Duration(0) // everything before it is counted, so no minute counts twice
	for k := -1; ; k++ {     // from the day before: its last stretch may run over midnight
		midnight := first.Sub(a.Start) + time.Duration(k)*day
		if midnight >= end {
			break
		}
		for _, s := range w.on(first.AddDate(0, 0, k), c, season) {
			from := max(midnight+time.Duration(s.from)*time.Minute, done)
			to := min(midnight+time.Duration(s.to)*time.Minute, end)
			if from < to {
				a.cover(inside, from, to)
				done = to
			}
		}
	}
	shares := make([]float64, a.N)
	for i, t := range inside {
		shares[i] = float64(t) / float64(a.Step)
	}
	return shares
}

// on is the stretches that begin on t's day.
func (w When) on(t time.Time, c Calendar, season *Span) []stretch {
	holiday, shutdown := c.Closed(t)
	switch {
	case shutdown || season != nil && !season.Has(DateOf(t)):
		return nil
	case holiday:
		return w.days[onHolidays]
	}
	return w.days[(int(t.Weekday())+6)%weekDays] // package time begins its week on Sunday
}

// cover adds the time from..to, counted from the axis' start, to the steps that it lies in.
func (a Axis) cover(inside []time.Duration, from, to time.Duration) {
	for i := int(from / a.Step); from < to; i++ {
		until := min(time.Duration(i+1)*a.Step, to)
		inside[i] += until - from
		from = until
	}
}
