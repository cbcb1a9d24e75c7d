package plant

import (
	"math"
	"testing"
)

func TestFuelKinds(t *testing.T) {
	const (
		products = "IPCC 2006 vol. 2 ch. 1 tables 1.2 and 1.4, product as transcribed in a public note"
		recalled = "IPCC 2006, pair from memory: plausibility"
		paper    = "open-access paper doi 10.1186/s13021-016-0046-9 table 1, after IPCC 2006"
		factor   = "3.6 times the IPCC factor, exact"
		none     = -1.
	)
	for _, row := range []struct {
		name                      string
		kgPerT, kgPerMWh, gPerKWh float64
		srcT, srcMWh, srcKWh      string
	}{
		{"gas oil", 3186.3, none, 266.76, products, "", factor},
		{"natural gas", 2692.8, 202, 201.96, products, paper, factor},
		{"LPG", 2984.63, none, 227.16, products, "", factor},
		{"residual fuel oil", 3126.96, 279, 278.64, products, paper, factor},
		{"bituminous coal", 2440.68, none, none, products, "", ""},
		{"lignite", 1201.9, 364, 363.6, products, paper, factor},
		{"sub-bituminous coal", 1816.29, none, none, products, "", ""},
		{"kerosene", 3149.22, none, none, products, "", ""},
		{"petroleum coke", 3168.75, none, none, products, "", ""},
		{"wood", 1747.2, 403, none, products, paper, ""},
		{"other solid biomass", 1160, none, none, products, "", ""},
		{"anthracite", 2624.61, none, none, recalled, "", ""},
	} {
		k, err := FuelKindByName(row.name)
		if err != nil {
			t.Error(err)
			continue
		}
		near(t, row.name+", kg per t", k.CO2KgPerT(), row.kgPerT, 1e-9*row.kgPerT, row.srcT)
		perKWh := CO2KgPerKWh(k.CO2KgPerTJ)
		if row.kgPerMWh != none {
			near(t, row.name+", kg per MWh", 1000*perKWh, row.kgPerMWh, 0.5, row.srcMWh)
		}
		if row.gPerKWh != none {
			near(t, row.name+", g per kWh", 1000*perKWh, row.gPerKWh, 1e-9, row.srcKWh)
		}
	}
	if k, _ := FuelKindByName("wood"); k.Fuel(0.03).CO2KgPerKWh != 0 {
		t.Error("wood carries fossil carbon; want 0, it is biogenic")
	}
}

func TestFuelBands(t *testing.T) {
	const memory = "handbook band, from memory: plausibility"
	for _, row := range []struct {
		name      string
		low, high float64
		src       string
	}{
		{"natural gas", 1.105, 1.115, "methane 55.5/50.0 MJ/kg, handbook, from memory: plausibility"},
		{"gas oil", 1.06, 1.07, memory}, {"residual fuel oil", 1.055, 1.065, memory}, {"lpg", 1.08, 1.09, memory},
		{"bituminous coal", 1.03, 1.05, memory}, {"wood", 1.07, 1.09, memory},
	} {
		k, err := FuelKindByName(row.name)
		if err != nil || k.GrossPerNet < row.low || k.GrossPerNet > row.high {
			t.Errorf("%s: gross per net %g, %v; want %g to %g (%s)", row.name, k.GrossPerNet, err, row.low, row.high, row.src)
		}
	}
	// The gross-basis factor of another country's rule, turned to net heat, meets the IPCC's.
	gas, _ := FuelKindByName("natural gas")
	const grossKgPerGJ = 50.29
	near(t, "natural gas, kg per net GJ", grossKgPerGJ*gas.GrossPerNet, gas.CO2KgPerTJ/1000, 0.01*56.1,
		"US rule 40 CFR 98 table C-1, gross basis, as transcribed in a public repository")
	for _, row := range []struct {
		name    string
		gPerKWh float64
	}{
		{"gas oil", 263.9}, {"residual fuel oil", 273.6}, {"coal", 340.6}, {"gas", 204.7},
	} {
		k, err := FuelKindByName(row.name)
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.name+", g per kWh", 1000*CO2KgPerKWh(k.CO2KgPerTJ), row.gPerKWh, 0.02*row.gPerKWh,
			"a national inventory's factors (seai.ie), band around the IPCC's")
	}
}

func TestPrices(t *testing.T) {
	const hand = "hand calculation beside the row"
	oil, _ := FuelKindByName("gas oil")
	gas, _ := FuelKindByName("natural gas")
	for _, row := range []struct {
		what      string
		got, want float64
	}{
		{"860 per t at 43 MJ/kg", oil.PerKg().PricePerT(860), 0.072}, // 860/(43000/3.6) = 0.86 × 3.6/43
		{"0.86 per kg", oil.PerKg().PricePerKWh(0.86), 0.072},
		{"1 per litre at 36.12 MJ/l", oil.PerLitre().PricePerKWh(1), 3.6 / 36.12},          // 43 × 0.84 = 36.12
		{"0.40 per m³ at 36 MJ/m³", gas.PerM3().PricePerKWh(0.40), 0.04},                   // 48 × 0.75 = 36 MJ = 10 kWh
		{"0.40 per m³ at 39.96 MJ/m³ gross", GrossMJ(39.96, 1.11).PricePerKWh(0.40), 0.04}, // the same gas
		{"10 per GJ net", PricePerGJ(10, 1), 0.036},
		{"10 per GJ gross", PricePerGJ(10, 1.11), 0.03996},
		{"0.05 per kWh gross", PricePerGrossKWh(0.05, 1.11), 0.0555},
	} {
		near(t, row.what, row.got, row.want, 1e-12, hand)
	}
	if got := (Calorific{}).PricePerKWh(1); !math.IsNaN(got) {
		t.Errorf("price with no calorific value is %g; want NaN", got)
	}
	coal, _ := FuelKindByName("coal")
	if got := coal.PerLitre().PricePerKWh(1); !math.IsNaN(got) {
		t.Errorf("price of coal per litre is %g; want NaN", got)
	}
}
