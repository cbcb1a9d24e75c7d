package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

var (
	oftenLine = stroke{ink: curveInk, width: 1.2, dashes: dotted}
	leastLine = stroke{ink: boundInk, width: 1.2, dashes: dashed}
	mostLine  = stroke{ink: boundInk, width: 2.2}
	meanLine  = stroke{ink: grey30, width: 1.4, dashes: dashed}
)

func (d Doubt) draw(p *pen) {
	mark := func(s stroke) func(x0, y0, x1, y1 vg.Length) {
		return func(x0, y0, x1, y1 vg.Length) { p.vLine(s, (x0+x1)/2, y0-2, y1+2) }
	}
	y := p.header(d.Title, d.Subtitle)
	y = p.legend([]key{
		{"the tank that is as good as the best in the most cases, " + Thousands(d.OftenM3, decimalsOf(d.OftenM3)) + " m³", mark(oftenLine)},
		{"the tank of least regret, " + Thousands(d.LeastM3, decimalsOf(d.LeastM3)) + " m³", mark(leastLine)},
	}, y)
	regret0 := vg.Length(62)
	near0 := regret0 + regretHeight + 44
	band0 := near0 + nearHeight + 86
	x0 := d.gutter()
	xEnd := Ticks(0, d.VolumesM3[len(d.VolumesM3)-1], 8)
	at := panel{x0: x0, x1: figureWidth - margin - namesWidth, xLo: 0, xHi: xEnd[len(xEnd)-1]}
	d.band().curvesFrom(p, x0, band0, y-26)
	d.near(p, at, xEnd, near0, near0+nearHeight)
	d.regret(p, at, xEnd, regret0, regret0+regretHeight)
	for _, part := range [][2]vg.Length{{regret0, regret0 + regretHeight}, {near0, near0 + nearHeight}, {band0, y - 26}} {
		p.vLine(oftenLine, at.x(d.OftenM3), part[0], part[1])
		p.vLine(leastLine, at.x(d.LeastM3), part[0], part[1])
	}
}

// gutter is the left edge of all three panels.
func (d Doubt) gutter() vg.Length {
	band, regret := panel{}, panel{}
	return margin + gutter(tickLabels(band.reach(7, d.Low, d.Mid, d.High)), tickLabels(regret.reach(4, d.MostRegret)), []string{"100"})
}

// near draws the shares as bars.
func (d Doubt) near(p *pen, a panel, volumeTicks []float64, y0, y1 vg.Length) {
	a.y0, a.y1, a.yLo, a.yHi = y0, y1, 0, 100
	ticks := []float64{0, 25, 50, 75, 100}
	p.yAxis(a, d.NearName, "% of cases", ticks, tickLabels(ticks))
	for _, t := range volumeTicks {
		p.vLine(gridLine, a.x(t), y0, y1)
	}
	gap := d.VolumesM3[1] - d.VolumesM3[0]
	for i := 1; i+1 < len(d.VolumesM3); i++ {
		gap = min(gap, d.VolumesM3[i+1]-d.VolumesM3[i])
	}
	half := max(1, 0.36*(a.x(gap)-a.x(0)))
	for i, v := range d.NearPercent {
		x := a.x(d.VolumesM3[i])
		p.fill(storeInk, rectangle(max(a.x0, x-half), a.y0, min(a.x1, x+half), a.y(v)))
	}
	p.zero(a)
}

// regret draws the largest and the mean regret.
func (d Doubt) regret(p *pen, a panel, volumeTicks []float64, y0, y1 vg.Length) {
	a.y0, a.y1 = y0, y1
	ticks := a.reach(4, d.MostRegret)
	for _, t := range volumeTicks {
		p.vLine(gridLine, a.x(t), y0, y1)
	}
	p.yAxis(a, d.RegretName, d.Currency+" per year", ticks, tickLabels(ticks))
	p.zero(a)
	p.line(meanLine, a.points(d.VolumesM3, d.MeanRegret)...)
	p.line(mostLine, a.points(d.VolumesM3, d.MostRegret)...)
	labels := tickLabels(volumeTicks)
	for i, t := range volumeTicks {
		p.vLine(axisLine, a.x(t), a.y0-4, a.y0)
		p.text(labels[i], a.x(t), a.y0-19, centre, tickFace)
	}
	p.text("Storage volume, m³", (a.x0+a.x1)/2, a.y0-41, centre, panelFace)
	last := len(d.VolumesM3) - 1
	x := a.x1 + 22
	ends := apart([]vg.Length{a.y(d.MostRegret[last]), a.y(d.MeanRegret[last])}, nameHeight, a.y0+8, a.y1)
	for i, e := range []struct {
		name string
		line stroke
		from float64
	}{{"the worst case", mostLine, d.MostRegret[last]}, {"the mean of all cases", meanLine, d.MeanRegret[last]}} {
		p.line(stroke{ink: grey60, width: 0.7}, vg.Point{X: a.x(d.VolumesM3[last]) + 2, Y: a.y(e.from)}, vg.Point{X: x - 3, Y: ends[i]})
		p.hLine(e.line, x, x+sampleWidth, ends[i])
		p.textMid(e.name, x+sampleWidth+7, ends[i], left, nameFace)
	}
}

// decimalsOf is how many decimals show a volume, two at most.
func decimalsOf(m3 float64) int {
	return min(2, tickDecimals([]float64{m3}))
}

func (c Causes) draw(p *pen) {
	const names, side = 224, 96
	p.legend([]key{
		{c.say(phraseLowEnd), func(x0, y0, x1, y1 vg.Length) { p.ringed(white, vg.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2}) }},
		{c.say(phraseHighEnd), func(x0, y0, x1, y1 vg.Length) { p.ringed(curveInk, vg.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2}) }},
		{c.MiddleName, func(x0, y0, x1, y1 vg.Length) { p.vLine(midMark, (x0+x1)/2, y0-1, y1+1) }},
	}, p.header(c.Title, c.Subtitle))
	a := panel{x0: margin + names, x1: figureWidth - margin - side, y0: causesFoot, y1: causesFoot + causeHeight*vg.Length(len(c.Rows))}
	lo, hi := c.Middle, c.Middle
	for _, r := range c.Rows {
		lo, hi = min(lo, r.AtLow, r.AtHigh), max(hi, r.AtLow, r.AtHigh)
	}
	c.scale(&a, lo, hi)
	ticks := inside(Ticks(a.xLo, a.xHi, 6), a.xLo, a.xHi)
	labels := c.allMarks(tickLabels(ticks))
	for i, t := range ticks {
		p.vLine(gridLine, a.x(t), a.y0, a.y1)
		p.vLine(axisLine, a.x(t), a.y0-4, a.y0)
		p.text(labels[i], a.x(t), a.y0-19, centre, tickFace)
	}
	p.hLine(axisLine, a.x0, a.x1, a.y0)
	p.text(c.Name+", "+c.say(phrasePerYear, c.Currency), (a.x0+a.x1)/2, a.y0-42, centre, panelFace)
	p.vLine(midMark, a.x(c.Middle), a.y0, a.y1+4)
	for i, line := range endFace.wrap(c.SideName, side+margin-16, 3) {
		p.text(line, a.x1+10, a.y1+30-15*vg.Length(i), left, endFace)
	}
	for i, r := range c.Rows {
		c.row(p, a, r, a.y1-causeHeight*(vg.Length(i)+0.5))
	}
}

// scale sets the values' scale so that the labels beside the longest bar have room.
func (c Causes) scale(a *panel, lo, hi float64) {
	room := vg.Length(0)
	for _, r := range c.Rows {
		for _, s := range []string{c.label(r.AtLow), c.label(r.AtHigh), r.LowTag, r.HighTag} {
			room = max(room, endFace.width(clean(s)))
		}
	}
	room = min(room+tagGap+3, 0.35*(a.x1-a.x0))
	if lo == hi {
		free := max(1, 0.01*math.Abs(hi))
		lo, hi = lo-free, hi+free
	}
	each := (hi - lo) / float64(a.x1-a.x0-2*room)
	a.xLo, a.xHi = lo-each*float64(room), hi+each*float64(room)
}

func (c Causes) label(v float64) string { return c.Sum(c.figure(v, 0), c.Currency) }

const tagGap = 11 // from a bar's end to what stands beside it

var midMark = stroke{ink: black, width: 1.2}

// row draws one input's bar, with what stands at its two ends.
func (c Causes) row(p *pen, a panel, r Cause, y vg.Length) {
	const half = 7
	room := a.x0 - margin - 8
	name := nameFace.wrap(r.Name, room, 2)
	under := y + 3 + nameLine*vg.Length(len(name)-1)/2
	for _, line := range name {
		p.text(line, margin, under, left, nameFace)
		under -= nameLine
	}
	p.text(endFace.cut(r.Range, room), margin, under, left, endFace)
	p.text(r.Side, a.x1+10, y-4, left, nameFace)
	x0, x1 := a.x(r.AtLow), a.x(r.AtHigh)
	p.fill(barInk, rectangle(min(x0, x1), y-half, max(x0, x1), y+half))
	p.vLine(midMark, a.x(c.Middle), y-half-3, y+half+3)
	p.ringed(white, vg.Point{X: x0, Y: y})
	p.ringed(curveInk, vg.Point{X: x1, Y: y})
	lowSide, highSide := right, left
	if x0 > x1 {
		lowSide, highSide = left, right
	}
	tag := func(value float64, tag string, x vg.Length, at align) {
		off := vg.Length(tagGap)
		if at == right {
			off = -off
		}
		p.text(c.label(value), x+off, y+2, at, endFace)
		p.text(tag, x+off, y-11, at, endFace)
	}
	tag(r.AtLow, r.LowTag, x0, lowSide)
	tag(r.AtHigh, r.HighTag, x1, highSide)
}

// ringed is a dot with a dark rim.
func (p *pen) ringed(ink interface{ RGBA() (r, g, b, a uint32) }, at vg.Point) {
	p.dot(curveInk, curveInk, at, 5)
	p.dot(ink, curveInk, at, 4)
}
