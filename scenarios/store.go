package scenarios

import (
	"errors"
	"fmt"
	"slices"

	"noonkeep/storage"
)

// store sets the store; its air and what charges it come with the weather.
func (b *builder) store() {
	f := b.f.Store
	if f == nil {
		return
	}
	header := b.header(f.Header, f.At)
	if header < 0 || !f.Vessel.set || !f.Working.set || !b.absolute(f.Working) {
		return
	}
	h := b.c.Headers[header]
	if working := f.Working.pressure(b.c.AirBarA).BarAbs(); h.Pressure.Valid() && working <= h.Pressure.BarAbs() {
		b.add(f.Working.at, "%s is not above the %.4g bar(a) of header %q; want more, or no steam flows into it",
			quoted(f.Working.String()), h.Pressure.BarAbs(), h.Name)
		return
	}
	s := Store{Header: header, FromM3: f.Steps.lo.base(), ToM3: f.Steps.hi.base(), VolumeM3: f.Volume.base(), ChargeKW: f.ChargeRate.base()}
	s.Spec = b.spec(h)
	if f.Volume.kind == "" && len(b.faults.list) == 0 {
		s.VolumeM3 = (s.FromM3 + s.ToM3) / 2
		b.note(f.Volume.key, fmt.Sprintf("%g m3", s.VolumeM3), "the middle of the steps")
	}
	s.HeaderChargeKW = f.Boilers.base()
	if f.Boilers.kind == "flow" {
		s.HeaderChargeKW *= h.HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
	}
	b.c.Store = &s
	if len(b.jobs) == 0 {
		b.vessel()
	}
}

// vessel makes the vessel once all loads of its header are known: an exchanger without a rating passes the most
// that they take.
func (b *builder) vessel() {
	s, f := b.c.Store, b.f.Store
	if s == nil {
		return
	}
	if h := b.c.Headers[s.Header]; s.Spec.Discharge == storage.Exchanger && f.Rating.kind == "" {
		s.Spec.LimitKW = b.mostKW(s.Header)
		b.note(f.Rating.key, fmt.Sprintf("%.4g kW", s.Spec.LimitKW), "the most that the loads of header "+h.Name+" take")
	}
	if len(b.faults.list) == 0 {
		var err error
		s.Vessel, err = storage.New(s.Spec)
		b.vesselFaults(f, err)
	}
}

// spec gives the vessel on a header as the room storage wants it.
func (b *builder) spec(h Header) storage.Spec {
	f := b.f.Store
	s := storage.Spec{
		Working: f.Working.pressure(b.c.AirBarA), MarginBar: f.Margin.base(),
		FillFrac: f.Fill.base(), LengthPerDiameter: f.Shape.base(), Ends: endsOf(f.Ends.s),
		InsulationM: f.Insulation.Thickness.base(), InsulationWMK: f.Insulation.Conductivity.base(),
		OutsideWM2K: f.Insulation.Outside.base(), ExtraLossFrac: f.Insulation.Extra.base(),
	}
	if f.Vessel.s == storage.Exchanger.String() {
		s.Discharge, s.SupplyC, s.ApproachK, s.LimitKW = storage.Exchanger, f.Supply.base(), f.Approach.base(), f.Rating.base()
		if f.Supply.kind == "" {
			var say string
			s.SupplyC, say = b.supplyFor(h)
			b.note(f.Supply.key, fmt.Sprintf("%.4g degC", s.SupplyC), say)
		}
		b.idle("a vessel with an exchanger", f.LineDrop.at, f.SteamRate.at, f.Surface.at, f.Feed.at)
		return s
	}
	s.Header, s.LineDropBar, s.FeedwaterC = h.Pressure, f.LineDrop.base(), h.FeedwaterC
	s.SteamKgHM2Bar, s.LimitKgH = f.Surface.base(), f.SteamRate.base()
	if f.Feed.s == storage.WhileCharging.String() {
		s.Feed = storage.WhileCharging
	}
	b.idle("a flash vessel", f.Supply.at, f.Approach.at, f.Rating.at)
	return s
}

// idle doubts values that this sort of vessel does not look at, and takes back their defaults.
func (b *builder) idle(what string, values ...at) {
	for _, v := range values {
		if v.set {
			b.doubtAt(v, "has no effect on %s", what)
		}
		b.unassume(v.key)
	}
}

func endsOf(word string) storage.Ends {
	for _, e := range []storage.Ends{storage.Hemispherical, storage.Flat, storage.Kloepper, storage.Korbbogen} {
		if e.String() == word {
			return e
		}
	}
	return storage.Ellipsoidal
}

func peak(kW []float64) float64 {
	if len(kW) == 0 {
		return 0
	}
	return slices.Max(kW)
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
		"Working": f.Working.at, "MarginBar": f.Margin.at, "LineDropBar": f.LineDrop.at, "SupplyC": f.Supply.at,
		"ApproachK": f.Approach.at, "LimitKW": f.Rating.at, "FillFrac": f.Fill.at, "LengthPerDiameter": f.Shape.at,
		"InsulationM": f.Insulation.Thickness.at, "InsulationWMK": f.Insulation.Conductivity.at, "OutsideWM2K": f.Insulation.Outside.at,
		"ExtraLossFrac": f.Insulation.Extra.at, "SteamKgHM2Bar": f.Surface.at, "LimitKgH": f.SteamRate.at,
	}[fault.Field]
	if !ok {
		at = f.At
	}
	b.add(at, "%s", fault.Text).Err = err
}
