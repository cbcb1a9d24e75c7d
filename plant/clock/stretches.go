package clock

import (
	"slices"
	"time"
)

// Stretch is one run of hours of a pattern on real days, from From up to, not including, To.
type Stretch struct{ From, To time.Time }

// H is how long the stretch lasts, h.
func (s Stretch) H() float64 { return s.To.Sub(s.From).Hours() }

// Stretches is every stretch of the pattern that shares time with the axis, in order, with its whole
// length: the first may begin before the axis and the last end after it. Nothing begins in a
// shutdown or, if seasons are given, outside all of them, and on a holiday only the pattern's own "holidays"
// hours do; what began the evening before runs on to its end. Stretches that touch stay apart
// ([Joined] makes one of them); none overlap.
//
// The pattern's times and days are those of the clock on the wall ([Calendar.Summer]); the instants are in
// the axis' zone, standard time. A stretch over the hour that the spring night leaves out is an hour
// shorter, one over the hour that the autumn night has twice an hour longer; see [Calendar.At].
func (w When) Stretches(a Axis, c Calendar, seasons ...Span) []Stretch {
	if err := a.countable(); err != nil {
		panic("clock: " + err.Error())
	}
	var all []Stretch
	var done time.Time // end of the latest, so that no minute counts twice
	zone, end := a.Start.Location(), a.End()
	clocks := c.Summer.between(a.Start.Year()-1, end.Year()+1)
	y, m, d := a.Start.Date()
	midnight := time.Date(y, m, d-1, 0, 0, 0, 0, time.UTC) // of the day before: its last stretch may run on
	for ; ; midnight = midnight.AddDate(0, 0, 1) {
		if !inZone(clocks.standard(midnight), zone).Before(end) {
			return all
		}
		for _, s := range w.on(DateOf(midnight), c, seasons) {
			from := inZone(clocks.standard(midnight.Add(time.Duration(s.from)*time.Minute)), zone)
			to := inZone(clocks.standard(midnight.Add(time.Duration(s.to)*time.Minute)), zone)
			if from.Before(done) {
				from = done
			}
			if !from.Before(to) {
				continue
			}
			done = to
			if from.Before(end) && to.After(a.Start) {
				all = append(all, Stretch{from, to})
			}
		}
	}
}

// on is the stretches that begin on a day.
func (w When) on(d Date, c Calendar, seasons []Span) []stretch {
	if w.rota != nil {
		w = w.rota.week(d)
	}
	holiday, shutdown := c.closedOn(d)
	switch {
	case shutdown || len(seasons) > 0 && !slices.ContainsFunc(seasons, func(s Span) bool { return s.Has(d) }):
		return nil
	case holiday:
		return w.days[onHolidays]
	}
	return w.days[weekdayOf(d)]
}

// Joined makes one of neighbours that touch or whose gap is shorter than the given one. The list must be
// in order, as [When.Stretches] gives it.
func Joined(list []Stretch, gap time.Duration) []Stretch {
	var all []Stretch
	for _, s := range list {
		if n := len(all); n > 0 {
			if between := s.From.Sub(all[n-1].To); between <= 0 || between < gap {
				all[n-1].To = s.To
				continue
			}
		}
		all = append(all, s)
	}
	return all
}

// Shares is the part of each step, 0 to 1, that lies inside the pattern, by the rules of
// [When.Stretches]. The axis must pass [Axis.Check].
func (w When) Shares(a Axis, c Calendar) []float64 { return w.SharesIn(a, c) }

// SharesIn is [When.Shares] in seasons: nothing begins on a day outside them. None is all year.
func (w When) SharesIn(a Axis, c Calendar, seasons ...Span) []float64 {
	return a.Shares(w.Stretches(a, c, seasons...))
}

// Shares is the part of each step that the stretches cover; what of them lies outside the axis is left out.
// They must not overlap.
func (a Axis) Shares(list []Stretch) []float64 {
	inside := make([]time.Duration, a.N)
	end := time.Duration(a.N) * a.Step
	for _, s := range list {
		from, to := max(s.From.Sub(a.Start), 0), min(s.To.Sub(a.Start), end)
		for i := int(from / a.Step); from < to; i++ {
			until := min(time.Duration(i+1)*a.Step, to)
			inside[i] += until - from
			from = until
		}
	}
	shares := make([]float64, a.N)
	for i, t := range inside {
		shares[i] = float64(t) / float64(a.Step)
	}
	return shares
}
