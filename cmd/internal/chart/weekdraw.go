package chart

import (
	"image/color"

	"gonum.org/v1/plot/vg"
)

var (
	demandStroke   = stroke{ink: black, width: 2}
	spillStroke    = stroke{ink: spillInk, width: 0.9}
	levelStroke    = stroke{ink: levelInk, width: 2}
	capacityStroke = stroke{ink: black, width: 1.3, dashes: dashed}
	holdStroke     = stroke{ink: boundInk, width: 2, dashes: []vg.Length{3, 1.8}}
)

// layerInks are the stack's, from the bottom up.
var layerInks = []color.RGBA{sunInk, storeInk, boilerInk}

const hatchPitch = 5

func (k Week) draw(p *pen) {
	y := p.legend(k.keys(p), p.header(k.Title, k.Subtitle))
	flows, level := k.panels(y)

	sums := k.stack()
	into, spilled := k.below()
	flowTicks := flows.reach(10, k.DemandKW, sums[2], spilled)
	levelTicks := level.reach(5, k.StoredKWh, k.HoldKWh, []float64{k.CapacityKWh * 1.18})
	// Below zero the direction is said in words, so the labels carry no sign.
	flowLabels := tickLabels(flowTicks)
	for i, t := range flowTicks {
		if t < 0 {
			flowLabels[i] = Thousands(-t, tickDecimals(flowTicks))
		}
	}
	flowLabels = k.allMarks(flowLabels)
	edge := margin + gutter(flowLabels, k.allMarks(tickLabels(levelTicks)))
	hours := k.StepH * float64(len(k.DemandKW))
	for _, a := range []*panel{&flows, &level} {
		a.x0, a.xLo, a.xHi = edge, 0, hours
	}

	k.drawFlows(p, flows, flowTicks, flowLabels, sums, into, spilled)
	bottom := flows
	if k.StoredKWh != nil {
		k.drawLevel(p, level, levelTicks)
		bottom = level
	}
	k.timeAxis(p, bottom)
}

func (k Week) panels(y vg.Length) (flows, level panel) {
	const nameH, footH, gap = 26, 58, 16
	flows = panel{x1: figureWidth - margin, y0: footH, y1: y - nameH}
	if k.StoredKWh == nil {
		return flows, panel{}
	}
	free := y - 2*nameH - footH - gap
	level = panel{x1: figureWidth - margin, y0: footH, y1: footH + free*2/7}
	flows.y0 = level.y1 + nameH + gap
	return flows, level
}

func (k Week) drawFlows(p *pen, a panel, ticks []float64, labels []string, sums [][]float64, into, spilled []float64) {
	name := k.say(phraseHeat)
	if a.yLo < 0 {
		name = k.say(phraseHeatBelow)
	}
	edges := k.edges()
	p.yAxis(a, name, "kW", ticks, labels)
	k.grid(p, a)
	// Back to front, each down to zero, so that no ground shines through at the seams.
	for i := len(sums) - 1; i >= 0; i-- {
		p.fill(layerInks[i], grounded(a.steps(edges, sums[i]), a.y(0)))
	}
	p.fill(intoInk, grounded(a.steps(edges, into), a.y(0)))
	b := band{edges: make([]vg.Length, len(edges))}
	for i, e := range edges {
		b.edges[i] = a.x(e)
	}
	for i := range into {
		b.lo, b.hi = append(b.lo, a.y(spilled[i])), append(b.hi, a.y(into[i]))
	}
	p.hatch(b, spillStroke, hatchPitch)
	p.zero(a)
	line := demandStroke
	if vg.Length(k.StepH)*a.perHour() < 2 { // a month: a thick line would blot out the stack
		line.width = 1
	}
	p.line(line, a.steps(edges, k.DemandKW)...)
}

func (k Week) drawLevel(p *pen, a panel, ticks []float64) {
	outline := a.points(k.edges(), k.StoredKWh)
	p.yAxis(a, k.say(phraseStored), "kWh", ticks, k.allMarks(tickLabels(ticks)))
	k.grid(p, a)
	p.fill(levelFill, grounded(outline, a.y(0)))
	p.line(levelStroke, outline...)
	p.zero(a)
	if k.HoldKWh != nil {
		p.line(holdStroke, a.steps(k.edges(), k.HoldKWh)...)
	}
	if k.CapacityKWh > 0 {
		y := a.y(k.CapacityKWh)
		p.hLine(capacityStroke, a.x0, a.x1, y)
		text := k.say(phraseFull, k.figure(k.CapacityKWh, savingDecimals(k.CapacityKWh)))
		p.label(text, a.x1-noteFace.width(text)-8, y+6, a.x0, a.x1-8, noteFace)
	}
}

func (k Week) grid(p *pen, a panel) {
	for _, m := range k.marks(a.perHour()) {
		s := gridLine
		if m.day && 24*a.perHour() > 40 {
			s.ink = grey60
		}
		p.vLine(s, a.x(m.hour), a.y0, a.y1)
	}
}

func (a panel) perHour() vg.Length { return (a.x1 - a.x0) / vg.Length(a.xHi-a.xLo) }

func (k Week) timeAxis(p *pen, a panel) {
	small := face{11, false, grey30}
	for _, m := range k.marks(a.perHour()) {
		length := vg.Length(4)
		if m.day {
			length = 9
		}
		p.vLine(axisLine, a.x(m.hour), a.y0-length, a.y0)
		if m.label != "" {
			p.text(m.label, a.x(m.hour), a.y0-15, centre, small)
		}
	}
	if a.yLo < 0 {
		p.hLine(axisLine, a.x0, a.x1, a.y0)
	}
	for _, d := range k.days(a.perHour()) {
		p.text(d.label, a.x(d.hour), a.y0-34, centre, tickFace)
	}
}

func (k Week) keys(p *pen) []key {
	box := func(fill func(pts []vg.Point)) func(x0, y0, x1, y1 vg.Length) {
		return func(x0, y0, x1, y1 vg.Length) { fill(rectangle(x0, y0, x1, y1)) }
	}
	ink := func(i int) func(pts []vg.Point) {
		return func(pts []vg.Point) { p.fill(layerInks[i], pts) }
	}
	keys := []key{{k.say(phraseDemand), func(x0, y0, x1, y1 vg.Length) { p.hLine(demandStroke, x0, x1, (y0+y1)/2) }}}
	for i, name := range []string{k.say(phraseSun), k.say(phraseStore), k.say(phraseBoilers)} {
		if [][]float64{k.SunKW, k.StoreKW, k.BoilerKW}[i] != nil {
			keys = append(keys, key{name, box(ink(i))})
		}
	}
	if k.SunToStoreKW != nil {
		keys = append(keys, key{k.say(phraseInto), box(func(pts []vg.Point) { p.fill(intoInk, pts) })})
	}
	if k.SpilledKW != nil {
		keys = append(keys, key{k.say(phraseSpilled), func(x0, y0, x1, y1 vg.Length) {
			p.hatch(band{[]vg.Length{x0, x1}, []vg.Length{y0}, []vg.Length{y1}}, spillStroke, hatchPitch)
		}})
	}
	if k.HoldKWh != nil {
		keys = append(keys, key{k.say(phraseHold), func(x0, y0, x1, y1 vg.Length) { p.hLine(holdStroke, x0, x1, (y0+y1)/2) }})
	}
	return keys
}
