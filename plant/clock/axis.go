package clock

import (
	"errors"
	"fmt"
	"time"
)

// Axis is a row of N equal steps. Start carries a [time.FixedZone]: local standard time,
// without summer time. Step i runs from At(i) up to, not including, At(i+1).
type Axis struct {
	Start time.Time
	Step  time.Duration
	N     int
}

// The first and last year that [NewYear] takes: ISO 8601 without agreement between the
// parties begins at 1583, the first whole Gregorian year, and has four digits.
const (
	firstYear = 1583
	lastYear  = 9999
)

// longest keeps every offset from Start inside a [time.Duration], which ends at 292 years.
const longest = 200 * 366 * day

const day = 24 * time.Hour

// NewYear returns the axis of a calendar year: 8760 h, or 8784 h in a leap year. The step is a
// divisor of 60 min from 1 to 60 min. utcOffset is what local standard time is ahead of UTC:
// -12 h to +14 h in quarters of an hour, so +5:45 is 5*time.Hour + 45*time.Minute.
func NewYear(year int, step, utcOffset time.Duration) (Axis, error) {
	var faults []error
	if year < firstYear || year > lastYear {
		faults = append(faults, fmt.Errorf("year: is %d; want %d to %d", year, firstYear, lastYear))
	}
	faults = append(faults, checkStep(step), checkOffset(utcOffset))
	if err := errors.Join(faults...); err != nil {
		return Axis{}, err
	}
	zone := time.FixedZone("UTC"+OffsetString(utcOffset), int(utcOffset/time.Second))
	start := time.Date(year, time.January, 1, 0, 0, 0, 0, zone)
	span := time.Date(year+1, time.January, 1, 0, 0, 0, 0, zone).Sub(start)
	return Axis{Start: start, Step: step, N: int(span / step)}, nil
}

// Check reports what is wrong with an axis made by hand: a step that is no divisor of 60 min, no
// steps, or a zone whose offset moves within the axis.
func (a Axis) Check() error {
	if err := checkStep(a.Step); err != nil {
		return err
	}
	if err := a.countable(); err != nil {
		return err
	}
	_, want := a.Start.Zone()
	for t := a.Start; t.Before(a.End()); t = t.Add(day) {
		if _, offset := t.Zone(); offset != want {
			return fmt.Errorf("zone: %s changes its offset on %s; want a fixed offset, without summer time",
				a.Start.Location(), DateOf(t))
		}
	}
	return nil
}

// countable is the part of Check that resampling needs too: there the step is the file's own.
func (a Axis) countable() error {
	if a.Step <= 0 {
		return fmt.Errorf("step: is %v; want more than 0", a.Step)
	}
	if a.N < 1 {
		return fmt.Errorf("axis: has %d steps; want at least 1", a.N)
	}
	if float64(a.N)*float64(a.Step) > float64(longest) {
		return fmt.Errorf("axis: %d steps of %v; want 200 years at most", a.N, a.Step)
	}
	return nil
}

func checkStep(step time.Duration) error {
	if step < time.Minute || step > time.Hour || step%time.Minute != 0 || time.Hour%step != 0 {
		return fmt.Errorf("step: is %v; want 60, 30, 15 min or another divisor of 60 min", step)
	}
	return nil
}

// StepH is the step's length in hours.
func (a Axis) StepH() float64 { return a.Step.Hours() }

// At is the instant at which step i starts; At(N) is the axis' end.
func (a Axis) At(i int) time.Time { return a.Start.Add(time.Duration(i) * a.Step) }

// Mid is the middle of step i, where the sun of the step is taken.
func (a Axis) Mid(i int) time.Time { return a.At(i).Add(a.Step / 2) }

// End is the instant at which the last step ends.
func (a Axis) End() time.Time { return a.At(a.N) }

// Label names step i for people: "4 Feb 06:00", the start of the step in local standard time.
func (a Axis) Label(i int) string { return a.At(i).Format("2 Jan 15:04") }

// Date is the day on which step i starts.
func (a Axis) Date(i int) Date { return DateOf(a.At(i)) }

// Index is the step that t falls into, and whether t lies on the axis at all.
func (a Axis) Index(t time.Time) (i int, ok bool) {
	since := t.Sub(a.Start)
	if since < 0 || !t.Before(a.End()) {
		return 0, false
	}
	return int(since / a.Step), true
}

// Same reports whether both axes have the same steps at the same instants and offset from UTC.
func (a Axis) Same(b Axis) bool {
	_, offsetA := a.Start.Zone()
	_, offsetB := b.Start.Zone()
	return a.Start.Equal(b.Start) && offsetA == offsetB && a.Step == b.Step && a.N == b.N
}
