package replay

import (
	"math"

	"noonkeep/storage"
)

// tank is a vessel of one kind with the water in it. Heat that leaves it is counted above the feedwater of the header that takes it.
type tank interface {
	topC() float64   // of what it gives
	meanC() float64  // by which fields and losses go
	barAbs() float64 // at the top
	levelFrac() float64
	ledgerKWh() float64 // heat above the floor as a plan counts it
	givesKWh() float64  // what a draw down to the floor would give

	rateKW(feedKJKg float64) (float64, Why)               // what it can give by its rate
	reachKWh() float64                                    // what it can give in one short step, down to the floor
	draw(kJ, feedKJKg float64) (gotKJ float64, err error) // gives heat
	roomKWh() float64                                     // for heat of fields
	heat(kJ float64) error                                // takes heat of fields
	fromHeader(m *mainPipe, mostKW, stepH float64) float64
	steam(kg, kJ float64, m *mainPipe) error // takes heat of a header
	takesSteam() bool                        // its water takes the steam itself
	keep(kJ float64) error                   // takes heat that keeps it warm
	shortKWh() float64                       // what it lacks to its floor
	cool(airC, seconds float64) error
	drain() error // lets out water that is too much
	flows() flows // since it was made
	within() (kg, kJ float64, err error)
}

// flows are what crossed a tank's shell from and to what lies outside the plant, and what it gave and took within.
type flows struct{ feedKg, feedKJ, steamKg, drainKg, drainKJ, lossKJ float64 }

// store is one of the plant's vessels in play.
type store struct {
	tank
	limits       storage.Limits
	header, from int
	ambient      series
	chargeMostKW float64 // from fields
	headerKW     float64 // from the header
	letCool      bool
	sunFed       bool // a field charges it
	flowsBefore  flows
	feedKJKg     float64 // of what it gives, above which its heat is counted: its header's feedwater, or condensate as warm as its own

	reserveKWh  float64 // kept for the start of cold boilers
	gaugeRateKW float64 // what it could give by its rate alone, as the step began

	// Of the step, kW.
	sunKW, headerInKW, drawKW, keepKW, sunLeftKW float64
}

func newStore(s *Store, table *Table, steps int, steamFed bool) (*store, error) {
	v, err := storage.New(s.Spec)
	if err != nil {
		return nil, err
	}
	l, err := v.Limits(s.VolumeM3)
	if err != nil {
		return nil, err
	}
	out := &store{
		limits: l, header: s.Header, from: s.From, ambient: seriesOf(s.AmbientC, steps, 0),
		chargeMostKW: s.ChargeKW, headerKW: s.HeaderChargeKW, letCool: s.LetCool,
	}
	if s.ChargeKW == 0 {
		out.chargeMostKW = math.Inf(1)
	}
	switch {
	case s.VolumeM3 == 0:
		out.tank = none{}
	case s.Spec.Discharge == storage.Flash:
		out.tank, err = newFlash(s, v, l, table, steamFed && s.HeaderChargeKW > 0)
	case s.Spec.Discharge == storage.Exchanger:
		out.tank, err = newMixed(s, v, l, table)
	case s.Spec.Discharge == storage.Thermocline:
		out.tank = newLayered(s, v, l, table)
	default:
		err = &CannotPlay{"store " + s.Name, "a vessel of this kind is not played here: " + s.Spec.Discharge.String()}
	}
	return out, err
}

// most is what it can still give in this step, kW.
func (s *store) most(stepH float64) (float64, Why) {
	rate, why := s.rateKW(s.feedKJKg)
	rate -= s.drawKW
	if reach := s.reachKWh() / stepH; reach < rate {
		return max(reach, 0), ByFloor
	}
	return max(rate, 0), why
}

// chargeLeft is what it can still take from fields in this step, kW.
func (s *store) chargeLeft(stepH float64) (float64, Why) {
	rate, room := s.chargeMostKW-s.sunKW, s.roomKWh()/stepH-s.sunKW
	if room < rate {
		return max(room, 0), ByFull
	}
	return max(rate, 0), ByChargeKW
}

// none is no vessel.
type none struct{}

func (none) topC() float64                                  { return 0 }
func (none) meanC() float64                                 { return 0 }
func (none) barAbs() float64                                { return 0 }
func (none) levelFrac() float64                             { return 0 }
func (none) ledgerKWh() float64                             { return 0 }
func (none) givesKWh() float64                              { return 0 }
func (none) rateKW(float64) (float64, Why)                  { return 0, ByFloor }
func (none) reachKWh() float64                              { return 0 }
func (none) draw(float64, float64) (float64, error)         { return 0, nil }
func (none) roomKWh() float64                               { return 0 }
func (none) heat(float64) error                             { return nil }
func (none) fromHeader(*mainPipe, float64, float64) float64 { return 0 }
func (none) steam(float64, float64, *mainPipe) error        { return nil }
func (none) takesSteam() bool                               { return false }
func (none) keep(float64) error                             { return nil }
func (none) shortKWh() float64                              { return 0 }
func (none) cool(float64, float64) error                    { return nil }
func (none) drain() error                                   { return nil }
func (none) flows() flows                                   { return flows{} }
func (none) within() (float64, float64, error)              { return 0, 0, nil }
