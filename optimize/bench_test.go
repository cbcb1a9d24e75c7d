package optimize

import (
	"context"
	"testing"
)

// BenchmarkBuild is the year of hours from Problem to the matrix.
func BenchmarkBuild(b *testing.B) {
	p := hourlyYear()
	for b.Loop() {
		w := newWork(p)
		build(w, newLayout(w))
	}
}

// BenchmarkProof is what one answer's proof costs beside its solve.
func BenchmarkProof(b *testing.B) {
	p := hourlyYear()
	eng, _, _, err := choose(p, "")
	if err != nil {
		b.Fatal(err)
	}
	defer eng.close()
	w := newWork(p)
	s, q, err := eng.solve(context.Background())
	if err != nil {
		b.Fatal(err)
	}
	s.finish(w, q)
	q.tidy(w)
	for b.Loop() {
		if _, err := prove(w, s, q); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPlan is one cold solve with its proof.
func BenchmarkPlan(b *testing.B) {
	p := hourlyYear()
	for b.Loop() {
		if _, _, err := Plan(context.Background(), p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCurve sets 26 points of a curve (25 volumes and none) beside as many plans, each from nothing,
// and beside the whole curve to 0.1 %. BenchmarkCold has what such a solve takes without joined spans.
func BenchmarkCurve(b *testing.B) {
	p := hourlyYear()
	law := shellLaw(p.N(), p.StepH)
	run := func(opt Options) func(b *testing.B) {
		return func(b *testing.B) {
			points := 0
			for b.Loop() {
				c, err := Trace(context.Background(), p, 0, law, opt)
				if err != nil {
					b.Fatal(err)
				}
				points += len(c.Points)
			}
			b.ReportMetric(float64(points)/float64(b.N), "points/op")
		}
	}
	b.Run("way=plans26", func(b *testing.B) {
		for b.Loop() {
			for i := range 26 {
				p.Stores[0], _ = law(float64(i) * 120 / 25)
				if _, _, err := Plan(context.Background(), p, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
	b.Run("way=warm26", run(Options{ToM3: 120, StepM3: 120.0 / 25, GapFrac: 1}))
	b.Run("way=certified", run(Options{ToM3: 120}))
}
