package demand_test

import (
	"fmt"
	"time"

	"noonkeep/demand"
	"noonkeep/plant/clock"
	"noonkeep/plant/steam"
)

// A dye bath: 300 kg of wool in 3000 kg of water and 900 kg of machine, from 15 to 98 degC at 2 K/min and held for
// 45 min, then a warm rinse in a new bath.
func dyeBath() demand.Batch {
	water, _ := demand.MaterialNamed("water")
	wool, _ := demand.MaterialNamed("wool")
	steel, _ := demand.MaterialNamed("stainless steel")
	cold := 15.0
	return demand.Batch{
		Liquor:  demand.Charge{Kg: 3000, Of: water},
		Goods:   demand.Charge{Kg: 300, Of: wool},
		Machine: demand.Charge{Kg: 900, Of: steel},
		Loss:    demand.BathLoss{AreaM2: 12, WM2K: 10, AirC: 20},
		HeatUp:  demand.HeatUp{Way: demand.ByGradient, KPerMin: 2},
		Stages:  []demand.Stage{{FromC: &cold, ToC: 98, HoldH: 0.75}, {WaitH: 1. / 6, FromC: &cold, ToC: 60, HoldH: 1. / 3}},
		Header:  steam.BarGauge(6, 1.01325), FeedwaterC: 85,
	}
}

// A dye bath and its rinse. The rinse begins above 15 degC: wool and machine are still warm.
func ExampleBatch_Run() {
	dye, err := dyeBath().Run()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, leg := range dye.Legs {
		fmt.Printf("at %.1f min: %s, %.1f to %.0f degC, %.1f min, %.1f kWh\n", 60*leg.StartH, leg.Does, leg.FromC, leg.ToC, 60*leg.H, leg.KWh())
	}
	fmt.Printf("%.0f kWh: %.0f in water, %.0f in wool and machine, %.0f lost; %.0f kW at most\n", dye.KWh, dye.LiquorKWh, dye.SolidsKWh, dye.LossKWh, dye.PeakKW)
	// Output:
	// at 0.0 min: heating baths up, 15.0 to 98 degC, 41.5 min, 312.5 kWh
	// at 41.5 min: holding baths, 98.0 to 98 degC, 45.0 min, 7.0 kWh
	// at 96.5 min: heating baths up, 20.3 to 60 degC, 19.8 min, 148.5 kWh
	// at 116.3 min: holding baths, 60.0 to 60 degC, 20.0 min, 1.6 kWh
	// 470 kWh: 428 in water, 29 in wool and machine, 12 lost; 457 kW at most
}

// Four machines, three baths a day: what three quarters of an hour between them are worth.
func ExampleCycle_Over() {
	dye, err := dyeBath().Run()
	if err != nil {
		fmt.Println(err)
		return
	}
	year, _ := clock.NewYear(2026, time.Hour, 3*time.Hour)
	starts, _ := demand.ParseStarts("Mon-Fri 06:00, 10:30, 15:00")
	for _, stagger := range []time.Duration{0, 45 * time.Minute} {
		table := demand.Timetable{Starts: starts, Machines: 4, Stagger: stagger}
		begins, err := table.Begins(year, clock.Calendar{}, dye.H)
		if err != nil {
			fmt.Println(err)
			return
		}
		all := dye.Over(year, begins)
		peak, _ := all.KW.Peak()
		fmt.Printf("%v apart: %d batches, %.0f MWh, %.0f kW in the highest hour\n", stagger, all.Batches, all.KW.EnergyKWh(1)/1000, peak)
	}
	// Output:
	// 0s apart: 3132 batches, 1471 MWh, 1262 kW in the highest hour
	// 45m0s apart: 3132 batches, 1471 MWh, 648 kW in the highest hour
}

func ExampleParseStarts() {
	starts, err := demand.ParseStarts("Mon-Fri 06:00, 10:30, 15:00; Sat 06:00")
	fmt.Println(starts, err)
	_, err = demand.ParseStarts("Mon-Fri 06:00-14:00")
	fmt.Println(err)
	// Output:
	// Mon-Fri 06:00, 10:30, 15:00; Sat 06:00 <nil>
	// starts: "06:00-14:00"; want single times, as in Mon-Fri 06:00, 10:30
}

func ExampleMaterialNamed() {
	milk, _ := demand.MaterialNamed("milk")
	kJKgK, _ := milk.KJKgK(4, 72)
	fmt.Printf("%.2f kJ/kgK\n", kJKgK)
	_, err := demand.MaterialNamed("lead")
	fmt.Println(err != nil)
	// Output:
	// 3.89 kJ/kgK
	// true
}
