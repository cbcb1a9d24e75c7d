//go:build cgo

package optimize

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// Where only Clp takes a plant and its steps would take minutes, that is said; by name it is tried.
func TestTooManyStepsForClp(t *testing.T) {
	n := mostClpSteps + 1
	p := simple(flat(n, 1), flat(n, 1))
	p.Boilers[0].RampKW = 50
	_, _, err := Plan(context.Background(), p, Options{})
	var refused *NeedsClp
	if !errors.As(err, &refused) || refused.Steps != n || !strings.Contains(err.Error(), "has a ramp; and 60001 steps") {
		t.Errorf("error %v; want that %d steps are too many", err, n)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Plan(ctx, p, Options{Engine: EngineClp}); !errors.Is(err, context.Canceled) {
		t.Errorf("by name: error %v; want only that it was cancelled", err)
	}
	p.Boilers[0].RampKW = 0
	if _, _, err := Plan(context.Background(), p, Options{}); err != nil {
		t.Errorf("for the one-store engine: %v", err)
	}
}
