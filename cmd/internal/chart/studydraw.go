package chart

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

var (
	whiskerLine  = stroke{ink: curveInk, width: 2}
	extremesLine = stroke{ink: curveInk, width: 1.4, dashes: dotted}
	rowLine      = stroke{ink: grid, width: 0.5}
	singleLine   = stroke{ink: grey30, width: 0.6}
)

func (c Study) draw(p *pen) {
	y := p.header(c.Title, c.Subtitle)
	if len(c.VolumesM3) > 0 {
		c.curves(p, y-studyBand, y)
		y -= studyBand
	}
	c.rows(p, y)
	for i, line := range endFace.wrap(c.More, p.w-2*margin, 2) {
		p.text(line, margin, 26-15*vg.Length(i), left, endFace)
	}
}

// curves draws the band between two heights, with its legend and its axis.
func (c Study) curves(p *pen, y0, y1 vg.Length) {
	band := c.band()
	if len(c.Lines) > 1 {
		y1 = p.legend([]key{{c.LinesName, func(x0, y0, x1, y1 vg.Length) { p.hLine(singleLine, x0, x1, (y0+y1)/2) }}}, y1)
	} else {
		y1 -= 16
	}
	values := append([][]float64{c.Low, c.Mid, c.High}, c.Lines...)
	a := panel{x1: figureWidth - margin - namesWidth, y0: y0 + 62, y1: y1 - 26}
	ticks := a.reach(7, values...)
	a.x0 = margin + gutter(tickLabels(ticks))
	volumeTicks := Ticks(0, c.VolumesM3[len(c.VolumesM3)-1], 8)
	a.xLo, a.xHi = 0, volumeTicks[len(volumeTicks)-1]
	up, down := a.points(c.VolumesM3, c.High), a.points(c.VolumesM3, c.Low)
	slices.Reverse(down)
	p.fill(barInk, append(up, down...))
	for _, t := range volumeTicks {
		p.vLine(gridLine, a.x(t), a.y0, a.y1)
	}
	p.yAxis(a, c.CurveName, c.CurveUnit, ticks, tickLabels(ticks))
	p.zero(a)
	p.xAxis(a, volumeTicks, "Storage volume, m³")
	if len(c.Lines) > 1 {
		single := singleLine
		if len(c.Lines) > 12 {
			single = yearLine // lighter, so that the band is seen
		}
		for _, l := range c.Lines {
			p.line(single, a.points(c.VolumesM3, l)...)
		}
	}
	p.line(edgeLine, a.points(c.VolumesM3, c.High)...)
	p.line(edgeLine, a.points(c.VolumesM3, c.Low)...)
	p.line(midLine, a.points(c.VolumesM3, c.Mid)...)
	band.endNames(p, a)
}

// xAxis draws the line, the ticks with their labels and the name under a panel.
func (p *pen) xAxis(a panel, ticks []float64, name string) {
	p.hLine(axisLine, a.x0, a.x1, a.y0)
	for i, label := range tickLabels(ticks) {
		x := a.x(ticks[i])
		p.vLine(axisLine, x, a.y0-4, a.y0)
		p.text(label, x, a.y0-19, centre, tickFace)
	}
	p.text(name, (a.x0+a.x1)/2, a.y0-41, centre, panelFace)
}

// rows draws the scenarios under y: their names, and a panel or two of ranges.
func (c Study) rows(p *pen, y vg.Length) {
	y = p.legend(c.rangeKeys(p), y)
	top := y - 24
	bottom := top - studyRow*vg.Length(len(c.Rows))
	names, x := c.namesRoom(), vg.Length(margin)
	for i, r := range c.Rows {
		mid := top - studyRow*(vg.Length(i)+0.5)
		p.hLine(rowLine, x, figureWidth-margin, top-studyRow*vg.Length(i+1))
		p.textMid(nameFace.cutWithin(r.Name, names-12), x, mid, left, nameFace)
	}
	columns := c.columns()
	width := (figureWidth - 2*margin - names - studyColumn*vg.Length(len(columns)-1)) / vg.Length(len(columns))
	for k, col := range columns {
		from := margin + names + (width+studyColumn)*vg.Length(k)
		col.draw(p, c.Rows, panel{x0: from, x1: from + width, y0: bottom, y1: top})
	}
}

// namesRoom is what the scenarios' names take.
func (c Study) namesRoom() vg.Length {
	room := vg.Length(0)
	for _, r := range c.Rows {
		room = max(room, nameFace.width(clean(r.Name)))
	}
	return min(room+14, studyNames)
}

// cutWithin shortens s to the width in its middle, as names often differ at their end.
func (f face) cutWithin(s string, width vg.Length) string {
	runes := []rune(clean(s))
	if f.width(string(runes)) <= width {
		return string(runes)
	}
	for keep := len(runes) - 1; keep > 0; keep-- {
		head, tail := keep-keep/3, keep/3
		if text := string(runes[:head]) + "…" + string(runes[len(runes)-tail:]); f.width(text) <= width {
			return text
		}
	}
	return "…"
}

func (c Study) rangeKeys(p *pen) []key {
	sample := func(s StudyRange) func(x0, y0, x1, y1 vg.Length) {
		return func(x0, y0, x1, y1 vg.Length) {
			s.Low, s.Mid, s.High = 0, 0.45, 1
			p.whisker(panel{x0: x0 + 1, x1: x1 - 1, xHi: 1}, s, (y0+y1)/2)
		}
	}
	var few, many bool
	for _, r := range c.Rows {
		for _, s := range []StudyRange{r.Saved, r.Best} {
			few = few || s.Extremes && s.Low < s.High
			many = many || !s.Extremes && !math.IsNaN(s.Mid)
		}
	}
	var keys []key
	if many || !few {
		keys = append(keys, key{c.RangeName, sample(StudyRange{})})
	}
	if few {
		keys = append(keys, key{c.ExtremesName, sample(StudyRange{Extremes: true})})
	}
	return keys
}

// studyRanges is one panel of ranges.
type studyRanges struct {
	name, unit string
	decimals   func(v float64) int
	of         func(r StudyRow) StudyRange
}

func (c Study) columns() []studyRanges {
	all := []studyRanges{
		{c.SavedName, c.SavedUnit, func(float64) int { return c.SavedDecimals }, func(r StudyRow) StudyRange { return r.Saved }},
		{c.BestName, c.BestUnit, volumeDecimals, func(r StudyRow) StudyRange { return r.Best }},
	}
	return slices.DeleteFunc(all, func(s studyRanges) bool { return s.name == "" })
}

// volumeDecimals shows a volume under 10 m³ to a tenth.
func volumeDecimals(v float64) int {
	if v < 9.95 && v != 0 {
		return 1
	}
	return 0
}

func (s studyRanges) draw(p *pen, rows []StudyRow, a panel) {
	ticks := s.scale(&a, rows)
	for i, label := range tickLabels(ticks) {
		x := a.x(ticks[i])
		p.vLine(gridLine, x, a.y0, a.y1)
		p.vLine(axisLine, x, a.y0-4, a.y0)
		p.text(label, x, a.y0-19, centre, tickFace)
	}
	if a.xLo <= 0 {
		p.vLine(zeroLine, a.x(0), a.y0, a.y1)
	}
	p.hLine(axisLine, a.x0, a.x1, a.y0)
	unit := ", " + s.unit
	p.text(panelFace.cut(s.name, a.x1-a.x0-panelFace.width(unit))+unit, a.x0, a.y1+9, left, panelFace)
	for i, r := range rows {
		y := a.y1 - studyRow*(vg.Length(i)+0.5)
		v := s.of(r)
		if math.IsNaN(v.Mid) {
			p.label(endFace.cut(r.Note, a.x1-a.x0-18), a.x0+8, y-endFace.capHeight()/2, a.x0, a.x1, endFace)
			continue
		}
		p.whisker(a, v, y)
		p.label(s.label(v), a.x(v.High)+11, y-endFace.capHeight()/2, a.x0, a.x1, endFace)
	}
}

func (s studyRanges) label(v StudyRange) string {
	text := Thousands(v.Mid, s.decimals(v.Mid))
	if v.OrMore {
		return text + " or more"
	}
	return text
}

// scale reaches over zero and all ranges, with room for the labels at their right, and gives the ticks.
func (s studyRanges) scale(a *panel, rows []StudyRow) []float64 {
	var ends []float64
	room := vg.Length(0)
	for _, r := range rows {
		if v := s.of(r); !math.IsNaN(v.Mid) {
			ends = append(ends, v.Low, v.High)
			room = max(room, endFace.width(s.label(v)))
		}
	}
	lo, hi := withZero(ends)
	if lo == hi {
		hi = 1
	}
	room = min(room+16, 0.5*(a.x1-a.x0))
	left := vg.Length(0)
	if lo < 0 {
		left = 10
	}
	each := (hi - lo) / float64(a.x1-a.x0-room-left)
	a.xLo, a.xHi = lo-each*float64(left), hi+each*float64(room)
	return inside(Ticks(a.xLo, a.xHi, 5), a.xLo, a.xHi)
}

// whisker draws a range: a line between two ticks and a dot, white inside where it may be more.
func (p *pen) whisker(a panel, v StudyRange, y vg.Length) {
	const half = 4.5
	line := whiskerLine
	if v.Extremes {
		line = extremesLine
	}
	if x0, x1 := a.x(v.Low), a.x(v.High); x1 > x0 {
		p.hLine(line, x0, x1, y)
		line.dashes = nil
		p.vLine(line, x0, y-half, y+half)
		p.vLine(line, x1, y-half, y+half)
	}
	if v.OrMore {
		p.ringed(white, vg.Point{X: a.x(v.Mid), Y: y})
	} else {
		p.ringed(curveInk, vg.Point{X: a.x(v.Mid), Y: y})
	}
}
