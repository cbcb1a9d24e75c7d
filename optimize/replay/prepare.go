package replay

import (
	"fmt"
	"math"
	"slices"

	"noonkeep/plant/steam"
)

// CannotPlay says that a part of a plant is of a kind for which there is no physics here.
type CannotPlay struct{ What, Why string }

// Error reads "store S: a thermocline is not played here".
func (e *CannotPlay) Error() string { return e.What + ": " + e.Why }

const (
	leastTableC = 5.0 // water that cools further is not played
	overHotK    = 10.0
)

func newMachine(p *Plant, w Way) (*machine, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	m := &machine{p: p, way: w, stepS: p.StepS, stepH: p.StepS / secondsPerHour, perHour: int(math.Round(secondsPerHour / p.StepS)), limits: p.Limits}
	for j := range p.Boilers {
		m.boilers = append(m.boilers, newBoiler(&p.Boilers[j], p.Steps))
	}
	for i, l := range p.Limits {
		for _, j := range l.Boilers {
			m.boilers[j].limits = append(m.boilers[j].limits, i)
		}
	}
	if err := m.addMains(); err != nil {
		return nil, err
	}
	if err := m.addStores(); err != nil {
		return nil, err
	}
	for n := range p.Fields {
		m.fields = append(m.fields, newCollectors(&p.Fields[n], p, p.StepS))
		m.lowFirst = append(m.lowFirst, n)
	}
	slices.SortStableFunc(m.lowFirst, func(a, b int) int { return p.Fields[b].Header - p.Fields[a].Header })
	m.addGauges()
	m.tally = newTally(m)
	return m, nil
}

// addMains makes the headers. Steam is dry and saturated, feedwater boiling water of its temperature, as in package storage.
func (m *machine) addMains() error {
	ahead := 0.0
	for j := range m.boilers {
		ahead = math.Max(ahead, m.boilers[j].startS)
	}
	for l := range m.p.Headers {
		h := &m.p.Headers[l]
		out := mainPipe{
			demand: seriesOf(h.DemandKW, m.p.Steps, 0), slackKWh: h.SlackKWh, valveMostKW: h.ValveKW, perUpper: 1, above: h.Above, mediumC: h.MediumC,
		}
		if h.ValveKW == 0 {
			out.valveMostKW = math.Inf(1)
		}
		out.ahead = out.demand
		if ahead > 0 {
			out.ahead = out.demand.ahead(int(math.Ceil(ahead / m.stepS)))
		}
		if h.SteamC > 0 {
			sat, err := steam.SaturatedAt(h.SteamC)
			if err != nil {
				return fmt.Errorf("header %s: %w", h.Name, err)
			}
			feed, err := steam.SaturatedAt(h.FeedwaterC)
			if err != nil {
				return fmt.Errorf("header %s: feedwater: %w", h.Name, err)
			}
			out.steam, out.steamC, out.barAbs = true, h.SteamC, sat.P.BarAbs()
			out.hSteam, out.hFeed = sat.Vapour.HKJKg, feed.Liquid.HKJKg
			out.perKg = out.hSteam - out.hFeed
		}
		m.mains = append(m.mains, out)
	}
	m.joinMains()
	n := len(m.mains)
	for _, need := range []*[]float64{&m.now, &m.all, &m.soonHot, &m.firmHot, &m.soon, &m.firm, &m.tmp} {
		*need = make([]float64, n)
	}
	return nil
}

// joinMains tells headers what they let heat down to.
func (m *machine) joinMains() {
	for l := range m.mains {
		p := &m.mains[l]
		if p.above < 0 {
			continue
		}
		up := &m.mains[p.above]
		up.kids = append(up.kids, l)
		if up.steam && p.steam {
			// The valve keeps the enthalpy; above the lower header's feedwater a kg has h_g(upper) - h_fw(lower).
			p.perUpper = (up.hSteam - p.hFeed) / up.perKg
		}
	}
}

// addStores makes the stores, all on one table of the saturation line.
func (m *machine) addStores() error {
	if len(m.p.Stores) == 0 {
		return nil
	}
	hot := 100.0
	for k := range m.p.Stores {
		tC, err := m.p.Stores[k].Spec.HotC()
		if err != nil {
			return fmt.Errorf("store %s: %w", m.p.Stores[k].Name, err)
		}
		hot = math.Max(hot, tC)
	}
	table, err := NewTable(leastTableC, math.Min(hot+overHotK, mostC))
	if err != nil {
		return err
	}
	for k := range m.p.Stores {
		s := &m.p.Stores[k]
		made, err := newStore(s, table, m.p.Steps, m.mains[s.From].steam)
		if err != nil {
			return fmt.Errorf("store %s: %w", s.Name, err)
		}
		for n := range m.p.Fields {
			if f := &m.p.Fields[n]; k < len(f.Stores) && f.Stores[k].FloorKWM2 != nil {
				made.sunFed = true
			}
		}
		if to := &m.mains[s.Header]; to.steam {
			made.feedKJKg = to.hFeed
		} else if f, ok := made.tank.(*flash); ok {
			made.feedKJKg = f.feedKJKg
		}
		m.stores = append(m.stores, *made)
	}
	return nil
}

// addGauges makes what a way sees and orders, with the orders of the plain rule.
func (m *machine) addGauges() {
	m.seen = Seen{
		StepH: m.stepH, DemandKW: make([]float64, len(m.mains)), SunHeaderKW: make([]float64, len(m.fields)),
		SunStoreKW: make([]float64, len(m.stores)), Stores: make([]StoreSeen, len(m.stores)), Boilers: make([]BoilerSeen, len(m.boilers)),
	}
	m.orders = Orders{Stores: make([]StoreOrder, len(m.stores)), Boilers: make([]BoilerOrder, len(m.boilers))}
	for k := range m.stores {
		s := &m.stores[k]
		m.seen.Stores[k].CapacityKWh = s.limits.CapacityKWh
		if !s.sunFed {
			m.orders.Stores[k] = StoreOrder{HoldKWh: math.Inf(1), FromHeaderKW: s.headerKW, AsSpare: true}
		}
	}
}
