package plant

import "math"

// Fuel is what a boiler burns. Prices and carbon are per kWh of net heat (lower calorific value).
type Fuel struct {
	Name        string
	PricePerKWh float64   // money per kWh net; the year's mean where PriceByStep is there
	PriceByStep []float64 // the same by step of the study; nil: PricePerKWh in all of them
	CO2KgPerKWh float64   // kg per kWh net, at the stack; 0 for what counts as biogenic
	Power       bool      // electricity: its CO2 leaves no stack of the site
	GrossPerNet float64   // gross over net calorific value, about 1.11 for natural gas; 0 when not known
}

// Check returns everything that is wrong with the fuel. A price below 0 (paid to burn) is allowed.
func (f Fuel) Check() error {
	bad := newFaults("fuel", f.Name)
	bad.require(!math.IsNaN(f.PricePerKWh) && !math.IsInf(f.PricePerKWh, 0), "price", "is %g per kWh; want a number",
		f.PricePerKWh)
	for t, price := range f.PriceByStep {
		if math.IsNaN(price) || math.IsInf(price, 0) {
			bad.require(false, "price", "is %g per kWh in step %d; want a number", price, t)
			break
		}
	}
	bad.require(f.CO2KgPerKWh >= 0 && f.CO2KgPerKWh < 10, "co2", "is %g kg per kWh net; want 0 to 10", f.CO2KgPerKWh)
	bad.require(f.GrossPerNet == 0 || f.GrossPerNet >= 1 && f.GrossPerNet < 2, "gross per net",
		"is %g; want gross over net calorific value, 1 to 2", f.GrossPerNet)
	return bad.err()
}

const (
	mjPerKWh = 3.6
	tjPerKWh = 3.6e-6
	kgPerT   = 1000
)

// Calorific is the heat in one unit of fuel (kg, litre, m³, ...). It is made from a net or a gross value, never from a
// bare number, since the two differ by up to an eighth. The zero value is invalid and gives NaN.
type Calorific struct{ netMJ float64 }

// NetMJ is a net (lower) calorific value in MJ per unit.
func NetMJ(mj float64) Calorific { return Calorific{mj} }

// GrossMJ is a gross (higher) calorific value in MJ per unit, with the fuel's ratio of gross to net.
func GrossMJ(mj, grossPerNet float64) Calorific { return Calorific{mj / grossPerNet} }

// NetKWh is the net heat in one unit, kWh; NaN for the zero value.
func (c Calorific) NetKWh() float64 {
	if !(c.netMJ > 0) {
		return math.NaN()
	}
	return c.netMJ / mjPerKWh
}

// PricePerKWh turns a price per unit of fuel into one per kWh net. The unit is that of the calorific value: both per kg,
// both per litre, both per m³. See PricePerT and PricePerGJ for the two units of the trade that differ.
func (c Calorific) PricePerKWh(pricePerUnit float64) float64 { return pricePerUnit / c.NetKWh() }

// PricePerT turns a price per tonne into one per kWh net; the calorific value is per kg.
func (c Calorific) PricePerT(pricePerT float64) float64 { return c.PricePerKWh(pricePerT / kgPerT) }

// PricePerGJ turns a price per GJ into one per kWh net. grossPerNet is 1 for a price per net GJ, and the fuel's
// ratio for one per gross GJ: a gas bill is written on gross heat.
func PricePerGJ(pricePerGJ, grossPerNet float64) float64 {
	const gjPerKWh = 0.0036
	return pricePerGJ * gjPerKWh * grossPerNet
}

// PricePerGrossKWh turns a price per kWh gross into one per kWh net.
func PricePerGrossKWh(pricePerKWh, grossPerNet float64) float64 { return pricePerKWh * grossPerNet }

// PriceAt is the price in a step, per kWh net.
func (f Fuel) PriceAt(step int) float64 {
	if f.PriceByStep == nil {
		return f.PricePerKWh
	}
	return f.PriceByStep[step]
}

// CO2KgPerKWh turns a factor in kg per TJ, as inventories print it (equal to t per PJ), into kg per kWh. Both on net heat.
func CO2KgPerKWh(kgPerTJ float64) float64 { return kgPerTJ * tjPerKWh }
