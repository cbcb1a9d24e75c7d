package demand_test

import (
	"fmt"
	"slices"
	"time"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// Mains water of a town whose year has a mean of 12 degC and monthly means from 1 to 23 degC.
func ExampleAirYear_MainsC() {
	year, _ := clock.NewYear(2026, time.Hour, time.Hour)
	mains := demand.AirYear{MeanC: 12, RangeK: 22}.MainsC(year)
	fmt.Printf("%.1f degC on 1 Feb, %.1f on 1 Aug\n", mains[31*24], mains[212*24])
	// Output: 9.9 degC on 1 Feb, 20.7 on 1 Aug
}

// The water of a cistern that lies deep is a season late.
func ExampleAirYear_GroundC() {
	year, _ := clock.NewYear(2026, time.Hour, time.Hour)
	air := demand.AirYear{MeanC: 12, RangeK: 22}
	for _, depth := range []float64{0.5, 1.5, 4} {
		ground, err := air.GroundC(demand.Ground{DepthM: depth, DiffusivityM2D: demand.UsualSoilM2D}, year)
		fmt.Printf("%g m: %.1f degC on 1 Feb, %.1f on 1 Aug, %v\n", depth, ground[31*24], ground[212*24], err)
	}
	// Output:
	// 0.5 m: 3.2 degC on 1 Feb, 20.7 on 1 Aug, <nil>
	// 1.5 m: 7.1 degC on 1 Feb, 16.8 on 1 Aug, <nil>
	// 4 m: 12.1 degC on 1 Feb, 11.8 on 1 Aug, <nil>
}

// A dairy's cleaning: 12 m3 of 60 degC water each working day, in two hours, from an 11 m3 tank with a heater of 60 kW.
func ExampleTank_Run() {
	year, _ := clock.NewYear(2026, time.Hour, time.Hour)
	when, _ := clock.ParseWhen("Mon-Fri 13:00-15:00")
	flow, _ := demand.Draw{M3D: 12, When: when}.On(year, clock.Calendar{})
	water := demand.HotWater{ToC: 60, MakeUpC: slices.Repeat([]float64{12}, year.N)}
	draw, _ := water.KW(flow)
	whole, err := water.TankKWhM3()
	if err != nil {
		fmt.Println(err)
		return
	}
	tank, err := demand.Tank{VolumeM3: 11, HeaterKW: 60, LossKW: 0.4}.Run(draw, whole, year.StepH())
	wanted, _ := draw.Peak()
	peak, _ := tank.HeatKW.Peak()
	fmt.Printf("the taps want %.0f kW, the header gives %.0f; unmet %.0f kWh, %v\n", wanted, peak, tank.UnmetKWh, err)
	// Output: the taps want 334 kW, the header gives 60; unmet 0 kWh, <nil>
}
