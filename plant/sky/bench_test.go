package sky

import (
	"bytes"
	"io"
	"testing"
	"time"
)

func BenchmarkRead(b *testing.B) {
	for _, f := range realFiles[:2] {
		text, err := io.ReadAll(openWeather(b, f.name))
		if err != nil {
			b.Fatal(err)
		}
		for name, step := range map[string]time.Duration{"hour": time.Hour, "quarter": 15 * time.Minute} {
			b.Run("format="+f.name[len(f.name)-3:]+"/step="+name, func(b *testing.B) {
				b.SetBytes(int64(len(text)))
				b.ReportAllocs()
				axis := yearAxis(b, 2026, step, f.zone)
				for b.Loop() {
					if _, err := Read(bytes.NewReader(text), f.name, ReadOptions{Axis: axis}); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

func BenchmarkFromMonthly(b *testing.B) {
	p := Place{LatDeg: 38.7, LonDeg: 29.1, ElevationM: 470, UTCOffset: 3 * time.Hour}
	for name, step := range map[string]time.Duration{"hour": time.Hour, "quarter": 15 * time.Minute} {
		b.Run("step="+name, func(b *testing.B) {
			a := yearAxis(b, 2026, step, 3*time.Hour)
			m := clearnessMonthly(p, a, 0.5)
			seed := uint64(0)
			for b.Loop() {
				seed++
				if _, err := FromMonthly(m, p, a, seed); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
