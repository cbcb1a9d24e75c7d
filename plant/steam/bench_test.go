package steam

import "testing"

var sink float64

func BenchmarkSatTemp(b *testing.B) {
	p := BarAbs(7)
	for b.Loop() {
		t, _ := SatTemp(p)
		sink += t
	}
}

func BenchmarkSatPressure(b *testing.B) {
	for b.Loop() {
		p, _ := SatPressure(165)
		sink += p.barA
	}
}

func BenchmarkLiquid(b *testing.B) {
	p := BarAbs(20)
	b.ReportAllocs()
	for b.Loop() {
		l, _ := Liquid(p, 180)
		sink += l.HKJKg
	}
}

func BenchmarkVapour(b *testing.B) {
	p := BarAbs(7)
	b.ReportAllocs()
	for b.Loop() {
		v, _ := Vapour(p, 180)
		sink += v.HKJKg
	}
}

func BenchmarkSaturatedAt(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		s, _ := SaturatedAt(165)
		sink += s.Vapour.HKJKg
	}
}
