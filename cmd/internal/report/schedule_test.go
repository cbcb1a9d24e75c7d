package report

import (
	"slices"
	"testing"
)

// Pictures of a week draw means of 5 min or more, of which an hour holds a whole number.
func TestPicturedSteps(t *testing.T) {
	for stepMin, want := range map[float64]int{60: 1, 30: 1, 15: 1, 5: 1, 4: 3, 3: 2, 2: 3, 1: 5} { // by hand: 60/(n step) is whole
		if got := pictured(stepMin / 60); got != want {
			t.Errorf("steps of %g min: %d drawn as one; want %d", stepMin, got, want)
		}
	}
	if got := meansOf([]float64{1, 3, 5, 9}, 2); !slices.Equal(got, []float64{2, 7}) {
		t.Errorf("means of pairs of 1 3 5 9: %v", got)
	}
	if meansOf(nil, 3) != nil {
		t.Error("nothing has means")
	}
}
