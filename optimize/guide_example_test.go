package optimize_test

import (
	"context"
	"fmt"

	"noonkeep/optimize"
)

func ExampleGuide() {
	p := dayAndNight()
	p.Boilers[0].FuelPrice = []float64{0.04, 0.06} // dear by night
	g, err := optimize.Guide(context.Background(), p)
	fmt.Printf("by day give down to %.0f kWh, by night to %.0f\n", g.HoldKWh[0], g.HoldKWh[1])
	fmt.Printf("a boiler's kWh costs %.3f and %.3f\n", g.BoilerPrice[0], g.BoilerPrice[1])
	fmt.Println(err)
	// Output:
	// by day give down to 500 kWh, by night to 0
	// a boiler's kWh costs 0.050 and 0.075
	// <nil>
}
