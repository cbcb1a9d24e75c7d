//go:build !cgo

package optimize

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// Without Clp, a plant that only Clp takes is refused with the reason, by each way in.
func TestPlantsForClpAreRefused(t *testing.T) {
	p, law := month()
	p.Boilers[0].RampKW = 50
	wants := func(what string, err error, why string) {
		t.Helper()
		var refused *NeedsClp
		if !errors.As(err, &refused) || !strings.Contains(refused.Why, why) || !strings.Contains(err.Error(), why) {
			t.Errorf("%s: error %v; want one that says %q", what, err, why)
		}
	}
	_, _, err := Plan(context.Background(), p, Options{})
	wants("Plan", err, `boiler "B1" has a ramp`)
	_, err = Trace(context.Background(), p, 0, law, Options{})
	wants("Trace", err, `boiler "B1" has a ramp`)
	_, _, err = Plan(context.Background(), p.Without(0), Options{Engine: EngineClp})
	wants("Clp by name", err, "asked for")
}
