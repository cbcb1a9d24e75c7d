package clock

import (
	"fmt"
	"slices"
	"strings"
)

// When is a weekly pattern: the stretches of each day of the week, and of holidays, in which something
// runs; or a rota of several that take turns. Make one with [ParseWhen], [Always] or [Rota]; the
// zero value has no hours at all and counts as missing ([When.IsZero]).
type When struct {
	days [dayKinds][]stretch // Monday first, holidays last; each sorted, none overlapping
	rota *rota               // instead of days, where the pattern changes by week
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
	if w.rota != nil {
		return !slices.ContainsFunc(w.rota.weeks, func(week When) bool { return !week.IsZero() })
	}
	for _, list := range w.days {
		if len(list) > 0 {
			return false
		}
	}
	return true
}

// HasHolidays reports whether holidays have hours of their own.
func (w When) HasHolidays() bool {
	if w.rota != nil {
		return slices.ContainsFunc(w.rota.weeks, When.HasHolidays)
	}
	return len(w.days[onHolidays]) > 0
}

// Equal reports whether both patterns have the same stretches. Two stretches that touch are not
// the same as one long one.
func (w When) Equal(v When) bool {
	if w.rota != nil || v.rota != nil {
		return w.rota != nil && v.rota != nil && w.rota.from == v.rota.from && slices.EqualFunc(w.rota.weeks, v.rota.weeks, When.Equal)
	}
	for d := range w.days {
		if !slices.Equal(w.days[d], v.days[d]) {
			return false
		}
	}
	return true
}

// HoursPerWeek is what the pattern comes to in a week without holidays, h; the mean of a rota's.
func (w When) HoursPerWeek() float64 {
	if w.rota != nil {
		sum := 0.0
		for _, week := range w.rota.weeks {
			sum += week.HoursPerWeek()
		}
		return sum / float64(len(w.rota.weeks))
	}
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
	if w.rota != nil {
		return w.rota.String()
	}
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
