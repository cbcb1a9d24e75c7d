package scenarios

import (
	"math"

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

// Cycles is what the program leaves out of boilers that are on or off: one for each boiler, zero for one that may burn
// as little as it likes and starts for nothing. Nil if all are such.
func (c Case) Cycles() []optimize.Cycle {
	list, any := make([]optimize.Cycle, len(c.Boilers)), false
	for i, b := range c.Boilers {
		if b.MinFireFrac == 0 && b.StartKWh == 0 && b.StartH == 0 {
			continue
		}
		any = true
		full := b.FuelKW(b.CapacityKW)
		list[i] = optimize.Cycle{StartKWh: b.StartKWh, StartSteps: int(math.Ceil(b.StartH/c.Axis.StepH() - 1e-9))}
		if b.StartKWh > 0 || b.StartH > 0 {
			list[i].StandbyKW = b.StandbyFrac * full
		}
		for _, p := range b.Curve() {
			list[i].Curve = append(list[i].Curve, optimize.Load{HeatKW: p.HeatKW, FuelKW: p.FuelKW})
		}
	}
	if !any {
		return nil
	}
	return list
}

// PowerKWh is the electricity that the fields take in a year for drives, pumps and what keeps them; delivered is the
// heat that each gave.
func (c Case) PowerKWh(deliveredKWh []float64) float64 {
	sum := 0.0
	for i, f := range c.Fields {
		sum += (f.Yield().DriveKWhM2+f.Yield().IdleKWhM2)*f.AreaM2() + f.PumpKWhPerKWh*deliveredKWh[i]
	}
	return sum
}
