package optimize_test

import (
	"context"
	"fmt"
	"time"

	"noonkeep/optimize"
)

// dayAndNight is two steps of twelve hours: sun by day, the same demand by day and by night.
func dayAndNight() optimize.Problem {
	return optimize.Problem{
		Start: time.Date(2026, 6, 21, 6, 0, 0, 0, time.UTC), StepH: 12,
		Headers: []optimize.Header{{Name: "main", DemandKW: []float64{100, 100}}},
		Fields: []optimize.Field{{Name: "dishes", AreaM2: 450,
			HeaderKWM2: [][]float64{{0.5, 0}}, StoreKWM2: [][]float64{{0.4, 0}}}},
		Boilers: []optimize.Boiler{{Name: "B1", Pieces: []optimize.Piece{{CapacityKW: 300, FuelPerHeat: 1.25}}, FuelPrice: []float64{0.04, 0.04}}},
		Stores:  []optimize.Store{vessel(20)},
	}
}

// vessel holds 25 kWh a m³ and, to keep the sum short, loses nothing.
func vessel(volumeM3 float64) optimize.Store {
	return optimize.Store{Name: "vessel", VolumeM3: volumeM3, CapacityKWh: 25 * volumeM3,
		Keep: []float64{1, 1}, StandingKW: []float64{0, 0}, ChargeKW: 10 * volumeM3, DischargeKW: 10 * volumeM3}
}

func ExamplePlan() {
	s, proof, err := optimize.Plan(context.Background(), dayAndNight(), optimize.Options{})
	fmt.Printf("cost %.2f, stored %.0f kWh at dusk, boiler %.1f kW by night\n", s.Cost, s.StoredKWh[0][1], s.BoilerKW[0][1])
	fmt.Println("proven:", proof.DualityGap < 1e-6, err)
	// Output:
	// cost 35.00, stored 500 kWh at dusk, boiler 58.3 kW by night
	// proven: true <nil>
}

func ExampleTrace() {
	law := func(volumeM3 float64) (optimize.Store, error) { return vessel(volumeM3), nil }
	c, err := optimize.Trace(context.Background(), dayAndNight(), 0, law, optimize.Options{ToM3: 72, StepM3: 24})
	for _, p := range c.Points {
		fmt.Printf("%3.0f m³ saves %5.2f\n", p.VolumeM3, p.VsNoStore)
	}
	fmt.Printf("the first m³ saves %.2f\n", c.Points[0].MarginalPerM3)
	fmt.Println("certain to 0.1 %:", c.GapFrac <= 0.001, err)
	// Output:
	//   0 m³ saves  0.00
	//   1 m³ saves  1.25
	//  24 m³ saves 30.00
	//  48 m³ saves 60.00
	//  72 m³ saves 60.00
	// the first m³ saves 1.25
	// certain to 0.1 %: true <nil>
}

func ExampleNoPlan() {
	p := dayAndNight()
	p.Boilers[0].Pieces[0].CapacityKW = 40
	_, _, err := optimize.Plan(context.Background(), p, optimize.Options{})
	fmt.Println(err)
	// Output: header "main": 12 h short of heat, 220 kWh in all, worst 18.33 kW on 21 Jun 18:00; raise boiler capacity or allow unmet heat
}
