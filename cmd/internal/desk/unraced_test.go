package desk

import "testing"

// unraced leaves a test of whole years to the pass without the race detector.
func unraced(t *testing.T) {
	t.Helper()
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
}
