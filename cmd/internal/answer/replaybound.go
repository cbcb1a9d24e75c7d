package answer

import (
	"context"
	"math"
	"slices"

	"noonkeep/optimize"
	"noonkeep/plant/clock"
)

// boundOf is a program that costs no more than any way of running the machine, and so its bound is one of them all.
//
// The program of hours itself is none: it charges the store at its hottest, draws no faster than at its floor, and loses
// heat by a straight line, while the machine has the temperature and pressure of the moment. So here
//
//   - whatever the fields bring in a step, by the minute and late by their lag, may go to the header or, as much, into the
//     store, which is never colder than the header;
//   - the store gives as fast as it is asked, and loses only what it loses at its floor, where heat keeps it at least;
//   - boilers burn as little as they like, start at once and for nothing, and change as fast as they like; their fuel is the
//     convex hull of theirs;
//   - heat may be missing wherever it is missing in the machine, at the price that it has there.
//
// Means over a step of whatever the machine does then keep to the program's rows: they are sums of minutes that do, and
// by the hull's bend the fuel of the mean is no more than the mean of the fuel (Jensen). What the boilers' own water takes and
// gives back while the pressure swings is added to the store.
func (m *machine) boundOf(p optimize.Problem, t *tariff) optimize.Problem {
	coarse := m.hourly.Axis
	mean := func(v []float64) []float64 {
		if v == nil {
			return nil
		}
		out, err := clock.Resample(v, m.fine.Axis, coarse)
		if err != nil {
			panic("answer: minutes and hours are of one year: " + err.Error())
		}
		return out
	}
	yield := func(v []float64) []float64 { return plainTails(mean(v)) }
	p.Moves = nil
	p.Headers = slices.Clone(p.Headers)
	for l := range p.Headers {
		p.Headers[l].DemandKW = mean(m.plant.Headers[l].DemandKW)
		p.Headers[l].UnmetPrice = t.unmet[l]
	}
	p.Fields = slices.Clone(p.Fields)
	peak := make([]float64, len(p.Stores))
	for i := range p.Fields {
		m.boundField(&p.Fields[i], i, yield, peak)
		if most := m.plant.Fields[i].MostKW; most != nil {
			p.Fields[i].MostKW = mean(most)
		}
	}
	p.Boilers = slices.Clone(p.Boilers)
	for i := range p.Boilers {
		p.Boilers[i].RampKW = 0
	}
	p.Stores = slices.Clone(p.Stores)
	for k := range p.Stores {
		s := &p.Stores[k]
		if m.plant.Stores[k].ChargeKW == 0 {
			s.ChargeKW = peak[k] + s.HeaderChargeKW
		}
		s.CapacityKWh += 2 * m.plant.Headers[s.Header].SlackKWh
		s.DischargeKW = 0
		for l := s.Header; l < len(p.Headers); l++ {
			s.DischargeKW += most(p.Headers[l].DemandKW)
		}
		s.Keep = slices.Repeat([]float64{1}, len(s.Keep))
	}
	return p
}

// boundField gives field i the same heat for every use.
func (m *machine) boundField(f *optimize.Field, i int, yield func([]float64) []float64, peak []float64) {
	x := &m.plant.Fields[i]
	header := late(x.HeaderKWM2, x.LagS/m.plant.StepS)
	f.HeaderKWM2, f.StoreKWM2 = slices.Clone(f.HeaderKWM2), slices.Clone(f.StoreKWM2)
	if header != nil {
		f.HeaderKWM2[x.Header] = yield(header)
	}
	for k, y := range x.Stores {
		if y.FloorKWM2 == nil {
			continue
		}
		store := header
		if store == nil || m.hourly.Stores[k].FloorC() < m.hourly.Fields[i].AtC {
			store = late(y.FloorKWM2, x.LagS/m.plant.StepS)
		}
		f.StoreKWM2[k] = yield(store)
		peak[k] += f.AreaM2 * most(f.StoreKWM2[k])
	}
}

// plainTails makes what a lag leaves of the evening fit for a solver: a tenth of a W/m² for less than that, which errs to the
// bound's side, and nothing for less than a ten-thousandth.
func plainTails(v []float64) []float64 {
	const least, none = 1e-4, 1e-7
	v = slices.Clone(v)
	for t, x := range v {
		switch {
		case x < none:
			v[t] = 0
		case x < least:
			v[t] = least
		}
	}
	return v
}

// late is a series that follows another with a time constant of so many steps.
func late(v []float64, lagSteps float64) []float64 {
	if v == nil || !(lagSteps > 0) {
		return v
	}
	out, part, x := make([]float64, len(v)), 1-math.Exp(-1/lagSteps), 0.0
	for t, y := range v {
		x += (y - x) * part
		out[t] = x
	}
	return out
}

// bound is a proven bound on what any way costs with the store of a problem.
func (m *machine) bound(ctx context.Context, p optimize.Problem, t *tariff, engine string) (float64, error) {
	_, proof, err := optimize.Plan(ctx, m.boundOf(p, t), optimize.Options{Engine: engine})
	return proof.LowerBound, err
}
