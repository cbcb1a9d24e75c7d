package chart

import (
	"slices"

	"gonum.org/v1/plot/vg"
)

// Scatter is what was measured over what was to be expected, a dot for each time, with the line on which the two are equal.
// Both axes start at 0 and have one scale.
type Scatter struct {
	Title, Subtitle string
	XName, YName    string // of the axes; the unit is Unit
	Unit            string

	Dots, Rest         []Dot // those that count, and all others
	DotsName, RestName string
	LineName           string  // of the line of equals
	Slope              float64 // of a second line through 0, what the dots come to; 0 for none
	SlopeName          string
}

// Dot is one point of a scatter.
type Dot struct{ X, Y float64 }

const (
	scatterHeight = 700
	manyDots      = 400 // from which they are drawn small
)

var (
	equalLine = stroke{ink: black, width: 1.6}
	slopeLine = stroke{ink: boundInk, width: 2, dashes: dashed}
)

func (c Scatter) heading() string        { return c.Title }
func (c Scatter) size() (w, h vg.Length) { return figureWidth, scatterHeight }
func dotsOf(dots []Dot) (xs, ys []float64) {
	for _, d := range dots {
		xs, ys = append(xs, d.X), append(ys, d.Y)
	}
	return xs, ys
}

// Check finds values that are no numbers, no dots at all, and a slope below 0.
func (c Scatter) Check() error {
	var f faults
	f.require(clean(c.Unit) != "", "unit: is empty; want a name such as kW")
	f.require(len(c.Dots)+len(c.Rest) > 0, "dots: there are none; want one or more")
	for _, set := range []struct {
		name string
		dots []Dot
	}{{"dots", c.Dots}, {"rest", c.Rest}} {
		xs, ys := dotsOf(set.dots)
		f.series(set.name+" across", xs, -1)
		f.series(set.name+" up", ys, -1)
	}
	f.require(c.Slope >= 0 && c.Slope <= limit, "slope: is %g; want 0 or more", c.Slope)
	return f.join("scatter")
}

func (c Scatter) draw(p *pen) {
	y := p.header(c.Title, c.Subtitle)
	y = p.legend(c.keys(p), y)
	all := slices.Concat(c.Dots, c.Rest)
	xs, ys := dotsOf(all)
	lo, hi := withZero(xs, ys)
	ticks := Ticks(lo, hi, 10)
	a := panel{x0: margin + gutter(tickLabels(ticks)) + 6, y0: 62, y1: y - 26}
	// One scale for both, so that the line of equals is the diagonal.
	a.x1 = figureWidth - margin
	a.xLo, a.yLo = ticks[0], ticks[0]
	a.xHi, a.yHi = ticks[len(ticks)-1], ticks[len(ticks)-1]
	c.axes(p, a, ticks)
	radius := vg.Length(3.6)
	if len(all) > manyDots {
		radius = 2.2
	}
	for _, d := range c.Rest {
		p.dot(white, grey60, a.at(d.X, d.Y), radius-1)
	}
	for _, d := range c.Dots {
		p.dot(curveInk, white, a.at(d.X, d.Y), radius)
	}
	c.ray(p, a, equalLine, 1)
	if c.Slope > 0 {
		c.ray(p, a, slopeLine, c.Slope)
	}
}

func (c Scatter) keys(p *pen) []key {
	middle := func(x0, y0, x1, y1 vg.Length) vg.Point { return vg.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2} }
	var keys []key
	if len(c.Dots) > 0 {
		keys = append(keys, key{c.DotsName, func(x0, y0, x1, y1 vg.Length) { p.dot(curveInk, white, middle(x0, y0, x1, y1), 4) }})
	}
	if len(c.Rest) > 0 {
		keys = append(keys, key{c.RestName, func(x0, y0, x1, y1 vg.Length) { p.dot(white, grey60, middle(x0, y0, x1, y1), 3) }})
	}
	keys = append(keys, key{c.LineName, func(x0, y0, x1, y1 vg.Length) { p.hLine(equalLine, x0, x1, (y0+y1)/2) }})
	if c.Slope > 0 {
		keys = append(keys, key{c.SlopeName, func(x0, y0, x1, y1 vg.Length) { p.hLine(slopeLine, x0, x1, (y0+y1)/2) }})
	}
	return keys
}

func (c Scatter) axes(p *pen, a panel, ticks []float64) {
	labels := tickLabels(ticks)
	for i, t := range ticks {
		p.vLine(gridLine, a.x(t), a.y0, a.y1)
		p.vLine(axisLine, a.x(t), a.y0-4, a.y0)
		p.text(labels[i], a.x(t), a.y0-19, centre, tickFace)
	}
	p.yAxis(a, c.YName, c.Unit, ticks, labels)
	p.zero(a)
	if a.yLo < 0 {
		p.hLine(axisLine, a.x0, a.x1, a.y0)
	}
	unit := ", " + c.Unit
	p.text(panelFace.cut(c.XName, a.x1-a.x0-panelFace.width(clean(unit)))+unit, (a.x0+a.x1)/2, a.y0-43, centre, panelFace)
}

// ray draws a line through 0 as far as the panel goes.
func (c Scatter) ray(p *pen, a panel, s stroke, slope float64) {
	from, to := max(a.xLo, a.yLo/slope), min(a.xHi, a.yHi/slope)
	p.line(s, a.at(from, slope*from), a.at(to, slope*to))
}
