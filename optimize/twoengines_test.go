//go:build cgo

package optimize

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

var oneStoreCount = flag.Int("onestore", 5000, "how many random problems both engines solve")

// Two engines of different making agree on every problem that both take, with proofs to 1e-9.
func TestTwoEnginesAgree(t *testing.T) {
	t.Parallel()
	taken, rough := 0, 0
	seen := map[string]int{}
	for i := range *oneStoreCount {
		p := oddOne(i)
		if misfit(p) != "" {
			continue
		}
		taken++
		for _, kind := range p.kinds() {
			seen[kind]++
		}
		switch err := agree(p); {
		case errors.Is(err, errRough):
			rough++
		case errors.Is(err, errShort):
			seen["refused by both"]++
		case err != nil:
			t.Fatalf("problem %d of seed %d: %v", i, randomSeed, err)
		}
	}
	for _, kind := range oddKinds {
		if seen[kind.name] == 0 {
			t.Errorf("%s: never seen", kind.name)
		}
	}
	if seen["refused by both"] == 0 {
		t.Error("no plant was refused")
	}
	t.Logf("seen: %v", seen)
	t.Logf("%d of %d were for the one-store engine; in %d of them Clp's answer failed its proof", taken, *oneStoreCount, rough)
	if taken < *oneStoreCount/2 || rough > taken/1000 {
		t.Error("too few for the test to say much")
	}
}

// oddOne is the i-th odd plant: some may not go short, some are a leap year long.
func oddOne(i int) Problem {
	rng := rand.New(rand.NewPCG(randomSeed, uint64(i)))
	var p Problem
	switch {
	case i%2500 == 2499:
		p = oddLeapYear(rng, 1)
	case i%250 == 249:
		p = oddLeapYear(rng, 24)
	default:
		p = oddProblem(rng)
	}
	if i%8 == 0 {
		p.Headers[0].UnmetPrice = 0
	}
	return p
}

// errShort says that both engines refuse a plant, as its header must go short by as much.
var errShort = errors.New("the header goes short")

// errRough says that the one-store engine proved its answer and Clp's failed: on very uneven numbers
// Clp's absolute tolerances are too wide.
var errRough = errors.New("the answer of Clp is too rough to be proven")

// agree solves a problem with both engines.
func agree(p Problem) error {
	s, proof, err := Plan(context.Background(), p, Options{Engine: EngineOneStore})
	c, clpProof, clpErr := Plan(context.Background(), p, Options{Engine: EngineClp})
	var short, clpShort *NoPlan
	if errors.As(err, &short) && errors.As(clpErr, &clpShort) {
		if off := math.Abs(short.TotalKWh - clpShort.TotalKWh); off > 1e-6*short.TotalKWh {
			return fmt.Errorf("onestore says %v; clp: %v", err, clpErr)
		}
		return errShort
	}
	if unproven := (*Unproven)(nil); err == nil && errors.As(clpErr, &unproven) {
		return errRough
	}
	if err != nil || clpErr != nil {
		return fmt.Errorf("onestore: %v; clp: %v", err, clpErr)
	}
	w := newWork(p)
	// A cost of next to nothing is right if it is next to nothing.
	scale := max(w.costScale(c.Cost), 1e-3*w.peakKW*w.dt*w.dearest*float64(w.n))
	// Where Clp's own answer is rougher than that, by its own proof, it can ask no more of the other.
	if off := math.Abs(s.Cost-c.Cost) / scale; !(off <= 1e-9+clpProof.DualityGap+clpProof.PrimalResidual) {
		return fmt.Errorf("onestore finds %.12g, clp %.12g, %.1e apart", s.Cost, c.Cost, off)
	}
	if gap := math.Abs(proof.Cost-proof.LowerBound) / scale; !(gap <= 1e-9 && proof.PrimalResidual <= 1e-9 && proof.DualResidual <= 1e-8) {
		return fmt.Errorf("proof %+v", proof)
	}
	return nil
}
