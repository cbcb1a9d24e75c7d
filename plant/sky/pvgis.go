package sky

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"time"
)

// pvgisNames are the columns of a typical year of the European Commission's PVGIS (JRC, user manual; checks-sun.md 6.3), and in json
// its keys. Labels are UTC; light is of the instant at the label and the stated offset, the rest at the label.
var pvgisNames = [quantities]string{ghi: "G(h)", dni: "Gb(n)", dhi: "Gd(h)", air: "T2m", wind: "WS10m"}

const (
	pvgisTime      = "time(UTC)"
	pvgisMostHead  = 60
	widestInstantH = 1
)

func pvgisHead() head {
	return head{kind: "PVGIS", zoneless: true, step: time.Hour, label: LabelInstant, typical: true}
}

// lightAt sets where the light stands by the file's own word.
func (h *head) lightAt(offsetH float64, told bool, line int) error {
	if !told {
		h.notes = append(h.notes, Note{Line: line, Text: "the file does not say where in the hour its light stands, as older ones do not: it is taken at the label"})
		return nil
	}
	if !(math.Abs(offsetH) <= widestInstantH) {
		return fmt.Errorf("irradiance time offset: is %g h; want -1 to 1", offsetH)
	}
	h.offset = time.Duration(math.Round(offsetH*3600)) * time.Second
	return nil
}

// pvgis reads the rows of the csv.
type pvgis struct {
	l      *lines
	time   int
	column [quantities]int
	cell   [][]byte
	rows   int
}

// openPVGIS reads the header, whose first line was read already.
func openPVGIS(l *lines, first []byte) (*stream, error) {
	h := pvgisHead()
	var at [4]float64
	var told [4]bool
	keys := [4]string{"Latitude (decimal degrees)", "Longitude (decimal degrees)", "Elevation (m)", "Irradiance Time Offset (h)"}
	for line := first; ; {
		for k, key := range keys {
			if said, ok := strings.CutPrefix(text(line), key+":"); ok {
				v, ok := number([]byte(said))
				if !ok {
					return nil, l.fail("%s: %s is not a number", strings.ToLower(key), shown([]byte(said)))
				}
				at[k], told[k] = v, true
			}
		}
		if hasWord(line, "time") {
			break
		}
		if l.at > pvgisMostHead {
			return nil, l.fail("header: no %s in %d lines; want a typical year as csv", pvgisTime, l.at)
		}
		var err error
		if line, err = l.must("the column names"); err != nil {
			return nil, err
		}
		first = line
	}
	for k, key := range keys[:3] {
		if !told[k] {
			return nil, l.fail("header: no line %q; want the place", key+":")
		}
	}
	h.place = Place{LatDeg: at[0], LonDeg: at[1], ElevationM: at[2]}
	if err := h.lightAt(at[3], told[3], l.at); err != nil {
		return nil, l.wrap(err)
	}
	f := &pvgis{l: l}
	if err := f.columns(words(first)); err != nil {
		return nil, l.wrap(err)
	}
	for q, c := range f.column {
		h.has[q] = c >= 0
	}
	return h.open(l.name, f)
}

func (f *pvgis) columns(names []string) error {
	f.time = -1
	for q := range f.column {
		f.column[q] = -1
	}
	for i, name := range names {
		if strings.EqualFold(name, pvgisTime) {
			f.time = i
		}
		for q, want := range pvgisNames {
			if name == want {
				f.column[q] = i
			}
		}
	}
	for _, want := range []struct {
		column int
		name   string
	}{{f.time, pvgisTime}, {f.column[ghi], pvgisNames[ghi]}, {f.column[air], pvgisNames[air]}} {
		if want.column < 0 {
			return fmt.Errorf("columns: no %q among %d; want a typical year, with time in UTC and light on the horizontal", want.name, len(names))
		}
	}
	return nil
}

// next reads one row. The first blank line ends them; a legend follows.
func (f *pvgis) next() (dated, error) {
	line, err := f.l.next()
	if err != nil {
		return dated{}, err
	}
	if blank(line) || f.rows > 0 && !isDigit(line[0]) {
		return dated{}, io.EOF
	}
	f.cell = cells(line, f.cell)
	r := dated{line: f.l.at}
	if len(f.cell) <= f.time {
		return r, f.l.fail("row: has %d fields; want at least %d", len(f.cell), f.time+1)
	}
	if r.at, err = pvgisMoment(f.cell[f.time]); err != nil {
		return r, f.l.wrap(err)
	}
	for q, c := range f.column {
		r.values[q] = math.Inf(-1)
		if c < 0 {
			continue
		}
		if c >= len(f.cell) {
			return r, f.l.fail("row: has %d fields; want %s in field %d", len(f.cell), pvgisNames[q], c+1)
		}
		if r.values[q], err = value(f.cell[c], pvgisNames[q]); err != nil {
			return r, f.l.wrap(err)
		}
	}
	f.rows++
	return r, nil
}

// pvgisMoment reads "20180101:0000".
func pvgisMoment(cell []byte) (moment, error) {
	cell = bytes.TrimSpace(cell)
	var m moment
	bad := fmt.Errorf("time: %s; want year, month, day and time as 20180101:0000", shown(cell))
	if len(cell) != 13 || cell[8] != ':' {
		return m, bad
	}
	var ok [5]bool
	var hour, minute int
	m.year, ok[0] = whole(cell[:4])
	m.month, ok[1] = whole(cell[4:6])
	m.day, ok[2] = whole(cell[6:8])
	hour, ok[3] = whole(cell[9:11])
	minute, ok[4] = whole(cell[11:])
	if ok != [5]bool{true, true, true, true, true} || minute > 59 {
		return m, bad
	}
	m.minute = 60*hour + minute
	return m, m.check()
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
