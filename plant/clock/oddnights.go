package clock

import (
	"slices"
	"time"
)

// OddNight is one change of the clocks and what a pattern's hours make of it.
type OddNight struct {
	At time.Time // in standard time
	H  float64   // hours lost, below 0, or gained
}

// OddNights gives each change of the clocks on the axis with the hours that the pattern loses or gains by it:
// what lies in the hour that the spring night leaves out is lost, and what runs past the end of the hour that the
// autumn night has twice gains an hour. The rest of a year's hours moves by an hour and stays as long as it was.
// What always runs does so in those nights too, and has none.
func (w When) OddNights(a Axis, c Calendar, seasons ...Span) []OddNight {
	if w.Equal(Always()) {
		return nil
	}
	forward, back := c.Summer.Turns(a)
	c.Summer = SummerTime{} // the pattern's times read as standard time are the wall's clock
	list := w.Stretches(a.Widened(2*day), c, seasons...)
	var all []OddNight
	for _, at := range forward {
		h := 0.0
		for _, s := range list {
			if from, to := latest(s.From, at), earliest(s.To, at.Add(SummerShift)); from.Before(to) {
				h -= to.Sub(from).Hours()
			}
		}
		all = append(all, OddNight{at, h})
	}
	for _, at := range back {
		h, end := 0.0, at.Add(SummerShift) // the clock shows the hour up to end, goes back to at, and shows it again
		for _, s := range list {
			if s.From.Before(end) && !s.To.Before(end) {
				h += SummerShift.Hours()
			}
		}
		all = append(all, OddNight{at, h})
	}
	slices.SortFunc(all, func(x, y OddNight) int { return x.At.Compare(y.At) })
	return all
}

// Widened is an axis that reaches by so much farther on both sides.
func (a Axis) Widened(by time.Duration) Axis {
	n := int((by + a.Step - 1) / a.Step)
	a.Start = a.Start.Add(-time.Duration(n) * a.Step)
	a.N += 2 * n
	return a
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earliest(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
