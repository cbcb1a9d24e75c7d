package sky

import (
	"bytes"
	"math"
	"time"
)

// bsrn reads the minutes of BSRN station-to-archive text: logical record 0100 (global, direct, diffuse, temperature) of one or
// several months, each of which begins with record 0001. König-Langlo et al., GCOS-174, WCRP report 24/2013, table A1. Labels are
// UTC and begin their minute (value from memory; it moves light by half a minute).
type bsrn struct {
	l           *lines
	year, month int
	place       Place
	placed      bool
	cell        [][]byte
	inRows      bool
	blanks      int
	skipped     int
}

const (
	bsrnFirstFields, bsrnSecondFields = 10, 9
	// bsrnMostSkipped is more than the other records of a month have; a file with more lines between rows is none.
	bsrnMostSkipped = 2_000_000
)

// bsrnFields are the place of a quantity's mean in the first or the second line of a minute. A missing value is -999 or -99.9.
var bsrnFields = [quantities]struct {
	second bool
	field  int
	name   string
}{ghi: {false, 2, "global"}, dni: {false, 6, "direct"}, dhi: {true, 0, "diffuse"}, air: {true, 8, "air temperature"}}

// isRecord tells the head of a logical record, *C0001 (changed) or *U0001 (unchanged).
func isRecord(line []byte) bool {
	if len(line) < 6 || line[0] != '*' || line[1] != 'C' && line[1] != 'U' {
		return false
	}
	_, ok := whole(line[2:6])
	return ok
}

// openBSRN reads up to the first minute.
func openBSRN(l *lines, first []byte) (*stream, error) {
	f := &bsrn{l: l}
	if err := f.record(first); err != nil {
		return nil, err
	}
	for !f.inRows {
		line, err := f.line()
		if isEnd(err) {
			return nil, l.fail("records: no *C0100; want the minutes of logical record 0100")
		}
		if err != nil {
			return nil, err
		}
		if isRecord(line) {
			if err := f.record(line); err != nil {
				return nil, err
			}
		}
	}
	h := head{kind: "BSRN", place: f.place, placeless: !f.placed, zoneless: true, step: time.Minute, label: LabelStart}
	h.has = [quantities]bool{ghi: true, dni: true, dhi: true, air: true}
	return h.open(l.name, f)
}

// line gives the next line, of those that are passed over not for ever.
func (f *bsrn) line() ([]byte, error) {
	line, err := f.l.next()
	if f.skipped++; f.skipped > bsrnMostSkipped {
		return nil, f.l.fail("records: %d lines without a minute of record 0100; want a station-to-archive file", bsrnMostSkipped)
	}
	return line, err
}

// record begins a logical record, whose head was read.
func (f *bsrn) record(headLine []byte) error {
	f.inRows = false
	switch string(headLine[2:6]) {
	case "0001":
		line, err := f.l.must("the station and month of record 0001")
		if err != nil {
			return err
		}
		f.cell = blankCells(line, f.cell)
		var ok [2]bool
		if len(f.cell) >= 3 {
			f.month, ok[0] = whole(f.cell[1])
			f.year, ok[1] = whole(f.cell[2])
		}
		if ok != [2]bool{true, true} || f.month < 1 || f.month > 12 || f.year < firstYear || f.year > lastYear {
			return f.l.fail("record 0001: %s; want station, month, year and version", shown(line))
		}
	case "0004":
		return f.station()
	case "0100":
		if f.month == 0 {
			return f.l.fail("record 0100: no record 0001 before it; want the month")
		}
		f.inRows = true
	}
	return nil
}

// station reads the place of record 0004, the sixth line after its head: degrees from the South Pole and from the date line.
func (f *bsrn) station() error {
	const placeLine = 6
	for k := 1; ; k++ {
		line, err := f.l.must("the place of record 0004")
		if err != nil {
			return err
		}
		if k == 1 && isRecord(line) { // unchanged since the file before
			return f.record(line)
		}
		if isRecord(line) {
			return f.l.fail("record 0004: ends with %d lines; want latitude, longitude and altitude in line %d", k-1, placeLine)
		}
		if k < placeLine {
			continue
		}
		f.cell = blankCells(line, f.cell)
		var v [3]float64
		ok := len(f.cell) >= 3
		for i := range v {
			if ok {
				v[i], ok = number(f.cell[i])
			}
		}
		if !ok || v[0] < 0 || v[0] > 180 || v[1] < 0 || v[1] > 360 {
			return f.l.fail("record 0004: %s; want latitude 0 to 180 deg from the South Pole, longitude 0 to 360 from 180 W, altitude", shown(line))
		}
		f.place, f.placed = Place{LatDeg: v[0] - 90, LonDeg: v[1] - 180, ElevationM: v[2]}, true
		return nil
	}
}

// next reads the two lines of a minute.
func (f *bsrn) next() (dated, error) {
	for {
		line, err := f.line()
		if err != nil {
			return dated{}, err // the end among them
		}
		switch {
		case isRecord(line):
			if err := f.record(line); err != nil {
				return dated{}, err
			}
		case f.inRows && blank(line):
			if f.blanks++; f.blanks > mostBlanks {
				return dated{}, f.l.fail("rows: over %d blank lines; want rows of numbers", mostBlanks)
			}
		case f.inRows:
			f.skipped = 0
			return f.minute(line)
		}
	}
}

func (f *bsrn) minute(line []byte) (dated, error) {
	r := dated{line: f.l.at}
	f.cell = blankCells(line, f.cell)
	if len(f.cell) < bsrnFirstFields {
		return r, f.l.fail("row: has %d fields; want %d: day, minute, and global and direct light as mean, deviation, least and most", len(f.cell), bsrnFirstFields)
	}
	day, ok := whole(f.cell[0])
	minute, ok2 := whole(f.cell[1])
	if !ok || !ok2 || minute > 1439 {
		return r, f.l.fail("row: day %s, minute %s; want the day of the month and the minute of the day, 0 to 1439", shown(f.cell[0]), shown(f.cell[1]))
	}
	r.at = moment{f.year, f.month, day, minute}
	if err := r.at.check(); err != nil {
		return r, f.l.wrap(err)
	}
	for q := range r.values {
		r.values[q] = math.Inf(-1)
	}
	if err := f.values(&r, false); err != nil {
		return r, err
	}
	line, err := f.l.must("the second line of a minute")
	if err != nil {
		return r, err
	}
	if f.cell = blankCells(line, f.cell); len(f.cell) < bsrnSecondFields {
		return r, f.l.fail("row: its second line has %d fields; want %d: diffuse and long-wave light as mean, deviation, least and most, temperature", len(f.cell), bsrnSecondFields)
	}
	return r, f.values(&r, true)
}

// values reads what stands in a minute's first or second line.
func (f *bsrn) values(r *dated, second bool) error {
	for q, k := range bsrnFields {
		if k.name == "" || k.second != second {
			continue
		}
		v, err := value(f.cell[k.field], k.name)
		if err != nil {
			return f.l.wrap(err)
		}
		if v > missingBelow {
			r.values[q] = v
		}
	}
	return nil
}

// blankCells cuts a line at its blanks.
func blankCells(line []byte, into [][]byte) [][]byte {
	into = into[:0]
	for {
		line = bytes.TrimLeft(line, " \t")
		if len(line) == 0 {
			return into
		}
		i := bytes.IndexAny(line, " \t")
		if i < 0 {
			return append(into, line)
		}
		into = append(into, line[:i])
		line = line[i:]
	}
}
