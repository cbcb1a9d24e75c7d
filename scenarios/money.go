package scenarios

import "noonkeep/optimize/worth"

// A year of money.
const hoursPerYear = 8760

// Money is what the varied store's price by volume comes to; [Business] has the terms of the whole.
type Money struct {
	LifeH, DiscountFrac                        float64 // 8760 h a year
	VesselFixed, VesselPerM3, VesselUpkeepFrac float64
}

// StorePerM3 is what one more m3 of store costs in a year: the annuity of its price over the life at the discount,
// and its upkeep. Only what grows with the volume counts, and neither tax nor rising prices: [Case.YearlyPerM3] has them
// too. Without a price or a life there is none.
func (m Money) StorePerM3() (perYear float64, has bool) {
	if m.VesselPerM3 <= 0 || m.LifeH <= 0 {
		return 0, false
	}
	return m.VesselPerM3 * (worth.Recovery(m.DiscountFrac, m.LifeH/hoursPerYear) + m.VesselUpkeepFrac), true
}
