package demand

import (
	"errors"
	"fmt"
)

// Effect is how often an absorption chiller uses its heat. The zero value is invalid.
type Effect int

const (
	SingleEffect Effect = iota + 1
	DoubleEffect
)

// String is the effect as a scenario writes it.
func (e Effect) String() string {
	switch e {
	case SingleEffect:
		return "single effect"
	case DoubleEffect:
		return "double effect"
	}
	return "no effect"
}

// UsualCOP is a rated coefficient of performance, kW of cold per kW of heat.
// Single effect 0.70: "about 0.7", J. Sustain. Dev. Energy Water Environ. Syst. 8(3) 2020, 464-475, and the least of
// ASHRAE 90.1 (from memory). Double effect 1.20: within 1.0 to 1.35, ASHRAE Handbook, Refrigeration (from memory).
func (e Effect) UsualCOP() float64 {
	if e == DoubleEffect {
		return 1.20
	}
	return 0.70
}

// UsualLeastFrac is the share of the rated capacity that is left with the generator 15 K colder. A single effect
// loses about half from 95 to 80 degC, a double effect about a quarter (common practice, no source).
func (e Effect) UsualLeastFrac() float64 {
	if e == DoubleEffect {
		return 0.75
	}
	return 0.50
}

// Chiller is an absorption chiller whose generator is heated from outside.
type Chiller struct {
	Effect     Effect
	CapacityKW float64 // of cold, with the generator at GeneratorC
	COP        float64 // of cold per heat, at CapacityKW
	GeneratorC float64 // heat that it is rated with: steam's temperature, or hot water's on entering
	LeastC     float64 // coldest heat that it works with
	LeastFrac  float64 // share of CapacityKW at LeastC, 0 to 1; a straight line between the two
	CoolingC   float64 // cooling water entering, that it is rated with
	ChilledC   float64 // chilled water leaving
	// PartLoad is the COP as a share of the full-load COP against load as a share of the capacity, loads
	// rising to 1. Straight between points, the first one below it. Nil is [UsualPartLoad].
	PartLoad []LoadPoint
}

// LoadPoint is a point of a part-load table.
type LoadPoint struct{ LoadFrac, COPFrac float64 }

// leastLoadFrac is the load under which a chiller goes on and off; its COP is then that of this load.
const leastLoadFrac = 0.15

// UsualPartLoad is the COP at part load as a share of the full-load COP.
//
// The heat's share is 0.03303 + 0.6852 r + 0.2818 r2 of the load's share r, from 0.15 up: the quadratic of BLAST's
// absorber, which the absorption chiller of EnergyPlus has too (Engineering Reference, Chillers).
func UsualPartLoad(loadFrac float64) float64 {
	heat := func(r float64) float64 { return 0.03303 + 0.6852*r + 0.2818*r*r }
	r := min(max(loadFrac, leastLoadFrac), 1)
	return r * heat(1) / heat(r)
}

// ReversibleCOP is the most cold per heat that the second law allows between a generator, the surroundings to which
// it rejects its heat and the cold, degC: COP = (1 - T0/Tg) Te/(T0 - Te).
func ReversibleCOP(generatorC, coolingC, chilledC float64) (float64, error) {
	if !(chilledC > -100 && coolingC > chilledC && generatorC > coolingC && generatorC < 400) {
		return 0, fmt.Errorf("temperatures: generator %g, cooling water %g, chilled water %g degC; want each colder than the one before",
			generatorC, coolingC, chilledC)
	}
	const kelvin = 273.15
	tg, t0, te := generatorC+kelvin, coolingC+kelvin, chilledC+kelvin
	return (1 - t0/tg) * te / (t0 - te), nil
}

// Check reports all that is wrong with the chiller, also a COP that the second law does not allow at some load and
// generator temperature.
func (c Chiller) Check() error {
	var faults []error
	require := func(holds bool, format string, args ...any) bool {
		if !holds {
			faults = append(faults, fmt.Errorf(format, args...))
		}
		return holds
	}
	require(c.Effect == SingleEffect || c.Effect == DoubleEffect, "kind: is missing; want single effect or double effect")
	require(c.CapacityKW > 0 && c.CapacityKW <= mostKW, "capacity: is %g kW; want more than 0", c.CapacityKW)
	require(c.LeastFrac > 0 && c.LeastFrac <= 1, "least capacity: is %g; want more than 0 and at most 1", c.LeastFrac)
	require(c.LeastC <= c.GeneratorC, "least generator: is %g degC; want at most the %g of the generator", c.LeastC, c.GeneratorC)
	sound := require(c.COP > 0 && c.COP < 10, "COP: is %g; want more than 0 and less than 10", c.COP)
	loads := c.checkPartLoad(require)
	if _, err := ReversibleCOP(c.LeastC, c.CoolingC, c.ChilledC); err != nil {
		faults = append(faults, err)
	} else if sound && loads && len(faults) == 0 {
		if err := c.checkSecondLaw(); err != nil {
			faults = append(faults, err)
		}
	}
	return errors.Join(faults...)
}

func (c Chiller) checkPartLoad(require func(bool, string, ...any) bool) bool {
	ok, before := true, 0.0
	for i, p := range c.PartLoad {
		ok = require(p.LoadFrac > before && p.LoadFrac <= 1, "part load: point %d is at a load of %g; want them rising, from above 0 to 1", i+1, p.LoadFrac) && ok
		ok = require(p.COPFrac > 0 && p.COPFrac <= 3, "part load: point %d has a COP of %g of the full one; want more than 0 and at most 3", i+1, p.COPFrac) && ok
		before = p.LoadFrac
	}
	if n := len(c.PartLoad); n > 0 && ok {
		last := c.PartLoad[n-1]
		ok = require(last.LoadFrac == 1 && last.COPFrac == 1, "part load: ends with %g at a load of %g; want 1 at 1", last.COPFrac, last.LoadFrac)
	}
	return ok
}

// checkSecondLaw holds the best COP against the reversible one over the generator's range.
func (c Chiller) checkSecondLaw() error {
	best := 0.0
	for r := 0.01; r < 1.005; r += 0.01 {
		best = max(best, c.partLoad(r))
	}
	for _, p := range c.PartLoad {
		best = max(best, p.COPFrac)
	}
	const points = 20
	for i := range points + 1 {
		tC := c.LeastC + (c.GeneratorC-c.LeastC)*float64(i)/points
		top, err := ReversibleCOP(tC, c.CoolingC, c.ChilledC)
		if err != nil {
			return err
		}
		if got := c.COP * c.generatorFrac(tC) * best; got > top {
			return fmt.Errorf("COP: comes to %.3g with the generator at %.4g degC; the second law allows %.3g between it, cooling water of %g and chilled water of %g degC",
				got, tC, top, c.CoolingC, c.ChilledC)
		}
	}
	return nil
}

// CapacityAt is the cold that the chiller can make with heat of feedC, kW; 0 below LeastC.
func (c Chiller) CapacityAt(feedC float64) float64 { return c.CapacityKW * c.capacityFrac(feedC) }

func (c Chiller) capacityFrac(feedC float64) float64 {
	switch {
	case feedC < c.LeastC:
		return 0
	case feedC >= c.GeneratorC:
		return 1 // heat that is too hot is throttled
	}
	return c.LeastFrac + (1-c.LeastFrac)*(feedC-c.LeastC)/(c.GeneratorC-c.LeastC)
}

// offsetFrac is the share of the rated heat that a generator takes while it makes no cold: capacity and heat are
// both straight lines in the generator's temperature, Q_E = 0.42 x + 0.9 and Q_G = 0.51 x + 2 kW, so that Q_G = 0.907
// kW where Q_E is 0, of 13.05 at 10 kW. Kuehn and Ziegler, Operational results of a 10 kW absorption chiller and
// adaptation of the characteristic equation, 2005 (coefficients from memory).
const offsetFrac = 0.07

// generatorFrac is the COP with the generator at feedC as a share of the rated one: COP = Q_E/Q_G of the two lines.
func (c Chiller) generatorFrac(feedC float64) float64 {
	q := c.capacityFrac(feedC)
	if q == 0 {
		return 0
	}
	return q / (offsetFrac + (1-offsetFrac)*q)
}

// partLoad is the COP at a load as a share of that at full load.
func (c Chiller) partLoad(loadFrac float64) float64 {
	if c.PartLoad == nil {
		return UsualPartLoad(loadFrac)
	}
	before := c.PartLoad[0]
	for _, p := range c.PartLoad {
		if loadFrac <= p.LoadFrac {
			if p == before {
				return p.COPFrac
			}
			share := (loadFrac - before.LoadFrac) / (p.LoadFrac - before.LoadFrac)
			return before.COPFrac + share*(p.COPFrac-before.COPFrac)
		}
		before = p
	}
	return before.COPFrac
}

// COPAt is the cold per heat with heat of feedC and a load as a share of the capacity there; 0 below LeastC.
func (c Chiller) COPAt(feedC, loadFrac float64) float64 {
	return c.COP * c.generatorFrac(feedC) * c.partLoad(loadFrac)
}
