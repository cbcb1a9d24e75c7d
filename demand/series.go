package demand

import (
	"fmt"
	"time"

	"noonkeep/plant/clock"
)

// Unit is what the values of a [Series] are in. The zero value is invalid.
type Unit int

const (
	InKW  Unit = iota + 1 // heat, kW
	InKgH                 // steam, kg/h
)

// String is the unit as a CSV header writes it.
func (u Unit) String() string {
	switch u {
	case InKW:
		return "kW"
	case InKgH:
		return "kg/h"
	}
	return "no unit"
}

// Series is a measured demand: means over equal steps. [ReadSeries] makes it.
type Series struct {
	Source string        // where it was read, for messages
	Unit   Unit          // of Values
	Start  time.Time     // start of the first step, local standard time; its zone is not looked at
	Step   time.Duration // of its own, 1 s to 24 h
	Values []float64     // mean over each step, 0 to 1e9

	firstLine, lastLine int // of the rows in Source
}

// The steps that a series may have. A longer mean says nothing of the hours of a day.
const (
	leastStep = time.Second
	mostStep  = 24 * time.Hour
)

// On is the series on the study's axis, mean kW over each step, with the energy inside the study
// kept to rounding. The series must be in kW (see [Series.Heat]) and reach over all of the study.
func (s Series) On(a clock.Axis) (clock.KW, error) {
	if err := a.Check(); err != nil {
		return nil, err
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	if s.Unit != InKW {
		return nil, fmt.Errorf("%s: is in %s; want kW, by the header's pressure and feedwater", s.source(), s.Unit)
	}
	own := s.axis(a.Start.Location())
	if own.Start.After(a.Start) || own.End().Before(a.End()) {
		return nil, s.tooShort(own, a)
	}
	return clock.ResampleWithin(s.Values, own, a)
}

// axis puts the series' wall clock into the study's zone.
func (s Series) axis(zone *time.Location) clock.Axis {
	y, m, d := s.Start.Date()
	start := time.Date(y, m, d, s.Start.Hour(), s.Start.Minute(), s.Start.Second(), 0, zone)
	return clock.Axis{Start: start, Step: s.Step, N: len(s.Values)}
}

// tooShort says how many rows there are, how many the study needs, and what is the likely cause.
func (s Series) tooShort(own, study clock.Axis) error {
	const form = "2006-01-02 15:04"
	line, span := s.lastLine, study.End().Sub(study.Start)
	if own.Start.After(study.Start) {
		line = s.firstLine
	}
	text := fmt.Sprintf("%d rows of %s run %s to %s; want %d rows, %s to %s", own.N, stepText(s.Step),
		own.Start.Format(form), own.End().Format(form),
		(span+s.Step-1)/s.Step, study.Start.Format(form), study.End().Format(form))
	switch {
	case own.Start.Equal(study.Start.Add(s.Step)) && !own.End().Before(study.End()):
		text += "; a time is the start of its step: if the log stamps the end, take " + stepText(s.Step) + " off each"
	case !own.End().After(study.Start) || !own.Start.Before(study.End()):
		text += fmt.Sprintf("; set the study's year to %d, or measure in %d", own.Start.Year(), study.Start.Year())
	}
	return &LineError{Source: s.Source, Line: line, Text: text}
}

// check guards against a series made by hand; one that was read passes.
func (s Series) check() error {
	if s.Unit != InKW && s.Unit != InKgH {
		return fmt.Errorf("%s: has no unit; want kW or kg/h", s.source())
	}
	if s.Step < leastStep || s.Step > mostStep {
		return fmt.Errorf("%s: step is %v; want 1 s to 24 h", s.source(), s.Step)
	}
	if len(s.Values) == 0 || len(s.Values) > mostRows {
		return fmt.Errorf("%s: has %d values; want 1 to %d", s.source(), len(s.Values), mostRows)
	}
	for i, v := range s.Values {
		if !(v >= 0 && v <= mostKW) {
			return fmt.Errorf("%s: value %d is %g %s; want 0 to %g", s.source(), i, v, s.Unit, mostKW)
		}
	}
	return nil
}

func (s Series) source() string {
	if s.Source == "" {
		return "series"
	}
	return s.Source
}

// stepText writes a step in minutes, or in seconds if it must.
func stepText(d time.Duration) string {
	if d%time.Minute == 0 {
		return fmt.Sprintf("%d min", d/time.Minute)
	}
	return fmt.Sprintf("%d s", d/time.Second)
}
