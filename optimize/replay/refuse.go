package replay

import "cmp"

// What orders go to.
const (
	onStore  = iota // to give
	onCharge        // to take
	onBoiler
)

var onWhat = [...]string{"store", "charge", "boiler"}

// refused adds up one reason's refusals of one thing in an hour.
type refused struct {
	kWh, worstKW float64
	first        int
}

// refuse notes that kW of an order were not carried out in this step.
func (m *machine) refuse(what, of int, why Why, kW float64) {
	if m.seen.Lead || kW <= tolKW {
		return
	}
	r := &m.tally.refused[m.refusedAt(what, of)+int(why)]
	if r.kWh == 0 {
		r.first = m.i
	}
	m.tally.asked++
	r.kWh += kW * m.stepH
	r.worstKW = max(r.worstKW, kW)
}

func (m *machine) refusedAt(what, of int) int {
	return (what*len(m.stores) + of) * int(whys) // boilers stand last
}

// refuseBase says why a boiler gives less than its base load, or at its least more.
func (m *machine) refuseBase(j int, base float64) {
	b := &m.boilers[j]
	if b.kW >= base-tolKW {
		if b.loKW <= b.leastKW+tolKW {
			m.refuse(onBoiler, j, ByLeast, b.loKW-base)
		} else { // it comes down too slowly: refused is what nobody takes
			m.refuse(onBoiler, j, ByRamp, min(b.loKW-base, m.mains[b.header].overKW))
		}
		return
	}
	lack := min(base-b.kW, m.asks(b.header))
	switch {
	case b.capKW <= 0, base > b.capKW+tolKW && b.kW >= b.capKW-tolKW:
		m.refuse(onBoiler, j, ByCapacity, lack)
	case b.state == Starting || b.state == Off && !b.plain:
		m.refuse(onBoiler, j, ByStart, lack)
	case b.kW >= b.hiKW-tolKW:
		m.refuse(onBoiler, j, ByRamp, lack)
	default:
		m.refuse(onBoiler, j, ByLimit, lack)
	}
}

// refuseSun says why a store did not get the sun that was ordered.
func (m *machine) refuseSun(k int) {
	s := &m.stores[k]
	left, why := s.chargeLeft(m.stepH)
	if left > tolKW {
		why = BySun
	}
	m.refuse(onCharge, k, why, s.sunLeftKW)
}

// flushRefusals turns an hour's refusals into the list.
func (m *machine) flushRefusals() {
	t := &m.tally
	t.asked = 0
	missed := false
	for l := range m.mains {
		missed = missed || t.out.Series.UnmetKW[l][t.hour] > 0
	}
	for what := range onWhat {
		n := len(m.stores)
		if what == onBoiler {
			n = len(m.boilers)
		}
		for of := range n {
			for why := range whys {
				r := &t.refused[m.refusedAt(what, of)+int(why)]
				if r.kWh > 0 {
					t.note(Refusal{Step: r.first, Hour: t.hour, What: onWhat[what], Of: of, Why: why, KW: r.worstKW, KWh: r.kWh, Missed: missed})
					*r = refused{}
				}
			}
		}
	}
}

// note adds a refusal to the list and to the sums by reason.
func (t *tally) note(r Refusal) {
	t.out.Refusals = append(t.out.Refusals, r)
	for i := range t.out.Refused {
		if x := &t.out.Refused[i]; x.What == r.What && x.Why == r.Why {
			x.Hours++
			x.KWh += r.KWh
			return
		}
	}
	t.out.Refused = append(t.out.Refused, Reason{What: r.What, Why: r.Why, Hours: 1, KWh: r.KWh})
}

// byMost orders reasons, the one with the most heat first.
func byMost(a, b Reason) int { return cmp.Compare(b.KWh, a.KWh) }
