package demand_test

import (
	"fmt"
	"time"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// A double-effect chiller at full load, at half load, and with a generator that gets less than it wants.
func ExampleChiller_Heat() {
	chiller := demand.Chiller{Effect: demand.DoubleEffect, CapacityKW: 350, COP: 1.2, GeneratorC: 165, LeastC: 150, LeastFrac: 0.75,
		CoolingC: 29.4, ChilledC: 6.7}
	hours := clock.Axis{Start: time.Date(2026, 7, 1, 12, 0, 0, 0, time.FixedZone("", 3600)), Step: time.Hour, N: 2}
	heat, err := chiller.Heat(clock.KW{350, 175}, 165, hours)
	fmt.Printf("%.1f kW, %v\n", heat, err)
	_, err = chiller.Heat(clock.KW{350, 175}, 150, hours)
	fmt.Println(err)
	// Output:
	// [291.7 130.1] kW, <nil>
	// cooling asks more than the chiller's 262.5 kW in 1 h, first on 1 Jul 12:00, worst 350 kW on 1 Jul 12:00; its generator gets 150 degC, hotter heat would give 350 kW
}

// No absorption chiller beats the second law.
func ExampleReversibleCOP() {
	single, _ := demand.ReversibleCOP(90, 30, 7)
	double, _ := demand.ReversibleCOP(170, 30, 7)
	fmt.Printf("%.2f %.2f\n", single, double)
	// Output: 2.01 3.85
}

// A cellar that takes 40 kW always, and 300 kW on the design day.
func ExampleCoolingLine_KW() {
	line := demand.CoolingLine{BaseKW: 40, DesignKW: 300, DesignC: 34, BalanceC: 16}
	fmt.Println(line.KW([]float64{10, 25, 34}))
	// Output: [40 170 300] <nil>
}
