package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

type cellJSON struct {
	Count   float64 `json:"count"`
	Volume  float64 `json:"volume_m3"`
	Savings float64 `json:"savings"`
}

// mapJSON is the contract of `size --over store,field --json`.
type mapJSON struct {
	Scenario  string      `json:"scenario"`
	Currency  string      `json:"currency"`
	Over      []string    `json:"over"`
	Field     string      `json:"field"`
	Counts    []float64   `json:"counts"`
	Volumes   []float64   `json:"volumes_m3"`
	VsBoilers [][]float64 `json:"savings_vs_boilers_only"`
	VsNone    [][]float64 `json:"savings_vs_no_storage"`
	Best      cellJSON    `json:"best"`
	Frontier  []cellJSON  `json:"frontier"`
	Edge      []string    `json:"best_at_edge"`
	Levels    []struct {
		Savings  float64  `json:"savings"`
		Fewest   cellJSON `json:"fewest_collectors"`
		Smallest cellJSON `json:"smallest_volume"`
	} `json:"levels"`
	Proof struct {
		Primal float64 `json:"primal_residual"`
		Dual   float64 `json:"dual_residual"`
		Gap    float64 `json:"duality_gap"`
	} `json:"proof"`
}

func mapOf(t *testing.T, args ...string) mapJSON {
	t.Helper()
	var m mapJSON
	if err := json.Unmarshal([]byte(must(t, append([]string{"size", "--over", "store,field", "--json"}, args...)...)), &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// dyehouseMap is solved once for all tests that read it.
var dyehouseMap = sync.OnceValues(func() (mapJSON, error) {
	var out, errOut strings.Builder
	if status := run(context.Background(), []string{"size", "dyehouse", "--over", "store,field", "--json"}, streams{in: strings.NewReader(""), out: &out, err: &errOut}); status != statusDone {
		return mapJSON{}, fmt.Errorf("status %d: %s", status, errOut.String())
	}
	var m mapJSON
	return m, json.Unmarshal([]byte(out.String()), &m)
})

func sharedMap(t *testing.T) mapJSON {
	t.Helper()
	m, err := dyehouseMap()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func (m mapJSON) row(t *testing.T, count float64) []float64 {
	t.Helper()
	i := slices.Index(m.Counts, count)
	if i < 0 {
		t.Fatalf("the map has no row of %g collectors: %v", count, m.Counts)
	}
	return m.VsBoilers[i]
}

func TestMapKeepsItsPromises(t *testing.T) {
	unraced(t)
	t.Parallel()
	m := sharedMap(t)
	if len(m.Counts) < 25 || len(m.Volumes) < 25 || m.Counts[0] != 0 || m.Volumes[0] != 0 || m.Volumes[len(m.Volumes)-1] != 120 || m.Counts[len(m.Counts)-1] != 60 {
		t.Fatalf("axes are %v and %v; want 25 or more from 0 to 60 and to 120", m.Counts, m.Volumes)
	}
	if !slices.Equal(m.Over, []string{"field", "store"}) || m.Field != "dishes" || m.Currency != "EUR" || m.Scenario == "" {
		t.Errorf("over %v, field %q, currency %q, scenario %q", m.Over, m.Field, m.Currency, m.Scenario)
	}
	if !(m.Proof.Primal <= 1e-6 && m.Proof.Dual <= 1e-6 && m.Proof.Gap <= 1e-6) {
		t.Errorf("proof %+v, want every residual at most 1e-6", m.Proof)
	}
	// A cell is the curve's point of a scenario with that count: same plant, same volume.
	for _, count := range []float64{0, 10, 30, 60} {
		path := scenario(t, "dyehouse", "count: 30", fmt.Sprintf("count: %g", count))
		c := curveOf(t, path)
		row := m.row(t, count)
		none := m.VsNone[slices.Index(m.Counts, count)]
		near(t, fmt.Sprintf("%g collectors, no store", count), row[0], c.Baseline.BoilersOnly-c.Baseline.NoStorage, 1e-9)
		for j, v := range m.Volumes {
			if v == 0 && none[j] != 0 {
				t.Errorf("%g collectors: no store saves %g against no store", count, none[j])
			}
			for _, p := range c.Points {
				if p.Volume == v {
					scale := c.Baseline.BoilersOnly // 1e-9 of the cost: a saving is a difference of two
					near(t, fmt.Sprintf("%g collectors, %g m³", count, v), row[j]/scale, p.VsBoilers/scale, 1e-9)
					near(t, fmt.Sprintf("%g collectors, %g m³ against none", count, v), none[j]/scale, p.VsNone/scale, 1e-9)
				}
			}
		}
	}
	picks(t, m)
}

// picks checks best, frontier and levels against the cells themselves.
func picks(t *testing.T, m mapJSON) {
	t.Helper()
	most := math.Inf(-1)
	for i, row := range m.VsBoilers {
		here := slices.Max(row)
		most = max(most, here)
		if f := m.Frontier[i]; f.Count != m.Counts[i] || f.Savings < here-1e-3 || f.Savings != row[slices.Index(m.Volumes, f.Volume)] {
			t.Errorf("frontier at %g: %+v; the row's best is %g", m.Counts[i], f, here)
		}
	}
	if m.Best.Savings != most || m.Best.Savings != m.row(t, m.Best.Count)[slices.Index(m.Volumes, m.Best.Volume)] {
		t.Errorf("best is %+v; the cells' best is %g", m.Best, most)
	}
	for _, l := range m.Levels {
		for i, row := range m.VsBoilers {
			for j, s := range row {
				if s >= l.Savings && (m.Counts[i] < l.Fewest.Count || m.Volumes[j] < l.Smallest.Volume) {
					t.Errorf("%g is saved by %g collectors and %g m³; the list has %+v and %+v", l.Savings, m.Counts[i], m.Volumes[j], l.Fewest, l.Smallest)
				}
			}
		}
		if l.Fewest.Savings < l.Savings || l.Smallest.Savings < l.Savings {
			t.Errorf("%g is not reached by %+v or %+v", l.Savings, l.Fewest, l.Smallest)
		}
	}
}

// The row of no collector is the plant without that field: nothing but boilers and the vessel's loss.
func TestMapWithNoCollectorIsThePlantWithoutTheField(t *testing.T) {
	unraced(t)
	t.Parallel()
	text := must(t, "starter", "dyehouse")
	before, rest, _ := strings.Cut(text, "\nfields:")
	_, after, ok := strings.Cut(rest, "\nstore:")
	if !ok {
		t.Fatal("the dyehouse's store does not follow its fields")
	}
	path := filepath.Join(t.TempDir(), "nofield.yaml")
	if err := os.WriteFile(path, []byte(before+"\nstore:"+after), 0o600); err != nil {
		t.Fatal(err)
	}
	c, m := curveOf(t, path), sharedMap(t)
	for j, v := range m.Volumes {
		p := c.at(t, v)
		near(t, fmt.Sprintf("no collector, %g m³", v), m.VsBoilers[0][j]/c.Baseline.BoilersOnly, p.VsBoilers/c.Baseline.BoilersOnly, 1e-9)
	}
}

// Few large collectors are sized in parts, by their area; two fields need a name.
func TestMapOfFewCollectorsAndOfOneFieldOfTwo(t *testing.T) {
	unraced(t)
	t.Parallel()
	if testing.Short() || underRace {
		t.Skip("solves two more maps")
	}
	whole := sharedMap(t)
	parts := mapOf(t, scenario(t, "dyehouse", "count: 30", "count: 3", "aperture: 90 m2 ", "aperture: 900 m2 "))
	if len(parts.Counts) < 25 || parts.Counts[1] >= 1 {
		t.Fatalf("counts are %v; want 25 or more from 0 to 6", parts.Counts)
	}
	for j := range whole.Volumes {
		near(t, "3 of 900 m² as 30 of 90 m²", parts.row(t, 3)[j], whole.row(t, 30)[j], 1e-9)
	}
	two := scenario(t, "dyehouse", "\nfields:\n", "\nfields:\n  - {name: roof, collector: {kind: dish}, count: 5, aperture: 90 m2, header: main, cleanliness: 94 %, availability: 97 %, pipe_loss: 4 %}\n")
	if _, e, status := noonkeep(t, "size", two, "--over", "store,field"); status != statusBadInput || !strings.Contains(e, "--field with roof or dishes") {
		t.Errorf("two fields and no name: status %d:\n%s", status, e)
	}
	if _, e, status := noonkeep(t, "size", two, "--over", "store,field", "--field", "yard"); status != statusBadInput || !strings.Contains(e, `"yard"; want roof or dishes`) {
		t.Errorf("a field that is not there: status %d:\n%s", status, e)
	}
	m := mapOf(t, two, "--field", "dishes", "--to", "24", "--count", "30")
	c := curveOf(t, two, "--to", "24", "--step", "12")
	near(t, "both fields", m.row(t, 30)[slices.Index(m.Volumes, 12)], c.at(t, 12).VsBoilers, 1e-8)
}

func TestMapFiles(t *testing.T) {
	unraced(t)
	t.Parallel()
	if underRace {
		t.Skip("solves one more map; the README's session writes its files too")
	}
	dir := t.TempDir()
	out := must(t, "size", "dyehouse", "--over", "field,store", "--count", "30", "--to", "60 m3", "--out", dir)
	for _, want := range []string{"save most", "edge of the map", "FOR EACH NUMBER OF COLLECTORS", "FOR EACH SAVING", "is not counted", "proven", "pressure code", "size.png"} {
		if !strings.Contains(out, want) {
			t.Errorf("the text does not say %q:\n%s", want, out)
		}
	}
	for line := range strings.Lines(out) {
		if n := len([]rune(line)); n > 110 && !strings.HasPrefix(line, "Written") {
			t.Errorf("a line has %d characters: %s", n, line)
		}
	}
	for _, name := range []string{"size.svg", "size.png", "size.json"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() < 1000 {
			t.Errorf("%s: %v", name, err)
		}
	}
	file, err := os.Open(filepath.Join(dir, "size.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil || len(rows) != 1+31*25 || strings.Join(rows[0], " ") != "count aperture_m2 volume_m3 savings_vs_boilers_only savings_vs_no_storage" {
		t.Errorf("size.csv: %v, %d rows under %v; want 31 × 25", err, len(rows)-1, rows[0])
	}
}

// The store alone: what is said of it is on the curve that `curve` draws.
func TestSizeOfTheStoreAlone(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{"dyehouse"}, {scenario(t, "winery", "count: 14", "count: 11")}} {
		var s struct {
			Over []string  `json:"over"`
			Best pointJSON `json:"best"`
			Half float64   `json:"half_m3"`
			Nine float64   `json:"nine_tenths_m3"`
			Near struct {
				From float64 `json:"from_m3"`
				To   float64 `json:"to_m3"`
			} `json:"within_1_percent"`
			Upper float64 `json:"upper_bound"`
			Edge  bool    `json:"best_at_edge"`
			To    float64 `json:"to_m3"`
		}
		if err := json.Unmarshal([]byte(must(t, append([]string{"size", "--json"}, args...)...)), &s); err != nil {
			t.Fatal(err)
		}
		c := curveOf(t, args...)
		best := slices.MaxFunc(c.Points, func(a, b pointJSON) int { return int(math.Copysign(1, a.VsNone-b.VsNone)) })
		if s.Best.Volume != best.Volume || s.Best.VsNone != best.VsNone || s.Edge != (s.Best.Volume == s.To) || !slices.Equal(s.Over, []string{"store"}) {
			t.Errorf("%v: best %+v at the edge %t; the curve's best is %+v", args, s.Best, s.Edge, best)
		}
		if !(0 < s.Half && s.Half < s.Nine && s.Nine < s.Near.From && s.Near.From <= s.Best.Volume && s.Best.Volume <= s.Near.To && s.Near.To <= s.To) {
			t.Errorf("%v: volumes out of order: %+v", args, s)
		}
		for _, p := range c.Points {
			if p.VsNone > s.Upper {
				t.Errorf("%v: %g m³ saves %g, more than the bound %g", args, p.Volume, p.VsNone, s.Upper)
			}
			inside := p.Volume >= s.Near.From && p.Volume <= s.Near.To
			if inside != (p.VsNone >= 0.99*best.VsNone) {
				t.Errorf("%v: %g m³ saves %g of %g, and the range is %g to %g", args, p.Volume, p.VsNone, best.VsNone, s.Near.From, s.Near.To)
			}
			if p.Volume < s.Half && p.VsNone > 0.5*best.VsNone || p.Volume < s.Nine && p.VsNone > 0.9*best.VsNone {
				t.Errorf("%v: %g m³ saves %g before half is said at %g, nine tenths at %g", args, p.Volume, p.VsNone, s.Half, s.Nine)
			}
		}
	}
}

func TestBadUsageOfSize(t *testing.T) {
	t.Parallel()
	text := must(t, "starter", "dyehouse")
	head, _, _ := strings.Cut(text, "\nstore:")
	_, money, _ := strings.Cut(text, "\nmoney:")
	noStore := filepath.Join(t.TempDir(), "nostore.yaml")
	before, rest, _ := strings.Cut(text, "\nfields:")
	_, store, _ := strings.Cut(rest, "\nelectricity:")
	noField := filepath.Join(t.TempDir(), "nofield.yaml")
	for path, s := range map[string]string{noStore: head + "\nmoney:" + money, noField: before + "\nelectricity:" + store} {
		if err := os.WriteFile(path, []byte(s), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	noCount := scenario(t, "dyehouse", "count: 30", "count: 0")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"dyehouse", "--over", "tank"}, `"tank"; want store or store,field`},
		{[]string{"dyehouse", "--over", "store,roof"}, `"store,roof"; want store or store,field`},
		{[]string{"dyehouse", "--over", "store,store"}, "want store or store,field"},
		{[]string{"dyehouse", "--over", ""}, "want store or store,field"},
		{[]string{"dyehouse", "--over", "field"}, "without the store"},
		{[]string{"dyehouse", "--over", "store,field", "--count", "NaN"}, "number above 0"},
		{[]string{"dyehouse", "--over", "store,field", "--count", "-3"}, "number above 0"},
		{[]string{"dyehouse", "--over", "store,field", "--count", "Inf"}, "number above 0"},
		{[]string{"dyehouse", "--over", "store,field", "--to", "NaN"}, "NaN"},
		{[]string{"dyehouse", "--over", "store,field", "--to", "-4"}, "-4"},
		{[]string{"dyehouse", "--to", "NaN"}, "NaN"},
		{[]string{"dyehouse", "--count", "20"}, "--over store,field"},
		{[]string{"dyehouse", "--field", "dishes"}, "--over store,field"},
		{[]string{"dyehouse", "--over", "store,field", "--engine", "magic"}, "clp or onestore"},
		{[]string{noStore}, "no store"},
		{[]string{noStore, "--over", "store,field"}, "no store"},
		{[]string{noField, "--over", "store,field"}, "no field"},
		{[]string{noCount, "--over", "store,field"}, "--count"},
		{[]string{}, "SCENARIO"},
	} {
		out, e, status := noonkeep(t, append([]string{"size"}, c.args...)...)
		if status != statusBadInput || !strings.Contains(e, c.want) || out != "" {
			t.Errorf("noonkeep size %v: status %d, want %d with %q:\n%s%s", c.args, status, statusBadInput, c.want, e, out)
		}
	}
}
