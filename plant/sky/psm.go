package sky

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"
)

// psmNames are the columns of an NSRDB PSM csv, and the names of their units in its first line. Values are instants at the label
// (Sengupta et al., Renewable and Sustainable Energy Reviews 89 (2018); checks-sun.md 6.4).
var psmNames = [quantities]struct{ name, unit string }{
	ghi: {"GHI", "w/m2"}, dni: {"DNI", "w/m2"}, dhi: {"DHI", "w/m2"}, air: {"Temperature", "c"}, wind: {"Wind Speed", "m/s"},
}

// psm reads the rows of an NSRDB PSM csv.
type psm struct {
	l      *lines
	stamp  [5]int // year, month, day, hour, minute
	column [quantities]int
	cell   [][]byte
	blanks int
}

var psmStamp = [5]string{"Year", "Month", "Day", "Hour", "Minute"}

// openPSM reads the three header lines, the first of which was read already.
func openPSM(l *lines, first []byte) (*stream, error) {
	keys := words(first)
	line, err := l.must("the values of its first line")
	if err != nil {
		return nil, err
	}
	said := map[string]string{}
	for i, v := range words(line) {
		if i < len(keys) && keys[i] != "" {
			said[keys[i]] = v
		}
	}
	h := head{kind: "NSRDB PSM", label: LabelInstant, typical: true}
	if h.station = strings.Trim(said["City"]+", "+said["State"], "-, "); h.station == "" && said["Location ID"] != "" {
		h.station = "location " + said["Location ID"]
	}
	if err := h.psmPlace(said); err != nil {
		return nil, l.wrap(err)
	}
	if line, err = l.must("the column names"); err != nil {
		return nil, err
	}
	f := &psm{l: l}
	if err := f.columns(words(line), said); err != nil {
		return nil, l.wrap(err)
	}
	for q, c := range f.column {
		h.has[q] = c >= 0
	}
	return h.open(l.name, f)
}

// psmPlace reads place and clocks. "Time Zone" is that of the labels, "Local Time Zone" the site's.
func (h *head) psmPlace(said map[string]string) error {
	local, ok := said["Local Time Zone"]
	if !ok {
		local = said["Time Zone"]
	}
	if err := h.place.from(said["Latitude"], said["Longitude"], local, said["Elevation"]); err != nil {
		return err
	}
	zone, ok := number([]byte(said["Time Zone"]))
	if !ok || math.Abs(zone) > 14 {
		return fmt.Errorf("time zone: is %s; want hours ahead of UTC", shown([]byte(said["Time Zone"])))
	}
	h.zone = time.Duration(math.Round(zone*60)) * time.Minute
	return nil
}

func (f *psm) columns(names []string, said map[string]string) error {
	for i := range f.stamp {
		f.stamp[i] = -1
	}
	for q := range f.column {
		f.column[q] = -1
	}
	take := func(i int, name, want string, into *int) error {
		switch {
		case !strings.EqualFold(name, want):
		case *into >= 0:
			return fmt.Errorf("columns: %q stands twice, %d and %d; want it once", name, *into+1, i+1)
		default:
			*into = i
		}
		return nil
	}
	for i, name := range names {
		for k, want := range psmStamp {
			if err := take(i, name, want, &f.stamp[k]); err != nil {
				return err
			}
		}
		for q, want := range psmNames {
			if err := take(i, name, want.name, &f.column[q]); err != nil {
				return err
			}
		}
	}
	for k, want := range psmStamp {
		if f.stamp[k] < 0 {
			return fmt.Errorf("columns: no %q among %d; want Year, Month, Day, Hour and Minute", want, len(names))
		}
	}
	if f.column[ghi] < 0 && f.column[dni] < 0 {
		return fmt.Errorf("columns: no %q and no %q among %d; want light", psmNames[ghi].name, psmNames[dni].name, len(names))
	}
	for q, want := range psmNames {
		unit, told := said[want.name+" Units"]
		if f.column[q] >= 0 && told && unit != "" && !strings.EqualFold(unit, want.unit) {
			return fmt.Errorf("columns: %s is in %q; want %s", want.name, unit, want.unit)
		}
	}
	return nil
}

// next reads one row.
func (f *psm) next() (dated, error) {
	line, err := f.l.row(&f.blanks)
	if err != nil {
		return dated{}, err
	}
	f.cell = cells(line, f.cell)
	r := dated{line: f.l.at}
	var stamp [5]int
	for k, c := range f.stamp {
		if c >= len(f.cell) {
			return r, f.l.fail("row: has %d fields; want %s in field %d", len(f.cell), psmStamp[k], c+1)
		}
		v, ok := whole(f.cell[c])
		if !ok {
			return r, f.l.fail("%s: %s is not a whole number", strings.ToLower(psmStamp[k]), shown(f.cell[c]))
		}
		stamp[k] = v
	}
	if stamp[3] > 23 || stamp[4] > 59 {
		return r, f.l.fail("time: is %02d:%02d; want hour 0 to 23 and minute 0 to 59", stamp[3], stamp[4])
	}
	r.at = moment{stamp[0], stamp[1], stamp[2], 60*stamp[3] + stamp[4]}
	if err := r.at.check(); err != nil {
		return r, f.l.wrap(err)
	}
	for q, c := range f.column {
		r.values[q] = math.Inf(-1)
		if c < 0 {
			continue
		}
		if c >= len(f.cell) {
			return r, f.l.fail("row: has %d fields; want %s in field %d", len(f.cell), psmNames[q].name, c+1)
		}
		if r.values[q], err = value(f.cell[c], psmNames[q].name); err != nil {
			return r, f.l.wrap(err)
		}
	}
	return r, nil
}

// row gives the next line that is not blank, of which there may not be too many.
func (l *lines) row(blanks *int) ([]byte, error) {
	for {
		line, err := l.next()
		if err != nil || !blank(line) {
			return line, err
		}
		if *blanks++; *blanks > mostBlanks {
			return nil, l.fail("rows: over %d blank lines; want rows of numbers", mostBlanks)
		}
	}
}

// isEnd tells the end of a file.
func isEnd(err error) bool { return errors.Is(err, io.EOF) }
