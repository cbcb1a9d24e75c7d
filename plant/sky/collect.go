package sky

import (
	"errors"
	"fmt"
	"io"
	"math"
)

// tables hands out the years of files one by one; io.EOF after the last.
type tables interface {
	next() (*table, error)
}

// one is a file that is one year.
type one struct{ t *table }

func (o *one) next() (*table, error) {
	t := o.t
	if o.t = nil; t == nil {
		return nil, io.EOF
	}
	return t, nil
}

// collector puts the rows of streams that follow each other into years. Rows may be missing; none may be doubled or out of
// order. A year ends where its calendar year does, or in a typical year with December.
type collector struct {
	now     *stream
	more    func() (*stream, error) // the stream of the next file; io.EOF after the last
	pending *placed                 // the first row of the next year
	ended   bool
	last    placed // the row before
}

// placed is a row with its slot.
type placed struct {
	dated
	day  moment // of the slot
	part int
	in   *stream
}

// row gives the following row, of the next file where one ends.
func (c *collector) row() (placed, error) {
	if p := c.pending; p != nil {
		c.pending = nil
		return *p, nil
	}
	for {
		r, err := c.now.next()
		if errors.Is(err, io.EOF) {
			next, err := c.more()
			if err != nil {
				return placed{}, err
			}
			if err := next.like(c.now); err != nil {
				return placed{}, fmt.Errorf("%s: %w", next.name, err)
			}
			c.now = next
			continue
		}
		if err != nil {
			return placed{}, err
		}
		p := placed{dated: r, in: c.now}
		if p.day, p.part, err = c.now.slot(r); err != nil {
			return placed{}, fmt.Errorf("%s:%d: %w", c.now.name, r.line, err)
		}
		return p, nil
	}
}

// like wants files that can stand for one.
func (s *stream) like(o *stream) error {
	const near = 25 // km
	switch {
	case s.kind != o.kind:
		return fmt.Errorf("format: is %s, that of %s before it %s; want files of one kind", s.kind, o.name, o.kind)
	case s.step != o.step || s.phase != o.phase || s.label != o.label || s.offset != o.offset:
		return fmt.Errorf("times: rows of %v with the label %d min in, in %s before it %v and %d; want files alike", s.step, s.phase, o.name, o.step, o.phase)
	case s.zone != o.zone:
		return fmt.Errorf("clock: UTC%+g h, in %s before it UTC%+g h; want one clock", s.zone.Hours(), o.name, o.zone.Hours())
	case s.has != o.has:
		return fmt.Errorf("columns: has other quantities than %s before it; want files alike", o.name)
	case !s.placeless && s.place.distanceKM(o.place) > near:
		return fmt.Errorf("place: is %.0f km from that of %s before it; want files of one place", s.place.distanceKM(o.place), o.name)
	}
	return nil
}

// next collects one year.
func (c *collector) next() (*table, error) {
	if c.ended {
		return nil, io.EOF
	}
	var y *yearOf
	for {
		p, err := c.row()
		if errors.Is(err, io.EOF) {
			c.ended = true
			if y == nil {
				return nil, io.EOF
			}
			return y.done()
		}
		if err != nil {
			c.ended = true
			return nil, err
		}
		switch {
		case y == nil:
			y = begin(p)
		case y.over(p, c.last):
			c.pending = &p
			return y.done()
		}
		if err := y.add(p, c.last); err != nil {
			c.ended = true
			return nil, err
		}
		c.last = p
	}
}

// yearOf is a year in the making.
type yearOf struct {
	t      *table
	in     *stream
	perDay int
	march  bool // a row of March or later came, so the leap day is known
	mixed  bool // months of different years
}

func begin(p placed) *yearOf {
	t := p.in.table()
	t.year = p.day.year
	return &yearOf{t: t, in: p.in, perDay: 24 * t.perHour}
}

// over tells whether a row is of another year than the rows before it.
func (y *yearOf) over(p, last placed) bool {
	switch {
	case p.day.year == last.day.year:
		return p.day.month < last.day.month && p.day.year == 0
	case p.day.month <= last.day.month:
		return true
	case y.in.typical:
		return false
	}
	// Months of different years make a typical year where each is whole.
	return !(p.day.day == 1 && p.part == 0 && p.day.month == last.day.month+1 && last.part == y.perDay-1 &&
		(last.day.day == monthDays(last.day.month) || last.day.month == 2 && last.day.day == 28))
}

// add puts a row into its slot and counts those that were left out before it.
func (y *yearOf) add(p, last placed) error {
	t := y.t
	if p.day.year != t.year {
		y.mixed = true
	}
	fail := func(err error) error { return fmt.Errorf("%s:%d: %w", p.in.name, p.line, err) }
	if err := p.day.check(); err != nil {
		return fail(err)
	}
	y.leapDay(p, last)
	k := y.slot(p.day.month, p.day.day)*y.perDay + p.part
	n := len(t.lines)
	if k < n {
		return fail(fmt.Errorf("row: is %v; want one after %v of line %d: a row is doubled or out of order", p.at, last.at, last.line))
	}
	if p.in != y.in || n == 0 {
		if p.in != y.in && len(t.files) == 0 {
			t.files = []fileFrom{{y.in.name, 0}}
		}
		if p.in != y.in {
			t.files = append(t.files, fileFrom{p.in.name, k})
			y.in = p.in
		}
	}
	if k > n {
		t.absent = append(t.absent, gap{n, k - n})
		y.pad(k, max(1, last.line), p.line)
	}
	if err := t.take(row{values: p.values}, p.line); err != nil {
		return fail(err)
	}
	return nil
}

// pad fills up to slot k with rows that have no value.
func (y *yearOf) pad(k, lastLine, line int) {
	t := y.t
	if len(t.lines) == 0 {
		lastLine = line
	}
	for len(t.lines) < k {
		for q := range t.columns {
			if t.columns[q] != nil {
				t.columns[q] = append(t.columns[q], math.NaN())
			}
		}
		t.lines = append(t.lines, int32(lastLine))
	}
}

// leapDay finds out, with the first row from March on, whether the year has a 29 February: it came, or the calendar has it and
// rows around it are missing, or the file leaves it out as some do.
func (y *yearOf) leapDay(p, last placed) {
	t := y.t
	if p.day.month == 2 && p.day.day == 29 {
		t.leap = true
	}
	if y.march || p.day.month < 3 {
		return
	}
	y.march = true
	leftOut := last.day.month == 2 && last.day.day == 28 && len(t.lines) > 0
	t.leap = t.leap || isLeap(p.day.year) && p.day.year > 0 && !leftOut && !y.in.typical
}

// slot is the how manieth day of the year a date is, from 0.
func (y *yearOf) slot(month, day int) int {
	n := day - 1
	for m := 1; m < month; m++ {
		n += monthDays(m)
		if m == 2 && !y.t.leap {
			n--
		}
	}
	return n
}

// done closes the year.
func (y *yearOf) done() (*table, error) {
	t := y.t
	if y.mixed {
		t.year = 0
	}
	if n, want := len(t.lines), t.wanted(); n < want {
		t.absent = append(t.absent, gap{n, want - n})
		y.pad(want, t.line(n-1), 0)
	}
	if f, ok := y.in.feed.(interface{ told() []Note }); ok {
		t.notes = append(t.notes, f.told()...)
	}
	if y.mixed && !y.in.typical {
		t.note(0, "the months are of different years: they are taken for those of a typical year")
	}
	return t, nil
}
