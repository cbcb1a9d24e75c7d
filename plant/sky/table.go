package sky

import (
	"errors"
	"fmt"
	"io"
	"math"
	"time"
)

// The quantities of a weather file that are used, in the order of a row's values.
const (
	ghi = iota
	dni
	dhi
	air
	wind
	quantities
)

// quantity says how a quantity is called and what values a sound file can have; beyond them is a fault of the file, not
// weather. The highest hourly means on record stand near 1400 (global, at cloud edges) and 1100 W/m² (direct normal).
type quantity struct {
	name, unit    string
	lowest, above float64
}

var known = [quantities]quantity{
	ghi:  {"GHI", "W/m²", 0, 1800}, // of an hour; see highest
	dni:  {"DNI", "W/m²", 0, 1500},
	dhi:  {"DHI", "W/m²", 0, 1500},
	air:  {"dry bulb", "°C", -90, 70},
	wind: {"wind", "m/s", 0, 100},
}

// aboveMinute is the highest global light of a shorter mean: a minute at a cloud's edge has been seen with 1800 and more, and
// beyond 2150 is what Long and Dutton (2002) call impossible at any place.
const aboveMinute = 2150

func (t *table) highest(q int) float64 {
	if q == ghi && t.perHour > 1 {
		return aboveMinute
	}
	return known[q].above
}

// missingBelow is a value that no format uses as a measurement: -99, -999, -999.9 and -9900 all stand for none.
const missingBelow = -99

// stamp is a row's label: the end of its interval in local standard time. Parts counts from 1 to the rows of an hour.
type stamp struct{ month, day, hour, part int }

func (s stamp) String() string {
	name := fmt.Sprintf("%d %s hour %d", s.day, time.Month(s.month).String()[:3], s.hour)
	if s.part > 1 {
		name += fmt.Sprintf(" part %d", s.part)
	}
	return name
}

// row is one line of a weather file; a value that is missing is -Inf. Year is 0 where the file tells none.
type row struct {
	stamp
	year   int
	values [quantities]float64
}

// format reads the rows of one kind of file.
type format interface {
	// row reads one line. A fault is told without file and line.
	row(cell [][]byte) (row, error)
}

// table is a year of rows before it is put on a study's axis, without holes in time. Row k has the slot k of the file's
// own year: from its first instant on, one step long.
type table struct {
	name, kind, station string
	place               Place
	placeless           bool    // the file does not say where it is from
	perHour             int     // rows an hour
	year                int     // that the rows are of; 0 for a typical year
	leap                bool    // has a 29 February
	trueYear            bool    // the light is judged by the sun of the rows' own year
	stated              float64 // h: where a comment says that the light stands; read in line statedAt, 0 for none
	statedAt            int
	timing
	columns  [quantities][]float64 // NaN where missing; nil where the file has no such column
	origin   [quantities]bool      // the columns that the file has values in
	empty    [quantities]bool      // those without any value
	lines    []int32               // line of each row; of the one before where a row is not in the file
	files    []fileFrom            // nil for one file
	absent   []gap                 // slots that the file has no row for
	negative counted               // light a little below 0, taken as 0
	low      [3][2]counted         // light under the least that is possible, and under what is rare
	filled   fillings
	notes    []Note
}

// timing is where what a row says stands, counted from the start of its slot.
type timing struct {
	zone     time.Duration // what the labels' clock is ahead of UTC
	label    time.Duration // the label, from the start of the slot: 0 to a step
	rule     time.Duration // the light by the format's rule, from the label
	readAt   time.Duration // the reading of temperature
	meanAir  bool          // temperature is a mean of the interval, too
	windFrom time.Duration // from where on the wind holds for a step
	instant  bool          // light is of an instant, not the mean of an interval
}

// fileFrom is a file of several and its first row.
type fileFrom struct {
	name string
	row  int
}

// line is the line of row i.
func (t *table) line(i int) int { return int(t.lines[i]) }

// fileOf is the file of row i.
func (t *table) fileOf(i int) string {
	name := t.name
	for _, f := range t.files {
		if f.row <= i {
			name = f.name
		}
	}
	return name
}

// counted counts rows of a kind and keeps the first.
type counted struct{ n, first int }

func (c *counted) add(row int) {
	if c.n == 0 {
		c.first = row
	}
	c.n++
}

func (t *table) note(line int, format string, a ...any) {
	t.notes = append(t.notes, Note{Line: line, Text: fmt.Sprintf(format, a...)})
}

// noteRow notes something of row i.
func (t *table) noteRow(i int, format string, a ...any) {
	n := Note{Line: t.line(i), Text: fmt.Sprintf(format, a...)}
	if len(t.files) > 0 {
		n.File = t.fileOf(i)
	}
	t.notes = append(t.notes, n)
}

// step is what one row stands for.
func (t *table) step() time.Duration { return time.Hour / time.Duration(t.perHour) }

// readRows reads all rows after the header and checks that they follow each other from 1 January to 31 December.
func (t *table) readRows(l *lines, f format, has [quantities]bool) error {
	for q := range has {
		if has[q] {
			t.columns[q] = make([]float64, 0, 8784*t.perHour)
		}
	}
	t.lines = make([]int32, 0, 8784*t.perHour)
	t.origin = has
	var cell [][]byte
	want, done, blanks := stamp{1, 1, 1, 1}, false, 0
	for {
		line, err := l.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		if blank(line) {
			if blanks++; blanks > mostBlanks {
				return l.fail("rows: over %d blank lines; want rows of numbers", mostBlanks)
			}
			continue
		}
		if done {
			return t.tooLong(l)
		}
		cell = cells(line, cell)
		r, err := f.row(cell)
		if err != nil {
			return l.wrap(err)
		}
		if want, done, err = t.follow(r.stamp, want); err != nil {
			return l.wrap(err)
		}
		t.ofYear(r.year)
		if err := t.take(r, l.at); err != nil {
			return l.wrap(err)
		}
	}
	if !done {
		return t.tooShort(l)
	}
	return nil
}

// follow checks that a row is the one wanted, and says which comes next, or that the year is whole.
func (t *table) follow(got, want stamp) (next stamp, done bool, err error) {
	if want == (stamp{2, 29, 1, 1}) && got == (stamp{3, 1, 1, 1}) {
		want = got
	}
	if got != want {
		n := len(t.lines)
		if n == 0 {
			return got, false, fmt.Errorf("first row: is %v; want %v, the start of a year", got, want)
		}
		return got, false, fmt.Errorf("row: is %v; want %v after row %d (line %d): a row is missing, doubled or out of order",
			got, want, n, t.line(n-1))
	}
	t.leap = t.leap || got.month == 2 && got.day == 29
	switch next = got; {
	case got.part < t.perHour:
		next.part++
	case got.hour < 24:
		next.hour, next.part = got.hour+1, 1
	case got.day < monthDays(got.month):
		next.day, next.hour, next.part = got.day+1, 1, 1
	default:
		next = stamp{got.month + 1, 1, 1, 1}
	}
	return next, next.month > 12, nil
}

// ofYear takes the year of the table from a row: that of all rows, or none.
func (t *table) ofYear(year int) {
	switch {
	case len(t.lines) == 0:
		t.year = year
	case year != t.year:
		t.year = 0
	}
}

// take checks and stores a row's values.
func (t *table) take(r row, line int) error {
	small := false
	for q, v := range r.values {
		if t.columns[q] == nil {
			continue
		}
		k := known[q]
		v += 0 // -0 -> 0
		switch {
		case v <= missingBelow:
			v = math.NaN()
		case q <= dhi && v < 0:
			t.lowLight(q, v)
			small, v = true, 0
		case v < k.lowest || v > t.highest(q):
			return fmt.Errorf("%s: is %g %s; want %g to %g", k.name, v, k.unit, k.lowest, t.highest(q))
		}
		t.columns[q] = append(t.columns[q], v)
	}
	if small {
		t.negative.add(len(t.lines))
	}
	t.lines = append(t.lines, int32(line))
	return nil
}

// mostBlanks bounds the empty lines of a file, so that reading ends.
const mostBlanks = 1000

// wanted is how many rows the year has.
func (t *table) wanted() int {
	if t.leap {
		return 8784 * t.perHour
	}
	return 8760 * t.perHour
}

func (t *table) tooShort(l *lines) error {
	n := len(t.lines)
	last := "none"
	if n > 0 {
		last = fmt.Sprintf("the last on line %d", t.line(n-1))
	}
	return l.fail("rows: found %d, %s; want %d, to 31 Dec hour 24", n, last, t.wanted())
}

// tooLong counts on to the end, but not through an endless file.
func (t *table) tooLong(l *lines) error {
	first, found, over := l.at, len(t.lines)+1, ""
	for most := l.at + 3*t.wanted(); ; {
		line, err := l.next()
		if err != nil {
			break
		}
		if !blank(line) {
			found++
		}
		if l.at > most {
			over = "more than "
			break
		}
	}
	return fmt.Errorf("%s:%d: rows: found %s%d; want %d, the last of 31 Dec hour 24 on line %d",
		t.name, first, over, found, t.wanted(), t.line(len(t.lines)-1))
}

func blank(line []byte) bool {
	for _, c := range line {
		if c != ' ' && c != '\t' && c != ',' && c != 0x1a { // 0x1a ended files once
			return false
		}
	}
	return true
}

func monthDays(month int) int {
	return [...]int{31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month-1]
}
