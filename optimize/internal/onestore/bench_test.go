package onestore

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// madeUp is a plant of half-sine sun under random clouds, three shifts, a boiler of two stretches.
func madeUp(days, perDay int) (Plant, *Store) {
	n, dt := days*perDay, 24/float64(perDay)
	rng := rand.New(rand.NewPCG(1, 2))
	series := func() []float64 { return make([]float64, n) }
	p := Plant{Demand: series(), UnmetCost: 60, HeatCost: 0.002}
	sun, sunStore, cap1, cap2, cost1, cost2 := series(), series(), series(), series(), series(), series()
	store := &Store{Capacity: 1040, Keep: series(), Standing: series(), Charge: 1600 * dt, Discharge: 1500 * dt}
	clear := 0.0
	for t := range n {
		hour := (float64(t%perDay) + 0.5) * dt
		if t%perDay == 0 {
			clear = min(1, 0.2+rng.Float64())
		}
		if x := (hour - 6) / 12; x > 0 && x < 1 {
			if dni := 0.85 * math.Sin(math.Pi*x) * clear * (0.7 + 0.3*rng.Float64()); dni > 0.25 {
				sun[t], sunStore[t] = 1800*dt*(0.72*dni-0.02), 1800*dt*(0.70*dni-0.03)
			}
		}
		p.Demand[t] = 150 * dt
		if t/perDay%7 < 6 && hour > 6 && hour < 22 {
			p.Demand[t] = (550 + 150*rng.Float64()) * dt
		}
		cap1[t], cap2[t], cost1[t], cost2[t] = 450*dt, 600*dt, 0.0575, 0.0625
		store.Keep[t], store.Standing[t] = math.Exp(-0.0011*dt), 5*dt
	}
	p.Fields = []Field{{Header: sun, Store: sunStore}}
	p.Sources = []Source{{cap1, cost1}, {cap2, cost2}}
	return p, store
}

// A repeated solve, from ever new sizes: schedule and prices, nothing allocated.
func BenchmarkSolve(b *testing.B) {
	for _, perDay := range []int{24, 96, 1440} {
		b.Run(fmt.Sprintf("steps=%d", 365*perDay), func(b *testing.B) {
			p, store := madeUp(365, perDay)
			s, err := New(p)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := s.Solve(context.Background(), store); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				store.Capacity = 900 + float64(i%10)*30
				i++
				if _, err := s.Solve(context.Background(), store); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkGrowth solves, in turn, a year of hours and one of minutes that were solved before. Metrics: how
// many times longer the minutes take, and that as a share of what n·log n would make of 60 times the steps.
func BenchmarkGrowth(b *testing.B) {
	var solvers []*Solver
	var stores []*Store
	for _, perDay := range []int{24, 1440} {
		p, store := madeUp(365, perDay)
		s, err := New(p)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.Solve(context.Background(), store); err != nil {
			b.Fatal(err)
		}
		solvers, stores = append(solvers, s), append(stores, store)
	}
	const turns = 20 // of the hours for one of the minutes
	var took [2]time.Duration
	b.ReportAllocs()
	for b.Loop() {
		for i, count := range []int{turns, 1} {
			begun := time.Now()
			for range count {
				if _, err := solvers[i].Solve(context.Background(), stores[i]); err != nil {
					b.Fatal(err)
				}
			}
			took[i] += time.Since(begun) / time.Duration(count)
		}
	}
	growth := float64(took[1]) / float64(took[0])
	few, many := 8760.0, 525600.0
	b.ReportMetric(growth, "times")
	b.ReportMetric(growth/(many*math.Log(many)/(few*math.Log(few))), "of-n-log-n")
}

func BenchmarkNew(b *testing.B) {
	p, _ := madeUp(365, 24)
	for b.Loop() {
		if _, err := New(p); err != nil {
			b.Fatal(err)
		}
	}
}
