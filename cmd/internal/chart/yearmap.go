package chart

import (
	"fmt"
	"image"
	"math"
	"time"

	"gonum.org/v1/plot/vg"
)

// YearMap shows whole days side by side, the hour upward, the value as darkness:
// one map for each series, one under the other.
type YearMap struct {
	Title, Subtitle string
	Start           time.Time // midnight of the first day, in local standard time
	StepH           float64   // length of a step in hours; a day must be a whole number of steps
	Maps            []Map     // 1 to 6
}

// Map is one series of a [YearMap].
type Map struct {
	Name   string // quantity and unit as printed above the map: "Boilers, kW"
	Note   string // beside the name, such as the year's sum; may be empty
	Values []float64
	Tone   Tone
}

const (
	mostMaps  = 6
	leastDays = 14
	mostDays  = 366
	mapHeight = 128
	mapPitch  = mapHeight + 56
	mapFoot   = 22
	mapHead   = 14 // between the subtitle and the first map's name
)

func (m YearMap) heading() string { return m.Title }

func (m YearMap) size() (w, h vg.Length) {
	return figureWidth, m.headHeight() + vg.Length(len(m.Maps))*mapPitch + mapFoot
}

// headHeight is what title and subtitle take, as pen.header lays them.
func (m YearMap) headHeight() vg.Length {
	p := &pen{w: figureWidth, dry: true}
	return mapHead - p.header(m.Title, m.Subtitle)
}

// Check finds a start that is not midnight, steps that do not fill days, and series
// that do not fit.
func (m YearMap) Check() error {
	var f faults
	f.require(len(m.Maps) >= 1 && len(m.Maps) <= mostMaps, "maps: are %d; want 1 to %d", len(m.Maps), mostMaps)
	clock := m.Start.Sub(midnight(m.Start))
	f.require(clock == 0, "start: is %s; want midnight", m.Start.Format("2006-01-02 15:04"))
	perDay := 24 / m.StepH
	if !f.require(m.StepH > 0 && perDay >= 1 && perDay <= 1440 && math.Abs(perDay-math.Round(perDay)) < 1e-9,
		"step: is %g h; want a part of a day from 1 min up", m.StepH) {
		return f.join("map of the year")
	}
	for _, s := range m.Maps {
		days := len(s.Values) / m.perDay()
		f.require(len(s.Values)%m.perDay() == 0 && days >= leastDays && days <= mostDays,
			"map %q: has %d values; want %d a day for %d to %d whole days", s.Name, len(s.Values), m.perDay(), leastDays, mostDays)
		f.series(fmt.Sprintf("map %q", s.Name), s.Values, len(m.Maps[0].Values))
		f.require(s.Tone >= BoilerTone && s.Tone <= SunTone, "map %q: tone is %d; want one of the three", s.Name, s.Tone)
	}
	return f.join("map of the year")
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

func (m YearMap) perDay() int { return int(math.Round(24 / m.StepH)) }
func (m YearMap) days() int   { return len(m.Maps[0].Values) / m.perDay() }

// picture makes one block of pixels for each step: days across, hours upward. Whole
// blocks keep the cells sharp in viewers that smooth pictures when they stretch them.
func (m YearMap) picture(s Map, scale float64) *image.Paletted {
	lo, hi := s.span()
	const wantPx = 2000
	days, perDay := m.days(), m.perDay()
	wide := max(1, int(math.Ceil(wantPx*max(scale, 1)/2/float64(days))))
	tall := max(1, int(math.Ceil(300*max(scale, 1)/float64(perDay))))
	img := image.NewPaletted(image.Rect(0, 0, days*wide, perDay*tall), s.Tone.ramp())
	row := make([]uint8, days*wide)
	for step := range perDay {
		for x := range row {
			row[x] = shade(s.Values[x/wide*perDay+step], lo, hi)
		}
		for y := range tall {
			copy(img.Pix[((perDay-1-step)*tall+y)*img.Stride:], row)
		}
	}
	return img
}

// span is the range of the ramp: from zero, or the least value below it, to the largest.
func (s Map) span() (lo, hi float64) {
	lo, hi = withZero(s.Values)
	if lo == hi {
		hi = 1
	}
	return lo, hi
}

// shade is the place of v on the ramp.
func shade(v, lo, hi float64) uint8 {
	return uint8(math.Round(255 * min(max((v-lo)/(hi-lo), 0), 1)))
}

func (m YearMap) draw(p *pen) {
	m.drawMaps(p, p.header(m.Title, m.Subtitle)-mapHead, mapHeight, nil)
}

// drawMaps draws the maps under top, each of a height, with over on each of them.
func (m YearMap) drawMaps(p *pen, top, height vg.Length, over func(a panel)) {
	barLabels := make([][]string, len(m.Maps))
	ticks := make([][]float64, len(m.Maps))
	bars := make([]panel, len(m.Maps))
	for i, s := range m.Maps {
		bars[i].yLo, bars[i].yHi = s.span()
		ticks[i], barLabels[i] = barTicks(bars[i].yLo, bars[i].yHi)
	}
	const barW, barGap = 16, 18
	x0 := margin + gutter([]string{"24:00"})
	x1 := figureWidth - margin - gutter(barLabels...) - barW - barGap
	for i, s := range m.Maps {
		y1 := top - vg.Length(i)*(height+mapPitch-mapHeight) - 26
		a := panel{x0: x0, x1: x1, y0: y1 - height, y1: y1, xHi: float64(m.days()), yHi: 24}
		m.drawMap(p, a, s)
		if over != nil {
			over(a)
		}
		bar := bars[i]
		bar.x0, bar.x1, bar.y0, bar.y1 = x1+barGap, x1+barGap+barW, a.y0, a.y1
		s.drawBar(p, bar, ticks[i], barLabels[i])
		if i == len(m.Maps)-1 {
			m.monthLabels(p, a)
		}
	}
}

func (m YearMap) drawMap(p *pen, a panel, s Map) {
	p.c.DrawImage(vg.Rectangle{Min: vg.Point{X: a.x0, Y: a.y0}, Max: vg.Point{X: a.x1, Y: a.y1}},
		m.picture(s, p.scale))
	for _, day := range m.monthStarts() {
		p.vLine(stroke{ink: grey60, width: 0.5}, a.x(float64(day)), a.y0, a.y1)
		p.vLine(axisLine, a.x(float64(day)), a.y0-4, a.y0)
	}
	for hour := 0.0; hour <= 24; hour += 6 {
		p.hLine(axisLine, a.x0-4, a.x0, a.y(hour))
		p.textMid(fmt.Sprintf("%.0f:00", hour), a.x0-tickGap, a.y(hour), right, tickFace)
	}
	p.line(axisLine, append(rectangle(a.x0, a.y0, a.x1, a.y1), vg.Point{X: a.x0, Y: a.y0})...)
	name := panelFace.cut(s.Name, a.x1-margin)
	p.text(name, margin, a.y1+15, left, panelFace)
	x := margin + panelFace.width(name) + 12
	if s.Note != "" && x < figureWidth-margin-40 {
		p.text(noteFace.cut(s.Note, figureWidth-margin-x), x, a.y1+15, left, noteFace)
	}
}

// barTicks are the round values on a scale of darkness and, at its top, the largest.
func barTicks(lo, hi float64) (ticks []float64, labels []string) {
	all := Ticks(lo, hi, 5)
	const keepOff = 0.14 // of the bar, the room of a label
	ticks = inside(all, lo, hi-keepOff*(hi-lo))
	labels = tickLabels(ticks)
	decimals := max(tickDecimals(ticks), amountDecimals(hi))
	return append(ticks, hi), append(labels, Thousands(hi, decimals))
}

// drawBar is the scale of darkness beside a map.
func (s Map) drawBar(p *pen, a panel, ticks []float64, labels []string) {
	const tall = 2
	img := image.NewPaletted(image.Rect(0, 0, 8, 256*tall), s.Tone.ramp())
	for i := range img.Pix {
		img.Pix[i] = uint8(255 - i/8/tall)
	}
	p.c.DrawImage(vg.Rectangle{Min: vg.Point{X: a.x0, Y: a.y0}, Max: vg.Point{X: a.x1, Y: a.y1}}, img)
	p.line(axisLine, append(rectangle(a.x0, a.y0, a.x1, a.y1), vg.Point{X: a.x0, Y: a.y0})...)
	for i, t := range ticks {
		p.hLine(axisLine, a.x1, a.x1+4, a.y(t))
		p.textMid(labels[i], a.x1+tickGap, a.y(t), left, tickFace)
	}
}

// monthStarts are the days, counted from 0, on which a month begins, but not day 0.
func (m YearMap) monthStarts() []int {
	var starts []int
	for d := 1; d < m.days(); d++ {
		if m.Start.AddDate(0, 0, d).Day() == 1 {
			starts = append(starts, d)
		}
	}
	return starts
}

// monthLabels names each month in the middle of its days where it has the room.
func (m YearMap) monthLabels(p *pen, a panel) {
	bounds := append(append([]int{0}, m.monthStarts()...), m.days())
	for i := 1; i < len(bounds); i++ {
		from, to := a.x(float64(bounds[i-1])), a.x(float64(bounds[i]))
		name := m.Start.AddDate(0, 0, bounds[i-1]).Format("Jan")
		if to-from >= tickFace.width(name) {
			p.text(name, (from+to)/2, a.y0-19, centre, tickFace)
		}
	}
}
