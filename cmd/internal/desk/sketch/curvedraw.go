package sketch

import (
	"noonkeep/cmd/internal/chart"
)

// currencyRoom keeps a currency of many letters from pushing figures out of a narrow picture; title and desc say it whole.
const currencyRoom = 56

// SVG draws the curve.
func (c Curve) SVG() (string, error) {
	if err := c.Check(); err != nil {
		return "", err
	}
	title, desc := c.title(), c.desc()
	c.Currency = cut(c.Currency, currencyRoom)
	// The rows of the legend set where the panels begin, and the root tells of the panels: a first pen measures.
	upper, lower, ticks, gainTicks := c.panels(c.pen())
	p := c.pen()
	p.open("curve", title, desc, "data-m3", full(c.VolumesM3), "data-savings", full(c.Savings),
		"data-plot", num(upper.x0)+" "+num(upper.y0)+" "+num(upper.x1)+" "+num(upper.y1),
		"data-money", full([]float64{upper.yLo, upper.yHi}))
	p.keys(c.legend(p), 4)
	volumeTicks := c.volumeTicks()
	p.ground(upper, "Savings", c.Currency+" per year", ticks)
	p.ground(lower, "The next m³ saves", c.Currency+" per m³ and year", gainTicks)
	for _, t := range volumeTicks {
		p.line("grid", 1, upper.x(t), upper.y0, upper.x(t), upper.y1)
		p.line("grid", 1, lower.x(t), lower.y0, lower.x(t), lower.y1)
	}
	c.drawGain(p, lower)
	p.zero(upper)
	c.drawSavings(p, upper, lower)
	texts, _ := labels(volumeTicks, 1e9)
	p.below(lower, volumeTicks, texts, "Storage volume, m³")
	return p.close(), nil
}

func (c Curve) pen() *pen { return newPen("curve", c.ID, c.Narrow, 540, 520) }

// panels shares the height under the legend in the ratio 11 to 5.
func (c Curve) panels(p *pen) (upper, lower panel, ticks, gainTicks []float64) {
	const nameH, footH, gap = 24, 46, 16
	top := p.keys(c.legend(p), 4)
	left, right := PlotLeft, PlotRight
	if c.Narrow {
		left, right = NarrowLeft, NarrowRight
	}
	n := len(c.VolumesM3) - 1
	upper = panel{x0: left * p.w, x1: right * p.w, xLo: c.VolumesM3[0], xHi: c.VolumesM3[n]}
	lower = upper
	free := p.h - top - 2*nameH - footH - gap
	upper.y0, upper.y1 = top+nameH, top+nameH+free*11/16
	lower.y0, lower.y1 = upper.y1+gap+nameH, p.h-footH
	sets := [][]float64{c.Savings, c.Upper}
	if c.Was != nil {
		_, was := clip(c.Was.VolumesM3, c.Was.Savings, upper.xLo, upper.xHi)
		sets = append(sets, was)
	}
	ticks = upper.reach(6, sets...)
	gainTicks = lower.reach(5, c.marginal(), []float64{c.CostM3})
	return upper, lower, ticks, gainTicks
}

func (c Curve) volumeTicks() []float64 {
	lo, hi := c.VolumesM3[0], c.VolumesM3[len(c.VolumesM3)-1]
	most := 12
	if c.Narrow {
		most = 6
	}
	return inside(chart.Ticks(lo, hi, most), lo, hi)
}

const wasDash, costDash, lineDash = "7 5", "10 3 2 3", "2 3"

func (c Curve) legend(p *pen) []key {
	across := func(class string, wide float64, more ...string) func(x, y float64) {
		return func(x, y float64) { p.line(class, wide, x, y+swatchH/2, x+swatchW, y+swatchH/2, more...) }
	}
	keys := []key{{"proven points", func(x, y float64) {
		across("saving", 2.4)(x, y)
		p.dot("dot", point{x + swatchW/2, y + swatchH/2}, 3)
	}}}
	if c.Upper != nil {
		keys = append(keys, key{"proven bound: no plan saves more", across("bound", 1)})
	}
	if c.Was != nil {
		keys = append(keys, key{"before: " + c.Was.Name, across("was", 1.8, "stroke-dasharray", wasDash)})
	}
	return keys // the price of one more m³ has its words on its own line
}

func (p *pen) dot(class string, at point, r float64) {
	p.mark("circle", "class", class, "cx", num(at.x), "cy", num(at.y), "r", num(r))
}

func (c Curve) drawGain(p *pen, a panel) {
	outline := a.steps(c.VolumesM3, c.marginal())
	last := len(outline) - 1
	p.area("gain", append(append([]point{{outline[0].x, a.y(0)}}, outline...), point{outline[last].x, a.y(0)}))
	p.trace("saving", 1.6, outline)
	p.zero(a)
	if c.CostM3 == 0 {
		return
	}
	y := a.y(c.CostM3)
	p.line("cost", 1.8, a.x0, y, a.x1, y, "stroke-dasharray", costDash)
	var taken crowd
	taken.follow(outline)
	taken.follow([]point{{a.x(c.AtM3), a.y0}, {a.x(c.AtM3), a.y1}})
	text := "one more m³ costs " + c.sum(c.CostM3)
	if c.Narrow { // under "The next m³ saves"
		text = "it costs " + c.sum(c.CostM3)
	}
	w := width(text)
	var places []box
	for _, x := range []float64{a.x1 - 6 - w, a.x0 + 6, (a.x0 + a.x1 - w) / 2} {
		for _, off := range []float64{0, 10, 22, 36} {
			places = append(places, box{x, y - off - lineH - 4, x + w, y - off - 2}, box{x, y + off + 2, x + w, y + off + lineH + 4})
		}
	}
	p.words("", taken.best(places, a), text)
}

// drawSavings draws the lines of the upper panel, then the handle through both, then the words where the lines leave room.
func (c Curve) drawSavings(p *pen, a, lower panel) {
	var taken crowd
	if c.Was != nil {
		xs, ys := clip(c.Was.VolumesM3, c.Was.Savings, a.xLo, a.xHi)
		if len(xs) > 1 {
			p.trace("was", 1.8, a.points(xs, ys), "stroke-dasharray", wasDash)
			taken.follow(a.points(xs, ys))
		}
	}
	if c.Upper != nil {
		xs, ys := clip(c.upperM3(), c.Upper, a.xLo, a.xHi)
		p.trace("bound", 1, a.points(xs, ys))
		taken.follow(a.points(xs, ys))
	}
	pts := a.points(c.VolumesM3, c.Savings)
	p.trace("saving", 2.4, pts)
	taken.follow(pts)
	r := 3.0
	if len(pts) > 40 {
		r = 2
	}
	for _, pt := range pts {
		p.dot("dot", pt, r)
	}
	at := point{a.x(c.AtM3), a.y(c.saves())}
	p.mark("path", "class", "handle-line", "fill", "none", "stroke", "currentColor", "stroke-width", "1.6", "stroke-dasharray", lineDash,
		"d", way([]point{{at.x, a.y0}, {at.x, a.y1}})+way([]point{{at.x, lower.y0}, {at.x, lower.y1}}))
	taken.follow([]point{{at.x, a.y0}, {at.x, a.y1}})
	c.drawWords(p, a, at, &taken)
}

func (c Curve) drawWords(p *pen, a panel, at point, taken *crowd) {
	if c.BestM3 > 0 {
		best := point{a.x(c.BestM3), a.y(between(c.VolumesM3, c.Savings, c.BestM3))}
		const s = 7
		p.area("best", []point{{best.x, best.y - s}, {best.x + s, best.y}, {best.x, best.y + s}, {best.x - s, best.y}})
		taken.boxes = append(taken.boxes, box{best.x - s, best.y - s, best.x + s, best.y + s})
		if !c.atBest() {
			text := "◆ best: " + figure(c.BestM3) + " m³"
			p.words("", taken.best(around(best.x, best.y, width(text), 1, a), a), text)
		}
	}
	p.mark("circle", "class", "ring", "cx", num(at.x), "cy", num(at.y), "r", "7", "fill", "none", "stroke", "currentColor", "stroke-width", "2.4")
	taken.boxes = append(taken.boxes, box{at.x - 8, at.y - 8, at.x + 8, at.y + 8})
	verb, money := "saves ", c.saves()
	if money < 0 {
		verb, money = "costs ", -money
	}
	lines := []string{figure(c.AtM3) + " m³", verb + c.sum(money) + " a year"}
	if c.Narrow { // the panel's name says what of
		lines[1] = c.sum(c.saves()) + " a year"
	}
	if c.BestM3 > 0 && c.atBest() {
		lines[0] += ", the best volume"
	}
	w := max(width(lines[0])*1.06, width(lines[1])*1.06)
	p.words("say", taken.best(around(at.x, at.y, w, 2, a), a), lines...)
	if c.Was != nil {
		c.nameWas(p, a, taken)
	}
}

// nameWas sets the earlier version's name beside its line.
func (c Curve) nameWas(p *pen, a panel, taken *crowd) {
	xs, ys := clip(c.Was.VolumesM3, c.Was.Savings, a.xLo, a.xHi)
	if len(xs) < 2 {
		return // it lies wholly beside this curve's volumes; the legend and the description tell of it
	}
	text := cut(c.Was.Name, min((a.x1-a.x0)*0.45, 240))
	var places []box
	for _, share := range []float64{0.98, 0.85, 0.7, 0.55, 0.4, 0.25} {
		x := xs[0] + share*(xs[len(xs)-1]-xs[0])
		places = append(places, around(a.x(x), a.y(between(xs, ys, x)), width(text), 1, a)[:12]...)
	}
	const clear = 3                                                    // points of a line, some 12 units; where more would be covered, the legend's name must do
	if b := taken.best(places, a); taken.trouble(b, a)-1000 <= clear { // it is among what is taken itself by now
		p.words("quiet", b, text)
	}
}
