package report

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
	"noonkeep/plant/clock"
)

// guided is a plan of one week's steps with a guide line that was made up.
func guided(t *testing.T) answer.Plan {
	t.Helper()
	axis := clock.Axis{Start: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Step: time.Hour, N: 168}
	n := axis.N
	p := answer.Plan{Scenario: "plant", Currency: "EUR", VolumeM3: 40, CapacityKWh: 1600, Axis: axis,
		StoredHeatPrice: make([]float64, n), StoredKWh: make(clock.KWh, n+1), StepCost: make([]float64, n)}
	for _, kW := range []*clock.KW{&p.DemandKW, &p.SunToHeaderKW, &p.SunToStoreKW, &p.StoreOutKW, &p.BoilerKW, &p.KeepWarmKW,
		&p.UnmetKW, &p.SpilledSunKW, &p.FuelKW, &p.StoreLossKW, &p.BoilersToStoreKW, &p.VentedKW} {
		*kW = make(clock.KW, n)
	}
	p.Units = []answer.Unit{{Name: "B1", Column: "boiler B1 kW", Values: p.BoilerKW}}
	g := &p.Guide
	g.FullKWh, g.HoldKWh, g.BoilerPrice = 1600, make([]float64, n), make([]float64, n)
	g.HoldKWh[2], g.BoilerPrice[3] = 800, math.Inf(1)
	for _, f := range []float64{0, 0.5, 1} {
		g.Gauge = append(g.Gauge, answer.Gauge{Frac: f, TempC: 165 + 44*f, BarG: 6 + 12*f})
	}
	g.Hours[5][13] = answer.GuideHour{HoldKWh: 800, HoldFrac: 0.5, Hold: g.Gauge[1], GivesFrac: 0.25, StorePrice: 0.07, BoilerPrice: 0.06}
	g.Advice = []answer.Advice{{FromMonth: 5, ToMonth: 6, FromH: 12, ToH: 17, HoldKWh: 800, HoldFrac: 0.5, Hold: g.Gauge[1], BoilerPrice: 0.06,
		Later: &answer.Later{FromH: 17, ToH: 22, BoilerPrice: 0.09}}}
	return p
}

func TestGuideText(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		spoil func(p *answer.Plan)
		want  []string
	}{
		{"dear evening", func(*answer.Plan) {}, []string{
			"Hold back below 800 kWh from 12:00 to 17:00 in June and July:\n    50 % of full, 187 °C, 12.0 bar(g); from 17:00 to 22:00 a boiler's kWh costs 0.0900 EUR, in these hours 0.0600\n",
			"from 0.0000 (January about 0:30) to 0.0700 (June about 13:30)"}},
		{"boilers fall short", func(p *answer.Plan) { p.Guide.Advice[0].Later.Short = true }, []string{"from 17:00 to 22:00 the boilers alone fall short at times\n"}},
		{"no hour tells", func(p *answer.Plan) { p.Guide.Advice[0].Later = nil }, []string{"a later day's heat is worth more"}},
		{"nothing to hold", func(p *answer.Plan) { p.Guide.Advice = nil }, []string{"Hold nothing back: when a boiler fires, give what the store has."}},
		{"none", func(p *answer.Plan) { p.Guide.Why = "there are 2 stores" }, []string{"  none: there are 2 stores\n"}},
		{"many", func(p *answer.Plan) {
			for i := range 8 {
				a := p.Guide.Advice[0]
				a.HoldKWh, a.Weight, a.FromMonth, a.ToMonth = float64(100+i), float64(100+i), i, i
				p.Guide.Advice = append(p.Guide.Advice, a)
			}
			p.Guide.Advice = p.Guide.Advice[1:]
		}, []string{"below 107 kWh from 12:00 to 17:00 in August", "below 102 kWh", "and 2 stretches that matter less"}},
	} {
		p := guided(t)
		tt.spoil(&p)
		var b strings.Builder
		guideText(&b, p)
		for _, want := range tt.want {
			if !strings.Contains(b.String(), want) {
				t.Errorf("%s: text lacks %q:\n%s", tt.name, want, b.String())
			}
		}
		if tt.name == "many" && strings.Contains(b.String(), "below 101 kWh") {
			t.Errorf("many: the text tells what matters least:\n%s", b.String())
		}
	}
}

func rows(t *testing.T, write func(b *bytes.Buffer) error) [][]string {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	all, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestGuideCSV(t *testing.T) {
	t.Parallel()
	all := rows(t, func(b *bytes.Buffer) error { return GuideCSV(b, guided(t)) })
	if len(all) != 1+12*24 {
		t.Fatalf("%d rows; want one for each month and hour, and a head", len(all))
	}
	if got := strings.Join(all[1+5*24+13], " "); got != "6 13:00 800 50 187 12 25 0.07 0.06 0" {
		t.Errorf("June 13:00 reads %q", got)
	}
}

// The level and its price stand behind all columns that were there before, and only if there are any.
func TestGuideColumnsComeLast(t *testing.T) {
	t.Parallel()
	p := guided(t)
	all := rows(t, func(b *bytes.Buffer) error { return ScheduleCSV(b, p) })
	n := len(all[0])
	if all[0][n-3] != "boiler B1 kW" || all[0][n-2] != "hold_back_kWh" || all[0][n-1] != "next_boiler_heat_price_per_kWh" {
		t.Errorf("columns end with %v", all[0][n-3:])
	}
	if all[3][n-2] != "800" || all[4][n-1] != "" {
		t.Errorf("level %q and, where boilers fall short, price %q; want 800 and nothing", all[3][n-2], all[4][n-1])
	}
	p.Guide = answer.Guide{Why: "there is no store"}
	if all := rows(t, func(b *bytes.Buffer) error { return ScheduleCSV(b, p) }); len(all[0]) != n-2 {
		t.Errorf("without a guide line: columns %v", all[0])
	}
	if files := guideFiles(p); files != nil {
		t.Errorf("without a guide line: %d files", len(files))
	}
}

func TestGuideSheet(t *testing.T) {
	t.Parallel()
	p := guided(t)
	sheet := guideChart(p)
	if sheet.Percent[5][13] != 50 || sheet.Gives[5][13] != 0.25 || len(sheet.Rules) != 3 || !strings.Contains(sheet.Note, "knew the year's weather") {
		t.Errorf("sheet %+v", sheet)
	}
	p.Guide.Hours[5][13].HoldFrac = 0
	if flat := guideChart(p); flat.Title == sheet.Title || len(flat.Rules) != 3 {
		t.Errorf("with nothing to hold back the title is still %q", flat.Title)
	}
	var b bytes.Buffer
	if err := chart.WriteSVG(&b, sheet); err != nil || !strings.Contains(b.String(), "187 °C") {
		t.Errorf("sheet: %v; want a drawing with the gauges", err)
	}
	if hold := weekHold(p, answer.Week{From: 24, To: 48}); hold != nil {
		t.Error("a week in which nothing is held back shows a level")
	}
	if hold := weekHold(p, answer.Week{From: 0, To: 24}); len(hold) != 24 || hold[2] != 800 {
		t.Errorf("the first day's level is %v", hold)
	}
}
