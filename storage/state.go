package storage

import (
	"fmt"
	"math"
)

// State is the water and steam in a vessel of a given volume.
type State struct {
	VolumeM3 float64
	MassKg   float64 // water and steam
	UKJ      float64 // internal energy, kJ, zero-point of IAPWS-IF97
	TC       float64 // °C, follows from the three above
	SteamKg  float64 // steam that the last Draw took, kg; not part of the state proper
}

// LimitError says that a vessel could not give or take all of the heat. The state that comes with it is the one at the limit.
type LimitError struct {
	Verb     string // "draw" or "charge"
	AskedKWh float64
	DoneKWh  float64
	LimitC   float64 // floor or hot temperature, °C
}

// Error reads "vessel: draw: 120 kWh asked, 80.3 kWh done at the limit of 158.8 °C; want no more than that".
func (e *LimitError) Error() string {
	return fmt.Sprintf("vessel: %s: %.6g kWh asked, %.6g kWh done at the limit of %.1f °C; want no more than that", e.Verb, e.AskedKWh, e.DoneKWh, e.LimitC)
}

// closeEnough is the share of a draw or charge that is forgiven at a limit, as rounding.
const closeEnough = 1e-9

// At is the state on a discharge from full, when filledFrac of the deliverable heat is in the vessel: 1 is full, 0 empty.
// A volume of 0 gives a state that holds nothing.
func (v Vessel) At(volumeM3, filledFrac float64) State {
	p := v.pointAt(filledFrac)
	if !(volumeM3 > 0) {
		return State{TC: p.tC}
	}
	s := State{VolumeM3: volumeM3, MassKg: volumeM3 * p.massKg}
	s.UKJ = v.emptyLedger(volumeM3) + volumeM3*p.heldKJ + v.feedKJKg*s.MassKg
	s.TC = tempOf(volumeM3, s.MassKg, s.UKJ, p.tC)
	return s
}

// emptyLedger is U - h_fw M of the empty vessel, kJ.
func (v *Vessel) emptyLedger(volumeM3 float64) float64 {
	p := v.curve[len(v.curve)-1]
	return v.floor.energy(volumeM3, volumeM3*p.massKg) - v.feedKJKg*volumeM3*p.massKg
}

// HeatKWh is the ledger of a state: heat above the empty vessel, on the load's basis; full gives the capacity. A draw lowers it and a
// charge raises it by exactly their heat, and a loss lowers it by what was lost, so it is negative in a vessel that cooled far.
//
// With feed while charging it is more than [Vessel.DeliverableKWh] once heat was lost rather than drawn: the water that a
// draw would have taken is still there at the floor. It is no loss, for the next charge needs that much less.
func (v Vessel) HeatKWh(s State) float64 {
	return (s.UKJ - v.feedKJKg*s.MassKg - v.emptyLedger(s.VolumeM3)) / kJPerKWh
}

// DeliverableKWh is the heat that a draw down to the floor gives, never negative. On a discharge from full it equals [Vessel.HeatKWh].
func (v Vessel) DeliverableKWh(s State) float64 {
	if !v.massFalls() {
		return math.Max(0, s.UKJ-v.floor.energy(s.VolumeM3, s.MassKg)) / kJPerKWh
	}
	all := v.hot.hg * s.MassKg // more than is there
	_, left := v.drawFalling(s, all)
	return (all - left) / kJPerKWh
}

// LevelFrac is the share of the volume that is water; 0 in no vessel.
func (s State) LevelFrac() float64 {
	if !(s.VolumeM3 > 0) {
		return 0
	}
	p := phasesAt(s.TC)
	return p.liquidFrac(s.VolumeM3, s.MassKg)
}

// draw is what leaves the vessel in one step.
type draw struct{ lostKg, uKJ, heatKJ, steamKg float64 }

// drawMass draws steam without feed between two temperatures.
func (v *Vessel) drawMass(volumeM3, massKg, uKJ float64, at, to *phases) draw {
	h := (at.hg + to.hg) / 2
	kg := massKg - draft(volumeM3, massKg, uKJ, h, to)
	return draw{lostKg: kg, uKJ: h * kg, heatKJ: (h - v.feedKJKg) * kg, steamKg: kg}
}

// drawHeat draws heat at constant mass between two temperatures: steam against feed, or through an exchanger.
func (v *Vessel) drawHeat(kJ float64, at, to *phases) draw {
	d := draw{uKJ: kJ, heatKJ: kJ}
	if v.spec.Discharge == Flash {
		d.steamKg = kJ / ((at.hg+to.hg)/2 - v.feedKJKg)
	}
	return d
}

// Draw takes heatKWh, on the load's basis, and returns the vessel after it. Asking for more than there is down to the floor
// gives the vessel at the floor and a [*LimitError]. Mass and energy are integrated in steps of 1 K of the two-phase
// equilibrium at constant volume; the ledger closes to rounding.
func (v Vessel) Draw(s State, heatKWh float64) (State, error) {
	s.SteamKg = 0
	if !(heatKWh >= 0) {
		return s, fmt.Errorf("vessel: draw: %g kWh; want 0 or more", heatKWh)
	}
	need := heatKWh * kJPerKWh
	var left float64
	if v.massFalls() {
		s, left = v.drawFalling(s, need)
	} else {
		s, left = v.drawConstant(s, need)
	}
	if left > closeEnough*need {
		return s, &LimitError{"draw", heatKWh, (need - left) / kJPerKWh, v.floor.tC}
	}
	return s, nil
}

// drawConstant draws at constant mass and returns what could not be drawn, kJ.
func (v *Vessel) drawConstant(s State, needKJ float64) (_ State, leftKJ float64) {
	there := math.Max(0, s.UKJ-v.floor.energy(s.VolumeM3, s.MassKg))
	if there == 0 || needKJ == 0 {
		return s, needKJ
	}
	kJ, from := math.Min(there, needKJ), s
	s.UKJ, s.TC = s.UKJ-kJ, v.floor.tC
	if kJ < there {
		s.TC = tempOf(s.VolumeM3, s.MassKg, s.UKJ, from.TC-(from.TC-v.floor.tC)*kJ/there)
	}
	if v.spec.Discharge == Flash {
		s.SteamKg = v.steamAgainstFeed(from, s)
	}
	return s, needKJ - kJ
}

// steamAgainstFeed is the steam of a draw at constant mass, kg. h” is nearly straight over a few K: steps of 4 K err by 1e-5.
func (v *Vessel) steamAgainstFeed(from, to State) (kg float64) {
	const stepK = 4.0
	n := math.Ceil((from.TC - to.TC) / stepK)
	at, u := phasesAt(from.TC), from.UKJ
	for i := 1.0; i <= n; i++ {
		next, uNext := phasesAt(from.TC+(to.TC-from.TC)*i/n), to.UKJ
		if i < n {
			uNext = next.energy(to.VolumeM3, to.MassKg)
		}
		kg += v.drawHeat(u-uNext, &at, &next).steamKg
		at, u = next, uNext
	}
	return kg
}

// drawFalling draws steam without feed, step by step, and returns what could not be drawn, kJ.
func (v *Vessel) drawFalling(s State, needKJ float64) (_ State, leftKJ float64) {
	left, at := needKJ, phasesAt(s.TC)
	for left > 0 && s.TC > v.floor.tC && s.VolumeM3 > 0 {
		to := v.floor
		if s.TC-curveK > v.floor.tC {
			to = phasesAt(s.TC - curveK)
		}
		d := v.drawMass(s.VolumeM3, s.MassKg, s.UKJ, &at, &to)
		if d.heatKJ > left {
			guess := s.TC + (to.tC-s.TC)*left/d.heatKJ
			s.TC = zero(func(tC float64) float64 {
				to = phasesAt(tC)
				d = v.drawMass(s.VolumeM3, s.MassKg, s.UKJ, &at, &to)
				return left - d.heatKJ
			}, to.tC, s.TC, guess, d.heatKJ/(s.TC-to.tC), solveK)
			// The last kJ come out by the ledger, not by the search's rounding.
			h := (at.hg + to.hg) / 2
			kg := left / (h - v.feedKJKg)
			d = draw{lostKg: kg, uKJ: h * kg, heatKJ: left, steamKg: kg}
			to.tC = s.TC
		}
		s.MassKg -= d.lostKg
		s.UKJ -= d.uKJ
		s.SteamKg += d.steamKg
		left -= d.heatKJ
		s.TC, at = to.tC, to
	}
	return s, math.Max(0, left)
}

// full is the state that a charge aims at: hot, with the mass made up.
func (v *Vessel) full(s State) (massKg, uKJ float64) {
	m := math.Max(s.MassKg, s.VolumeM3*v.curve[0].massKg)
	return m, v.hot.energy(s.VolumeM3, m)
}

// Charge adds heatKWh and returns the vessel after it. Missing mass is made up with feedwater in the same share as the
// missing heat, so that the vessel is full of both at once; the heat counts what warms the feedwater. That way back lies within 0.15 K
// of the discharge, and gives at most 0.2 % more than its heat when it is left half-way (TestChargePath). More than the vessel takes up to
// its hot temperature gives the full vessel and a [*LimitError].
func (v Vessel) Charge(s State, heatKWh float64) (State, error) {
	s.SteamKg = 0
	if !(heatKWh >= 0) {
		return s, fmt.Errorf("vessel: charge: %g kWh; want 0 or more", heatKWh)
	}
	if heatKWh == 0 {
		return s, nil
	}
	mass, u := v.full(s)
	add := mass - s.MassKg
	room := math.Max(0, u-s.UKJ-v.feedKJKg*add)
	need := heatKWh * kJPerKWh
	if need > room {
		if room > 0 {
			s.MassKg, s.UKJ, s.TC = mass, u, v.hot.tC
		}
		if need-room > closeEnough*need {
			return s, &LimitError{"charge", heatKWh, room / kJPerKWh, v.hot.tC}
		}
		return s, nil
	}
	share := need / room
	s.MassKg += share * add
	s.UKJ += need + v.feedKJKg*share*add
	s.TC = tempOf(s.VolumeM3, s.MassKg, s.UKJ, s.TC+share*(v.hot.tC-s.TC))
	return s, nil
}

const holdK = 2.0 // a step of Hold cools by about this at most, K

// Hold lets the vessel stand for hours in an ambient and returns it cooled; the loss is the fall of UKJ. Within each step the heat
// capacity is constant, so the step is exact; steps cool by 2 K at most. A vessel that would freeze is an error.
func (v Vessel) Hold(s State, hours, ambientC float64) (State, error) {
	s.SteamKg = 0
	if !(hours >= 0) || math.IsInf(hours, 1) {
		return s, fmt.Errorf("vessel: hold: %g h; want 0 or more", hours)
	}
	l, err := v.limits(s.VolumeM3)
	if err != nil || l.VolumeM3 == 0 || hours == 0 {
		return s, err
	}
	n := math.Ceil(l.UAWK * math.Abs(s.TC-ambientC) * hours * secondsPerHour / (joulesPerKJ * heatCapacity(s) * holdK))
	for range int(math.Max(1, n)) {
		c := heatCapacity(s)
		to := cooled(s.TC, ambientC, l.UAWK, c, hours/math.Max(1, n))
		if !(to > 0 && to < mostHotC) {
			return s, fmt.Errorf("vessel: hold: cools to %.1f °C; want above 0 °C, where it does not freeze, and below %g °C", to, mostHotC)
		}
		s.UKJ += c * (to - s.TC)
		s.TC = tempOf(s.VolumeM3, s.MassKg, s.UKJ, to)
	}
	if held := v.HeatKWh(s); l.MixingKW > 0 && held > 0 { // counted as lost, though it only became too cool
		s.UKJ -= held * -math.Expm1(-l.MixingKW*hours/l.CapacityKWh) * kJPerKWh
		s.TC = tempOf(s.VolumeM3, s.MassKg, s.UKJ, s.TC)
	}
	return s, nil
}

// heatCapacity is dU/dT at constant mass and volume, kJ/K.
func heatCapacity(s State) float64 {
	const half = 0.25 // K
	lo, hi := phasesAt(s.TC-half), phasesAt(s.TC+half)
	return (hi.energy(s.VolumeM3, s.MassKg) - lo.energy(s.VolumeM3, s.MassKg)) / (hi.tC - lo.tC)
}
