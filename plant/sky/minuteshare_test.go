package sky

import (
	"math"
	"testing"
	"time"

	"noonkeep/plant/clock"
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

// Any day that a file could hold, sound or not: energy is kept, nothing is below 0 or no number, and nothing but dark hours has
// light without the sun.
func FuzzMinutes(f *testing.F) {
	f.Add(uint64(1), 45., 120, 1.)
	f.Add(uint64(2), -89., 1, 4.)
	f.Add(uint64(3), 66.5, 172, 0.1)
	f.Fuzz(func(t *testing.T, seed uint64, latDeg float64, day int, scale float64) {
		if !(math.Abs(latDeg) <= 90) || day < 0 || day > 364 || !(scale >= 0 && scale <= 8) {
			t.Skip()
		}
		d := newDice(seed, 0)
		hours := clock.Axis{Start: time.Date(2026, 1, 1+day, 0, 0, 0, 0, time.UTC), Step: time.Hour, N: 24}
		y := Year{Place: Place{LatDeg: latDeg}, Axis: hours, LightOffset: time.Duration(60*d.uniform()-30) * time.Minute}
		some := func(most float64) []float64 {
			v := make([]float64, hours.N)
			for i := range v {
				v[i] = max(0, most*(1.3*d.uniform()-0.3))
			}
			return v
		}
		y.GHI, y.DNI, y.DHI, y.AirC, y.WindMS = some(900*scale), some(900*scale), some(300*scale), some(30), some(20)
		y.Suns = Suns(y.Place, hours, y.LightOffset)
		fine := hours
		fine.Step, fine.N = time.Minute, hours.N*60
		m, err := Minutes(y, fine, seed)
		if err != nil {
			t.Fatal(err)
		}
		keepsEnergy(t, "fuzzed", y, m)
		for i := range y.Axis.N {
			lit := false
			for _, s := range m.Suns[i*60 : (i+1)*60] {
				lit = lit || s.CosZenith() > 0
			}
			for k := i * 60; k < (i+1)*60; k++ {
				for q := range 3 {
					if v := m.part(q)[k]; !(v >= 0) || lit && v > 0 && m.Suns[k].CosZenith() <= 0 {
						t.Fatalf("%s: %s %g W/m² with the sun at %g deg", m.Axis.Label(k), known[q].name, v, m.Suns[k].ZenithDeg)
					}
				}
			}
		}
	})
}
