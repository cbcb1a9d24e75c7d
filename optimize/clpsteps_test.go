//go:build cgo

package optimize

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// Where Clp is needed or asked for and the steps would take it minutes, that is said.
func TestTooManyStepsForClp(t *testing.T) {
	n := mostClpSteps + 1
	p := simple(flat(n, 1), flat(n, 1))
	p.Boilers[0].RampKW = 50
	for engine, want := range map[string]string{"": "has a ramp), but 60001 steps", EngineClp: "asked for), but 60001 steps"} {
		_, _, err := Plan(context.Background(), p, Options{Engine: engine})
		var refused *NeedsClp
		if !errors.As(err, &refused) || refused.Steps != n || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v; want that %d steps are too many", err, n)
		}
	}
	p.Boilers[0].RampKW = 0
	if _, _, err := Plan(context.Background(), p, Options{}); err != nil {
		t.Errorf("for the one-store engine: %v", err)
	}
}
