package sky

import (
	"fmt"
	"math"
	"time"

	"noonkeep/plant/clock"
)

// onto puts a whole table on the study's axis. Light goes to where it stands, readings stay at their labels.
func (t *table) onto(opt ReadOptions, offset time.Duration) Year {
	y := Year{Place: t.place, Axis: opt.Axis, Source: t.kind, Measured: t.year, RowStep: t.step(), Notes: t.notes}
	if t.station != "" {
		y.Source = t.station + " (" + t.kind + ")"
	}
	move := zoneOf(opt.Axis.Start) - t.zone
	y.Place.UTCOffset = zoneOf(opt.Axis.Start)
	if opt.Place != nil {
		if !t.placeless {
			y.sayPlace(*opt.Place)
		}
		y.Place = *opt.Place
	}
	if move != 0 {
		around := ""
		if t.year > 0 {
			around = "; over the turn of the year its own other end stands for the hours that are of the next"
		}
		y.note(0, "the file's clock is UTC%+g h, the study's UTC%+g h: its rows are moved by %s%s",
			t.zone.Hours(), zoneOf(opt.Axis.Start).Hours(), minutes(move), around)
	}
	m := mapping{table: t, axis: opt.Axis, move: move}
	m.days(&y)
	y.WindMS = m.readings(wind)
	y.LightOffset = m.light(&y, offset)
	y.Suns = Suns(y.Place, y.Axis, y.LightOffset)
	switch {
	case t.columns[air] == nil:
		y.airGiven(opt.AirC)
	case len(opt.AirC) > 0:
		y.note(0, "the file has its own temperature: the one given beside it has no effect")
		fallthrough
	default:
		y.AirC = m.readings(air)
	}
	return y
}

func (y *Year) sayPlace(site Place) {
	const near = 25 // km
	if d := y.Place.distanceKM(site); d > near {
		y.note(1, "the file is from %.0f km away (%.3f, %.3f); its sun runs %+.0f min against the site's, whose sun is taken",
			d, y.Place.LatDeg, y.Place.LonDeg, 4*math.Remainder(y.Place.LonDeg-site.LonDeg, 360))
	}
	if d := y.Place.ElevationM - site.ElevationM; math.Abs(d) > 300 {
		y.note(1, "the file's place lies %.0f m %s than the site: its air is other air", math.Abs(d), map[bool]string{true: "higher", false: "lower"}[d > 0])
	}
}

// mapping finds the file's row for any time of the study.
type mapping struct {
	table *table
	axis  clock.Axis
	move  time.Duration // the study's clock less the file's
	first []int         // index of the table's first row of each day, from spare days before the axis to as many after
}

// spare days on each side hold what light offset and clock can move: 2 h and 26 h.
const spare = 2

// days maps the study's days to the file's by month and day.
func (m *mapping) days(y *Year) {
	perDay := 24 * m.table.perHour
	start := [13]int{1: 0}
	for month := 1; month < 12; month++ {
		n := monthDays(month)
		if month == 2 && !m.table.leap {
			n = 28
		}
		start[month+1] = start[month] + n
	}
	n := int(m.axis.End().Sub(m.axis.Start) / (24 * time.Hour))
	studyLeap := false
	m.first = make([]int, n+2*spare)
	for d := range m.first {
		date := m.axis.Start.AddDate(0, 0, d-spare)
		month, day := int(date.Month()), date.Day()
		if month == 2 && day == 29 {
			studyLeap = studyLeap || d >= spare && d < n+spare
			if !m.table.leap {
				day = 28
			}
		}
		m.first[d] = (start[month] + day - 1) * perDay
	}
	switch {
	case studyLeap && !m.table.leap:
		y.note(0, "29 Feb is not in the file: 28 Feb stands for it")
	case !studyLeap && m.table.leap:
		y.note(0, "29 Feb of the file is left out")
	}
}

// at is the table's index of the study's row k: row 0 is the one whose interval begins the axis, by the file's clock.
func (m *mapping) at(k int) int {
	perDay := 24 * m.table.perHour
	d := floorDiv(k, perDay)
	return m.first[d+spare] + k - d*perDay
}

// readings gives the mean over each step of what was read at the labels: straight lines between readings of temperature, or
// the means that the file gives; the wind as read at the end of each interval.
func (m *mapping) readings(q int) []float64 {
	t := m.table
	col, step, stands := t.columns[q], t.step(), t.readAt
	hold := q == wind
	if begins := t.readAt - step/2; q == air && t.meanAir && m.axis.Step%step == 0 && (m.move+begins)%step == 0 {
		hold, stands = true, begins // a mean of an interval that lies in a step is kept
	} else if q == wind {
		stands = t.windFrom
	}
	piece := gcd(gcd(m.axis.Step, step), m.move+stands)
	value := func(at time.Duration) float64 { // at a time since the axis' start
		since := at - m.move - stands // since the reading of row 0
		k := floorDiv(int(since), int(step))
		part := float64(since-time.Duration(k)*step) / float64(step)
		a, b := col[m.at(k)], col[m.at(k+1)]
		return a + (b-a)*part
	}
	if hold {
		value = func(at time.Duration) float64 { return col[m.at(floorDiv(int(at-m.move-stands), int(step)))] }
	}
	pieces := int(m.axis.Step / piece)
	out := make([]float64, m.axis.N)
	for i := range out {
		for p := range pieces {
			at := time.Duration(i)*m.axis.Step + time.Duration(p)*piece
			if hold {
				out[i] += value(at)
			} else {
				out[i] += (value(at) + value(at+piece)) / 2
			}
		}
		out[i] /= float64(pieces)
	}
	return out
}

// light puts each row of light into the steps whose middle is nearest to where it stands, and returns what is left
// between the two.
func (m *mapping) light(y *Year, offset time.Duration) time.Duration {
	step := m.table.step()
	fine := clock.Axis{Start: m.axis.Start, Step: min(step, m.axis.Step)}
	fine.N = int(m.axis.End().Sub(m.axis.Start) / fine.Step)
	from := m.table.label - step/2 + offset + m.move // where the interval of row 0 begins, since the axis' start
	shift := int(math.Round(float64(from) / float64(fine.Step)))
	if m.table.instant { // an instant at the end of one step and the start of the next belongs to the next
		shift = int(math.Floor(float64(from)/float64(fine.Step) + 0.5))
	}
	left := from - time.Duration(shift)*fine.Step
	spread := m.place(y, fine, shift, left)
	if n := int(m.axis.Step / fine.Step); n > 1 {
		for q := range spread {
			spread[q] = means(spread[q], n)
		}
		y.note(0, "%d rows of the file make one step: their means are taken", n)
	}
	y.GHI, y.DNI, y.DHI = spread[ghi], spread[dni], spread[dhi]
	return left
}

// place gives the light on the fine axis: row for row, or each row spread over the steps of its interval.
func (m *mapping) place(y *Year, fine clock.Axis, shift int, left time.Duration) (out [3][]float64) {
	col := &m.table.columns
	parts := int(m.table.step() / fine.Step)
	if parts == 1 {
		for q := range out {
			out[q] = make([]float64, fine.N)
			for x := range out[q] {
				out[q][x] = col[q][m.at(x-shift)]
			}
		}
		return out
	}
	s := newSpreader(y.Place, fine, left, parts)
	first, last := floorDiv(-shift, parts), floorDiv(fine.N-1-shift, parts)
	for k := first; k <= last; k++ {
		i := m.at(k)
		s.put(k*parts+shift, Light{col[ghi][i], col[dni][i], col[dhi][i]})
	}
	y.note(0, "%s", saySpread("row", parts))
	if s.dark > 0 {
		y.note(0, "in %d rows the file has light while the sun is down all the time: it is put where the sun is highest", s.dark)
	}
	return s.out
}

// means is the mean of each n values.
func means(v []float64, n int) []float64 {
	out := make([]float64, len(v)/n)
	for i := range out {
		for _, x := range v[i*n : (i+1)*n] {
			out[i] += x / float64(n)
		}
	}
	return out
}

func floorDiv(a, b int) int {
	d := a / b
	if a%b < 0 {
		d--
	}
	return d
}

func gcd(a, b time.Duration) time.Duration {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// note adds one line to the year's notes.
func (y *Year) note(line int, format string, a ...any) {
	y.Notes = append(y.Notes, Note{Line: line, Text: fmt.Sprintf(format, a...)})
}
