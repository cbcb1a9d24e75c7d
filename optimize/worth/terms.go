package worth

import (
	"errors"
	"fmt"
)

// Terms are the conditions of a project's money. Rates are per year, shares 0 to 1.
type Terms struct {
	Years           int
	DiscountFrac    float64 // nominal; see [Nominal]
	InflationFrac   float64
	DegradationFrac float64 // yearly fall of what is saved
	PartsRiseFrac   float64 // nominal, of the price of parts that are replaced
	ResidualFrac    float64 // of the capital but for land, fetched at the end in the money of that year
	LandResaleFrac  float64 // of the land's price, likewise
	Loan            Loan
	Subsidy         Subsidy
	Tax             Tax
	CarbonPerT      []float64 // price of a tonne of CO2 in years 1, 2, ...; the last stands for all later ones. nil: none
}

// Loan is paid back in equal yearly sums from year 1. The zero value is none.
type Loan struct {
	ShareFrac float64 // of the capital less a subsidy of year 0
	RateFrac  float64 // nominal
	Years     int
}

// Subsidy is given on capital but for land. The zero value is none.
type Subsidy struct {
	ShareFrac  float64
	Sum        float64 // a fixed sum, in place of a share
	Cap        float64 // the most that is given; 0: no cap
	Year       int     // when it is paid; 0 is the start
	KeepsBooks bool    // the whole cost is written off; else the cost less the subsidy
}

// Tax is on what is saved less all costs, interest and what is written off. The zero value is none.
type Tax struct {
	RateFrac     float64
	LossesAtOnce bool // a loss is set off against other income in its year; else it is carried forward
	Depreciation Depreciation
}

// Nominal is the nominal rate that a real one comes to: (1+real)(1+inflation) - 1.
func Nominal(realFrac, inflationFrac float64) float64 {
	return realFrac + inflationFrac + realFrac*inflationFrac
}

// Real is the rate over inflation that a nominal one comes to.
func Real(nominalFrac, inflationFrac float64) float64 {
	return (nominalFrac - inflationFrac) / (1 + inflationFrac)
}

// mostYears is the longest life that is worked out.
const mostYears = 100

// Check tells all that is wrong with the terms.
func (t Terms) Check() error {
	var f faults
	f.require(t.Years >= 1 && t.Years <= mostYears, "life: is %d years; want 1 to %d", t.Years, mostYears)
	f.require(t.DiscountFrac > -1 && t.DiscountFrac <= 10, "discount: is %g %%; want more than -100 %%, up to 1000 %%", 100*t.DiscountFrac)
	f.require(t.InflationFrac > -1 && t.InflationFrac <= 10, "inflation: is %g %%; want more than -100 %%, up to 1000 %%", 100*t.InflationFrac)
	f.require(t.DegradationFrac >= 0 && t.DegradationFrac < 1, "degradation: is %g %%; want 0 to less than 100 %%", 100*t.DegradationFrac)
	f.require(t.PartsRiseFrac > -1 && t.PartsRiseFrac <= 10, "rise of the price of parts: is %g %%; want more than -100 %%, up to 1000 %%", 100*t.PartsRiseFrac)
	f.share("residual", t.ResidualFrac)
	f.share("land resale", t.LandResaleFrac)
	l := t.Loan
	f.share("loan", l.ShareFrac)
	f.require(l.RateFrac >= 0 && l.RateFrac <= 10, "loan: rate: is %g %%; want 0 to 1000 %%", 100*l.RateFrac)
	f.require(l.ShareFrac == 0 || l.Years >= 1, "loan: term: is %d years; want 1 or more", l.Years)
	f.require(l.Years <= t.Years, "loan: term: is %d years, and the life %d; want a loan that is paid back within the life", l.Years, t.Years)
	s := t.Subsidy
	f.share("subsidy", s.ShareFrac)
	f.require(s.Sum >= 0, "subsidy: sum: is %g; want 0 or more", s.Sum)
	f.require(s.Sum == 0 || s.ShareFrac == 0, "subsidy: is a share and a sum; want one of the two")
	f.require(s.Cap >= 0, "subsidy: cap: is %g; want 0 or more", s.Cap)
	f.require(s.Year >= 0 && s.Year <= t.Years, "subsidy: is paid in year %d, and the life has %d; want 0 to %d", s.Year, t.Years, t.Years)
	f.share("tax", t.Tax.RateFrac)
	f.add(t.Tax.Depreciation.Check())
	for i, price := range t.CarbonPerT {
		f.require(price >= 0, "carbon price: is %g in year %d; want 0 or more", price, i+1)
	}
	return f.err()
}

// carbonPerT is the price of CO2 in a year, from 1.
func (t Terms) carbonPerT(year int) float64 {
	if len(t.CarbonPerT) == 0 {
		return 0
	}
	return t.CarbonPerT[min(year, len(t.CarbonPerT))-1]
}

// faults joins what is wrong.
type faults []error

func (f *faults) require(ok bool, format string, args ...any) {
	if !ok {
		*f = append(*f, fmt.Errorf(format, args...))
	}
}

func (f *faults) share(what string, v float64) {
	f.require(v >= 0 && v <= 1, "%s: is %g %%; want 0 to 100 %%", what, 100*v)
}

func (f *faults) add(err error) {
	if err != nil {
		*f = append(*f, err)
	}
}

func (f *faults) err() error { return errors.Join(*f...) }
