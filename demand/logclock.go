package demand

import (
	"fmt"
	"time"

	"noonkeep/plant/clock"
)

// summerTable answers quickly whether the wall's clock is an hour ahead. Times are ns since 1970 of local standard
// time, as everywhere in the reader.
type summerTable struct {
	rule     clock.SummerTime
	from, to int64 // of what the table holds
	turns    []int64
	first    bool // summer after the first of turns
}

const summerNS = int64(clock.SummerShift)

// at reports whether it is summer.
func (s *summerTable) at(ns int64) bool {
	if s.rule.IsZero() {
		return false
	}
	if ns < s.from || ns >= s.to {
		s.fill(ns)
	}
	summer := !s.first
	for _, t := range s.turns {
		if ns < t {
			break
		}
		summer = !summer
	}
	return summer
}

// fill lists the changes of a year and its neighbours.
func (s *summerTable) fill(ns int64) {
	year := time.Unix(0, ns).UTC().Year()
	start := time.Date(year-1, 1, 1, 0, 0, 0, 0, time.UTC)
	end := time.Date(year+2, 1, 1, 0, 0, 0, 0, time.UTC)
	s.from, s.to, s.turns = start.UnixNano(), end.UnixNano(), nil
	forward, back := s.rule.Turns(clock.Axis{Start: start, Step: time.Hour, N: int(end.Sub(start) / time.Hour)})
	s.first = len(back) == 0 || len(forward) > 0 && forward[0].Before(back[0])
	for len(forward)+len(back) > 0 {
		if len(back) == 0 || len(forward) > 0 && forward[0].Before(back[0]) {
			s.turns, forward = append(s.turns, forward[0].UnixNano()), forward[1:]
		} else {
			s.turns, back = append(s.turns, back[0].UnixNano()), back[1:]
		}
	}
}

// clockReader brings stamps to local standard time.
type clockReader struct {
	clock   LogClock
	atEnd   bool
	zoneNS  int64 // local standard time less UTC
	summer  summerTable
	seen    bool // a row was read
	kind    stampKind
	offsetS int   // that all rows must have
	last    int64 // standard time of the row before
	stepNS  int64 // of the rows just before, 0 when there are none
}

// standard gives the local standard time of a stamp; the error is a fault of its row.
func (c *clockReader) standard(s stamp) (int64, error) {
	w := s.day*dayNS + s.ns
	if !c.seen {
		c.kind, c.offsetS = s.kind, s.offsetS
	}
	first := !c.seen
	c.seen = true
	if s.kind != c.kind {
		return 0, fmt.Errorf("time: %s, and the rows before it %s; want one form of times in a log", kindText(s), kindText(stamp{kind: c.kind, offsetS: c.offsetS}))
	}
	switch {
	case s.kind == epochStamp:
		return w + c.zoneNS, nil
	case s.kind == offsetStamp:
		if err := c.offset(s, first); err != nil {
			return 0, err
		}
		return w - int64(s.offsetS)*int64(time.Second) + c.zoneNS, nil
	case c.clock == UTC:
		return w + c.zoneNS, nil
	case c.clock == WallClock:
		return c.wall(w)
	}
	return w, nil
}

func kindText(s stamp) string {
	switch s.kind {
	case epochStamp:
		return "is a number of seconds"
	case offsetStamp:
		return "has the offset " + clock.OffsetString(time.Duration(s.offsetS)*time.Second)
	}
	return "has no offset"
}

// offset refuses a second offset in a log, but for the two of a wall's clock.
func (c *clockReader) offset(s stamp, first bool) error {
	said := time.Duration(s.offsetS) * time.Second
	switch {
	case c.clock == UTC && s.offsetS != 0:
		return fmt.Errorf("time: has the offset %s, and clock says UTC; want no clock, since the offset says it", clock.OffsetString(said))
	case c.clock == WallClock:
		ahead := int64(said) - c.zoneNS
		if ahead == 0 || ahead == summerNS && !c.summer.rule.IsZero() {
			return nil
		}
		return fmt.Errorf("time: has the offset %s, and the plant's clock has %s; want times of this place",
			clock.OffsetString(said), clock.OffsetString(time.Duration(c.zoneNS)))
	case !first && s.offsetS != c.offsetS:
		return fmt.Errorf("time: has the offset %s, and the first row %s: two time zones in one log; cut it in two, or write clock: wall if it follows the plant's summer time",
			clock.OffsetString(said), clock.OffsetString(time.Duration(c.offsetS)*time.Second))
	}
	return nil
}

// wall turns the clock on the wall into standard time. In the hour that the autumn night has twice the order decides:
// the first that is not behind the row before. A row stamped with its end may show the end of either hour both ways.
func (c *clockReader) wall(w int64) (int64, error) {
	hourAgo := w - summerNS
	asSummer := c.summer.at(hourAgo) || c.atEnd && c.summer.at(hourAgo-1)
	asWinter := !c.summer.at(w) || c.atEnd && !c.summer.at(w-1)
	switch {
	case asSummer && asWinter:
		repeat := hourAgo == c.last && (c.stepNS == 0 || c.stepNS < summerNS) // a row that stands twice
		if hourAgo > c.last || repeat {
			return hourAgo, nil
		}
		return w, nil
	case asSummer:
		return hourAgo, nil
	case asWinter:
		return w, nil
	}
	return 0, fmt.Errorf("time: %s is left out on the clock on the wall, which goes an hour ahead that night; want clock: standard if the log does not follow summer time",
		textOf(w))
}

// textOf writes a time of the reader.
func textOf(ns int64) string {
	t := time.Unix(0, ns).UTC()
	if t.Second() == 0 && t.Nanosecond() == 0 {
		return t.Format(minuteForm)
	}
	return t.Format(secondForm)
}
