package scenarios

import (
	"slices"

	"noonkeep/plant"
	"noonkeep/plant/clock"
)

// powerName is the fuel of an electrode boiler: electricity as the scenario's own section has it.
const powerName = "electricity"

// boilers sets the boilers; a capacity in kg/h is steam of the header's pressure from its feedwater.
func (b *builder) boilers() {
	b.names("boiler", len(b.f.Boilers), func(i int) text { return b.f.Boilers[i].Name })
	for _, f := range b.f.Boilers {
		boiler := Boiler{Header: b.header(f.Header, f.At)}
		fuel, ok := b.fuelOf(f)
		out, okOut := b.outOf(f)
		if !ok || !okOut || boiler.Header < 0 || !f.Capacity.set || !f.Efficiency.At.set {
			continue
		}
		boiler.Boiler = plant.Boiler{Name: f.Name.s, Fuel: fuel, EfficiencyGross: f.Basis.s == "gross",
			StandingFrac: f.Standing.base(), MinFireFrac: f.MinFire.base(), StandbyFrac: f.Standby.base(), RampKWH: f.Ramp.base()}
		boiler.CapacityKW = f.Capacity.base()
		if h := b.c.Headers[boiler.Header]; f.Capacity.kind == "flow" && h.Medium != nil {
			b.add(f.Capacity.at, "is a flow of steam, and header %s carries %v; want heat, such as \"600 kW\"", quoted(h.Name), h.Medium)
			continue
		}
		if f.Capacity.kind == "flow" {
			boiler.CapacityKW *= b.c.Headers[boiler.Header].HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
		}
		if f.Start != nil {
			boiler.StartKWh, boiler.StartH = f.Start.Fuel.base(), f.Start.Time.base()
		}
		boiler.Out = out
		boiler.Available = b.available(out)
		if !b.efficiencyOf(f, &boiler.Boiler) {
			continue
		}
		b.boilerFits(f, boiler)
		if len(b.faults.list) == 0 {
			b.wrapAny(f.Efficiency.At, boiler.Check())
		}
		b.c.Boilers = append(b.c.Boilers, boiler)
	}
}

// fuelOf gives the fuel of a boiler; false for a fault.
func (b *builder) fuelOf(f boilerFile) (plant.Fuel, bool) {
	names := fuelNames(b.f.Fuels)
	if f.Fuel.s == powerName && !slices.Contains(names, powerName) && b.f.Electricity != nil {
		return b.c.Power, true
	}
	i := b.pick("fuel", f.Fuel, f.At, names)
	if i < 0 || i >= len(b.c.Fuels) {
		return plant.Fuel{}, false
	}
	return b.c.Fuels[i], true
}

// efficiencyOf sets a boiler's efficiency, in whichever way it is written; false for a fault.
func (b *builder) efficiencyOf(f boilerFile, boiler *plant.Boiler) bool {
	e := f.Efficiency
	switch {
	case e.Test != nil:
		return b.byLosses(f, e.Test.Losses, boiler)
	case e.Loads != nil && len(e.Loads) == 0:
		b.add(e.At, "is empty; want loads with their efficiencies")
		return false
	case e.Loads != nil:
		for _, p := range e.Loads {
			if !p.Load.set || !p.Efficiency.set {
				return false
			}
			boiler.Table = append(boiler.Table, plant.LoadEfficiency{LoadFrac: p.Load.base(), Efficiency: p.Efficiency.base()})
		}
		last := boiler.Table[len(boiler.Table)-1]
		if last.LoadFrac < 1 {
			b.note(e.At.key, "that of the last load above it", "no efficiency is written for full load")
		}
		boiler.Efficiency = last.Efficiency
		return true
	case e.At.set && !e.One.set:
		return false // a fault that is noted already
	}
	boiler.Efficiency = e.One.base()
	return true
}

// byLosses works out a boiler's efficiency from its losses.
func (b *builder) byLosses(f boilerFile, w lossesFile, boiler *plant.Boiler) bool {
	before := len(b.faults.list)
	if f.Basis.set {
		b.add(f.Basis.at, "stands beside losses, from which the basis follows; take it out")
	}
	b.unassume(f.Basis.key)
	if f.Standing.set {
		b.add(f.Standing.at, "stands beside losses, whose radiation it is; want one of the two")
	}
	if w.Oxygen.set == w.Dioxide.set && !b.faulty(w.Oxygen.key) && !b.faulty(w.Dioxide.key) {
		b.add(w.At, "wants one of oxygen and carbon_dioxide of the dry flue gas")
	}
	if w.Dioxide.set && w.Analysis != nil {
		b.add(w.Dioxide.at, "stands beside an analysis, which needs oxygen")
	}
	if w.Humidity.set && w.Analysis == nil {
		b.doubtAt(w.Humidity.at, "has no effect without an analysis")
	}
	if len(b.faults.list) > before || !w.Flue.set {
		return false
	}
	flue := plant.Flue{GasC: w.Flue.base(), AirC: w.Air.base(), O2Frac: w.Oxygen.base(), CO2Frac: w.Dioxide.base(), COFrac: w.Monoxide.base(), AirKgKg: w.Humidity.base()}
	losses, err := b.lossesOf(f, w, flue)
	if err != nil {
		b.wrap(w.At, err)
		return false
	}
	if len(b.faults.list) > before {
		return false
	}
	boiler.Losses = losses
	boiler.Efficiency, boiler.EfficiencyGross, boiler.StandingFrac = losses.Efficiency(), losses.Gross, w.Radiation.base()
	return true
}

// lossesOf goes by the analysis where there is one, else by Siegert's formula for the generic fuel.
func (b *builder) lossesOf(f boilerFile, w lossesFile, flue plant.Flue) (plant.Losses, error) {
	i := max(0, slices.Index(fuelNames(b.f.Fuels), f.Fuel.s))
	if f.Fuel.s == powerName || len(b.f.Fuels) == 0 {
		b.add(w.At, "are those of a flue, and the boiler burns nothing; write its efficiency")
		return plant.Losses{}, nil
	}
	u, ok := b.burnt(b.f.Fuels[i])
	if !ok {
		return plant.Losses{}, nil
	}
	if w.Analysis == nil {
		kind := u.like.Name
		if !u.generic {
			kind = u.Name.s
		}
		return plant.Siegert(kind, flue, w.Radiation.base())
	}
	a := w.Analysis
	if !(u.gross >= 1) {
		b.add(a.At, "needs gross_per_net of fuel %s, since it counts gross; write it there", quoted(u.Name.s))
		return plant.Losses{}, nil
	}
	const kJPerKWh = 3600
	analysis := plant.Analysis{Carbon: a.Carbon.base(), Hydrogen: a.Hydrogen.base(), Oxygen: a.Oxygen.base(), Nitrogen: a.Nitrogen.base(),
		Sulphur: a.Sulphur.base(), Moisture: a.Moisture.base(), GrossKJKg: b.heatPer(u, byMass, w.Flue) * u.gross * kJPerKWh}
	if b.faulty(w.Flue.key) {
		return plant.Losses{}, nil
	}
	return analysis.Losses(flue, w.Radiation.base())
}

// boilerFits refuses what a boiler cannot have together, and doubts what has no effect.
func (b *builder) boilerFits(f boilerFile, boiler Boiler) {
	if f.Standing.set && f.Efficiency.Loads != nil {
		b.add(f.Standing.at, "stands beside efficiencies by load, which hold it; want one of the two")
	}
	if f.Standby.set && boiler.StartKWh == 0 && boiler.StartH == 0 {
		b.doubtAt(f.Standby.at, "has no effect where a start takes neither fuel nor time; write start")
	}
	cycles := boiler.Table != nil || boiler.StandingFrac > 0 || boiler.StartKWh > 0 || boiler.StandbyFrac > 0 && boiler.StartH > 0
	if cycles && slices.ContainsFunc(boiler.Fuel.PriceByStep, func(x float64) bool { return x < 0 }) {
		b.add(f.Fuel.at, "has a price below 0 at times, at which burning more would pay, and the boiler's efficiency by load, standing loss or start would then err to the good side; want one efficiency, or prices of 0 or more")
	}
}

// outOf gives the days on which a boiler is out of service; false for a fault.
func (b *builder) outOf(f boilerFile) ([]clock.Span, bool) {
	var spans []clock.Span
	ok := true
	for _, days := range f.Out {
		span, err := clock.ParseSpan(days.s)
		if err != nil {
			b.wrap(days.at, err)
			ok = false
			continue
		}
		spans = append(spans, span)
		b.otherYear(days.at, span.From, span.To)
	}
	return spans, ok
}

// available is the share of a boiler that can run in each step; nil where it always can.
func (b *builder) available(out []clock.Span) []float64 {
	a := b.c.Axis
	if len(out) == 0 || a.N == 0 {
		return nil
	}
	share := make([]float64, a.N)
	for t := range share {
		day := clock.DateOf(b.c.Calendar.Wall(a.At(t)))
		if !slices.ContainsFunc(out, func(s clock.Span) bool { return s.Has(day) }) {
			share[t] = 1
		}
	}
	return share
}

// limits sets what boilers share.
func (b *builder) limits() {
	b.names("limit", len(b.f.Limits), func(i int) text { return b.f.Limits[i].Name })
	var names []string
	for _, f := range b.f.Boilers {
		names = append(names, f.Name.s)
	}
	for _, f := range b.f.Limits {
		limit := Limit{Name: f.Name.s, MostKW: f.Most.base(), OfFuel: f.Of.s == "fuel"}
		if f.Boilers != nil && len(f.Boilers) == 0 {
			b.add(f.At, "has no boilers; want at least one")
		}
		for _, t := range f.Boilers {
			i := slices.Index(names, t.s)
			switch {
			case !t.set || t.s == "":
			case i < 0:
				tail, near := wantOneOf(t.s, names)
				b.add(t.at, "no boiler is called %s; %s", quoted(t.s), tail).Near = near
			case slices.Contains(limit.Boilers, i):
				b.add(t.at, "boiler %s stands twice", quoted(t.s))
			default:
				limit.Boilers = append(limit.Boilers, i)
			}
		}
		b.c.Limits = append(b.c.Limits, limit)
	}
}

// fullLoad doubts fuel that is turned to heat at full load's efficiency where the boiler has others too.
func (b *builder) fullLoad(p at, boiler plant.Boiler) {
	if boiler.Table != nil || boiler.StandingFrac > 0 || boiler.StartKWh > 0 {
		b.doubtOnce(p, "the fuel is turned to heat by boiler "+boiler.Name+"'s efficiency at full load; at less load, and with starts, it made less")
	}
}
