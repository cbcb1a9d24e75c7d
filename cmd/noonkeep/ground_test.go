package main

import (
	"slices"
	"strings"
	"testing"
)

// onGround is the dyehouse on a yard that holds 30 dishes and six more.
func onGround(t *testing.T) string {
	return scenario(t, "dyehouse", "    header: main\n    cleanliness: 94 %",
		"    grid: {east: 15 m, north: 14 m, pattern: staggered}\n    ground: {width: 100 m, depth: 90 m}\n    header: main\n    cleanliness: 94 %")
}

func TestCheckTellsTheGround(t *testing.T) {
	t.Parallel()
	out := must(t, "check", onGround(t))
	for _, want := range []string{
		"GROUND OF FIELD DISHES", "36 places, 30 taken", "5 rows of 6, 15 m by 14 m, every other row set over",
		"neighbours shade", "15 m by 14 m            36 places", "shaded, as written", "shade shared out", "level ground", "dark hills",
	} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), strings.Join(strings.Fields(want), " ")) {
			t.Errorf("check does not say %q:\n%s", want, out)
		}
	}
	// Tighter: more places, less from each.
	at := strings.Index(out, "other spacings")
	if tight, wide := strings.Index(out[at:], "53 places"), strings.Index(out[at:], "4 places"); tight < 0 || wide < tight {
		t.Errorf("spacings do not go from 53 places to 4:\n%s", out[at:at+1500])
	}
	if plain := must(t, "check", "dyehouse"); strings.Contains(plain, "GROUND OF") || strings.Contains(plain, "neighbours shade") {
		t.Error("check tells the ground of a plant that has none")
	}
}

func TestSizeStopsAtTheGround(t *testing.T) {
	t.Parallel()
	path := onGround(t)
	if _, e, status := noonkeep(t, "size", path, "--over", "store,field", "--count", "37"); status != statusBadInput ||
		!strings.Contains(e, `field "dishes": the largest count is 37, and its ground holds 36; want at most so many (--count), or more ground`) {
		t.Errorf("37 dishes: status %d:\n%s", status, e)
	}
	if testing.Short() || underRace {
		t.Skip("solves a map")
	}
	m := mapOf(t, path, "--to", "24")
	if most := m.Counts[len(m.Counts)-1]; most != 36 {
		t.Errorf("the map goes to %g dishes; want the 36 that the ground holds", most)
	}
	if slices.Contains(m.Edge, "field") {
		t.Error("the map says that more dishes may save more, and the ground holds none")
	}
	// With the count of the scenario it is the scenario's curve, edges and all.
	c := curveOf(t, path, "--to", "24", "--step", "12")
	near(t, "30 dishes", m.row(t, 30)[slices.Index(m.Volumes, 12)], c.at(t, 12).VsBoilers, 1e-8)
}
