package storage_test

import (
	"fmt"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// A load of hot water, 140 °C out and 110 °C back, served by one vessel with its water mixed, and with hot over cold.
func ExampleThermocline() {
	spec := storage.Spec{Discharge: storage.Exchanger, Working: steam.BarAbs(15), SupplyC: 140, ApproachK: 5, LimitKW: 600,
		FillFrac: 0.9, LengthPerDiameter: 3, InsulationM: 0.15, InsulationWMK: 0.055, OutsideWM2K: 10}
	mixed, err := storage.New(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	spec.Discharge, spec.ReturnC, spec.ThermoclineFrac, spec.WallM = storage.Thermocline, 110, 0.1, 0.016
	layered, err := storage.New(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("mixed %.0f kWh/m³, layered %.0f kWh/m³\n", mixed.HeatKWhM3(), layered.HeatKWhM3())
	// Output: mixed 51 kWh/m³, layered 71 kWh/m³
}
