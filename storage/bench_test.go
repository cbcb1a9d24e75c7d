package storage

import "testing"

var (
	limitsSink Limits
	stateSink  State
	vesselSink Vessel
)

func BenchmarkNew(b *testing.B) {
	s := flashSpec(20, 6, 0.9, WhileCharging)
	b.ReportAllocs()
	for b.Loop() {
		vesselSink, _ = New(s)
	}
}

func BenchmarkLimits(b *testing.B) {
	v := mustNew(b, flashSpec(20, 6, 0.9, WhileCharging))
	b.ReportAllocs()
	for b.Loop() {
		limitsSink, _ = v.Limits(40)
	}
}

// A draw of a minute and of an hour from 40 m³ at 600 kW, for both feeds.
func BenchmarkDraw(b *testing.B) {
	for _, feed := range []FeedChoice{WhileDischarging, WhileCharging} {
		v := mustNew(b, flashSpec(20, 6, 0.9, feed))
		s := v.At(40, 0.8)
		for _, c := range []struct {
			span string
			kWh  float64
		}{{"minute", 10}, {"hour", 600}} {
			b.Run("feed="+feed.String()+"/span="+c.span, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					stateSink, _ = v.Draw(s, c.kWh)
				}
			})
		}
	}
}

func BenchmarkCharge(b *testing.B) {
	v := mustNew(b, flashSpec(20, 6, 0.9, WhileCharging))
	s := v.At(40, 0.5)
	b.ReportAllocs()
	for b.Loop() {
		stateSink, _ = v.Charge(s, 10)
	}
}

func BenchmarkHold(b *testing.B) {
	v := mustNew(b, flashSpec(20, 6, 0.9, WhileCharging))
	s := v.At(40, 0.5)
	b.ReportAllocs()
	for b.Loop() {
		stateSink, _ = v.Hold(s, 1.0/60, 20)
	}
}
