package replay

import (
	"fmt"
	"math"
)

// Vessel is a rigid closed vessel of water and steam in equilibrium, with the books of what went in and out.
type Vessel struct {
	table    *Table
	volumeM3 float64
	massKg   float64
	uKJ      float64
	tC       float64
	books    Books
}

// Books are what a vessel took in and gave since it was made. What is within is its state now less that at the start.
type Books struct {
	SteamKg, FeedKg, WaterKg     float64 // steam out, feed in, water let out
	SteamKJ, FeedKJ, WaterKJ     float64 // the enthalpy that they carried
	HeatKJ, TakenKJ, LossKJ      float64 // in by heating; out through an exchanger; out to the air
	startKg, startKJ, kg, kJ     float64
	MassResidual, EnergyResidual float64 // what does not close, as a share of all that went in and out
}

// Vessel fills a gross volume with water up to fillFrac of it, the rest steam, at tC.
func (t *Table) Vessel(volumeM3, fillFrac, tC float64) (*Vessel, error) {
	switch {
	case !(volumeM3 > 0) || math.IsInf(volumeM3, 1):
		return nil, fmt.Errorf("vessel: volume: is %g m³; want more than 0", volumeM3)
	case !(fillFrac > 0 && fillFrac < 1):
		return nil, fmt.Errorf("vessel: fill: is %g; want above 0 and below 1, the rest is steam space", fillFrac)
	case !(tC >= t.lowC && tC <= t.highC):
		return nil, fmt.Errorf("vessel: temperature: is %g °C; want %g to %g °C, as the table", tC, t.lowC, t.highC)
	}
	v := &Vessel{table: t, volumeM3: volumeM3, tC: tC}
	v.massKg = volumeM3 * (fillFrac/t.at(vWater, tC) + (1-fillFrac)/t.at(vSteam, tC))
	v.uKJ, _ = t.energy(volumeM3, v.massKg, tC)
	v.books.startKg, v.books.startKJ = v.massKg, v.uKJ
	return v, nil
}

// MassKg, TempC, BarAbs and LevelFrac are the state: mass, temperature, pressure, and the share of the volume that is
// water.
func (v *Vessel) MassKg() float64 { return v.massKg }
func (v *Vessel) TempC() float64  { return v.tC }
func (v *Vessel) BarAbs() float64 { return v.table.at(barAbs, v.tC) }
func (v *Vessel) LevelFrac() float64 {
	vf, vg := v.table.at(vWater, v.tC), v.table.at(vSteam, v.tC)
	return (v.massKg*vg - v.volumeM3) / (vg - vf) * vf / v.volumeM3
}

// Steam draws dry saturated steam. Its enthalpy is that of the middle of the step, which keeps a step of any length
// within its square: 1 K errs by about 1e-6 of the mass.
func (v *Vessel) Steam(kg float64) error {
	h := v.table.at(hSteam, v.tC)
	_, kJPerK := v.table.energy(v.volumeM3, v.massKg, v.tC)
	if !(kg >= 0 && kg < v.massKg) {
		return fmt.Errorf("vessel: steam: %g kg of %g kg; want 0 or more, and less than there is", kg, v.massKg)
	}
	// dU = -h dm at constant V, and U = m a + V k, so that dT = -(h - a) dm / (dU/dT).
	half := v.tC - (h-v.table.at(aEnergy, v.tC))*kg/kJPerK/2
	kJ := v.table.at(hSteam, half) * kg
	if err := v.to(v.massKg-kg, v.uKJ-kJ, "steam"); err != nil {
		return err
	}
	v.books.SteamKg += kg
	v.books.SteamKJ += kJ
	return nil
}

// Feed lets in water of an enthalpy.
func (v *Vessel) Feed(kg, hKJKg float64) error {
	if !(kg >= 0) || math.IsInf(kg, 1) {
		return fmt.Errorf("vessel: feed: %g kg; want 0 or more", kg)
	}
	if err := v.to(v.massKg+kg, v.uKJ+kg*hKJKg, "feed"); err != nil {
		return err
	}
	v.books.FeedKg += kg
	v.books.FeedKJ += kg * hKJKg
	return nil
}

// Heat adds heat without mass.
func (v *Vessel) Heat(kJ float64) error {
	if !(kJ >= 0) {
		return fmt.Errorf("vessel: heat: %g kJ; want 0 or more", kJ)
	}
	if err := v.to(v.massKg, v.uKJ+kJ, "heat"); err != nil {
		return err
	}
	v.books.HeatKJ += kJ
	return nil
}

// Take draws heat without mass, through an exchanger.
func (v *Vessel) Take(kJ float64) error {
	if !(kJ >= 0) {
		return fmt.Errorf("vessel: take: %g kJ; want 0 or more", kJ)
	}
	if err := v.to(v.massKg, v.uKJ-kJ, "take"); err != nil {
		return err
	}
	v.books.TakenKJ += kJ
	return nil
}

// Drain lets boiling water out at the bottom.
func (v *Vessel) Drain(kg float64) error {
	if !(kg >= 0 && kg < v.massKg) {
		return fmt.Errorf("vessel: drain: %g kg of %g kg; want 0 or more, and less than there is", kg, v.massKg)
	}
	h := v.waterKJKg()
	if err := v.to(v.massKg-kg, v.uKJ-kg*h, "drain"); err != nil {
		return err
	}
	v.books.WaterKg += kg
	v.books.WaterKJ += kg * h
	return nil
}

// waterKJKg is the enthalpy of its water, h' = u' + p v' with u' = a + v' k.
func (v *Vessel) waterKJKg() float64 {
	const kJPerBarM3 = 100.0
	return v.table.at(aEnergy, v.tC) + v.table.at(vWater, v.tC)*(v.table.at(kEnergy, v.tC)+kJPerBarM3*v.table.at(barAbs, v.tC))
}

// SteamFor is the steam of which kJ is the heat above feedwater of an enthalpy, kg: what [Vessel.Steam] is to draw.
func (v *Vessel) SteamFor(kJ, feedKJKg float64) (kg float64) {
	h := v.table.at(hSteam, v.tC)
	_, kJPerK := v.table.energy(v.volumeM3, v.massKg, v.tC)
	fallK := (h - v.table.at(aEnergy, v.tC)) / kJPerK / 2 // to the middle of the step, for each kg
	kg = kJ / (h - feedKJKg)
	for range 3 { // each gains four digits at least
		kg = kJ / (v.table.at(hSteam, v.tC-fallK*kg) - feedKJKg)
	}
	return kg
}

// Cool loses heat to the air at airC for some seconds: uaWK W for each K between them. Within the step the heat capacity
// is constant.
func (v *Vessel) Cool(uaWK, airC, seconds float64) error {
	if !(uaWK >= 0 && seconds >= 0) {
		return fmt.Errorf("vessel: cool: %g W/K for %g s; want both 0 or more", uaWK, seconds)
	}
	_, kJPerK := v.table.energy(v.volumeM3, v.massKg, v.tC)
	kJ := kJPerK * (v.tC - airC) * -math.Expm1(-uaWK*seconds/(1000*kJPerK))
	if err := v.to(v.massKg, v.uKJ-kJ, "loss"); err != nil {
		return err
	}
	v.books.LossKJ += kJ
	return nil
}

const (
	solveShare = 1e-13 // of the energy; Newton ends there
	mostTries  = 30
)

// to moves the vessel to a mass and an energy, and finds the temperature by Newton's method from where it was. Where
// that cannot be, the vessel stays as it is.
func (v *Vessel) to(massKg, uKJ float64, by string) error {
	tC := v.tC
	for try := 0; ; try++ {
		kJ, kJPerK := v.table.energy(v.volumeM3, massKg, tC)
		off := uKJ - kJ
		tC += off / kJPerK
		if math.Abs(off) <= solveShare*(math.Abs(uKJ)+v.volumeM3*1000) {
			break
		}
		if try == mostTries || !(math.Abs(tC) < 1000) {
			return fmt.Errorf("vessel: %s: %g kg with %g kJ in %g m³ is no mixture of water and steam", by, massKg, uKJ, v.volumeM3)
		}
	}
	if tC < v.table.lowC || tC > v.table.highC {
		return fmt.Errorf("vessel: %s: comes to %.1f °C; want %g to %g °C, as the table", by, tC, v.table.lowC, v.table.highC)
	}
	after := Vessel{table: v.table, volumeM3: v.volumeM3, massKg: massKg, tC: tC}
	if level := after.LevelFrac(); !(level > 0 && level < 1) {
		return fmt.Errorf("vessel: %s: comes to a level of %.3f; want water and steam together", by, level)
	}
	v.massKg, v.uKJ, v.tC = massKg, uKJ, tC
	return nil
}

// Books are the books up to now. The energy that is within is worked out afresh from IAPWS-IF97 at the vessel's
// temperature, so that its residual holds the table's and the search's errors too.
func (v *Vessel) Books() (Books, error) {
	b := v.books
	p, err := line(v.tC)
	if err != nil {
		return b, err
	}
	b.kg, b.kJ = v.massKg, v.massKg*p[aEnergy]+v.volumeM3*p[kEnergy]
	through := b.SteamKg + b.FeedKg + b.WaterKg
	if through > 0 {
		b.MassResidual = math.Abs(b.FeedKg-b.SteamKg-b.WaterKg-(b.kg-b.startKg)) / through
	}
	if all := b.SteamKJ + b.FeedKJ + b.WaterKJ + b.HeatKJ + b.TakenKJ + math.Abs(b.LossKJ); all > 0 {
		in, out := b.FeedKJ+b.HeatKJ, b.SteamKJ+b.WaterKJ+b.TakenKJ+b.LossKJ
		b.EnergyResidual = math.Abs(in-out-(b.kJ-b.startKJ)) / all
	}
	return b, nil
}
