package worth

import "math"

// Case is a project worked out under its terms.
type Case struct {
	Terms   Terms
	Project Project
	Result  Result
	Flows   []float64 // the owner's, in years 0, 1, ...
	y       *years
}

// Result is what follows from the flows. Times are years, +Inf for not within the life; a figure without a meaning is NaN.
type Result struct {
	Capital    float64 // all that is bought at the start
	Subsidy    float64
	Loan       float64
	OwnCapital float64 // capital less loan and a subsidy of year 0

	SavedFirstYear   float64 // fuel, power and carbon price
	RunningFirstYear float64 // upkeep and the like; parts replaced are not in it

	SimplePaybackA     float64 // capital less subsidy, over what the first year leaves before tax and loan
	PaybackA           float64 // when the owner's flows have paid back for good
	DiscountedPaybackA float64 // the same of their worth at the start
	NPV                float64
	AnnualWorth        float64 // NPV in equal sums over the life
	IRR                IRR

	HeatCostPerKWh float64 // levelised; NaN where no heat is brought
	CO2CostPerT    float64 // of CO2 avoided; NaN where none is
	UnusedLoss     float64 // losses for tax that the life does not use up
}

// Work plays a project through. The error tells all that is wrong with terms and project.
func Work(t Terms, p Project) (Case, error) {
	var f faults
	f.add(t.Check())
	if f.err() == nil {
		f.add(p.Check(t))
	}
	if err := f.err(); err != nil {
		return Case{}, err
	}
	y := play(t, p)
	c := Case{Terms: t, Project: p, Flows: y.net, y: y}
	c.Result = c.result()
	return c, nil
}

func (c Case) result() Result {
	t, y := c.Terms, c.y
	r := Result{
		Capital: -y.capital[0], Subsidy: y.subsidy, Loan: y.loanSum,
		OwnCapital: -y.capital[0] - y.grant[0] - y.loanSum,
		PaybackA:   Payback(y.net), DiscountedPaybackA: Payback(y.worth),
		NPV: y.allWorth[t.Years], IRR: InternalRate(y.net), UnusedLoss: y.lossesKept[t.Years],
	}
	r.AnnualWorth = r.NPV * Recovery(t.DiscountFrac, float64(t.Years))
	for _, s := range y.saved {
		r.SavedFirstYear += s[1]
	}
	for _, s := range y.running {
		r.RunningFirstYear -= s[1]
	}
	r.SimplePaybackA = math.Inf(1)
	if left := r.SavedFirstYear - r.RunningFirstYear; r.Capital-r.Subsidy <= 0 {
		r.SimplePaybackA = 0
	} else if left > 0 {
		r.SimplePaybackA = (r.Capital - r.Subsidy) / left
	}
	r.HeatCostPerKWh, r.CO2CostPerT = c.heatCost(), c.co2Cost()
	return r
}

// heatCost is the levelised cost of heat of IEA SHC Task 54 (method: Louvet et al., Solar Energy 193 (2019) 85-94; the form of
// the equation from memory):
//
//	(I0 - S0 + sum (C_t (1 - TR) - DEP_t TR)/(1+r)^t - RV/(1+r)^T) / sum E_t/(1+r)^t
//
// with all costs nominal and discounted at the nominal rate, and the heat at the rate over inflation, so that the cost
// is in money of the start; without inflation that is the formula as published. A loan is not in it, and tax counts as if
// losses were used at once.
func (c Case) heatCost() float64 {
	t, y := c.Terms, c.y
	sum, heat := -y.capital[0], 0.0
	real := Real(t.DiscountFrac, t.InflationFrac)
	for year := 0; year <= t.Years; year++ {
		cost := -y.parts[year]
		for _, r := range y.running {
			cost -= r[year]
		}
		for k, s := range c.Project.Savings {
			if s.Operating {
				cost -= y.saved[k][year]
			}
		}
		flow := cost*(1-t.Tax.RateFrac) + y.writtenOff[year]*t.Tax.RateFrac - y.grant[year] - y.residual[year]
		sum += flow * y.factor[year]
		heat += y.heatKWh[year] * discounted(real, year)
	}
	if !(heat > 0) {
		return math.NaN()
	}
	return sum / heat
}

// co2Cost is what avoiding a tonne costs, whoever pays: all costs less the fuel and power saved, before subsidy, tax, loan and
// carbon price, over the CO2 avoided, both discounted as in the levelised cost. Below nothing, avoiding it earns money.
func (c Case) co2Cost() float64 {
	t, y := c.Terms, c.y
	carbon := y.saved[len(c.Project.Savings)]
	sum, tonnes := 0.0, 0.0
	real := Real(t.DiscountFrac, t.InflationFrac)
	for year := 0; year <= t.Years; year++ {
		sum -= (y.capital[year] + y.residual[year] + y.operating[year] - carbon[year]) * y.factor[year]
		tonnes += (y.co2T[year] + y.unpricedT[year]) * discounted(real, year)
	}
	if !(tonnes > 0) {
		return math.NaN()
	}
	return sum / tonnes
}

// BreakEven is the most that an outlay, with what grows with it, may cost for a project to be worth nothing less than nothing:
// of is the project at a price. It is 0 where even a gift does not pay, and +Inf where any price does.
func BreakEven(t Terms, of func(price float64) Project) (float64, error) {
	if err := t.Check(); err != nil {
		return 0, err
	}
	npv := func(price float64) float64 { return play(t, of(price)).allWorth[t.Years] }
	if !(npv(0) > 0) {
		return 0, nil
	}
	hi := 1.0
	for npv(hi) > 0 {
		if hi *= 4; hi > 1e15 {
			return math.Inf(1), nil
		}
	}
	lo := 0.0
	for range 64 {
		if mid := (lo + hi) / 2; npv(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, nil
}
