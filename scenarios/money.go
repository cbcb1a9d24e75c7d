package scenarios

import "math"

const hoursPerYear = 8760

// StorePerM3 is what one more m3 of store costs in a year: the annuity of its price over the life at the discount,
// and its upkeep. Only what grows with the volume counts. Without a price or a life there is none.
func (m Money) StorePerM3() (perYear float64, has bool) {
	if m.VesselPerM3 <= 0 || m.LifeH <= 0 {
		return 0, false
	}
	return m.VesselPerM3 * (recovery(m.DiscountFrac, m.LifeH/hoursPerYear) + m.VesselUpkeepFrac), true
}

// recovery is the share of a sum that each of the years pays back, with the interest on what is left.
func recovery(discountFrac, years float64) float64 {
	if discountFrac == 0 {
		return 1 / years
	}
	// Uniform capital recovery factor i(1+i)^n/((1+i)^n - 1), as in Short, Packey and Holt, NREL/TP-462-5173 (1995).
	return discountFrac / -math.Expm1(-years*math.Log1p(discountFrac))
}
