package demand

import (
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// A year of a dye house: 4 machines, 3 batches a weekday.
func BenchmarkBatchYear(b *testing.B) {
	for _, step := range []time.Duration{time.Hour, 15 * time.Minute, time.Minute} {
		b.Run(step.String(), func(b *testing.B) {
			t := &testing.T{}
			a := year2026(t, step)
			table := Timetable{Starts: starts(t, "Mon-Fri 06:00, 12:00, 18:00"), Machines: 4, Stagger: 45 * time.Minute}
			batch := kettle(3000, 4.19, 15, 98, HeatUp{Way: ByCoil, AreaM2: 6, WM2K: 800})
			batch.Loss = BathLoss{AreaM2: 12, WM2K: 10, AirC: 20}
			batch.Stages[0].HoldH = 1
			for b.Loop() {
				c, err := batch.Run()
				if err != nil {
					b.Fatal(err)
				}
				begins, err := table.Begins(a, clock.Calendar{}, c.H)
				if err != nil {
					b.Fatal(err)
				}
				if y := c.Over(a, begins); y.Batches != 4*3*261 {
					b.Fatal(y.Batches)
				}
			}
		})
	}
}
