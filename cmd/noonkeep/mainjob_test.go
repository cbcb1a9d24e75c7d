package main

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// near fails unless got is within rel of want.
func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Max(math.Abs(want), 1)) {
		t.Errorf("%s: %.10g, want %.10g within %g", what, got, want, rel)
	}
}

func TestCurveKeepsItsPromises(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"dyehouse", "cannery", "winery"} {
		c := curveOf(t, name)
		if c.Steps != 8760 || c.Engine == "" || c.Currency == "" {
			t.Errorf("%s: steps %d, engine %q, currency %q", name, c.Steps, c.Engine, c.Currency)
		}
		if c.Points[0].Volume != 0 || len(c.Points) < 13 {
			t.Errorf("%s: %d points from %g m³; want at least 13 from 0", name, len(c.Points), c.Points[0].Volume)
		}
		near(t, name+": cost with no volume", c.Points[0].Cost, c.Baseline.NoStorage, 1e-9)
		if !(c.Gap > 0 && c.Gap <= 0.001) {
			t.Errorf("%s: certified gap %g, want at most 0.001", name, c.Gap)
		}
		if !(c.Proof.Primal <= 1e-6 && c.Proof.Dual <= 1e-6 && c.Proof.Gap <= 1e-6) {
			t.Errorf("%s: proof %+v, want every residual at most 1e-6", name, c.Proof)
		}
		for i, p := range c.Points {
			near(t, name+": saving and cost", p.Cost+p.VsNone, c.Baseline.NoStorage, 1e-9)
			near(t, name+": saving and cost", p.Cost+p.VsBoilers, c.Baseline.BoilersOnly, 1e-9)
			if i == 0 {
				continue
			}
			q := c.Points[i-1]
			if q.Upper < p.VsNone-1e-6*math.Abs(p.VsNone) {
				t.Errorf("%s: the bound %g at %g m³ lies below the next point's saving %g", name, q.Upper, q.Volume, p.VsNone)
			}
			if q.Marginal > 0 && p.Marginal > 0 && p.VsNone < q.VsNone {
				t.Errorf("%s: from %g to %g m³ the next m³ saves, and yet the saving falls", name, q.Volume, p.Volume)
			}
		}
	}
}

// The keys of `curve --json` and their order are a contract (design section 7).
func TestCurveJSONKeysAndOrder(t *testing.T) {
	t.Parallel()
	out := must(t, "curve", "dyehouse", "--json", "--to", "20", "--step", "20")
	at := 0
	for _, key := range []string{"scenario", "currency", "engine", "steps", "baseline", "boilers_only_cost", "no_storage_cost",
		"boilers_only_fuel_kWh", "points", "volume_m3", "annual_cost", "savings_vs_boilers_only", "savings_vs_no_storage",
		"marginal_savings_per_m3", "upper_bound", "capacity_kWh", "solar_fraction", "spilled_sun_kWh", "fuel_kWh", "co2_kg",
		"unmet_kWh", "certified_gap", "proof", "primal_residual", "dual_residual", "duality_gap"} {
		i := strings.Index(out[at:], `"`+key+`":`)
		if i < 0 {
			t.Fatalf("key %s is missing or out of order", key)
		}
		at += i
	}
}

func TestSlopesAreWhatTheNextCubicMetreSaves(t *testing.T) {
	unraced(t)
	t.Parallel()
	for _, v := range []float64{20, 50, 80} {
		args := func(to float64) []string {
			return []string{"dyehouse", "--to", strconv.FormatFloat(to, 'f', -1, 64), "--step", strconv.FormatFloat(to, 'f', -1, 64)}
		}
		const h = 0.25
		here := curveOf(t, args(v)...).at(t, v)
		less, more := curveOf(t, args(v-h)...).at(t, v-h), curveOf(t, args(v+h)...).at(t, v+h)
		left, right := (here.VsNone-less.VsNone)/h, (more.VsNone-here.VsNone)/h
		slack := 0.01 * math.Abs(left)
		if !(here.Marginal <= left+slack && here.Marginal >= right-slack) {
			t.Errorf("%g m³: the slope %g lies outside its neighbours' %g .. %g", v, here.Marginal, right, left)
		}
	}
}

var annualCost = regexp.MustCompile(`(?m)(?:Objective:.*= *|objective value +|Optimal - objective value +)(-?[0-9.e+]+)`)

// Two other solvers, run on the exported program, must find the curve's own cost.
func TestExportedProgramSolvedElsewhere(t *testing.T) {
	unraced(t)
	t.Parallel()
	c := curveOf(t, "dyehouse")
	for _, volume := range []float64{0, 40, 100} {
		mps := filepath.Join(t.TempDir(), "p.mps")
		must(t, "export", "dyehouse", "--volume", fmt.Sprint(volume), "--mps", mps)
		sol := mps + ".sol"
		for name, cmd := range map[string]*exec.Cmd{
			"glpsol": exec.Command("glpsol", "--freemps", mps, "-o", sol),
			"clp":    exec.Command("clp", mps, "-dualsimplex"),
		} {
			if _, err := exec.LookPath(name); err != nil {
				t.Logf("%s is not on this machine: this check is left out", name)
				continue
			}
			out, err := cmd.CombinedOutput()
			if err != nil {
				t.Fatalf("%s: %v\n%s", name, err, out)
			}
			if name == "glpsol" {
				if out, err = os.ReadFile(sol); err != nil {
					t.Fatal(err)
				}
			}
			m := annualCost.FindSubmatch(out)
			if m == nil {
				t.Fatalf("%s printed no objective:\n%.2000s", name, out)
			}
			got, err := strconv.ParseFloat(string(m[1]), 64)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("%s at %g m³", name, volume), got, c.at(t, volume).Cost, 1e-6)
		}
	}
}

// From the schedule file alone: balances close, limits hold, costs add up.
func TestScheduleFileStandsOnItsOwn(t *testing.T) {
	unraced(t)
	t.Parallel()
	for _, name := range []string{"dyehouse", "cannery", "winery"} {
		const volume = 40
		columns, v := scheduleCSV(t, name, "--volume", fmt.Sprint(volume))
		fixed := []string{"time", "demand_kW", "sun_to_header_kW", "sun_to_store_kW", "store_out_kW", "boiler_kW", "keep_warm_kW",
			"unmet_kW", "spilled_sun_kW", "stored_kWh", "fuel_kW", "cost"}
		if !slices.Equal(columns[:len(fixed)], fixed) {
			t.Fatalf("%s: columns %v, want to begin with %v", name, columns, fixed)
		}
		point := curveOf(t, name).at(t, volume)
		peak := slices.Max(v["demand_kW"])
		stored := v["stored_kWh"]
		before := stored[len(stored)-1] // the year repeats
		var cost, fuel, worstHeader, worstStore float64
		for i := range stored {
			in := v["sun_to_header_kW"][i] + v["store_out_kW"][i] + v["boiler_kW"][i] + v["unmet_kW"][i]
			worstHeader = max(worstHeader, math.Abs(in-v["demand_kW"][i]-v["keep_warm_kW"][i]))
			gain := v["sun_to_store_kW"][i] + v["keep_warm_kW"][i] - v["store_out_kW"][i] - v["store_loss_kW"][i]
			worstStore = max(worstStore, math.Abs(stored[i]-before-gain))
			before = stored[i]
			cost, fuel = cost+v["cost"][i], fuel+v["fuel_kW"][i]
			for _, column := range fixed[1:] {
				if column != "cost" && v[column][i] < -1e-6*peak {
					t.Fatalf("%s: %s is %g in row %d", name, column, v[column][i], i)
				}
			}
			if stored[i] > point.Capacity*(1+1e-9) {
				t.Fatalf("%s: %g kWh stored in row %d, the vessel holds %g", name, stored[i], i, point.Capacity)
			}
		}
		if !(worstHeader <= 1e-6*peak && worstStore <= 1e-6*peak) {
			t.Errorf("%s: balances are off by %g and %g kW of a peak of %g", name, worstHeader, worstStore, peak)
		}
		near(t, name+": cost of the rows", cost, point.Cost, 1e-6)
		near(t, name+": fuel of the rows", fuel, point.Fuel, 1e-6)
	}
}

func TestNoFieldIsBoilersAlone(t *testing.T) {
	t.Parallel()
	text := must(t, "starter", "dyehouse")
	before, rest, ok := strings.Cut(text, "\nfields:")
	if !ok {
		t.Fatal("the dyehouse has no fields")
	}
	_, after, ok := strings.Cut(rest, "\nstore:")
	if !ok {
		t.Fatal("the dyehouse's store does not follow its fields")
	}
	path := filepath.Join(t.TempDir(), "nofield.yaml")
	if err := os.WriteFile(path, []byte(before+"\nstore:"+after), 0o600); err != nil {
		t.Fatal(err)
	}
	c := curveOf(t, path)
	near(t, "cost with no field and no store", c.Points[0].Cost, c.Baseline.BoilersOnly, 1e-9)
	if last := c.Points[len(c.Points)-1]; last.VsNone > 0 || last.VsNone < -0.02*c.Baseline.BoilersOnly {
		t.Errorf("a tank with nothing to store saves %g; it can only cost its own loss", last.VsNone)
	}
}

func TestDoublingPricesDoublesSavings(t *testing.T) {
	unraced(t)
	t.Parallel()
	text := must(t, "starter", "dyehouse")
	doubled := regexp.MustCompile(`(price: *)([0-9.]+)( [A-Z]{3}/)`).ReplaceAllStringFunc(text, func(s string) string {
		m := regexp.MustCompile(`(price: *)([0-9.]+)( .*)`).FindStringSubmatch(s)
		v, err := strconv.ParseFloat(m[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		return m[1] + strconv.FormatFloat(2*v, 'g', -1, 64) + m[3]
	})
	if doubled == text {
		t.Fatal("no price found in the dyehouse")
	}
	path := filepath.Join(t.TempDir(), "double.yaml")
	if err := os.WriteFile(path, []byte(doubled), 0o600); err != nil {
		t.Fatal(err)
	}
	one, two := curveOf(t, "dyehouse"), curveOf(t, path)
	for _, p := range one.Points {
		if p.Volume == math.Trunc(p.Volume/20)*20 {
			near(t, fmt.Sprintf("saving at %g m³", p.Volume), two.at(t, p.Volume).VsNone, 2*p.VsNone, 1e-6)
		}
	}
}

// The same typical year in two formats (TMY3 and EPW of one station) must give one curve.
func TestTwoFormatsOfOneYearAgree(t *testing.T) {
	t.Parallel()
	dir, err := filepath.Abs(filepath.Join("..", "..", "..", "shared", "weather"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the shared weather files are not here")
	}
	var curves []curveJSON
	for _, file := range []string{"tucson-usa-tmy3.csv", "tucson-usa-tmy3.epw"} {
		curves = append(curves, curveOf(t, weatherScenario(t, filepath.Join(dir, file))))
	}
	for _, p := range curves[0].Points {
		for _, q := range curves[1].Points {
			if p.Volume == q.Volume && p.Volume > 0 {
				near(t, fmt.Sprintf("saving at %g m³", p.Volume), q.VsNone, p.VsNone, 0.005)
			}
		}
	}
}

// Ctrl-C stops a run within a second and leaves nothing, whichever engine is at work.
func TestInterruptStopsAtOnce(t *testing.T) {
	t.Parallel()
	for _, engine := range []string{"clp", "onestore"} {
		t.Run(engine, func(t *testing.T) { interrupt(t, engine) })
	}
}

func interrupt(t *testing.T, engine string) {
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	ctx, cancel := context.WithCancel(context.Background())
	var sent time.Time
	time.AfterFunc(150*time.Millisecond, func() { sent = time.Now(); cancel() })
	var e strings.Builder
	status := run(ctx, []string{"curve", "dyehouse", "--out", out, "--gap", "0.00001 %", "--engine", engine}, streams{in: strings.NewReader(""), out: &e, err: &e})
	if strings.Contains(e.String(), "not in this program") {
		t.Skip("this program was built without Clp")
	}
	if status != statusInterrupted {
		t.Fatalf("exit status %d, want %d\n%s", status, statusInterrupted, e.String())
	}
	t.Logf("stopped %v after the signal", time.Since(sent))
	if entries, _ := os.ReadDir(dir); len(entries) != 0 {
		t.Errorf("the interrupted run left %v", entries)
	}
}
