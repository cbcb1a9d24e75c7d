package scenarios

import (
	"cmp"
	"reflect"
	"slices"

	"noonkeep/plant"
	"noonkeep/plant/clock"
)

// medium sets a header that carries no steam. Its SteamC is the supply temperature, its FeedwaterC that of the return, and
// no kg of anything is known.
func (b *builder) medium(f headerFile, h *Header) {
	m := f.Medium
	for _, v := range []at{f.Pressure.at, f.Feedwater.at} {
		if v.set {
			b.add(v, "is of steam, and the header carries a medium; want one of the two")
		}
	}
	b.unassume(f.Feedwater.key)
	if f.Condensate != nil {
		b.add(f.Condensate.At, "is of steam, and the header carries a medium")
	}
	h.Medium = b.mediumOf(m)
	if h.Medium != nil {
		h.SteamC, h.FeedwaterC = h.Medium.SupplyC, h.Medium.ReturnC
	}
}

// mediumOf reads a medium; nil for a fault.
func (b *builder) mediumOf(m *mediumFile) *plant.Medium {
	if !m.Kind.set || !m.Supply.set || !m.Return.set || m.Approach.kind == "" {
		return nil
	}
	kind := max(0, slices.Index(plant.Carriers(), m.Kind.s))
	out := plant.Medium{Carrier: plant.Carrier(kind), SupplyC: m.Supply.base(), ReturnC: m.Return.base(), ApproachK: m.Approach.base()}
	if err := out.Check(); err != nil {
		place := m.Supply.at
		if out.ReturnC >= out.SupplyC {
			place = m.Return.at
		}
		b.wrap(place, err)
		return nil
	}
	return &out
}

// hotter orders headers: by pressure, or where one carries no steam by temperature.
func hotter(x, y Header) int {
	if x.Medium == nil && y.Medium == nil {
		return cmp.Compare(y.Pressure.BarAbs(), x.Pressure.BarAbs())
	}
	return cmp.Compare(y.SteamC, x.SteamC)
}

// above finds for each header the one that lets heat into it: the next higher steam; for a medium the next steam that is
// hot enough for its exchanger, or another medium if the scenario asks for it.
func (b *builder) above() {
	for to := range b.c.Headers {
		h, f := &b.c.Headers[to], b.f.Headers[slices.Index(b.swap, to)]
		h.Above = -1
		for from := to - 1; from >= 0 && h.FromAbove && h.Above < 0; from-- {
			if b.c.Headers[from].Medium == nil && b.letsIn(from, to) {
				h.Above = from
			}
		}
		for from := to - 1; from >= 0 && f.Valve.set && h.FromAbove && h.Above < 0; from-- {
			if b.letsIn(from, to) {
				h.Above = from
			}
		}
		if h.Above < 0 {
			if f.Valve.set && h.FromAbove && h.Medium != nil && to > 0 {
				b.add(f.Valve.at, "no header is hot enough to heat %s: want steam of %.4g degC, or a medium an approach hotter at both ends",
					quoted(h.Name), h.Medium.SupplyC+h.Medium.ApproachK)
			}
			h.FromAbove = false
			b.unassume(f.Valve.key)
		}
		b.valve(f, h)
	}
}

// letsIn tells whether one header can let heat into another.
func (b *builder) letsIn(from, to int) bool {
	x, y := b.c.Headers[from], b.c.Headers[to]
	switch {
	case y.Medium == nil:
		return x.Medium == nil
	case x.Medium == nil:
		return y.Medium.HeatedBySteam(x.SteamC)
	}
	return y.Medium.HeatedBy(*x.Medium)
}

// valve sets what lets heat in from above.
func (b *builder) valve(f headerFile, h *Header) {
	v := f.Reducing
	if v == nil {
		return
	}
	if h.Above < 0 {
		b.doubtAt(v.At, "has no effect: no header lets heat into %s", quoted(h.Name))
		b.unassume(v.Spray.key)
		return
	}
	source := b.c.Headers[h.Above]
	if h.ValveKW = v.Most.base(); v.Most.kind == "flow" {
		if source.Medium != nil {
			b.add(v.Most.at, "is a flow of steam, and header %s carries %v; want heat, such as \"600 kW\"", quoted(source.Name), source.Medium)
		}
		h.ValveKW *= source.HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
	}
	h.Spray = v.Spray.yes
	if h.Medium != nil {
		if v.Spray.set {
			b.doubtAt(v.Spray.at, "has no effect on an exchanger")
		}
		b.unassume(v.Spray.key)
		return
	}
	let, err := source.LetDownTo(h.Header)
	if err != nil || len(b.faults.list) > 0 {
		return // the headers have a fault
	}
	if off := let.HeatFrac - 1; off < -unlikeFeed || off > unlikeFeed {
		b.doubtAt(v.At, "the feedwater of header %s has %.4g degC and that of %s %.4g degC: a kWh let down counts as one, and would be %.3f by mass",
			quoted(source.Name), source.FeedwaterC, quoted(h.Name), h.FeedwaterC, let.HeatFrac)
	}
}

// unlikeFeed is by how much a kWh may change its size in a valve before that is said.
const unlikeFeed = 0.01

// noSteam refuses what a load asks of steam on a header that carries a medium.
func (b *builder) noSteam(f loadFile, h Header) bool {
	if h.Medium == nil {
		return true
	}
	before := len(b.faults.list)
	refuse := func(p at) {
		b.add(p, "is of steam, and header %s carries %v; want heat, such as \"600 kW\"", quoted(h.Name), h.Medium)
	}
	for _, a := range flowsIn(reflect.ValueOf(f)) {
		refuse(a.at)
	}
	if f.Movable != nil && f.Movable.Steam.set {
		refuse(f.Movable.Steam.at)
	}
	if f.Batch != nil && f.Batch.HeatUp.Coil.set {
		refuse(f.Batch.HeatUp.Coil.at)
	}
	return len(b.faults.list) == before
}

// flowsIn finds all flows of mass in a struct of keys.
func flowsIn(v reflect.Value) []amount {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return nil
		}
		return flowsIn(v.Elem())
	case reflect.Struct:
		if a, ok := v.Interface().(amount); ok {
			if a.set && a.kind == "flow" {
				return []amount{a}
			}
			return nil
		}
		var list []amount
		for i := range v.NumField() {
			if v.Type().Field(i).Tag.Get(keyTag) != "" {
				list = append(list, flowsIn(v.Field(i))...)
			}
		}
		return list
	case reflect.Slice:
		var list []amount
		for i := range v.Len() {
			list = append(list, flowsIn(v.Index(i))...)
		}
		return list
	}
	return nil
}

// loadMedium sees that a header is hot enough for a load's own medium, and keeps what it needs at least.
func (b *builder) loadMedium(f loadFile, load *Consumer) bool {
	if f.Medium == nil {
		return true
	}
	m := b.mediumOf(f.Medium)
	h := b.c.Headers[load.Header]
	if m == nil || h.SteamC == 0 {
		return false
	}
	hot := h.Medium == nil && m.HeatedBySteam(h.SteamC) || h.Medium != nil && m.HeatedBy(*h.Medium)
	if !hot {
		b.add(f.Medium.Supply.at, "header %s has %.4g degC, and %v of %.4g to %.4g degC needs an approach of %.4g K more",
			quoted(h.Name), h.SteamC, m, m.SupplyC, m.ReturnC, m.ApproachK)
		return false
	}
	if f.Steam.set {
		b.add(f.Steam.at, "stands beside a medium, whose heat is counted in kW; want heat")
		return false
	}
	load.Medium, load.LeastFeedC = m, m.SupplyC
	return true
}

// chain are the headers whose boilers can carry a header: itself, and over valves those above it.
func (b *builder) chain(place int) []int {
	list := []int{place}
	for at := b.c.Headers[place].Above; at >= 0; at = b.c.Headers[at].Above {
		list = append(list, at)
	}
	return list
}

// flashSteam takes the flash steam of higher headers' condensate off what a header asks for. It comes when the higher
// header's loads run; what the lower one's do not take just then is vented.
func (b *builder) flashSteam() {
	for i := range b.c.Headers {
		high := &b.c.Headers[i]
		if high.House == nil || high.House.FlashTo == "" || high.HeatKJKg == 0 {
			continue
		}
		low := &b.c.Headers[slices.IndexFunc(b.c.Headers, func(h Header) bool { return h.Name == high.House.FlashTo })]
		if low.FlashKW == nil {
			low.FlashKW = make(clock.KW, b.c.Axis.N)
		}
		// kW of process by 3600/HeatKJKg is kg/h, of which FlashTakenKgH flash; these count by the lower header's heat.
		each := high.House.FlashTakenKgH * low.HeatKJKg / high.HeatKJKg
		for _, load := range b.c.Loads {
			if load.Header != i || load.Moved != nil {
				continue
			}
			for t, kW := range load.KW {
				low.FlashKW[t] += each * kW / (1 + high.House.ownUseFrac(t))
			}
		}
	}
	for i := range b.c.Headers {
		h := &b.c.Headers[i]
		for t, kW := range h.FlashKW {
			used := min(kW, h.DemandKW[t])
			h.DemandKW[t] -= used
			h.FlashVentedKWh += (kW - used) * b.c.Axis.StepH()
		}
	}
	for i, f := range b.f.Headers {
		h := b.c.Headers[b.swap[i]]
		if all := h.FlashKW.EnergyKWh(b.c.Axis.StepH()); h.FlashVentedKWh > wastedFlash*all {
			b.doubtAt(f.At, "of %.4g MWh of flash steam a year its loads have no use for %.4g MWh just then; that is vented", all/1000, h.FlashVentedKWh/1000)
		}
	}
}

// wastedFlash is the share of the flash steam from which it is said that it is vented; common practice, no source.
const wastedFlash = 0.05

// ownUseFrac is the boiler house's own use in a step.
func (h *House) ownUseFrac(t int) float64 {
	if h.ByStep != nil {
		return h.ByStep[t]
	}
	return h.OwnUseFrac
}

// flashTo finds the header to which a header's condensate flashes; nil for none, or a fault.
func (b *builder) flashTo(f headerFile) *headerFile {
	w := f.Condensate
	if !w.FlashTo.set {
		return nil
	}
	if w.FlashAt.set {
		b.add(w.FlashTo.at, "stands beside flash_at; want one of the two")
		return nil
	}
	names := make([]string, len(b.f.Headers))
	for i, h := range b.f.Headers {
		names[i] = h.Name.s
	}
	i := b.pick("header", w.FlashTo, f.At, names)
	switch {
	case i < 0 || !b.f.Headers[i].Pressure.set && b.f.Headers[i].Medium == nil:
		return nil
	case b.f.Headers[i].Medium != nil:
		b.add(w.FlashTo.at, "header %s carries no steam", quoted(w.FlashTo.s))
		return nil
	}
	low, high := b.f.Headers[i].Pressure.pressure(b.c.AirBarA), f.Pressure.pressure(b.c.AirBarA)
	if low.BarAbs() >= high.BarAbs() {
		b.add(w.FlashTo.at, "header %s is at %.4g bar(a), not under the %.4g bar(a) of the condensate; want a lower one", quoted(w.FlashTo.s), low.BarAbs(), high.BarAbs())
		return nil
	}
	return &b.f.Headers[i]
}
