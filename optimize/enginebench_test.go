//go:build cgo

package optimize

import (
	"context"
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
