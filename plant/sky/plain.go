package sky

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"
)

// Plain says how a plain CSV file of weather is written: which columns it has, in which units, and what its labels mean.
// A column is called by its name in the header, or by its number from 1.
type Plain struct {
	// Time are the columns of the label: one with date and time; two, date and time of day; or three to five, year, month,
	// day, hour and minute.
	Time []string

	GHI, DNI, DHI, Air, Wind Column // at least GHI or DNI

	Label     Label     // where the label stands in a row's interval
	UTC       bool      // the labels' clock; false is local standard time
	Dates     DateOrder // 0: found out where the date leaves no doubt
	Decimal   byte      // '.' or ','; 0: found out
	Delimiter byte      // 0: found out
	Missing   []string  // texts that stand for no value, besides an empty cell and numbers from -99 down
}

// Column is a column of the file; the zero value is none.
type Column struct {
	Name string
	Unit Unit
}

// columnNames are what the columns are called here and in a scenario.
var columnNames = [quantities]string{"ghi", "dni", "dhi", "air", "wind"}

func (p Plain) columns() [quantities]Column {
	return [quantities]Column{p.GHI, p.DNI, p.DHI, p.Air, p.Wind}
}

// Check reports every fault of the form.
func (p Plain) Check() error {
	var faults []error
	require := func(ok bool, format string, a ...any) {
		if !ok {
			faults = append(faults, fmt.Errorf("columns: "+format, a...))
		}
	}
	require(len(p.Time) >= 1 && len(p.Time) <= 5, "the time has %d columns; want 1, or 2 (date, time of day), or 3 to 5 (year, month, day, hour, minute)", len(p.Time))
	require(!slices.Contains(p.Time, ""), "a column of the time has no name")
	require(p.GHI.Name != "" || p.DNI.Name != "", "no ghi and no dni; want at least one of them")
	require(p.Label >= LabelEnd && p.Label <= LabelInstant, "it is not said whether labels are an interval's start, end or middle, or an instant")
	require(p.Decimal == 0 || p.Decimal == '.' || p.Decimal == ',', "decimal sign %q; want a point or a comma", p.Decimal)
	require(p.Decimal == 0 || p.Decimal != p.Delimiter, "%q is both decimal sign and delimiter", p.Decimal)
	seen := map[string]string{}
	for q, c := range p.columns() {
		if c.Name == "" {
			continue
		}
		require(c.Unit.mul != 0, "%s has no unit", columnNames[q])
		require(!c.Unit.perStep || p.Label != LabelInstant, "%s is in %s, an energy, which an instant has not", columnNames[q], c.Unit)
		other, twice := seen[c.Name]
		require(!twice, "%s and %s are both %q", other, columnNames[q], c.Name)
		seen[c.Name] = columnNames[q]
	}
	return errors.Join(faults...)
}

// plain reads the rows.
type plain struct {
	Plain
	l         *lines
	delimiter byte
	decimal   byte
	time      []int
	column    [quantities]int
	perHour   int
	zone      time.Duration
	cell      [][]byte
	blanks    int
	held      []byte // a first row that was read with the header
	heldAt    int
	notes     []Note
}

// openPlain finds the header and the columns.
func openPlain(l *lines, p Plain, opt ReadOptions) (*stream, error) {
	f := &plain{Plain: p, l: l, delimiter: p.Delimiter, decimal: p.Decimal, perHour: 1}
	h := head{kind: "plain csv", station: l.name, placeless: true, label: p.Label}
	if !p.UTC {
		h.zone = zoneOf(opt.Axis.Start)
	}
	f.zone = h.zone
	if err := f.header(); err != nil {
		return nil, err
	}
	for q, c := range f.column {
		h.has[q] = c >= 0
	}
	s, err := h.open(l.name, f)
	if err != nil {
		return nil, err
	}
	f.perHour = int(time.Hour / s.step)
	for i := range s.first { // energies of the rows looked at, now that their step is known
		for q, c := range p.columns() {
			if c.Unit.perStep {
				s.first[i].values[q] *= float64(f.perHour)
			}
		}
	}
	return s, nil
}

// cut cuts a row at the delimiter, quotes taken off.
func (f *plain) cut(line []byte) [][]byte {
	if bytes.IndexByte(line, '"') < 0 {
		f.cell = cutBytes(line, f.delimiter, f.cell)
		return f.cell
	}
	f.cell = f.cell[:0]
	for _, w := range cutWords(text(line), rune(f.delimiter)) {
		f.cell = append(f.cell, []byte(w))
	}
	return f.cell
}

// next reads one row.
func (f *plain) next() (dated, error) {
	if line := f.held; line != nil {
		f.held = nil
		r, err := f.row(line)
		r.line = f.heldAt
		return r, err
	}
	line, err := f.l.row(&f.blanks)
	if err != nil {
		return dated{}, err
	}
	return f.row(line)
}

func (f *plain) row(line []byte) (dated, error) {
	r := dated{line: f.l.at}
	cells := f.cut(line)
	if least := max(slices.Max(f.time), slices.Max(f.column[:])); len(cells) <= least {
		return r, f.l.fail("row: has %d fields; want at least %d", len(cells), least+1)
	}
	var err error
	if r.at, err = f.moment(cells); err != nil {
		return r, f.l.wrap(err)
	}
	for q, c := range f.column {
		r.values[q] = math.Inf(-1)
		if c < 0 {
			continue
		}
		if r.values[q], err = f.value(cells[c], q); err != nil {
			return r, f.l.wrap(err)
		}
	}
	return r, nil
}

// value reads a number in the column's unit.
func (f *plain) value(cell []byte, q int) (float64, error) {
	cell = bytes.TrimSpace(cell)
	if len(cell) == 0 || slices.Contains(f.Missing, string(cell)) {
		return math.Inf(-1), nil
	}
	if f.decimal == 0 && bytes.ContainsAny(cell, ".,") {
		f.decimal = '.'
		if f.delimiter != ',' && bytes.IndexByte(cell, ',') >= 0 && bytes.IndexByte(cell, '.') < 0 {
			f.decimal = ','
			f.notes = append(f.notes, Note{Line: f.l.at, Text: fmt.Sprintf("%q has a comma: it is taken for the decimal sign of all values", cell)})
		}
	}
	plain := cell
	if f.decimal == ',' {
		if bytes.IndexByte(cell, '.') >= 0 {
			return 0, fmt.Errorf("%s: %s has a point beside the decimal comma; want a plain number", columnNames[q], shown(cell))
		}
		plain = bytes.Replace(slices.Clone(cell), []byte{','}, []byte{'.'}, 1)
	}
	v, ok := number(plain)
	if !ok {
		return 0, fmt.Errorf("%s: %s is not a number; want a plain decimal one, or its text listed as missing", columnNames[q], shown(cell))
	}
	if v <= missingBelow {
		return math.Inf(-1), nil
	}
	unit := f.columns()[q].Unit
	if v = unit.value(v, f.perHour); v <= missingBelow {
		return 0, fmt.Errorf("%s: is %s %s; want a value there can be", columnNames[q], cell, unit)
	}
	return v, nil
}

// told hands over what there is to tell, once.
func (f *plain) told() []Note {
	notes := f.notes
	f.notes = nil
	return notes
}
