package sketch

// SVG draws the day.
func (d Day) SVG() (string, error) {
	if err := d.Check(); err != nil {
		return "", err
	}
	stored := d.StoredKWh != nil
	wideH, narrowH := 540.0, 520.0
	if !stored {
		wideH, narrowH = 400, 380
	}
	p := newPen("day", d.ID, d.Narrow, wideH, narrowH)
	p.open("day", d.title(), d.desc())
	p.hatchings()
	top := p.keys(d.legend(p), 4)
	upper, lower := d.panels(p, top, stored)
	stack, deep := d.stacks()
	demand := times(d.DemandKW, d.HeatTimes)
	ticks := upper.reach(7, append(append(stack, deep...), demand)...)
	p.ground(upper, "Heat", d.HeatUnit, ticks)
	d.hours(p, upper)
	d.drawFlows(p, upper, stack, deep)
	p.zero(upper)
	p.trace("demand", 2.4, upper.steps(d.edges(), demand))
	last := upper
	if stored {
		d.drawStored(p, lower)
		last = lower
	}
	at, texts := d.hourTicks()
	p.below(last, at, texts, "Hour of the day")
	return p.close(), nil
}

func (d Day) panels(p *pen, top float64, stored bool) (upper, lower panel) {
	const nameH, footH, gap = 24, 46, 16
	left, right := PlotLeft, PlotRight
	if d.Narrow {
		left, right = NarrowLeft, NarrowRight
	}
	upper = panel{x0: left * p.w, x1: right * p.w, y0: top + nameH, y1: p.h - footH, xHi: float64(len(d.DemandKW)) * d.StepH}
	if stored {
		free := p.h - top - 2*nameH - footH - gap
		lower = upper
		upper.y1 = upper.y0 + free*11/16
		lower.y0 = upper.y1 + gap + nameH
	}
	return upper, lower
}

func times(v []float64, by float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = v[i] * by
	}
	return out
}

// stacks are the tops of the areas over zero and the bottoms of those under it, in the order of flows; the first of
// each is the zero line.
func (d Day) stacks() (up, down [][]float64) {
	n := len(d.DemandKW)
	up, down = [][]float64{make([]float64, n)}, [][]float64{make([]float64, n)}
	for _, s := range d.flows() {
		side, sign := &up, 1.0
		if s.below {
			side, sign = &down, -1.0
		}
		next := append([]float64(nil), (*side)[len(*side)-1]...)
		for i := range s.kW {
			next[i] += sign * max(s.kW[i], 0) * d.HeatTimes
		}
		*side = append(*side, next)
	}
	return up, down
}

func (d Day) edges() []float64 {
	e := make([]float64, len(d.DemandKW)+1)
	for i := range e {
		e[i] = float64(i) * d.StepH
	}
	return e
}

// drawFlows fills each kind between its own line and the one before, with its hatching and an outline.
func (d Day) drawFlows(p *pen, a panel, up, down [][]float64) {
	iUp, iDown := 0, 0
	for _, s := range d.flows() {
		side, i := up, &iUp
		if s.below {
			side, i = down, &iDown
		}
		near, far := side[*i], side[*i+1]
		*i++
		if !d.some(s.kW) {
			continue
		}
		outline := a.steps(d.edges(), far)
		back := a.steps(d.edges(), near)
		for k := len(back) - 1; k >= 0; k-- {
			outline = append(outline, back[k])
		}
		p.kind(s, func(class string, more ...string) { p.area(class, outline, more...) })
	}
}

// kind draws an area thrice: its colour, its hatching and its edge.
func (p *pen) kind(s flow, draw func(class string, more ...string)) {
	draw(s.class)
	if s.hatch != "" {
		draw("hatch", "fill", "url(#"+p.id+"-"+s.hatch+")")
	}
	draw("edge", "fill", "none", "stroke", "currentColor", "stroke-width", "0.8")
}

// hatchings are the patterns by which kinds are told apart without colour.
func (p *pen) hatchings() {
	p.begin("defs")
	for _, h := range []struct{ name, d, size string }{
		{"rising", "M-1 1L1 -1M0 8L8 0M7 9L9 7", "8"},
		{"falling", "M-1 5L1 7M0 0L6 6M5 -1L7 1", "6"},
		{"cross", "M0 0L7 7M0 7L7 0", "7"},
		{"dots", "M4 4h.01", "8"},
	} {
		p.begin("pattern", "id", p.id+"-"+h.name, "width", h.size, "height", h.size, "patternUnits", "userSpaceOnUse")
		wide := "1.2"
		if h.name == "dots" {
			wide = "2"
		}
		p.mark("path", "class", "mark", "d", h.d, "fill", "none", "stroke", "currentColor", "stroke-width", wide, "stroke-linecap", "round")
		p.end("pattern")
	}
	p.end("defs")
}

func (d Day) legend(p *pen) []key {
	keys := []key{{"demand", func(x, y float64) {
		p.trace("demand", 2.4, []point{{x, y + 10}, {x + 13, y + 10}, {x + 13, y + 3}, {x + 26, y + 3}})
	}}}
	for _, s := range d.flows() {
		if !d.some(s.kW) {
			continue
		}
		keys = append(keys, key{s.text, func(x, y float64) {
			p.kind(s, func(class string, more ...string) {
				p.area(class, []point{{x, y}, {x + swatchW, y}, {x + swatchW, y + swatchH}, {x, y + swatchH}}, more...)
			})
		}})
	}
	return keys
}

// hourTicks are round hours: every 3, or every 6 where the picture is narrow or long.
func (d Day) hourTicks() (at []float64, texts []string) {
	length := float64(len(d.DemandKW)) * d.StepH
	every := 3.0
	if d.Narrow {
		every = 6
	}
	for length/every > 8 {
		every *= 2
	}
	for h := 0.0; h <= length+1e-9; h += every {
		at, texts = append(at, h), append(texts, clockText(h))
	}
	return at, texts
}

func (d Day) hours(p *pen, a panel) {
	at, _ := d.hourTicks()
	for _, h := range at {
		p.line("grid", 1, a.x(h), a.y0, a.x(h), a.y1)
	}
}

// drawStored draws the heat in the store as a line over its fill, and the level of a full store with its words.
func (d Day) drawStored(p *pen, a panel) {
	stored, full := times(d.StoredKWh, d.EnergyTimes), d.CapacityKWh*d.EnergyTimes
	ticks := a.reach(4, stored, []float64{full})
	p.ground(a, "Heat in the store", d.EnergyUnit, ticks)
	d.hours(p, a)
	pts := a.points(d.edges(), stored)
	p.area("level", append(append([]point{{a.x0, a.y(0)}}, pts...), point{a.x1, a.y(0)}))
	p.trace("stored", 2.4, pts)
	p.zero(a)
	if full <= 0 {
		return
	}
	y := a.y(full)
	p.line("full", 1.6, a.x0, y, a.x1, y, "stroke-dasharray", wasDash)
	var taken crowd
	taken.follow(pts)
	text := "full: " + figure(full) + " " + d.EnergyUnit
	w := width(text)
	var places []box
	for _, x := range []float64{a.x0 + 6, a.x1 - 6 - w, (a.x0 + a.x1 - w) / 2} {
		places = append(places, box{x, y + 2, x + w, y + lineH + 4})
	}
	p.words("", taken.best(places, a), text)
}
