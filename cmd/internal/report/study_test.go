package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"noonkeep/cmd/internal/chart"
	"noonkeep/cmd/internal/study"
)

// spreadFrom is a spread of so many cases; each figure here is made up.
func spreadFrom(cases int64, p90, p50, p10 float64) *study.Spread {
	s := &study.Spread{Cases: cases, P90: &p90, P50: &p50, P10: &p10, Least: new(p90 - 0.1*p50), Most: new(p10 + 0.1*p50)}
	if s.Extremes() {
		s.P90, s.P10 = nil, nil
	}
	return s
}

func bandFrom(most float64) (v []float64) {
	for i := range 25 {
		v = append(v, most*(1-math.Exp(-float64(i)/8)))
	}
	return v
}

func curveFrom(by float64) *study.CurveSpread {
	c := &study.CurveSpread{Cases: 360, Savings: &study.Band{P90: bandFrom(9e3 * by), P50: bandFrom(12e3 * by), P10: bandFrom(14e3 * by)},
		Frac: &study.Band{P90: bandFrom(0.031 * by), P50: bandFrom(0.052 * by), P10: bandFrom(0.08 * by)}}
	for i := range 25 {
		c.VolumesM3 = append(c.VolumesM3, 5*float64(i))
	}
	return c
}

// madeStudy is a study of so many scenarios with all that may be kept.
func madeStudy(scenarios int) study.Summary {
	names := []string{"dyehouse", "cannery at the river", "brewery of three kettles and a long name", "laundry", "dairy"}
	s := study.Summary{Study: "0123456789ab", Name: "plants of the valley", Keys: []string{"fuels[furnace oil].price", "fields[dishes].count"}}
	for i := range scenarios {
		by := 1 + 0.4*math.Sin(float64(i))
		x := study.ScenarioSummary{
			Name: names[i%len(names)], Currency: "EUR", Cases: 360, Done: 360, BestRule: study.BestPays,
			SavingsVsNoStorage: spreadFrom(360, 9e3*by, 12e3*by, 14e3*by), SavingsFrac: spreadFrom(360, 0.031*by, 0.052*by, 0.08*by),
			SavingsVsBoilersOnly: spreadFrom(360, 9e4*by, 12e4*by, 14e4*by), SolarFraction: spreadFrom(360, 0.3, 0.35, 0.4),
			BestVolumeM3: spreadFrom(360, 30*by, 45*by, 80*by), NPV: spreadFrom(360, -2e4*by, 3e4*by, 8e4*by), PaybackA: spreadFrom(360, 6.1, 8.4, 13),
			PlantNPV: spreadFrom(360, -2e5, 3e5, 8e5), PlantPaybackA: spreadFrom(360, 7, 9, 14),
			ReplayArrived: spreadFrom(360, 0.91, 0.95, 0.98), Curve: curveFrom(by),
		}
		if i >= len(names) {
			x.Name += fmt.Sprint(" ", i)
		}
		if i >= study.MostShown {
			x.Curve = nil
		}
		s.Scenarios, s.Cases, s.Done = append(s.Scenarios, x), s.Cases+360, s.Done+360
	}
	s.All = study.AllSummary{SavingsFrac: spreadFrom(s.Done, 0.024, 0.051, 0.09), SavingsVsBoilersFrac: spreadFrom(s.Done, 0.3, 0.4, 0.5), SolarFraction: spreadFrom(s.Done, 0.3, 0.35, 0.4),
		BestVolumeM3: spreadFrom(s.Done, 22, 47, 96), PaybackA: spreadFrom(s.Done, 6, 9, 15), PlantPaybackA: spreadFrom(s.Done, 6, 9, 15), ReplayArrived: spreadFrom(s.Done, 0.9, 0.95, 0.98), Curve: curveFrom(1)}
	s.All.Curve.Savings = nil
	s.Moves = []study.Move{{Key: s.Keys[1], Correlation: new(0.81), Size: new(0.81)}, {Key: s.Keys[0], Correlation: new(0.1), Size: new(0.34)}}
	return s
}

// oddStudy has two currencies, a scenario of few cases, one that never pays, one whose tanks are at the edge and one set aside.
func oddStudy() study.Summary {
	s := madeStudy(5)
	few := &s.Scenarios[1]
	few.Cases, few.Done, few.Currency = 6, 6, "CHF"
	few.SavingsVsNoStorage, few.SavingsFrac, few.BestVolumeM3 = spreadFrom(6, 9e3, 12e3, 14e3), spreadFrom(6, 0.03, 0.05, 0.07), spreadFrom(6, 20, 31, 33)
	few.BestRule = study.BestSaves
	s.Scenarios[2].PaybackA = &study.Spread{Cases: 360, NeverFrac: 0.6, P90: new(11.), Least: new(9.)}
	s.Scenarios[3].BestAtEdgeFrac = 0.7
	s.Scenarios[4] = study.ScenarioSummary{Name: "dairy", Cases: 360, Done: 360, SetAside: 360}
	s.SetAside = 366
	s.Reasons = []study.Reason{
		{Text: `header "7 bar": 212 h short of heat, worst 310 kW on 4 Feb 06:00; raise boiler capacity or allow unmet heat`, Cases: 360, Case: 1440, Scenario: "dairy", Weather: "seed 1",
			Inputs: []study.Input{{Key: "fuels[furnace oil].price", Value: "0.045 EUR/kWh"}, {Key: "fields[dishes].count", Value: "4"}}},
		{Text: "120 m³: duality gap 3.1e-04 exceeds 1e-06", Cases: 1, Case: 77, Scenario: "dyehouse", Weather: "seed 3"},
	}
	s.Moves = append(s.Moves, study.Move{Key: "boilers[main].kind", Worded: true})
	s.Sampling = "200 points of a Latin hypercube, seed 7"
	s.Sample = "quantiles are of at most 32768 cases of a scenario"
	return s
}

func studyText(t testing.TB, s study.Summary) string {
	t.Helper()
	var b strings.Builder
	if err := StudyText(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestStudyText(t *testing.T) {
	t.Parallel()
	got := studyText(t, oddStudy())
	for _, want := range []string{
		"plants of the valley\nOver 5 scenarios and 1 434 solved cases, the tank saves 5.1 % of the year's cost without one\nin half of them, and 2.4 % in nine of ten.\n",
		"\n  cannery at the river     CHF      6      0  7 800*  12 000  15 200*   5.0   17*     31  36*  40 098      8.4      95.0\n",
		"  40 912    never      95.0\n", "   48+   85", "\n  dairy                           360    360       -       -        -     -     -      -    -       -        -         -\n",
		"\n  all, as shares                1 800    366   2.4 %   5.1 %    9.0 %   5.1    22     47   96       -      9.0      95.0\n",
		"Why 366 of 1 800 cases were set aside\n\n     360  header \"7 bar\": 212 h short of heat",
		"\n          for example case 1440: dairy, seed 1, fuels[furnace oil].price = 0.045 EUR/kWh,\n          fields[dishes].count = 4\n", "\n       5  of other kinds; ",
		"what moves the tank's savings most is fields[dishes].count (0.81: more\nis saved where it is higher); then fuels[furnace oil].price (0.34 in the mean of its size",
		"Not ranked, as the values are no numbers of one unit: boilers[main].kind.", "* Fewer than 10 cases have no P90 and no P10",
		"In 1 of 4 scenarios no cost of a store is given (store.cost and money.life are missing), so\nthe", "+ or more:", "Latin hypercube", "32768", Cautions,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
}

// No line is so long that a terminal of 120 columns breaks it, and no table of what is usual one of 100.
func TestStudyTextIsNarrow(t *testing.T) {
	t.Parallel()
	usual := madeStudy(45)
	for i := range usual.Scenarios {
		x := &usual.Scenarios[i]
		x.NPV, x.PaybackA, x.PlantNPV, x.PlantPaybackA, x.ReplayArrived = nil, nil, nil, nil, nil
	}
	for _, tt := range []struct {
		s    study.Summary
		most int
	}{{oddStudy(), 120}, {madeStudy(45), 120}, {usual, 100}} {
		text := studyText(t, tt.s)
		for line := range strings.Lines(text) {
			if n := utf8.RuneCountInString(line) - 1; n > tt.most {
				t.Errorf("%d letters: %s", n, line)
			}
		}
		if len(tt.s.Scenarios) > study.MostShown && !strings.Contains(text, "\n  5 more scenarios stand in study.csv.\n") {
			t.Errorf("the scenarios left out are not told of in\n%s", text)
		}
	}
}

func TestStudyWithoutCost(t *testing.T) {
	t.Parallel()
	s := madeStudy(1)
	s.Scenarios[0].BestRule = study.BestSaves
	got := strings.Join(strings.Fields(studyText(t, s)), " ")
	for _, want := range []string{"Over 360 solved cases of dyehouse, the tank saves 12 000 EUR a year over none in half of them, and 9 000 EUR in nine of ten.",
		"No cost of a store is given (store.cost and money.life are missing), so the best tank is the one that saves most, whatever it costs."} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in %s", want, got)
		}
	}
	if strings.Contains(got, "as shares") || studyChart(s).BestName != "Tank that saves most" {
		t.Errorf("one scenario has a row for all: %s", got)
	}
}

func TestStudyWithNothingSolved(t *testing.T) {
	t.Parallel()
	s := study.Summary{Study: "0123456789ab", Cases: 4, Done: 3, SetAside: 3, Scenarios: []study.ScenarioSummary{{Name: "dairy", Cases: 4, Done: 3, SetAside: 3}},
		Reasons: []study.Reason{{Text: "no sun", Cases: 3, Scenario: "dairy", Weather: "2011"}}}
	got := studyText(t, s)
	for _, want := range []string{"study 0123456789ab\nNone of 3 cases could be solved.\n", "Only 3 of 4 cases are done", "       3  no sun\n          for example case 0: dairy, 2011\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
	if err := studyChart(s).Check(); err != nil {
		t.Error(err)
	}
}

func TestStudyFiles(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "out")
	s := oddStudy()
	s.Scenarios[0].Name = "=1+1"
	paths, err := StudyFiles(dir, s)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, p := range paths {
		names = append(names, filepath.Base(p))
	}
	if fmt.Sprint(names) != "[study.svg study.png study.csv study.json]" {
		t.Errorf("wrote %v", names)
	}
	raw, err := os.ReadFile(filepath.Join(dir, "study.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil || len(rows) != 6 || rows[1][0] != "'=1+1" {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	at := func(row int, name string) string { return rows[row][slices.Index(rows[0], name)] }
	if at(2, "savings_vs_no_storage_p90") != "" || at(2, "savings_vs_no_storage_p50") != "12000" || at(3, "payback_a_p50") != "" || at(5, "npv_p50") != "" || at(5, "set_aside") != "360" {
		t.Errorf("rows: %v", rows)
	}
	var back study.Summary
	raw, err = os.ReadFile(filepath.Join(dir, "study.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &back); err != nil || len(back.Scenarios) != 5 || *back.All.SavingsFrac.P50 != 0.051 {
		t.Errorf("the JSON reads back as %+v, %v", back, err)
	}
}

func TestStudyCharts(t *testing.T) {
	t.Parallel()
	none := madeStudy(3)
	none.All.Curve, none.All.BestVolumeM3 = nil, nil
	for name, s := range map[string]study.Summary{"one": madeStudy(1), "four": madeStudy(4), "many": madeStudy(45), "odd": oddStudy(), "no curves": none} {
		c := studyChart(s)
		if err := chart.WriteSVG(io.Discard, c); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	// Lines of the scenarios stand at the volumes of all.
	s := madeStudy(2)
	s.Scenarios[1].Curve = &study.CurveSpread{VolumesM3: []float64{0, 240}, Frac: &study.Band{P50: []float64{0, 0.24}}}
	if c := studyChart(s); len(c.Lines) != 2 || math.Abs(c.Lines[1][24]-12) > 1e-9 {
		t.Errorf("the second line ends at %v; want 12 %% at half of its 240 m³", c.Lines[1])
	}
}
