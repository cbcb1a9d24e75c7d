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
	for i := range *oneStoreCount {
		p := oddProblem(rand.New(rand.NewPCG(randomSeed, uint64(i))))
		switch err := agree(p); {
		case errors.Is(err, errRough):
			rough++
		case err != nil:
			t.Fatalf("problem %d of seed %d: %v", i, randomSeed, err)
		}
		if misfit(p) == "" {
			taken++
		}
	}
	t.Logf("%d of %d were for the one-store engine; in %d of them Clp's answer failed its proof", taken, *oneStoreCount, rough)
	if taken < *oneStoreCount/2 || rough > taken/1000 {
		t.Error("too few for the test to say much")
	}
}

// errRough says that the one-store engine proved its answer and Clp's failed: on very uneven numbers
// Clp's absolute tolerances are too wide.
var errRough = errors.New("the answer of Clp is too rough to be proven")

// agree solves a problem with both engines, if the one-store engine takes it.
func agree(p Problem) error {
	if misfit(p) != "" {
		return nil
	}
	s, proof, err := Plan(context.Background(), p, Options{Engine: EngineOneStore})
	c, clpProof, clpErr := Plan(context.Background(), p, Options{Engine: EngineClp})
	var short, clpShort *NoPlan
	if errors.As(err, &short) && errors.As(clpErr, &clpShort) {
		return nil
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
