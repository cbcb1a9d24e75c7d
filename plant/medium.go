package plant

import "fmt"

// Carrier is what carries heat where steam does not.
type Carrier int

const (
	HotWater Carrier = iota
	ThermalOil
	HotAir
)

// Carriers lists them by name.
func Carriers() []string { return []string{"hot water", "thermal oil", "hot air"} }

// String names the carrier as a scenario does.
func (c Carrier) String() string {
	if c < 0 || int(c) >= len(Carriers()) {
		return fmt.Sprintf("carrier %d", int(c))
	}
	return Carriers()[c]
}

// Medium is a main that carries heat at a supply temperature and brings it back at a return temperature. Its heat is
// counted in kW: how much flows for that does not matter to a plan.
type Medium struct {
	Carrier
	SupplyC, ReturnC float64
	ApproachK        float64 // what heats it through an exchanger is so much hotter, at both ends
}

// MeanC is the mean temperature of what a collector heats in it. Through a collector field the medium warms from return
// to supply about evenly, so that the field's loss is that at the mean.
func (m Medium) MeanC() float64 { return (m.SupplyC + m.ReturnC) / 2 }

// Check reports what is wrong with the medium. The bounds are those of the trade: water under pressure up to 220 °C, synthetic
// oils up to 400 °C (common practice, no source).
func (m Medium) Check() error {
	most := map[Carrier]float64{HotWater: 220, ThermalOil: 400, HotAir: 400}[m.Carrier]
	switch {
	case !(m.SupplyC > 0 && m.SupplyC <= most):
		return fmt.Errorf("supply: is %.4g degC; want above 0 and at most %g degC for %v", m.SupplyC, most, m.Carrier)
	case !(m.ReturnC > 0 && m.ReturnC < m.SupplyC):
		return fmt.Errorf("return: is %.4g degC; want above 0 and below the supply's %.4g degC", m.ReturnC, m.SupplyC)
	case !(m.ApproachK >= 0):
		return fmt.Errorf("approach: is %g K; want 0 or more", m.ApproachK)
	}
	return nil
}

// HeatedBySteam tells whether steam of a temperature can heat the medium.
func (m Medium) HeatedBySteam(steamC float64) bool { return steamC >= m.SupplyC+m.ApproachK }

// HeatedBy tells whether another medium can heat this one in counterflow: both its ends must be an approach hotter.
func (m Medium) HeatedBy(other Medium) bool {
	return other.SupplyC >= m.SupplyC+m.ApproachK && other.ReturnC >= m.ReturnC+m.ApproachK
}
