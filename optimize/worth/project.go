package worth

import "math"

// Project is what is bought and what comes of it, in first-year figures.
type Project struct {
	Name    string
	Against string // the baseline that it is set against
	Outlays []Outlay
	Savings []Saving
	Running []Running
	Parts   []Part
	HeatKWh float64 // that boilers need not give, in the first year
	CO2Kg   float64 // avoided in the first year, on which the price of carbon is paid

	// UnpricedCO2Kg is avoided too, without a price on it: that of electricity. Below 0 where pumps make more.
	UnpricedCO2Kg float64
}

// Outlay is capital of year 0.
type Outlay struct {
	Name string
	Sum  float64
	Land bool // neither subsidised nor written off
}

// Saving is what a year costs less at first-year prices; one below nothing is what it costs more, such as power for pumps.
type Saving struct {
	Name      string
	FirstYear float64
	RiseFrac  float64 // nominal, per year
	Operating bool    // it counts among the costs of the heat: power for pumps
}

// Running is what a year costs, such as upkeep or insurance; FirstYear is 0 or more.
type Running struct {
	Name      string
	FirstYear float64
	RiseFrac  float64 // nominal, per year
}

// Part is what is replaced in a year of the life.
type Part struct {
	Name string
	Year int
	Sum  float64 // at first-year prices; it rises by Terms.PartsRiseFrac
}

// Check tells all that is wrong with a project under these terms.
func (p Project) Check(t Terms) error {
	var f faults
	finite := func(what string, v float64) {
		f.require(!math.IsNaN(v) && !math.IsInf(v, 0), "%s: is %g; want a number", what, v)
	}
	for _, o := range p.Outlays {
		f.require(o.Sum >= 0 && !math.IsInf(o.Sum, 0), "%s: costs %g; want 0 or more", o.Name, o.Sum)
	}
	for _, s := range p.Savings {
		finite(s.Name, s.FirstYear)
		f.require(s.RiseFrac > -1 && s.RiseFrac <= 10, "%s: price rises by %g %%; want more than -100 %%, up to 1000 %%", s.Name, 100*s.RiseFrac)
	}
	for _, r := range p.Running {
		f.require(r.FirstYear >= 0 && !math.IsInf(r.FirstYear, 0), "%s: costs %g a year; want 0 or more", r.Name, r.FirstYear)
		f.require(r.RiseFrac > -1 && r.RiseFrac <= 10, "%s: rises by %g %%; want more than -100 %%, up to 1000 %%", r.Name, 100*r.RiseFrac)
	}
	for _, r := range p.Parts {
		f.require(r.Year >= 1 && r.Year <= t.Years, "%s: is replaced in year %d of a life of %d; want 1 to %d", r.Name, r.Year, t.Years, t.Years)
		f.require(r.Sum >= 0 && !math.IsInf(r.Sum, 0), "%s: costs %g; want 0 or more", r.Name, r.Sum)
	}
	finite("heat", p.HeatKWh)
	finite("CO2", p.CO2Kg)
	finite("CO2 without a price", p.UnpricedCO2Kg)
	if given := t.Subsidy.Sum; given > 0 {
		cost := p.capital() - p.land()
		f.require(given <= cost*(1+1e-12), "subsidy: is %.0f, more than the %.0f that the project costs; want at most that", given, cost)
	}
	return f.err()
}

// capital is all that is bought at the start.
func (p Project) capital() float64 {
	sum := 0.0
	for _, o := range p.Outlays {
		sum += o.Sum
	}
	return sum
}

func (p Project) land() float64 {
	sum := 0.0
	for _, o := range p.Outlays {
		if o.Land {
			sum += o.Sum
		}
	}
	return sum
}

// subsidy is what is given on the capital.
func (t Terms) subsidy(p Project) float64 {
	s := t.Subsidy
	sum := s.Sum + s.ShareFrac*(p.capital()-p.land())
	if s.Cap > 0 {
		sum = min(sum, s.Cap)
	}
	return sum
}
