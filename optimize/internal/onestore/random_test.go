package onestore

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
)

// chooser gives a number from 0 to n-1, at random or out of a fuzzer's bytes.
type chooser func(n int) int

func (c chooser) of(v ...float64) float64 { return v[c(len(v))] }

// fine is a number from 0 to 1.
func (c chooser) fine() float64 { return float64(c(256)) / 255 }

func (c chooser) series(n int, next func() float64) []float64 {
	v := make([]float64, n)
	for t := range v {
		v[t] = next()
	}
	return v
}

// plant has a few parts, with a chance of everything that the engine takes, and of much that is awkward: ties
// in price, nothing asked, limits of nothing, prices below nothing, keep of 0 and 1, stores far too large.
func (c chooser) plant(n int) (Plant, *Store) {
	cost := func() float64 { return c.of(1, 2, 2, 3, 1+3*c.fine()) }
	p := Plant{UnmetCost: c.of(50, 50, 2, 3), HeatCost: c.of(0, 0, 0.25, 1, 1.5)}
	most := c.of(0, 10, 10)
	p.Demand = c.series(n, func() float64 { return most * c.of(0, 1, 1, c.fine()) })
	for range c(4) {
		p.Sources = append(p.Sources, Source{c.series(n, func() float64 { return c.of(0, 3, 8, 20*c.fine()) }), c.series(n, cost)})
	}
	if c(6) == 0 {
		p.Vents = true
		for _, b := range p.Sources {
			b.Cost[c(n)] = c.of(-1, 0, -2*c.fine())
		}
	}
	for range c(4) {
		var f Field
		sun := func() float64 { return c.of(0, 5, 10, 30*c.fine()) }
		kind := c(4)
		if kind != 1 {
			f.Header = c.series(n, sun)
		}
		if kind != 0 {
			f.Store = c.series(n, sun)
		}
		if kind == 3 {
			for t, x := range f.Header {
				f.Store[t] = x * c.of(1, 0.9, 0.5, 2)
			}
		}
		p.Fields = append(p.Fields, f)
	}
	keep, standing := c.of(0, 0.5, 0.99, 1, 1), c.of(0, 0, 1, 15)
	s := &Store{Capacity: c.of(0, 1e-3, 10, 10, 30*c.fine(), 1e4), Charge: c.of(0, 6, 1e3), Discharge: c.of(0, 4, 1e3)}
	s.Keep = c.series(n, func() float64 { return keep * c.of(1, 1, 1-0.1*c.fine()) })
	s.Standing = c.series(n, func() float64 { return standing * c.of(0, 1, 1) })
	if c(3) == 0 {
		s.FromHeader = c.of(2, 100)
	}
	return p, s
}

const randomSeed = 20261125

// The engine's plan keeps every row and bound, and its prices prove it: no other solver is asked.
func TestRandomPlantsAreProven(t *testing.T) {
	t.Parallel()
	count := 30000
	if testing.Short() {
		count = 5000
	}
	taken, opened := 0, 0
	for i := range count {
		c := chooser(rand.New(rand.NewPCG(randomSeed, uint64(i))).IntN)
		n := 1 + c(12)
		if i%100 == 0 { // long enough for a pass to find nothing new and end early
			n = 100 + c(500)
		}
		p, store := c.plant(n)
		s, err := New(p)
		if err != nil {
			t.Fatalf("plant %d: %v", i, err)
		}
		plan, err := s.Solve(context.Background(), store)
		if err == ErrShape {
			continue
		}
		if err == nil {
			_, err = checked(p, store, plan)
		}
		if err != nil {
			t.Fatalf("plant %d of seed %d: %v\n%s", i, randomSeed, err, told(p, store))
		}
		taken++
		if s.opened() {
			opened++
		}
	}
	t.Logf("%d of %d plants taken, the year opened for %d", taken, count, opened)
	if taken < count*3/4 || opened < count/20 {
		t.Errorf("%d of %d taken, %d opened: too few for the test to say much", taken, count, opened)
	}
}

// Whatever the plant, a Solver that has solved it once asks for no more memory.
func TestRepeatedSolvesAllocateNothing(t *testing.T) {
	for name, capacities := range map[string][]float64{"forgets": {900, 1040, 1180}, "opened": {1e6, 2e6}} {
		p, store := madeUp(20, 24)
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		solveAll := func() {
			for _, q := range capacities {
				store.Capacity = q
				if _, err := s.Solve(context.Background(), store); err != nil {
					t.Fatal(err)
				}
			}
		}
		solveAll()
		if s.opened() != (name == "opened") {
			t.Fatalf("%s: the year was opened: %t", name, s.opened())
		}
		if n := testing.AllocsPerRun(10, solveAll); n != 0 {
			t.Errorf("%s: %g allocations in a repeated solve; want none", name, n)
		}
	}
}

// A Solver answers the same whatever it solved before.
func TestSolvesDoNotDependOnEarlierOnes(t *testing.T) {
	t.Parallel()
	for i := range 500 {
		c := chooser(rand.New(rand.NewPCG(randomSeed+1, uint64(i))).IntN)
		p, store := c.plant(1 + c(12))
		used, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range []float64{store.Capacity, 1e4, 5, 0, store.Capacity} {
			store.Capacity = q
			plan, err := used.Solve(context.Background(), store)
			if err == ErrShape {
				break
			}
			fresh, freshErr := solve(p, store)
			if err != nil || freshErr != nil {
				t.Fatalf("plant %d at %g: %v, %v", i, q, err, freshErr)
			}
			if got, want := fmt.Sprint(plan), fmt.Sprint(fresh.Plan); got != want {
				t.Fatalf("plant %d at %g: used solver\n%s\nfresh one\n%s", i, q, got, want)
			}
		}
	}
}

func FuzzSolve(f *testing.F) {
	f.Add([]byte{})
	for i := range 20 {
		rng := rand.New(rand.NewPCG(randomSeed, uint64(i)))
		seed := make([]byte, 200)
		for j := range seed {
			seed[j] = byte(rng.IntN(256))
		}
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, bytes []byte) {
		next := chooser(func(n int) int { // 0 once the bytes are used up
			if len(bytes) == 0 {
				return 0
			}
			b := int(bytes[0])
			bytes = bytes[1:]
			return b % n
		})
		p, store := next.plant(1 + next(12))
		if _, err := solve(p, store); err != nil && err != ErrShape {
			t.Fatalf("%v\n%s", err, told(p, store))
		}
	})
}
