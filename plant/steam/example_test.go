package steam_test

import (
	"fmt"

	"noonkeep/plant/steam"
)

// A header of 6 bar(g) at sea level: its temperature, and the heat of a kg of steam made from feedwater of 85 °C.
func Example() {
	header := steam.BarGauge(6, 1.01325)
	s, err := steam.SaturatedUnder(header)
	if err != nil {
		fmt.Println(err)
		return
	}
	feed, err := steam.SaturatedAt(85)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%v boils at %.2f °C; steam takes %.1f kJ/kg\n", header, s.TC, s.Vapour.HKJKg-feed.Liquid.HKJKg)
	// Output: 7.01325 bar(a) boils at 165.03 °C; steam takes 2406.9 kJ/kg
}

// IAPWS R7-97(2012) table 36 has 453.035632 K at 1 MPa.
func ExampleSatTemp() {
	tC, err := steam.SatTemp(steam.BarAbs(10))
	fmt.Printf("%.6f °C, %v\n", tC, err)
	// Output: 179.885632 °C, <nil>
}

// IAPWS R7-97(2012) table 35 has 2.63889776 MPa at 500 K.
func ExampleSatPressure() {
	p, err := steam.SatPressure(226.85)
	fmt.Printf("%.7f bar(a), %v\n", p.BarAbs(), err)
	// Output: 26.3889776 bar(a), <nil>
}

// IAPWS R7-97(2012) table 5, third row: 3 MPa, 500 K.
func ExampleLiquid() {
	p, err := steam.Liquid(steam.BarAbs(30), 226.85)
	fmt.Printf("%.6f kJ/kg, %.11f m³/kg, %v\n", p.HKJKg, p.VM3Kg, err)
	// Output: 975.542239 kJ/kg, 0.00120241800 m³/kg, <nil>
}

func ExampleLiquid_boils() {
	_, err := steam.Liquid(steam.BarAbs(7), 170)
	fmt.Println(err)
	// Output: steam: temperature of liquid water under 7 bar(a): 170 °C; want 0 to 164.953 °C
}

// IAPWS R7-97(2012) table 15, third row: 30 MPa, 700 K.
func ExampleVapour() {
	p, err := steam.Vapour(steam.BarAbs(300), 426.85)
	fmt.Printf("%.5f kJ/kg, %v\n", p.HKJKg, err)
	// Output: 2631.49474 kJ/kg, <nil>
}

// Condensate of 7 bar(g) let down to the atmosphere: the trade's tables say 13.4 %.
func ExampleFlashFraction() {
	const air = 1.01325
	x, err := steam.FlashFraction(steam.BarGauge(7, air), steam.BarGauge(0, air))
	fmt.Printf("%.1f %%, %v\n", 100*x, err)
	// Output: 13.4 %, <nil>
}
