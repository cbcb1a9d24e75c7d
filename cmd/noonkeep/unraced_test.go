package main

import "testing"

// unraced leaves a test of whole years to the pass without the race detector, which `make test` makes of this
// package too: under the detector it takes ten times as long, and what it runs in parallel is watched by the tests of
// optimize and answer.
func unraced(t *testing.T) {
	t.Helper()
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
}
