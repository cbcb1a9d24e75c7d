package desk

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"noonkeep/scenarios"
)

// starter reads a built-in example, its text changed by pairs of old and new words.
func starter(t *testing.T, name string, pairs ...string) (scenarios.Case, []byte) {
	t.Helper()
	src, err := scenarios.Source(name)
	if err != nil {
		t.Fatal(err)
	}
	text := string(src)
	for i := 0; i+1 < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%s has no %q", name, pairs[i])
		}
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	c, err := scenarios.Parse(name, []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c, []byte(text)
}

func knobNamed(t *testing.T, list []knob, key string) knob {
	t.Helper()
	for _, k := range list {
		if k.Key == key {
			return k
		}
	}
	t.Fatalf("no knob %s in %+v", key, list)
	return knob{}
}

// TestKnobsReadBack turns all knobs of an example to places of their sliders: the scenario then holds those numbers and
// is still right.
func TestKnobsReadBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	for _, s := range scenarios.Starters() {
		c, src := starter(t, s.Name)
		list := knobsOf(c, units{})
		for _, k := range list {
			if places := (k.Max - k.Min) / k.Step; !(places >= 20 && places <= mostSteps+1) {
				t.Errorf("%s %s: %g..%g by %g has %g places", s.Name, k.Key, k.Min, k.Max, k.Step, places)
			}
			if !onStep(k.Number-k.Min, k.Step) || k.Number < k.Min || k.Number > k.Max {
				t.Errorf("%s %s: %g is no place of %g..%g by %g", s.Name, k.Key, k.Number, k.Min, k.Max, k.Step)
			}
		}
		for _, share := range []float64{0, rng.Float64(), rng.Float64(), 1} {
			turnAll(t, s.Name, src, list, share)
		}
	}
}

// turnAll turns knobs to a share of their sliders' way.
func turnAll(t *testing.T, name string, src []byte, list []knob, share float64) {
	t.Helper()
	var set []scenarios.Setting
	numbers := map[string]float64{}
	for _, k := range list {
		place := math.Round(share * (k.Max - k.Min) / k.Step)
		if place == 0 && k.Min == 0 {
			place = 1 // no collectors, no volume and no price are other plants, not all of them right
		}
		number := k.Min + place*k.Step // as a slider reckons, with its dust
		numbers[k.Key] = number
		set = append(set, k.Setting(number, ""))
	}
	out, err := scenarios.Rewrite(name, src, set...)
	if err != nil {
		t.Fatalf("%s at %g: %v", name, share, err)
	}
	again, err := scenarios.Parse(name, out, nil)
	if err != nil {
		t.Fatalf("%s at %g: %v", name, share, err)
	}
	after := knobsOf(again, units{})
	for _, k := range list {
		got := knobNamed(t, after, k.Key)
		if math.Abs(got.Number-numbers[k.Key]) > 1e-9*k.Max || got.Unit != k.Unit || got.Missing {
			t.Errorf("%s %s: wrote %g %s, read %g %s from %q", name, k.Key, numbers[k.Key], k.Unit, got.Number, got.Unit, got.Written)
		}
	}
}

func TestKnobsOfDyehouse(t *testing.T) {
	c, _ := starter(t, "dyehouse")
	got := knobsOf(c, units{Pressure: barAbs})
	want := []knob{
		{Key: "fields[dishes].count", Group: "Sun", Label: "Collectors", Written: "30", Number: 30, Max: 60, Step: 1},
		{Key: "store.volume", Group: "Store", Label: "Volume", Written: "40 m3", Number: 40, Unit: "m3", Max: 120, Step: 2},
		// 18 bar over air of 0.898 bar: 1010 m by the US Standard Atmosphere 1976.
		{Key: "store.working_pressure", Group: "Store", Label: "Working pressure", Written: "18 bar(g)", Number: 18, Unit: "bar(g)", Min: 7, Max: 40, Step: 0.5, Also: "18.9\u00a0bar(a)"},
		{Key: "store.cost.per_m3", Group: "Store", Label: "Price of one more m³", Written: "3000 EUR/m3", Number: 3000, Unit: "EUR/m3", Max: 6000, Step: 100},
		{Key: "fuels[natural gas].price", Group: "Fuel", Label: "Price of natural gas", Written: "0.052 EUR/kWh", Number: 0.052, Unit: "EUR/kWh", Max: 0.12, Step: 0.002},
	}
	if len(got) != len(want) {
		t.Fatalf("got %d knobs, want %d: %+v", len(got), len(want), got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("got  %+v\nwant %+v", got[i], want[i])
		}
	}
}

// TestKnobsOddPlants has names in brackets, several fields, values left out and prices that no one number holds.
func TestKnobsOddPlants(t *testing.T) {
	c, src := starter(t, "dyehouse",
		"- name: dishes", `- name: "roof [2]"`, "  volume: 40 m3                 # what `schedule` plans with\n", "",
		"    per_m3: 3000 EUR/m3         # one more m3, in place; `compare` finds the volume that pays by it\n", "    table: [{volume: 10 m3, price: 40000 EUR}, {volume: 150 m3, price: 300000 EUR}]\n",
		"price: 0.052 EUR/kWh", "price: [52, 52, 50, 45, 42, 40, 40, 41, 43, 46, 50, 52 EUR/MWh]", "18 bar(g)", "1900 kPa(a)")
	list := knobsOf(c, units{})
	count := knobNamed(t, list, `fields["roof [2]"].count`)
	out, err := scenarios.Rewrite("x", src, count.Setting(36, ""))
	if err != nil || !strings.Contains(string(out), "count: 36\n") {
		t.Errorf("%v: %s", err, out)
	}
	if v := knobNamed(t, list, "store.volume"); !v.Missing || v.Number != 60 || !strings.Contains(v.Default, "60 m3") {
		t.Errorf("a volume left out is %+v; want 60 m3, the middle of 0..120", v)
	}
	for key, want := range map[string]string{
		"store.cost.per_m3":        "the vessel is priced by a table of prices; change it in the text",
		"fuels[natural gas].price": "its price goes by month; change the twelve values in the text",
	} {
		if k := knobNamed(t, list, key); k.Fixed != want {
			t.Errorf("%s: got %q, want %q", key, k.Fixed, want)
		}
	}
	p := knobNamed(t, list, "store.working_pressure")
	if p.Number != 1900 || p.Unit != "kPa(a)" || p.Also != "18.1\u00a0bar(g)" || p.Min != 800 || p.Max != 4000 {
		t.Errorf("got %+v", p)
	}
	if got := p.Setting(19, "bar(a)").Value; got != "19 bar(a)" {
		t.Errorf("got %q", got)
	}
}

// TestRoundRanges ends for any value: a step too fine once never came to an end.
func TestRoundRanges(t *testing.T) {
	for _, v := range []float64{0, 1e-9, 0.0523, 0.62, 1.1, 5, 7.5, 13, 59, 590, 123456.789, 1e15} {
		top := roundTop(v, 5)
		step := roundStepFor(v, top)
		if !(step > 0) || top/step < fewSteps/3 || top/step > mostSteps+1 {
			t.Errorf("%g: 0..%g by %g", v, top, step)
		}
		if v > 0 && v < 1e-8 {
			continue // under the smallest number that a scenario's price has
		}
		if v > 0 && !(top >= 2*v*(1-1e-9) && top <= 2.8*v) {
			t.Errorf("%g: ends at %g; want about twice", v, top)
		}
	}
	if roundStepFor(3, 0) != 1 || roundStepFor(3, math.Inf(1)) != 1 || roundStepFor(3, math.NaN()) != 1 {
		t.Error("a range of nothing has no step of 1")
	}
}

func TestSplitQuantity(t *testing.T) {
	for _, row := range []struct {
		s, unit string
		number  float64
		ok      bool
	}{
		{"40 m3", "m3", 40, true}, {"18bar(g)", "bar(g)", 18, true}, {"30", "", 30, true}, {"1.5e3 EUR/m3", "EUR/m3", 1500, true},
		{"52, 53 EUR/MWh", "", 0, false}, {"", "", 0, false}, {"many", "", 0, false},
	} {
		number, unit, ok := splitQuantity(row.s)
		if ok != row.ok || ok && (number != row.number || unit != row.unit) {
			t.Errorf("%q: got %g %q %v", row.s, number, unit, ok)
		}
	}
}

// TestKnobsOfSeveralStores has the varied one by its name.
func TestKnobsOfSeveralStores(t *testing.T) {
	src, _ := scenarios.Source("dyehouse")
	text, _, _ := strings.Cut(string(src), "# The same plant otherwise")
	before, store, _ := strings.Cut(text, "\nstore:\n")
	store, after, _ := strings.Cut(store, "\nmoney:\n")
	entry := func(name, s string) string {
		return "  - name: " + name + "\n    " + strings.ReplaceAll(strings.TrimSpace(s), "\n  ", "\n    ") + "\n"
	}
	second := "vessel: flash\n  volume: 25 m3\n  working_pressure: 12 bar(g)"
	text = before + "\nstores:\n" + entry("plain", second) + entry(`"tank [1]"`, store) + "\nmoney:\n" + after
	c, err := scenarios.Parse("x", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	k := knobNamed(t, knobsOf(c, units{}), `stores["tank [1]"].volume`)
	if k.Written != "40 m3" || k.Label != "Volume, tank [1]" {
		t.Errorf("got %+v", k)
	}
	list := knobsOf(c, units{})
	turnAll(t, "x", []byte(text), list, 0.6)
	if len(list) != 5 {
		t.Errorf("got %d knobs: %+v", len(list), list)
	}
}

// TestLowestWorking turns the pressure of each sort of vessel to its slider's ends: each holds heat there.
func TestLowestWorking(t *testing.T) {
	for _, row := range []struct {
		name  string
		pairs []string
	}{
		{"winery", nil},
		{"winery", []string{"vessel: exchanger", "vessel: thermocline\n  return: 120 degC"}},
		{"winery", []string{"20 bar(g)", "2.1 MPa(a)"}},
		{"cannery", []string{"20 bar(g)", "23.7 bar(a)"}},
	} {
		c, src := starter(t, row.name, row.pairs...)
		list := []knob{knobNamed(t, knobsOf(c, units{}), "store.working_pressure")}
		turnAll(t, row.name, src, list, 0)
		turnAll(t, row.name, src, list, 1)
	}
}
