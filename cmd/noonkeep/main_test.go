package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(tidied{m}, map[string]func(){"noonkeep": main, queueServerName: queueServerMain})
}

// tidied runs the tests and then what they left for the end, such as closing the browser that they share.
type tidied struct{ *testing.M }

var atEnd []func()

func (m tidied) Run() int {
	status := m.M.Run()
	for _, f := range atEnd {
		f()
	}
	return status
}

// TestScripts runs whole-program sessions: each block of testdata/script is what a
// person types, with what must come back on both streams and what must not be written. Under the race detector two of
// them are run, the rest in the pass without it: see unraced.
func TestScripts(t *testing.T) {
	p := testscript.Params{Dir: filepath.Join("testdata", "script"), RequireExplicitExec: true}
	if underRace {
		p.Files = []string{filepath.Join(p.Dir, "engineer.txtar"), filepath.Join(p.Dir, "errors.txtar")}
		p.Dir = ""
	}
	testscript.Run(t, p)
}

// noonkeep runs the program in this process and returns what it wrote and its exit status.
func noonkeep(t *testing.T, args ...string) (out, errOut string, status int) {
	t.Helper()
	var o, e bytes.Buffer
	status = run(context.Background(), args, streams{in: strings.NewReader(""), out: &o, err: &e})
	return o.String(), e.String(), status
}

// must runs the program and wants exit status 0.
func must(t *testing.T, args ...string) string {
	t.Helper()
	out, errOut, status := noonkeep(t, args...)
	if status != statusDone {
		t.Fatalf("noonkeep %s: exit status %d\n%s", strings.Join(args, " "), status, errOut)
	}
	return out
}

// scenario writes a scenario file made of a built-in one with old/new pairs replaced, and
// returns its path. Each old text must stand in it.
func scenario(t *testing.T, name string, pairs ...string) string {
	t.Helper()
	text := must(t, "starter", name)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%s has no %q to replace", name, pairs[i])
		}
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	path := filepath.Join(t.TempDir(), name+".yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// curveJSON is the contract of `curve --json`, read back by its keys alone.
type curveJSON struct {
	Scenario string  `json:"scenario"`
	Currency string  `json:"currency"`
	Engine   string  `json:"engine"`
	Steps    int     `json:"steps"`
	Gap      float64 `json:"certified_gap"`
	Baseline struct {
		BoilersOnly float64 `json:"boilers_only_cost"`
		NoStorage   float64 `json:"no_storage_cost"`
		FuelKWh     float64 `json:"boilers_only_fuel_kWh"`
	} `json:"baseline"`
	Points []pointJSON `json:"points"`
	Proof  struct {
		Primal float64 `json:"primal_residual"`
		Dual   float64 `json:"dual_residual"`
		Gap    float64 `json:"duality_gap"`
	} `json:"proof"`
}

type pointJSON struct {
	Volume    float64 `json:"volume_m3"`
	Cost      float64 `json:"annual_cost"`
	VsBoilers float64 `json:"savings_vs_boilers_only"`
	VsNone    float64 `json:"savings_vs_no_storage"`
	Marginal  float64 `json:"marginal_savings_per_m3"`
	Upper     float64 `json:"upper_bound"`
	Capacity  float64 `json:"capacity_kWh"`
	Solar     float64 `json:"solar_fraction"`
	Spilled   float64 `json:"spilled_sun_kWh"`
	Fuel      float64 `json:"fuel_kWh"`
	CO2       float64 `json:"co2_kg"`
	Unmet     float64 `json:"unmet_kWh"`
}

func curveOf(t *testing.T, args ...string) curveJSON {
	t.Helper()
	var c curveJSON
	if err := json.Unmarshal([]byte(must(t, append([]string{"curve", "--json"}, args...)...)), &c); err != nil {
		t.Fatal(err)
	}
	return c
}

// at finds the point of a volume.
func (c curveJSON) at(t *testing.T, volume float64) pointJSON {
	t.Helper()
	for _, p := range c.Points {
		if p.Volume == volume {
			return p
		}
	}
	t.Fatalf("the curve has no point at %g m³", volume)
	return pointJSON{}
}

// scheduleCSV is a schedule read back from its file: column name to values.
func scheduleCSV(t *testing.T, args ...string) (columns []string, values map[string][]float64) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "plan.csv")
	must(t, append([]string{"schedule", "--csv", path}, args...)...)
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	values = map[string][]float64{}
	for _, row := range rows[1:] {
		for j, name := range rows[0] {
			if name == "time" {
				continue
			}
			v, err := strconv.ParseFloat(row[j], 64)
			if err != nil {
				t.Fatalf("column %s: %v", name, err)
			}
			values[name] = append(values[name], v)
		}
	}
	return rows[0], values
}
