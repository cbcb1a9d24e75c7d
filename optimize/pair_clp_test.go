//go:build cgo

package optimize

import (
	"context"
	"testing"
	"time"

	"noonkeep/optimize/internal/clp"
)

// BenchmarkVolume solves a volume of a year of hours, with schedule, prices and proof, by the one-store
// engine and by each of Clp's own ways from nothing, in turn, so that the ratio is of one run. Making the
// plant ready is not counted. clp-ms is the quickest way whose answers are all proven; BenchmarkEngines
// has joined fortnights (crash.go) as well.
func BenchmarkVolume(b *testing.B) {
	const times = 10 // turns of the one-store engine for one of Clp's
	p := hourlyYear()
	law := shellLaw(p.N(), p.StepH)
	eng, err := newOneStoreEngine(p, true)
	if err != nil {
		b.Fatal(err)
	}
	ways := []coldWay{{"dual", clp.ByDual, false, 0}, {"dual+presolve", clp.ByDual, true, 0}, {"primal", clp.ByPrimal, false, 0},
		{"primal+presolve", clp.ByPrimal, true, 0}, {"barrier+crossover", clp.ByBarrier, true, 0}, {"barrier", clp.ByBarrierRaw, true, 0}}
	var exact time.Duration
	solves := 0.0
	for b.Loop() {
		for _, v := range []float64{20, 60, 110} {
			p.Stores[0], _ = law(v)
			w := newWork(p)
			for i := range ways {
				ways[i].solve(b, w)
				exact += timed(func() {
					for range times {
						if err := eng.resize(0, p.Stores[0]); err != nil {
							b.Fatal(err)
						}
						if _, err := solveOnce(context.Background(), w, eng); err != nil {
							b.Fatal(err)
						}
					}
				})
			}
			solves++
		}
	}
	exactMS := exact.Seconds() * 1e3 / (solves * times * float64(len(ways)))
	best := ways[0]
	for _, way := range ways {
		b.Logf("%s: %.0f ms", way.name, way.took.Seconds()*1e3/solves)
		if way.took < best.took {
			best = way
		}
	}
	clpMS := best.took.Seconds() * 1e3 / solves
	b.ReportMetric(exactMS, "onestore-ms")
	b.ReportMetric(clpMS, "clp-ms")
	b.ReportMetric(clpMS/exactMS, "times")
}

// coldWay is a way that Clp has from nothing, with the time it took so far.
type coldWay struct {
	name     string
	how      clp.Method
	presolve bool
	took     time.Duration
}

const outOfTheRace = time.Hour

func (c *coldWay) solve(b *testing.B, w *work) {
	e := clpFor(b, *w.p)
	defer e.close()
	var err error
	c.took += timed(func() {
		if status := e.model.Fresh(c.how, c.presolve); status != clp.Optimal {
			b.Fatal(status)
		}
		s, q := e.flows(), e.prices()
		s.finish(w, q)
		q.tidy(w)
		_, err = prove(w, s, q)
	})
	if err != nil {
		b.Logf("%s at %g m³: %v", c.name, volume(w.p), err)
		c.took = outOfTheRace
	}
}

func timed(run func()) time.Duration {
	begun := time.Now()
	run()
	return time.Since(begun)
}
