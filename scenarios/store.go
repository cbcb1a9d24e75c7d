package scenarios

import (
	"errors"
	"fmt"
	"slices"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// storeFiles are the stores as written: the one, or those of the list.
func (f *file) storeFiles() []*storeFile {
	if f.Store != nil {
		return []*storeFile{f.Store}
	}
	list := make([]*storeFile, len(f.Stores))
	for i := range list {
		list[i] = &f.Stores[i]
	}
	return list
}

func (b *builder) storeFiles() []*storeFile { return b.f.storeFiles() }

// varied is the place of the store whose volume the curve varies: the first with steps, or the first; -1 without a store.
func (b *builder) varied() int {
	list := b.storeFiles()
	if i := slices.IndexFunc(list, func(f *storeFile) bool { return f.Steps.set }); i >= 0 {
		return i
	}
	return min(0, len(list)-1)
}

// stores sets the stores; their air and what charges them come with the weather.
func (b *builder) stores() {
	if b.f.Store != nil && len(b.f.Stores) > 0 {
		b.add(b.f.Store.At, "stands beside stores; want one of the two")
		return
	}
	list, varied := b.storeFiles(), b.varied()
	if b.f.Store == nil {
		b.names("store", len(list), func(i int) text { return list[i].Name })
		b.storesAlone(list, varied)
	}
	for i, f := range list {
		s := b.store(f)
		if s == nil {
			return
		}
		b.c.Stores = append(b.c.Stores, s)
		if i == varied {
			b.c.Store = s
		}
	}
	if len(b.jobs) == 0 {
		b.vessels()
	}
}

// storesAlone checks what only a list of stores can have wrong, and says which one the curve varies.
func (b *builder) storesAlone(list []*storeFile, varied int) {
	steps := 0
	for i, f := range list {
		if !f.Name.set && !f.Name.bad() {
			b.add(f.Name.at, "is missing; write for example \"name: accumulator\"")
		}
		if f.Steps.set {
			steps++
		}
		if i == varied || f.Steps.set || b.faulty(f.Steps.key) {
			continue
		}
		b.unassume(f.Steps.key)
		if !f.Volume.set && !b.faulty(f.Volume.key) {
			b.add(f.Volume.at, "is missing; the curve varies another store, so that this one needs its volume")
		}
	}
	if len(list) > 1 && steps != 1 {
		b.note("stores", list[varied].Name.s, "the store whose volume the curve varies: the first, of those with steps if there are; --store names another")
	}
}

// store sets one store without its vessel; nil for a fault.
func (b *builder) store(f *storeFile) *Store {
	header := b.header(f.Header, f.At)
	from := header
	if f.Charged.set {
		from = b.header(f.Charged, f.At)
	}
	if header < 0 || from < 0 || !f.Vessel.set || !f.Working.set || !b.absolute(f.Working) {
		return nil
	}
	h := b.c.Headers[header]
	if h.Medium != nil && f.Vessel.s == storage.Flash.String() {
		b.add(f.Vessel.at, "gives steam, and header %s carries %v; want exchanger or thermocline", quoted(h.Name), h.Medium)
		return nil
	}
	if working := f.Working.pressure(b.c.AirBarA).BarAbs(); h.Pressure.Valid() && working <= h.Pressure.BarAbs() {
		b.add(f.Working.at, "%s is not above the %.4g bar(a) of header %q; want more, or no steam flows into it",
			quoted(f.Working.String()), h.Pressure.BarAbs(), h.Name)
		return nil
	}
	s := &Store{Name: f.Name.s, Header: header, From: from, FromM3: f.Steps.lo.base(), ToM3: f.Steps.hi.base(),
		VolumeM3: f.Volume.base(), ChargeKW: f.ChargeRate.base(), Cost: b.vesselCost(f)}
	if s.Name == "" {
		s.Name = "store"
	}
	s.Spec = b.spec(f, h)
	b.chargedFrom(f, s)
	if s.Spec.Discharge == storage.Thermocline {
		b.layered(f, s)
	}
	switch {
	case f.Volume.kind == "" && len(b.faults.list) == 0:
		s.VolumeM3 = (s.FromM3 + s.ToM3) / 2
		b.note(f.Volume.key, fmt.Sprintf("%g m3", s.VolumeM3), "the middle of the steps")
	case b.f.Store == nil && !f.Steps.set: // the range of one that is not varied, should it be
		s.ToM3 = max(s.ToM3, 2*s.VolumeM3)
	}
	return s
}

// chargedFrom sets how a header charges a store.
func (b *builder) chargedFrom(f *storeFile, s *Store) {
	source := b.c.Headers[s.From]
	s.HeaderChargeKW = f.Boilers.base()
	if f.Boilers.kind == "flow" && source.Medium != nil {
		b.add(f.Boilers.at, "is a flow of steam, and header %s carries %v; want heat, such as \"600 kW\"", quoted(source.Name), source.Medium)
	}
	if f.Boilers.kind == "flow" {
		s.HeaderChargeKW *= source.HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
	}
	if s.From == s.Header {
		if f.Charged.set {
			b.doubtAt(f.Charged.at, "is the header that it serves, which needs no saying")
		}
		return
	}
	if served := b.c.Headers[s.Header]; s.From > s.Header && (source.Medium != nil || served.Medium != nil) {
		b.add(f.Charged.at, "header %q has %.4g degC, no more than the %.4g degC of %q, which the store serves; want a hotter one", source.Name, source.SteamC, served.SteamC, served.Name)
		return
	}
	if s.From > s.Header {
		b.add(f.Charged.at, "header %q is at %.4g bar(a), under the %.4g bar(a) of %q, which the store serves; want a higher one",
			source.Name, source.Pressure.BarAbs(), b.c.Headers[s.Header].Pressure.BarAbs(), b.c.Headers[s.Header].Name)
		return
	}
	if f.Boilers.kind == "" {
		for _, x := range b.c.Boilers {
			s.HeaderChargeKW += x.CapacityKW
		}
		b.note(f.Boilers.key, fmt.Sprintf("%.4g kW", s.HeaderChargeKW), "all that the boilers have")
	}
	if s.Spec.Discharge != storage.Flash {
		s.Spec.MostC = source.SteamC - s.Spec.ApproachK
		return
	}
	mostC, err := steam.SatTemp(source.Pressure.Plus(-s.Spec.LineDropBar))
	b.wrapAny(f.LineDrop.at, err)
	s.Spec.MostC = mostC
	if !f.Feed.set {
		s.Spec.Feed = storage.WhileCharging
		b.unassume(f.Feed.key)
		b.note(f.Feed.key, s.Spec.Feed.String(), "the steam that charges it brings back the water that it gave")
	}
}

// vessels makes the vessels once all loads are known: an exchanger without a rating passes the most that those of its
// header take.
func (b *builder) vessels() {
	for i, s := range b.c.Stores {
		f := b.storeFiles()[i]
		if h := b.c.Headers[s.Header]; s.Spec.Discharge != storage.Flash && f.Rating.kind == "" {
			s.Spec.LimitKW = b.mostKW(s.Header)
			b.note(f.Rating.key, fmt.Sprintf("%.4g kW", s.Spec.LimitKW), "the most that the loads of header "+h.Name+" take")
		}
		if len(b.faults.list) == 0 {
			var err error
			s.Vessel, err = storage.New(s.Spec)
			b.vesselFaults(f, err)
		}
	}
}

// vesselFaults notes a vessel's faults, each at the key that it comes from.
func (b *builder) vesselFaults(f *storeFile, err error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range many.Unwrap() {
			b.vesselFaults(f, one)
		}
		return
	}
	var fault *storage.Fault
	if !errors.As(err, &fault) {
		b.wrapAny(f.At, err)
		return
	}
	at, ok := map[string]at{
		"Working": f.Working.at, "MarginBar": f.Margin.at, "LineDropBar": f.LineDrop.at, "SupplyC": f.Supply.at, "MostC": f.Charged.at,
		"ReturnC": f.Return.at, "ThermoclineFrac": f.Layer.at, "WallM": f.Wall.at,
		"ApproachK": f.Approach.at, "LimitKW": f.Rating.at, "FillFrac": f.Fill.at, "LengthPerDiameter": f.Shape.at,
		"InsulationM": f.Insulation.Thickness.at, "InsulationWMK": f.Insulation.Conductivity.at, "OutsideWM2K": f.Insulation.Outside.at,
		"ExtraLossFrac": f.Insulation.Extra.at, "SteamKgHM2Bar": f.Surface.at, "LimitKgH": f.SteamRate.at,
	}[fault.Field]
	if !ok {
		at = f.At
	}
	b.add(at, "%s", fault.Text).Err = err
}
