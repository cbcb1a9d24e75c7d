package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The keys of `compare --json` and their order are a contract, and so is that curves have the points of `curve --json`.
func TestCompareJSON(t *testing.T) {
	t.Parallel()
	path := scenario(t, "dyehouse", "Mon-Fri 07:00-12:00, 13:00-20:00", "Mon-Fri 08:00-20:00")
	out := must(t, "compare", path, "--json", "--to", "20")
	at := 0
	for _, key := range []string{"cases", "name", "annual_cost", "fuel_kWh", "co2_kg", "solar_fraction", "spilled_sun_kWh",
		"savings_vs_boilers_only", "best_volume_m3", "curve", "volume_m3", "annual_cost", "savings_vs_boilers_only"} {
		i := strings.Index(out[at:], `"`+key+`":`)
		if i < 0 {
			t.Fatalf("key %s is missing or out of order", key)
		}
		at += i
	}
	var c struct {
		Cases []struct {
			Name      string
			Cost      float64 `json:"annual_cost"`
			Savings   float64 `json:"savings_vs_boilers_only"`
			Fuel      float64 `json:"fuel_kWh"`
			Volume    float64 `json:"volume_m3"`
			Curve     []pointJSON
			Sentences []string
		}
	}
	if err := json.Unmarshal([]byte(out), &c); err != nil {
		t.Fatal(err)
	}
	names := []string{"dyehouse at Kuruova", "two shifts instead of three", "Sunday instead of Saturday", "dryers rest for an hour at noon", "night shift's work at 10:00"}
	if len(c.Cases) != len(names) {
		t.Fatalf("%d cases, want %d", len(c.Cases), len(names))
	}
	for i, x := range c.Cases {
		if x.Name != names[i] || x.Volume != 40 || len(x.Curve) < 3 || x.Curve[0].Volume != 0 || i > 0 && len(x.Sentences) == 0 {
			t.Errorf("case %d is %s at %g m³ with %d points and %q", i, x.Name, x.Volume, len(x.Curve), x.Sentences)
		}
	}
	// The plant itself has the figures of its own curve.
	alone := curveOf(t, path, "--to", "40", "--step", "40").at(t, 40)
	near(t, "cost", c.Cases[0].Cost, alone.Cost, 1e-9)
	near(t, "savings", c.Cases[0].Savings, alone.VsBoilers, 1e-9)
	near(t, "fuel", c.Cases[0].Fuel, alone.Fuel, 1e-9)
	own := curveOf(t, path, "--to", "20")
	near(t, "curve", c.Cases[0].Curve[len(c.Cases[0].Curve)-1].VsNone, own.at(t, 20).VsNone, 1e-9)
}

func TestCompareBadUsage(t *testing.T) {
	t.Parallel()
	plain := scenario(t, "dyehouse", "variants:", "# variants:") // leaves its entries behind as a fault
	text, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	before, _, _ := strings.Cut(string(text), "\n# variants:")
	if err := os.WriteFile(plain, []byte(before+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	foreign := filepath.Join(t.TempDir(), "foreign.yaml")
	if err := os.WriteFile(foreign, []byte(strings.ReplaceAll(before, "EUR", "USD")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	const night = "dye machines, night shift"
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "compare: got no argument; want one SCENARIO or more"},
		{[]string{plain}, "has no variants to compare; write some under `variants`, name a second scenario, or move a load with --shift"},
		{[]string{"dyehouse", foreign}, "counts in EUR and"},
		{[]string{"dyehouse", "cannery", "--shift", night + ":0..1h"}, "--shift and --try are of one SCENARIO; name one"},
		{[]string{"dyehouse", "-"}, "standard input can be read once, as the first SCENARIO"},
		{[]string{"dyehouse", "canery"}, `nearest is "cannery"`},
		{[]string{"dyehouse", "--shift", "night:-3h..3h"}, `no load is called "night"; nearest is "` + night + `"`},
		{[]string{"dyehouse", "--shift", night + ":3"}, `"3" is no range; want for example -3h..+3h`},
		{[]string{"dyehouse", "--shift", "space and tank heating:-1h..1h"}, "has no hours of its own, so there is nothing to move"},
		{[]string{"dyehouse", "--try", night + ":Mon 6-14"}, `"6" does not fit; want a time such as 06:00`},
		{[]string{"dyehouse", "--to", "-5"}, "-5"},
		{[]string{"dyehouse", "--engine", "magic"}, "want clp or onestore"},
	} {
		out, stderr, status := noonkeep(t, append([]string{"compare"}, c.args...)...)
		if status != statusBadInput || out != "" || !strings.Contains(stderr, c.want) {
			t.Errorf("compare %q: status %d, want %d with %q:\n%s", c.args, status, statusBadInput, c.want, stderr)
		}
	}
}
