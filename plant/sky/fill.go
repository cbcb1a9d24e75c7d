package sky

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"
)

const (
	shortGap   = 3 * time.Hour
	daysAround = 7
	// clearestUse is the clear sky's light under which a ratio to it says nothing.
	clearestUse = 20 // W/m²
	// darkZenithDeg is the true zenith angle at a row's middle beyond which no hour has any light.
	darkZenithDeg = 100
	mostGapErrors = 12
)

// gap is a run of rows without a value; it may run over the end of the year to its start.
type gap struct{ from, n int }

// fill closes the gaps of all columns. A column without any value is dropped, where the year can do without.
func (t *table) fill(suns []Sun, rule gapRule) error {
	var faults []fault
	for q := range t.columns {
		if t.columns[q] == nil {
			continue
		}
		gaps := gapsOf(t.columns[q])
		if len(gaps) == 1 && gaps[0].n == len(t.columns[q]) {
			t.columns[q], t.origin[q], t.empty[q] = nil, false, true
			continue
		}
		faults = append(faults, t.fillColumn(q, gaps, suns, rule)...)
	}
	if err := t.enough(rule); err != nil {
		return err
	}
	if t.columns[wind] == nil {
		t.columns[wind] = make([]float64, len(t.lines))
		t.note(0, "the file has no wind: 0 m/s is taken, so nothing will be stowed")
	}
	t.sayFilled()
	return t.gapError(faults, rule)
}

// gapRule says what is filled.
type gapRule struct {
	most   time.Duration // a longer gap is long
	long   bool          // long ones are filled too
	hasAir bool          // temperature comes from elsewhere
}

func (o ReadOptions) gaps() gapRule {
	r := gapRule{most: o.MostGap, long: o.FillLongGaps, hasAir: len(o.AirC) > 0}
	if r.most == 0 {
		r.most = shortGap
	}
	return r
}

// enough wants light and temperature.
func (t *table) enough(rule gapRule) error {
	switch {
	case t.columns[ghi] == nil && (t.columns[dni] == nil || t.empty[ghi]):
		return fmt.Errorf("%s:%d: GHI: has no value in any row; want at least global light and temperature", t.name, t.line(0))
	case t.columns[air] == nil && !rule.hasAir && t.empty[air]:
		return fmt.Errorf("%s:%d: dry bulb: has no value in any row; want at least global light and temperature", t.name, t.line(0))
	case t.columns[air] == nil && !rule.hasAir:
		return fmt.Errorf("%s:%d: dry bulb: the file has no temperature; want it given beside the file, as twelve monthly means or one value", t.name, t.line(0))
	}
	return nil
}

// fault is a gap that may not be filled.
type fault struct {
	quantity int
	gap
}

func (t *table) fillColumn(q int, gaps []gap, suns []Sun, rule gapRule) []fault {
	var faults []fault
	var dark, near, far counted
	old := t.columns[q]
	filled := append([]float64(nil), old...)
	for _, g := range gaps {
		lit := g.n
		if q <= dhi {
			lit = t.darken(filled, g, suns, &dark)
		}
		switch {
		case lit == 0:
		case time.Duration(lit)*t.step() <= rule.most:
			t.bridge(q, filled, g, suns, &near)
		case (rule.long || q == wind) && t.borrow(filled, old, g, &far):
		default:
			faults = append(faults, fault{q, g})
		}
	}
	t.columns[q] = filled
	along := ""
	if q <= dhi {
		along = " by their clear-sky index (Ineichen and Perez), along the clear sky's shape"
	} else if q == air {
		along = " along a straight line"
	}
	t.filled.add(q, dark, "while the sun is down, taken as 0")
	t.filled.add(q, near, "in short gaps, filled from their neighbours"+along)
	t.filled.add(q, far, fmt.Sprintf("in gaps of over %v h, filled with the mean of the same hour in the %d days before and after",
		rule.most.Hours(), daysAround))
	return faults
}

// fillings are what was filled, in which quantities.
type fillings []filling

type filling struct {
	counted
	names []string
	how   string
}

// add puts quantities that were filled alike together.
func (f *fillings) add(q int, c counted, how string) {
	if c.n == 0 {
		return
	}
	for i := range *f {
		if (*f)[i].counted == c && (*f)[i].how == how {
			(*f)[i].names = append((*f)[i].names, known[q].name)
			return
		}
	}
	*f = append(*f, filling{c, []string{known[q].name}, how})
}

func (t *table) sayFilled() {
	for _, f := range t.filled {
		line := t.line(f.first)
		t.noteRow(f.first, "%s: %d rows without a value %s; the first is line %d", strings.Join(f.names, ", "), f.n, f.how, line)
	}
}

// gapsOf finds the runs of NaN, circularly: the year follows itself.
func gapsOf(v []float64) []gap {
	n := len(v)
	start := 0
	for start < n && math.IsNaN(v[start]) {
		start++
	}
	if start == n {
		return []gap{{0, n}}
	}
	var gaps []gap
	for k := 0; k < n; k++ {
		i := (start + k) % n
		switch {
		case !math.IsNaN(v[i]):
		case math.IsNaN(v[(i-1+n)%n]):
			gaps[len(gaps)-1].n++
		default:
			gaps = append(gaps, gap{i, 1})
		}
	}
	return gaps
}

// darken sets the rows of a gap in which the sun is down to 0 and counts the others.
func (t *table) darken(v []float64, g gap, suns []Sun, dark *counted) (lit int) {
	for k := range g.n {
		i := (g.from + k) % len(v)
		if suns[i].ZenithDeg > darkZenithDeg {
			v[i] = 0
			dark.add(i)
		} else {
			lit++
		}
	}
	return lit
}

// bridge fills a short gap between its neighbours: readings along a straight line, light along the clear sky's shape.
func (t *table) bridge(q int, v []float64, g gap, suns []Sun, near *counted) {
	n := len(v)
	before, after := (g.from-1+n)%n, (g.from+g.n)%n
	for k := range g.n {
		i := (g.from + k) % n
		if !math.IsNaN(v[i]) {
			continue // dark
		}
		part := float64(k+1) / float64(g.n+1)
		if q <= dhi {
			v[i] = t.clear(q, suns[i]) * t.ratio(q, [2]float64{v[before], v[after]}, [2]Sun{suns[before], suns[after]}, part)
		} else {
			v[i] = v[before] + (v[after]-v[before])*part
		}
		near.add(i)
	}
}

// ratio is the light over the clear sky's at a place between two neighbours; one that says nothing is left out.
func (t *table) ratio(q int, v [2]float64, suns [2]Sun, part float64) float64 {
	sum, weight := 0., 0.
	for i, w := range []float64{1 - part, part} {
		if c := t.clear(q, suns[i]); c > clearestUse {
			sum += w * math.Min(1.2, v[i]/c)
			weight += w
		}
	}
	if weight == 0 {
		return 0
	}
	return sum / weight
}

func (t *table) clear(q int, s Sun) float64 {
	l := ClearSkyAt(t.place, s, ordinaryLinke)
	return [...]float64{l.GHI, l.DNI, l.DHI}[q]
}

// borrow fills a gap with the mean of the same hour in the days around; false if none of them has one.
func (t *table) borrow(v, old []float64, g gap, far *counted) bool {
	n, day := len(v), 24*t.perHour
	borrowed := make([]float64, g.n)
	for k := range borrowed {
		i := (g.from + k) % n
		sum, count := 0., 0.
		for d := -daysAround; d <= daysAround; d++ {
			if x := old[((i+d*day)%n+n)%n]; !math.IsNaN(x) {
				sum += x
				count++
			}
		}
		if count == 0 {
			return false
		}
		borrowed[k] = sum / count
	}
	for k, x := range borrowed {
		i := (g.from + k) % n
		if math.IsNaN(v[i]) {
			v[i] = x
			far.add(i)
		}
	}
	return true
}

// GapError is a run of rows without a value, too long to be filled unasked. [ReadOptions].FillLongGaps fills it.
type GapError struct {
	File         string
	Line, ToLine int
	Rows         int
	Quantities   []string // "GHI", "DNI", "DHI", "dry bulb"

	most time.Duration
}

func (e *GapError) Error() string {
	return fmt.Sprintf("%s:%d: %s: no value in %d rows, to line %d; want gaps of %v h at most, or let longer ones be filled from the %d days around",
		e.File, e.Line, strings.Join(e.Quantities, ", "), e.Rows, e.ToLine, e.most.Hours(), daysAround)
}

// gapError names the gaps that were not filled, those of the same rows together.
func (t *table) gapError(faults []fault, rule gapRule) error {
	var errs []error
	for len(faults) > 0 && len(errs) < mostGapErrors {
		g := faults[0].gap
		e := &GapError{File: t.fileOf(g.from), Line: t.line(g.from), ToLine: t.line((g.from + g.n - 1) % len(t.lines)), Rows: g.n, most: rule.most}
		var rest []fault
		for _, f := range faults {
			if f.gap == g {
				e.Quantities = append(e.Quantities, known[f.quantity].name)
			} else {
				rest = append(rest, f)
			}
		}
		faults = rest
		errs = append(errs, e)
	}
	if len(faults) > 0 {
		errs = append(errs, fmt.Errorf("%s: and %d more long gaps", t.name, len(faults)))
	}
	return errors.Join(errs...)
}
