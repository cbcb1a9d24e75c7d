package scenarios

import (
	"context"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"noonkeep/optimize"
)

// boiled is plain with more keys of its boiler, whose efficiency is replaced.
func boiled(t testing.TB, efficiency, more, after string) string {
	return with(t, "capacity: 2000 kg/h, efficiency: 0.85}", "capacity: 1000 kW, efficiency: "+efficiency+more+"}") + after
}

func TestBoilerPieces(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, efficiency, more string
		want                   []optimize.Piece
		src                    string
	}{
		{"one efficiency", "0.85", "", []optimize.Piece{{CapacityKW: 1000, FuelPerHeat: 1 / 0.85}}, "by hand"},
		{"one efficiency with a lowest fire", "0.85", ", minimum_fire: 25 %", []optimize.Piece{{CapacityKW: 1000, FuelPerHeat: 1 / 0.85}}, "the program may burn less"},
		{"best at full load", "[{load: 25 %, efficiency: 78 %}, {load: 100 %, efficiency: 86 %}]", ", minimum_fire: 25 %",
			[]optimize.Piece{{CapacityKW: 1000, FuelPerHeat: 1 / 0.86}}, "the hull with nothing at no load"},
		{"best in the middle", "[{load: 25 %, efficiency: 78 %}, {load: 60 %, efficiency: 88 %}, {load: 100 %, efficiency: 86 %}]", "",
			[]optimize.Piece{{CapacityKW: 600, FuelPerHeat: 1 / 0.88}, {CapacityKW: 400, FuelPerHeat: (1000/0.86 - 600/0.88) / 400}}, "1000/0.86 - 600/0.88 of fuel for the last 400 kW"},
		{"gross", "[{load: 60 %, efficiency: 80 %}, {load: 100 %, efficiency: 78 %}]", ", efficiency_basis: gross",
			[]optimize.Piece{{CapacityKW: 600, FuelPerHeat: 1 / (0.80 * 1.11)}, {CapacityKW: 400, FuelPerHeat: (1000/0.78 - 600/0.80) / 400 / 1.11}}, "net fuel is gross over 1.11"},
		{"losses of gas", "{losses: {flue: 180 degC, air: 20 degC, oxygen: 4.5 %, radiation: 1 %}}", "",
			[]optimize.Piece{{CapacityKW: 1000, FuelPerHeat: 1 / (1 - 0.0784 - 0.01)}}, "checks-heat 5.4.8: 7.84 % in the flue gas"},
		{"standing loss", "0.85", ", standing_loss: 1 %", []optimize.Piece{{CapacityKW: 1000, FuelPerHeat: 1 / 0.85}}, "the hull is that of full load"},
	} {
		_, p := problemOf(t, boiled(t, c.efficiency, c.more, ""))
		got := p.Boilers[0].Pieces
		same := slices.EqualFunc(got, c.want, func(a, b optimize.Piece) bool {
			return math.Abs(a.CapacityKW-b.CapacityKW) < 1e-9 && math.Abs(a.FuelPerHeat-b.FuelPerHeat) < 5e-5
		})
		if !same {
			t.Errorf("%s: pieces %v; want %v (%s)", c.name, got, c.want, c.src)
		}
	}
}

// The furnace-oil example of the auditors' guide through a scenario.
func TestLossesByAnalysisInScenario(t *testing.T) {
	t.Parallel()
	text := with(t, "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}", "{name: furnace oil, price: 500 EUR/t, net_calorific_value: 10 kWh/kg, gross_per_net: 1.18626}",
		"fuel: natural gas, capacity: 2000 kg/h, efficiency: 0.85}",
		"fuel: furnace oil, capacity: 1 MW, efficiency: {losses: {flue: 220 degC, air: 27 degC, oxygen: 7 %, radiation: 2 %, air_humidity: 1.8 %, analysis: {carbon: 84 %, hydrogen: 12 %, sulphur: 3 %, oxygen: 1 %}}}}")
	c, p := problemOf(t, text)
	b := c.Boilers[0]
	// 10 kWh/kg net by 1.18626 is 42.705 MJ/kg, 10 200 kcal/kg
	if got := b.Efficiency; math.Abs(got-0.8147) > 5e-5 || !b.EfficiencyGross {
		t.Errorf("efficiency %.5f, gross %v; want 81.47 %% of gross (checks-heat 5.4.7)", got, b.EfficiencyGross)
	}
	if got, want := p.Boilers[0].Pieces[0].FuelPerHeat, 1/(0.8147*1.18626); math.Abs(got-want) > 1e-4 {
		t.Errorf("%g kWh of net fuel per kWh; want %g", got, want)
	}
	for _, a := range c.Assumptions {
		if strings.HasSuffix(a.Key, "efficiency_basis") {
			t.Errorf("the basis is assumed to be %s; it follows from the losses", a.Value)
		}
	}
}

func TestBoilerCycles(t *testing.T) {
	t.Parallel()
	c, p := problemOf(t, boiled(t, "0.8", ", standing_loss: 2 %, minimum_fire: 30 %, start: {fuel: 120 kWh, time: 90 min}, hot_standby: 1 %, ramp: 500 kW/h, out_of_service: [2026-03-01..2026-03-07, 24 Dec]", ""))
	cycle := c.Cycles()[0]
	// 1250 kW of fuel at full load; 2 % of it and 98 % in proportion; 30 % of 1225 and 25 are 392.5
	if len(cycle.Curve) != 2 || cycle.Curve[0].HeatKW != 300 || math.Abs(cycle.Curve[0].FuelKW-392.5) > 1e-9 || math.Abs(cycle.Curve[1].FuelKW-1250) > 1e-9 {
		t.Errorf("curve %v; want 392.5 kW of fuel at 300 and 1250 at 1000", cycle.Curve)
	}
	if cycle.StartKWh != 120 || cycle.StartSteps != 2 || math.Abs(cycle.StandbyKW-12.5) > 1e-9 {
		t.Errorf("cycle %+v; want a start of 120 kWh and 2 steps, standby with 12.5 kW", cycle)
	}
	if got := p.Boilers[0].RampKW; got != 800 {
		t.Errorf("ramp %g kW a step; want 500 and the lowest fire's 300", got)
	}
	out := 0
	for step, share := range p.Boilers[0].Available {
		day := c.Axis.Date(step).String()
		want := 1.0
		if day >= "2026-03-01" && day <= "2026-03-07" || day == "2026-12-24" {
			want = 0
			out++
		}
		if share != want {
			t.Fatalf("%s: available %g; want %g", c.Axis.Label(step), share, want)
		}
	}
	if out != 8*24 {
		t.Errorf("out of service for %d h; want 8 days", out)
	}
	for _, text := range []string{plain, boiled(t, "0.8", ", standing_loss: 1 %", ""), boiled(t, "0.8", ", ramp: 500 kW/h", "")} {
		if c, _ := problemOf(t, text); c.Cycles() != nil {
			t.Errorf("cycles %v; want none without lowest fire and start", c.Cycles())
		}
	}
}

func TestRampWithoutLowestFire(t *testing.T) {
	t.Parallel()
	_, p := problemOf(t, strings.Replace(boiled(t, "0.8", ", ramp: 500 kW/h", ""), "step: 60 min", "step: 15 min", 1))
	if got := p.Boilers[0].RampKW; got != 125 {
		t.Errorf("ramp %g kW a step of 15 min; want a quarter of 500", got)
	}
}

func TestBoilerLimits(t *testing.T) {
	t.Parallel()
	text := boiled(t, "0.85", "", "limits: [{name: gas line, boilers: [B1], most: 900 kW, of: fuel}, {name: flue, boilers: [B1], most: 1 MW}]\n")
	_, p := problemOf(t, text)
	if len(p.Limits) != 2 || !p.Limits[0].OfFuel || p.Limits[1].OfFuel || p.Limits[0].MostKW[5] != 900 || p.Limits[1].MostKW[8759] != 1000 {
		t.Errorf("limits %+v", p.Limits)
	}
}

// A boiler's heat is cheapest first: with a day's tariff the electrode boiler takes the night.
func TestMeritOrderByTheClock(t *testing.T) {
	t.Parallel()
	text := with(t, "\"Mon-Sat 06:00-22:00\"}", "\"always\"}", "efficiency: 0.85}", "efficiency: 0.85}\n  - {name: E1, fuel: electricity, capacity: 300 kW, efficiency: 99 %}",
		"fields:\n  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}\n", "") +
		"electricity: {price: 0.03 EUR/kWh, tariff: [{when: \"daily 06:00-22:00\", price: 0.20 EUR/kWh}]}\n"
	_, p := problemOf(t, text)
	p.Stores = nil
	s, _, err := optimize.Plan(context.Background(), p, optimize.Options{Engine: optimize.EngineOneStore})
	if err != nil {
		t.Fatal(err)
	}
	demand := p.Headers[0].DemandKW[100]
	for step := range 48 {
		night := step%24 < 6 || step%24 >= 22
		want := 0.0
		if night { // 0.03/0.99 against 0.05/0.85
			want = 300
		}
		if math.Abs(s.BoilerKW[1][step]-want) > 1e-9 || math.Abs(s.BoilerKW[0][step]-(demand-want)) > 1e-9 {
			t.Errorf("hour %d: gas %g kW, electrodes %g; want %g and %g", step, s.BoilerKW[0][step], s.BoilerKW[1][step], demand-want, want)
		}
	}
}

func TestWrongBoilers(t *testing.T) {
	t.Parallel()
	const at = "16: boilers[B1]."
	for _, c := range []struct{ name, text, want string }{
		{"a table that falls", boiled(t, "[{load: 50 %, efficiency: 80 %}, {load: 25 %, efficiency: 78 %}]", "", ""), at + `efficiency: boiler "B1": efficiency: has 25 % load after 50 %; want the loads to rise`},
		{"a load of 120 %", boiled(t, "[{load: 120 %, efficiency: 80 %}]", "", ""), at + `efficiency[1].load: "120 %" is out of range; want more than 0 and at most 1`},
		{"a table and a standing loss", boiled(t, "[{load: 100 %, efficiency: 80 %}]", ", standing_loss: 1 %", ""), at + "standing_loss: stands beside efficiencies by load, which hold it; want one of the two"},
		{"an empty table", boiled(t, "[]", "", ""), at + "efficiency: is empty; want loads with their efficiencies"},
		{"losses of coal", with(t, "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}", "{name: coal, price: 0.05 EUR/kWh, price_basis: net}", "fuel: natural gas, capacity: 2000 kg/h, efficiency: 0.85",
			"fuel: coal, capacity: 2000 kg/h, efficiency: {losses: {flue: 180 degC, oxygen: 6 %}}"),
			at + `efficiency.losses: losses: no constants of Siegert's formula are known for "bituminous coal"; want one of: natural gas, gas oil, liquefied petroleum gas, or the fuel's analysis`},
		{"losses with neither gas", boiled(t, "{losses: {flue: 180 degC}}", "", ""), at + "efficiency.losses: wants one of oxygen and carbon_dioxide of the dry flue gas"},
		{"losses with a basis", boiled(t, "{losses: {flue: 180 degC, oxygen: 4 %}}", ", efficiency_basis: net", ""), at + "efficiency_basis: stands beside losses, from which the basis follows; take it out"},
		{"cold flue", boiled(t, "{losses: {flue: 50 degC, air: 60 degC, oxygen: 4 %}}", "", ""), at + "efficiency.losses: flue gas: flue: is 50 degC, the air 60 degC; want more than the air and at most 1200"},
		{"no efficiency", boiled(t, "", "", ""), at + "efficiency: has no value; give one or leave the key out"},
		{"a word", boiled(t, "good", "", ""), at + `efficiency: "good" is not a share; write for example "85 %"`},
		{"a start without fuel", boiled(t, "0.8", ", start: {time: 30 min}", ""), at + `start.fuel: is missing; write for example "fuel: 120 kWh"`},
		{"out of which days", boiled(t, "0.8", ", out_of_service: [March]", ""), at + `out_of_service[1]: "March" does not fit; want a day such as 2026-12-25, or 25 Dec for every year`},
		{"an unknown boiler in a limit", boiled(t, "0.8", "", "limits: [{name: flue, boilers: [B1, B7], most: 1 MW}]\n"), `24: limits[flue].boilers[2]: no boiler is called "B7"; nearest is "B1"`},
		{"twice in a limit", boiled(t, "0.8", "", "limits: [{name: flue, boilers: [B1, B1], most: 1 MW}]\n"), `24: limits[flue].boilers[2]: boiler "B1" stands twice`},
		{"nobody in a limit", boiled(t, "0.8", "", "limits: [{name: flue, boilers: [], most: 1 MW}]\n"), `24: limits[flue]: has no boilers; want at least one`},
		{"electricity that is not there", boiled(t, "0.8", ", fuel: electricity", ""), "16: boilers[B1].fuel: is written twice, first in line 16; keep one"},
		{"an electrode boiler without a supply", strings.Replace(boiled(t, "0.8", "", ""), "fuel: natural gas", "fuel: electricity", 1), `16: boilers[B1].fuel: no fuel is called "electricity"; want natural gas`},
	} {
		_, err := Parse("w.yaml", []byte(c.text), nil)
		if err == nil {
			t.Errorf("%s: is taken; want %s", c.name, c.want)
			continue
		}
		if got := strings.ReplaceAll(err.Error(), "w.yaml:", ""); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

func TestDoubtfulBoilers(t *testing.T) {
	t.Parallel()
	c, _ := problemOf(t, boiled(t, "[{load: 50 %, efficiency: 80 %}]", ", hot_standby: 1 %", ""))
	if !slices.ContainsFunc(c.Warnings, func(w Warning) bool {
		return w.Text == "boilers[B1].hot_standby: has no effect where a start takes neither fuel nor time; write start"
	}) {
		t.Errorf("doubts %v", c.Warnings)
	}
	if !slices.ContainsFunc(c.Assumptions, func(a Assumption) bool { return a.Key == "boilers[B1].efficiency" }) {
		t.Errorf("assumptions %v; want the last load's efficiency for full load", c.Assumptions)
	}
}

// An editor that goes by the schema takes every way in which prices and efficiencies may be written, and no other.
func TestSchemaOfBoilerHouse(t *testing.T) {
	t.Parallel()
	schema := map[string]any{}
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	for text, ok := range map[string]bool{
		boiled(t, "0.85", ", minimum_fire: 25 %, start: {fuel: 120 kWh, time: 30 min}", ""):                                               true,
		boiled(t, "[{load: 25 %, efficiency: 78 %}]", ", ramp: 5 kW/min", "limits: [{name: flue, boilers: [B1], most: 3 MW}]\n"):          true,
		boiled(t, "{losses: {flue: 180 degC, oxygen: 4 %}}", "", ""):                                                                      true,
		boiled(t, "{loses: {flue: 180 degC, oxygen: 4 %}}", "", ""):                                                                       false,
		boiled(t, "[{load: 25 %}]", "", ""):                                                                                               false,
		boiled(t, "2 bar", "", ""):                                                                                                        false,
		priced(t, "price: [52, 52, 50, 45, 42, 40, 40, 41, 43, 46, 50, 52 EUR/MWh]", ""):                                                  true,
		priced(t, `tariff: [{when: always, price: 50 EUR/MWh}], price: 2 EUR/GJ`, "electricity: {price_series: m.csv, co2: 400 g/kWh}\n"): true,
		priced(t, "price: 5 EUR", ""):                                                                                                     false,
		priced(t, `tariff: [{when: always}]`, ""):                                                                                         false,
	} {
		if faults := holds(t, schema, asJSON(t, []byte(text)), "plain"); (len(faults) == 0) != ok {
			t.Errorf("taken %v, want %v: %v\n%s", len(faults) == 0, ok, faults, text)
		}
	}
}

// A variant changes a value of several shapes as a whole, and is the plant that has it from the start.
func TestVariantsOfBoilerHouse(t *testing.T) {
	t.Parallel()
	c, _ := problemOf(t, plain+`variants:
  - {name: by load, change: {boilers: [{name: B1, efficiency: [{load: 60 %, efficiency: 88 %}, {load: 100 %, efficiency: 86 %}]}]}}
  - {name: by month, change: {fuels: [{name: natural gas, price: [52, 52, 50, 45, 42, 40, 40, 41, 43, 46, 50, 52 EUR/MWh]}]}}
`)
	for name, text := range map[string]string{
		"by load":  with(t, "efficiency: 0.85", "efficiency: [{load: 60 %, efficiency: 88 %}, {load: 100 %, efficiency: 86 %}]"),
		"by month": with(t, "price: 0.05 EUR/kWh", "price: [52, 52, 50, 45, 42, 40, 40, 41, 43, 46, 50, 52 EUR/MWh]"),
	} {
		varied, err := c.Vary(name)
		if err != nil {
			t.Fatal(name, err)
		}
		got, err := varied.Problem()
		if err != nil {
			t.Fatal(name, err)
		}
		if _, want := problemOf(t, text); !reflect.DeepEqual(got.Boilers, want.Boilers) {
			t.Errorf("%s: the variant's boilers are not those of the plant that is written so", name)
		}
	}
}

// Fuel of a meter or bill makes less heat than full load's efficiency says, and that is doubted.
func TestFuelAtPartLoadIsDoubted(t *testing.T) {
	t.Parallel()
	text := with(t, "  - {name: works, header: main, steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"}",
		"  - {name: works, bills: {list: [{from: 2026-01-01, to: 2027-01-01, used: 900 MWh net}], dates: readings}}",
		"efficiency: 0.85}", "efficiency: 0.85, standing_loss: 1 %}")
	c, _ := problemOf(t, text)
	if !slices.ContainsFunc(c.Warnings, func(w Warning) bool { return strings.Contains(w.Text, "by boiler B1's efficiency at full load") }) {
		t.Errorf("doubts %v", c.Warnings)
	}
}
