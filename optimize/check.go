package optimize

import (
	"errors"
	"fmt"
	"math"
)

// faults gathers every fault of a problem, in the order of its parts.
type faults []error

func (f *faults) require(ok bool, format string, args ...any) {
	if !ok {
		*f = append(*f, fmt.Errorf(format, args...))
	}
}

func (f faults) err() error { return errors.Join(f...) }

// Check says everything that is wrong with the problem, each fault on its line: lengths, indices,
// numbers that are not finite or have the wrong sign, pieces out of order, names missing or used twice.
func (p Problem) Check() error {
	var f faults
	f.require(p.StepH > 0 && p.StepH <= 24, "step: is %g h; want more than 0 and at most 24", p.StepH)
	f.require(p.N() > 0, "headers: there is no header with a demand; want at least one step")
	if len(f) > 0 {
		return f.err()
	}
	for i, h := range p.Headers {
		what := named("header", i, h.Name)
		f.series(what+": demand", h.DemandKW, p.N(), 0, math.Inf(1))
		f.require(h.UnmetPrice >= 0 && finite(h.UnmetPrice), "%s: unmet price: is %g; want 0 or more", what, h.UnmetPrice)
	}
	for i, field := range p.Fields {
		p.checkField(&f, named("field", i, field.Name), field)
	}
	for i, b := range p.Boilers {
		p.checkBoiler(&f, named("boiler", i, b.Name), b)
	}
	for i, v := range p.Valves {
		ok := v.From >= 0 && v.From < v.To && v.To < len(p.Headers)
		f.require(ok, "valve %d: leads from header %d to %d; want from a higher pressure (smaller number) to a lower", i, v.From, v.To)
		f.require(v.CapacityKW >= 0 && finite(v.CapacityKW), "valve %d: capacity: is %g kW; want 0 or more", i, v.CapacityKW)
	}
	for i, s := range p.Stores {
		p.checkStore(&f, named("store", i, s.Name), s)
	}
	for i, m := range p.Moves {
		p.checkMove(&f, named("move", i, m.Name), m)
	}
	for i, m := range p.Limits {
		p.checkLimit(&f, named("limit", i, m.Name), m)
	}
	for i, m := range p.Takes {
		p.checkTake(&f, named("take", i, m.Name), m)
	}
	f.require(finite(p.FixedCost), "fixed cost: is %g; want a number", p.FixedCost)
	p.checkNames(&f)
	return f.err()
}

func (p Problem) checkField(f *faults, what string, field Field) {
	f.amount(what+": area", field.AreaM2, "m²")
	f.amount(what+": heat cost", field.HeatCost, "per kWh")
	p.checkMost(f, what, field)
	f.require(finite(field.FixedCost), "%s: fixed cost: is %g; want a number", what, field.FixedCost)
	f.require(len(field.HeaderKWM2) <= len(p.Headers), "%s: has yields for %d headers; there are %d", what, len(field.HeaderKWM2), len(p.Headers))
	f.require(len(field.StoreKWM2) <= len(p.Stores), "%s: has yields for %d stores; there are %d", what, len(field.StoreKWM2), len(p.Stores))
	for i, y := range field.HeaderKWM2 {
		if y != nil {
			f.series(fmt.Sprintf("%s: yield to header %d", what, i), y, p.N(), 0, math.Inf(1))
		}
	}
	for i, y := range field.StoreKWM2 {
		if y != nil {
			f.series(fmt.Sprintf("%s: yield to store %d", what, i), y, p.N(), 0, math.Inf(1))
		}
	}
}

func (p Problem) checkBoiler(f *faults, what string, b Boiler) {
	f.require(b.Header >= 0 && b.Header < len(p.Headers), "%s: feeds header %d; there are %d", what, b.Header, len(p.Headers))
	f.amount(what+": ramp", b.RampKW, "kW")
	f.series(what+": fuel price", b.FuelPrice, p.N(), math.Inf(-1), math.Inf(1))
	if b.Available != nil {
		f.series(what+": available", b.Available, p.N(), 0, 1)
	}
	f.require(len(b.Pieces) > 0, "%s: has no piece; want at least one", what)
	for i, piece := range b.Pieces {
		f.amount(fmt.Sprintf("%s: piece %d: capacity", what, i), piece.CapacityKW, "kW")
		ok := piece.FuelPerHeat > 0 && finite(piece.FuelPerHeat)
		f.require(ok, "%s: piece %d: fuel per heat: is %g; want more than 0", what, i, piece.FuelPerHeat)
		if i > 0 && ok {
			before := b.Pieces[i-1].FuelPerHeat
			f.require(piece.FuelPerHeat >= before, "%s: piece %d: takes %g kWh fuel per kWh, less than the %g before it; want the convex hull",
				what, i, piece.FuelPerHeat, before)
		}
	}
}

func (p Problem) checkStore(f *faults, what string, s Store) {
	f.require(s.Header >= 0 && s.Header < len(p.Headers), "%s: serves header %d; there are %d", what, s.Header, len(p.Headers))
	f.require(s.source() >= 0 && s.source() < len(p.Headers), "%s: is charged from header %d; there are %d", what, s.source(), len(p.Headers))
	f.amount(what+": volume", s.VolumeM3, "m³")
	f.amount(what+": capacity", s.CapacityKWh, "kWh")
	f.amount(what+": charge", s.ChargeKW, "kW")
	f.amount(what+": discharge", s.DischargeKW, "kW")
	f.amount(what+": charge from the header", s.HeaderChargeKW, "kW")
	f.series(what+": keep", s.Keep, p.N(), 0, 1)
	f.series(what+": standing loss", s.StandingKW, p.N(), 0, math.Inf(1))
}

// checkNames wants a name for each part that only it has among its kind: messages and rows use it.
func (p Problem) checkNames(f *faults) {
	seen := map[string]bool{}
	one := func(kind string, i int, name string) {
		f.require(name != "", "%s %d: has no name", kind, i)
		f.require(name == "" || !seen[kind+name], "%s %q: the name is used twice", kind, name)
		seen[kind+name] = true
	}
	for i, h := range p.Headers {
		one("header", i, h.Name)
	}
	for i, x := range p.Fields {
		one("field", i, x.Name)
	}
	for i, b := range p.Boilers {
		one("boiler", i, b.Name)
	}
	for i, s := range p.Stores {
		one("store", i, s.Name)
	}
	for i, m := range p.Moves {
		one("move", i, m.Name)
	}
	for i, m := range p.Limits {
		one("limit", i, m.Name)
	}
	for i, m := range p.Takes {
		one("take", i, m.Name)
	}
}

func (f *faults) amount(what string, x float64, unit string) {
	f.require(x >= 0 && finite(x), "%s: is %g %s; want 0 or more", what, x, unit)
}

// series wants n finite values from lo to hi and names the first that is not.
func (f *faults) series(what string, v []float64, n int, lo, hi float64) {
	if len(v) != n {
		f.require(false, "%s: has %d values; want %d, one a step", what, len(v), n)
		return
	}
	for t, x := range v {
		if !(x >= lo && x <= hi && finite(x)) {
			f.require(false, "%s: step %d is %g; want %s", what, t, x, span(lo, hi))
			return
		}
	}
}

func span(lo, hi float64) string {
	switch {
	case math.IsInf(lo, -1):
		return "a number"
	case math.IsInf(hi, 1):
		return fmt.Sprintf("%g or more", lo)
	}
	return fmt.Sprintf("%g to %g", lo, hi)
}

// mostNumber is what any number of a problem may be. Clp ends the whole process at a cost of 1e25, and doubles have 16 digits.
const mostNumber = 1e18

func finite(x float64) bool { return math.Abs(x) <= mostNumber }

func named(kind string, i int, name string) string {
	if name == "" {
		return fmt.Sprintf("%s %d", kind, i)
	}
	return fmt.Sprintf("%s %q", kind, name)
}
