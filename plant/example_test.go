package plant_test

import (
	"fmt"
	"time"

	"noonkeep/plant"
	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/plant/steam"
)

// The package on one page: what a dish gives in an hour of sun, and what steam and fuel that is.
func Example() {
	kind, err := plant.KindByName("dish")
	if err != nil {
		fmt.Println(err)
		return
	}
	main := plant.Header{Name: "main", Pressure: steam.BarAbs(7), FeedwaterC: 80}
	steamC, err := main.SteamC()
	if err != nil {
		fmt.Println(err)
		return
	}
	field := plant.Field{Name: "dishes", Collector: kind.Collector, Count: 8, ApertureM2: 90, Cleanliness: 0.95, Availability: 0.98}
	out, err := field.Yield(threeHours(), steamC)
	if err != nil {
		fmt.Println(err)
		return
	}
	kgH, err := main.KgH(out.KWM2[2] * field.AreaM2())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("10:00 %.3f kW/m²; noon %.3f kW/m², %.0f kg/h\n", out.KWM2[0], out.KWM2[2], kgH)
	fmt.Printf("to warm up %.3f kWh/m²\n", out.WarmupKWhM2)
	// Noon by hand: 0.80 × 0.95 × 895 - 0.15 × 137 - 5.7 from the receiver = 654 W/m², of which 98 % work.
	//
	// Output:
	// 10:00 0.585 kW/m²; noon 0.641 kW/m², 684 kg/h
	// to warm up 0.000 kWh/m²
}

// threeHours is sun from 10:00 to 13:00, which as a year that follows itself never sets.
func threeHours() sky.Year {
	place := sky.Place{LatDeg: 38.7, LonDeg: 29.1, ElevationM: 470, UTCOffset: 2 * time.Hour}
	axis := clock.Axis{Start: time.Date(2026, 6, 21, 10, 0, 0, 0, time.FixedZone("UTC+2", 7200)), Step: time.Hour, N: 3}
	y := sky.Year{
		Place: place, Axis: axis, GHI: []float64{790, 880, 930}, DNI: []float64{820, 870, 895}, DHI: []float64{90, 95, 100},
		AirC: []float64{25, 27, 28}, WindMS: []float64{2, 3, 3},
	}
	for i := range axis.N {
		y.Suns = append(y.Suns, sky.SunAt(place, axis.Mid(i)))
	}
	return y
}

func ExampleCollector_Aim() {
	trough := plant.Collector{Tracking: plant.AxisNorthSouth}
	in := trough.Aim(45, 180) // noon, sun in the south at 45°
	fmt.Printf("incidence %.0f°, beam %.4f of DNI\n", in.ThetaDeg, in.Cos)
	in = trough.Aim(60, 270) // sun in the west
	fmt.Printf("incidence %.0f°, turned %.0f°\n", in.ThetaDeg, in.RotationDeg)
	// Output:
	// incidence 45°, beam 0.7071 of DNI
	// incidence 0°, turned -60°
}

func ExampleBoiler_FuelPerHeat() {
	gas := plant.Fuel{Name: "natural gas", PricePerKWh: 0.04, GrossPerNet: 1.11}
	b := plant.Boiler{Name: "B1", Fuel: gas, CapacityKW: 1400, Efficiency: 0.80, EfficiencyGross: true}
	fmt.Printf("%.3f kWh of net fuel for 1 kWh of steam, %.4f money\n", b.FuelPerHeat(), b.PricePerHeat())
	// Output: 1.126 kWh of net fuel for 1 kWh of steam, 0.0450 money
}

func ExampleFuelKindByName() {
	oil, err := plant.FuelKindByName("furnace oil")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.4f per kWh at 600 per t, %.1f g CO2 per kWh\n", oil.Name, oil.PerKg().PricePerT(600), 1000*oil.Fuel(0).CO2KgPerKWh)
	// Output: residual fuel oil: 0.0535 per kWh at 600 per t, 278.6 g CO2 per kWh
}

func ExampleHeader_HeatKJKg() {
	h := plant.Header{Name: "main", Pressure: steam.BarAbs(7), FeedwaterC: 80}
	heat, err := h.HeatKJKg()
	fmt.Printf("%.1f kJ/kg, %v\n", heat, err)
	// Output: 2427.3 kJ/kg, <nil>
}
