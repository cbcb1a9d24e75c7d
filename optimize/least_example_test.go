package optimize_test

import (
	"context"
	"fmt"

	"noonkeep/optimize"
)

// A boiler of 100 kW and a load of 150 kW in one of four hours: how large an accumulator that holds 2 kWh/m³ must be.
func ExampleLeastVolume() {
	p := optimize.Problem{StepH: 1,
		Headers: []optimize.Header{{Name: "main", DemandKW: []float64{60, 60, 150, 60}}},
		Boilers: []optimize.Boiler{{Name: "B1", Pieces: []optimize.Piece{{CapacityKW: 100, FuelPerHeat: 1.2}}, FuelPrice: []float64{0.05, 0.05, 0.05, 0.05}}},
		Stores:  []optimize.Store{{Name: "accumulator", Keep: []float64{1, 1, 1, 1}, StandingKW: make([]float64, 4)}},
	}
	law := func(volumeM3 float64) (optimize.Store, error) {
		s := p.Stores[0]
		s.VolumeM3, s.CapacityKWh = volumeM3, 2*volumeM3
		s.ChargeKW, s.HeaderChargeKW, s.DischargeKW = 1000, 1000, 1000
		return s, nil
	}
	least, err := optimize.LeastVolume(context.Background(), p, 0, law, optimize.Options{ToM3: 100})
	fmt.Printf("%.1f m³, %v\n", least.VolumeM3, err)
	// Output: 25.0 m³, <nil>
}
