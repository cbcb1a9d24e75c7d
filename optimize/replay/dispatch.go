package replay

import "math"

// lowestFires lets boilers in fire give what they must.
func (m *machine) lowestFires() {
	for j := range m.boilers {
		b := &m.boilers[j]
		b.begin(m.stepH)
		if b.loKW <= 0 {
			continue
		}
		b.kW = b.loKW
		p := &m.mains[b.header]
		p.inKW += b.kW
		p.overKW += b.kW - m.give(b.header, b.kW)
	}
}

// baseLoads brings boilers to the loads that were ordered.
func (m *machine) baseLoads() {
	for j := range m.boilers {
		if base := m.orders.Boilers[j].BaseKW; base > 0 {
			m.raise(j, base)
			m.refuseBase(j, base)
		}
	}
}

// follow lets boilers give what is still lacking, in order of merit.
func (m *machine) follow(resting bool) {
	for j := range m.boilers {
		if (m.orders.Boilers[j].Want == Rest && m.orders.Boilers[j].BaseKW <= 0) == resting {
			m.raise(j, math.Inf(1))
		}
	}
}

// How far a store gives.
type howFar int

const (
	asOrdered howFar = iota // what is prescribed; else down to what is to be held
	toHold                  // down to what is to be held
	toFloor
)

// draw lets stores give what headers need.
func (m *machine) draw(far howFar) error {
	for k := range m.stores {
		s, o := &m.stores[k], &m.orders.Stores[k]
		if far == toHold && !o.Prescribed || far == toFloor && o.HoldKWh <= 0 && s.reserveKWh == 0 {
			continue // it has given that already
		}
		most, why := s.most(m.stepH)
		want := most
		switch {
		case far == asOrdered && o.Prescribed:
			want = math.Min(most, o.DrawKW)
		case far != toFloor:
			over := math.Min(s.ledgerKWh()-o.HoldKWh, s.givesKWh()-s.reserveKWh)
			want = math.Min(most, math.Max(0, over)/m.stepH)
		}
		if want > 0 {
			if err := m.drawn(s, m.give(s.header, want)); err != nil {
				return err
			}
		}
		if far == asOrdered && o.Prescribed && o.DrawKW > want {
			m.refuse(onStore, k, why, math.Min(o.DrawKW-want, m.asks(s.header)))
		}
	}
	return nil
}

// drawn takes heat out of a store into its header.
func (m *machine) drawn(s *store, kW float64) error {
	if kW <= 0 {
		return nil
	}
	kJ, err := s.draw(kW*m.stepH*kJPerKWh, s.feedKJKg)
	got := kJ / kJPerKWh / m.stepH
	s.drawKW += got
	m.mains[s.header].inKW += got
	return err
}

// takeSun puts the step's sun into stores.
func (m *machine) takeSun() error {
	for k := range m.stores {
		s := &m.stores[k]
		if s.sunLeftKW > tolKW {
			m.refuseSun(k)
		}
		if s.sunKW > 0 {
			if err := s.heat(s.sunKW * m.stepH * kJPerKWh); err != nil {
				return err
			}
		}
	}
	return nil
}

// chargeFromHeaders charges stores by steam that is over, and by boilers as far as was ordered.
func (m *machine) chargeFromHeaders() error {
	for k := range m.stores {
		s, o := &m.stores[k], &m.orders.Stores[k]
		if o.FromHeaderKW <= 0 || s.headerKW == 0 {
			continue
		}
		p := &m.mains[s.from]
		if p.needKW > tolKW {
			continue // loads lack heat
		}
		rated := math.Min(o.FromHeaderKW, s.headerKW)
		most := s.fromHeader(p, rated, m.stepH)
		if most < o.FromHeaderKW && !o.AsSpare {
			m.refuse(onCharge, k, chargeWhy(most, rated), o.FromHeaderKW-most)
		}
		got := math.Min(most, p.overKW)
		p.overKW -= got
		need := p.needKW
		p.needKW = most - got
		m.follow(false)
		got = most - math.Max(p.needKW, 0)
		p.needKW = need
		if got <= 0 {
			continue
		}
		p.chargeKW += got
		s.headerInKW = got
		kJ := got * m.stepH * kJPerKWh
		kg := 0.0
		if p.steam {
			kg = kJ / p.perKg
		}
		if err := s.steam(kg, kJ, p); err != nil {
			return err
		}
		if s.takesSteam() && !m.seen.Lead {
			m.tally.booked.headerKg[k].add(kg)
		}
	}
	return nil
}

func chargeWhy(most, rated float64) Why {
	if most < rated {
		return ByFull
	}
	return ByChargeKW
}
