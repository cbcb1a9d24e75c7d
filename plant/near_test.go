package plant

import (
	"math"
	"testing"
)

// near fails unless got lies within tol of want. src says where want comes from, and must.
func near(t *testing.T, what string, got, want, tol float64, src string) {
	t.Helper()
	if src == "" {
		t.Fatalf("%s: this check names no source", what)
	}
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g (%s)", what, got, want, tol, src)
	}
}
