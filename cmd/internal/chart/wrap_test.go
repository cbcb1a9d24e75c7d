package chart

import (
	"slices"
	"testing"

	"gonum.org/v1/plot/vg"
)

// TestWrapCutsNoWordForEvenness: lines are evened only as far as the longest word allows.
func TestWrapCutsNoWordForEvenness(t *testing.T) {
	t.Parallel()
	width := partFace.width("reducing") + 2
	if got, want := partFace.wrap("reducing valve", width, 2), []string{"reducing", "valve"}; !slices.Equal(got, want) {
		t.Errorf("wrapped into %q; want %q", got, want)
	}
	if got, want := partFace.wrap("no no no no", partFace.width("no no no"), 2), []string{"no no", "no no"}; !slices.Equal(got, want) {
		t.Errorf("wrapped into %q; want %q", got, want)
	}
}

func TestAtCommas(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		s     string
		width vg.Length
		want  []string
	}{
		{"at most 834 kW, 1 250 kg/h", 20, []string{"at most 834 kW,", "1 250 kg/h"}},
		{"at most 834 kW, 1 250 kg/h", 30, []string{"at most 834 kW, 1 250 kg/h"}},
		{"a, b; c", 4, []string{"a,", "b; c"}},
		{"one long figure without any", 4, []string{"one long figure without any"}},
		{"", 4, []string{""}},
	} {
		if got := atCommas(tt.s, func(s string) bool { return vg.Length(len(s)) <= tt.width }); !slices.Equal(got, tt.want) {
			t.Errorf("%q in %v: %q; want %q", tt.s, tt.width, got, tt.want)
		}
	}
}
