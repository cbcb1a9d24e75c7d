package scenarios

import (
	"fmt"
	"slices"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// spec gives the vessel on a header as the room storage wants it.
func (b *builder) spec(f *storeFile, h Header) storage.Spec {
	s := storage.Spec{
		Working: f.Working.pressure(b.c.AirBarA), MarginBar: f.Margin.base(),
		FillFrac: f.Fill.base(), LengthPerDiameter: f.Shape.base(), Ends: endsOf(f.Ends.s),
		InsulationM: f.Insulation.Thickness.base(), InsulationWMK: f.Insulation.Conductivity.base() * b.aged(f.Insulation),
		OutsideWM2K: f.Insulation.Outside.base(), ExtraLossFrac: f.Insulation.Extra.base(),
	}
	if f.Vessel.s != storage.Flash.String() {
		s.Discharge, s.SupplyC, s.ApproachK, s.LimitKW = storage.Exchanger, f.Supply.base(), f.Approach.base(), f.Rating.base()
		if f.Supply.kind == "" {
			var say string
			s.SupplyC, say = b.supplyFor(f, h)
			b.note(f.Supply.key, fmt.Sprintf("%.4g degC", s.SupplyC), say)
		}
		b.idle("a vessel with an exchanger", f.LineDrop.at, f.SteamRate.at, f.Surface.at, f.Feed.at)
		if f.Vessel.s == storage.Thermocline.String() {
			s.Discharge = storage.Thermocline
			return s
		}
		b.idle("a vessel of mixed water", f.Return.at, f.Layer.at, f.Wall.at)
		return s
	}
	b.idle("a flash vessel", f.Return.at, f.Layer.at, f.Wall.at)
	s.Header, s.LineDropBar, s.FeedwaterC = h.Pressure, f.LineDrop.base(), h.FeedwaterC
	s.SteamKgHM2Bar, s.LimitKgH = f.Surface.base(), f.SteamRate.base()
	if f.Feed.s == storage.WhileCharging.String() {
		s.Feed = storage.WhileCharging
	}
	b.idle("a flash vessel", f.Supply.at, f.Approach.at, f.Rating.at)
	return s
}

// aged is by how much an insulation conducts more than when new: a plain factor, common practice, no source.
func (b *builder) aged(f insulation) float64 {
	const usualWorsening = 0.01
	switch {
	case !f.Age.set:
		if f.Worsening.set {
			b.doubtAt(f.Worsening.at, "has no effect without an age")
		}
		return 1
	case !f.Worsening.set && !b.faulty(f.Worsening.key):
		b.note(f.Worsening.key, "1 %/a", "damp and settling; common practice, no source")
		return 1 + usualWorsening*f.Age.base()/hoursPerYear
	}
	return 1 + f.Worsening.base()*f.Age.base()/hoursPerYear
}

// layered sets what only a thermocline has, once its limits are known.
func (b *builder) layered(f *storeFile, s *Store) {
	spec := &s.Spec
	or := func(a amount, usual float64, value, why string) float64 {
		if a.set || b.faulty(a.key) {
			return a.base()
		}
		b.note(a.key, value, why)
		return usual
	}
	spec.ThermoclineFrac = or(f.Layer, 0.1, "10 %", "of the tank's heat; common practice, no source")
	spec.WallM = or(f.Wall, 0.016, "16 mm", "common practice, no source")
	if f.Return.set || b.faulty(f.Return.key) {
		spec.ReturnC = f.Return.base()
		return
	}
	returnC, why := b.returnFor(b.c.Headers[s.Header], *spec)
	if spec.ReturnC = returnC; why == "" {
		b.add(f.Return.at, "is missing; the header's steam temperature is not what the store supplies, so that its loads' return is not known")
		return
	}
	b.note(f.Return.key, fmt.Sprintf("%.4g degC", returnC), why)
}

// returnFor is the temperature at which the loads' own water comes to the exchanger: that of their medium, or for steam what
// the exchanger of a boiler leaves: the tank's water boils at the pinch and then warms the feedwater.
//
// Pinch at boiling, per kg of steam: w (Th - Ts - a) = h_fg, w (Th - Tc) = h_g - h_fw; so Tc = Th - (Th - Ts - a)(h_g - h_fw)/h_fg.
func (b *builder) returnFor(h Header, s storage.Spec) (tC float64, why string) {
	if h.Medium != nil {
		return h.Medium.ReturnC, "the return of header " + h.Name
	}
	all := true
	for _, l := range b.c.Loads {
		if b.c.Headers[l.Header].Name != h.Name {
			continue
		}
		if all = all && l.Medium != nil; all && l.Medium.ReturnC > tC {
			tC, why = l.Medium.ReturnC, "the warmest return of the loads of header "+h.Name
		}
	}
	if all && why != "" {
		return tC, why
	}
	if s.SupplyC != h.SteamC {
		return 0, ""
	}
	hotC, err := s.HotC()
	sat, errSat := steam.SaturatedUnder(h.Pressure)
	if err != nil || errSat != nil {
		return h.FeedwaterC, "a fault" // which storage tells
	}
	cold := hotC - (hotC-h.SteamC-s.ApproachK)*h.HeatKJKg/sat.EvaporationKJKg()
	cold = max(cold, h.FeedwaterC+s.ApproachK)
	return min(cold-s.ApproachK, h.SteamC-1), "an approach under what comes back from boiling and warming the feedwater of header " + h.Name
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
