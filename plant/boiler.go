package plant

import (
	"fmt"
	"math"

	"noonkeep/plant/steam"
)

// Boiler makes steam from fuel, at one efficiency or at one that depends on its load ([Boiler.FuelKW]).
type Boiler struct {
	Name       string
	Fuel       Fuel
	CapacityKW float64 // of heat in the steam above the feedwater; see Header.KW for kg/h
	// Efficiency is heat in the steam over heat in the fuel; EfficiencyGross says it is counted on the gross calorific
	// value, which needs Fuel.GrossPerNet. On net heat a condensing boiler may pass 1.
	Efficiency      float64 // at full load
	EfficiencyGross bool

	Losses       Losses           // from which Efficiency came; no list where it was stated
	Table        []LoadEfficiency // efficiency by load, loads rising; nil: none. On the same basis as Efficiency, which is that of full load
	StandingFrac float64          // of the fuel at full load: what the hot boiler loses at any load; it is in Efficiency
	MinFireFrac  float64          // lowest load at which it burns steadily, of the capacity
	StartKWh     float64          // net fuel of a start from cold
	StartH       float64          // how long that takes
	StandbyFrac  float64          // of the fuel at full load: what keeps it hot while it gives nothing; 0: it is not kept hot
	RampKWH      float64          // most that its heat may rise or fall in an hour; 0: no limit
}

// Check returns everything that is wrong with the boiler and its fuel.
func (b Boiler) Check() error {
	f := newFaults("boiler", b.Name)
	f.require(b.CapacityKW > 0 && b.CapacityKW < math.Inf(1), "capacity", "is %g kW; want more than 0", b.CapacityKW)
	f.require(b.Efficiency > 0, "efficiency", "is %g; want more than 0", b.Efficiency)
	limit := 1.0
	if b.EfficiencyGross {
		f.require(b.Efficiency <= 1, "efficiency", "is %g on gross heat; want at most 1", b.Efficiency)
		f.require(b.Fuel.GrossPerNet >= 1, "efficiency",
			"is on gross heat, and the fuel's gross per net is %g; want that ratio, 1 or more", b.Fuel.GrossPerNet)
	} else {
		limit = max(1, b.Fuel.GrossPerNet)
		f.require(b.Efficiency <= limit, "efficiency", "is %g on net heat; want at most %g", b.Efficiency, limit)
	}
	b.checkLoads(&f, limit)
	if err := b.Fuel.Check(); err != nil {
		f.found = append(f.found, err)
	}
	return f.err()
}

// NetEfficiency is the efficiency on net heat.
func (b Boiler) NetEfficiency() float64 { return b.net(b.Efficiency) }

// net turns an efficiency on the boiler's basis into one on net heat.
func (b Boiler) net(efficiency float64) float64 {
	if b.EfficiencyGross {
		// The same steam over less heat: eta_net = eta_gross × GCV/NCV.
		return efficiency * b.Fuel.GrossPerNet
	}
	return efficiency
}

// FuelPerHeat is the net heat of fuel burnt for a kWh of heat in the steam at full load.
func (b Boiler) FuelPerHeat() float64 { return 1 / b.NetEfficiency() }

// PricePerHeat is the fuel money for a kWh of heat in the steam at full load.
func (b Boiler) PricePerHeat() float64 { return b.Fuel.PricePerKWh * b.FuelPerHeat() }

// CO2KgPerHeat is the carbon of a kWh of heat in the steam at full load, kg.
func (b Boiler) CO2KgPerHeat() float64 { return b.Fuel.CO2KgPerKWh * b.FuelPerHeat() }

// BlowdownPerSteam is the blowdown as a share of the steam that holds the boiler water at limitTDS when the feed has
// feedTDS (both in the same measure, ppm or µS/cm). Not to be mixed with BlowdownPerFeed: 5 % of the feed is 5.26 % of the steam.
func BlowdownPerSteam(feedTDS, limitTDS float64) (float64, error) {
	if err := checkTDS(feedTDS, limitTDS); err != nil {
		return 0, err
	}
	// Solids balance: (S + B) F = B limit.
	return feedTDS / (limitTDS - feedTDS), nil
}

// BlowdownPerFeed is the same blowdown as a share of the feedwater.
func BlowdownPerFeed(feedTDS, limitTDS float64) (float64, error) {
	if err := checkTDS(feedTDS, limitTDS); err != nil {
		return 0, err
	}
	return feedTDS / limitTDS, nil
}

func checkTDS(feedTDS, limitTDS float64) error {
	if feedTDS >= 0 && limitTDS > feedTDS {
		return nil
	}
	return fmt.Errorf("blowdown: feed %g against a limit of %g; want 0 or more, and below the limit", feedTDS, limitTDS)
}

// BlowdownKW is the heat that blowdown of kgH carries off: water at the boiler's saturation, against make-up at makeupC.
func BlowdownKW(kgH float64, boiler steam.Pressure, makeupC float64) (float64, error) {
	sat, err := steam.SaturatedUnder(boiler)
	if err != nil {
		return 0, fmt.Errorf("blowdown: %w", err)
	}
	makeup, err := steam.Liquid(steam.BarAbs(normalBarA), makeupC)
	if err != nil {
		return 0, fmt.Errorf("blowdown: make-up: %w", err)
	}
	return kgH * (sat.Liquid.HKJKg - makeup.HKJKg) / secondsPerHour, nil
}
