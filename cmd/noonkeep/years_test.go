package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The keys of `years --json` and their order are a contract.
func TestYearsJSON(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("whole years")
	}
	dir := filepath.Join(t.TempDir(), "out")
	out := must(t, "years", "dyehouse", "--seeds", "3", "--to", "20", "--unsure", "5 %", "--json", "--out", dir)
	at := 0
	for _, key := range []string{"scenario", "currency", "weather", "volume_m3", "years", "name", "own", "dni_kWh_m2", "ghi_kWh_m2", "annual_cost",
		"savings_vs_boilers_only", "savings_vs_no_storage", "solar_fraction", "fuel_kWh", "best_volume_m3", "spread", "dni_kWh_m2", "mean", "std_dev", "std_error",
		"least", "most", "p10", "p50", "p90", "p10_normal", "p90_normal", "volumes", "volume_m3", "savings_vs_no_storage", "best_volume_m3",
		"worst_year", "best_year", "p90_with_unsure", "years_left_out", "notes", "certified_gap", "proof", "estimator"} {
		i := strings.Index(out[at:], `"`+key+`":`)
		if i < 0 {
			t.Fatalf("key %s is missing or out of order", key)
		}
		at += i
	}
	var y struct {
		Years   []struct{ Name string }
		Volumes []struct {
			Volume  float64   `json:"volume_m3"`
			Savings []float64 `json:"savings_vs_no_storage_by_year"`
		}
	}
	if err := json.Unmarshal([]byte(out), &y); err != nil {
		t.Fatal(err)
	}
	if len(y.Years) != 3 || y.Years[0].Name != "seed 7" || len(y.Volumes) < 20 || y.Volumes[0].Volume != 0 {
		t.Errorf("years %v, %d volumes", y.Years, len(y.Volumes))
	}
	own := curveOf(t, "dyehouse", "--to", "20")
	for _, v := range y.Volumes {
		near(t, "savings", v.Savings[0], own.at(t, v.Volume).VsNone, 1e-9)
	}
	for name, want := range map[string]int{"years.csv": 1 + 3, "years-volumes.csv": 1 + len(y.Volumes)} {
		f, err := os.Open(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil || len(rows) != want {
			t.Errorf("%s: %d rows, %v; want %d", name, len(rows), err, want)
		}
	}
	whole, err := os.ReadFile(filepath.Join(dir, "years.json"))
	if err != nil || string(whole) != out {
		t.Errorf("years.json is not what --json prints (%v)", err)
	}
	for _, name := range []string{"years.svg", "years.png"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() < 4000 {
			t.Errorf("%s: %v; want a picture", name, err)
		}
	}
}

// The page says what its figures are, with and without enough years, and without a store.
func TestYearsText(t *testing.T) {
	unraced(t)
	t.Parallel()
	if testing.Short() {
		t.Skip("whole years")
	}
	for _, tt := range []struct {
		name string
		args []string
		want []string
		not  []string
	}{
		{"ten", []string{"dyehouse", "--seeds", "10", "--to", "20", "--unsure", "4"}, []string{"over boilers alone in half of them, and ", " in nine of ten.", "P90, P50, P10: exceeded in 9, 5 and 1 of 10 years",
			"Worst year: seed ", "With 4 % that weather data and model may be off besides", "differs less than real years do", "weather.monthly.between_years"}, []string{"P90*"}},
		{"three", []string{"dyehouse", "--seeds", "3", "--to", "20"}, []string{"P90*, P10*: mean less and plus 1.28 standard deviations", "unreliable", "3 years are too few for"}, []string{"in nine of ten", "may be off"}},
		{"two", []string{"dyehouse", "--seeds", "2", "--to", "20"}, []string{"lowest", "highest", "2 years are too few for"}, []string{"P90*", "P90,"}},
		{"no store", []string{withoutStore(t), "--seeds", "3"}, []string{"the sun saves ", "What differs from year to year\n"}, []string{"What a tank saves", "tank that"}},
	} {
		out := strings.Join(strings.Fields(must(t, append([]string{"years"}, tt.args...)...)), " ")
		for _, want := range tt.want {
			if !strings.Contains(out, strings.Join(strings.Fields(want), " ")) {
				t.Errorf("%s: does not say %q:\n%s", tt.name, want, out)
			}
		}
		for _, not := range tt.not {
			if strings.Contains(out, not) {
				t.Errorf("%s: says %q", tt.name, not)
			}
		}
	}
}

// withoutStore writes the dyehouse without its store into a file.
func withoutStore(t *testing.T) string {
	t.Helper()
	path := scenario(t, "dyehouse", "variants:", "variants:")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(text), "\nstore:")
	_, rest, _ = strings.Cut(rest, "\nmoney:")
	rest, _, _ = strings.Cut(rest, "\n# The same plant otherwise")
	if err := os.WriteFile(path, []byte(head+"\nmoney:"+rest), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestYearsBadUsage(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		args []string
		want string
	}{
		{"nothing", nil, "noonkeep: years: got 0 arguments; want one SCENARIO (see noonkeep years --help)\n"},
		{"one year", []string{"dyehouse", "--seeds", "1"}, "noonkeep: invalid argument \"1\" for \"--seeds\" flag: is \"1\"; want a whole number of years, 2 to 1000\n"},
		{"no number", []string{"dyehouse", "--seeds", "many"}, "noonkeep: invalid argument \"many\" for \"--seeds\" flag: is \"many\"; want a whole number of years, 2 to 1000\n"},
		{"too many", []string{"dyehouse", "--seeds", "5000"}, "noonkeep: invalid argument \"5000\" for \"--seeds\" flag: is \"5000\"; want a whole number of years, 2 to 1000\n"},
		{"unsure", []string{"dyehouse", "--unsure", "-3"}, "noonkeep: invalid argument \"-3\" for \"--unsure\" flag: is \"-3\"; want a percentage above 0, as 0.1 or \"0.1 %\"\n"},
		{"engine", []string{"dyehouse", "--seeds", "2", "--engine", "abacus"}, "noonkeep: seed 7: engine: is \"abacus\"; want clp or onestore\n"},
		{"no such scenario", []string{"dyehous"}, "noonkeep: dyehous: is neither a file nor a built-in example; nearest is \"dyehouse\"\n"},
	} {
		out, errOut, status := noonkeep(t, append([]string{"years"}, tt.args...)...)
		if status != statusBadInput || out != "" || errOut != tt.want {
			t.Errorf("%s: status %d, %q\n%s\nwant %s", tt.name, status, out, errOut, tt.want)
		}
	}
}

// A typical year is one year, whatever its file: it has no spread, and that is said.
func TestYearsOfOneFile(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("a whole year")
	}
	weather, err := filepath.Abs(filepath.Join("..", "..", "..", "shared", "weather", "tucson-usa-tmy3.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(weather); err != nil {
		t.Skip("the weather files for tests are not here")
	}
	path := scenario(t, "dyehouse", "latitude: 37.6 deg", "latitude: 32.167 deg", "longitude: 31.4 deg", "longitude: -110.883 deg", "utc_offset: +3 h", "utc_offset: -7 h",
		"elevation: 1010 m", "elevation: 809 m")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(text), "\nweather:")
	_, rest, _ = strings.Cut(rest, "\ntime:")
	if err := os.WriteFile(path, []byte(head+"\nweather: {file: "+weather+"}\n\ntime:"+rest), 0o600); err != nil {
		t.Fatal(err)
	}
	want := "noonkeep: " + path + ": weather: has one year, and one year has no spread; name files of several years, or give monthly means to generate them from\n"
	for _, args := range [][]string{{"years", path, "--to", "20"}, {"years", path, "--json", "--to", "20"}} {
		if out, errOut, status := noonkeep(t, args...); status != statusBadInput || out != "" || errOut != want {
			t.Errorf("%v: status %d, %q\n%s\nwant %s", args[2:], status, out, errOut, want)
		}
	}
	want = "noonkeep: " + path + ": weather: is measured, so there are no seeds to draw; every year of its files is solved\n"
	if _, errOut, status := noonkeep(t, "years", path, "--seeds", "5"); status != statusBadInput || errOut != want {
		t.Errorf("seeds: status %d\n%s\nwant %s", status, errOut, want)
	}
}
