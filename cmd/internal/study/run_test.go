package study

import (
	"context"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/study/table"
	"noonkeep/scenarios"
)

// fetching gives a plan's own inputs.
func fetching(in Inputs) Fetch {
	return func(_ context.Context, hash string) ([]byte, error) {
		data, has := in[hash]
		if !has {
			return nil, errors.New("no such input")
		}
		return data, nil
	}
}

// bits is a row that can be compared: NaN equals NaN.
func bits(r table.Row) any {
	v := reflect.ValueOf(r)
	var out []any
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Float64 {
			out = append(out, math.Float64bits(f.Float()))
		} else {
			out = append(out, f.Interface())
		}
	}
	return out
}

const mixed = `noonkeep_study: 1
name: mixed
scenarios: [dyehouse, winery, cannery]
weather: {seeds: [1, 8]}
vary:
  - {key: store.volume, values: [10 m3, 45 m3]}
  - {key: time.holidays, values: ["[1 Jan]", "[1 Jan, 2 Jan]"]}
keep: []
`

// What a bench keeps between cases changes none of them: each is as a bench of its own solves it, and as the plant is when
// its whole text is read anew.
func TestCasesDoNotHangOnTheirNeighbours(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := planOf(t, t.TempDir(), mixed)
	kept := NewBench(p, fetching(in))
	for _, n := range []int64{0, 1, 5, 4, 9, 23, 22, 3, 0, 16, 12} {
		got, err := kept.Run(t.Context(), n)
		if err != nil || got.Error != "" {
			t.Fatalf("case %d: %v %s", n, err, got.Error)
		}
		alone, err := NewBench(p, fetching(in)).Run(t.Context(), n)
		if err != nil || !reflect.DeepEqual(bits(alone), bits(got)) {
			t.Errorf("case %d after others is\n%+v\nalone\n%+v, %v", n, got, alone, err)
		}
		c := p.Case(n)
		s := p.Scenarios[c.Scenario]
		text, err := scenarios.Rewrite(s.File, in[s.Text], p.Settings(c)...)
		if err != nil {
			t.Fatal(err)
		}
		plant, err := scenarios.Parse(s.File, text, nil)
		if err == nil {
			plant, err = plant.WithSeed(*s.Weather[c.Weather].Seed)
		}
		if err != nil {
			t.Fatal(err)
		}
		whole, err := answer.SolveCase(t.Context(), plant, answer.CaseOptions{})
		if err != nil || whole.AnnualCost != got.AnnualCost || whole.FuelKWh != got.FuelKWh || whole.NoStorageCost != got.NoStorageCost || whole.BoilersOnlyCost != got.BoilersOnlyCost {
			t.Errorf("case %d costs %v; read anew %v, %v", n, got.AnnualCost, whole.AnnualCost, err)
		}
	}
}

// A case gives what the commands give: the curve, its best volume, and what that earns.
func TestCaseIsWhatTheCommandsSay(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := planOf(t, t.TempDir(), "noonkeep_study: 1\nname: x\nscenarios: [dyehouse]\nkeep: [curve, size, worth]\n")
	row, err := NewBench(p, fetching(in)).Run(t.Context(), 0)
	if err != nil || row.Error != "" {
		t.Fatalf("%v %s", err, row.Error)
	}
	c := must(scenarios.Load("dyehouse"))
	a := must(answer.Make(t.Context(), c, answer.Options{}))
	if len(row.Curve) != len(a.Points) || row.NoStorageCost != a.Baseline.NoStorageCost || row.CertifiedGap != a.CertifiedGap {
		t.Fatalf("the row has %d points, %v without a store; want %d, %v", len(row.Curve), row.NoStorageCost, len(a.Points), a.Baseline.NoStorageCost)
	}
	for i, x := range a.Points {
		if got := row.Curve[i]; got.VolumeM3 != x.VolumeM3 || got.SavingsVsNoStorage != x.SavingsVsNoStorage || got.UpperBound != x.UpperBound {
			t.Errorf("point %d is %+v; want %+v", i, got, x)
		}
	}
	if !(row.NPV > 0 && row.PaybackA > 0 && row.IRR > 0 && row.BestVolumeM3 > 0 && row.BestAtEdge == 0) {
		t.Errorf("the best tank is %v m³ with %v, %v a, %v; the dyehouse's pays", row.BestVolumeM3, row.NPV, row.PaybackA, row.IRR)
	}
	if !math.IsNaN(row.ReplayPlanCost) {
		t.Errorf("replay was not kept, and its cost is %v", row.ReplayPlanCost)
	}
}

func TestCasesSetAside(t *testing.T) {
	t.Parallel()
	p, in := planOf(t, t.TempDir(), `noonkeep_study: 1
name: too small
scenarios: [dyehouse]
vary: [{key: "boilers[B1].capacity", values: [1 kg/h, 3000 kg/h]}, {key: "boilers[B1].efficiency", values: [0.8, 0.9]}]
keep: []
`)
	row, err := NewBench(p, fetching(in)).Run(t.Context(), 0)
	if err != nil || !strings.Contains(row.Error, "short of heat") || !math.IsNaN(row.AnnualCost) || row.Scenario == "" || row.Inputs[0] != "1 kg/h" {
		t.Errorf("a plant short of heat gives %+v, %v", row, err)
	}
	broken := func(context.Context, string) ([]byte, error) { panic("made up\nwith a stack") }
	row, err = NewBench(p, broken).Run(t.Context(), 1)
	if err != nil || row.Error != "a fault of the program: made up" {
		t.Errorf("a panic gives %q, %v; want a row with its first line", row.Error, err)
	}
	if _, err := NewBench(p, fetching(nil)).Run(t.Context(), 1); err == nil {
		t.Error("an input that is not there gives a row")
	}
	over, stop := context.WithCancel(t.Context())
	stop()
	if _, err := NewBench(p, fetching(in)).Run(over, 1); !errors.Is(err, context.Canceled) {
		t.Errorf("a case that is stopped gives %v; want the context's error", err)
	}
	if _, err := NewBench(p, fetching(in)).open(0)("other.csv"); err == nil {
		t.Error("a file that no scenario names is opened")
	}
}

// A year of a file in place of the scenario's weather.
func TestOtherWeatherFiles(t *testing.T) {
	unraced(t)
	t.Parallel()
	shared := "../../../../shared/weather"
	p, in, err := weatherPlan(shared)
	if errors.Is(err, errAbsent) {
		t.Skip("the weather files of ../shared/weather are absent")
	}
	if err != nil {
		t.Fatal(err)
	}
	bench := NewBench(p, fetching(in))
	seen := map[float64]bool{}
	for n := range p.N {
		row, err := bench.Run(t.Context(), n)
		if err != nil || row.Error != "" {
			t.Fatalf("case %d: %v %s", n, err, row.Error)
		}
		seen[row.AnnualCost] = true
	}
	if len(seen) != int(p.N) {
		t.Errorf("%d years cost %d sums; want each its own", p.N, len(seen))
	}
}

var errAbsent = errors.New("absent")

func weatherPlan(dir string) (Plan, Inputs, error) {
	f, err := Read("s.yaml", []byte("noonkeep_study: 1\nname: x\nscenarios: [dyehouse]\nweather: {files: [\"tucson*.epw\", \"po-valley*.epw\"]}\nkeep: []\n"))
	if err != nil {
		return Plan{}, nil, err
	}
	p, in, err := Make(f, beside(dir))
	if err != nil && strings.Contains(err.Error(), "no file is called so") {
		err = errAbsent
	}
	return p, in, err
}
