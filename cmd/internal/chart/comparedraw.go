package chart

import (
	"cmp"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
)

// Room for the names at the lines' ends.
const (
	namesWidth  = 238
	sampleWidth = 30 // of the piece of line before each name
	nameHeight  = 33 // of a name and its note
	nameLine    = 15 // more for a name of two lines
)

var (
	nameFace = face{13, true, black}
	endFace  = face{12, false, grey30}
)

func (c Compare) draw(p *pen) {
	y := p.header(c.Title, c.Subtitle)
	if c.MarkName != "" {
		y = p.legend([]key{{c.MarkName, func(x0, y0, x1, y1 vg.Length) {
			p.hLine(strokes[0], x0, x1, (y0+y1)/2)
			p.ring(strokes[0], vg.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2})
		}}}, y)
	}
	foot := c.footnote(p)
	a := panel{x1: figureWidth - margin - namesWidth, y0: foot + 52, y1: y - 26}
	var values [][]float64
	most := 0.0
	for _, l := range c.Lines {
		values = append(values, l.Savings)
		most = max(most, l.VolumesM3[len(l.VolumesM3)-1])
	}
	ticks := a.reach(8, values...)
	volumeTicks := Ticks(0, most, 8)
	a.x0 = margin + gutter(tickLabels(ticks))
	a.xLo, a.xHi = 0, volumeTicks[len(volumeTicks)-1]
	c.axes(p, a, ticks, volumeTicks)
	for _, l := range c.rest() {
		p.line(restStroke, a.points(l.VolumesM3, l.Savings)...)
	}
	named := c.named()
	for i := len(named) - 1; i >= 0; i-- { // the first on top
		p.line(strokes[i], a.points(named[i].VolumesM3, named[i].Savings)...)
	}
	for i, l := range named {
		if l.MarkM3 > 0 {
			p.ring(strokes[i], a.at(l.MarkM3, between(l.VolumesM3, l.Savings, l.MarkM3)))
		}
	}
	c.names(p, a)
}

func (c Compare) axes(p *pen, a panel, ticks, volumeTicks []float64) {
	for _, t := range volumeTicks {
		p.vLine(gridLine, a.x(t), a.y0, a.y1)
	}
	name := c.SavingsName
	if name == "" {
		name = "Savings"
	}
	p.yAxis(a, name, c.Currency+" per year", ticks, tickLabels(ticks))
	p.zero(a)
	if a.yLo < 0 {
		p.hLine(axisLine, a.x0, a.x1, a.y0)
	}
	labels := tickLabels(volumeTicks)
	for i, t := range volumeTicks {
		p.vLine(axisLine, a.x(t), a.y0-4, a.y0)
		p.text(labels[i], a.x(t), a.y0-19, centre, tickFace)
	}
	p.text("Storage volume, m³", (a.x0+a.x1)/2, a.y0-41, centre, panelFace)
}

// footnote lists the grey lines at the bottom and gives the y above them.
func (c Compare) footnote(p *pen) vg.Length {
	if len(c.rest()) == 0 {
		return 6
	}
	var names []string
	for _, l := range c.rest() {
		names = append(names, clean(l.Name))
	}
	lines := endFace.wrap("thin grey lines: "+strings.Join(names, "; "), p.w-2*margin, 3)
	y := vg.Length(14 + 16*(len(lines)-1))
	for i, s := range lines {
		p.text(s, margin, y-16*vg.Length(i), left, endFace)
	}
	return y + 14
}

// ring marks a place on a line.
func (p *pen) ring(s stroke, at vg.Point) {
	p.dot(s.ink, white, at, 5.5)
	p.dot(white, s.ink, at, 2.6)
}

// names sets each line's name beside its end, moved up or down until none lies on another, with a piece of the line
// before it and a thread from the end.
func (c Compare) names(p *pen, a panel) {
	named := c.named()
	order := make([]int, len(named))
	want := make([]vg.Length, len(named))
	for i, l := range named {
		order[i] = i
		want[i] = a.y(l.Savings[len(l.Savings)-1])
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(want[j], want[i]) }) // from the top down
	sorted := make([]vg.Length, len(order))
	for k, i := range order {
		sorted[k] = want[i]
	}
	x := a.x1 + 22
	text := x + sampleWidth + 7
	room := p.w - 12 - text
	height := vg.Length(nameHeight)
	for _, l := range named {
		if len(nameFace.wrap(l.Name, room, 2)) > 1 {
			height = nameHeight + nameLine
		}
	}
	for k, y := range apart(sorted, height, a.y0+height-nameHeight/2, a.y1-nameHeight/2+14) {
		i := order[k]
		l := named[i]
		end := a.at(l.VolumesM3[len(l.VolumesM3)-1], l.Savings[len(l.Savings)-1])
		p.line(stroke{ink: grey60, width: 0.7}, vg.Point{X: end.X + 2, Y: end.Y}, vg.Point{X: x - 3, Y: y})
		p.hLine(strokes[i], x, x+sampleWidth, y)
		under := y - nameFace.capHeight()/2
		for _, line := range nameFace.wrap(l.Name, room, 2) {
			p.text(line, text, under, left, nameFace)
			under -= nameLine
		}
		p.text(endFace.cut(l.Note, room), text, under, left, endFace)
	}
}

// apart moves places, given from the top down, so little as may be until each is a gap from the next and all lie between
// lo and hi; where there is no room for all, the gap shrinks.
func apart(want []vg.Length, gap, lo, hi vg.Length) []vg.Length {
	n := len(want)
	if n > 1 {
		gap = min(gap, (hi-lo)/vg.Length(n-1))
	}
	// Groups that touch share the mean of where their members want to be: the least sum of squares.
	type group struct {
		sum   vg.Length // of what each member wants, less its place within the group
		count int
	}
	top := func(g group) vg.Length {
		return min(max(g.sum/vg.Length(g.count), lo+gap*vg.Length(g.count-1)), hi)
	}
	var groups []group
	for _, y := range want {
		groups = append(groups, group{y, 1})
		for len(groups) > 1 {
			g, above := groups[len(groups)-1], groups[len(groups)-2]
			if top(above)-gap*vg.Length(above.count) >= top(g) {
				break
			}
			below := g.sum + gap*vg.Length(g.count*above.count)
			groups = append(groups[:len(groups)-2], group{above.sum + below, above.count + g.count})
		}
	}
	var out []vg.Length
	for _, g := range groups {
		for k := range g.count {
			out = append(out, top(g)-gap*vg.Length(k))
		}
	}
	return out
}
