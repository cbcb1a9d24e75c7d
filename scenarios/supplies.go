package scenarios

import (
	"noonkeep/optimize"
	"noonkeep/plant"
)

// fuelPrice is the price of a kWh of net fuel in a step, with that of its carbon. The carbon of electricity is none of
// the site's.
func (c Case) fuelPrice(f plant.Fuel, step int) float64 {
	if f.Power {
		return f.PriceAt(step)
	}
	return f.PriceAt(step) + f.CO2KgPerKWh*c.CarbonPerKg
}

// rampKW is how far a boiler's heat may change from one step to the next; 0 for any. A boiler that must not burn
// under its lowest fire comes up to it at once, and ramps from there: the program, in which it may burn less, must
// allow it both.
func (c Case) rampKW(b Boiler) float64 {
	if b.RampKWH == 0 {
		return 0
	}
	return b.RampKWH*c.Axis.StepH() + b.LeastKW()
}

// supplies adds what fuels and boilers share: standing charges, least takes and joint limits.
func (c Case) supplies(p *optimize.Problem) {
	p.FixedCost = c.charges()
	for _, take := range c.Takes {
		p.Takes = append(p.Takes, optimize.Take{Name: take.Fuel, Boilers: c.burners(take.Fuel), LeastKWh: take.LeastKWh, Price: take.PricePerKWh})
	}
	for _, limit := range c.Limits {
		most := make([]float64, c.Axis.N)
		for t := range most {
			most[t] = limit.MostKW
		}
		p.Limits = append(p.Limits, optimize.Limit{Name: limit.Name, Boilers: limit.Boilers, MostKW: most, OfFuel: limit.OfFuel})
	}
}
