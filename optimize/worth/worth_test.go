package worth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64, src string) {
	t.Helper()
	if src == "" {
		t.Errorf("%s: has no source", what)
	}
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g within %g (%s)", what, got, want, tol, src)
	}
}

func TestFactors(t *testing.T) {
	t.Parallel()
	const tables = "engineering-economy tables, checks-heat.md 8.1.1 to 8.1.4"
	const nist = "NIST Handbook 135 (1995), formulas of section 3: SPV (1+d)^-n, UPV ((1+d)^n-1)/(d(1+d)^n), UPV* with escalation; values from memory of its table A at 3 %"
	for _, c := range []struct {
		rate, years, want, tol float64
		src                    string
	}{
		{0.03, 5, 0.21835457, 5e-9, "checks-heat.md 8.1, computed apart"}, {0.03, 20, 0.06721571, 5e-9, "checks-heat.md 8.1, computed apart"},
		{0.05, 10, 0.12950457, 5e-9, "checks-heat.md 8.1, computed apart"}, {0.06, 15, 0.10296276, 5e-9, "checks-heat.md 8.1, computed apart"},
		{0.08, 20, 0.10185221, 5e-9, "checks-heat.md 8.1, computed apart"}, {0.10, 25, 0.11016807, 5e-9, "checks-heat.md 8.1, computed apart"},
		{0.12, 30, 0.12414366, 5e-9, "checks-heat.md 8.1, computed apart"}, {0.15, 10, 0.19925206, 5e-9, "checks-heat.md 8.1, computed apart"},
		{0.08, 10, 0.1490, 5e-5, tables}, {0.09, 10, 0.1558, 5e-5, tables}, {0.15, 5, 0.2983, 5e-5, tables}, {0.0025, 20, 0.05132, 5e-6, tables},
		{0, 20, 0.05, 1e-15, "without interest each year pays an equal part"},
	} {
		near(t, fmt.Sprintf("recovery at %g over %g a", c.rate, c.years), Recovery(c.rate, c.years), c.want, c.tol, c.src)
	}
	for _, c := range []struct {
		years                    int
		rise, discount, want, at float64
		src                      string
	}{
		{20, 0, 0.08, 9.81814741, 5e-9, "Kalogirou eq. 12.16, checks-heat.md 8.1.6"},
		{20, 0.05, 0.08, 14.35799112, 5e-9, "Kalogirou eq. 12.16, checks-heat.md 8.1.6"},
		{10, 0.06, 0.08, 8.52455044, 5e-9, "Kalogirou eq. 12.16, checks-heat.md 8.1.6"},
		{20, 0.10, 0.08, 22.16865272, 5e-9, "Kalogirou eq. 12.16, checks-heat.md 8.1.6"},
		{20, 0.08, 0.08, 18.51851852, 5e-9, "Kalogirou eq. 12.17, checks-heat.md 8.1.6"},
		{25, 0.02, 0.04, 19.22905628, 5e-9, "Kalogirou eq. 12.16, checks-heat.md 8.1.6"},
		{10, 0, 0.08, 6.7101, 5e-5, tables}, {10, 0, 0.09, 6.4177, 5e-5, tables}, {5, 0, 0.15, 3.3522, 5e-5, tables}, {10, 0, 0.15, 5.0188, 5e-5, tables},
		{20, 0, 0.0025, 19.4845, 5e-5, tables}, {20, 0, 0.05, 12.46221, 5e-6, "checks-heat.md 8.2.10"},
		{10, 0, 0.03, 8.53, 5e-3, nist}, {20, 0, 0.03, 14.88, 5e-3, nist}, {25, 0, 0.03, 17.41, 5e-3, nist},
	} {
		near(t, fmt.Sprintf("present worth over %d a", c.years), PresentWorth(c.years, c.rise, c.discount), c.want, c.at, c.src)
	}
	near(t, "single present worth", discounted(0.08, 10), 0.4632, 5e-5, tables)
	near(t, "single present worth", discounted(0.03, 15), 0.642, 5e-4, nist)
	near(t, "inflating payment", 1000*math.Pow(1.05, 5)*discounted(0.09, 6), 761.00, 0.01, "Kalogirou section 12.2, checks-heat.md 8.1.5")
}

func TestNPVAndPayback(t *testing.T) {
	t.Parallel()
	level := func(first, each, rise float64, n int) []float64 {
		f := []float64{first}
		for i := range n {
			f = append(f, each+float64(i)*rise)
		}
		return f
	}
	worths := func(rate float64, f []float64) []float64 {
		out := make([]float64, len(f))
		for i, x := range f {
			out[i] = x * discounted(rate, i)
		}
		return out
	}
	near(t, "NPV", NPV(0.1, level(-3000, 800, 0, 6)), 484.209, 5e-4, checks+" 8.2.1")
	near(t, "payback", Payback(level(-3000, 800, 0, 6)), 3.75, 1e-12, checks+" 8.2.1")
	near(t, "NPV", NPV(0.12, level(-23e6, 10e6, 0, 10))/1e6, 33.502, 5e-4, checks+" 8.2.7")
	near(t, "gradient", NPV(0.12, level(0, 2775, 125, 8)), 15594.13, 5e-3, checks+" 8.2.8")
	near(t, "annual worth", NPV(0.12, level(-9000, 2775, 125, 8))*Recovery(0.12, 8), 1327.42, 5e-3, checks+" 8.2.8")
	near(t, "rising tariff", NPV(0.03, level(-5e5, 1.2e5, 2e3, 10)), 596241.92, 5e-3, checks+" 8.2.9")
	// Year by year the discounted flows are 18.519, 17.147, 15.877, 14.701, 13.612, 12.603, 11.670: 92.458 after 6 years.
	// 6 + (100 - 92.4576)/11.6698; the closed form 6.6375, which runs on within the year as an annuity, lies in the same year.
	near(t, "discounted payback", Payback(worths(0.08, level(-100, 20, 0, 20))), 6.6463, 1e-4, "hand calculation; checks-heat.md 8.2.11 for the year")
	for _, c := range []struct {
		flows []float64
		want  float64
		src   string
	}{
		{[]float64{-10, 20, -15, 10}, 2.5, "hand: sums -10, 10, -5, 5: the first crossing is undone"},
		{[]float64{-10, 5, 4}, math.Inf(1), "hand: sums end at -1"},
		{[]float64{-10, 5, 5}, 2, "hand"}, {[]float64{0, 5}, 0, "nothing is put in"}, {[]float64{5, -1}, 0, "never below nothing"},
	} {
		if got := Payback(c.flows); got != c.want {
			t.Errorf("%v pay back in %g, want %g (%s)", c.flows, got, c.want, c.src)
		}
	}
}

func TestDepreciation(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		d    Depreciation
		want []float64 // per cent
		src  string
	}{
		{Depreciation{Method: Declining, RateFrac: 0.8}, []float64{80, 16, 3.2, 0.64, 0.128, 0.0256}, "0.2^k, checks-heat.md 8.3.8"},
		{Depreciation{Method: Declining, RateFrac: 0.4}, []float64{40, 24, 14.4, 8.64, 5.184, 3.1104}, "0.6^k, checks-heat.md 8.3.9"},
		{Depreciation{Method: StraightLine, Years: 4}, []float64{25, 25, 25, 25, 0}, "definition"},
		{Depreciation{Method: DecliningThenStraight, RateFrac: 0.4, Years: 5}, []float64{40, 24, 14.4, 10.8, 10.8, 0}, "hand: 21.6 % are left after 3 years; 0.4 of it is less than its half"},
	} {
		for i, got := range c.d.WrittenOff(len(c.want)) {
			near(t, fmt.Sprintf("%v, year %d", c.d.Method, i+1), 100*got, c.want[i], 1e-9, c.src)
		}
	}
	for years, times := range map[int]float64{3: 2, 5: 2, 7: 2, 10: 2, 15: 1.5, 20: 1.5} {
		d, err := MACRS(years)
		if err != nil || d.Check() != nil {
			t.Fatal(years, err, d.Check())
		}
		sum, tol := 0.0, 0.0101 // the printed columns are rounded to sum to 100: their digits alternate
		for i, rule := range HalfYear(times, years) {
			near(t, fmt.Sprintf("MACRS %d, year %d", years, i+1), 100*d.Shares[i], 100*rule, tol, "IRS Publication 946, Table A-1, against its rule: checks-heat.md 8.3.1 to 8.3.7")
			sum += 100 * d.Shares[i]
		}
		near(t, fmt.Sprintf("MACRS %d", years), sum, 100, 0.0011, "each column sums to 100 %")
	}
	// tau d/(d + r): the first claim at the end of year 1 gives tau d (1 + (1-d)/(1+r) + ...)/(1+r).
	for _, c := range []struct{ rate, want float64 }{{0.8, 0.266667}, {0.4, 0.24}} {
		shield := 0.3 * NPV(0.1, append([]float64{0}, Depreciation{Method: Declining, RateFrac: c.rate}.WrittenOff(200)...))
		near(t, "tax shield", shield, c.want, 1e-6, "geometric series, checks-heat.md 8.3.10")
	}
}

// The ledger gives the savings that the P1, P2 method gives.
func TestLifeCycleSavings(t *testing.T) {
	t.Parallel()
	const src = "Kalogirou eq. 12.32 to 12.34 after Duffie and Beckman ch. 11, checks-heat.md 8.3.11"
	loan := Loan{0.8, 0.07, 10}
	p := func(fuel, cost float64) Project {
		return Project{Outlays: []Outlay{{Name: "plant", Sum: cost}}, Savings: []Saving{{Name: "fuel", FirstYear: fuel, RiseFrac: 0.06}},
			Running: []Running{{"maintenance", 0.01 * cost, 0.03}}}
	}
	commercial := Terms{Years: 20, DiscountFrac: 0.08, Loan: loan, Tax: Tax{0.3, true, Depreciation{Method: StraightLine, Years: 20}}}
	npv := func(terms Terms, p Project) float64 {
		c, err := Work(terms, p)
		if err != nil {
			t.Fatal(err)
		}
		return c.Result.NPV
	}
	near(t, "P1, commercial", npv(commercial, p(1, 0)), 10.91701917, 1e-8, src)
	near(t, "P2, commercial", -npv(commercial, p(0, 1)), 0.82778237, 1e-8, src)
	near(t, "LCS, commercial", npv(commercial, p(10e3, 60e3)), 59503.25, 5e-3, src)
	// A household deducts the interest and nothing else: P2 = D + loan's worth - tax on its interest + maintenance.
	plain := Terms{Years: 20, DiscountFrac: 0.08, Loan: loan}
	near(t, "P1, household", npv(plain, p(1, 0)), 15.59574168, 1e-8, src)
	y := play(plain, p(0, 1))
	near(t, "P2, household", -npv(plain, p(0, 1))+0.3*NPV(0.08, y.interest), 1.01180470, 1e-8, src)
}

func TestHeatCost(t *testing.T) {
	t.Parallel()
	p := Project{Outlays: []Outlay{{Name: "plant", Sum: 100e3}}, Running: []Running{{Name: "upkeep", FirstYear: 1000}}, HeatKWh: 100e3, CO2Kg: 20e3}
	terms := Terms{Years: 25, DiscountFrac: 0.03}
	cost := func(terms Terms, p Project) Result {
		c, err := Work(terms, p)
		if err != nil {
			t.Fatal(err)
		}
		return c.Result
	}
	near(t, "simple", 1000*cost(terms, p).HeatCostPerKWh, 67.4279, 5e-5, "(I0 CRF + O&M)/E, checks-heat.md 8.4.2")
	falling := terms
	falling.DegradationFrac = 0.005
	near(t, "output falls", 1000*cost(falling, p).HeatCostPerKWh, 71.0185, 5e-5, "discounted sums, checks-heat.md 8.4.3")
	taxed := terms
	taxed.Tax = Tax{0.25, true, Depreciation{Method: StraightLine, Years: 20}}
	near(t, "taxed", 1000*cost(taxed, p).HeatCostPerKWh, 54.2481, 5e-5, "IEA SHC Task 54 form, checks-heat.md 8.4.4")
	near(t, "CO2", cost(terms, p).CO2CostPerT, 67.4279*100/20, 5e-4, "the same cost over 20 t in place of 100 MWh")
	pumps := p
	pumps.UnpricedCO2Kg = -4e3
	near(t, "CO2, with that of pumps", cost(terms, pumps).CO2CostPerT, 67.4279*100/16, 5e-4, "the same cost over 20 - 4 t")
	// Heat sold at the levelised cost, risen with inflation, is worth nothing: in money of the start its price in year 1 has risen once.
	terms.InflationFrac, terms.DiscountFrac = 0.02, Nominal(0.03, 0.02)
	price := cost(terms, p).HeatCostPerKWh
	p.Savings = []Saving{{Name: "heat sold", FirstYear: price * 1.02 * p.HeatKWh, RiseFrac: 0.02}}
	near(t, "NPV of selling at it", cost(terms, p).NPV, 0, 1e-9*100e3, "definition, IEA SHC Task 52; checks-heat.md 8.4.5")
}

func TestVesselPrice(t *testing.T) {
	t.Parallel()
	const rule = "C2 = C1 (X2/X1)^n, six-tenths rule, checks-heat.md 8.4.6 and 8.4.7"
	v := VesselPrice{ReferenceM3: 10, ReferencePrice: 50e3, Exponent: 0.6}
	at := func(v VesselPrice, m3 float64) float64 {
		x, err := v.At(m3)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	near(t, "doubling", at(v, 20)/at(v, 10), 1.515717, 5e-7, rule)
	near(t, "tenfold", at(v, 100)/at(v, 10), 3.981072, 5e-7, rule)
	near(t, "four times", at(v, 40), 114869.84, 5e-3, rule)
	near(t, "per m³ at four times", at(v, 40)/40/(at(v, 10)/10), 0.574349, 5e-7, rule)
	near(t, "slope", v.NextM3(40), (at(v, 40.001)-at(v, 39.999))/0.002, 1e-3, "difference quotient")
	list := VesselPrice{Fixed: 1e3, Table: []SizePrice{{5, 20e3}, {10, 30e3}, {40, 60e3}}}
	for _, c := range []struct{ m3, price, next float64 }{{0, 0, 0}, {2, 21e3, 0}, {5, 21e3, 2e3}, {7.5, 26e3, 2e3}, {10, 31e3, 1e3}, {40, 61e3, 1e3}} {
		near(t, fmt.Sprintf("list at %g", c.m3), at(list, c.m3), c.price, 1e-9, "hand: straight lines between the rows, and the fixed part")
		near(t, fmt.Sprintf("next at %g", c.m3), list.NextM3(c.m3), c.next, 1e-9, "hand")
	}
	if _, err := list.At(41); err == nil || err.Error() != "a vessel of 41 m³ has no price: the table ends at 40 m³" {
		t.Errorf("beyond the list: %v", err)
	}
}

// What must hold whatever the figures.
func TestProperties(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 3))
	work := func(terms Terms, p Project) Case {
		t.Helper()
		c, err := Work(terms, p)
		if err != nil {
			t.Fatalf("%v", err)
		}
		return c
	}
	for range 100 {
		terms, p := anyCase(r)
		base := work(terms, p)
		again := terms
		if ordinary(base.Flows) {
			again.DiscountFrac += 0.01
			if more := work(again, p); more.Result.NPV > base.Result.NPV {
				t.Errorf("NPV rises from %g to %g with the discount: %v", base.Result.NPV, more.Result.NPV, base.Flows)
			}
		}
		// Payback grows with the vessel's price, without loan and tax, which may turn that round.
		again = terms
		again.Loan, again.Tax, again.Subsidy = Loan{}, Tax{}, Subsidy{}
		dearer := p
		dearer.Outlays = append([]Outlay{{"dearer", 1e5, false}}, p.Outlays...)
		if a, b := work(again, p).Result, work(again, dearer).Result; b.PaybackA < a.PaybackA || b.SimplePaybackA < a.SimplePaybackA {
			t.Errorf("payback falls from %g to %g with the price", a.PaybackA, b.PaybackA)
		}
		// All that is not land given: nothing is put in but the land.
		again = terms
		again.Subsidy = Subsidy{ShareFrac: 1}
		if got := work(again, p).Result; math.Abs(got.OwnCapital+got.Loan-p.Outlays[1].Sum) > 1e-6 {
			t.Errorf("with all given, %g is put in; want the land's %g", got.OwnCapital+got.Loan, p.Outlays[1].Sum)
		}
		real(t, terms, base)
	}
}

// ordinary flows go out at the start and come in later.
func ordinary(f []float64) bool {
	return f[0] < 0 && !slices.ContainsFunc(f[1:], func(x float64) bool { return x < 0 })
}

// real looks at the same flows in money of the start, discounted at the rate over inflation.
func real(t *testing.T, terms Terms, c Case) {
	t.Helper()
	flows := make([]float64, len(c.Flows))
	for i, x := range c.Flows {
		flows[i] = x * discounted(terms.InflationFrac, i)
	}
	over := Real(terms.DiscountFrac, terms.InflationFrac)
	if a := NPV(over, flows); math.Abs(a-c.Result.NPV) > 1e-7*(1+c.Result.Capital) {
		t.Errorf("in real money NPV is %g, nominal %g", a, c.Result.NPV)
	}
	if a := InternalRate(flows); a.IsRate && c.Result.IRR.IsRate && math.Abs(Nominal(a.Rate(), terms.InflationFrac)-c.Result.IRR.Rate()) > 1e-7*(1+math.Abs(a.Rate())) {
		t.Errorf("the real return is %g, the nominal %g at %g inflation", a.Rate(), c.Result.IRR.Rate(), terms.InflationFrac)
	}
}

func TestBreakEven(t *testing.T) {
	t.Parallel()
	of := func(price float64) Project {
		return Project{Outlays: []Outlay{{Name: "m³", Sum: price}}, Savings: []Saving{{Name: "oil", FirstYear: 300}}, Running: []Running{{Name: "upkeep", FirstYear: 0.01 * price}}}
	}
	got, err := BreakEven(Terms{Years: 20, DiscountFrac: 0.08}, of)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "simple", got, 300/(0.10185221+0.01), 1e-3, "saving over annuity and upkeep; recovery factor of checks-heat.md 8.1")
	if got, _ := BreakEven(Terms{Years: 20, DiscountFrac: 0.08, Subsidy: Subsidy{ShareFrac: 1}}, func(price float64) Project {
		p := of(price)
		p.Running = nil
		return p
	}); !math.IsInf(got, 1) {
		t.Errorf("a gift pays at %g; want at any price", got)
	}
	if got, _ := BreakEven(Terms{Years: 20}, func(price float64) Project {
		p := of(price)
		p.Savings[0].FirstYear = -1
		return p
	}); got != 0 {
		t.Errorf("what saves nothing pays at %g", got)
	}
	// Carried losses bend the line.
	terms := Terms{Years: 12, DiscountFrac: 0.1, Tax: Tax{0.3, false, Depreciation{Method: Declining, RateFrac: 0.8}}}
	got, _ = BreakEven(terms, of)
	c, _ := Work(terms, of(got))
	near(t, "carried losses", c.Result.NPV, 0, 1e-9*got, "definition")
}

func TestWrongMoney(t *testing.T) {
	t.Parallel()
	good := Terms{Years: 20, DiscountFrac: 0.08}
	plain := Project{Outlays: []Outlay{{Name: "tank", Sum: 1000}}}
	with := func(change func(*Terms)) Terms {
		t := good
		change(&t)
		return t
	}
	for _, c := range []struct {
		t    Terms
		p    Project
		want string
	}{
		{with(func(t *Terms) { t.Years = 0 }), plain, "life: is 0 years; want 1 to 100"},
		{with(func(t *Terms) { t.DiscountFrac = -2 }), plain, "discount: is -200 %; want more than -100 %, up to 1000 %"},
		{with(func(t *Terms) { t.DiscountFrac = math.NaN() }), plain, "discount: is NaN %; want more than -100 %, up to 1000 %"},
		{with(func(t *Terms) { t.Subsidy.ShareFrac = 1.2 }), plain, "subsidy: is 120 %; want 0 to 100 %"},
		{with(func(t *Terms) { t.Subsidy.Sum = 1500 }), plain, "subsidy: is 1500, more than the 1000 that the project costs; want at most that"},
		{with(func(t *Terms) { t.Subsidy = Subsidy{ShareFrac: 0.2, Year: 21} }), plain, "subsidy: is paid in year 21, and the life has 20; want 0 to 20"},
		{with(func(t *Terms) { t.Loan = Loan{0.5, 0.05, 25} }), plain, "loan: term: is 25 years, and the life 20; want a loan that is paid back within the life"},
		{with(func(t *Terms) { t.Tax.Depreciation = Depreciation{Method: Scheduled, Shares: []float64{0.6, 0.6}} }), plain, "depreciation: schedule: sums to 120 %; want at most 100 %"},
		{with(func(t *Terms) { t.CarbonPerT = []float64{60, -5} }), plain, "carbon price: is -5 in year 2; want 0 or more"},
		{good, Project{Parts: []Part{{"pump", 21, 5}}}, "pump: is replaced in year 21 of a life of 20; want 1 to 20"},
		{good, Project{Outlays: []Outlay{{Name: "tank", Sum: -1}}}, "tank: costs -1; want 0 or more"},
		{with(func(t *Terms) { t.Years, t.ResidualFrac = 0, 2 }), plain, "life: is 0 years; want 1 to 100\nresidual: is 200 %; want 0 to 100 %"},
	} {
		if _, err := Work(c.t, c.p); err == nil || err.Error() != c.want {
			t.Errorf("got %v\nwant %s", err, c.want)
		}
	}
	if _, err := MACRS(6); err == nil || !strings.Contains(err.Error(), "6 years") {
		t.Errorf("MACRS 6: %v", err)
	}
}

func TestPick(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	sizes := []Size{{M3: 0}, {M3: 10, NPV: 50, PaybackA: 4}, {M3: 20, NPV: 99.5, PaybackA: 5}, {M3: 30, NPV: 100, PaybackA: 6}, {M3: 40, NPV: 99, PaybackA: 7}, {M3: 50, NPV: -1, PaybackA: inf}}
	if c := Pick(sizes, ByNPV, 0); c.At != 3 || c.From != 20 || c.To != 40 || c.AtEdge || c.Unsure {
		t.Errorf("by NPV: %+v", c)
	}
	sizes[1].UnsureNPV = 49.5 // it may be as good as the best for all that is known
	if c := Pick(sizes, ByNPV, 0); c.From != 10 || !c.Unsure {
		t.Errorf("unsure: %+v", c)
	}
	if c := Pick(sizes, ByPayback, 0); c.At != 1 || c.From != 10 || c.To != 10 {
		t.Errorf("by payback: %+v", c)
	}
	if c := Pick(sizes, Largest, 6.5); c.At != 3 {
		t.Errorf("largest within 6.5 a: %+v", c)
	}
	if c := Pick(sizes, Largest, 3); c.At != -1 || c.Why != "no size pays back within 3 years" {
		t.Errorf("largest within 3 a: %+v", c)
	}
	if c := Pick([]Size{{M3: 0}, {M3: 10, NPV: -5, PaybackA: inf}}, ByNPV, 0); c.At != -1 || c.Why != "no size earns more than it costs" {
		t.Errorf("nothing pays: %+v", c)
	}
}

func ExampleWork() {
	c, err := Work(Terms{Years: 6, DiscountFrac: 0.1}, Project{
		Outlays: []Outlay{{Name: "tank", Sum: 3000}},
		Savings: []Saving{{Name: "furnace oil", FirstYear: 800}},
	})
	fmt.Printf("NPV %.0f, payback %.2f a, return %.1f %%, %v\n", c.Result.NPV, c.Result.PaybackA, 100*c.Result.IRR.Rate(), err)
	// Output: NPV 484, payback 3.75 a, return 15.3 %, <nil>
}

func ExampleVesselPrice() {
	six := VesselPrice{ReferenceM3: 40, ReferencePrice: 100e3, Exponent: 0.6} // the six-tenths rule
	price, err := six.At(80)
	fmt.Printf("80 m³ cost %.0f, one more m³ %.0f, %v\n", price, six.NextM3(80), err)
	// Output: 80 m³ cost 151572, one more m³ 1137, <nil>
}

func ExampleBreakEven() {
	// A m³ that saves 300 a year for 20 years, with an upkeep of 1 % of its price.
	most, err := BreakEven(Terms{Years: 20, DiscountFrac: 0.08}, func(price float64) Project {
		return Project{Outlays: []Outlay{{Name: "one more m³", Sum: price}}, Savings: []Saving{{Name: "oil", FirstYear: 300}},
			Running: []Running{{Name: "upkeep", FirstYear: 0.01 * price}}}
	})
	fmt.Printf("it may cost %.0f, %v\n", most, err)
	// Output: it may cost 2682, <nil>
}

func ExamplePick() {
	c := Pick([]Size{{M3: 0}, {M3: 20, NPV: 60e3}, {M3: 40, NPV: 99.5e3}, {M3: 60, NPV: 100e3}, {M3: 80, NPV: 80e3}}, ByNPV, 0)
	fmt.Printf("the best is number %d; %g to %g m³ are as good\n", c.At, c.From, c.To)
	// Output: the best is number 3; 40 to 60 m³ are as good
}
