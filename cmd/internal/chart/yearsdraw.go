package chart

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/plot/vg"
)

var (
	yearLine = stroke{ink: grey60, width: 0.5}
	midLine  = stroke{ink: curveInk, width: 2.8}
	edgeLine = stroke{ink: curveInk, width: 1.1, dashes: dashed}
)

// mostYearLines is how many years are drawn as lines: more would hide the band.
const mostYearLines = 60

// apart is how many years each line stands for.
func (c Years) apart() int { return (len(c.Lines) + mostYearLines - 1) / mostYearLines }

func (c Years) draw(p *pen) {
	y := p.header(c.Title, c.Subtitle)
	if len(c.VolumesM3) > 0 {
		name := "each year by itself"
		if n := c.apart(); n > 1 {
			name = fmt.Sprintf("single years, one of %d", n)
		}
		keys := []key{{name, func(x0, y0, x1, y1 vg.Length) { p.hLine(yearLine, x0, x1, (y0+y1)/2) }}}
		if c.MarkName != "" {
			keys = append(keys, key{c.MarkName, func(x0, y0, x1, y1 vg.Length) {
				p.hLine(midLine, x0, x1, (y0+y1)/2)
				p.ring(midLine, vg.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2})
			}})
		}
		y = p.legend(keys, y)
	}
	bottom := vg.Length(yearsFoot + stripHeight*len(c.Strips))
	if len(c.VolumesM3) > 0 {
		c.curves(p, bottom+62, y-26)
	}
	for i, s := range c.Strips {
		under := bottom - stripHeight*vg.Length(i+1)
		c.strip(p, s, under+22, under+stripHeight-38)
	}
	c.yearTicks(p, yearsFoot+22)
}

// curves draws band, years and middle between two heights.
func (c Years) curves(p *pen, y0, y1 vg.Length) {
	a := panel{}
	c.curvesFrom(p, margin+gutter(tickLabels(a.reach(7, append([][]float64{c.Low, c.Mid, c.High}, c.Lines...)...))), y0, y1)
}

// curvesFrom draws them with the panel's left edge at x0.
func (c Years) curvesFrom(p *pen, x0, y0, y1 vg.Length) {
	a := panel{x0: x0, x1: figureWidth - margin - namesWidth, y0: y0, y1: y1}
	ticks := a.reach(7, append([][]float64{c.Low, c.Mid, c.High}, c.Lines...)...)
	volumeTicks := Ticks(0, c.VolumesM3[len(c.VolumesM3)-1], 8)
	a.xLo, a.xHi = 0, volumeTicks[len(volumeTicks)-1]
	up, down := a.points(c.VolumesM3, c.High), a.points(c.VolumesM3, c.Low)
	slices.Reverse(down)
	p.fill(barInk, append(up, down...))
	Compare{Currency: c.Currency, SavingsName: c.SavingsName}.axes(p, a, ticks, volumeTicks)
	for i := 0; i < len(c.Lines); i += c.apart() {
		p.line(yearLine, a.points(c.VolumesM3, c.Lines[i])...)
	}
	p.line(edgeLine, a.points(c.VolumesM3, c.High)...)
	p.line(edgeLine, a.points(c.VolumesM3, c.Low)...)
	p.line(midLine, a.points(c.VolumesM3, c.Mid)...)
	if c.MarkM3 > 0 {
		p.ring(midLine, a.at(c.MarkM3, between(c.VolumesM3, c.Mid, c.MarkM3)))
	}
	c.endNames(p, a)
}

// endNames sets the names of the band's edges and of its middle beside their ends.
func (c Years) endNames(p *pen, a panel) {
	type end struct {
		name, note string
		line       stroke
		values     []float64
	}
	ends := []end{{c.HighName, c.HighNote, edgeLine, c.High}, {c.MidName, c.MidNote, midLine, c.Mid}, {c.LowName, c.LowNote, edgeLine, c.Low}}
	last := len(c.VolumesM3) - 1
	slices.SortStableFunc(ends, func(x, y end) int { return cmp.Compare(y.values[last], x.values[last]) })
	var want []vg.Length
	for _, e := range ends {
		want = append(want, a.y(e.values[last]))
	}
	x := a.x1 + 22
	text := x + sampleWidth + 7
	room := p.w - 12 - text
	for i, y := range apart(want, nameHeight+4, a.y0+10, a.y1) {
		from := a.at(c.VolumesM3[last], ends[i].values[last])
		p.line(stroke{ink: grey60, width: 0.7}, vg.Point{X: from.X + 2, Y: from.Y}, vg.Point{X: x - 3, Y: y})
		p.hLine(ends[i].line, x, x+sampleWidth, y)
		under := y - nameFace.capHeight()/2
		p.text(nameFace.cut(ends[i].name, room), text, under, left, nameFace)
		p.text(endFace.cut(ends[i].note, room), text, under-nameLine, left, endFace)
	}
}

// strip draws a dot for each year, the middle of all as a line, and tells the lowest and the highest.
func (c Years) strip(p *pen, s Strip, y0, y1 vg.Length) {
	lo, hi := span(s.Values)
	free := 0.12 * (hi - lo)
	if free == 0 {
		free = max(1, hi*0.01)
	}
	a := panel{x0: margin + 8, x1: figureWidth - margin - namesWidth, y0: y0, y1: y1, xLo: -0.5, xHi: float64(len(s.Values)) - 0.5, yLo: lo - free, yHi: hi + free}
	unit := ", " + s.Unit
	p.text(panelFace.cut(s.Name, p.w-2*margin-panelFace.width(unit))+unit, margin, y1+12, left, panelFace)
	mean := 0.0
	for _, v := range s.Values {
		mean += v / float64(len(s.Values))
	}
	p.hLine(stroke{ink: grey60, width: 0.8}, a.x0, a.x1, a.y(mean))
	least, most := 0, 0
	for i, v := range s.Values {
		if v < s.Values[least] {
			least = i
		}
		if v > s.Values[most] {
			most = i
		}
		p.vLine(stroke{ink: grey60, width: 0.8}, a.x(float64(i)), a.y(mean), a.y(v))
	}
	radius := min(3, (a.x1-a.x0)/vg.Length(len(s.Values))/3)
	for i, v := range s.Values {
		ink := curveInk
		if i == least && lo < hi {
			ink = boundInk
		}
		rim := white
		if radius < 2 {
			rim = ink
		}
		p.dot(ink, rim, a.at(float64(i), v), radius)
	}
	x := a.x1 + 22
	told := func(what string, i int, at vg.Length) {
		p.text(endFace.cut(what+" "+Thousands(s.Values[i], s.Decimals)+" ("+c.YearName+" "+c.tick(i)+")", p.w-12-x), x, at, left, endFace)
	}
	p.text("mean "+Thousands(mean, s.Decimals), x, (y0+y1)/2-4, left, endFace)
	if lo < hi {
		told("most", most, y1-10)
		told("least", least, y0+2)
	}
}

// yearTicks names the years under the last strip, as many as have room.
func (c Years) yearTicks(p *pen, y vg.Length) {
	n := len(c.YearTicks)
	a := panel{x0: margin + 8, x1: figureWidth - margin - namesWidth, xLo: -0.5, xHi: float64(n) - 0.5}
	widest := vg.Length(0)
	for _, s := range c.YearTicks {
		widest = max(widest, endFace.width(s))
	}
	each := 1
	for vg.Length(each)*(a.x1-a.x0)/vg.Length(n) < widest+8 {
		each++
	}
	for i := 0; i < n; i += each {
		p.text(c.YearTicks[i], a.x(float64(i)), y-17, centre, endFace)
	}
	p.text(c.YearName, a.x1+22, y-17, left, endFace)
}
