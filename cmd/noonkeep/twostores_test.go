package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// twoStores is a plant of two headers, three boilers, two fields and two stores: an accumulator between the pressures and a
// thermocline on the low one. Its weather is Tucson's typical year where that file is, else one generated.
const twoStores = `noonkeep: 1
name: two of each
site: {latitude: 32.167 deg, longitude: -110.883 deg, elevation: 809 m, utc_offset: -7 h}
weather: WEATHER
headers:
  - {name: high, pressure: 16 bar(g), condensate: {return: 70 %, flash_to: low}}
  - {name: low, pressure: 4 bar(g)}
loads:
  - {name: presses, header: high, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}
  - {name: kiers, header: low, steam: 1800 kg/h, when: "Mon-Fri 05:00-21:00"}
  - {name: batches, header: low, steam: 2500 kg/h, when: "Mon-Fri 07:00-09:00, 15:00-17:00"}
  - {name: heating, header: low, heat: 150 kW}
fuels:
  - {name: natural gas, price: 0.045 EUR/kWh, price_basis: net}
  - {name: diesel, price: 0.095 EUR/kWh}
boilers:
  - {name: B1, header: high, fuel: natural gas, capacity: 1800 kg/h, efficiency: 88 %}
  - {name: B2, header: high, fuel: diesel, capacity: 1200 kg/h, efficiency: 84 %}
  - {name: B3, header: low, fuel: natural gas, capacity: 1500 kg/h, efficiency: 86 %}
fields:
  - {name: dishes, header: high, collector: {kind: dish}, count: 20, aperture: 90 m2}
  - {name: troughs, header: low, collector: {kind: trough}, count: 12, aperture: 70 m2}
electricity: {price: 0.11 EUR/kWh}
stores:
  - {name: accumulator, vessel: flash, header: low, charged_from: high, working_pressure: 16 bar(g), steps: 0..60 m3, volume: 25 m3}
  - {name: tank, vessel: thermocline, header: low, working_pressure: 20 bar(g), volume: 40 m3}
`

func twoStoresFile(tb testing.TB) string {
	tb.Helper()
	weather := `{monthly: {ghi: [3.4, 4.4, 5.7, 7.1, 7.9, 8.1, 7.0, 6.5, 6.0, 4.9, 3.8, 3.2 kWh/m2d], air: [11, 12, 15, 19, 24, 29, 30, 29, 27, 21, 15, 11 degC]}, seed: 3}`
	if file, err := filepath.Abs(filepath.Join("..", "..", "..", "shared", "weather", "tucson-usa-tmy3.csv")); err == nil {
		if _, err := os.Stat(file); err == nil {
			weather = fmt.Sprintf("{file: %q}", file)
		} else {
			tb.Log("the shared weather files are not here: the year is generated")
		}
	}
	path := filepath.Join(tb.TempDir(), "two.yaml")
	if err := os.WriteFile(path, []byte(strings.Replace(twoStores, "WEATHER", weather, 1)), 0o600); err != nil {
		tb.Fatal(err)
	}
	return path
}

// twoStoresProblem is the plant at its volumes.
func twoStoresProblem(tb testing.TB) optimize.Problem {
	tb.Helper()
	c, err := scenarios.Load(twoStoresFile(tb))
	if err != nil {
		tb.Fatal(err)
	}
	p, err := answer.ProblemAt(c, -1)
	if err != nil {
		tb.Fatal(err)
	}
	if len(p.Headers) != 2 || len(p.Boilers) != 3 || len(p.Fields) != 2 || len(p.Stores) != 2 || p.N() != 8760 {
		tb.Fatalf("%d headers, %d boilers, %d fields, %d stores, %d steps", len(p.Headers), len(p.Boilers), len(p.Fields), len(p.Stores), p.N())
	}
	return p
}

// planned solves and proves it through Clp.
func planned(tb testing.TB, p optimize.Problem) float64 {
	tb.Helper()
	s, proof, err := optimize.Plan(context.Background(), p, optimize.Options{})
	if missing := (*optimize.NeedsClp)(nil); errors.As(err, &missing) {
		tb.Skip("this program was built without Clp")
	}
	if err != nil {
		tb.Fatal(err)
	}
	if !(proof.DualityGap < 1e-6) {
		tb.Fatalf("gap %g", proof.DualityGap)
	}
	return s.Cost
}

// elsewhere solves an exported program with a solver that is installed; false if it is not.
func elsewhere(tb testing.TB, name, mps string) (cost float64, ok bool) {
	tb.Helper()
	if _, err := exec.LookPath(name); err != nil {
		return 0, false
	}
	sol := mps + ".sol"
	cmd := map[string]*exec.Cmd{"clp": exec.Command("clp", mps, "-dualsimplex"), "glpsol": exec.Command("glpsol", "--freemps", mps, "-o", sol)}[name]
	out, err := cmd.CombinedOutput()
	if err != nil {
		tb.Fatalf("%s: %v\n%.2000s", name, err, out)
	}
	if name == "glpsol" {
		if out, err = os.ReadFile(sol); err != nil {
			tb.Fatal(err)
		}
	}
	m := annualCost.FindSubmatch(out)
	if m == nil {
		tb.Fatalf("%s printed no objective:\n%.2000s", name, out)
	}
	if cost, err = strconv.ParseFloat(string(m[1]), 64); err != nil {
		tb.Fatal(err)
	}
	return cost, true
}

func exported(tb testing.TB, p optimize.Problem) string {
	tb.Helper()
	mps := filepath.Join(tb.TempDir(), "two.mps")
	f, err := os.Create(mps)
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	if err := optimize.WriteMPS(f, p); err != nil {
		tb.Fatal(err)
	}
	return mps
}

// Clp's own program finds the cost that ours proves.
func TestTwoStoresSolvedElsewhere(t *testing.T) {
	unraced(t)
	if testing.Short() {
		t.Skip("a year of two stores")
	}
	t.Parallel()
	p := twoStoresProblem(t)
	start := time.Now()
	cost := planned(t, p)
	t.Logf("solved and proven in %.2f s", time.Since(start).Seconds())
	got, ok := elsewhere(t, "clp", exported(t, p))
	if !ok {
		t.Skip("clp is not on this machine")
	}
	near(t, "clp's own cost", got, cost, 1e-6)
}

// The year of two stores: ours, with the proof, against clp and glpsol on the exported program in the same run.
//
//	go test ./cmd/noonkeep -run '^$' -bench TwoStores -benchtime 1x
func BenchmarkTwoStores(b *testing.B) {
	p := twoStoresProblem(b)
	mps := exported(b, p)
	cost := 0.0
	b.Run("solver=noonkeep", func(b *testing.B) {
		for b.Loop() {
			cost = planned(b, p)
		}
	})
	for _, name := range []string{"clp", "glpsol"} {
		b.Run("solver="+name, func(b *testing.B) {
			for b.Loop() {
				got, ok := elsewhere(b, name, mps)
				if !ok {
					b.Skipf("%s is not on this machine", name)
				}
				if cost != 0 && (got-cost > 1e-6*cost || cost-got > 1e-6*cost) {
					b.Fatalf("%s finds %.9g, ours proves %.9g", name, got, cost)
				}
			}
		})
	}
}

// Commands over a plant of two stores: which is varied, what stands for each, and a slip in a name.
func TestTwoStoresInCommands(t *testing.T) {
	unraced(t)
	if testing.Short() {
		t.Skip("a curve of two stores")
	}
	t.Parallel()
	planned(t, twoStoresProblem(t)) // skips in a program without Clp
	path := twoStoresFile(t)
	if text, err := os.ReadFile(path); err != nil { // with boilers that carry the peak alone
		t.Fatal(err)
	} else if err := os.WriteFile(path, []byte(strings.Replace(string(text), "capacity: 1500 kg/h", "capacity: 3500 kg/h", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	columns, v := scheduleCSV(t, path, "--volume", "10")
	for _, want := range []string{"store accumulator in kW", "store accumulator out kW", "store tank stored kWh"} {
		if v[want] == nil {
			t.Fatalf("no column %q in %v", want, columns)
		}
	}
	for i, all := range v["store_out_kW"] {
		if sum := v["store accumulator out kW"][i] + v["store tank out kW"][i]; all-sum > 1e-6 || sum-all > 1e-6 {
			t.Fatalf("row %d: %g out of the stores, %g out of each", i, all, sum)
		}
		if all := v["stored_kWh"][i]; all-v["store accumulator stored kWh"][i]-v["store tank stored kWh"][i] > 1e-6 {
			t.Fatalf("row %d: %g kWh stored", i, all)
		}
	}
	text := strings.Join(strings.Fields(must(t, "curve", path, "--store", "tank", "--to", "40", "--step", "20", "--gap", "5")), " ")
	for _, want := range []string{"Volumes are of the store tank alone. accumulator (25 m³) is kept in all rows", "with the sun and without the store tank, "} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	_, errOut, status := noonkeep(t, "curve", path, "--store", "tnak")
	if status != statusBadInput || !strings.HasSuffix(strings.TrimSpace(errOut), `no store is called "tnak"; want accumulator or tank`) {
		t.Errorf("%d %s", status, errOut)
	}
}
