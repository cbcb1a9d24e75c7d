package scenarios

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"noonkeep/storage"
)

var update = flag.Bool("update", false, "write what the cases give into testdata/cases")

// Each case is one text: a scenario above the rule, what is understood of it or what is wrong below.
func TestCases(t *testing.T) {
	t.Parallel()
	paths, err := filepath.Glob("testdata/cases/*.txt")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			above, below, ok := strings.Cut(string(data), "\n----\n")
			if !ok {
				t.Fatal("has no rule ----")
			}
			c, err := Parse("case.yaml", []byte(above), Beside(filepath.Dir(path)))
			got := understood(c)
			if err != nil {
				got = err.Error() + "\n"
			}
			if *update {
				if err := os.WriteFile(path, []byte(above+"\n----\n"+got), 0o644); err != nil {
					t.Fatal(err)
				}
			} else if got != below {
				t.Errorf("\n got %s\nwant %s", got, below)
			}
		})
	}
}

// understood tells what a case says that depends on the scenario alone, not on the sun.
func understood(c Case) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, in %s, %d steps of %g h from %s\n", c.Name, c.Currency, c.Axis.N, c.Axis.StepH(), c.Axis.Start.Format("2006-01-02 15:04 -0700"))
	for _, h := range c.Headers {
		sum := 0.0
		for _, kW := range h.DemandKW {
			sum += kW * c.Axis.StepH()
		}
		if h.Medium != nil {
			fmt.Fprintf(&b, "header %s: %v, %.2f to %.2f degC, %.1f MWh\n", h.Name, h.Medium, h.Medium.SupplyC, h.Medium.ReturnC, sum/1000)
			continue
		}
		fmt.Fprintf(&b, "header %s: %.4f bar(a), %.2f degC, %.2f kJ/kg, %.1f MWh\n", h.Name, h.Pressure.BarAbs(), h.SteamC, h.HeatKJKg, sum/1000)
	}
	for _, x := range c.Boilers {
		fmt.Fprintf(&b, "boiler %s: %.1f kW on %s, %.5f kWh %s per kWh at %.6f, %.5f kg CO2\n", x.Name, x.CapacityKW, c.Headers[x.Header].Name, x.FuelPerHeat(), x.Fuel.Name, x.Fuel.PricePerKWh, x.Fuel.CO2KgPerKWh)
	}
	for _, f := range c.Fields {
		fmt.Fprintf(&b, "field %s: %g m2, %v, eta0b %g, on %s, charges %v\n", f.Name, f.AreaM2(), f.Collector.Tracking, f.Collector.Eta0b, c.Headers[f.Header].Name, f.ToStore.KWM2 != nil)
	}
	for _, s := range c.Stores {
		if len(c.Stores) > 1 {
			fmt.Fprintf(&b, "varied %v, charged from %s with %.0f kW, ", s == c.Store, c.Headers[s.From].Name, s.HeaderChargeKW)
		}
		fmt.Fprintf(&b, s.Name+": %v, %g m3 of %g..%g, %.2f to %.2f degC on %s\n", s.Spec.Discharge, s.VolumeM3, s.FromM3, s.ToM3, s.HotC(), s.FloorC(), c.Headers[s.Header].Name)
	}
	for _, a := range c.Assumptions {
		fmt.Fprintf(&b, "assumed %s: %s\n", a.Key, a.Value)
	}
	for _, w := range c.Warnings {
		if !strings.HasPrefix(w.Text, "weather.") { // the room sky's own words
			fmt.Fprintf(&b, "doubtful, line %d: %s\n", w.Line, w.Text)
		}
	}
	return b.String()
}

// What becomes of the plain scenario, against hand calculations and published values.
func TestPlainCase(t *testing.T) {
	t.Parallel()
	c, err := Parse("plain.yaml", []byte(plain), nil)
	if err != nil {
		t.Fatal(err)
	}
	h, boiler := c.Headers[0], c.Boilers[0]
	hours := 0.0
	for day := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() == 2026; day = day.AddDate(0, 0, 1) {
		if day.Weekday() != time.Sunday {
			hours += 16
		}
	}
	sum := 0.0
	for _, kW := range h.DemandKW {
		sum += kW
	}
	for _, v := range []struct {
		what           string
		got, want, tol float64
		src            string
	}{
		{"header pressure, bar(a)", h.Pressure.BarAbs(), 7.01325, 1e-9, "6 bar(g) at sea level, standard atmosphere 1.01325 bar"},
		{"heat of steam, kJ/kg", h.HeatKJKg, 2763.1 - 356.5, 0.5, "checks-heat.md 1.2 and 1.3, 7 bar(a) h_g 2762.7, 85 degC h_f 355.9; interpolated by hand"},
		{"boiler, kW", boiler.CapacityKW, 2000 * h.HeatKJKg / 3600, 1e-9, "2000 kg/h by the header's heat, unit conversion"},
		{"fuel per heat", boiler.FuelPerHeat(), 1 / 0.85, 1e-12, "definition"},
		{"gas CO2, kg/kWh", boiler.Fuel.CO2KgPerKWh, 0.20196, 1e-9, "checks-heat.md 5.1.10"},
		{"demand, kWh", sum, hours * 900 * h.HeatKJKg / 3600, 1, "working hours counted day by day"},
		{"area, m2", c.Fields[0].AreaM2(), 720, 0, "8 by 90"},
		{"store's hottest, degC", c.Store.HotC(), 208.5, 0.6, "checks-heat.md 1.2: 18 bar(a) 207.1, 19 bar(a) 209.8 degC; interpolated to 18.51"},
	} {
		if v.src == "" {
			t.Errorf("%s: no source", v.what)
		}
		if math.Abs(v.got-v.want) > v.tol {
			t.Errorf("%s: got %v, want %v (%s)", v.what, v.got, v.want, v.src)
		}
	}
	for _, a := range c.Assumptions {
		if a.Key == "" || a.Value == "" || len(a.Text) < 4 {
			t.Errorf("assumption says nothing: %+v", a)
		}
	}
	if c.Store.Spec.Discharge != storage.Flash || c.Currency != "EUR" || len(c.Assumptions) == 0 {
		t.Errorf("got %v, %q, %d assumptions", c.Store.Spec.Discharge, c.Currency, len(c.Assumptions))
	}
}

// Headers stand from the highest pressure down whatever the file's order, and things keep to theirs.
func TestHeadersInOrder(t *testing.T) {
	t.Parallel()
	low := "  - {name: low, pressure: 2 bar(g), feedwater: 85 degC}\n"
	c, err := Parse("my.yaml", []byte(with(t, "  - {name: main, p", low+"  - {name: main, p", "{name: works, header: main", "{name: works, header: low",
		"{name: dishes, ", "{name: dishes, header: main, ", "vessel: flash", "vessel: flash\n  header: low")), nil)
	if err != nil {
		t.Fatal(err)
	}
	if c.Headers[0].Name != "main" || c.Headers[1].Name != "low" {
		t.Fatalf("order %s, %s", c.Headers[0].Name, c.Headers[1].Name)
	}
	if c.Loads[0].Header != 1 || c.Boilers[0].Header != 0 || c.Fields[0].Header != 0 || c.Store.Header != 1 {
		t.Errorf("load %d, boiler %d, field %d, store %d", c.Loads[0].Header, c.Boilers[0].Header, c.Fields[0].Header, c.Store.Header)
	}
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Valves) != 1 || p.Valves[0].From != 0 || p.Valves[0].To != 1 {
		t.Errorf("valves %+v", p.Valves)
	}
	if least := slices.Max(p.Headers[1].DemandKW); p.Valves[0].CapacityKW < least {
		t.Errorf("the valve passes %g kW and the low header takes %g kW", p.Valves[0].CapacityKW, least)
	}
}

// The fuel's price on net heat, by every way of stating it.
func TestFuelPrices(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		fuel, named string
		price, co2  float64
		src         string
	}{
		{"{name: natural gas, price: 0.05 EUR/kWh, price_basis: gross}", "natural gas", 0.05 * 1.11, 0.20196, "gross over net 1.11 and CO2 of checks-heat.md 5.1.15, 5.1.10"},
		{"{name: furnace oil, price: 590 EUR/t}", "furnace oil", 0.590 / (40.4 / 3.6), 0.27864, "40.4 TJ/Gg and CO2 of checks-heat.md 5.1.4, 5.1.10"},
		{"{name: gas oil, price: 0.9 EUR/l}", "gas oil", 0.9 / (0.84 * 43 / 3.6), 0.26676, "43.0 TJ/Gg, CO2 of checks-heat.md 5.1.1, 5.1.10; 0.84 kg/l from memory"},
		{"{name: x, price: 10 EUR/GJ, co2: 56.1 t/TJ}", "x", 0.036, 0.20196, "1 kWh = 3.6 MJ; checks-heat.md 5.1.10"},
		{"{name: x, price: 400 EUR/t, net_calorific_value: 36 MJ/kg, co2: 3 t/t}", "x", 0.04, 0.3, "36 MJ/kg is 10 kWh/kg, by hand"},
		{"{name: x, price: 0.5 EUR/m3, net_calorific_value: 10 kWh/m3, co2: 2 kg/m3}", "x", 0.05, 0.2, "by hand"},
		{"{name: x, like: natural gas, price: 0.05 EUR/kWh, price_basis: net}", "x", 0.05, 0.20196, "checks-heat.md 5.1.10"},
		{"{name: wood chips, price: 0.03 EUR/kWh}", "wood chips", 0.03, 0, "biogenic: outside the fossil total, checks-heat.md 5.1.8"},
	} {
		input := with(t, "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}", c.fuel, "fuel: natural gas", "fuel: "+c.named)
		got, err := Parse("my.yaml", []byte(input), nil)
		if err != nil {
			t.Errorf("%s: %v", c.fuel, err)
			continue
		}
		f := got.Boilers[0].Fuel
		if math.Abs(f.PricePerKWh-c.price) > 1e-9 || math.Abs(f.CO2KgPerKWh-c.co2) > 1e-9 {
			t.Errorf("%s: %g per kWh and %g kg, want %g and %g (%s)", c.fuel, f.PricePerKWh, f.CO2KgPerKWh, c.price, c.co2, c.src)
		}
	}
}

// What is doubtful is said, with its line.
func TestDoubts(t *testing.T) {
	t.Parallel()
	unraced(t)
	for _, c := range []struct {
		name, input string
		line        int
		holds       string
	}{
		{"too little boiler", with(t, "2000 kg/h", "300 kg/h"), 10, "headers[main]: boilers give 200.5 kW and the loads take 601."},
		{"large field without a store", with(t, "count: 8", "count: 80", plain[strings.Index(plain, "store:"):], ""), 18, "no store takes the rest"},
		{"a store that nothing charges", with(t, "90 m2}", "90 m2, charges_store: no}"), 20, "no field charges it and boilers may not"},
		{"volume outside the steps", with(t, "40 m3", "400 m3"), 21, "400 m3 lies outside the steps 0 m3..120 m3"},
		{"an idle fuel", with(t, "price_basis: net}", "price_basis: net}\n  - {name: coal, price: 90 EUR/t}"), 15, "fuels[coal]: is burnt in no boiler"},
		{"a header without a load", with(t, "feedwater: 85 degC}", "feedwater: 85 degC}\n  - {name: low, pressure: 2 bar(g)}"), 11, "headers[low]: no load takes heat from it"},
		{"a fuel whose CO2 is not known", with(t, "natural gas, price: 0.05", "husks, price: 0.05", "fuel: natural gas", "fuel: husks"), 14, "its CO2 counts as nothing"},
		{"little beam", with(t, "[3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]", "[1, 1.5, 2, 3, 4, 4, 4, 3, 2.5, 2, 1.2, 1 kWh/m2d]"), 18, "a concentrator seldom pays"},
		{"a tax's method without a tax", with(t, "steps: 0..120 m3", "steps: 0..120 m3\nmoney: {currency: EUR, tax_losses: at once}"), 24, "money.tax_losses: has no effect without tax"},
		{"a holiday of another year", with(t, "step: 60 min}", "step: 60 min, holidays: [2025-12-25]}"), 8, "lies outside the study's year 2026"},
		{"a supply for a flash vessel", with(t, "volume: 40 m3", "volume: 40 m3\n  supply: 150 degC"), 22, "store.supply: has no effect on a flash vessel"},
	} {
		got, err := Parse("my.yaml", []byte(c.input), nil)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if !slices.ContainsFunc(got.Warnings, func(w Warning) bool { return w.Line == c.line && strings.Contains(w.Text, c.holds) }) {
			t.Errorf("%s: want line %d, %q; got %+v", c.name, c.line, c.holds, got.Warnings)
		}
	}
}

func TestLoadExamples(t *testing.T) {
	t.Parallel()
	for _, s := range Starters() {
		c, err := Load(s.Name)
		if err != nil {
			t.Errorf("%s: %v", s.Name, err)
			continue
		}
		for _, w := range c.Warnings {
			if !strings.Contains(w.Text, "this year is generated") {
				t.Errorf("%s: an example should raise no doubt: %+v", s.Name, w)
			}
		}
		if c.Store.VolumeM3 <= 0 || len(c.Fields) == 0 || s.Text == "" {
			t.Errorf("%s: is no plant with a store and a field", s.Name)
		}
	}
}

// A file is read with the files that stand beside it.
func TestLoadReadsBeside(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	series := "time,kg/h\n"
	for i := range 8760 {
		series += time.Date(2026, 1, 1, i, 0, 0, 0, time.UTC).Format("2006-01-02 15:04") + ",700\n"
	}
	input := with(t, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "series: logs/steam.csv")
	for name, data := range map[string]string{"plant.yaml": input, "logs/steam.csv": series} {
		path := filepath.Join(dir, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(data), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	c, err := Load(filepath.Join(dir, "plant.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	want := 700 * c.Headers[0].HeatKJKg / 3600
	if got := c.Headers[0].DemandKW[4000]; math.Abs(got-want) > 1e-6 {
		t.Errorf("demand %g kW, want %g (700 kg/h by the header's heat)", got, want)
	}
}
