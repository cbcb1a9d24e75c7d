package plant_test

import (
	"fmt"

	"noonkeep/plant"
)

// Twenty-four dishes of 10.7 m in four rows: what they shade of each other as the winter sun climbs in the south-east.
func ExampleGrid_Shaded() {
	grid := plant.Grid{EastM: 18, NorthM: 15, Columns: 6, Count: 24, DiameterM: 10.7}
	for _, heightDeg := range []float64{5, 10, 20, 30} {
		fmt.Printf("%2.0f° high: %4.1f %%\n", heightDeg, 100*grid.Shaded(90-heightDeg, 135))
	}
	// Output:
	//  5° high: 44.2 %
	// 10° high: 29.9 %
	// 20° high:  7.9 %
	// 30° high:  0.0 %
}

// Eight rows of troughs, with the sun 15° high in the west; and the light that passes the ends of 12 m when it slants by 30°.
func ExampleRows_Shaded() {
	trough := plant.Collector{Tracking: plant.AxisNorthSouth}
	rows := plant.Rows{SpacingM: 15, WidthM: 5.77, Count: 8}
	ends := plant.Ends{LengthM: 12, FocalM: 1.71, WidthM: 5.77}
	fmt.Printf("%.1f %% shaded, %.1f %% past the ends\n", 100*rows.Shaded(trough, 75, 270), 100*ends.LossFrac(30))
	// Output: 28.6 % shaded, 10.2 % past the ends
}

// A yard of 60 m by 45 m with 2 m kept free holds nine dishes in straight rows.
func ExampleGround_Dishes() {
	yard := plant.Ground{EastM: 60, NorthM: 45, BorderM: 2}
	grid := yard.Dishes(plant.Grid{EastM: 18, NorthM: 15, DiameterM: 10.7})
	fmt.Println(grid.Count, "dishes,", grid.Columns, "in a row")
	// Output: 9 dishes, 3 in a row
}

// A hill in the east: the sky that a level plane still sees, and the hill's height half-way down its side.
func ExampleNewHorizon() {
	hill, err := plant.NewHorizon([]plant.HorizonPoint{{AzimuthDeg: 60}, {AzimuthDeg: 90, HeightDeg: 20}, {AzimuthDeg: 120}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f° high at azimuth 105°; %.1f %% of the sky left\n", hill.HeightDeg(105), 100*hill.SkyFrac(0, 0))
	// Output: 10° high at azimuth 105°; 99.3 % of the sky left
}
