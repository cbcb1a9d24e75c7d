package replay

// tally is what is counted while a year is played.
type tally struct {
	out    *Played
	hour   int
	perKW  float64 // 1 over the steps of an hour
	booked totals

	watchFrom, watchSteps int

	refused []refused // of the hour, by thing and reason
	asked   int
}

// totals are compensated sums, kWh.
type totals struct {
	demand, unmet, vent, valve                     []sum // by header
	sun, sunHeader, spilled, lost                  []sum // by field
	boiler, fuel, startFuel, hotFuel               []sum // by boiler
	sunStore, headerIn, headerKg, draw, keep, loss []sum // by store
}

func newTally(m *machine) tally {
	h, f, b, s := len(m.mains), len(m.fields), len(m.boilers), len(m.stores)
	hours := m.p.Steps / m.perHour
	sums := func(n int) []sum { return make([]sum, n) }
	return tally{
		perKW: 1 / float64(m.perHour), watchFrom: m.watchFrom, watchSteps: m.watchSteps, refused: make([]refused, (2*s+b)*int(whys)),
		booked: totals{
			demand: sums(h), unmet: sums(h), vent: sums(h), valve: sums(h),
			sun: sums(f), sunHeader: sums(f), spilled: sums(f), lost: sums(f),
			boiler: sums(b), fuel: sums(b), startFuel: sums(b), hotFuel: sums(b),
			sunStore: sums(s), headerIn: sums(s), headerKg: sums(s), draw: sums(s), keep: sums(s), loss: sums(s),
		},
		out: &Played{
			Hours: hours, WorstUnmetStep: -1,
			Starts: make([]int, b), Lights: make([]int, b), HotH: make([]float64, b), FiringH: make([]float64, b),
			FuelByBoiler: make([]float64, b), StoredKWh: make([]float64, s),
			Series: newSeries(h, f, b, s, hours), Watched: newSeries(h, f, b, s, m.watchSteps),
			Refusals: make([]Refusal, 0, hours),
		},
	}
}

// newSeries makes room for n values of each series; none for n of 0.
func newSeries(headers, fields, boilers, stores, n int) Series {
	grid := func(rows int) [][]float64 {
		if n == 0 {
			return nil
		}
		out := make([][]float64, rows)
		for i := range out {
			out[i] = make([]float64, n)
		}
		return out
	}
	h, f, b, s := headers, fields, boilers, stores
	return Series{
		SunHeaderKW: grid(f), SpilledKW: grid(f), SunStoreKW: grid(s), HeaderInKW: grid(s), DrawKW: grid(s), KeepWarmKW: grid(s),
		LossKW: grid(s), HeldKWh: grid(s), StoreC: grid(s), StoreBar: grid(s), LevelFrac: grid(s), BoilerKW: grid(b), FuelKW: grid(b),
		DemandKW: grid(h), ValveKW: grid(h), UnmetKW: grid(h), VentKW: grid(h),
	}
}

// count books a step.
func (m *machine) count(i int) {
	if m.seen.Lead {
		return
	}
	t := &m.tally
	t.hour = i / m.perHour
	m.countMains(i)
	b := &t.booked
	for n := range m.fields {
		f := &m.fields[n]
		b.sun[n].add(f.sunKW)
		b.sunHeader[n].add(f.headerKW)
		b.spilled[n].add(f.spilledKW)
		b.lost[n].add(f.lostKW)
	}
	m.countBoilers()
	for k := range m.stores {
		x := &m.stores[k]
		b.sunStore[k].add(x.sunKW)
		b.headerIn[k].add(x.headerInKW)
		b.draw[k].add(x.drawKW)
		b.keep[k].add(x.keepKW)
	}
	m.write(&t.out.Series, t.hour, t.perKW, i%m.perHour == 0)
	if at := i - t.watchFrom; at >= 0 && at < t.watchSteps {
		m.write(&t.out.Watched, at, 1, true)
	}
	if (i+1)%m.perHour == 0 {
		m.endHour()
	}
}

// write adds a step to a place of some series, as a share of that place; gauges are read where it begins.
func (m *machine) write(s *Series, at int, share float64, begins bool) {
	for l := range m.mains {
		p := &m.mains[l]
		s.DemandKW[l][at] += p.demandKW * share
		s.UnmetKW[l][at] += p.unmetKW * share
		s.VentKW[l][at] += p.ventKW * share
		s.ValveKW[l][at] += p.valveKW * share
	}
	for n := range m.fields {
		f := &m.fields[n]
		s.SunHeaderKW[n][at] += f.headerKW * share
		s.SpilledKW[n][at] += f.spilledKW * share
	}
	for j := range m.boilers {
		s.BoilerKW[j][at] += m.boilers[j].kW * share
		s.FuelKW[j][at] += m.boilers[j].fuelKWh / m.stepH * share
	}
	for k := range m.stores {
		x, g := &m.stores[k], &m.seen.Stores[k]
		s.SunStoreKW[k][at] += x.sunKW * share
		s.HeaderInKW[k][at] += x.headerInKW * share
		s.DrawKW[k][at] += x.drawKW * share
		s.KeepWarmKW[k][at] += x.keepKW * share
		if begins {
			s.HeldKWh[k][at], s.StoreC[k][at], s.StoreBar[k][at], s.LevelFrac[k][at] = g.KWh, g.TC, g.BarAbs, g.LevelFrac
		}
	}
}

// missingShare of the demand is what counts as heat missing in a step, in the count of hours.
const missingShare = 1e-3

func (m *machine) countMains(i int) {
	t := &m.tally
	b := &t.booked
	unmet, demand := 0.0, 0.0
	for l := range m.mains {
		p := &m.mains[l]
		b.demand[l].add(p.demandKW)
		b.unmet[l].add(p.unmetKW)
		b.vent[l].add(p.ventKW)
		b.valve[l].add(p.valveKW)
		unmet += p.unmetKW
		demand += p.demandKW
	}
	if unmet > missingShare*demand {
		t.out.UnmetH += m.stepH
		if unmet > t.out.WorstUnmetKW {
			t.out.WorstUnmetKW, t.out.WorstUnmetStep = unmet, i
		}
	}
}

func (m *machine) countBoilers() {
	t := &m.tally
	for j := range m.boilers {
		x := &m.boilers[j]
		t.booked.boiler[j].add(x.kW)
		t.booked.fuel[j].add(x.fuelKWh)
		t.booked.startFuel[j].add(x.startFuelKWh)
		t.booked.hotFuel[j].add(x.hotFuelKWh)
		t.out.Starts[j] += x.starts
		t.out.Lights[j] += x.lights
		switch x.state {
		case Hot:
			t.out.HotH[j] += m.stepH
		case Firing:
			t.out.FiringH[j] += m.stepH
		}
	}
}

// endHour writes what stores lost in the hour, and what was refused.
func (m *machine) endHour() {
	t := &m.tally
	for k := range m.stores {
		s := &m.stores[k]
		now := s.flows()
		kJ := now.lossKJ - s.flowsBefore.lossKJ + now.drainKJ - s.flowsBefore.drainKJ - (now.drainKg-s.flowsBefore.drainKg)*s.feedKJKg
		s.flowsBefore = now
		t.booked.loss[k].add(kJ / kJPerKWh)
		t.out.Series.LossKW[k][t.hour] = kJ / kJPerKWh
	}
	if t.asked > 0 {
		m.flushRefusals()
	}
}

// finish adds everything up.
func (m *machine) finish() (Played, error) {
	out, b := m.tally.out, &m.tally.booked
	all := func(list []sum, per float64) float64 {
		var t sum
		for i := range list {
			t.add(list[i].value() * per)
		}
		return t.value()
	}
	h := m.stepH
	out.DemandKWh, out.UnmetKWh, out.VentKWh = all(b.demand, h), all(b.unmet, h), all(b.vent, h)
	out.SunHeaderKWh, out.SunStoreKWh = all(b.sunHeader, h), all(b.sunStore, h)
	out.SpilledKWh, out.LagLossKWh = all(b.spilled, h), all(b.lost, h)
	out.BoilerKWh, out.FuelKWh = all(b.boiler, h), all(b.fuel, 1)
	out.StartFuelKWh, out.HotFuelKWh = all(b.startFuel, 1), all(b.hotFuel, 1)
	for j := range b.fuel {
		out.FuelByBoiler[j] = b.fuel[j].value()
	}
	out.StoreInKWh, out.StoreOutKWh = out.SunStoreKWh+all(b.headerIn, h), all(b.draw, h)
	out.KeepWarmKWh, out.LossKWh = all(b.keep, h), all(b.loss, 1)
	for n := range m.fields {
		f := &m.fields[n]
		heat := b.sunHeader[n].value()
		heat += b.sun[n].value() - heat - b.lost[n].value()
		out.PumpKWh += f.pump * heat * h
	}
	err := m.balance()
	return *out, err
}
