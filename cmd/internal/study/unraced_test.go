package study

import "testing"

// unraced leaves a long test to the pass without the race detector, which `make test` makes of this package too.
func unraced(t *testing.T) {
	t.Helper()
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
}
