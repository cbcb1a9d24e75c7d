package demand

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"
)

// check says what is wrong with the form itself.
func (f *LogForm) check() error {
	var faults []error
	require := func(holds bool, format string, args ...any) {
		if !holds {
			faults = append(faults, fmt.Errorf(f.Source+": "+format, args...))
		}
	}
	require(f.Time != "" && f.Value != "", "time, value: are %q and %q; want two columns, by name or number", f.Time, f.Value)
	require(f.Time != f.Value && f.TimeOfDay != f.Value && f.TimeOfDay != f.Time, "time, time_of_day, value: two of them are one column; want each its own")
	require(f.Unit.Base > 0, "unit: is missing; want the unit of the values, such as kg/h")
	require(f.Unit.Base == 0 || f.Unit.Total == (f.Counts != Rate), "unit: %s does not fit what the log counts; want a quantity for a counter or an interval, else a rate", f.Unit.Text)
	require(f.Scale >= 0 && f.Scale <= 1e12, "scale: is %g; want more than 0", f.Scale)
	require(f.RollOver >= 0 && f.RollOver <= mostReads, "roll_over: is %g; want the reading at which the counter begins at 0 again", f.RollOver)
	require(f.RollOver == 0 || f.Counts == Counter, "roll_over: is for a counter, and this log has none; want counts: total, or no roll_over")
	require(f.Step >= time.Minute && f.Step <= time.Hour && time.Hour%f.Step == 0, "step: is %v; want a divisor of 60 min from 1 min up", f.Step)
	require(f.Zone != nil, "zone: is missing; want local standard time's")
	require(f.Clock != WallClock || !f.Calendar.Summer.IsZero(), "clock: is wall, and the plant has no summer time; write time.summer_time, or clock: standard")
	require(f.LongestGap >= 0 && f.Stuck >= 0, "longest_gap, stuck: are %v and %v; want more than 0", f.LongestGap, f.Stuck)
	return errors.Join(faults...)
}

// perUnit is what one unit of a value comes to in the base unit.
func (f *LogForm) perUnit() float64 { return f.Unit.Base * cmp.Or(f.Scale, 1) }

// most is the largest value that may be.
func (f *LogForm) most() float64 {
	if f.Counts == Rate {
		return mostKW / f.perUnit()
	}
	return mostReads
}

func (f *LogForm) stuckAfter() time.Duration { return cmp.Or(f.Stuck, 48*time.Hour) }

// finish takes over what the folder knows.
func (l *Log) finish(f *folder, notes *tally) {
	gaps := notes.count[gapKind]
	sum, covered := 0.0, int64(0)
	for _, p := range l.bins.pages {
		if p == nil {
			continue
		}
		for _, b := range p.bin {
			sum += b.sum
			covered += b.ns
		}
	}
	for _, x := range f.lumps {
		sum += x.quantity
	}
	l.lumps = f.lumps
	l.Quantity = sum / float64(hourNS) * l.form.perUnit()
	l.CoveredH = float64(covered) / float64(hourNS)
	count := func(n int, what string) {
		if n > 0 {
			notes.add(logKind(what), 0, "%d %s", n, what)
		}
	}
	count(l.Duplicates, "rows stand twice and were dropped once")
	count(l.Empty, "rows have no value and are left out")
	count(l.Negatives, "values below 0 count as 0")
	l.Notes = notes.notes()
	slices.SortStableFunc(l.Notes, func(a, b LogNote) int {
		return cmp.Compare(cmp.Or(a.Line, math.MaxInt), cmp.Or(b.Line, math.MaxInt))
	})
	l.Gaps = gaps
}

// agoText writes a time between rows: "15 min", "1 s", "250ms".
func agoText(d time.Duration) string {
	switch {
	case d >= 48*time.Hour && d%(24*time.Hour) == 0:
		return fmt.Sprintf("%d d", d/(24*time.Hour))
	case d >= 2*time.Hour && d%time.Hour == 0:
		return fmt.Sprintf("%d h", d/time.Hour)
	case d < time.Second || d%time.Second != 0:
		return d.String()
	}
	return stepText(d)
}

// trimFloat writes a number without an exponent.
func trimFloat(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
