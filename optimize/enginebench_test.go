//go:build cgo

package optimize

import (
	"context"
	"fmt"
	"testing"

	"noonkeep/optimize/internal/clp"
)

// One volume of a year from nothing, with schedule, prices and proof: the one-store engine beside
// Clp's own best method from scratch and beside Clp from joined fortnights.
func BenchmarkEngines(b *testing.B) {
	p := hourlyYear()
	b.Run("engine=onestore", func(b *testing.B) {
		w := newWork(p)
		eng, err := newOneStoreEngine(p, true)
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			if _, err := solveOnce(context.Background(), w, eng); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("engine=clp/start=none", func(b *testing.B) {
		for b.Loop() {
			eng, err := newClpEngine(p, "")
			if err != nil {
				b.Fatal(err)
			}
			e := eng.(*clpEngine)
			if status := e.model.Fresh(clp.ByDual, true); status != clp.Optimal {
				b.Fatal(status)
			}
			w, s, q := newWork(p), e.flows(), e.prices()
			s.finish(w, q)
			q.tidy(w)
			if _, err := prove(w, s, q); err != nil {
				b.Fatal(err)
			}
			e.close()
		}
	})
	b.Run("engine=clp/start=fortnights", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := Plan(context.Background(), p, Options{Engine: EngineClp}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// The whole certified curve of 41 points and more, and how it grows with the number of steps.
func BenchmarkCurveOneStore(b *testing.B) {
	for _, perDay := range []int{24, 96} {
		b.Run(fmt.Sprintf("steps=%d", 365*perDay), func(b *testing.B) {
			p := plantYear{365, perDay, 7}.problem()
			law := shellLaw(p.N(), p.StepH)
			points := 0
			for b.Loop() {
				c, err := Trace(context.Background(), p, 0, law, Options{ToM3: 120, StepM3: 3, GapFrac: 0.01})
				if err != nil {
					b.Fatal(err)
				}
				points = len(c.Points)
			}
			b.ReportMetric(float64(points), "points/op")
		})
	}
}
