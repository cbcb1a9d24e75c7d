package answer

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"regexp"
	"strings"
	"testing"

	"noonkeep/optimize"
	"noonkeep/optimize/replay"
	"noonkeep/scenarios"
)

// coarseReplay plays an example in steps of five minutes, at its own volume.
func coarseReplay(t *testing.T, c scenarios.Case) Replay {
	t.Helper()
	r, err := PlayYear(context.Background(), c, ReplayOptions{StepS: 300, Volumes: -1})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// yearLong leaves a test of many years out where time is short.
func yearLong(t *testing.T) {
	t.Helper()
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
	if testing.Short() {
		t.Skip("plays whole years")
	}
}

func example(t testing.TB, name string) scenarios.Case {
	t.Helper()
	c, err := scenarios.Load(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// On each built-in example: perfect sight >= rolling, guide line, plain rule >= no store, through the same physics; the mended plan
// is accepted; the gap is told; books close.
func TestReplayOfExamples(t *testing.T) {
	yearLong(t)
	t.Parallel()
	for _, name := range []string{"dyehouse", "cannery", "winery"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := coarseReplay(t, example(t, name))
			t.Logf("gap %.4f, promised %.0f, order %v", r.Gap, r.PromisedSavings, r.Order)
			if !r.Mending.Accepted || !(r.Gap > 0 && r.Gap < causesFrom) || len(r.Causes) > 0 {
				t.Errorf("mending %+v, gap %g, causes %v; want an accepted plan within 5 %% of the bound", r.Mending, r.Gap, r.Causes)
			}
			if r.MassResidual > 1e-9 || r.EnergyResidual > 1e-9 {
				t.Errorf("residuals %g and %g", r.MassResidual, r.EnergyResidual)
			}
			sight := r.Ways[len(r.Ways)-1]
			if sight.Name != WaySight || sight.AnnualCost != r.Bound {
				t.Fatalf("the last way is %+v", sight)
			}
			for _, w := range r.Ways {
				if w.AnnualCost < r.Bound || w.AnnualCost > r.Baseline.NoStorageCost || r.Baseline.NoStorageCost > r.Baseline.BoilersOnlyCost {
					t.Errorf("%s costs %.0f; want it between the bound of %.0f and no store's %.0f", w.Name, w.AnnualCost, r.Bound, r.Baseline.NoStorageCost)
				}
				if math.Abs(w.SavingsVsBoilersOnly+w.AnnualCost-r.Baseline.BoilersOnlyCost) > 1e-6 || w.UnmetKWh > 0 {
					t.Errorf("%s: %+v", w.Name, w)
				}
			}
			if rolling, rule := r.Ways[3].AnnualCost, r.Ways[1].AnnualCost; rolling > rule*(1+orderFrac) {
				t.Errorf("the rolling plan costs %.0f, the plain rule %.0f", rolling, rule)
			}
		})
	}
}

// Where two boilers cost differently the plan leans on the store's last kWh, and the physics refuses some of it at first.
func TestReplayMends(t *testing.T) {
	yearLong(t)
	t.Parallel()
	r, err := PlayYear(context.Background(), house(t), ReplayOptions{StepS: 600, Volumes: -1})
	if err != nil {
		t.Fatal(err)
	}
	rounds := r.Mending.Rounds
	first, last := rounds[0], rounds[len(rounds)-1]
	t.Logf("%+v", r.Mending)
	if !r.Mending.Accepted || first.RefusedH < 50 || !strings.Contains(first.Tightened, "hours with more loss") {
		t.Errorf("mending %+v; want hours refused at first and an accepted plan", r.Mending)
	}
	if last.RefusedH != 0 || last.RefusedKWh != 0 || last.Tightened != "" || last.Cost > first.Cost*1.01 {
		t.Errorf("the last round is %+v; want nothing refused, for less than 1 %% of the cost", last)
	}
	for _, w := range r.Ways[1:4] {
		if w.AnnualCost < r.Ways[0].AnnualCost {
			t.Errorf("%s costs %.0f, the mended plan %.0f", w.Name, w.AnnualCost, r.Ways[0].AnnualCost)
		}
	}
	if r.Ways[3].AnnualCost > r.Ways[1].AnnualCost-5000 {
		t.Errorf("the rolling plan costs %.0f, the rule %.0f; want the forecast to bring thousands", r.Ways[3].AnnualCost, r.Ways[1].AnnualCost)
	}
}

// The first keys are a contract, in this order.
func TestReplayKeys(t *testing.T) {
	t.Parallel()
	text, err := json.Marshal(Replay{Ways: []Way{{}}})
	if err != nil {
		t.Fatal(err)
	}
	want := regexp.MustCompile(`^\{"promised_savings":0,"ways":\[\{"name":"","annual_cost":0,"savings_vs_boilers_only":0,"unmet_kWh":0,` +
		`"boiler_starts":0,"best_volume_m3":0,.*\}\],"bound":0,"gap":0,"mass_residual":0,"energy_residual":0,`)
	if !want.Match(text) {
		t.Errorf("has keys %s", text)
	}
}

// The same scenario gives the same bytes, whichever goroutine was first.
func TestReplayIsTheSameTwice(t *testing.T) {
	yearLong(t)
	t.Parallel()
	var texts [2][]byte
	for i := range texts {
		r, err := PlayYear(context.Background(), house(t), ReplayOptions{StepS: 1800, Volumes: 3})
		if err != nil {
			t.Fatal(err)
		}
		if texts[i], err = json.Marshal(r); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(texts[0], texts[1]) {
		t.Error("two runs differ")
	}
}

// What a boiler's lowest fire and starts cost is measured, and told where the plan lies far over the bound.
func TestReplayCauses(t *testing.T) {
	yearLong(t)
	t.Parallel()
	c := house(t, "kg/h, efficiency: 85 %}\n  - {name: B2", "kg/h, efficiency: 85 %, minimum_fire: 45 %, start: {fuel: 100 kWh}}\n  - {name: B2")
	r, err := PlayYear(context.Background(), c, ReplayOptions{StepS: 600, Volumes: -1})
	if err != nil {
		t.Fatal(err)
	}
	if r.Gap <= causesFrom || len(r.Causes) < 3 || r.Causes[0].Name != "lowest fire of the boilers" {
		t.Fatalf("gap %.3f, causes %+v; want one over 5 %% for the lowest fire's sake", r.Gap, r.Causes)
	}
	total := 0.0
	for _, x := range r.Causes {
		t.Logf("%+v", x)
		total += x.Cost
	}
	if plan := r.Ways[0].AnnualCost; math.Abs(total-(plan-r.Bound)) > 1e-3*plan {
		t.Errorf("causes add up to %.0f; want plan less bound, %.0f", total, plan-r.Bound)
	}
	if !r.Program.OnOff || !strings.Contains(r.Method[WayPlan], "lowest fires") {
		t.Errorf("the plan does not keep to on and off: %+v", r.Program)
	}
}

// Fuel 100 kW for two hours at 0.05 and 0.07, 3 kWh missing at the dearest heat, 0.07·1.25 a kWh, 10 kWh of pumps at 0.1, 20 kWh
// less held at the end, and a take of 500 kWh, of which 300 are left at 0.02, beside fixed 7 and a field's 2.
func TestTariffByHand(t *testing.T) {
	t.Parallel()
	p := optimize.Problem{StepH: 0.5, FixedCost: 7, Headers: []optimize.Header{{DemandKW: make([]float64, 4)}},
		Fields:  []optimize.Field{{FixedCost: 2}},
		Boilers: []optimize.Boiler{{Pieces: []optimize.Piece{{CapacityKW: 1, FuelPerHeat: 1.25}}, FuelPrice: []float64{0.04, 0.06, 0.07, 0.07}}},
		Takes:   []optimize.Take{{Boilers: []int{0}, LeastKWh: 500, Price: 0.02}}}
	tariff := tariffOf(p, 0.1)
	played := &replay.Played{PumpKWh: 10, ContentKWh: -20,
		Series: replay.Series{FuelKW: [][]float64{{100, 100}}, UnmetKW: [][]float64{{3, 0}}}}
	want := 100*0.05 + 100*0.07 + 3*0.0875 + 10*0.1 + 20*0.0875 + 300*0.02 + 7 + 2
	if got := tariff.cost(played, []int{0}, true); math.Abs(got-want) > 1e-9 {
		t.Errorf("costs %g; want %g", got, want)
	}
}

// A parabola with its top at 37 m³ is found from sizes to either side; one that falls to the end has its best there.
func TestTopOfParabola(t *testing.T) {
	t.Parallel()
	grid := volumeGrid(120, 7)
	for i := range grid {
		v := grid[i].VolumeM3
		grid[i].Costs = []float64{(v - 37) * (v - 37), -v}
	}
	if len(grid) != 7 || grid[6].VolumeM3 != 120 {
		t.Fatalf("sizes %v", grid)
	}
	perM3 := func(price float64) func(float64) float64 { return func(m3 float64) float64 { return price * m3 } }
	if got := top(grid, 0, perM3(0)); math.Abs(got-37) > 1e-9 {
		t.Errorf("best at %g m³; want 37", got)
	}
	// 2 a m³ on top move it down by 1.
	if got := top(grid, 0, perM3(2)); math.Abs(got-36) > 1e-9 {
		t.Errorf("best at %g m³; want 36", got)
	}
	if got := top(grid, 1, perM3(0)); got != 120 {
		t.Errorf("best at %g m³; want the end", got)
	}
}

func TestReplayRefuses(t *testing.T) {
	t.Parallel()
	unraced(t)
	c := example(t, "dyehouse")
	for _, test := range []struct {
		opt  ReplayOptions
		want string
	}{
		{ReplayOptions{StepS: 7}, "step: is 7 s; want a whole part of an hour, no longer than the scenario's step"},
		{ReplayOptions{StepS: 7200}, "step: is 7200 s; want a whole part of an hour, no longer than the scenario's step"},
	} {
		if _, err := PlayYear(context.Background(), c, test.opt); err == nil || err.Error() != test.want {
			t.Errorf("says %v; want %s", err, test.want)
		}
	}
	c.Store, c.Stores = nil, nil
	if _, err := PlayYear(context.Background(), c, ReplayOptions{}); err == nil || !strings.Contains(err.Error(), ErrNoStore.Error()) {
		t.Errorf("says %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := PlayYear(ctx, example(t, "winery"), ReplayOptions{StepS: 600}); err == nil {
		t.Error("a cancelled replay gives an answer")
	}
}

// The whole of the dyehouse by the minute: five ways, seven sizes.
func BenchmarkReplay(b *testing.B) {
	c := example(b, "dyehouse")
	for b.Loop() {
		if _, err := PlayYear(context.Background(), c, ReplayOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
