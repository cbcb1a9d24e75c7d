package answer

import (
	"context"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"noonkeep/scenarios"
)

// dyehouse reads the built-in dyehouse without its variants, with old/new pairs replaced and more put after it.
func dyehouse(t testing.TB, after string, pairs ...string) scenarios.Case {
	t.Helper()
	data, err := scenarios.Source("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	text, _, _ := strings.Cut(string(data), "\n# The same plant otherwise")
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("the dyehouse has no %q", pairs[i])
		}
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	c, err := scenarios.Parse("dyehouse.yaml", []byte(text+"\n"+after), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestBestVolume(t *testing.T) {
	t.Parallel()
	// Savings a V - b V²/2 with the slope a - b V: a m³ at the price p pays up to V = (a - p)/b.
	bowed := func(a, b float64, volumes ...float64) []Point {
		var points []Point
		for i, v := range volumes {
			p := Point{VolumeM3: v, SavingsVsNoStorage: a*v - b*v*v/2, MarginalSavingsPerM3: a - b*v}
			if i == 0 { // of no store: the mean up to the first volume, as Trace gives it
				p.MarginalSavingsPerM3 = a - b*volumes[1]/2
			}
			points = append(points, p)
		}
		return points
	}
	even := []float64{0, 1, 5, 20, 40, 60, 80}
	for _, c := range []struct {
		name   string
		points []Point
		price  float64
		want   float64
		edge   bool
		src    string
	}{
		{"between points", bowed(600, 10, even...), 93, 50.7, false, "(a - p)/b by hand"},
		{"at a point", bowed(600, 10, even...), 200, 40, false, "(a - p)/b by hand"},
		{"without a price", bowed(600, 10, even...), 0, 60, false, "a/b by hand"},
		{"past the end", bowed(600, 2, even...), 100, 80, true, "the slope at 80 m³ is 440"},
		{"too dear", bowed(600, 10, even...), 700, 0, false, "the first m³ saves 600"},
		{"nothing saved", []Point{{}, {VolumeM3: 10, SavingsVsNoStorage: -5, MarginalSavingsPerM3: -1}}, 0, 0, false, "savings fall from none on"},
		{"in the first stretch", bowed(600, 100, even...), 520, 1, false, "the slope at no store is a mean, so the proven point stands"},
	} {
		got, edge := bestVolume(c.points, c.price)
		if math.Abs(got-c.want) > 1e-9 || edge != c.edge {
			t.Errorf("%s: %g m³ (edge %v), want %g (%v): %s", c.name, got, edge, c.want, c.edge, c.src)
		}
	}
}

// Figures stand at the scenario's own volume, whether the curve has a point there or not.
func TestCompareStandsAtTheScenariosVolume(t *testing.T) {
	t.Parallel()
	unraced(t)
	c := dyehouse(t, "variants:\n- {name: odd size, change: {store: {volume: 41.7 m3}}}\n- {name: no tank, change: {store: {remove: yes}}}\n- {name: no sun, change: {fields: [{name: dishes, count: 0}]}}\n")
	cases, err := Variants(c)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Compare(context.Background(), cases, CompareOptions{ToM3: 60})
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range got.Cases {
		plan, err := PlanAt(context.Background(), cases[i].Case, -1, "")
		if err != nil {
			t.Fatal(err)
		}
		for what, v := range map[string][2]float64{
			"cost":    {x.AnnualCost, plan.AnnualCost},
			"fuel":    {x.FuelKWh, sum(plan.FuelKW)},
			"spilled": {x.SpilledSunKWh, sum(plan.SpilledSunKW)},
			"sun":     {x.SunToHeaderKWh, sum(plan.SunToHeaderKW)},
			"volume":  {x.VolumeM3, plan.VolumeM3},
			"savings": {x.SavingsVsBoilersOnly, x.BoilersOnlyCost - plan.AnnualCost},
		} {
			if math.Abs(v[0]-v[1]) > 1e-9*math.Max(1, math.Abs(v[1])) {
				t.Errorf("%s: %s is %.9g, the plan has %.9g", x.Name, what, v[0], v[1])
			}
		}
	}
	odd, none := got.Cases[1], got.Cases[2]
	if a, b := pointAt(t, got.Cases[0], 40), pointAt(t, got.Cases[0], 45); !(odd.AnnualCost < a.AnnualCost && odd.AnnualCost > b.AnnualCost) {
		t.Errorf("41.7 m³ cost %g, 40 and 45 m³ %g and %g", odd.AnnualCost, a.AnnualCost, b.AnnualCost)
	}
	if none.BestVolumeM3 != nil || len(none.Curve) != 0 || none.StoreOutKWh != 0 || math.Abs(none.AnnualCost-got.Cases[0].NoStorageCost) > 1e-6 {
		t.Errorf("without a tank: best %v, %d points, cost %g; want none, none, %g", none.BestVolumeM3, len(none.Curve), none.AnnualCost, got.Cases[0].NoStorageCost)
	}
	if sunless := got.Cases[3]; *sunless.BestVolumeM3 != 0 || sunless.SolarFraction > 1e-9 {
		t.Errorf("without sun: best %g m³, solar fraction %g", *sunless.BestVolumeM3, sunless.SolarFraction)
	}
}

func pointAt(t *testing.T, x Compared, m3 float64) Point {
	t.Helper()
	for _, p := range x.Curve {
		if p.VolumeM3 == m3 {
			return p
		}
	}
	t.Fatalf("%s has no point at %g m³", x.Name, m3)
	return Point{}
}

// The same plant twice differs in nothing, and a change that must help does.
func TestCompareDifferences(t *testing.T) {
	t.Parallel()
	unraced(t)
	c := dyehouse(t, `variants:
- {name: same but in name, change: {boilers: [{name: B1, minimum_fire: 20 %}]}}
- {name: cheaper gas, change: {fuels: [{name: natural gas, price: 0.040 EUR/kWh}]}}
- {name: half the load, change: {loads: [{name: "dye machines, day shifts", steam: 625 kg/h}, {name: "dye machines, night shift", steam: 250 kg/h}, {name: stenter and dryers, steam: 200 kg/h}, {name: space and tank heating, heat: 45 kW}]}}
`)
	cases, err := Variants(c)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Compare(context.Background(), cases, CompareOptions{ToM3: 40})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range got.Cases[1].Differences {
		if d.Was != d.Is || d.Worth {
			t.Errorf("the same plant: %s was %g and is %g", d.What, d.Was, d.Is)
		}
	}
	gas, half := got.Cases[2], got.Cases[3]
	if d, _ := gas.Difference("annual_cost"); !d.Worth || d.Is >= d.Was {
		t.Errorf("cheaper gas: %+v", d)
	}
	if d, _ := gas.Difference("demand_kWh"); d.Worth || math.Abs(d.Is-d.Was) > 1e-6 {
		t.Errorf("cheaper gas asks other heat: %+v", d)
	}
	if d, _ := half.Difference("demand_kWh"); !d.Worth || math.Abs(d.Is/d.Was-0.5) > 1e-9 {
		t.Errorf("half the load: %+v", d)
	}
	if got.Rule != RulePays || *half.StorePerM3 < 305 || *half.StorePerM3 > 306 { // 3000 EUR at 0.10185221, checks-heat.md 8.1
		t.Errorf("rule %q, a m³ at %g a year", got.Rule, *half.StorePerM3)
	}
}

// Without a price in one case, all are judged by what saves most.
func TestCompareOneRuleForAll(t *testing.T) {
	t.Parallel()
	c := dyehouse(t, "variants:\n- {name: no price, change: {store: {cost: {remove: [per_m3]}}}}\n")
	cases, err := Variants(c)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Compare(context.Background(), cases, CompareOptions{ToM3: 40})
	if err != nil {
		t.Fatal(err)
	}
	if got.Rule != RuleSaves || *got.Cases[0].BestVolumeM3 != 40 || !got.Cases[0].BestAtEdge {
		t.Errorf("rule %q, best %g", got.Rule, *got.Cases[0].BestVolumeM3)
	}
}

func TestCompareRefusesAndNotes(t *testing.T) {
	unraced(t)
	t.Parallel()
	c := dyehouse(t, "")
	other := dyehouse(t, "", "EUR", "USD")
	_, err := Compare(context.Background(), []Named{{"a", c}, {"b", other}}, CompareOptions{})
	if err == nil || err.Error() != "compare: a counts in EUR and b in USD; want one currency" {
		t.Error(err)
	}
	if _, err := Compare(context.Background(), []Named{{"a", c}}, CompareOptions{}); err == nil || err.Error() != "compare: there is one plant; want two or more" {
		t.Error(err)
	}
	leap := dyehouse(t, "", "year: 2026", "year: 2028", "shutdown: [2026-08-03..2026-08-16]", "shutdown: [2028-08-03..2028-08-16]", "step: 60 min", "step: 30 min")
	got, err := Compare(context.Background(), []Named{{"a", c}, {"b", leap}}, CompareOptions{ToM3: 20})
	want := []string{"a is of 2026 and b of 2028: other weekdays, and 365 days beside 366", "a has steps of 60 min and b of 30 min: longer steps hide peaks"}
	if err != nil || strings.Join(got.Notes, "|") != strings.Join(want, "|") {
		t.Errorf("%v %q", err, got.Notes)
	}
	short := dyehouse(t, "", "capacity: 2500 kg/h", "capacity: 500 kg/h")
	if _, err := Compare(context.Background(), []Named{{"a", c}, {"small boiler", short}}, CompareOptions{ToM3: 20}); err == nil || !strings.HasPrefix(err.Error(), "small boiler: ") || !strings.Contains(err.Error(), "short of heat") {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Compare(ctx, []Named{{"a", c}, {"b", c}}, CompareOptions{}); err != context.Canceled {
		t.Error(err)
	}
}

func TestNameApart(t *testing.T) {
	t.Parallel()
	got := NameApart([]scenarios.Case{{Name: "x", File: "a.yaml"}, {Name: "x", File: filepath.Join("b", "c.yaml")}, {Name: "y", File: "d.yaml"}, {Name: "x", File: "a.yaml"}})
	for i, want := range []string{"x (a)", "x (" + filepath.Join("b", "c") + ")", "y", "x (a), plant 4"} {
		if got[i].Name != want {
			t.Errorf("%q, want %q", got[i].Name, want)
		}
	}
}

// The volume that is read off the slopes nets no less than those near it, solved.
func TestBestVolumeIsBest(t *testing.T) {
	unraced(t)
	t.Parallel()
	c := dyehouse(t, "variants:\n- {name: dear tank, change: {store: {cost: {per_m3: 4000 EUR/m3}}}}\n")
	cases, err := Variants(c)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Compare(context.Background(), cases, CompareOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range got.Cases {
		net := func(m3 float64) float64 {
			plan, err := PlanAt(context.Background(), cases[i].Case, m3, "")
			if err != nil {
				t.Fatal(err)
			}
			return -plan.AnnualCost - *x.StorePerM3*m3
		}
		best := *x.BestVolumeM3
		if best < 10 || best > 110 {
			t.Fatalf("%s: %g m³ is no place to look around", x.Name, best)
		}
		here := net(best)
		for _, off := range []float64{-8, -3, -1, 1, 3, 8} {
			// The slopes are drawn straight between points 5 m³ apart: a few EUR a year may hide there.
			if there := net(best + off); there > here+5 {
				t.Errorf("%s: %.1f m³ nets %.1f EUR a year more than the best, %.1f m³", x.Name, best+off, there-here, best)
			}
		}
	}
	if !(*got.Cases[1].BestVolumeM3 < *got.Cases[0].BestVolumeM3) {
		t.Errorf("a dearer tank pays up to %g m³, a cheaper one to %g", *got.Cases[1].BestVolumeM3, *got.Cases[0].BestVolumeM3)
	}
}
