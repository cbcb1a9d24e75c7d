//go:build cgo

package optimize

import (
	"context"
	"testing"
)

// BenchmarkCurveWithMoves is the whole curve of a year of hours with work that may be moved within twelve
// hours of each day, or anywhere in thirty days.
func BenchmarkCurveWithMoves(b *testing.B) {
	for _, v := range []struct {
		name              string
		from, hours, days int
	}{{"12h", 6, 12, 1}, {"30d", 0, 24, 30}} {
		b.Run("window="+v.name, func(b *testing.B) {
			p := daily(hourlyYear(), v.from, v.hours, v.days)
			law := shellLaw(p.N(), p.StepH)
			for b.Loop() {
				c, err := Trace(context.Background(), p, 0, law, Options{ToM3: 120, StepM3: 5})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(c.Points)), "solves/op")
				b.ReportMetric(c.GapFrac, "gap")
			}
		})
	}
}
