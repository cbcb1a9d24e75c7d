package storage

import "noonkeep/plant/steam"

// PressureAt is the pressure in the vessel when filledFrac of the deliverable heat is in it: that at which its water boils, or
// its hottest layer.
func (v Vessel) PressureAt(filledFrac float64) steam.Pressure {
	if v.spec.Discharge == Thermocline {
		return steam.BarAbs(v.hot.barA)
	}
	p := phasesAt(v.TempAt(filledFrac))
	return steam.BarAbs(p.barA)
}

// HotC is the temperature of the full vessel that a spec makes, °C, or what is wrong with its pressures.
func (s Spec) HotC() (float64, error) {
	var f faults
	hotC, _ := s.checkHot(&f)
	return hotC, f.err()
}
