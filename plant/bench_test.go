package plant

import (
	"testing"
	"time"
)

func BenchmarkYieldYear(b *testing.B) {
	for _, k := range Kinds() {
		b.Run("kind="+k.Name, func(b *testing.B) {
			f, y := clean(k.Collector), roughYear(b, 38, time.Hour, 1)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.Yield(y, 160); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(y.DNI)), "ns/step")
		})
	}
}

func BenchmarkHeatWM2(b *testing.B) {
	c := Collector{Eta0b: 0.70, Kd: 0.90, A1: 1.2, A2: 0.005, A3: 0.30, A8: 2e-9}
	x := Conditions{BeamWM2: 650, Kb: 0.95, DiffuseWM2: 180, FluidC: 160, AirC: 25, WindMS: 4.5}
	for b.Loop() {
		c.HeatWM2(x)
	}
}

func BenchmarkAim(b *testing.B) {
	c := Collector{Tracking: AxisNorthSouth}
	for b.Loop() {
		c.Aim(50, 190)
	}
}

// A year of minutes: what a plan by the minute asks of a field at one temperature.
func BenchmarkYieldMinutes(b *testing.B) {
	for _, k := range Kinds() {
		b.Run("kind="+k.Name, func(b *testing.B) {
			f, y := clean(k.Collector), minutesOf(b, generatedYear(b, 38, 365), 1)
			for b.Loop() {
				if _, err := f.Yield(y, 160); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
