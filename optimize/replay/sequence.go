package replay

import "math"

// The sequence control says which boilers burn. It sees the loads now and, since a works knows its shifts, the highest
// load within the time that a cold boiler needs; of the sun it sees what there is now, and of a store its content. A boiler
// is started when the stores cannot bridge its start were the sun to go; it is lit when they cannot bridge what is
// lacking for the time in which it comes up to its load. What keeps a store warm starts no boiler: it is taken while one burns.

const tolKW = 1e-6

// sequence moves every boiler's state, in order of merit; those that rest come last.
func (m *machine) sequence() {
	for l := range m.mains {
		p := &m.mains[l]
		m.now[l] = p.demandKW
		m.firm[l] = math.Max(p.demandKW, p.ahead.at(m.i))
		m.soon[l] = m.firm[l]
	}
	for k := range m.stores {
		if o := &m.orders.Stores[k]; o.FromHeaderKW > 0 && !o.AsSpare {
			kW := math.Min(o.FromHeaderKW, m.stores[k].roomKWh()/m.stepH)
			m.now[m.stores[k].from] += kW
			m.soon[m.stores[k].from] += kW
		}
	}
	for n := len(m.fields) - 1; n >= 0; n-- {
		if f := &m.fields[m.lowFirst[n]]; f.headerOffer > 0 {
			kW := math.Min(f.most.at(m.i), f.headerOffer*m.leftForHeader(f))
			m.spread(m.now, f.header, kW)
			m.spread(m.soon, f.header, kW)
		}
	}
	copy(m.all, m.now)
	copy(m.soonHot, m.soon)
	copy(m.firmHot, m.firm)
	m.reserve()
	for pass := range 2 {
		for j := range m.boilers {
			if rests := m.orders.Boilers[j].Want == Rest; rests == (pass == 1) {
				m.command(j)
			}
		}
	}
}

// reserve sets what stores keep for the start of cold boilers that would be needed without them. It is not given in place of a
// boiler that is hot: else stores would carry all the load until they are empty, and the last boiler would come too late.
func (m *machine) reserve() {
	cold := false
	for j := range m.boilers {
		cold = cold || m.boilers[j].mustStart()
	}
	kWh := 0.0
	if cold {
		copy(m.tmp, m.firm)
		for j := range m.boilers {
			if b := &m.boilers[j]; !b.mustStart() {
				m.spread(m.tmp, b.header, b.capacityKW*b.available.at(m.i))
			}
		}
		for j := range m.boilers {
			if b := &m.boilers[j]; b.mustStart() {
				kW := math.Min(m.under(m.tmp, b.header), b.capacityKW*b.available.at(m.i))
				lead := b.startLeadS
				if b.state == Starting {
					lead = b.leftS + b.leadS
				}
				kWh += kW * (lead/secondsPerHour + m.stepH)
				m.spread(m.tmp, b.header, kW)
			}
		}
	}
	for k := range m.stores {
		s := &m.stores[k]
		s.reserveKWh = math.Min(kWh, m.seen.Stores[k].GivesKWh)
		kWh -= s.reserveKWh
	}
}

// mustStart says that it takes time to be hot.
func (b *boiler) mustStart() bool { return b.startS > 0 && (b.state == Off || b.state == Starting) }

// leftForHeader is the share of a field that orders leave to the header.
func (m *machine) leftForHeader(f *collectors) float64 {
	x := 1.0
	for k := range m.stores {
		if o := &m.orders.Stores[k]; o.SunKW > 0 && f.storeOffer[k] > 0 {
			left, _ := m.stores[k].chargeLeft(m.stepH)
			x -= math.Min(math.Min(o.SunKW, left)/f.storeOffer[k], x)
		}
	}
	return x
}

// lacks is what boiler j would have to give of a list of needs, when stores give for so many seconds what they can: of a boiler
// that is hot, what they do not keep for others' starts; free of a plan's draws where it rests.
func (m *machine) lacks(j int, need []float64, seconds float64, free bool) float64 {
	kept := 0.0
	if m.boilers[j].state == Hot || m.boilers[j].state == Firing {
		kept = 1
	}
	copy(m.tmp, need)
	h := seconds/secondsPerHour + m.stepH // until the next step that may decide
	for k := range m.stores {
		s, o := &m.stores[k], &m.orders.Stores[k]
		if s.limits.VolumeM3 == 0 {
			continue
		}
		g := &m.seen.Stores[k]
		held := math.Max(0, math.Min(g.KWh-o.HoldKWh, g.GivesKWh-kept*s.reserveKWh))
		kW := math.Min(s.gaugeRateKW, held/h)
		if o.Prescribed && !free {
			kW = math.Min(kW, o.DrawKW)
		}
		m.spread(m.tmp, s.header, kW)
	}
	return m.under(m.tmp, m.boilers[j].header)
}

// command moves one boiler's state and counts what it will give.
func (m *machine) command(j int) {
	b, o := &m.boilers[j], &m.orders.Boilers[j]
	b.starts, b.lights, b.startFuelKWh, b.hotFuelKWh = 0, 0, 0, 0
	b.capKW = b.capacityKW * b.available.at(m.i)
	switch {
	case b.capKW <= 0:
		b.state, b.fresh = Off, false
	case b.plain:
		m.counts(b, true)
	default:
		m.onOff(j, b, o)
		if b.state != Off {
			m.counts(b, b.state == Firing || b.state == Hot && m.mayLight(b))
		}
	}
}

// counts takes a boiler that is not cold off what those after it have to give; at once only if it burns, or can.
func (m *machine) counts(b *boiler, atOnce bool) {
	if atOnce {
		m.spread(m.now, b.header, b.capKW)
		m.spread(m.soonHot, b.header, b.capKW)
		m.spread(m.firmHot, b.header, b.capKW)
	}
	m.spread(m.soon, b.header, b.capKW)
	m.spread(m.firm, b.header, b.capKW)
}

// onOff is the law of a boiler that is on or off.
func (m *machine) onOff(j int, b *boiler, o *BoilerOrder) {
	rests, base := o.Want == Rest && o.BaseKW <= 0, o.BaseKW > 0
	if b.state == Starting {
		if b.leftS -= m.stepS; b.leftS > 1e-6 {
			b.startFuelKWh += b.startKWh * m.stepS / b.startS
			return
		}
		b.state, b.fresh = Hot, true
	}
	if b.state == Firing {
		if b.lastKW > b.leastKW+b.rampKWH*m.stepH+tolKW && b.rampKWH > 0 {
			return // too high up to go out
		}
		if base || m.staysLit(j, b, o.Want, rests) {
			return
		}
		b.state, b.fresh = Hot, false
	}
	lacking, light := m.wanted(j, b, rests)
	wanted := base || light
	needed := o.Want == KeepHot || base || lacking
	if !needed && !rests {
		needed = m.lateFor(j, m.firm, m.firmHot, false) > tolKW
	}
	if !needed && b.state == Hot { // it would be started again at once
		needed = m.lateFor(j, m.soon, m.soonHot, rests) > tolKW
	}
	if b.state == Off && needed && m.mayLight(b) {
		m.start(b)
	}
	if b.state == Hot {
		m.hot(b, wanted, needed, rests)
	}
}

// wanted says whether heat is lacking without a boiler, and whether a hot one is to be lit for it: a load under its lowest
// fire waits until the pressure is low, or would be too low after this step.
func (m *machine) wanted(j int, b *boiler, rests bool) (lacking, light bool) {
	if b.state == Off && !b.startsForNothing() {
		lacking = m.lateFor(j, m.soon, m.soonHot, rests) > tolKW
		return lacking, lacking
	}
	lacks := m.lacks(j, m.now, b.leadS, rests)
	if lacks <= tolKW {
		return false, false
	}
	p := &m.mains[b.header]
	return true, lacks >= b.leastKW || p.bandKWh <= -p.slackKWh/2 || p.bandKWh-lacks*m.stepH < -p.slackKWh
}

// lateFor is what would be lacking were a boiler started any later: it is needed beside those that are hot or starting, and
// the stores do not last for its start, in which they carry what those that are hot already do not.
func (m *machine) lateFor(j int, need, needOfHot []float64, free bool) float64 {
	b := &m.boilers[j]
	return math.Min(m.under(need, b.header), m.lacks(j, needOfHot, b.startLeadS, free))
}

// staysLit says whether a boiler in fire goes on: it is wanted, or cannot be kept hot otherwise where it has to be. Wanted it
// is unless those before it are enough, or stores carry all the load, as they then do, for as long as makes it worth while.
func (m *machine) staysLit(j int, b *boiler, want Want, rests bool) bool {
	lacks := math.Min(m.under(m.now, b.header), m.lacks(j, m.all, b.leadS+b.restS, rests))
	if lacks > tolKW && !m.pressureHigh(b, lacks) {
		return true
	}
	if b.standbyKW > 0 || b.startsForNothing() || rests {
		return false
	}
	return want == KeepHot || m.lateFor(j, m.firm, m.firmHot, false) > tolKW
}

// pressureHigh says that the burner goes out by the pressure switch: its lowest fire is more than what is wanted.
func (m *machine) pressureHigh(b *boiler, lacks float64) bool {
	p := &m.mains[b.header]
	quick := b.standbyKW > 0 || b.startsForNothing()
	return quick && p.slackKWh > 0 && lacks < b.leastKW && p.bandKWh >= 0.95*p.slackKWh
}

// start lights a cold boiler.
func (m *machine) start(b *boiler) {
	if !b.startsForNothing() {
		b.starts++
		b.lights++
	}
	if b.startS == 0 {
		b.startFuelKWh += b.startKWh
		b.state, b.fresh = Hot, !b.startsForNothing()
		return
	}
	b.state, b.leftS = Starting, b.startS
	b.startFuelKWh += b.startKWh * m.stepS / b.startS
}

// hot decides what a hot boiler does: burn, stand by, or go cold.
func (m *machine) hot(b *boiler, wanted, needed, rests bool) {
	standsBy := b.standbyKW > 0
	switch {
	case (wanted || needed && !standsBy && !b.startsForNothing()) && m.mayLight(b):
		if !b.fresh {
			if b.startsForNothing() {
				b.starts++
			}
			b.light()
		}
		b.state, b.fresh, b.standKWh, b.lastKW = Firing, false, 0, 0
	case needed && standsBy:
		b.fresh = false
	case !standsBy || rests || b.standKWh >= b.startKWh:
		// Kept hot for as much fuel as a start takes, which is at most twice what the best forecast would burn.
		b.state, b.standKWh = Off, 0
	}
}

// mayLight says whether joint limits leave room for its lowest fire.
func (m *machine) mayLight(b *boiler) bool {
	for _, i := range b.limits {
		l := &m.limits[i]
		left := l.MostKW
		for _, j := range l.Boilers {
			if other := &m.boilers[j]; other.state == Firing && other != b {
				if l.OfFuel {
					left -= other.fuelKW(other.leastKW)
				} else {
					left -= other.leastKW
				}
			}
		}
		if l.OfFuel && left < b.fuelKW(b.leastKW) || !l.OfFuel && left < b.leastKW {
			return false
		}
	}
	return true
}
