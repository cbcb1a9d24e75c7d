package replay

import (
	"context"
	"fmt"
	"math"
)

// Run plays a plant over its steps in a way of running. The error is a fault of the plant (all of them joined), a
// [*CannotPlay], one of the water in a vessel, or the context's.
func Run(ctx context.Context, p Plant, w Way, opt Options) (Played, error) {
	m, err := newMachine(&p, w)
	if err != nil {
		return Played{}, err
	}
	if !(opt.WatchFrom >= 0 && opt.WatchSteps >= 0 && opt.WatchFrom+opt.WatchSteps <= p.Steps) {
		return Played{}, fmt.Errorf("watch: %d steps from %d; there are %d", opt.WatchSteps, opt.WatchFrom, p.Steps)
	}
	m.watchFrom, m.watchSteps = opt.WatchFrom, opt.WatchSteps
	const hoursAWeek = 168
	lead := hoursAWeek * m.perHour
	if opt.LeadH != 0 {
		lead = int(math.Ceil(math.Max(opt.LeadH, 0) * float64(m.perHour)))
	}
	lead = min(lead, p.Steps)
	m.seen.Lead = true
	if err := m.over(ctx, p.Steps-lead, p.Steps); err != nil {
		return Played{}, err
	}
	m.seen.Lead = false
	if err := m.open(); err != nil {
		return Played{}, err
	}
	if err := m.over(ctx, 0, p.Steps); err != nil {
		return Played{}, err
	}
	return m.finish()
}

const stepsBetweenLooks = 4096 // at the context

// over plays steps from one to before another.
func (m *machine) over(ctx context.Context, from, to int) error {
	for i := from; i < to; i++ {
		if i%stepsBetweenLooks == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if err := m.step(i); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// machine is a plant in play.
type machine struct {
	p            *Plant
	way          Way
	stepS, stepH float64
	perHour      int

	watchFrom, watchSteps int

	mains    []mainPipe
	fields   []collectors
	lowFirst []int // fields, those of the lowest header first
	boilers  []boiler
	stores   []store
	limits   []Limit

	seen    Seen
	orders  Orders
	tally   tally
	atStart state

	i int // the step

	now, all, soon, soonHot, firm, firmHot, tmp []float64 // by header, kW, of the sequence control
}

// step plays one step: gauges, orders, boilers on and off, then who gives what, then pressures, losses and books.
func (m *machine) step(i int) error {
	m.i = i
	m.look(i)
	m.way.Orders(&m.seen, &m.orders)
	m.sequence()
	for k := range m.stores {
		m.stores[k].sunLeftKW = m.orders.Stores[k].SunKW
	}
	m.lowestFires()
	for _, n := range m.lowFirst {
		m.share(&m.fields[n])
	}
	err := m.takeSun()
	m.baseLoads()
	err = first(err, m.draw(asOrdered))
	m.follow(false)
	err = first(err, m.draw(toHold))
	m.follow(true)
	err = first(err, m.draw(toFloor))
	err = first(err, m.chargeFromHeaders())
	m.settle()
	err = first(err, m.rest(i))
	m.count(i)
	return err
}

func first(err, next error) error {
	if err != nil {
		return err
	}
	return next
}

// look reads what the step brings, and the gauges.
func (m *machine) look(i int) {
	m.seen.Step, m.seen.Hour = i, i/m.perHour
	for k := range m.stores {
		s := &m.stores[k]
		s.sunKW, s.headerInKW, s.drawKW, s.keepKW = 0, 0, 0, 0
		if !s.letCool && s.limits.VolumeM3 > 0 {
			// A coil that holds the floor in the coldest air; after a cold spell it takes a while.
			most := mostKeeping * s.limits.StandingKW(s.ambient.at(i))
			s.keepKW = math.Min(s.shortKWh()/m.stepH, most)
		}
	}
	for l := range m.mains {
		p, keep := &m.mains[l], 0.0
		for k := range m.stores {
			if m.stores[k].from == l {
				keep += m.stores[k].keepKW
			}
		}
		p.begin(p.demand.at(i), keep, m.stepH)
		m.seen.DemandKW[l] = p.demandKW
	}
	clear(m.seen.SunStoreKW)
	for n := range m.fields {
		f := &m.fields[n]
		f.look(i, m.stores, m.stepH)
		m.seen.SunHeaderKW[n] = f.headerOffer
		for k, kW := range f.storeOffer {
			m.seen.SunStoreKW[k] += kW
		}
	}
	for k := range m.stores {
		m.gauge(k)
	}
	for j := range m.boilers {
		m.seen.Boilers[j] = BoilerSeen{m.boilers[j].state, m.boilers[j].lastKW}
	}
}

const mostKeeping = 3 // times the standing loss, that a coil which keeps a store warm can give; common practice, no source

// gauge reads a store's gauges. What it gave and took is that of the step before.
func (m *machine) gauge(k int) {
	s, g := &m.stores[k], &m.seen.Stores[k]
	g.KWh, g.GivesKWh = s.ledgerKWh(), s.givesKWh()
	g.TC, g.BarAbs, g.LevelFrac = s.topC(), s.barAbs(), s.levelFrac()
	s.gaugeRateKW, _ = s.rateKW(s.feedKJKg)
	g.MostDrawKW = math.Min(s.gaugeRateKW, s.reachKWh()/m.stepH)
	g.MostChargeKW, _ = s.chargeLeft(m.stepH)
}

// rest ends a step: boilers' fuel, what keeps stores warm, and their losses.
func (m *machine) rest(i int) error {
	for j := range m.boilers {
		m.boilers[j].end(m.stepH)
	}
	for k := range m.stores {
		s := &m.stores[k]
		if s.keepKW > 0 {
			if err := s.keep(s.keepKW * m.stepH * kJPerKWh); err != nil {
				return err
			}
		}
		if err := s.cool(s.ambient.at(i), m.stepS); err != nil {
			return err
		}
		if err := s.drain(); err != nil {
			return err
		}
		g := &m.seen.Stores[k]
		g.DrawKW, g.SunKW, g.HeaderInKW = s.drawKW, s.sunKW, s.headerInKW
	}
	return nil
}
