package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The keys of `replay --json` and their order are a contract; its files say the same.
func TestReplayJSON(t *testing.T) {
	unraced(t)
	dir := filepath.Join(t.TempDir(), "out")
	out := must(t, "replay", "winery", "--volumes", "3", "--json", "--out", dir)
	at := 0
	for _, key := range []string{"promised_savings", "ways", "name", "annual_cost", "savings_vs_boilers_only", "unmet_kWh", "boiler_starts",
		"best_volume_m3", "bound", "gap", "mass_residual", "energy_residual"} {
		i := strings.Index(out[at:], `"`+key+`":`)
		if i < 0 {
			t.Fatalf("key %s is missing or out of order", key)
		}
		at += i
	}
	var r struct {
		Ways []struct {
			Name    string
			Cost    float64 `json:"annual_cost"`
			Savings float64 `json:"savings_vs_boilers_only"`
			StoreIn float64 `json:"sun_to_store_kWh"`
		}
		Bound, Gap                   float64
		MassResidual, EnergyResidual float64
		Baseline                     struct {
			Alone float64 `json:"boilers_only_cost"`
			None  float64 `json:"no_storage_cost"`
		}
	}
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Ways) != 5 {
		t.Fatalf("%d ways; want 5", len(r.Ways))
	}
	for _, w := range r.Ways {
		if w.Cost < r.Bound-1e-9*r.Bound || w.Cost > r.Baseline.None {
			t.Errorf("%s costs %g; want from the bound %g to no store %g", w.Name, w.Cost, r.Bound, r.Baseline.None)
		}
		near(t, w.Name+" saves", w.Savings, r.Baseline.Alone-w.Cost, 1e-9)
	}
	near(t, "gap", r.Gap, (r.Ways[0].Cost-r.Bound)/r.Ways[0].Cost, 1e-9)
	whole, err := os.ReadFile(filepath.Join(dir, "replay.json"))
	if err != nil || string(whole) != out {
		t.Errorf("replay.json is not what --json prints (%v)", err)
	}
	hours := csvColumns(t, filepath.Join(dir, "replay-hours-plain-rule.csv"))
	if n := len(hours["time"]); n != 8760 {
		t.Errorf("%d hours; want 8760", n)
	}
	near(t, "sun into the store", sumOf(t, hours["sun_to_store_kW"]), r.Ways[1].StoreIn, 1e-9)
	for _, name := range []string{"replay.svg", "replay.png", "replay-volumes.svg", "replay-volumes.png", "replay.csv", "replay-volumes.csv"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() < 100 {
			t.Errorf("%s: %v; want a file", name, err)
		}
	}
}

// Wrong flags and plants without a store are answered before anything is played.
func TestReplayRefuses(t *testing.T) {
	bare := filepath.Join(t.TempDir(), "bare.yaml")
	text := must(t, "starter", "winery")
	i := strings.Index(text, "\nstore:")
	j := i + 1 + strings.Index(text[i+1:], "\n\n")
	if err := os.WriteFile(bare, []byte(text[:i]+text[j:]), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"replay", "winery", "--step", "7s"}, "noonkeep: --step: is 7s; want 5s to 10m0s, a whole fraction of an hour\n"},
		{[]string{"replay", "winery", "--step", "1h"}, "noonkeep: --step: is 1h0m0s; want 5s to 10m0s, a whole fraction of an hour\n"},
		{[]string{"replay", "winery", "--volumes", "2"}, "noonkeep: --volumes: is 2; want 3 to 50, or 0 for none\n"},
		{[]string{"replay", "winery", "--volumes", "51"}, "noonkeep: --volumes: is 51; want 3 to 50, or 0 for none\n"},
		{[]string{"replay", bare}, "the scenario has no store; add a section `store`\n"},
	} {
		out, errs, status := noonkeep(t, c.args...)
		if status != statusBadInput || out != "" || !strings.HasSuffix(errs, c.want) {
			t.Errorf("%v: status %d, %q %q; want %q", c.args, status, out, errs, c.want)
		}
	}
}

func csvColumns(t *testing.T, path string) map[string][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cols := map[string][]string{}
	for j, name := range rows[0] {
		for _, row := range rows[1:] {
			cols[name] = append(cols[name], row[j])
		}
	}
	return cols
}

func sumOf(t *testing.T, cells []string) float64 {
	t.Helper()
	sum := 0.0
	for _, c := range cells {
		var v float64
		if err := json.Unmarshal([]byte(c), &v); err != nil || math.IsNaN(v) {
			t.Fatalf("%q: %v", c, err)
		}
		sum += v
	}
	return sum
}
