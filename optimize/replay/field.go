package replay

import "math"

// collectors are a field in play. Its loop holds what is under way: with steady yields P it brings, over a step,
// x (P w + E k/dt) to a use that takes the share x of it, which is the exact step of dE/dt = P - E/lag.
type collectors struct {
	areaM2      float64
	header      int
	toHeader    series
	feedsHeader bool
	most        series
	floor, hot  []series // by store; no values where it is not charged
	pump        float64

	w, k, coolFrac float64 // shares of the new heat and of the old that arrive in a step; of the idle heat that is lost
	loopKWh        float64 // STATE

	// Of the step, kW.
	headerP, headerOffer float64
	storeP, storeOffer   []float64
	sunKW                float64 // what came into the loop
	headerKW             float64
	storeKW              []float64
	spilledKW, lostKW    float64
}

const usualCoolH = 3

// dregsKWh is so little heat under way that it is counted as lost, once the sun is gone: it would die down for ever.
const dregsKWh = 1e-12

func newCollectors(f *Field, p *Plant, stepS float64) collectors {
	c := collectors{
		areaM2: f.AreaM2, header: f.Header, toHeader: seriesOf(f.HeaderKWM2, p.Steps, 0), feedsHeader: f.HeaderKWM2 != nil,
		most: seriesOf(f.MostKW, p.Steps, math.Inf(1)), pump: f.PumpKWhPerKWh, w: 1,
		floor: make([]series, len(p.Stores)), hot: make([]series, len(p.Stores)),
		storeP: make([]float64, len(p.Stores)), storeOffer: make([]float64, len(p.Stores)), storeKW: make([]float64, len(p.Stores)),
	}
	for k := range f.Stores {
		if y := &f.Stores[k]; y.FloorKWM2 != nil {
			c.floor[k], c.hot[k] = seriesOf(y.FloorKWM2, p.Steps, 0), seriesOf(y.HotKWM2, p.Steps, 0)
		}
	}
	if f.LagS > 0 {
		c.k = -math.Expm1(-stepS / f.LagS)
		c.w = 1 - f.LagS/stepS*c.k
	}
	coolH := f.CoolH
	if coolH == 0 {
		coolH = usualCoolH
	}
	c.coolFrac = -math.Expm1(-stepS / secondsPerHour / coolH)
	return c
}

// look works out what the field offers each use, were it to have all of it.
func (c *collectors) look(i int, stores []store, stepH float64) {
	under := 0.0
	if c.loopKWh > 0 {
		under = c.loopKWh * c.k / stepH
	}
	c.headerKW, c.sunKW, c.spilledKW = 0, 0, 0
	c.headerP, c.headerOffer = 0, 0
	if c.feedsHeader {
		c.headerP = c.areaM2 * c.toHeader.at(i)
		c.headerOffer = c.headerP*c.w + under
	}
	for k := range stores {
		c.storeKW[k] = 0
		if c.floor[k].v == nil {
			continue
		}
		s := &stores[k]
		y := c.floor[k].at(i)
		if y > 0 {
			// Straight between the two by the store's temperature, and not beyond them.
			x := math.Min(math.Max((s.meanC()-s.limits.FloorC)/(s.limits.HotC-s.limits.FloorC), 0), 1)
			y += (c.hot[k].at(i) - y) * x
		}
		c.storeP[k] = c.areaM2 * y
		c.storeOffer[k] = c.storeP[k]*c.w + under
	}
}

// share lets the field's uses have their parts: stores what was ordered, headers what they need, stores the rest.
func (m *machine) share(f *collectors) {
	x := 1.0
	for k := range m.stores {
		if o := &m.orders.Stores[k]; o.SunKW > 0 && f.storeOffer[k] > 0 {
			x -= m.toStore(f, k, math.Min(x*f.storeOffer[k], m.stores[k].sunLeftKW)) / f.storeOffer[k]
		}
	}
	if f.headerOffer > 0 && x > 0 {
		most := math.Min(x*f.headerOffer, f.most.at(m.i))
		t := m.give(f.header, most)
		m.mains[f.header].inKW += t
		f.headerKW = t
		x -= t / f.headerOffer
	}
	for k := range m.stores {
		if f.storeOffer[k] > 0 && x > 1e-12 {
			x -= m.toStore(f, k, x*f.storeOffer[k]) / f.storeOffer[k]
		}
	}
	f.settle(math.Max(x, 0), m.stepH)
}

// toStore puts up to kW into a store, as far as it can take it.
func (m *machine) toStore(f *collectors, k int, kW float64) float64 {
	s := &m.stores[k]
	left, _ := s.chargeLeft(m.stepH)
	kW = math.Min(kW, left)
	s.sunKW += kW
	s.sunLeftKW -= kW
	f.storeKW[k] += kW
	return kW
}

// settle moves the loop's state; idle is the share of the field that nobody used.
func (f *collectors) settle(idle, stepH float64) {
	out := f.headerKW
	if f.headerOffer > 0 {
		f.sunKW += f.headerP * f.headerKW / f.headerOffer
	}
	best := f.headerP
	for k, kW := range f.storeKW {
		if f.storeOffer[k] > 0 {
			f.sunKW += f.storeP[k] * kW / f.storeOffer[k]
			out += kW
			if !f.feedsHeader {
				best = math.Max(best, f.storeP[k])
			}
		}
	}
	f.spilledKW = idle * best
	f.loopKWh = math.Max(0, f.loopKWh+(f.sunKW-out)*stepH)
	f.lostKW = 0
	if f.loopKWh > 0 && idle > 0 {
		lost := f.loopKWh * idle * f.coolFrac
		f.loopKWh -= lost
		f.lostKW = lost / stepH
	}
	if f.sunKW == 0 && f.loopKWh < dregsKWh {
		f.lostKW += f.loopKWh / stepH
		f.loopKWh = 0
	}
}
