package plant_test

import (
	"fmt"

	"noonkeep/plant"
	"noonkeep/plant/steam"
)

// Steam of 18 bar(a) let down to 7 bar(a), and the feedwater that takes its superheat off.
func ExampleHeader_LetDownTo() {
	high := plant.Header{Name: "high", Pressure: steam.BarAbs(18), FeedwaterC: 85}
	low := plant.Header{Name: "low", Pressure: steam.BarAbs(7), FeedwaterC: 85}
	let, err := high.LetDownTo(low)
	fmt.Printf("%.0f °C, %.0f K over saturation; %.1f kg of spray for 1000 kg; %v\n", let.TC, let.SuperheatK, 1000*let.SprayKgKg, err)
	// Output: 179 °C, 14 K over saturation; 13.8 kg of spray for 1000 kg; <nil>
}
