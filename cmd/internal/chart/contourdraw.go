package chart

import (
	"image/color"

	"gonum.org/v1/plot/vg"
)

var (
	isoStroke   = stroke{ink: grey20, width: 0.9}
	zeroStroke  = stroke{ink: black, width: 2}
	ridgeStroke = stroke{ink: boundInk, width: 2, dashes: []vg.Length{7, 4}}
	labelFace   = face{12, false, black}
	bestFace    = face{13, true, black}
)

func (c Contour) draw(p *pen) {
	y := p.legend(c.keys(p), p.header(c.Title, c.Subtitle))
	a := panel{x1: figureWidth - margin, y0: 56, y1: y - 26,
		xLo: c.Xs[0], xHi: c.Xs[len(c.Xs)-1], yLo: c.Ys[0], yHi: c.Ys[len(c.Ys)-1]}
	xTicks := inside(Ticks(a.xLo, a.xHi, 12), a.xLo, a.xHi)
	yTicks := inside(Ticks(a.yLo, a.yHi, 10), a.yLo, a.yHi)
	yLabels := tickLabels(yTicks)
	a.x0 = margin + gutter(yLabels)
	var rightTicks []float64
	var rightLabels []string
	if c.RightName != "" {
		lo, hi := a.yLo*c.RightPer, a.yHi*c.RightPer
		rightTicks = inside(Ticks(lo, hi, 10), lo, hi)
		rightLabels = tickLabels(rightTicks)
		a.x1 -= gutter(rightLabels)
	}
	loops := c.loops()
	c.fillSteps(p, a, loops)
	c.drawAxes(p, a, xTicks, yTicks, yLabels)
	for i, t := range rightTicks {
		p.hLine(axisLine, a.x1, a.x1+4, a.y(t/c.RightPer))
		p.textMid(rightLabels[i], a.x1+tickGap, a.y(t/c.RightPer), left, tickFace)
	}
	left := panelFace.cut(c.YName, (a.x1-margin)/2)
	p.text(left, margin, a.y1+14, 0, panelFace)
	p.text(panelFace.cut(c.RightName, (a.x1-margin)/2-20), figureWidth-margin, a.y1+14, right, panelFace)
	c.drawLines(p, a, loops)
}

// contourLevel is one level with its border.
type contourLevel struct {
	value float64
	loops []isoline
}

func (c Contour) loops() []contourLevel {
	r := relief{c.Xs, c.Ys, c.Values}
	var all []contourLevel
	for _, l := range c.levels() {
		all = append(all, contourLevel{l, r.loops(l)})
	}
	return all
}

// shades are the inks of the steps: from white, for what lies below 0 or below the first level, down to
// a grey on which black lettering can still be read.
func shades(levels []contourLevel) []color.Color {
	positive := 0
	for _, l := range levels {
		if l.value >= 0 {
			positive++
		}
	}
	// CIE L* from 97 to 52 in even steps; the ramp runs from 97 to 22.
	const darkest = 255 * (97 - 52) / (97 - 22)
	ramp := StoreTone.ramp()
	inks := make([]color.Color, len(levels))
	n := 0
	for i, l := range levels {
		inks[i] = white
		if l.value >= 0 {
			inks[i] = ramp[darkest*n/max(positive-1, 1)]
			n++
		}
	}
	return inks
}

// fillSteps paints each level over the one below it.
func (c Contour) fillSteps(p *pen, a panel, levels []contourLevel) {
	inks := shades(levels)
	for i, l := range levels {
		var path vg.Path
		for _, loop := range l.loops {
			for k, s := range loop.spots {
				if k == 0 {
					path.Move(a.at(s.x, s.y))
					continue
				}
				path.Line(a.at(s.x, s.y))
			}
			path.Close()
		}
		p.c.SetColor(inks[i])
		p.c.Fill(path)
	}
}

func (c Contour) drawAxes(p *pen, a panel, xTicks, yTicks []float64, yLabels []string) {
	p.line(axisLine, append(rectangle(a.x0, a.y0, a.x1, a.y1), vg.Point{X: a.x0, Y: a.y0})...)
	labels := tickLabels(xTicks)
	for i, t := range xTicks {
		p.vLine(axisLine, a.x(t), a.y0-4, a.y0)
		p.text(labels[i], a.x(t), a.y0-19, centre, tickFace)
	}
	for i, t := range yTicks {
		p.hLine(axisLine, a.x0-4, a.x0, a.y(t))
		p.textMid(yLabels[i], a.x0-tickGap, a.y(t), right, tickFace)
	}
	p.text(panelFace.cut(c.XName, a.x1-a.x0), (a.x0+a.x1)/2, a.y0-41, centre, panelFace)
}

// drawLines finds room for the words, draws the lines of the levels with gaps for their values, and then
// the ridge and the spots.
func (c Contour) drawLines(p *pen, a panel, levels []contourLevel) {
	words := placer{a: a}
	best := c.placeBest(&words)
	if c.Here != nil {
		words.keepOff(a.at(c.Here.X, c.Here.Y), 9)
	}
	ridge := a.points(c.Ridge, c.Ys[:len(c.Ridge)])
	words.keepOffLine(ridge)
	values := make([]float64, len(levels))
	for i, l := range levels {
		values[i] = l.value
	}
	text := tickLabels(values)
	for i := len(levels) - 1; i >= 0; i-- { // the highest first: their lines are the shortest
		c.drawLevel(p, &words, levels[i], text[i])
	}
	if c.Ridge != nil {
		p.line(stroke{ink: white, width: 4}, ridge...) // so that it stands out in grey
		p.line(ridgeStroke, ridge...)
	}
	if c.Here != nil {
		p.square(a.at(c.Here.X, c.Here.Y))
	}
	if c.Best != nil {
		p.dot(black, white, a.at(c.Best.X, c.Best.Y), 5.5)
		p.label(bestFace.cut(c.Best.Text, a.x1-a.x0-16), best.x0+6, best.y0+5, a.x0+4, a.x1-4, bestFace)
	}
}

func (a panel) spots(line []spot) []vg.Point {
	pts := make([]vg.Point, len(line))
	for i, s := range line {
		pts[i] = a.at(s.x, s.y)
	}
	return pts
}

func (p *pen) square(at vg.Point) {
	p.fill(black, rectangle(at.X-5.5, at.Y-5.5, at.X+5.5, at.Y+5.5))
	p.fill(white, rectangle(at.X-3.8, at.Y-3.8, at.X+3.8, at.Y+3.8))
}

// placeBest takes room for the dot and, over or under it, for its words.
func (c Contour) placeBest(words *placer) box {
	if c.Best == nil {
		return box{}
	}
	a := words.a
	at := a.at(c.Best.X, c.Best.Y)
	w := bestFace.width(bestFace.cut(c.Best.Text, a.x1-a.x0-16))
	x := min(max(at.X-w/2, a.x0+8), a.x1-8-w)
	y := at.Y + 14
	if y+bestFace.size > a.y1-4 {
		y = at.Y - 14 - bestFace.size
	}
	b := box{x - 6, y - 5, x + w + 6, y + bestFace.size + 3}
	words.keepOff(at, 9)
	words.taken = append(words.taken, b)
	return b
}

// drawLevel draws a level's lines and writes its value into a gap of the longest.
func (c Contour) drawLevel(p *pen, words *placer, l contourLevel, text string) {
	var lines [][]vg.Point
	var longest []vg.Point
	for _, loop := range l.loops {
		for _, line := range loop.open() {
			pts := words.a.spots(line)
			lines = append(lines, pts)
			if lengthOf(pts) > lengthOf(longest) {
				longest = pts
			}
		}
	}
	w, h := labelFace.width(text), labelFace.capHeight()
	at, ok := words.place(longest, w, h)
	var gap box
	if ok {
		gap = box{at.X - w/2 - 3, at.Y - h/2 - 3, at.X + w/2 + 3, at.Y + h/2 + 3}
		p.text(text, at.X-w/2, at.Y-h/2, left, labelFace)
	}
	s := isoStroke
	if l.value == 0 {
		s = zeroStroke
	}
	for _, line := range lines {
		for _, piece := range gap.leave(line) {
			p.line(s, piece...)
		}
	}
}

func (c Contour) keys(p *pen) []key {
	keys := []key{{c.ValueName, func(x0, y0, x1, y1 vg.Length) {
		inks := shades([]contourLevel{{value: 1}, {value: 2}, {value: 3}, {value: 4}})
		for i, ink := range inks {
			w := (x1 - x0) / vg.Length(len(inks))
			p.fill(ink, rectangle(x0+vg.Length(i)*w, y0, x0+vg.Length(i+1)*w, y1))
		}
		p.line(isoStroke, append(rectangle(x0, y0, x1, y1), vg.Point{X: x0, Y: y0})...)
	}}}
	if lo, hi := span(c.Values...); c.ZeroName != "" && lo < 0 && hi > 0 {
		keys = append(keys, key{c.ZeroName, func(x0, y0, x1, y1 vg.Length) { p.hLine(zeroStroke, x0, x1, (y0+y1)/2) }})
	}
	if c.Ridge != nil {
		keys = append(keys, key{c.RidgeName, func(x0, y0, x1, y1 vg.Length) { p.hLine(ridgeStroke, x0, x1, (y0+y1)/2) }})
	}
	if c.Here != nil {
		keys = append(keys, key{c.Here.Text, func(x0, y0, x1, y1 vg.Length) { p.square(vg.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2}) }})
	}
	return keys
}
