package replay

import (
	"math"
	"slices"
)

// open begins the year's books: what is within at its start, and what crossed the stores' shells before.
func (m *machine) open() error {
	m.tally = newTally(m)
	kg, kJ, err := m.within()
	m.atStart = state{kg: kg, kJ: kJ, stored: make([]float64, len(m.stores)), before: make([]flows, len(m.stores))}
	for k := range m.stores {
		s := &m.stores[k]
		m.atStart.stored[k] = s.ledgerKWh()
		m.atStart.before[k] = s.flows()
		s.flowsBefore = s.flows()
	}
	m.atStart.others = m.otherKWh()
	return err
}

// state is what was within when the books were opened.
type state struct {
	kg, kJ, others float64
	stored         []float64
	before         []flows
}

// otherKWh is what headers and fields hold, on the ledger of heat.
func (m *machine) otherKWh() float64 {
	kWh := 0.0
	for l := range m.mains {
		kWh += m.mains[l].bandKWh
	}
	for n := range m.fields {
		kWh += m.fields[n].loopKWh
	}
	return kWh
}

// within is all mass and energy in the plant: vessels by IAPWS-IF97, what headers hold over their set pressure as steam, and
// heat under way in fields.
func (m *machine) within() (kg, kJ float64, err error) {
	for k := range m.stores {
		mass, energy, e := m.stores[k].within()
		err = first(err, e)
		kg += mass
		kJ += energy
	}
	for l := range m.mains {
		p := &m.mains[l]
		if !p.steam {
			kJ += p.bandKWh * kJPerKWh
			continue
		}
		mass := p.bandKWh * kJPerKWh / p.perKg
		kg += mass
		kJ += mass * p.hSteam
	}
	for n := range m.fields {
		kJ += m.fields[n].loopKWh * kJPerKWh
	}
	return kg, kJ, err
}

// ledger adds up what crosses the plant's bounds: kg, and kJ with the enthalpy that they carry.
type ledger struct{ inKg, outKg, inKJ, outKJ sum }

func (x *ledger) in(kg, kJKg float64) {
	x.inKg.add(kg)
	x.inKJ.add(kg * kJKg)
}

func (x *ledger) out(kg, kJKg float64) {
	x.outKg.add(kg)
	x.outKJ.add(kg * kJKg)
}

// balance closes the books over the whole plant. Its bounds: sun into the loops, boilers' heat (fuel less flue), feedwater
// to fields, boilers, vessels and what brings let-down or flash steam to saturation come in; steam to loads and vents,
// condensate of coils, water let out and losses go out.
func (m *machine) balance() error {
	out, b, x := m.tally.out, &m.tally.booked, &ledger{}
	for n := range m.fields {
		x.inKJ.add(b.sun[n].value() * m.kJ())
		x.outKJ.add(b.lost[n].value() * m.kJ())
		m.make(x, m.fields[n].header, b.sunHeader[n].value())
	}
	for j := range m.boilers {
		x.inKJ.add(b.boiler[j].value() * m.kJ())
		m.make(x, m.boilers[j].header, b.boiler[j].value())
	}
	for k := range m.stores {
		m.bookStore(x, k)
	}
	for l := range m.mains {
		m.bookMain(x, l)
	}
	kg, kJ, err := m.within()
	books := &out.Books
	books.InKg, books.OutKg, books.WithinKg = x.inKg.value(), x.outKg.value(), kg-m.atStart.kg
	books.InKWh, books.OutKWh, books.WithinKWh = x.inKJ.value()/kJPerKWh, x.outKJ.value()/kJPerKWh, (kJ-m.atStart.kJ)/kJPerKWh
	books.MassResidual = residual(books.InKg, books.OutKg, books.WithinKg)
	books.EnergyResidual = residual(books.InKWh, books.OutKWh, books.WithinKWh)
	out.ContentKWh = m.otherKWh() - m.atStart.others
	for k := range m.stores {
		out.StoredKWh[k] = m.stores[k].ledgerKWh() - m.atStart.stored[k]
		out.ContentKWh += out.StoredKWh[k]
	}
	slices.SortStableFunc(out.Refused, byMost)
	return err
}

func residual(in, out, within float64) float64 {
	if in+out == 0 {
		return 0
	}
	return math.Abs(in-out-within) / (in + out)
}

// kJ is the energy of one kW over a step.
func (m *machine) kJ() float64 { return m.stepH * kJPerKWh }

// make is feedwater that heat turns into a header's steam.
func (m *machine) make(x *ledger, l int, kW float64) {
	if p := &m.mains[l]; p.steam {
		x.in(kW*m.kJ()/p.perKg, p.hFeed)
	}
}

func (m *machine) bookStore(x *ledger, k int) {
	s, b := &m.stores[k], &m.tally.booked
	now, was := s.flows(), m.atStart.before[k]
	steamKg := now.steamKg - was.steamKg
	to, from := &m.mains[s.header], &m.mains[s.from]
	if to.steam {
		// Its own steam, and feedwater that brings that to saturation; of an exchanger all is feedwater.
		x.in(b.draw[k].value()*m.kJ()/to.perKg-steamKg, to.hFeed)
	} else {
		x.out(steamKg, s.feedKJKg) // condensate of what heats the medium
	}
	in := b.headerIn[k].value() * m.kJ()
	keep := b.keep[k].value() * m.kJ()
	if from.steam {
		kg := b.headerKg[k].value()
		x.in(now.feedKg-was.feedKg-kg, 0)
		x.inKJ.add(now.feedKJ - was.feedKJ - kg*from.hSteam)
		x.out(in/from.perKg-kg+keep/from.perKg, from.hFeed) // condensate of coils
	} else {
		x.in(now.feedKg-was.feedKg, 0)
		x.inKJ.add(now.feedKJ - was.feedKJ)
	}
	x.out(now.drainKg-was.drainKg, 0)
	x.outKJ.add(now.drainKJ - was.drainKJ)
	x.outKJ.add(now.lossKJ - was.lossKJ)
}

func (m *machine) bookMain(x *ledger, l int) {
	p, b := &m.mains[l], &m.tally.booked
	given := b.demand[l].value() - b.unmet[l].value() + b.vent[l].value()
	if p.steam {
		x.out(given*m.kJ()/p.perKg, p.hSteam)
	} else {
		x.outKJ.add(given * m.kJ())
	}
	if p.above < 0 {
		return
	}
	up, down := &m.mains[p.above], b.valve[l].value()*m.kJ()
	if !up.steam {
		return
	}
	kg := down / p.perUpper / up.perKg
	if p.steam {
		x.in(down/p.perKg-kg, p.hFeed)
		return
	}
	x.out(kg, up.hFeed)
}
