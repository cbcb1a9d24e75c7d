package replay_test

import (
	"context"
	"fmt"

	"noonkeep/optimize/replay"
	"noonkeep/plant"
	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// A header of 7 bar(a) that takes 400 kW for four hours; sun in the first two; a flash vessel, and a boiler that takes half an
// hour to start. With the store still empty it is started at once, since a cloud could not be bridged; half an hour later the
// store can, and it goes out until the store runs low.
func ExampleRun() {
	p := replay.Plant{
		StepS: 60, Steps: 240,
		Headers: []replay.Header{{Name: "main", DemandKW: []float64{400}, SteamC: 165, FeedwaterC: 85, SlackKWh: replay.Slack(600, 165), Above: -1}},
		Fields: []replay.Field{{
			Name: "dishes", AreaM2: 1500, HeaderKWM2: []float64{0.5, 0.5, 0, 0}, LagS: 120,
			Stores: []replay.StoreYields{{FloorKWM2: []float64{0.5, 0.5, 0, 0}, HotKWM2: []float64{0.46, 0.46, 0, 0}}},
		}},
		Boilers: []replay.Boiler{{Boiler: plant.Boiler{
			Name: "B1", Fuel: plant.Fuel{Name: "gas"}, CapacityKW: 600, Efficiency: 0.88, MinFireFrac: 0.2, StartH: 0.5, StartKWh: 60,
		}}},
		Stores: []replay.Store{{
			Name: "tank", VolumeM3: 12, AmbientC: []float64{15},
			Spec: storage.Spec{
				Discharge: storage.Flash, Working: steam.BarAbs(19), Header: steam.BarAbs(7), FeedwaterC: 85,
				FillFrac: 0.9, LengthPerDiameter: 3, InsulationM: 0.15, InsulationWMK: 0.055, OutsideWM2K: 10,
			},
		}},
	}
	out, err := replay.Run(context.Background(), p, replay.PlainRule{}, replay.Options{LeadH: -1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("hour  sun kW  store kW  boiler kW  vessel °C  unmet kW")
	for h := range out.Hours {
		s := &out.Series
		fmt.Printf("%4d  %6.0f  %8.0f  %9.0f  %9.1f  %8.0f\n", h, s.SunHeaderKW[0][h], s.DrawKW[0][h], s.BoilerKW[0][h], s.StoreC[0][h], s.UnmetKW[0][h])
	}
	fmt.Printf("%d starts, %.0f kWh of fuel, %.0f kWh of sun turned away\n", out.Starts[0], out.FuelKWh, out.SpilledKWh)
	fmt.Println("books close:", out.Books.MassResidual < 1e-9 && out.Books.EnergyResidual < 1e-9)
	// Output:
	// hour  sun kW  store kW  boiler kW  vessel °C  unmet kW
	//    0     384         0         16      165.0         0
	//    1     400         0          0      194.3         0
	//    2      25       375          0      209.8         0
	//    3       0       132        270      176.7         0
	// 2 starts, 445 kWh of fuel, 155 kWh of sun turned away
	// books close: true
}
