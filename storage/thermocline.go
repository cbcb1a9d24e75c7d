package storage

import "math"

// A thermocline is an upright tank of water under pressure, hot over cold, with no mixing but in the layer between. The
// load's water is heated in an exchanger: the tank's hot water goes in at the top temperature as long as there is any,
// and comes back to the bottom at the load's return plus the approach. The exchanger is taken as balanced, so that both its
// ends are an approach apart.
//
// In numbers it is a vessel whose mean temperature falls from hot to that of a tank with nothing but its thermocline left:
// the layer's heat, the share ThermoclineFrac of all between hot and cold, cannot be given at supply temperature. Loss
// through the shell goes by the mean temperature, which is exact for a shell that loses alike everywhere.
//
// Conduction across the layer, in water and wall, makes hot water useless without any heat leaving the tank. It is
// counted as a loss that grows with what is held: Fourier's law with the layer's thickness, the water's and the wall's
// conductivity side by side. It is there whenever the layer is, so that near empty too little is counted, and near full too much.
// A layer that is thinner after a charge conducts more, which thickens it up to the share that is left out.

// Conductivities across the layer, W/(m K), values from memory: water at 150 to 200 °C (0.66 to 0.68) and unalloyed steel.
const (
	waterWMK = 0.67
	steelWMK = 45.0
)

const leastThermocline, mostThermocline = 0.01, 0.5

// coldC is the temperature at which the water comes back from the exchanger, °C.
func (s Spec) coldC() float64 { return s.ReturnC + s.ApproachK }

// emptyC is the mean temperature of the tank with nothing but its thermocline left, °C.
func (s Spec) emptyC(hotC float64) float64 {
	hot, cold := phasesAt(hotC), phasesAt(s.coldC())
	m := hot.massAt(1, s.FillFrac)
	uCold := cold.energy(1, m)
	return tempOf(1, m, uCold+s.ThermoclineFrac*(hot.energy(1, m)-uCold), cold.tC+s.ThermoclineFrac*(hotC-cold.tC))
}

// checkThermocline returns the mean temperature of the empty tank, or notes what is wrong.
func (s Spec) checkThermocline(f *faults, hotC float64, okHot bool) (floorC float64, ok bool) {
	_, ok = s.checkExchanger(f)
	a := f.require(s.ReturnC > 0 && s.ReturnC < s.SupplyC, "ReturnC", "return temperature", "is %g °C; want above 0 and below the supply's %g °C", s.ReturnC, s.SupplyC)
	b := f.require(s.ThermoclineFrac >= leastThermocline && s.ThermoclineFrac <= mostThermocline, "ThermoclineFrac", "thermocline", "is %g of the tank; want %g to %g", s.ThermoclineFrac, leastThermocline, mostThermocline)
	f.require(s.WallM >= 0 && s.WallM <= 0.2, "WallM", "wall", "is %g m; want 0 to 0.2 m", s.WallM)
	if !(ok && a && b && okHot && s.FillFrac >= leastFill && s.FillFrac <= mostFill) {
		return 0, false
	}
	supply := s.SupplyC + s.ApproachK
	if !f.require(hotC >= supply, "Working", "working pressure", "is %v less %g bar of margin, %.1f °C; want no less than the %.1f °C of supply and approach", s.Working, s.MarginBar, hotC, supply) {
		return 0, false
	}
	return s.emptyC(hotC), true
}

// mixingKW is what conduction across the thermocline makes useless in a full tank of diameter d, kW.
func (v *Vessel) mixingKW(volumeM3, d float64) float64 {
	s := v.spec
	if s.Discharge != Thermocline {
		return 0
	}
	section := math.Pi / 4 * d * d
	thick := s.ThermoclineFrac * s.FillFrac * volumeM3 / section
	wMK := waterWMK + steelWMK*4*s.WallM/d // wall section over water section, 4 wall/d
	return wMK * section / thick * (v.hot.tC - s.coldC()) / wattsPerKW
}
