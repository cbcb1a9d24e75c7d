package desk

import "testing"

// BenchmarkModels is what a page works out of a case before any figure.
func BenchmarkModels(b *testing.B) {
	var t testing.T
	c, _ := starter(&t, "dyehouse")
	for b.Loop() {
		knobsOf(c, units{})
		weeksOf(c, 24)
	}
}
