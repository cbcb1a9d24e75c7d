package sky

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Most light that is physically possible, and that is rare: Long and Dutton, BSRN Global Network recommended QC tests, V2.0
// (2002); checks-sun.md 6.5. The least are -4 and -2 W/m² for all three.
const (
	leastPossibleWM2, leastRareWM2 = -4., -2.
	closedFromWM2                  = 50 // under it the parts are not held against each other
	lowSunDeg, lowestSunDeg        = 75, 93
)

// LimitsAt gives the highest light that is physically possible and the highest that is not extremely rare, W/m², at a cosine of
// the zenith angle with the sun's irradiance outside the air on a plane that faces it. Long and Dutton 2002.
func LimitsAt(cosZenith, normalWM2 float64) (possible, rare Light) {
	mu := math.Max(0, cosZenith)
	mu12 := math.Pow(mu, 1.2)
	possible = Light{GHI: 1.5*normalWM2*mu12 + 100, DNI: normalWM2, DHI: 0.95*normalWM2*mu12 + 50}
	rare = Light{GHI: 1.2*normalWM2*mu12 + 50, DNI: 0.95*normalWM2*math.Pow(mu, 0.2) + 10, DHI: 0.75*normalWM2*mu12 + 30}
	return possible, rare
}

// Closes tells whether global light and its parts agree, and whether diffuse light is no more than global, within the limits
// of Long and Dutton 2002: 8 % and 5 % at zenith angles under 75 deg, 15 % and 10 % up to 93. Where there is under 50 W/m² to
// compare with, or the sun is lower, both are true.
func Closes(l Light, zenithDeg float64) (parts, diffuse bool) {
	if zenithDeg >= lowestSunDeg {
		return true, true
	}
	off, most := 0.08, 1.05
	if zenithDeg >= lowSunDeg {
		off, most = 0.15, 1.10
	}
	sum := l.DHI + l.DNI*math.Max(0, math.Cos(rad(zenithDeg)))
	parts = !(sum > closedFromWM2) || math.Abs(l.GHI/sum-1) <= off
	diffuse = !(l.GHI > closedFromWM2) || l.DHI/l.GHI < most
	return parts, diffuse
}

// lowLight counts light under what a sound instrument shows at night.
func (t *table) lowLight(q int, v float64) {
	switch {
	case v < leastPossibleWM2:
		t.low[q][0].add(len(t.lines))
	case v < leastRareWM2:
		t.low[q][1].add(len(t.lines))
	}
}

// beyond are rows beyond a limit: how many, and the first.
type beyond struct {
	n     int
	first []int
}

const firstTold = 3

func (b *beyond) add(row int) {
	if b.n++; len(b.first) < firstTold {
		b.first = append(b.first, row)
	}
}

// quality counts the rows of a file that pass the published limits. It changes nothing.
type quality struct {
	possible, rare [3]beyond
	parts, diffuse beyond
}

// judge holds each row as the file has it, before anything is filled or made, against the limits. The mean of an interval is
// held against the limit of its highest sun, and its parts against each other only if the sun is up all the time.
func (t *table) judge(suns []Sun) quality {
	var q quality
	n := len(suns)
	all := t.origin[ghi] && t.origin[dni] && t.origin[dhi]
	for i, s := range suns {
		l, lit := t.lightOf(i)
		if !lit {
			continue
		}
		zenith, lowest := s.ZenithDeg, s.ZenithDeg
		if !t.instant { // the neighbours' suns are a step away, the ends of the interval half of one
			before, after := suns[(i-1+n)%n].ZenithDeg, suns[(i+1)%n].ZenithDeg
			zenith = math.Min(s.ZenithDeg, (s.ZenithDeg+math.Min(before, after))/2)
			lowest = (s.ZenithDeg + math.Max(before, after)) / 2
		}
		possible, rare := LimitsAt(math.Cos(rad(zenith)), ExtraterrestrialWM2(s.DistanceAU))
		values, most, usual := [3]float64{l.GHI, l.DNI, l.DHI}, [3]float64{possible.GHI, possible.DNI, possible.DHI}, [3]float64{rare.GHI, rare.DNI, rare.DHI}
		for k, v := range values {
			switch { // a missing value is NaN and passes neither
			case v > most[k]:
				q.possible[k].add(i)
			case v > usual[k]:
				q.rare[k].add(i)
			}
		}
		if all && (t.instant || lowest < 90) {
			parts, diffuse := Closes(l, s.ZenithDeg)
			if !parts {
				q.parts.add(i)
			}
			if !diffuse {
				q.diffuse.add(i)
			}
		}
	}
	return q
}

// lightOf is row i's light, NaN where the file has none, and whether there is any.
func (t *table) lightOf(i int) (Light, bool) {
	v := [3]float64{math.NaN(), math.NaN(), math.NaN()}
	lit := false
	for q := range v {
		if t.origin[q] {
			v[q] = t.columns[q][i]
			lit = lit || v[q] > 0
		}
	}
	return Light{GHI: v[ghi], DNI: v[dni], DHI: v[dhi]}, lit
}

// sayQuality tells what passes the limits, with the first rows.
func (t *table) sayQuality(q quality) {
	for k := range t.low {
		for rare, low := range t.low[k] {
			if low.n == 0 {
				continue
			}
			if rare == 0 {
				q.possible[k].merge(low)
			} else {
				q.rare[k].merge(low)
			}
		}
	}
	t.sayBeyond("more or less than is physically possible", q.possible)
	t.sayBeyond("extremely rare", q.rare)
	if q.parts.n > 0 {
		t.noteRow(q.parts.first[0], "quality limits (BSRN, Long and Dutton 2002): GHI and DHI + DNI cos z differ by more than 8 %% (15 %% with the sun under 15 deg) in %s; nothing is changed", t.rows(q.parts))
	}
	if q.diffuse.n > 0 {
		t.noteRow(q.diffuse.first[0], "quality limits (BSRN, Long and Dutton 2002): DHI is over GHI by more than 5 %% (10 %% with the sun under 15 deg) in %s; nothing is changed", t.rows(q.diffuse))
	}
}

// merge adds rows of which only the first is known.
func (b *beyond) merge(c counted) {
	b.n += c.n
	if len(b.first) < firstTold {
		b.first = append(b.first, c.first)
	} else if last := len(b.first) - 1; c.first < b.first[last] {
		b.first[last] = c.first
	}
	slices.Sort(b.first)
}

func (t *table) sayBeyond(what string, by [3]beyond) {
	var said []string
	first := -1
	for k, b := range by {
		if b.n == 0 {
			continue
		}
		said = append(said, known[k].name+" in "+t.rows(b))
		if first < 0 || b.first[0] < first {
			first = b.first[0]
		}
	}
	if first >= 0 {
		t.noteRow(first, "quality limits (BSRN, Long and Dutton 2002): light that is %s, %s; nothing is changed", what, strings.Join(said, ", "))
	}
}

// rows names rows by their lines: "3 rows (lines 12, 13, 99)".
func (t *table) rows(b beyond) string {
	lines := make([]string, len(b.first))
	for k, i := range b.first {
		lines[k] = fmt.Sprint(t.line(i))
		if file := t.fileOf(i); len(t.files) > 0 && (k == 0 || file != t.fileOf(b.first[k-1])) {
			lines[k] = file + " " + lines[k]
		}
	}
	switch {
	case b.n == 1:
		return "1 row (line " + lines[0] + ")"
	case b.n > len(lines):
		return fmt.Sprintf("%d rows (lines %s and on)", b.n, strings.Join(lines, ", "))
	}
	return fmt.Sprintf("%d rows (lines %s)", b.n, strings.Join(lines, ", "))
}
