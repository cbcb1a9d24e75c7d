package chart

import "gonum.org/v1/plot/vg"

// Margins and line heights, in points.
const (
	figureWidth = 900
	margin      = 30 // left and right
	topMargin   = 24
	tickGap     = 8 // from a tick's label to the panel
)

// panel is a plot area with its two straight scales.
type panel struct {
	x0, y0, x1, y1 vg.Length // the area's edges
	xLo, xHi       float64
	yLo, yHi       float64
}

func (a panel) x(v float64) vg.Length {
	return a.x0 + vg.Length((v-a.xLo)/(a.xHi-a.xLo))*(a.x1-a.x0)
}

func (a panel) y(v float64) vg.Length {
	return a.y0 + vg.Length((v-a.yLo)/(a.yHi-a.yLo))*(a.y1-a.y0)
}

func (a panel) at(x, y float64) vg.Point { return vg.Point{X: a.x(x), Y: a.y(y)} }

func (a panel) points(xs, ys []float64) []vg.Point {
	pts := make([]vg.Point, len(xs))
	for i := range xs {
		pts[i] = a.at(xs[i], ys[i])
	}
	return pts
}

// reach sets the y scale over zero and all values and returns the ticks inside it.
// An end away from zero is a tick if one lies a little past the last value; otherwise
// it stops there without one, so that lines keep off the edge and no room is lost.
func (a *panel) reach(atMost int, values ...[]float64) []float64 {
	lo, hi := withZero(values...)
	ticks := Ticks(lo, hi, atMost)
	a.yLo, a.yHi = ticks[0], ticks[len(ticks)-1]
	size := hi - lo
	if over := lo - a.yLo; lo < 0 && !(over >= 0.02*size && over <= 0.06*size) {
		a.yLo = lo - 0.06*size
	}
	if over := a.yHi - hi; hi > 0 && !(over >= 0.02*size && over <= 0.06*size) {
		a.yHi = hi + 0.06*size
	}
	return inside(ticks, a.yLo, a.yHi)
}

// withZero is the span of zero and all values; a solver's dust on the far side of zero
// does not count.
func withZero(values ...[]float64) (lo, hi float64) {
	lo, hi = span(append(values, []float64{0})...)
	if dust := 1e-6 * (hi - lo); -lo < dust {
		lo = 0
	} else if hi < dust {
		hi = 0
	}
	return lo, hi
}

// inside keeps the ticks that stand between lo and hi.
func inside(ticks []float64, lo, hi float64) []float64 {
	kept := make([]float64, 0, len(ticks))
	for _, t := range ticks {
		if t >= lo && t <= hi {
			kept = append(kept, t)
		}
	}
	return kept
}

// header writes title and subtitle at the top and returns the y below them.
func (p *pen) header(title, subtitle string) vg.Length {
	y := p.h - topMargin
	for _, line := range titleFace.wrap(title, p.w-2*margin, 2) {
		y -= titleFace.size
		p.text(line, margin, y, left, titleFace)
		y -= 5
	}
	for _, line := range subtitleFace.wrap(subtitle, p.w-2*margin, 3) {
		y -= subtitleFace.size + 2
		p.text(line, margin, y, left, subtitleFace)
		y -= 3
	}
	return y - 6
}

// key is one entry of a legend: swatch draws inside the box it is given.
type key struct {
	label  string
	swatch func(x0, y0, x1, y1 vg.Length)
}

// legend sets the keys in a row from the left margin, breaking where the row is full,
// and returns the y below.
func (p *pen) legend(keys []key, y vg.Length) vg.Length {
	const swatchW, swatchH, lineH, between = 30, 12, 20, 24
	x := vg.Length(margin)
	y -= lineH
	for _, k := range keys {
		label := noteFace.cut(k.label, p.w-2*margin-swatchW-7)
		w := swatchW + 7 + noteFace.width(label)
		if x > margin && x+w > p.w-margin {
			x, y = margin, y-lineH
		}
		k.swatch(x, y-1.5, x+swatchW, y-1.5+swatchH)
		p.text(label, x+swatchW+7, y, left, noteFace)
		x += w + between
	}
	return y - 14
}

// gutter is the room that the labels need left of a panel.
func gutter(labels ...[]string) vg.Length {
	var w vg.Length
	for _, set := range labels {
		for _, s := range set {
			w = max(w, tickFace.width(s))
		}
	}
	return w + tickGap
}

// yAxis draws the grid and the labels at the left, and above them the panel's name
// with its unit, which is never cut.
func (p *pen) yAxis(a panel, name, unit string, ticks []float64, labels []string) {
	for i, t := range ticks {
		p.hLine(gridLine, a.x0, a.x1, a.y(t))
		p.textMid(labels[i], a.x0-tickGap, a.y(t), right, tickFace)
	}
	unit = ", " + unit
	name = panelFace.cut(name, a.x1-margin-panelFace.width(clean(unit)))
	p.text(name+unit, margin, a.y1+14, left, panelFace)
}

// zero draws the line at zero over the panel's width, where zero is on the scale.
func (p *pen) zero(a panel) {
	if a.yLo <= 0 && a.yHi >= 0 {
		p.hLine(zeroLine, a.x0, a.x1, a.y(0))
	}
}

// steps is the outline of values that hold over equal or unequal steps between edges.
func (a panel) steps(edges, values []float64) []vg.Point {
	pts := make([]vg.Point, 0, 2*len(values))
	for i, v := range values {
		if i > 0 && values[i-1] == v {
			pts[len(pts)-1] = a.at(edges[i+1], v)
			continue
		}
		pts = append(pts, a.at(edges[i], v), a.at(edges[i+1], v))
	}
	return pts
}

// grounded closes an outline down (or up) to the line at y.
func grounded(outline []vg.Point, y vg.Length) []vg.Point {
	first, last := outline[0], outline[len(outline)-1]
	return append(append([]vg.Point{{X: first.X, Y: y}}, outline...), vg.Point{X: last.X, Y: y})
}
