package optimize

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"testing"
)

// BenchmarkCurveOneStore is the whole certified curve of 41 volumes, none among them: its baselines, solves,
// proofs and bounds, with what the gap asks for beyond the first 42 points; and what of that is the engine's.
func BenchmarkCurveOneStore(b *testing.B) {
	for _, tt := range []struct {
		perDay int
		gap    float64
	}{{24, 0.01}, {24, 0.001}, {96, 0.01}} {
		b.Run(fmt.Sprintf("steps=%d/gap=%g", 365*tt.perDay, tt.gap), func(b *testing.B) {
			p := plantYear{365, tt.perDay, 7}.problem()
			law := shellLaw(p.N(), p.StepH)
			points := 0
			for b.Loop() {
				c, err := Trace(context.Background(), p, 0, law, Options{ToM3: 120, StepM3: 3, GapFrac: tt.gap})
				if err != nil {
					b.Fatal(err)
				}
				points = len(c.Points)
			}
			b.ReportMetric(float64(points), "points/op")
		})
	}
	b.Run("engine", benchmarkCurveEngine)
}

// benchmarkCurveEngine solves and proves 41 volumes as Trace has it done: by an engine a core.
func benchmarkCurveEngine(b *testing.B) {
	p := hourlyYear()
	law := shellLaw(p.N(), p.StepH)
	var stores []Store
	for i := range 41 {
		s, _ := law(3 * float64(i))
		stores = append(stores, s)
	}
	crew := make([]worker, min(2, runtime.GOMAXPROCS(0)))
	for i := range crew {
		eng, err := newOneStoreEngine(p, true)
		if err != nil {
			b.Fatal(err)
		}
		crew[i] = worker{eng: eng, w: newWork(p)}
	}
	for b.Loop() {
		var group sync.WaitGroup
		for i, c := range crew {
			group.Go(func() {
				for j := i; j < len(stores); j += len(crew) {
					if err := c.eng.resize(0, stores[j]); err != nil {
						b.Error(err)
					}
					c.w.resize(0, stores[j])
					if _, err := solveOnce(context.Background(), c.w, c.eng); err != nil {
						b.Error(err)
					}
				}
			})
		}
		group.Wait()
	}
	b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(b.N), "ms/curve")
	b.ReportMetric(float64(len(crew)), "cores")
}
