package storage_test

import (
	"fmt"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

func spec() storage.Spec {
	return storage.Spec{
		Discharge: storage.Flash,
		Working:   steam.BarAbs(20), Header: steam.BarAbs(6), FeedwaterC: 80, Feed: storage.WhileCharging,
		FillFrac: 0.9, LengthPerDiameter: 10.0 / 3, Ends: storage.Ellipsoidal,
		InsulationM: 0.2, InsulationWMK: 0.055, OutsideWM2K: 10,
	}
}

// A flash vessel from 20 to 6 bar(a): what a planner needs of it at 40 m³.
func Example() {
	v, err := storage.New(spec())
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := v.Limits(40)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("from %.1f to %.1f °C: %.0f kWh, %.0f kg of steam\n", l.HotC, l.FloorC, l.CapacityKWh, l.SteamKg)
	fmt.Printf("%.2f m across, %.2f m long, loses %.1f W/K\n", l.DiameterM, l.LengthM, l.UAWK)
	// Output:
	// from 212.4 to 158.8 °C: 2333 kWh, 3434 kg of steam
	// 2.40 m across, 9.21 m long, loses 21.5 W/K
}

// Checks-heat 3.1.1: 58.3309 kWh/m³ and 85.8409 kg/m³, by two integrations of others; the hand formula beside it.
func ExampleNew() {
	v, err := storage.New(spec())
	fmt.Printf("%.4f kWh/m³, %.4f kg/m³, by hand %.1f, %v\n", v.HeatKWhM3(), v.SteamKgM3(), v.ShortFormSteamKgM3(), err)
	// Output: 58.3309 kWh/m³, 85.8409 kg/m³, by hand 85.9, <nil>
}

func ExampleNew_faults() {
	s := spec()
	s.Header, s.FillFrac = steam.BarAbs(25), 1
	_, err := storage.New(s)
	fmt.Println(err)
	// Output:
	// vessel: working pressure: is 20 bar(a) less 0 bar of margin; want more than the header's 25 bar(a) and the line's 0 bar
	// vessel: fill: is 1; want 0.2 to 0.95, the rest is steam space
}

// Checks-heat 3.6: with half the heat drawn, 187.369 °C.
func ExampleVessel_Draw() {
	v, err := storage.New(spec())
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := v.Draw(v.At(1, 1), v.HeatKWhM3()/2)
	fmt.Printf("%.2f °C after %.1f kg of steam, level %.2f, %v\n", s.TC, s.SteamKg, s.LevelFrac(), err)
	s, err = v.Draw(s, 100)
	fmt.Printf("%.2f °C: %v\n", s.TC, err)
	// Output:
	// 187.37 °C after 42.7 kg of steam, level 0.82, <nil>
	// 158.83 °C: vessel: draw: 100 kWh asked, 29.1655 kWh done at the limit of 158.8 °C; want no more than that
}

// A day without sun: the loss of checks-heat 4.3.22.
func ExampleVessel_Hold() {
	v, err := storage.New(spec())
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := v.Hold(v.At(39.81, 1), 24, 20)
	fmt.Printf("cools by %.1f K in a day, %v\n", v.HotC()-s.TC, err)
	// Output: cools by 2.6 K in a day, <nil>
}
