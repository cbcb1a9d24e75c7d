package plant_test

import (
	"fmt"
	"math"
	"time"

	"noonkeep/plant"
	"noonkeep/plant/sky"
)

// What 900 m² of dishes must show at noon in July, with 5 % for instruments and 4 % for pipes; and why an hour in the wind
// does not count.
func ExampleChecker_Judge() {
	field := plant.Field{Name: "dishes", Collector: plant.Collector{Tracking: plant.TwoAxis, Eta0b: 0.75, A1: 0.3},
		Count: 10, ApertureM2: 90, Cleanliness: 1, Availability: 1, PipeLossFrac: 0.04}
	promise := plant.UsualGuarantee(plant.FormulaFor(field.Collector))
	promise.PipeFactor = field.PipeFactor(170)
	place := sky.Place{LatDeg: 38.7, LonDeg: 29.1, ElevationM: 470, UTCOffset: 3 * time.Hour}
	checker, err := plant.NewChecker(field, promise, place, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	hour := plant.FieldHour{Start: time.Date(2026, 7, 1, 13, 0, 0, 0, time.FixedZone("", 3*3600)), DNIWM2: 850, GHIWM2: math.NaN(),
		DHIWM2: math.NaN(), PlaneWM2: math.NaN(), AirC: 30, WindMS: 4, FluidC: 180, HeatKW: 500}
	fmt.Printf("%.1f kW\n", checker.Judge(hour).ExpectedKW)
	hour.WindMS = 11
	fmt.Println(checker.Judge(hour).Broken[0].Text)
	// 900 m² x (0.75 x 850 - 0.3 x 150) W/m² x 0.96 x 0.95
	// Output:
	// 486.3 kW
	// wind 11.0 m/s, above 10
}
