package scenarios

import (
	"fmt"
	"slices"

	"noonkeep/storage"
)

// spec gives the vessel on a header as the room storage wants it.
func (b *builder) spec(f *storeFile, h Header) storage.Spec {
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
			s.SupplyC, say = b.supplyFor(f, h)
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
