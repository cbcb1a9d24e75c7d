package clock

import (
	"errors"
	"fmt"
	"time"
)

// SummerTime is a place's rule for putting the clocks an hour forward: on From, and back on To. The
// zero value is no summer time. Make one with [ParseSummerTime].
//
// Standard time stays the time of every axis. The rule moves what people do by the clock on the wall:
// all that follows a [When], with its holidays, shutdowns and seasons.
type SummerTime struct{ From, To Change }

// Change is when the clocks are put forward or back: on a day, or on the Nth weekday of a month (-1
// the last), or, with Nth 0 and a Weekday, on the first such weekday on or after Date.
type Change struct {
	Date    Date // a single day, of every year if Year is 0; Day is 0 where Nth counts
	Nth     int  // 1 to 4, or -1
	Weekday int  // 1 Monday to 7 Sunday as in ISO 8601; 0 for a plain Date
	Minute  int  // on the wall's clock just before it is changed, minutes after midnight, 0 to 1440
}

// SummerShift is what the clocks are put forward by. One place in the world, Lord Howe Island, uses 30 min.
const SummerShift = time.Hour

// IsZero reports whether there is no summer time.
func (s SummerTime) IsZero() bool { return s == SummerTime{} }

// leastSeason keeps the two changes apart.
const leastSeason = 7 * day

// Check reports a rule that cannot be: a day that does not exist, a year at one end only, changes that lie
// within a week of each other or, with years, in the wrong order.
func (s SummerTime) Check() error {
	if s.IsZero() {
		return nil
	}
	if err := errors.Join(s.From.check(), s.To.check()); err != nil {
		return err
	}
	if (s.From.Date.Year == 0) != (s.To.Date.Year == 0) {
		return &TextError{What: summerWhat, Saw: s.String(), Want: "a year at both ends or at neither"}
	}
	if s.From.Date.Year != 0 {
		if s.To.on(s.To.Date.Year).Sub(s.From.on(s.From.Date.Year)) < leastSeason {
			return &TextError{What: summerWhat, Saw: s.String(), Want: "the earlier day first, and a week between them at least"}
		}
		return nil
	}
	// Weekdays and leap years repeat after 28 years.
	list := s.between(2000, 2028)
	for i := 1; i < len(list); i++ {
		if list[i].at.Sub(list[i-1].at) < leastSeason || list[i].summer == list[i-1].summer {
			return &TextError{What: summerWhat, Saw: s.String(), Want: "a week at least between the two changes in every year"}
		}
	}
	return nil
}

func (c Change) check() error {
	d := c.Date
	if c.Nth != 0 {
		d.Day = 1
	}
	switch {
	case !d.Valid() || c.Minute < 0 || c.Minute > dayMinutes || c.Weekday < 0 || c.Weekday > weekDays,
		c.Nth != 0 && (c.Weekday == 0 || c.Nth < -1 || c.Nth > 4 || c.Date.Day != 0):
		return &TextError{What: summerWhat, Saw: c.String(), Want: "a day that exists"}
	case d.Year == 0 && d.Month == time.February && d.Day == 29:
		return &TextError{What: summerWhat, Saw: c.String(), Want: "a day that comes every year"}
	}
	return nil
}

// on is the wall's clock of the change in a year, written in UTC.
func (c Change) on(year int) time.Time {
	d := c.Date
	t := time.Date(year, d.Month, max(d.Day, 1), 0, 0, 0, 0, time.UTC)
	ahead := func() int { return (c.Weekday - int(t.Weekday()) + 7) % 7 }
	switch {
	case c.Nth > 0:
		t = t.AddDate(0, 0, ahead()+7*(c.Nth-1))
	case c.Nth < 0:
		t = t.AddDate(0, 1, -7) // the last week of the month
		t = t.AddDate(0, 0, ahead())
	case c.Weekday > 0:
		t = t.AddDate(0, 0, ahead())
	}
	return t.Add(time.Duration(c.Minute) * time.Minute)
}

// turn is a change in standard time, written in UTC, and what it begins.
type turn struct {
	at     time.Time
	summer bool
}

// turns are the changes of some years, in order.
type turns []turn

// between gives the changes of the years first to last; a rule with years of its own gives its two.
func (s SummerTime) between(first, last int) turns {
	if s.IsZero() {
		return nil
	}
	on := func(year int) turn { return turn{s.From.on(year), true} }
	off := func(year int) turn { return turn{s.To.on(year).Add(-SummerShift), false} }
	if s.From.Date.Year != 0 {
		return turns{on(s.From.Date.Year), off(s.To.Date.Year)}
	}
	var list turns
	for year := first; year <= last; year++ {
		a, b := on(year), off(year)
		if b.at.Before(a.at) {
			a, b = b, a
		}
		list = append(list, a, b)
	}
	return list
}

// around gives what decides at the time t, and a little before and after it.
func (s SummerTime) around(t time.Time) turns { return s.between(t.Year()-1, t.Year()+1) }

// at is the latest change at or before a standard time in UTC; none is a change to standard time.
func (list turns) at(t time.Time) turn {
	for i := len(list) - 1; i >= 0; i-- {
		if !t.Before(list[i].at) {
			return list[i]
		}
	}
	return turn{}
}

// standard is the standard time at which the wall's clock shows w, both written in UTC. A time that the
// spring night leaves out is the moment of its change; of one that the autumn night has twice it is the first.
func (list turns) standard(w time.Time) time.Time {
	now, hourAgo := list.at(w), list.at(w.Add(-SummerShift))
	switch {
	case hourAgo.summer:
		return w.Add(-SummerShift)
	case now.summer:
		return now.at
	}
	return w
}

// plain writes what a clock in its own zone shows as UTC, and inZone writes it back.
func plain(t time.Time) time.Time {
	_, offset := t.Zone()
	return t.Add(time.Duration(offset) * time.Second).UTC()
}

func inZone(t time.Time, zone *time.Location) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), zone)
}

// IsSummer reports whether the wall's clock is an hour ahead at t, which is in standard time's zone.
func (c Calendar) IsSummer(t time.Time) bool {
	at := plain(t)
	return c.Summer.around(at).at(at).summer
}

// Wall is t by the clock on the wall: the same instant, in summer in a zone an hour ahead. t must be in
// standard time's zone, as the times of an [Axis] are.
func (c Calendar) Wall(t time.Time) time.Time {
	if !c.IsSummer(t) {
		return t
	}
	_, offset := t.Zone()
	ahead := time.Duration(offset)*time.Second + SummerShift
	return t.In(time.FixedZone("UTC"+OffsetString(ahead), int(ahead/time.Second)))
}

// At is the instant, in standard time's zone, at which the clock on the wall shows the minute of a day. In
// the hour that the spring night leaves out it is the moment of the change; in the hour that the autumn night has
// twice it is the first of the two.
func (c Calendar) At(d Date, minute int, zone *time.Location) time.Time {
	w := time.Date(d.Year, d.Month, d.Day, 0, minute, 0, 0, time.UTC)
	return inZone(c.Summer.around(w).standard(w), zone)
}

// Turns are the instants on the axis at which the clocks are changed.
func (s SummerTime) Turns(a Axis) (forward, back []time.Time) {
	for _, t := range s.between(a.Start.Year()-1, a.End().Year()+1) {
		at := inZone(t.at, a.Start.Location())
		switch {
		case at.Before(a.Start) || !at.Before(a.End()):
		case t.summer:
			forward = append(forward, at)
		default:
			back = append(back, at)
		}
	}
	return forward, back
}

// String writes the rule; [ParseSummerTime] reads it back. It is "" for no summer time.
func (s SummerTime) String() string {
	if s.IsZero() {
		return ""
	}
	return s.From.String() + ".." + s.To.String()
}

var nthNames = map[int]string{1: "1st", 2: "2nd", 3: "3rd", 4: "4th", -1: "last"}

// String writes "last Sun Mar 02:00", "Fri on or after 23 Mar 02:00", "31 Mar 00:00" or "2026-03-29 02:00".
func (c Change) String() string {
	clockText := fmt.Sprintf("%02d:%02d", c.Minute/60, c.Minute%60)
	if c.Weekday < 1 || c.Weekday > weekDays {
		return c.Date.String() + " " + clockText
	}
	weekday := dayNames[c.Weekday-1][:3]
	if c.Nth == 0 {
		return weekday + " on or after " + c.Date.String() + " " + clockText
	}
	return fmt.Sprintf("%s %s %.3s %s", nthNames[c.Nth], weekday, c.Date.Month, clockText)
}
