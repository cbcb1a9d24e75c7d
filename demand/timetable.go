package demand

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"noonkeep/plant/clock"
)

// StartTimes are times of the week at which batches begin. Make them with [ParseStarts].
type StartTimes struct {
	when clock.When // each start as a minute's stretch, so that days, holidays and seasons follow the same rules
}

var (
	startTime = regexp.MustCompile(`\b([0-9]{1,2}):([0-9]{2})\b`)
	stretched = regexp.MustCompile(`([0-9]{2}:[0-9]{2})-[0-9]{2}:[0-9]{2}`)
	twoTimes  = regexp.MustCompile(`[0-9]{1,2}:[0-9]{2} *[-–] *[0-9]{1,2}:[0-9]{2}`)
)

const startsWant = "days and times such as Mon-Fri 06:00, 10:30; Sat 06:00"

// ParseStarts reads "Mon-Fri 06:00, 10:30, 15:00; Sat 06:00": days as in [clock.ParseWhen], and times, each a start. The
// error is a [*clock.TextError].
func ParseStarts(s string) (StartTimes, error) {
	bad := func(saw, want string) error { return &clock.TextError{What: "starts", Saw: saw, Want: want} }
	if strings.EqualFold(strings.TrimSpace(s), "always") {
		return StartTimes{}, bad(s, startsWant)
	}
	if hours := twoTimes.FindString(s); hours != "" {
		return StartTimes{}, bad(hours, "single times, as in Mon-Fri 06:00, 10:30")
	}
	text := startTime.ReplaceAllStringFunc(s, func(at string) string {
		hour, minute, _ := strings.Cut(at, ":")
		h, _ := strconv.Atoi(hour)
		m, _ := strconv.Atoi(minute)
		next := h*minutesPerHour + m + 1
		if m > 59 || next > 24*minutesPerHour {
			return at + "-" + at // refused as no time of the day
		}
		return fmt.Sprintf("%s-%02d:%02d", at, next/minutesPerHour, next%minutesPerHour)
	})
	when, err := clock.ParseWhen(text)
	var fault *clock.TextError
	switch {
	case errors.As(err, &fault):
		want := fault.Want
		switch {
		case strings.Contains(want, "overlap"):
			want = "each start once"
		case strings.Contains(want, "06:00-14:00"):
			want = startsWant
		case strings.Contains(want, "24:00"):
			want = "a time such as 06:00, up to 23:59"
		}
		return StartTimes{}, &clock.TextError{What: "starts", Saw: stretched.ReplaceAllString(fault.Saw, "$1"), Want: want, Near: fault.Near}
	case err != nil:
		return StartTimes{}, err
	}
	return StartTimes{when}, nil
}

// IsZero reports whether there are no times.
func (s StartTimes) IsZero() bool { return s.when.IsZero() }

// String writes the times; [ParseStarts] reads them back.
func (s StartTimes) String() string { return stretched.ReplaceAllString(s.when.String(), "$1") }

// Timetable says when batches begin: at Starts, or one after the other, each Every, in the stretches of When: the first as
// a stretch begins, the last so that it still ends within it. Stretches that touch count as one.
//
// Each machine follows the same times, the second Stagger later than the first, the third again.
type Timetable struct {
	Starts   StartTimes
	Every    time.Duration
	When     clock.When   // with Every
	Seasons  []clock.Span // in which a start, or a stretch of When, may lie; none is all year
	Machines int
	Stagger  time.Duration
}

const (
	mostMachines = 200
	mostBatches  = 400_000 // in a year
)

// Check reports what is wrong with the timetable, each fault a [*BatchFault].
func (t Timetable) Check() error {
	var faults []error
	require := func(holds bool, key, format string, args ...any) {
		if !holds {
			faults = append(faults, &BatchFault{0, key, fmt.Sprintf(format, args...)})
		}
	}
	require(t.Starts.IsZero() != (t.Every <= 0), "starts", "and every: want one of the two")
	require(t.Every <= 0 || !t.When.IsZero(), "every", "has no hours; want a weekly pattern")
	require(t.Machines >= 1 && t.Machines <= mostMachines, "machines", "are %d; want 1 to %d", t.Machines, mostMachines)
	require(t.Stagger >= 0 && t.Stagger <= 7*24*time.Hour, "stagger", "is %v; want 0 to 168 h", t.Stagger)
	return errors.Join(faults...)
}

// Begins is when batches of batchH begin, machine by machine, in the axis' zone: all that share time with the axis,
// so the first may begin before it. A machine that is to begin before its last batch has ended is an error.
func (t Timetable) Begins(a clock.Axis, c clock.Calendar, batchH float64) ([][]time.Time, error) {
	if err := errors.Join(a.Check(), t.Check()); err != nil {
		return nil, err
	}
	for _, s := range t.Seasons {
		if !anyDay(a, s) {
			return nil, fmt.Errorf("season: %s has no day from %s to %s; want days of the study", s, a.Date(0), a.Date(a.N-1))
		}
	}
	length := time.Duration(batchH * float64(time.Hour))
	before := length + time.Duration(t.Machines)*t.Stagger + 48*time.Hour
	wide := clock.Axis{Start: a.Start.Add(-before.Truncate(time.Hour)), Step: time.Hour}
	wide.N = int(a.End().Add(48*time.Hour).Sub(wide.Start) / time.Hour)
	all := make([][]time.Time, t.Machines)
	n := 0
	for m := range all {
		late := time.Duration(m) * t.Stagger
		list := t.atTimes
		if t.Every > 0 {
			list = t.inTurn
		}
		for _, at := range list(a, wide, c, turn{late, length}) {
			if at.Before(a.End()) && at.Add(length).After(a.Start) {
				all[m] = append(all[m], at)
			}
		}
		if n += len(all[m]); n > mostBatches {
			return nil, &BatchFault{0, "machines", fmt.Sprintf("make more than %d batches in the year; want fewer", mostBatches)}
		}
		if err := t.crowded(all[m], c, length); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// turn is what one machine does: how much later than the first it begins, and how long a batch takes.
type turn struct{ late, length time.Duration }

// atTimes is the times of the week on real days. The times are those of the clock on the wall.
func (t Timetable) atTimes(_, wide clock.Axis, c clock.Calendar, m turn) (all []time.Time) {
	wall := c
	wall.Summer = clock.SummerTime{} // a start in the hour that the spring night leaves out is not lost
	for _, s := range t.Starts.when.Stretches(wide, wall, t.Seasons...) {
		at := c.At(clock.DateOf(s.From), s.From.Hour()*minutesPerHour+s.From.Minute(), wide.Start.Location())
		all = append(all, at.Add(m.late))
	}
	return all
}

// inTurn is one batch after the other in each stretch of hours.
func (t Timetable) inTurn(a, wide clock.Axis, c clock.Calendar, m turn) (all []time.Time) {
	for _, s := range clock.Joined(t.When.Stretches(wide, c, t.Seasons...), 0) {
		from := s.From.Add(m.late)
		if !s.From.After(wide.Start) { // it has always run: count from the year's start
			turns := 2 + (m.length+m.late)/t.Every
			from = a.Start.Add(m.late - turns*t.Every)
		}
		for at := from; !at.Add(m.length).After(s.To) && len(all) <= mostBatches; at = at.Add(t.Every) {
			all = append(all, at)
		}
	}
	return all
}

// crowded reports the first batch that is to begin before the one before it has ended. The spring night is an hour
// short, so an hour is let pass where the clocks are changed: both batches are counted.
func (t Timetable) crowded(list []time.Time, c clock.Calendar, length time.Duration) error {
	slack := time.Second
	if !c.Summer.IsZero() && t.Every <= 0 {
		slack += clock.SummerShift
	}
	for i := 1; i < len(list); i++ {
		if gap := list[i].Sub(list[i-1]); gap < length-slack {
			key := "starts"
			if t.Every > 0 {
				key = "every"
			}
			return &BatchFault{0, key, fmt.Sprintf("the batch begun on %s takes %.4g min and the next begins after %.4g min; want more time between them",
				list[i-1].Format("2 Jan 15:04"), length.Minutes(), gap.Minutes())}
		}
	}
	return nil
}
