package plant

import (
	"fmt"
	"strings"
)

// FuelKind is a fuel of the trade with its default figures, for a scenario that states none.
type FuelKind struct {
	Name        string
	Also        []string // other words for it
	NetMJKg     float64  // net calorific value
	CO2KgPerTJ  float64  // per net TJ, at the stack
	GrossPerNet float64  // ratio of the calorific values
	KgPerM3     float64  // liquids at 15 °C, gas at 0 °C and 1.01325 bar(a); 0 for solids
	Biogenic    bool     // counted outside the fossil total
	Source      string   // of calorific value and carbon
	RatioSource string   // of GrossPerNet and KgPerM3
}

const (
	ipcc2006     = "IPCC 2006 Guidelines vol. 2 ch. 1, tables 1.2 and 1.4"
	ipccMemory   = "IPCC 2006 Guidelines vol. 2 ch. 1, tables 1.2 and 1.4, from memory"
	handbook     = "handbook value, from memory"
	ieaFivePct   = "IEA convention, 5 % for coal, from memory"
	handbookBand = "middle of the handbook band, from memory"
)

// FuelKinds lists the fuels in a new slice. Calorific values and carbon are the IPCC defaults, which a real delivery misses by a
// few per cent (national inventories: about 1.5 % in carbon); wood depends on its moisture far more.
func FuelKinds() []FuelKind {
	return []FuelKind{
		{Name: "natural gas", Also: []string{"gas"}, NetMJKg: 48.0, CO2KgPerTJ: 56100,
			GrossPerNet: 1.11, KgPerM3: 0.75, Source: ipcc2006, RatioSource: handbook},
		{Name: "liquefied petroleum gas", Also: []string{"lpg", "propane"}, NetMJKg: 47.3, CO2KgPerTJ: 63100,
			GrossPerNet: 1.085, KgPerM3: 540, Source: ipcc2006, RatioSource: handbookBand},
		{Name: "gas oil", Also: []string{"diesel", "light fuel oil"}, NetMJKg: 43.0, CO2KgPerTJ: 74100,
			GrossPerNet: 1.065, KgPerM3: 840, Source: ipcc2006, RatioSource: handbookBand},
		{Name: "kerosene", NetMJKg: 43.8, CO2KgPerTJ: 71900,
			GrossPerNet: 1.065, KgPerM3: 800, Source: ipcc2006, RatioSource: handbookBand},
		{Name: "residual fuel oil", Also: []string{"heavy fuel oil", "furnace oil"}, NetMJKg: 40.4, CO2KgPerTJ: 77400,
			GrossPerNet: 1.06, KgPerM3: 960, Source: ipcc2006, RatioSource: handbook},
		{Name: "petroleum coke", NetMJKg: 32.5, CO2KgPerTJ: 97500,
			GrossPerNet: 1.05, Source: ipcc2006, RatioSource: ieaFivePct},
		{Name: "anthracite", NetMJKg: 26.7, CO2KgPerTJ: 98300,
			GrossPerNet: 1.04, Source: ipccMemory, RatioSource: handbookBand},
		{Name: "bituminous coal", Also: []string{"coal", "hard coal"}, NetMJKg: 25.8, CO2KgPerTJ: 94600,
			GrossPerNet: 1.04, Source: ipcc2006, RatioSource: handbookBand},
		{Name: "sub-bituminous coal", NetMJKg: 18.9, CO2KgPerTJ: 96100,
			GrossPerNet: 1.05, Source: ipcc2006, RatioSource: ieaFivePct},
		{Name: "lignite", Also: []string{"brown coal"}, NetMJKg: 11.9, CO2KgPerTJ: 101000,
			GrossPerNet: 1.05, Source: ipcc2006, RatioSource: ieaFivePct},
		{Name: "wood", Also: []string{"wood chips", "wood waste"}, NetMJKg: 15.6, CO2KgPerTJ: 112000, Biogenic: true,
			GrossPerNet: 1.08, Source: ipcc2006, RatioSource: handbookBand},
		{Name: "other solid biomass", Also: []string{"biomass"}, NetMJKg: 11.6, CO2KgPerTJ: 100000, Biogenic: true,
			GrossPerNet: 1.08, Source: ipcc2006, RatioSource: handbookBand},
	}
}

// FuelKindByName finds a fuel by its name or another word for it, in any case. The error lists the names.
func FuelKindByName(name string) (FuelKind, error) {
	var names []string
	for _, k := range FuelKinds() {
		if matches(name, k.Name, k.Also) {
			return k, nil
		}
		names = append(names, k.Name)
	}
	return FuelKind{}, fmt.Errorf("fuel: no kind is named %q; want one of: %s", name, strings.Join(names, ", "))
}

// matches compares without regard to case, dashes and doubled blanks.
func matches(word, name string, also []string) bool {
	if plain(word) == plain(name) {
		return true
	}
	for _, other := range also {
		if plain(word) == plain(other) {
			return true
		}
	}
	return false
}

func plain(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(s, "-", " "))), " ")
}

// CO2KgPerT is the carbon of a tonne of the fuel, biogenic or not, kg.
func (k FuelKind) CO2KgPerT() float64 {
	const tjPerGg, tPerGg = 1, 1000 // MJ/kg is TJ/Gg
	return k.CO2KgPerTJ * k.NetMJKg * tjPerGg / tPerGg
}

// PerKg is the net heat in a kg.
func (k FuelKind) PerKg() Calorific { return NetMJ(k.NetMJKg) }

// PerM3 is the net heat in a m³; for a solid it is the invalid Calorific.
func (k FuelKind) PerM3() Calorific { return NetMJ(k.NetMJKg * k.KgPerM3) }

// PerLitre is the net heat in a litre; for a solid it is the invalid Calorific.
func (k FuelKind) PerLitre() Calorific { return NetMJ(k.NetMJKg * k.KgPerM3 / 1000) }

// Fuel makes the fuel at a price per kWh net. A biogenic fuel carries no CO2; CO2KgPerTJ keeps what leaves its stack.
func (k FuelKind) Fuel(pricePerKWh float64) Fuel {
	f := Fuel{Name: k.Name, PricePerKWh: pricePerKWh, GrossPerNet: k.GrossPerNet}
	if !k.Biogenic {
		f.CO2KgPerKWh = CO2KgPerKWh(k.CO2KgPerTJ)
	}
	return f
}
