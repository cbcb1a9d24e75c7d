package replay

import (
	"math"

	"noonkeep/storage"
)

// water is what flash vessels and mixed ones share: one body of water and steam in equilibrium.
type water struct {
	v          *Vessel
	uaWK       float64
	hotC       float64
	floor, hot ends
}

// ends are a and k of the saturation line at a temperature, so that U = M a + V k there.
type ends struct{ tC, a, k float64 }

func endsAt(t *Table, tC float64) ends { return ends{tC, t.at(aEnergy, tC), t.at(kEnergy, tC)} }

// newWater begins at the floor with a mass.
func newWater(s *Store, v storage.Vessel, l storage.Limits, t *Table, massKg float64) water {
	vessel := &Vessel{table: t, volumeM3: s.VolumeM3, massKg: massKg, tC: l.FloorC}
	vessel.uKJ, _ = t.energy(s.VolumeM3, massKg, l.FloorC)
	vessel.books.startKg, vessel.books.startKJ = vessel.massKg, vessel.uKJ
	return water{v: vessel, uaWK: l.UAWK, hotC: l.HotC, floor: endsAt(t, l.FloorC), hot: endsAt(t, l.HotC)}
}

func (w *water) topC() float64      { return w.v.tC }
func (w *water) meanC() float64     { return w.v.tC }
func (w *water) barAbs() float64    { return w.v.BarAbs() }
func (w *water) levelFrac() float64 { return w.v.LevelFrac() }

// above is the energy above that of the same mass at an end, kJ.
func (w *water) above(e *ends) float64 { return w.v.uKJ - w.v.massKg*e.a - w.v.volumeM3*e.k }

func (w *water) shortKWh() float64 { return math.Max(0, -w.above(&w.floor)) / kJPerKWh }

func (w *water) keep(kJ float64) error { return w.v.Heat(kJ) }

func (w *water) cool(airC, seconds float64) error { return w.v.Cool(w.uaWK, airC, seconds) }

func (w *water) flows() flows {
	b := &w.v.books
	return flows{b.FeedKg, b.FeedKJ, b.SteamKg, b.WaterKg, b.WaterKJ, b.LossKJ}
}

// within is the mass and its energy by IAPWS-IF97 at the vessel's temperature.
func (w *water) within() (kg, kJ float64, err error) {
	p, err := line(w.v.tC)
	return w.v.massKg, w.v.massKg*p[aEnergy] + w.v.volumeM3*p[kEnergy], err
}

// mixed is water that is mixed and gives its heat through an exchanger; nothing enters or leaves it.
type mixed struct {
	water
	limitKW, approachK float64
}

func newMixed(s *Store, v storage.Vessel, l storage.Limits, t *Table) (*mixed, error) {
	return &mixed{newWater(s, v, l, t, v.At(s.VolumeM3, 1).MassKg), s.Spec.LimitKW, s.Spec.ApproachK}, nil
}

func (x *mixed) ledgerKWh() float64            { return x.above(&x.floor) / kJPerKWh }
func (x *mixed) givesKWh() float64             { return math.Max(0, x.ledgerKWh()) }
func (x *mixed) reachKWh() float64             { return x.givesKWh() }
func (x *mixed) rateKW(float64) (float64, Why) { return x.limitKW, ByNozzle }
func (x *mixed) roomKWh() float64              { return math.Max(0, -x.above(&x.hot)) / kJPerKWh }
func (x *mixed) heat(kJ float64) error         { return x.v.Heat(kJ) }
func (x *mixed) drain() error                  { return nil }

func (x *mixed) draw(kJ, _ float64) (float64, error) {
	if err := x.v.Take(kJ); err != nil {
		return 0, err
	}
	return kJ, nil
}

// fromHeader is the heat that a header can put in through a coil: up to an approach below the header.
func (x *mixed) fromHeader(m *mainPipe, mostKW, stepH float64) float64 {
	to := x.hotC
	if src := m.sourceC(); src > 0 {
		to = math.Min(to, src-x.approachK)
	}
	e := endsAt(x.v.table, math.Max(to, x.floor.tC))
	return math.Min(mostKW, math.Max(0, -x.above(&e))/kJPerKWh/stepH)
}

func (x *mixed) steam(_, kJ float64, _ *mainPipe) error { return x.v.Heat(kJ) }

func (x *mixed) takesSteam() bool { return false }
