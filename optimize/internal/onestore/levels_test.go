package onestore

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// level solves a plant and reads the levels at the prices of its next boiler.
func level(t testing.TB, p Plant, store *Store) (levels, price []float64) {
	t.Helper()
	s, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Solve(context.Background(), store); err != nil {
		t.Fatal(err)
	}
	price = make([]float64, len(p.Demand))
	for i := range price {
		price[i], _ = s.NextCost(i)
	}
	levels, err = s.Levels(context.Background(), price)
	if err != nil {
		t.Fatal(err)
	}
	return levels, price
}

func flat(n int, x float64) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = x
	}
	return v
}

// Four steps, the third of them the dear evening: demand 10, half of the heat lost in each step.
func evening(cost ...float64) (Plant, *Store) {
	n := len(cost)
	return Plant{Demand: flat(n, 10), UnmetCost: 100, Sources: []Source{{flat(n, 20), cost}}},
		&Store{Capacity: 50, Keep: flat(n, 0.5), Standing: flat(n, 0), Charge: 100, Discharge: 100}
}

var levelTests = []struct {
	name, src string
	build     func() (Plant, *Store)
	want      []float64
}{
	{"dear evening", "by hand: 20 kWh at the end of step 1 are 10 in the evening, worth 3·0.5 > 1 each; what is more waits " +
		"for step 3 at 0.25. At the end of step 0 a kWh is worth 3·0.25 < 1", func() (Plant, *Store) {
		return evening(1, 1, 3, 1)
	}, []float64{0, 20, 0, 0}},
	{"very dear evening", "by hand: at the end of step 0, 40 kWh are the evening's 10 at 5·0.25 > 1", func() (Plant, *Store) {
		return evening(1, 1, 5, 1)
	}, []float64{40, 20, 0, 0}},
	{"standing loss", "by hand: in the evening the store saves the boiler 10 and the 2 that keep it warm: 12/0.5", func() (Plant, *Store) {
		p, s := evening(1, 1, 3, 1)
		s.Standing = []float64{0, 0, 2, 0}
		return p, s
	}, []float64{0, 24, 0, 0}},
	{"slow draw", "by hand: the evening can take 6: 6/0.5", func() (Plant, *Store) {
		p, s := evening(1, 1, 3, 1)
		s.Discharge = 6
		return p, s
	}, []float64{0, 12, 0, 0}},
	{"small store", "by hand: all of it is worth 1.5", func() (Plant, *Store) {
		p, s := evening(1, 1, 3, 1)
		s.Capacity = 15
		return p, s
	}, []float64{0, 15, 0, 0}},
	{"sun before the evening", "by hand: 5 kWh of sun come into the store, after its loss, in the evening itself: 5 fewer are wanted", func() (Plant, *Store) {
		p, s := evening(1, 1, 3, 1)
		p.Fields = []Field{{Header: []float64{0, 0, 5, 0}}}
		return p, s
	}, []float64{0, 10, 0, 0}},
	{"one price", "by hand: later is never worth more", func() (Plant, *Store) {
		return evening(1, 1, 1, 1)
	}, []float64{0, 0, 0, 0}},
	{"sun at noon", "by hand: step 1 has 30 of sun for 10 of demand, so that the next kWh of boiler heat would cost 1, " +
		"and the evening's is worth 1.5", func() (Plant, *Store) {
		p, s := evening(1, 1, 3, 1)
		p.Fields = []Field{{Header: []float64{0, 30, 0, 0}, Store: []float64{0, 30, 0, 0}}}
		return p, s
	}, []float64{0, 20, 0, 0}},
	{"second boiler", "by hand: in step 2 the second boiler gives the last 4 at 3: 4/0.5; the other 6 are worth 0.5", func() (Plant, *Store) {
		p, s := evening(1, 1, 1, 1)
		p.Sources[0].Cap = flat(4, 6)
		p.Sources = append(p.Sources, Source{flat(4, 10), flat(4, 3)})
		p.Demand = []float64{6, 6, 10, 6}
		return p, s
	}, []float64{0, 8, 0, 0}},
}

func TestLevels(t *testing.T) {
	t.Parallel()
	for _, tt := range levelTests {
		p, store := tt.build()
		got, _ := level(t, p, store)
		for i := range got {
			if math.Abs(got[i]-tt.want[i]) > 1e-9 {
				t.Errorf("%s: levels %v, want %v (%s)", tt.name, got, tt.want, tt.src)
				break
			}
		}
	}
}

func TestNextCost(t *testing.T) {
	t.Parallel()
	p := Plant{HeatCost: 0.5, UnmetCost: 9, Sources: []Source{{flat(7, 10), flat(7, 2)}, {flat(7, 5), flat(7, 1)}, {flat(7, 4), flat(7, 0.1)}},
		Demand: []float64{0, 3, 8, 12, 15, 23, 24},
		Fields: []Field{{Header: flat(7, 4)}}}
	want := []float64{0.1, 0.1, 1, 1, 2, 2, 9} // by hand: 4 at 0.1, then the sun's 4, 5 at 1, 10 at 2
	s, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range want {
		if got, enough := s.NextCost(i); got != w || enough != (w < 9) {
			t.Errorf("demand %g: next cost %g, %t; want %g (by hand)", p.Demand[i], got, enough, w)
		}
	}
}

func TestLevelsErrors(t *testing.T) {
	t.Parallel()
	p, store := evening(1, 1, 3, 1)
	s, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Levels(context.Background(), flat(4, 1)); err == nil {
		t.Error("levels before a solve: no error")
	}
	if _, err := s.Solve(context.Background(), store); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Levels(context.Background(), flat(3, 1)); err == nil {
		t.Error("three prices for four steps: no error")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := s.Levels(ctx, flat(4, 1)); err == nil {
		t.Error("cancelled: no error")
	}
}

// wholePlant is small, with all sizes whole numbers and keep 1 or a half: all corners of V are then
// whole numbers too, and going through all whole states finds V exactly.
func wholePlant(rng *rand.Rand) (Plant, *Store) {
	n := 1 + rng.IntN(6)
	series := func(most int) []float64 {
		v := make([]float64, n)
		for t := range v {
			v[t] = float64(rng.IntN(most + 1))
		}
		return v
	}
	some := func(v []float64, often float64) []float64 {
		for t := range v {
			if rng.Float64() > often {
				v[t] = 0
			}
		}
		return v
	}
	p := Plant{Demand: series(4), UnmetCost: 12, HeatCost: float64(rng.IntN(2)) * 0.25}
	for range 1 + rng.IntN(2) {
		cost := series(4)
		for t := range cost {
			cost[t]++
		}
		p.Sources = append(p.Sources, Source{series(4), cost})
	}
	if sun := some(series(4), 0.6); rng.IntN(4) > 0 {
		p.Fields = append(p.Fields, Field{Header: sun, Store: sun})
	}
	if rng.IntN(3) == 0 {
		p.Fields = append(p.Fields, Field{Store: some(series(3), 0.6)})
	}
	store := &Store{Capacity: float64(2 * (1 + rng.IntN(8))), Keep: flat(n, 1), Standing: some(series(2), 0.3),
		Charge: float64(1 + rng.IntN(6)), Discharge: float64(1 + rng.IntN(5))}
	for t := range store.Keep {
		if rng.IntN(3) == 0 {
			store.Keep[t] = 0.5
		}
	}
	if rng.IntN(3) == 0 {
		store.FromHeader = float64(1 + rng.IntN(2))
	}
	return p, store
}

// allGains is g of a step by going through all whole flows: the least cost by what the store gains.
func allGains(p *Plant, s *Store, t int) map[int]float64 {
	best := map[int]float64{}
	sun, alone := 0, 0
	for _, f := range p.Fields {
		if f.Header != nil {
			sun = int(f.Header[t])
		} else {
			alone = int(f.Store[t])
		}
	}
	boilers := func(need int) float64 { // by kWh, the cheapest first
		cost := 0.0
		used := make([]int, len(p.Sources))
		for range need {
			least, from := p.UnmetCost, -1
			for i, b := range p.Sources {
				if used[i] < int(b.Cap[t]) && b.Cost[t] < least {
					least, from = b.Cost[t], i
				}
			}
			if from >= 0 {
				used[from]++
			}
			cost += least
		}
		return cost
	}
	for into := 0; into <= sun; into++ {
		for direct := 0; direct+into <= sun; direct++ {
			for lone := 0; lone <= alone; lone++ {
				for take := 0; take <= int(s.FromHeader) && into+lone+take <= int(s.Charge); take++ {
					for warm := 0; warm <= int(s.Standing[t]); warm++ {
						for draw := 0; draw <= int(s.Discharge); draw++ {
							need := int(p.Demand[t]) + warm + take - direct - draw
							if need < 0 {
								continue
							}
							x := into + lone + take + warm - draw
							cost := boilers(need) + p.HeatCost*float64(into+direct+lone)
							if old, found := best[x]; !found || cost < old {
								best[x] = cost
							}
						}
					}
				}
			}
		}
	}
	return best
}

// walkBack is one step back through all whole states.
func walkBack(p *Plant, s *Store, t int, gains map[int]float64, v []float64) []float64 {
	q := int(s.Capacity)
	out := make([]float64, q+1)
	stride := 1
	if s.Keep[t] == 0.5 {
		stride = 2
	}
	for e := 0; e <= q; e += stride {
		z := e/stride - int(s.Standing[t])
		out[e] = math.Inf(1)
		for x, cost := range gains {
			if to := z + x; to >= 0 && to <= q {
				out[e] = min(out[e], cost+v[to])
			}
		}
	}
	if stride == 2 {
		for e := 1; e < q; e += 2 {
			out[e] = (out[e-1] + out[e+1]) / 2
		}
	}
	return out
}

// Levels are those that come of going through all states of many years, at any price.
func TestLevelsAgainstAllStates(t *testing.T) {
	t.Parallel()
	for i := range 1500 {
		rng := rand.New(rand.NewPCG(20260131, uint64(i)))
		p, store := wholePlant(rng)
		n, q := len(p.Demand), int(store.Capacity)
		gains := make([]map[int]float64, n)
		for step := range gains {
			gains[step] = allGains(&p, store, step)
		}
		v := make([]float64, q+1)
		values := make([][]float64, n)
		for range mostYears {
			for step := n - 1; step >= 0; step-- {
				values[step] = v
				v = walkBack(&p, store, step, gains[step], v)
			}
		}
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := s.Solve(context.Background(), store)
		if err != nil {
			t.Fatalf("plant %d: %v", i, err)
		}
		price := make([]float64, n)
		for step := range price {
			price[step] = []float64{0, 0.3, 1, 1.5, 2, 3.7, 6}[rng.IntN(7)]
		}
		levels, err := s.Levels(context.Background(), price)
		if err != nil {
			t.Fatalf("plant %d: %v", i, err)
		}
		for step := range price {
			want := 0
			for want < q && values[step][want]-values[step][want+1] > price[step]+1e-9 {
				want++
			}
			if math.Abs(levels[step]-float64(want)) > 1e-9 {
				t.Fatalf("plant %d, step %d: level %g at the price %g; all states give %d of %d\n%+v\n%+v\nplan %v",
					i, step, levels[step], price[step], want, q, p, *store, plan.Held)
			}
		}
	}
}

// The dearer the price, the lower the level; and the plan's own price of stored heat stands where the
// level says: above the price where less is held, below it where more is.
func TestLevelsAndThePlan(t *testing.T) {
	t.Parallel()
	p, store := madeUp(365, 24)
	s, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := s.Solve(context.Background(), store)
	if err != nil {
		t.Fatal(err)
	}
	held, worth := append([]float64(nil), plan.Held...), append([]float64(nil), plan.StorePrice...)
	var before []float64
	seen := 0
	for _, price := range []float64{0, 0.002, 0.03, 0.05, 0.0574, 0.06, 0.062, 0.07} {
		levels, err := s.Levels(context.Background(), flat(s.n, price))
		if err != nil {
			t.Fatal(err)
		}
		for i, l := range levels {
			if l < 0 || l > store.Capacity || before != nil && l > before[i]+1e-6 {
				t.Fatalf("step %d: level %g at the price %g; want 0 to %g and no more than at a lower price", i, l, price, store.Capacity)
			}
			if held[i+1] < l-1e-6 && worth[i] < price*(1-1e-9) || held[i+1] > l+1e-6 && worth[i] > price*(1+1e-9) {
				t.Fatalf("step %d: %g kWh held, worth %g each; the level at the price %g is %g", i, held[i+1], worth[i], price, l)
			}
			if l > 0 && l < store.Capacity {
				seen++
			}
		}
		before = levels
	}
	if seen < 1000 {
		t.Errorf("only %d levels lie inside the store; the test says little", seen)
	}
}

func BenchmarkLevels(b *testing.B) {
	p, store := madeUp(365, 24)
	s, err := New(p)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := s.Solve(context.Background(), store); err != nil {
		b.Fatal(err)
	}
	price := flat(s.n, 0.0575)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Levels(context.Background(), price); err != nil {
			b.Fatal(err)
		}
	}
}
