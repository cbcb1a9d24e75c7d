//go:build cgo

package optimize

import (
	"context"
	"testing"

	"noonkeep/optimize/internal/clp"
)

// BenchmarkCold is one first solve of a year of hours at 120 m³ by each way Clp has, and from joined
// spans; BenchmarkWarm is one more volume 5 m³ below.
func BenchmarkCold(b *testing.B) {
	p := hourlyYear()
	p.Stores[0], _ = shellLaw(p.N(), p.StepH)(120)
	fresh := func(how clp.Method, presolve bool) func(*clpEngine) clp.Status {
		return func(e *clpEngine) clp.Status { return e.model.Fresh(how, presolve) }
	}
	ways := []struct {
		name  string
		solve func(*clpEngine) clp.Status
	}{
		{"dual+presolve", fresh(clp.ByDual, true)},
		{"dual", fresh(clp.ByDual, false)},
		{"primal+presolve", fresh(clp.ByPrimal, true)},
		{"primal", fresh(clp.ByPrimal, false)},
		{"barrier+crossover", fresh(clp.ByBarrier, true)},
		{"spans", func(e *clpEngine) clp.Status {
			e.start(context.Background())
			return e.model.Dual()
		}},
	}
	for _, way := range ways {
		b.Run("way="+way.name, func(b *testing.B) {
			for b.Loop() {
				e := clpFor(b, p)
				if s := way.solve(e); s != clp.Optimal {
					b.Fatal(s)
				}
				e.close()
			}
		})
	}
}

// BenchmarkCold26 is what BenchmarkCurve's 26 points take when each is solved from nothing by Clp's
// quickest way of its own.
func BenchmarkCold26(b *testing.B) {
	p := hourlyYear()
	law := shellLaw(p.N(), p.StepH)
	for b.Loop() {
		for i := range 26 {
			p.Stores[0], _ = law(float64(i) * 120 / 25)
			e := clpFor(b, p)
			if s := e.model.Fresh(clp.ByDual, true); s != clp.Optimal {
				b.Fatal(s)
			}
			e.close()
		}
	}
}

func clpFor(b *testing.B, p Problem) *clpEngine {
	eng, err := newClpEngine(p, "")
	if err != nil {
		b.Fatal(err)
	}
	return eng.(*clpEngine)
}

func BenchmarkWarm(b *testing.B) {
	p := hourlyYear()
	law := shellLaw(p.N(), p.StepH)
	for name, way := range map[string]func(*clp.Model) clp.Status{"dual": (*clp.Model).Dual, "primal": (*clp.Model).Primal} {
		b.Run("way="+name, func(b *testing.B) {
			solves := 0
			for b.Loop() {
				b.StopTimer()
				p.Stores[0], _ = law(120)
				e := clpFor(b, p)
				e.start(context.Background())
				e.model.Dual()
				b.StartTimer()
				for v := 115.0; v > 0; v -= 5 {
					s, _ := law(v)
					if err := e.resize(0, s); err != nil {
						b.Fatal(err)
					}
					if st := way(e.model); st != clp.Optimal {
						b.Fatal(st)
					}
					solves++
				}
				e.close()
			}
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(solves), "ms/solve")
		})
	}
}
