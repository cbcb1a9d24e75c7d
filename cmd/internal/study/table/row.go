package table

import "math"

// Head is what all rows of a study share.
type Head struct {
	Keys []string          // the varied keys, in order: a text column each
	Meta map[string]string // of the study: "study" (its id), "program", "physics" and what else is to be kept with the rows
}

// Row is one case that has ended: solved, or set aside for the reason in Error. Start from [Blank]: a figure that is NaN was
// not kept or is not to be had, and is null in the file. Money is a year's in Currency, but for the two net present values.
type Row struct {
	Case     int64  // number in the plan, from 0
	Scenario string // its name
	Weather  string // "as written", "seed 7", "2011", "file x.epw"
	Inputs   []string
	Error    string // why the case was set aside; empty if it was solved
	Currency string
	Engine   string // which engine solved it

	// The year with the scenario's own store.
	VolumeM3             float64
	AnnualCost           float64
	BoilersOnlyCost      float64
	NoStorageCost        float64
	SavingsVsBoilersOnly float64
	SavingsVsNoStorage   float64
	SolarFraction        float64
	DemandKWh            float64
	FuelKWh              float64
	CO2Kg                float64
	SpilledSunKWh        float64
	UnmetKWh             float64
	DualityGap           float64

	// The curve and the best volume on it.
	CertifiedGap float64
	BestVolumeM3 float64
	BestAtEdge   float64 // 1: the best volume is at the end of the curve; 0: it is not

	// What the investment is worth with a store of BestVolumeM3: the store alone, then the whole plant. IRR is a fraction a
	// year, payback in years.
	NPV           float64
	PaybackA      float64
	IRR           float64
	PlantNPV      float64
	PlantPaybackA float64
	PlantIRR      float64

	// The year's cost as planned, by the rule, by rolling plans and the bound of them all, as replayed; and the fraction of
	// the plan's savings that arrived.
	ReplayPlanCost    float64
	ReplayRuleCost    float64
	ReplayRollingCost float64
	ReplayBoundCost   float64
	ReplayArrived     float64

	Curve []Point // by rising volume; empty if it was not kept
}

// Point is one volume of a curve.
type Point struct {
	VolumeM3             float64
	SavingsVsNoStorage   float64
	MarginalSavingsPerM3 float64
	UpperBound           float64 // no schedule saves more than this
}

// Blank is a row of case n without a figure: all of them are NaN.
func Blank(n int64) Row {
	r := Row{Case: n}
	for _, c := range fixed() {
		if c.figure != nil {
			*c.figure(&r) = math.NaN()
		}
	}
	return r
}
