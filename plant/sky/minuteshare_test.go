package sky

import (
	"math"
	"testing"
	"time"
)

// Whatever it is given, what is given out is what was wanted, and under the limits where they allow it.
func FuzzAllot(f *testing.F) {
	f.Add(uint64(1), 300., 60, 0.5)
	f.Add(uint64(2), 0.01, 7, 0.01)
	f.Add(uint64(3), 5000., 60, 1.)
	f.Fuzz(func(t *testing.T, seed uint64, mean float64, n int, lit float64) {
		if !(mean >= 0 && mean < 1e4) || n < 1 || n > 60 || !(lit >= 0 && lit <= 1) {
			t.Skip()
		}
		d := newDice(seed, 0)
		shape, most, out := make([]float64, n), make([]float64, n), make([]float64, n)
		room := 0.
		for k := range n {
			if d.uniform() < lit {
				most[k] = 1000 * d.uniform()
				shape[k] = 800 * max(0, d.uniform()-0.3)
			}
			room += most[k]
		}
		if room == 0 {
			t.Skip() // the sharer looks for that before
		}
		s := &sharer{spare: make([]float64, n)}
		over := s.allot(out, mean, shape, most)
		sum := 0.
		for k, v := range out {
			sum += v
			if v < 0 || !over && v > most[k]*(1+1e-12) || most[k] == 0 && v != 0 {
				t.Fatalf("part %d has %g; want 0 to %g", k, v, most[k])
			}
		}
		if want := mean * float64(n); math.Abs(sum-want) > 1e-12*want || over != (room < want) {
			t.Fatalf("sum %g, over %v; want %g of a room for %g", sum, over, want, room)
		}
	})
}

func BenchmarkMinutes(b *testing.B) {
	p := Place{LatDeg: 45, LonDeg: 8, ElevationM: 300, UTCOffset: time.Hour}
	a := yearAxis(b, 2026, time.Hour, time.Hour)
	y, err := FromMonthly(clearnessMonthly(p, a, 0.5), p, a, 3)
	if err != nil {
		b.Fatal(err)
	}
	axis := yearAxis(b, 2026, time.Minute, time.Hour)
	b.Run("suns", func(b *testing.B) {
		for b.Loop() {
			Suns(p, axis, 0)
		}
	})
	b.Run("smooth", func(b *testing.B) {
		for b.Loop() {
			if _, err := SmoothMinutes(y, axis); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("cloudy", func(b *testing.B) {
		for b.Loop() {
			if _, err := Minutes(y, axis, 1); err != nil {
				b.Fatal(err)
			}
		}
	})
}
