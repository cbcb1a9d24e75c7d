package desk

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// curveOf makes up a curve whose figures are easy to work out: savings rise by 1000 a year up to 40 m³, and fall from there.
func curveOf(cost float64) answer.Answer {
	a := answer.Answer{Scenario: "made up", Currency: "EUR", DemandKWh: 5e6, Baseline: answer.Baseline{BoilersOnlyCost: 3e5, NoStorageCost: cost + 40000}}
	for _, p := range []struct{ m3, saved, slope float64 }{{0, 0, 1000}, {20, 20000, 1000}, {40, 40000, -100}, {80, 36000, -100}} {
		a.Points = append(a.Points, answer.Point{
			VolumeM3: p.m3, AnnualCost: cost + 40000 - p.saved, SavingsVsBoilersOnly: 3e5 - cost - 40000 + p.saved, SavingsVsNoStorage: p.saved,
			MarginalSavingsPerM3: p.slope, SolarFraction: 0.3, SpilledSunKWh: 2e5 - p.saved, FuelKWh: 4e6 - 10*p.saved, CO2Kg: 8e5 - 2*p.saved,
		})
	}
	return a
}

func figureNamed(t *testing.T, list []figure, key string) figure {
	t.Helper()
	i := slices.IndexFunc(list, func(f figure) bool { return f.Key == key })
	if i < 0 {
		t.Fatalf("no figure %s in %+v", key, list)
	}
	return list[i]
}

func TestChangedSentences(t *testing.T) {
	text := []byte("noonkeep: 1\nname: a\n")
	other := []byte("noonkeep: 1\nname: b\n")
	short := curveOf(200000)
	for i := range short.Points {
		short.Points[i].UnmetKWh = 12000
	}
	wide := curveOf(200000)
	wide.Points[3].SavingsVsNoStorage, wide.Points[3].MarginalSavingsPerM3 = 60000, 500
	usd := curveOf(200000)
	usd.Currency = "USD"
	was := seen{Text: text, Curve: curveOf(200000), VolumeM3: 40}
	for name, row := range map[string]struct {
		before, after seen
		want          string
	}{
		"nothing":         {was, was, "Nothing has changed."},
		"no difference":   {was, seen{Text: other, Curve: curveOf(200000), VolumeM3: 40}, "What was changed makes no difference worth telling."},
		"under the least": {was, seen{Text: other, Curve: curveOf(200900), VolumeM3: 40}, "What was changed makes no difference worth telling."},
		"dearer":          {was, seen{Text: other, Curve: curveOf(202000), VolumeM3: 40}, "The year costs 2\u202f000 EUR more (1.0 %)."},
		"other volume":    {was, seen{Text: text, Curve: curveOf(200000), VolumeM3: 30}, "The year costs 10\u202f000 EUR more (5.0 %)."},
		"larger":          {was, seen{Text: other, Curve: wide, VolumeM3: 40}, "The best volume rises from 40 m³ to 80 m³ or more."},
		"short of heat":   {was, seen{Text: other, Curve: short, VolumeM3: 40}, "12 MWh more of the heat is not met."},
		"failed": {was, seen{Text: other, Failed: "header \"main\": 212 h short of heat."},
			"This version has no answer: header \"main\": 212 h short of heat."},
		"was failed":  {seen{Text: other}, was, "The kept version has no answer; this one has."},
		"both failed": {seen{Text: other}, seen{Text: text, Failed: "no proof"}, "Neither version has an answer: no proof."},
		"currencies": {was, seen{Text: other, Curve: usd, VolumeM3: 40},
			"The kept version counts in EUR and this one in USD, so their figures are not set side by side."},
		"no scenario": {seen{Text: []byte("a: ["), Curve: curveOf(1), VolumeM3: 40}, was, ""},
	} {
		got := changedOf(row.before, row.after, units{})
		if name == "no scenario" {
			if !strings.HasPrefix(got.Sentence, "What is written otherwise cannot be told: ") {
				t.Errorf("%s: got %q", name, got.Sentence)
			}
			continue
		}
		if got.Sentence != row.want {
			t.Errorf("%s: got  %q\nwant %q", name, got.Sentence, row.want)
		}
	}
}

// TestChangedFigures works the figures out by hand: half way between 20 and 40 m³, and at 40 m³.
func TestChangedFigures(t *testing.T) {
	steam := 2000.0
	before := seen{Text: []byte("noonkeep: 1\n"), Curve: curveOf(200000), VolumeM3: 30, HeatKJKg: steam}
	after := before
	after.VolumeM3 = 40
	got := changedOf(before, after, units{Energy: unitT})
	for _, want := range []figure{
		{"volume_m3", "Tank shown", "m³", "30", "40", "+10", true},
		{"best_volume_m3", "Best volume", "m³", "40", "40", "0", false},
		{"fuel_kWh", "Fuel", "MWh/a", "3\u202f700", "3\u202f600", "−100", true},
		{"annual_cost", "Cost of the year", "EUR/a", "210\u202f000", "200\u202f000", "−10\u202f000", true},
		{"co2_kg", "CO₂", "t/a", "740", "720", "−20.0", true},
		{"savings_vs_boilers_only", "Saved against boilers alone", "EUR/a", "90\u202f000", "100\u202f000", "+10\u202f000", true},
		{"savings_vs_no_storage", "Saved against no store", "EUR/a", "30\u202f000", "40\u202f000", "+10\u202f000", true},
		{"solar_fraction", "Heat without boilers", "%", "30.0", "30.0", "0", false},
		// 170 and 160 MWh of 2000 kJ/kg: 1.8 t each.
		{"spilled_sun_kWh", "Sun with no use", "t/a of steam", "306", "288", "−18.0", false},
	} {
		if f := figureNamed(t, got.Figures, want.Key); f != want {
			t.Errorf("got  %+v\nwant %+v", f, want)
		}
	}
	if len(got.Figures) != 9 {
		t.Errorf("got %d figures: %+v", len(got.Figures), got.Figures)
	}
}

// TestChangedOfDyehouse solves an example twice, with money and one change.
func TestChangedOfDyehouse(t *testing.T) {
	var both []seen
	c, src := starter(t, "dyehouse")
	out, err := scenarios.Rewrite("dyehouse", src, knobNamed(t, knobsOf(c, units{}), "fields[dishes].count").Setting(15, ""),
		scenarios.Setting{Key: "loads[stenter and dryers]", Remove: true}, scenarios.Setting{Key: "time.summer_time", Value: "none"})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range [][]byte{src, out} {
		c, err := scenarios.Parse("dyehouse", text, nil)
		if err != nil {
			t.Fatal(err)
		}
		a, err := answer.Make(context.Background(), c, answer.Options{StepM3: 20, GapFrac: 0.02})
		if err != nil {
			t.Fatal(err)
		}
		if a, err = a.WithMoney(c); err != nil {
			t.Fatal(err)
		}
		both = append(both, seen{Text: text, Curve: a, VolumeM3: 40})
	}
	got := changedOf(both[0], both[1], units{})
	var texts []string
	for _, e := range got.Edits {
		texts = append(texts, e.Text)
	}
	want := []string{"time: summer time: new, none",
		"load stenter and dryers: taken out, was {name: stenter and dryers, header: main, steam: 400 kg/h, when: Mon-Fri 07:00-19:00}",
		"dishes: collectors: 15, was 30"}
	if !slices.Equal(texts, want) {
		t.Errorf("got  %q\nwant %q", texts, want)
	}
	if f := figureNamed(t, got.Figures, "fuel_kWh"); !f.Worth || f.Before == f.After {
		t.Errorf("got %+v", f)
	}
	if f := figureNamed(t, got.Figures, "npv"); f.What != "Net present value of the tank" { // the example has no price of its field
		t.Errorf("got %+v", f)
	}
	if f := figureNamed(t, got.Figures, "payback_a"); f.After != "none" || !f.Worth {
		t.Errorf("got %+v", f)
	}
	// Half the sun leaves little to store: at 305 EUR a m³ and year (3000 EUR over 20 a at 8 %) no tank pays.
	if f := figureNamed(t, got.Figures, "best_volume_m3"); f.After != "0" || got.Rule != answer.RulePays {
		t.Errorf("got %+v by %q", f, got.Rule)
	}
	if !strings.HasPrefix(got.Sentence, "The best volume falls from 63 m³ to none, and the year costs ") || got.Nothing || len(got.More) == 0 {
		t.Errorf("got %+v", got)
	}
}

func TestKeyTexts(t *testing.T) {
	for key, want := range map[string]string{
		"store.cost.per_m3":                 "store: price of one more m³",
		"stores[acc].cost.per_m3":           "acc: price of one more m³",
		"loads[dye machines, night].when":   "dye machines, night: hours",
		"loads[kiln [2]].break_load":        "kiln [2]: break load",
		"boilers[B1]":                       "boiler B1",
		"store.insulation.thickness":        "store: insulation, thickness",
		"site.horizon[2].height":            "site: horizon[2], height",
		"name":                              "name",
		"time.holidays":                     "time: holidays",
		"fields[dishes].collector.drive_me": "dishes: collector, drive me",
	} {
		if got := keyText(key); got != want {
			t.Errorf("%s: got %q, want %q", key, got, want)
		}
	}
}

// TestOneProject sets no tank's worth beside a whole plant's.
func TestOneProject(t *testing.T) {
	v, w := 1.0, 2.0
	both := sight{plant: earned{npv: &v}, tank: earned{npv: &w}}
	tank := sight{tank: earned{npv: &w}}
	for _, row := range []struct {
		a, b sight
		name string
	}{{both, both, "sun and tank"}, {both, tank, "the tank"}, {tank, both, "the tank"}, {tank, sight{}, ""}} {
		if was, is, name := project(row.a, row.b); name != row.name || (was.npv == nil) != (name == "") || was.npv != nil && *was.npv != *is.npv {
			t.Errorf("got %q, want %q", name, row.name)
		}
	}
}

// TestChangedWithoutCurve reads the figures of a plant without a store off its plan.
func TestChangedWithoutCurve(t *testing.T) {
	axis, err := clock.NewYear(2026, time.Hour, 0)
	if err != nil {
		t.Fatal(err)
	}
	all := func(kW float64) clock.KW { return slices.Repeat(clock.KW{kW}, axis.N) }
	plan := answer.Plan{Currency: "EUR", Axis: axis, AnnualCost: 50000, DemandKW: all(100), SunToHeaderKW: all(25), BoilerKW: all(75),
		FuelKW: all(90), SpilledSunKW: all(5), UnmetKW: all(0), KeepWarmKW: all(0)}
	dearer := plan
	dearer.AnnualCost = 60000
	got := changedOf(seen{Text: []byte("a: 1\n"), Plan: plan}, seen{Text: []byte("a: 2\n"), Plan: dearer}, units{})
	if want := "The year costs 10\u202f000 EUR more (20 %)."; got.Sentence != want || got.Rule != "" {
		t.Errorf("got %q by %q, want %q", got.Sentence, got.Rule, want)
	}
	// 90 kW over 8760 h are 788.4 MWh.
	if f := figureNamed(t, got.Figures, "fuel_kWh"); f.Before != "788" || f.Change != "0" {
		t.Errorf("got %+v", f)
	}
	if f := figureNamed(t, got.Figures, "solar_fraction"); f.Before != "25.0" {
		t.Errorf("got %+v", f)
	}
	for _, key := range []string{"co2_kg", "best_volume_m3", "savings_vs_no_storage", "savings_vs_boilers_only", "npv"} {
		if slices.ContainsFunc(got.Figures, func(f figure) bool { return f.Key == key }) {
			t.Errorf("%s is not known of a plan", key)
		}
	}
}
