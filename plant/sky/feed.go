package sky

import (
	"errors"
	"fmt"
	"io"
	"math"
	"time"
)

// moment is a label as a file writes it, on the file's own clock. Minute counts from midnight to 1440, the day's end.
type moment struct{ year, month, day, minute int }

func (m moment) String() string {
	if m.month < 1 || m.month > 12 {
		return fmt.Sprintf("%d-%02d-%02d", m.year, m.month, m.day)
	}
	name := fmt.Sprintf("%d %s", m.day, time.Month(m.month).String()[:3])
	if m.year > 0 {
		name += fmt.Sprintf(" %d", m.year)
	}
	return fmt.Sprintf("%s %02d:%02d", name, m.minute/60, m.minute%60)
}

// The years that a label may have; 0 is none.
const firstYear, lastYear = 1800, 2200

// check wants a day that the calendar has.
func (m moment) check() error {
	switch {
	case m.month < 1 || m.month > 12 || m.day < 1 || m.day > monthDays(m.month) || m.month == 2 && m.day == 29 && m.year > 0 && !isLeap(m.year):
		return fmt.Errorf("date: is %d-%02d-%02d; want a day of the calendar", m.year, m.month, m.day)
	case m.year != 0 && (m.year < firstYear || m.year > lastYear):
		return fmt.Errorf("year: is %d; want %d to %d", m.year, firstYear, lastYear)
	case m.minute < 0 || m.minute > 1440:
		return fmt.Errorf("time: is %02d:%02d; want 00:00 to 24:00", m.minute/60, m.minute%60)
	}
	return nil
}

func isLeap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

// Label is where a row's label stands in the interval whose mean the row gives.
type Label int

// A row may be labelled with its interval's end, start or middle, or be of an instant, the label's.
const (
	LabelEnd Label = iota + 1
	LabelStart
	LabelMiddle
	LabelInstant
)

// head is what a file says of all its rows.
type head struct {
	kind, station string
	place         Place // UTCOffset is the site's local standard time, if the file knows one
	placeless     bool
	zoneless      bool          // the file knows no local time
	zone          time.Duration // of the labels' clock
	step          time.Duration // 0: as the first rows show
	label         Label
	offset        time.Duration // where the light of an instant stands, from the label
	has           [quantities]bool
	typical       bool // months of different years make one
	notes         []Note
}

// dated is a row with its label and line.
type dated struct {
	at     moment
	values [quantities]float64 // a missing value is -Inf
	line   int
}

// feed hands out the rows of a file, in its order; io.EOF after the last. A fault carries file and line.
type feed interface {
	next() (dated, error)
}

// ahead is how many rows are looked at to find their step.
const ahead = 50

// stream is one file's rows put into slots.
type stream struct {
	head
	name    string
	feed    feed
	first   []dated // the rows looked at
	step    time.Duration
	phase   int // minutes from a slot's start to its label
	stepMin int
	ended   error
}

// open looks at the first rows for the step and where the labels stand in it.
func (h head) open(name string, f feed) (*stream, error) {
	s := &stream{head: h, name: name, feed: f, step: h.step}
	for len(s.first) < ahead {
		r, err := f.next()
		if err != nil {
			s.ended = err
			break
		}
		s.first = append(s.first, r)
	}
	if len(s.first) == 0 && !errors.Is(s.ended, io.EOF) {
		return nil, s.ended
	}
	if len(s.first) < 2 && errors.Is(s.ended, io.EOF) {
		return nil, fmt.Errorf("%s:%d: rows: found %d; want a year of them", name, s.lastLine(), len(s.first))
	}
	if s.step == 0 {
		usual := usualMinutes(s.first)
		if usual == 0 && s.ended != nil && !errors.Is(s.ended, io.EOF) {
			return nil, s.ended
		}
		if usual == 0 || 60%usual != 0 {
			return nil, fmt.Errorf("%s:%d: step: the first rows are %d min apart; want an hour or a whole part of it", name, s.first[0].line, usual)
		}
		s.step = time.Duration(usual) * time.Minute
	}
	s.stepMin = int(s.step / time.Minute)
	if len(s.first) > 0 {
		s.phase = s.first[0].at.minute % s.stepMin
	}
	if s.label == LabelEnd && s.phase == 0 {
		s.phase = s.stepMin
	}
	return s, nil
}

// usualMinutes is the most frequent distance of rows, the shorter of two that are as frequent; 0 where none follow each other.
func usualMinutes(rows []dated) int {
	count := map[int]int{}
	usual := 0
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1].at, rows[i].at
		d := b.minute - a.minute
		if b.day != a.day || b.month != a.month {
			d += 1440
		}
		if d <= 0 {
			continue
		}
		count[d]++
		if n := count[d]; n > count[usual] || n == count[usual] && d < usual {
			usual = d
		}
	}
	return usual
}

func (s *stream) lastLine() int {
	if n := len(s.first); n > 0 {
		return s.first[n-1].line
	}
	return 1
}

// next gives the following row.
func (s *stream) next() (dated, error) {
	if len(s.first) > 0 {
		r := s.first[0]
		s.first = s.first[1:]
		return r, nil
	}
	if s.ended != nil {
		return dated{}, s.ended
	}
	return s.feed.next()
}

// slot is the place of a row in its year: the day, and the how manieth step of it.
func (s *stream) slot(r dated) (m moment, part int, err error) {
	m = r.at
	since := m.minute - s.phase
	if since%s.stepMin != 0 {
		return m, 0, fmt.Errorf("time: is %02d:%02d; want every %d min, as in the first rows", m.minute/60, m.minute%60, s.stepMin)
	}
	if since < 0 { // a label at midnight ends the day before
		m = m.dayBefore()
		since += 1440
	}
	if since >= 1440 { // 24:00 of a label that begins its step
		m = m.dayAfter()
		since -= 1440
	}
	return m, since / s.stepMin, nil
}

func (m moment) dayBefore() moment {
	if m.day > 1 {
		m.day--
		return m
	}
	m.month--
	if m.month == 0 {
		m.month = 12
		if m.year > 0 {
			m.year--
		}
	}
	m.day = monthDays(m.month)
	if m.month == 2 && !isLeap(m.year) {
		m.day = 28
	}
	return m
}

func (m moment) dayAfter() moment {
	last := monthDays(m.month)
	if m.month == 2 && !isLeap(m.year) {
		last = 28
	}
	if m.day < last {
		m.day++
		return m
	}
	m.day = 1
	if m.month++; m.month > 12 {
		m.month = 1
		if m.year > 0 {
			m.year++
		}
	}
	return m
}

// table begins a year of the file's rows.
func (s *stream) table() *table {
	t := &table{
		name: s.name, kind: s.kind, station: s.station, place: s.place, placeless: s.placeless, perHour: int(time.Hour / s.step), origin: s.has, trueYear: true,
	}
	if s.zoneless && !s.placeless {
		t.place.UTCOffset = time.Duration(math.Round(t.place.LonDeg/15)) * time.Hour
	}
	label := time.Duration(s.phase) * time.Minute
	t.timing = timing{zone: s.zone, label: label}
	switch s.label {
	case LabelEnd:
		t.rule = -s.step / 2
	case LabelStart:
		t.rule = s.step / 2
	case LabelInstant:
		t.rule, t.instant = s.offset, true
	}
	t.readAt = label
	if !t.instant {
		t.readAt, t.meanAir = label+t.rule, true
		t.windFrom = t.readAt - s.step/2
	} else if label == 0 {
		t.windFrom = -s.step // a reading on the hour stands for what came before, as in the formats with hours that end
	}
	t.notes = append([]Note(nil), s.notes...)
	for q := range t.columns {
		if s.has[q] {
			t.columns[q] = make([]float64, 0, 8784*t.perHour)
		}
	}
	t.lines = make([]int32, 0, 8784*t.perHour)
	return t
}
