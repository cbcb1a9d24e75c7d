package sky

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"time"
)

// tmy3 reads the rows of a TMY3 csv (Wilcox and Marion, NREL/TP-581-43156, 2008): columns are found by name.
type tmy3 struct {
	date, time int
	column     [quantities]int // -1 where the file has none
	names      [quantities]string
}

// tmy3Names are the column names without their unit, and the units that are understood.
var tmy3Names = [quantities]struct{ name, unit string }{
	ghi:  {"GHI", "W/m^2"},
	dni:  {"DNI", "W/m^2"},
	dhi:  {"DHI", "W/m^2"},
	air:  {"Dry-bulb", "C"},
	wind: {"Wspd", "m/s"},
}

// openTMY3 reads the two header lines, the first of which was read already.
func openTMY3(l *lines, first []byte) (*table, format, [quantities]bool, error) {
	var has [quantities]bool
	t := &table{name: l.name, kind: "TMY3", perHour: 1}
	head := words(first)
	if len(head) < 7 {
		return nil, nil, has, l.fail("header: has %d fields; want station, name, state, UTC offset, latitude, longitude, elevation", len(head))
	}
	t.station = strings.Trim(head[1]+", "+head[2], ", ")
	if err := t.place.from(head[4], head[5], head[3], head[6]); err != nil {
		return nil, nil, has, l.wrap(err)
	}
	names, err := l.must("the column names")
	if err != nil {
		return nil, nil, has, err
	}
	f, err := tmy3Columns(words(names))
	if err != nil {
		return nil, nil, has, l.wrap(err)
	}
	for q, c := range f.column {
		has[q] = c >= 0
	}
	t.endOfInterval()
	return t, f, has, nil
}

func tmy3Columns(names []string) (*tmy3, error) {
	f := &tmy3{date: -1, time: -1}
	var units [quantities]string
	take := func(i int, into *int) error {
		if *into >= 0 {
			return fmt.Errorf("columns: %q stands twice, %d and %d; want it once", names[i], *into+1, i+1)
		}
		*into = i
		return nil
	}
	for q := range f.column {
		f.column[q] = -1
	}
	for i, full := range names {
		name, unit, _ := strings.Cut(full, "(")
		name, unit = strings.TrimSpace(name), strings.TrimSuffix(strings.TrimSpace(unit), ")")
		var err error
		switch {
		case strings.EqualFold(name, "Date"):
			err = take(i, &f.date)
		case strings.EqualFold(name, "Time"):
			err = take(i, &f.time)
		default:
			for q, k := range tmy3Names {
				if strings.EqualFold(name, k.name) {
					err, units[q] = take(i, &f.column[q]), unit
				}
			}
		}
		if err != nil {
			return nil, err
		}
	}
	return f, f.check(units, len(names))
}

// check wants the columns without which there is no weather, in the units that are known.
func (f *tmy3) check(units [quantities]string, n int) error {
	need := func(column int, name string) error {
		if column < 0 {
			return fmt.Errorf("columns: no %q among %d; want the names of the TMY3 format", name, n)
		}
		return nil
	}
	for _, err := range []error{
		need(f.date, "Date (MM/DD/YYYY)"), need(f.time, "Time (HH:MM)"),
		need(f.column[ghi], "GHI (W/m^2)"), need(f.column[air], "Dry-bulb (C)"),
	} {
		if err != nil {
			return err
		}
	}
	for q, k := range tmy3Names {
		f.names[q] = k.name
		if f.column[q] >= 0 && !strings.EqualFold(units[q], k.unit) {
			return fmt.Errorf("columns: %s is in %q; want %s (%s)", k.name, units[q], k.name, k.unit)
		}
	}
	return nil
}

func (f *tmy3) row(cell [][]byte) (row, error) {
	var r row
	if least := max(f.date, f.time); len(cell) <= least {
		return r, fmt.Errorf("row: has %d fields; want at least %d", len(cell), least+1)
	}
	date := bytes.Split(bytes.TrimSpace(cell[f.date]), []byte("/"))
	var ok [3]bool
	if len(date) == 3 {
		r.month, ok[0] = whole(date[0])
		r.day, ok[1] = whole(date[1])
		r.year, ok[2] = whole(date[2])
	}
	if ok != [3]bool{true, true, true} || r.month < 1 || r.month > 12 || r.day < 1 || r.day > monthDays(r.month) {
		return r, fmt.Errorf("date: %s; want month/day/year", shown(cell[f.date]))
	}
	hour, ok24 := tmy3Hour(cell[f.time])
	if !ok24 {
		return r, fmt.Errorf("time: %s; want the end of an hour, 01:00 to 24:00", shown(cell[f.time]))
	}
	r.hour, r.part = hour, 1
	for q, c := range f.column {
		if c < 0 {
			continue
		}
		if c >= len(cell) {
			return r, fmt.Errorf("row: has %d fields; want %s in field %d", len(cell), f.names[q], c+1)
		}
		v, err := value(cell[c], f.names[q])
		if err != nil {
			return r, err
		}
		r.values[q] = v
	}
	return r, nil
}

// tmy3Hour reads "1:00", "24:00" and, after a spreadsheet, "24:00:00".
func tmy3Hour(cell []byte) (int, bool) {
	hour, rest, _ := bytes.Cut(bytes.TrimSpace(cell), []byte(":"))
	h, ok := whole(hour)
	return h, ok && h >= 1 && h <= 24 && (string(rest) == "00" || string(rest) == "00:00")
}

// value reads a number; an empty cell is a missing one.
func value(cell []byte, name string) (float64, error) {
	if len(bytes.TrimSpace(cell)) == 0 {
		return math.Inf(-1), nil
	}
	v, ok := number(cell)
	if !ok {
		return 0, fmt.Errorf("%s: %s is not a number; want a plain decimal one", name, shown(cell))
	}
	return v, nil
}

// from reads a place from header fields: degrees, degrees, hours, metres.
func (p *Place) from(lat, lon, zone, elevation string) error {
	var v [4]float64
	for i, f := range []struct{ what, text string }{
		{"latitude", lat}, {"longitude", lon}, {"UTC offset", zone}, {"elevation", elevation},
	} {
		n, ok := number([]byte(f.text))
		if !ok {
			return fmt.Errorf("%s: %s is not a number", f.what, shown([]byte(f.text)))
		}
		v[i] = n
	}
	if !(math.Abs(v[2]) <= 14) {
		return fmt.Errorf("UTC offset: is %g h; want -12 to 14", v[2])
	}
	*p = Place{LatDeg: v[0], LonDeg: v[1], ElevationM: v[3],
		UTCOffset: time.Duration(math.Round(v[2]*60)) * time.Minute}
	return nil
}
