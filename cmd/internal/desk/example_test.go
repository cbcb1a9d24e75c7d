package desk

import (
	"fmt"

	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// A hand turns the volume to 55 m³ and paints a shift from 06:00 to 14:00 on working days.
func Example_turnAndPaint() {
	src, err := scenarios.Source("dyehouse")
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := scenarios.Parse("dyehouse", src, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	volume := knobsOf(c, units{})[1]
	fmt.Printf("%s: %s, on a slider from %g to %g %s by %g\n", volume.Label, volume.Written, volume.Min, volume.Max, volume.Unit, volume.Step)

	week := clock.Week{PerDay: 24}
	for d := range week.Days {
		week.Days[d] = make([]bool, 24)
		for h := 6; h < 14 && d < 5; h++ {
			week.Days[d][h] = true
		}
	}
	shift, err := painted(c, "stenter and dryers", week)
	if err != nil {
		fmt.Println(err)
		return
	}
	after, err := scenarios.Rewrite("dyehouse", src, volume.Setting(55, ""), shift)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range changedOf(seen{Text: src}, seen{Text: after}, units{}).Edits {
		fmt.Println(e.Text)
	}
	// Output:
	// Volume: 40 m3, on a slider from 0 to 120 m3 by 2
	// stenter and dryers: hours: Mon-Fri 06:00-14:00, was Mon-Fri 07:00-19:00
	// store: volume: 55 m3, was 40 m3
}
