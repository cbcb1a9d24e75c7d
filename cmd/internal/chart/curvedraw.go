package chart

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/vg"
)

func (c Curve) draw(p *pen) {
	y := p.legend(c.keys(p), p.header(c.Title, c.Subtitle))
	upper, lower := c.panels(y)

	savingsTicks := upper.reach(7, c.Savings, c.Upper)
	gainTicks := lower.reach(5, c.marginal(), []float64{c.CostM3})
	volumeTicks := Ticks(c.VolumesM3[0], c.VolumesM3[len(c.VolumesM3)-1], 12)
	edge := margin + gutter(c.allMarks(tickLabels(savingsTicks)), c.allMarks(tickLabels(gainTicks)))
	for _, a := range []*panel{&upper, &lower} {
		a.x0 = edge
		a.xLo, a.xHi = volumeTicks[0], volumeTicks[len(volumeTicks)-1]
	}

	c.drawSavings(p, upper, savingsTicks, volumeTicks)
	c.drawGain(p, lower, gainTicks, volumeTicks)
	c.drawMark(p, upper, lower)
	labels := c.allMarks(tickLabels(volumeTicks))
	for i, t := range volumeTicks {
		p.text(labels[i], lower.x(t), lower.y0-19, centre, tickFace)
	}
	p.text(c.say(phraseVolume), (lower.x0+lower.x1)/2, lower.y0-41, centre, panelFace)
}

// panels shares the height below y in the ratio 11 to 5.
func (c Curve) panels(y vg.Length) (upper, lower panel) {
	const nameH, footH, gap = 26, 56, 24
	free := y - 2*nameH - footH - gap
	lower = panel{x1: figureWidth - margin, y0: footH}
	lower.y1 = lower.y0 + free*5/16
	upper = panel{x1: figureWidth - margin, y0: lower.y1 + nameH + gap, y1: y - nameH}
	return upper, lower
}

func (c Curve) drawSavings(p *pen, a panel, ticks, volumeTicks []float64) {
	c.grid(p, a, volumeTicks)
	p.yAxis(a, c.name(), c.say(phrasePerYear, c.Currency), ticks, c.allMarks(tickLabels(ticks)))
	p.zero(a)
	if c.Upper != nil {
		p.line(boundStroke, a.points(c.upperM3(), c.Upper)...)
	}
	pts := a.points(c.VolumesM3, c.Savings)
	p.line(curveStroke, pts...)
	for _, pt := range pts {
		p.dot(curveInk, white, pt, c.dotRadius())
	}
}

var (
	boundStroke = stroke{ink: boundInk, width: 1.3, dashes: dashed}
	curveStroke = stroke{ink: curveInk, width: 2.2}
	costStroke  = stroke{ink: boundInk, width: 1.6, dashes: []vg.Length{9, 3, 2, 3}}
	markStroke  = stroke{ink: black, width: 1.2, dashes: dotted}
)

func (c Curve) dotRadius() vg.Length {
	if len(c.VolumesM3) > 60 {
		return 2
	}
	return 3.4
}

func (c Curve) grid(p *pen, a panel, volumeTicks []float64) {
	for _, t := range volumeTicks {
		p.vLine(gridLine, a.x(t), a.y0, a.y1)
	}
}

func (c Curve) drawGain(p *pen, a panel, ticks, volumeTicks []float64) {
	outline := a.steps(c.VolumesM3, c.marginal())
	c.grid(p, a, volumeTicks)
	p.fill(barInk, grounded(outline, a.y(0)))
	p.yAxis(a, c.say(phraseNextM3), c.say(phrasePerM3Year, c.Currency), ticks, c.allMarks(tickLabels(ticks)))
	p.line(stroke{ink: curveInk, width: 1.8}, outline...)
	p.zero(a)
	for _, t := range volumeTicks {
		p.vLine(axisLine, a.x(t), a.y0-4, a.y0)
	}
	if a.yLo < 0 {
		p.hLine(axisLine, a.x0, a.x1, a.y0)
	}
	if c.CostM3 == 0 {
		return
	}
	y := a.y(c.CostM3)
	p.hLine(costStroke, a.x0, a.x1, y)
	text := c.say(phraseTankCosts, c.money(c.CostM3, amountDecimals(c.CostM3)))
	p.label(text, a.x1-noteFace.width(text)-4, y+7, a.x0, a.x1-4, noteFace)
}

// drawMark sets a line through both panels, its words where the curve leaves room.
func (c Curve) drawMark(p *pen, upper, lower panel) {
	if c.MarkM3 == 0 {
		return
	}
	x := upper.x(c.MarkM3)
	saving := between(c.VolumesM3, c.Savings, c.MarkM3)
	p.vLine(markStroke, x, lower.y0, lower.y1)
	p.vLine(markStroke, x, upper.y0, upper.y1)
	at := upper.at(c.MarkM3, saving)
	p.dot(white, curveInk, at, c.dotRadius()+2)
	p.dot(curveInk, white, at, c.dotRadius()-0.4)

	verb := phraseSaves
	if saving < 0 {
		verb = phraseCosts
	}
	text := c.say(verb, c.Marked(amount(c.MarkM3)), c.money(math.Abs(saving), savingDecimals(saving)))
	f := face{noteFace.size, true, black}
	y := upper.y0 + 14
	if at.Y < (upper.y0+upper.y1)/2 {
		y = upper.y1 - 20
	}
	left := x + 8
	if w := f.width(text); left+w > upper.x1-4 {
		left = x - 8 - w
	}
	p.label(text, left, y, upper.x0+4, upper.x1-4, f)
}

// money is a sum in words, its currency after it or before.
func (c Curve) money(v float64, decimals int) string {
	return c.Sum(c.figure(v, decimals), c.Currency)
}

func savingDecimals(v float64) int {
	if math.Abs(v) >= 100 {
		return 0
	}
	return 2
}

func (c Curve) keys(p *pen) []key {
	keys := []key{{c.say(phraseSolved), func(x0, y0, x1, y1 vg.Length) {
		y := (y0 + y1) / 2
		p.hLine(curveStroke, x0, x1, y)
		p.dot(curveInk, white, vg.Point{X: (x0 + x1) / 2, Y: y}, 3.4)
	}}}
	if c.Upper == nil {
		return keys
	}
	return append(keys, key{c.boundWords(), func(x0, y0, x1, y1 vg.Length) {
		p.hLine(boundStroke, x0, x1, (y0+y1)/2)
	}})
}

// boundWords says how near the bound lies where the eye cannot part the two lines.
func (c Curve) boundWords() string {
	widest, _, _ := c.gap()
	if widest > 0.01 {
		return "proven upper bound: no plan can save more"
	}
	percent := max(math.Ceil(widest*1e4-1e-6)/100, 0.01)
	return fmt.Sprintf("proven upper bound, nowhere more than %.2g %% of the range above", percent)
}
