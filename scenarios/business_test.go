package scenarios

import (
	"math"
	"slices"
	"strings"
	"testing"

	"noonkeep/optimize/worth"
)

// moneyed is the plain scenario with a priced store and terms of money; more stands in money's own lines.
func moneyed(t testing.TB, storeCost, money string, pairs ...string) string {
	t.Helper()
	return with(t, append(pairs, "  steps: 0..120 m3\n", "  steps: 0..120 m3\n  cost: {"+storeCost+"}\nmoney: {"+money+"}\n")...)
}

// Bad money, each with its whole message.
func TestWrongMoney(t *testing.T) {
	t.Parallel()
	const per, life = "per_m3: 1500 EUR/m3", "life: 20 a, discount: 8 %"
	for _, c := range []struct{ name, input, want string }{
		{"no life", moneyed(t, per, "life: 0 a"), `25: money.life: "0 a" is out of range: a plant of no life pays nothing back; want more than 0 a and at most 100 a`},
		{"discount below nothing", moneyed(t, per, "life: 20 a, discount: -200 %"),
			`25: money.discount: "-200 %" is out of range: below nothing, money later would be worth more than money now; want 0 to 100 %`},
		{"subsidy over the cost", moneyed(t, per, life+", subsidy: 120 %"), `25: money.subsidy: "120 %" is out of range: more than the whole cost cannot be given; want 0 to 100 %`},
		{"subsidy over the cost, written out", moneyed(t, per, life+", subsidy: {share: 1.2}"),
			`25: money.subsidy.share: "1.2" is more than all of it; write "1.2 %"`},
		{"subsidy sum over all cost", moneyed(t, per, life+", field_cost: 100 EUR/m2, subsidy: {sum: 140000 EUR}"),
			`25: money.subsidy.sum: "140000 EUR" is more than the 132000 EUR that the plant costs; want at most that`},
		{"subsidy of nothing", moneyed(t, per, life+", subsidy: {cap: 5 EUR}"), `25: money.subsidy: has neither share nor sum; want one of the two`},
		{"subsidy of both", moneyed(t, per, life+", subsidy: {share: 20 %, sum: 5 EUR}"), `25: money.subsidy.sum: stands beside share; want one of the two`},
		{"subsidy too late", moneyed(t, per, life+", subsidy: {share: 20 %, paid_in_year: 21}"), `25: money.subsidy.paid_in_year: is 21, and the life of money has 20 years; want a year within it`},
		{"a month without a price", with(t, "price: 0.05 EUR/kWh", "price: [50, 50, 50, 45, 45, 45, 45, 45, 45, 50, 50 EUR/MWh]"), `14: fuels[natural gas].price: has 11 values; want 12`},
		{"a month that is empty", with(t, "price: 0.05 EUR/kWh", "price: [50, 50, 50, 45, , 45, 45, 45, 45, 50, 50, 50 EUR/MWh]"), "*"},
		{"loan outlasts life", moneyed(t, per, life+", loan: {share: 50 %, rate: 5 %, term: 25 a}"), `25: money.loan.term: "25 a" outlasts the life of money, 20 a; want a loan that is paid back within it`},
		{"half a year of loan", moneyed(t, per, life+", loan: {share: 50 %, rate: 5 %, term: 2.5 a}"), `25: money.loan.term: "2.5 a" is no whole number of years; want 1 a or more`},
		{"real without inflation", moneyed(t, per, life+", rates: real"), `25: money.rates: are over inflation, and inflation is missing; write inflation too`},
		{"two prices of a vessel", moneyed(t, per+", table: [{volume: 10 m3, price: 9 EUR}]", life), `24: store.cost.table: stands beside per_m3; want one of per_m3, table and reference`},
		{"reference and rate", moneyed(t, per+", reference: {volume: 10 m3, price: 9 EUR}", life), `24: store.cost.reference: stands beside per_m3; want one of per_m3, table and reference`},
		{"falling list", moneyed(t, "table: [{volume: 10 m3, price: 9 EUR}, {volume: 5 m3, price: 8 EUR}]", life), `24: store.cost.table[2].volume: "5 m3" comes after "10 m3"; want the volumes rising`},
		{"falling sizes", moneyed(t, per+", sizes: [20, 10 m3]", life), `24: store.cost.sizes[2]: "10 m3" comes after "20 m3"; want the volumes rising`},
		{"replaced after its life", moneyed(t, per+", replace: [{what: pump, year: 25, cost: 4000 EUR}]", life), `24: store.cost.replace[1].year: is 25, and the life of money has 20 years; want a year within it`},
		{"no rate", moneyed(t, per, life+", tax: 25 %, depreciation: {method: declining balance}"), `25: money.depreciation.rate: is missing; the method "declining balance" needs it`},
		{"a rate too many", moneyed(t, per, life+", tax: 25 %, depreciation: {method: straight line, rate: 80 %}"), `25: money.depreciation.rate: has no say in the method "straight line"; take it out`},
		{"no such MACRS", moneyed(t, per, life+", tax: 25 %, depreciation: {method: MACRS, years: 6}"), `25: money.depreciation.years: is 6, and MACRS has no such period; want 3, 5, 7, 10, 15 or 20`},
		{"more than all", moneyed(t, per, life+", tax: 25 %, depreciation: {method: schedule, shares: [60, 60 %]}"), `25: money.depreciation.shares: depreciation: schedule: sums to 120 %; want at most 100 %`},
		{"two carbon prices", moneyed(t, per, life+", carbon_price: 60 EUR/t, carbon_path: [60, 70 EUR/t]"), `25: money.carbon_path[1]: stands beside carbon_price; want one of the two`},
		{"a rise of nothing", moneyed(t, per, life+", carbon_price_rise: 2 %/a"), `25: money.carbon_price_rise: is of carbon_price, which is missing; write it too`},
		{"other currency", moneyed(t, "per_m3: 1500 USD/m3", life), `24: store.cost.per_m3: "1500 USD/m3" is not in EUR, in which the scenario counts; want one currency`},
		{"200 years", moneyed(t, per, "life: 200 a"), `25: money.life: "200 a" is out of range: a plant of no life pays nothing back; want more than 0 a and at most 100 a`},
		{"unknown way", moneyed(t, per, life+", tax: 25 %, depreciation: {method: sum of digits}"),
			`25: money.depreciation.method: "sum of digits" is not known; want straight line, declining balance, declining then straight line, MACRS, schedule or none`},
	} {
		_, err := Parse("plain.yaml", []byte(c.input), nil)
		if err == nil {
			t.Errorf("%s: is taken", c.name)
			continue
		}
		if got := strings.ReplaceAll(err.Error(), "plain.yaml:", ""); got != c.want && c.want != "*" {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, got, c.want)
		}
	}
}

// parsedMoney understands a scenario but for its weather, which money needs none of.
func parsedMoney(t testing.TB, text string) Case {
	t.Helper()
	form, d := read("plain.yaml", []byte(text))
	b := builder{decoder: d, f: form}
	b.understand()
	if err := b.err(); err != nil {
		t.Fatal(err)
	}
	b.c.Assumptions = b.assumed
	return b.c
}

func TestBusiness(t *testing.T) {
	t.Parallel()
	c := parsedMoney(t, moneyed(t, "fixed: 5000 EUR, reference: {volume: 40 m3, price: 100000 EUR}, upkeep: 1 %/a, integration: 12000 EUR, replace: [{what: pump, year: 10, cost: 2 %}]",
		`life: 15 a, discount: 5 %, rates: real, inflation: 2 %/a, fuel_price_rise: 1 %/a, carbon_price: 50 EUR/t, degradation: 0.5 %/a,
  subsidy: {share: 30 %, cap: 40000 EUR, paid_in_year: 1}, tax: 25 %, tax_losses: at once, depreciation: {method: declining balance, rate: 80 %},
  loan: {share: 50 %, rate: 6 %, term: 10 a}, engineering: 10 %, integration: 20000 EUR, land: 1000 EUR, land_resale: 100 %, insurance: 0.5 %/a, water_treatment: 300 EUR/a, residual: 5 %`,
		"90 m2}", "90 m2, cost: {per_m2: 200 EUR/m2, fixed: 1000 EUR, upkeep: 2 %/a}}"))
	m := c.Business
	want := worth.Terms{Years: 15, DiscountFrac: 0.071, InflationFrac: 0.02, DegradationFrac: 0.005, PartsRiseFrac: 0.02, ResidualFrac: 0.05, LandResaleFrac: 1,
		Loan: worth.Loan{ShareFrac: 0.5, RateFrac: 0.06, Years: 10}, Subsidy: worth.Subsidy{ShareFrac: 0.3, Cap: 40000, Year: 1}}
	got := m.Terms
	if math.Abs(got.DiscountFrac-want.DiscountFrac) > 1e-12 || got.Years != want.Years || got.Loan != want.Loan || got.Subsidy != want.Subsidy ||
		got.InflationFrac != want.InflationFrac || got.PartsRiseFrac != want.PartsRiseFrac || got.ResidualFrac != want.ResidualFrac || !m.Has || !got.Tax.LossesAtOnce {
		t.Errorf("terms %+v\nwant %+v", got, want)
	}
	if rise := m.FuelRise["natural gas"]; math.Abs(rise-0.0302) > 1e-12 { // (1.01)(1.02) - 1
		t.Errorf("gas rises by %g; want 0.0302", rise)
	}
	// 50 EUR/t keep pace with inflation where nothing else is said: 50 1.02^14.
	if p := got.CarbonPerT; math.Abs(p[14]-65.974) > 1e-3 {
		t.Errorf("CO2 in year 15 at %g; want 65.97", p[14])
	}
	// The field: 720 m2 at 200 and 1000 make 145 000. The store of 40 m3: 105 000 and 12 000 for its integration. Integration 20 000.
	// Engineering is 10 % of all that: 28 200.
	terms, plant, err := c.PlantProject(40, Saved{})
	if err != nil {
		t.Fatal(err)
	}
	if sum := worthOf(plant); math.Abs(sum-(145e3+117e3+20e3+28.2e3+1e3)) > 1e-6 {
		t.Errorf("sun and tank cost %g; want 311 200: %+v", sum, plant.Outlays)
	}
	if terms.Subsidy.Cap != 40000 {
		t.Errorf("the plant's cap is %g", terms.Subsidy.Cap)
	}
	// The field with integration and engineering takes 0.3 (145 + 20 + 16.5) = 54 450 of the cap of 40 000: the tank has none of it.
	terms, tank, err := c.TankProject(40, Saved{})
	if err != nil {
		t.Fatal(err)
	}
	if sum := worthOf(tank); math.Abs(sum-117e3*1.1) > 1e-6 || terms.Subsidy != (worth.Subsidy{}) {
		t.Errorf("the tank costs %g with a subsidy of %+v; want 128 700 and none", sum, terms.Subsidy)
	}
	if p := tank.Parts; len(p) != 1 || p[0].Year != 10 || math.Abs(p[0].Sum-2100) > 1e-9 {
		t.Errorf("replaced is %+v; want 2 %% of 105 000 in year 10", p)
	}
	if up := tank.Running; len(up) != 2 || math.Abs(up[0].FirstYear-1050) > 1e-9 || math.Abs(up[1].FirstYear-0.005*128.7e3) > 1e-9 {
		t.Errorf("upkeep and insurance are %+v", up)
	}
}

// Rates over inflation and the nominal rates that they come to are one and the same money.
func TestRealIsNominal(t *testing.T) {
	t.Parallel()
	const store = "per_m3: 1500 EUR/m3, upkeep: 1 %/a"
	real := parsedMoney(t, moneyed(t, store, "life: 20 a, rates: real, discount: 5 %, inflation: 3 %/a, fuel_price_rise: 1 %/a, carbon_price: 60 EUR/t, carbon_price_rise: 0 %/a"))
	nominal := parsedMoney(t, moneyed(t, store, "life: 20 a, discount: 8.15 %, inflation: 3 %/a, fuel_price_rise: 4.03 %/a, carbon_price: 60 EUR/t, carbon_price_rise: 3 %/a"))
	s := Saved{Fuel: []FuelSaved{{"natural gas", 9000}}, Power: -100, CO2Kg: 3e4, HeatKWh: 2e5}
	var npv []float64
	for _, c := range []Case{real, nominal} {
		terms, p, err := c.TankProject(40, s)
		if err != nil {
			t.Fatal(err)
		}
		w, err := worth.Work(terms, p)
		if err != nil {
			t.Fatal(err)
		}
		npv = append(npv, w.Result.NPV)
	}
	if math.Abs(npv[0]-npv[1]) > 1e-6 {
		t.Errorf("real rates give %g, their nominal ones %g", npv[0], npv[1])
	}
}

// What is missing for a case is said by its key; nothing is made up.
func TestLacking(t *testing.T) {
	t.Parallel()
	c := parsedMoney(t, moneyed(t, "per_m3: 1500 EUR/m3", "life: 20 a, discount: 8 %"))
	if got := c.Lacking(true); len(got) != 0 || !c.Business.Has {
		t.Errorf("the tank lacks %v", got)
	}
	if got := c.Lacking(false); !slices.Equal(got, []string{"fields[dishes].cost"}) {
		t.Errorf("the plant lacks %v", got)
	}
	c = parsedMoney(t, moneyed(t, "per_m3: 1500 EUR/m3", "currency: EUR"))
	if got := c.Business.Lacks; c.Business.Has || !slices.Equal(got, []string{"money.life"}) {
		t.Errorf("without a life, %v is lacking", got)
	}
	if c = parsedMoney(t, plain); c.Business.Has || len(c.Business.Lacks) > 0 {
		t.Errorf("a scenario without money counts it: %+v", c.Business)
	}
	c = parsedMoney(t, moneyed(t, "per_m3: 1500 EUR/m3", "life: 20 a"))
	if !slices.ContainsFunc(c.Assumptions, func(a Assumption) bool { return a.Key == "money.discount" && a.Value == "0 %" }) {
		t.Error("a discount that is left out is not noted")
	}
}

// What a m³ has to save in a year is its annuity and upkeep where nothing else counts, and less with what helps it.
func TestStoreYearly(t *testing.T) {
	t.Parallel()
	next := func(store, money string) float64 {
		yearly := parsedMoney(t, moneyed(t, store, money)).StoreYearly()
		if yearly == nil {
			t.Fatalf("%s: none", money)
		}
		_, v := yearly(40)
		return v
	}
	const store, plainTerms = "per_m3: 1500 EUR/m3, upkeep: 1 %/a", "life: 20 a, discount: 8 %"
	base := next(store, plainTerms)
	if want := 1500 * (0.10185221 + 0.01); math.Abs(base-want) > 1e-4 { // recovery factor of checks-heat.md 8.1
		t.Errorf("a m³ has to save %g; want %g", base, want)
	}
	for money, less := range map[string]bool{", subsidy: 30 %": true, ", fuel_price_rise: 3 %/a": true, ", residual: 10 %": true,
		", insurance: 1 %/a": false, ", degradation: 1 %/a": false, ", engineering: 8 %": false} {
		if v := next(store, plainTerms+money); (v < base) != less {
			t.Errorf("with %s it has to save %g in place of %g", money[2:], v, base)
		}
	}
	// The general way comes to the annuity too: by a subsidy of nothing it is gone.
	if v := next(store, plainTerms+", loan: {share: 50 %, rate: 8 %, term: 20 a}"); math.Abs(v-base) > 1e-9*base {
		t.Errorf("with a loan at the discount it has to save %.12g; want %.12g", v, base)
	}
	// Half the price: dC/dV of 100 000 (V/40)^0.6 at 40 m3 is 0.6 of the mean price there.
	if v, mean := next("reference: {volume: 40 m3, price: 100000 EUR}", plainTerms), 2500*0.10185221; math.Abs(v-0.6*mean) > 1e-3 {
		t.Errorf("by the six-tenths rule it has to save %g; want %g", v, 0.6*mean)
	}
	if yearly := parsedMoney(t, moneyed(t, "table: [{volume: 10 m3, price: 30000 EUR}, {volume: 50 m3, price: 70000 EUR}]", plainTerms)).StoreYearly(); yearly == nil {
		t.Error("a list gives none")
	} else if whole, next := yearly(60); !math.IsInf(whole, 1) || !math.IsInf(next, 1) {
		t.Errorf("beyond the list a store costs %g, the next m³ %g", whole, next)
	}
}

// A store's price that is turned up is that of one case alone.
func TestVesselTimes(t *testing.T) {
	t.Parallel()
	c := parsedMoney(t, moneyed(t, "fixed: 100 EUR, per_m3: 1500 EUR/m3", "life: 20 a, discount: 8 %"))
	twice := c
	twice.vesselTimes(2)
	a, _ := c.Store.Cost.Price.At(10)
	b, _ := twice.Store.Cost.Price.At(10)
	if a != 15100 || b != 30200 || twice.StoreAt() != 0 {
		t.Errorf("10 m³ cost %g, twice that %g", a, b)
	}
}

// FuzzMoney reads any text as money: no panic, each fault with its line, and what is taken can be worked out.
func FuzzMoney(f *testing.F) {
	f.Add("life: 20 a, discount: 8 %, subsidy: {share: 30 %, cap: 5 EUR}, tax: 25 %, depreciation: {method: MACRS, years: 5}", "per_m3: 1500 EUR/m3")
	f.Add("life: 1 a, rates: real, inflation: -3 %/a, carbon_path: [1, 2 EUR/t], loan: {share: 1, rate: 0, term: 1 a}", "table: [{volume: 1 m3, price: 2 EUR}]")
	f.Add("life: 100 a, residual: 1, land: 5 EUR/a, engineering: 1e9, tax: 1, tax_losses: at once", "reference: {volume: 40 m3, price: 9 EUR, exponent: 1.5}, upkeep: 1")
	f.Fuzz(func(t *testing.T, money, store string) {
		if len(money)+len(store) > 500 || strings.ContainsAny(money+store, "\n\r") {
			return
		}
		text := strings.Replace(plain, "  steps: 0..120 m3\n", "  steps: 0..120 m3\n  cost: {"+store+"}\nmoney: {"+money+"}\n", 1)
		form, d := read("f.yaml", []byte(text))
		b := builder{decoder: d, f: form}
		if !d.fatal {
			b.understand()
		}
		if err := b.err(); err != nil {
			checkFaults(t, text, err)
			return
		}
		c := b.c
		if !c.Business.Has || c.Store == nil || !c.Store.Cost.Known {
			return
		}
		terms, p, err := c.TankProject(30, Saved{Fuel: []FuelSaved{{"natural gas", 5000}}, CO2Kg: 1e4, HeatKWh: 1e5})
		if err != nil {
			return // beyond the price list
		}
		if _, err := worth.Work(terms, p); err != nil {
			t.Fatalf("money %q, store %q: is taken, and then: %v", money, store, err)
		}
	})
}
