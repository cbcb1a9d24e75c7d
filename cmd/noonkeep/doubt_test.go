package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const doubtLines = `doubt:
  - {what: demand, times: 90..110 %, shape: triangular}
  - {what: fuel price, of: natural gas, times: 80..150 %, shape: triangular, mode: 110 %}
  - {what: weather, years: 2}

variants:`

// The keys of `doubt --json` and their order are a contract; the files hold the same figures, and from the cases anyone can
// work out the percentiles again.
func TestDoubtJSON(t *testing.T) {
	unraced(t)
	t.Parallel()
	if testing.Short() {
		t.Skip("whole years")
	}
	path := scenario(t, "dyehouse", "variants:", doubtLines)
	dir := filepath.Join(t.TempDir(), "out")
	out, errOut, status := noonkeep(t, "doubt", path, "--cases", "10", "--seed", "3", "--volume", "30", "--to", "60", "--json", "--out", dir)
	if status != statusDone || strings.Contains(errOut, "no section doubt") {
		t.Fatalf("status %d: %s", status, errOut)
	}
	at := 0
	for _, key := range []string{"scenario", "currency", "seed", "sampling", "volume_m3", "inputs_assumed", "inputs", "name", "says", "shape", "low", "median", "high",
		"mode", "at_low", "weather", "annual_cost", "boilers_only_cost", "savings_vs_boilers_only", "savings_vs_no_storage", "solar_fraction", "fuel_kWh", "co2_kg",
		"unmet_kWh", "best_volume_m3", "store_cost_per_m3_and_year", "at_high", "swing", "rank_correlation", "as_written", "middle", "spread", "savings_vs_boilers_only",
		"mean", "p10", "p50", "p90", "volumes", "volume_m3", "best_in_share", "within_1_percent_share", "mean_regret", "regret_p10", "largest_regret",
		"largest_regret_in_case", "best_volume_rule", "often_best_volume_m3", "least_regret_volume_m3", "best_at_edge", "cases", "case", "times",
		"savings_vs_no_storage_by_volume", "years_left_out", "notes", "engine", "engine_reason", "proof", "estimator"} {
		i := strings.Index(out[at:], `"`+key+`":`)
		if i < 0 {
			t.Fatalf("key %s is missing or out of order", key)
		}
		at += i
	}
	var d struct {
		Spread struct {
			Savings struct{ P90, P50, P10 float64 } `json:"savings_vs_boilers_only"`
		}
		Inputs  []struct{ Name string }
		Volumes []struct{}
	}
	if err := json.Unmarshal([]byte(out), &d); err != nil {
		t.Fatal(err)
	}
	rows := csvRows(t, filepath.Join(dir, "doubt.csv"))
	if len(rows) != 11 || rows[0][0] != "case" || !slices.Contains(rows[0], "demand") || !slices.Contains(rows[0], "fuel price of natural gas") || !slices.Contains(rows[0], "savings_vs_no_storage at 30 m3") {
		t.Fatalf("doubt.csv: %d rows, %v", len(rows), rows[0])
	}
	var saved []float64
	for _, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[slices.Index(rows[0], "savings_vs_boilers_only")], 64)
		if err != nil {
			t.Fatal(err)
		}
		saved = append(saved, v)
	}
	slices.Sort(saved)
	// Definition 6 of Hyndman and Fan with n = 10: p(n+1) is 1.1, 5.5 and 9.9, straight between the neighbours.
	near(t, "P90", d.Spread.Savings.P90, saved[0]+0.1*(saved[1]-saved[0]), 1e-9)
	near(t, "P50", d.Spread.Savings.P50, (saved[4]+saved[5])/2, 1e-9)
	near(t, "P10", d.Spread.Savings.P10, saved[8]+0.9*(saved[9]-saved[8]), 1e-9)
	if n := len(csvRows(t, filepath.Join(dir, "doubt-volumes.csv"))); n != 1+len(d.Volumes) {
		t.Errorf("doubt-volumes.csv: %d rows; want %d", n, 1+len(d.Volumes))
	}
	whole, err := os.ReadFile(filepath.Join(dir, "doubt.json"))
	if err != nil || string(whole) != out {
		t.Errorf("doubt.json is not what --json prints (%v)", err)
	}
	for _, name := range []string{"doubt.svg", "doubt.png", "doubt-causes.svg", "doubt-causes.png"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() < 4000 {
			t.Errorf("%s: %v; want a picture", name, err)
		}
	}
	checked := must(t, "check", path)
	for _, want := range []string{"WHAT IS UNSURE", "fuel price of natural gas", "80..150 %, triangular about 110 %", "2 generated years"} {
		if !strings.Contains(checked, want) {
			t.Errorf("check does not say %q", want)
		}
	}
}

func csvRows(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return rows
}

// The page says what its figures are; without a section what is assumed, in a warning too; without a store no tank.
func TestDoubtText(t *testing.T) {
	unraced(t)
	t.Parallel()
	if testing.Short() {
		t.Skip("whole years")
	}
	text := func(args ...string) (out, errOut string) {
		out, errOut, status := noonkeep(t, append([]string{"doubt"}, args...)...)
		if status != statusDone {
			t.Fatalf("%v: status %d: %s", args, status, errOut)
		}
		for line := range strings.Lines(out) {
			if len([]rune(strings.TrimRight(line, "\n"))) > 100 {
				t.Errorf("over 100 letters: %s", line)
			}
		}
		return strings.Join(strings.Fields(out), " "), errOut
	}
	says := func(what, out string, want ...string) {
		for _, w := range want {
			if !strings.Contains(out, w) {
				t.Errorf("%s: does not say %q:\n%s", what, w, out)
			}
		}
	}
	out, errOut := text("dyehouse", "--cases", "10", "--to", "30")
	says("assumed", errOut, "dyehouse.yaml: warning: has no section doubt, so usual ranges are taken, which have no source: demand 90..110 %, triangular about 100 %; ")
	says("assumed", out, "Over 10 cases of what is not known for sure, sun and a tank of 40 m³ save ", " over boilers alone in half of them, and ", " in nine of ten.",
		"80..120 %, triangular", "30 generated years", "A tank of ", "is as good as the best in the most cases", "is the best in every case (no regret)", "P90, P50, P10: exceeded in 9, 5 and 1 of 10 cases",
		"The scenario has no section doubt, so these ranges were taken, which are common practice and have no source: demand 90..110 %, triangular about 100 %;", "In 100.0 % of cases the largest tank asked for is the best")
	out, _ = text(withoutStore(t), "--cases", "10")
	says("no store", out, "the sun saves ", "How the 10 cases lie ")
	if strings.Contains(out, "tank") {
		t.Errorf("no store: speaks of a tank:\n%s", out)
	}
}

func TestDoubtBadUsage(t *testing.T) {
	t.Parallel()
	bad := func(line string) string {
		return scenario(t, "dyehouse", "variants:", "doubt:\n  - "+line+"\nvariants:")
	}
	reversed, unknown := bad("{what: demand, times: 110..90 %}"), bad("{what: fuel price, of: coal, times: 90..110 %}")
	for _, tt := range []struct {
		name string
		args []string
		want string
	}{
		{"nothing", nil, "noonkeep: doubt: got 0 arguments; want one SCENARIO (see noonkeep doubt --help)\n"},
		{"no cases", []string{"dyehouse", "--cases", "0"}, "noonkeep: invalid argument \"0\" for \"--cases\" flag: is \"0\"; want a whole number of cases, 10 to 10000\n"},
		{"too many", []string{"dyehouse", "--cases", "1000000"}, "noonkeep: invalid argument \"1000000\" for \"--cases\" flag: is \"1000000\"; want a whole number of cases, 10 to 10000\n"},
		{"no number", []string{"dyehouse", "--cases", "many"}, "noonkeep: invalid argument \"many\" for \"--cases\" flag: is \"many\"; want a whole number of cases, 10 to 10000\n"},
		{"seed", []string{"dyehouse", "--seed", "-1"}, "noonkeep: invalid argument \"-1\" for \"--seed\" flag: is \"-1\"; want a whole number from 0 up\n"},
		{"reversed", []string{reversed}, "noonkeep: " + reversed + ":110: doubt[1].times: \"110..90 %\" does not rise; want the smaller end first\n"},
		{"unknown fuel", []string{unknown}, "noonkeep: " + unknown + ":110: doubt[1].of: no fuel is called \"coal\"; want natural gas\n"},
		{"no such scenario", []string{"dyehous"}, "noonkeep: dyehous: is neither a file nor a built-in example; nearest is \"dyehouse\"\n"},
	} {
		out, errOut, status := noonkeep(t, append([]string{"doubt"}, tt.args...)...)
		if status != statusBadInput || out != "" || errOut != tt.want {
			t.Errorf("%s: status %d, %q\n%s\nwant %s", tt.name, status, out, errOut, tt.want)
		}
	}
}
