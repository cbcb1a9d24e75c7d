package scenarios

// A year of money.
const hoursPerYear = 8760

// Money is life, discount and the varied store's price by volume as they are written; [Business] has the terms of the whole.
type Money struct {
	LifeH, DiscountFrac                        float64 // 8760 h a year
	VesselFixed, VesselPerM3, VesselUpkeepFrac float64
}
