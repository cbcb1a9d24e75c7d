package scenarios

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// scenarioOf reads the scenario of a case file.
func scenarioOf(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "cases", name))
	if err != nil {
		t.Fatal(err)
	}
	above, _, _ := strings.Cut(string(data), "\n----\n")
	return above
}

func partsOfLoad(l Consumer) (sum, filled, own float64) {
	for _, p := range l.Parts {
		sum += p.KWh
		switch {
		case strings.HasPrefix(p.Name, "filled"):
			filled += p.KWh
		case p.Name == "deaerator and blowdown":
			own += p.KWh
		}
	}
	return sum, filled, own
}

// Fuel becomes heat by calorific value and efficiency, and none of it is lost; by every unit.
func TestBillsToHeat(t *testing.T) {
	t.Parallel()
	const boiler = "{name: B1, header: main, fuel: natural gas, capacity: 2000 kg/h, efficiency: 0.85}"
	const gas = "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}"
	for _, row := range []struct {
		used, fuel, boiler string
		want               float64
		src                string
	}{
		{"100 MWh net", gas, boiler, 85000, "100 MWh by 0.85"},
		{"111000 kWh gross", gas, boiler, 85000, "gross over net 1.11, checks-heat.md 5.1.15"},
		{"360 GJ net", gas, boiler, 85000, "1 kWh = 3.6 MJ"},
		{"10 t", gas, boiler, 10000 * 48 / 3.6 * 0.85, "48.0 TJ/Gg, checks-heat.md 5.1.9"},
		{"10000 m3", "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net, net_calorific_value: 10 kWh/m3}", boiler, 85000, "by hand"},
		{"111 MWh gross", gas, strings.Replace(boiler, "0.85", "0.80, efficiency_basis: gross", 1), 88800, "0.80 of gross heat"},
	} {
		bills := "bills: {weather: no, dates: readings, list: [{from: 2026-01-01, to: 2027-01-01, used: " + row.used + "}]}, when: \"Mon-Sat 06:00-22:00\""
		c, err := Parse("my.yaml", []byte(with(t, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", bills, gas, row.fuel, boiler, row.boiler)), nil)
		if err != nil {
			t.Errorf("%s: %v", row.used, err)
			continue
		}
		sum, _, _ := partsOfLoad(c.Loads[0])
		if got := c.Loads[0].KW.EnergyKWh(1); math.Abs(got-row.want) > 1e-9*row.want || math.Abs(sum-got) > 1e-9*got {
			t.Errorf("%s: %.9g kWh, parts %.9g, want %.9g (%s)", row.used, got, sum, row.want, row.src)
		}
		for i, kW := range c.Loads[0].KW {
			if h := c.Axis.At(i).Hour(); kW > 0 && (h < 6 || h >= 22) {
				t.Fatalf("%s: %g kW at %s, out of the hours of work", row.used, kW, c.Axis.Label(i))
			}
		}
	}
}

// A boiler's bills hold what the boiler house takes: it is shown apart, and not added.
func TestBillsHoldOwnUse(t *testing.T) {
	t.Parallel()
	text := scenarioOf(t, "bills.txt")
	open := Beside(filepath.Join("testdata", "cases"))
	c, err := Parse("my.yaml", []byte(text), open)
	if err != nil {
		t.Fatal(err)
	}
	gross := 412500. + 371000 + 322400 + 240000 + 179500 + 151200 + 148900 + 150100 + 171300 + 318200 + 398800 // bills.csv
	want := gross / 1.11 * 0.85
	sum, filled, own := partsOfLoad(c.Loads[0])
	// Filled days are shown without their share of own use.
	k := c.Headers[0].House.OwnUseFrac
	if got := sum - filled*(1+k); math.Abs(got-want) > 1e-9*want {
		t.Errorf("bills give %.9g kWh, want %.9g (gross 1.11, efficiency 0.85)", got, want)
	}
	if got := c.Loads[0].KW.EnergyKWh(1); math.Abs(got-sum) > 1e-9*sum || math.Abs(own-sum*k/(1+k)) > 1e-9*sum {
		t.Errorf("load %.9g, parts %.9g, own use %.9g of %.4g", got, sum, own, k)
	}
	fit := c.Loads[0].Billed.Fit
	if fit == nil || !fit.Used || fit.R2 < 0.9 || fit.Bills != 10 {
		t.Errorf("fit %v", fit)
	}
	office := c.Loads[1]
	if got, want := office.KW[0], 20*c.Headers[0].HeatKJKg/3600*(1+k); math.Abs(got-want) > 1e-12*want {
		t.Errorf("office %g kW, want %g: steam and its own use", got, want)
	}
	if _, err := c.Problem(); err != nil {
		t.Error(err)
	}
	// A variant with another load leaves the bills as they are.
	c2, err := Parse("my.yaml", []byte(text+"\nvariants: [{name: big, change: {loads: [{name: office, steam: 40 kg/h}]}}]\n"), open)
	if err != nil {
		t.Fatal(err)
	}
	v, err := c2.Vary("big")
	if err != nil {
		t.Fatal(err)
	}
	if a, b := c.Loads[0].KW.EnergyKWh(1), v.Loads[0].KW.EnergyKWh(1); a != b {
		t.Errorf("in a variant the bills have %g kWh, before %g", b, a)
	}
	if a, b := 2*office.KW[0], v.Loads[1].KW[0]; math.Abs(a-b) > 1e-9 {
		t.Errorf("in the variant the office takes %g kW, want %g", b, a)
	}
}
