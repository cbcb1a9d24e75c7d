package replay

import "math"

// mainPipe is a header in play.
type mainPipe struct {
	demand, ahead series
	steam         bool
	mediumC       float64 // of a medium; 0 where it is not known
	steamC        float64
	barAbs        float64
	hSteam        float64 // of its dry steam, kJ/kg
	hFeed         float64 // of its feedwater
	perKg         float64 // the one less the other
	slackKWh      float64
	above         int
	kids          []int   // headers that it lets heat down to
	valveMostKW   float64 // into it from above
	perUpper      float64 // heat of this header for one of the header above

	bandKWh float64 // STATE: heat over that at the set pressure

	// Of the step, kW.
	demandKW, keepKW, needKW, inKW, valveKW, overKW, chargeKW, unmetKW, ventKW float64
}

// sourceC is how hot it can make what it heats; 0 where that is not known.
func (m *mainPipe) sourceC() float64 {
	if m.steam {
		return m.steamC
	}
	return m.mediumC
}

// restoreS is how fast boilers and store bring the pressure back into the middle of its band, s; common practice, no source.
const restoreS = 300

// begin sets what a header asks for in a step: its loads, what keeps stores warm, and its pressure.
func (m *mainPipe) begin(demandKW, keepKW, stepH float64) {
	m.demandKW, m.keepKW = demandKW, keepKW
	m.inKW, m.valveKW, m.overKW, m.chargeKW = 0, 0, 0, 0
	m.needKW = demandKW + keepKW
	if m.bandKWh != 0 {
		m.needKW -= m.bandKWh / math.Max(stepH, restoreS/secondsPerHour)
	}
}

const secondsPerHour = 3600.0

// give lets a header, and those below it, take of kW what they still need. It returns what was taken, as heat of header l.
func (m *machine) give(l int, kW float64) float64 {
	p := &m.mains[l]
	taken := math.Min(kW, math.Max(p.needKW, 0))
	p.needKW -= taken
	for _, c := range p.kids {
		rest := kW - taken
		if rest <= 0 {
			break
		}
		kid := &m.mains[c]
		x := m.give(c, math.Min(rest*kid.perUpper, kid.valveMostKW-kid.valveKW))
		kid.valveKW += x
		taken += x / kid.perUpper
	}
	return taken
}

// asks is what a header and those below it still need, as heat of header l.
func (m *machine) asks(l int) float64 {
	p := &m.mains[l]
	kW := math.Max(p.needKW, 0)
	for _, c := range p.kids {
		kid := &m.mains[c]
		kW += math.Min(m.asks(c), kid.valveMostKW-kid.valveKW) / kid.perUpper
	}
	return kW
}

// spread is give on another list of needs, for what may come; valves are taken at their most.
func (m *machine) spread(need []float64, l int, kW float64) {
	if need[l] > 0 {
		x := math.Min(kW, need[l])
		need[l] -= x
		kW -= x
	}
	for _, c := range m.mains[l].kids {
		if kW <= 0 {
			return
		}
		before := need[c]
		kid := &m.mains[c]
		m.spread(need, c, math.Min(kW*kid.perUpper, kid.valveMostKW))
		kW -= (before - need[c]) / kid.perUpper
	}
}

// under is what a header and those below it lack on a list of needs.
func (m *machine) under(need []float64, l int) float64 {
	kW := math.Max(need[l], 0)
	for _, c := range m.mains[l].kids {
		kid := &m.mains[c]
		kW += math.Min(m.under(need, c), kid.valveMostKW) / kid.perUpper
	}
	return kW
}

// settle closes every header: what is over or lacking moves its pressure, then is vented or unmet. Heat that keeps stores
// warm is cut first where something lacks.
func (m *machine) settle() {
	for l := len(m.mains) - 1; l >= 0; l-- {
		p := &m.mains[l]
		out := p.demandKW + p.keepKW + p.chargeKW
		for _, c := range p.kids {
			out += m.mains[c].valveKW / m.mains[c].perUpper
		}
		net := p.inKW + p.valveKW - out
		if low := math.Min(-net, -net-p.bandKWh/m.stepH); low > 0 { // what keeps stores warm never takes it under its set pressure
			cut := math.Min(low, p.keepKW)
			m.cutKeeping(l, cut)
			net += cut
		}
		band := p.bandKWh + net*m.stepH
		p.unmetKW, p.ventKW = 0, 0
		if short := (-p.slackKWh - band) / m.stepH; short > 0 {
			p.unmetKW = short
			band = -p.slackKWh
		}
		if over := (band - p.slackKWh) / m.stepH; over > 0 {
			p.ventKW = over
			band = p.slackKWh
		}
		p.bandKWh = band
	}
}

// cutKeeping takes heat away that was to keep stores warm.
func (m *machine) cutKeeping(l int, kW float64) {
	p := &m.mains[l]
	if kW <= 0 || p.keepKW <= 0 {
		return
	}
	left := 1 - kW/p.keepKW
	p.keepKW -= kW
	for k := range m.stores {
		if m.stores[k].from == l {
			m.stores[k].keepKW *= left
		}
	}
}
