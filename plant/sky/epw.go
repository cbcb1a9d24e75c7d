package sky

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

// epw reads the rows of an EPW file: the fields' places and missing codes are those of the EPW data dictionary of the US DOE
// weather format (Crawley, Hand and Lawrie 1999). The minute field is a matter of taste in hourly files; in files with
// more rows an hour it counts.
type epw struct{ perHour int }

// epwFields counts from 0. The missing code is any value from it up.
var epwFields = [quantities]struct {
	field   int
	name    string
	missing float64
}{
	ghi:  {13, "global horizontal radiation", 9999},
	dni:  {14, "direct normal radiation", 9999},
	dhi:  {15, "diffuse horizontal radiation", 9999},
	air:  {6, "dry bulb", 99.9},
	wind: {21, "wind speed", 999},
}

const epwLeast = 22 // fields up to the wind speed

// openEPW reads the header, whose first line was read already.
func openEPW(l *lines, first []byte) (*table, format, [quantities]bool, error) {
	has := [quantities]bool{true, true, true, true, true}
	t := &table{name: l.name, kind: "EPW"}
	head := words(first)
	if len(head) < 10 {
		return nil, nil, has, l.fail("LOCATION: has %d fields; want 10: city, state, country, source, station, latitude, longitude, UTC offset, elevation", len(head))
	}
	t.station = strings.Trim(head[1]+", "+head[3], "-, ")
	if err := t.place.from(head[6], head[7], head[8], head[9]); err != nil {
		return nil, nil, has, l.wrap(err)
	}
	// The other header lines are eight in all, but writers differ in what they call them; the last is the one to find.
	const mostHeaderLines = 24
	for l.at < mostHeaderLines {
		line, err := l.must("the line DATA PERIODS")
		if err != nil {
			return nil, nil, has, err
		}
		if !hasWord(line, "DATA PERIODS") {
			t.statedOffset(text(line), l.at)
			continue
		}
		t.perHour, err = epwPerHour(words(line))
		if err != nil {
			return nil, nil, has, l.wrap(err)
		}
		t.endOfInterval()
		return t, epw{t.perHour}, has, nil
	}
	return nil, nil, has, l.fail("header: no DATA PERIODS in %d lines; want it on line 8 of an EPW file", mostHeaderLines)
}

func epwPerHour(period []string) (int, error) {
	if len(period) < 3 {
		return 0, fmt.Errorf("DATA PERIODS: has %d fields; want the number of periods and of records an hour", len(period))
	}
	if n, ok := whole([]byte(period[1])); !ok || n != 1 {
		return 0, fmt.Errorf("DATA PERIODS: %s periods; want 1, a whole year", shown([]byte(period[1])))
	}
	n, ok := whole([]byte(period[2]))
	if !ok || n < 1 || n > 60 || 60%n != 0 {
		return 0, fmt.Errorf("DATA PERIODS: %s records an hour; want a divisor of 60", shown([]byte(period[2])))
	}
	return n, nil
}

func (f epw) row(cell [][]byte) (row, error) {
	var r row
	if len(cell) < epwLeast {
		return r, fmt.Errorf("row: has %d fields; want at least %d, up to the wind speed", len(cell), epwLeast)
	}
	var ok [4]bool
	r.year, _ = whole(cell[0])
	r.month, ok[0] = whole(cell[1])
	r.day, ok[1] = whole(cell[2])
	r.hour, ok[2] = whole(cell[3])
	minute, ok3 := whole(cell[4])
	ok[3] = ok3 || f.perHour == 1
	if ok != [4]bool{true, true, true, true} || r.month < 1 || r.month > 12 || r.day < 1 || r.day > monthDays(r.month) ||
		r.hour < 1 || r.hour > 24 || minute > 60 {
		return r, fmt.Errorf("time: %s; want year, month 1-12, day, hour 1-24, minute 0-60", shown(bytes.Join(cell[:5], []byte(","))))
	}
	part, err := f.part(minute)
	if err != nil {
		return r, err
	}
	r.part = part
	for q, k := range epwFields {
		v, err := value(cell[k.field], k.name)
		if err != nil {
			return r, err
		}
		switch {
		case v >= k.missing:
			v = math.Inf(-1)
		case q <= dhi && v > missingBelow:
			v *= float64(f.perHour) // Wh of a record -> W
		}
		r.values[q] = v
	}
	return r, nil
}

// part is which record of its hour a row is: its minutes are the end of the record, with 60 or 0 for the last.
func (f epw) part(minute int) (int, error) {
	if f.perHour == 1 {
		return 1, nil
	}
	every := 60 / f.perHour
	if minute == 0 {
		minute = 60
	}
	if minute%every != 0 {
		return 0, fmt.Errorf("minute: is %d; want multiples of %d with %d records an hour", minute, every, f.perHour)
	}
	return minute / every, nil
}

// hasWord reports whether a line begins with the word, in any case.
func hasWord(line []byte, word string) bool {
	line = bytes.TrimLeft(line, ` "`)
	return len(line) >= len(word) && strings.EqualFold(string(line[:len(word)]), word)
}

// endOfInterval is the rule of both TMY3 and EPW: light is the mean of the interval that ends at the label, temperature
// and wind are read at the label.
func (t *table) endOfInterval() {
	step := t.step()
	t.timing = timing{zone: t.place.UTCOffset, label: step, rule: -step / 2, readAt: step}
}

// statedOffset keeps what some writers say in a comment, as of labels in UTC, about where their light stands.
func (t *table) statedOffset(line string, at int) {
	_, said, ok := strings.Cut(line, "Irradiance Time Offset (h):")
	if !ok {
		return
	}
	said, _, _ = strings.Cut(said, ",")
	if h, ok := number([]byte(said)); ok && math.Abs(h) <= 1 {
		t.stated, t.statedAt = h, at
	}
}
