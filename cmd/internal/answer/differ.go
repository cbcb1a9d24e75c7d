package answer

import "math"

// Differ is one figure of a case beside that of the first.
type Differ struct {
	What  string  `json:"what"` // the key that it stands under
	Was   float64 `json:"was"`  // in the first case
	Is    float64 `json:"is"`
	Worth bool    `json:"worth_telling"`
}

// From where on a difference is worth telling. An hourly model of made weather is not surer than that; common
// practice, no source.
const (
	worthFrac  = 0.005 // of the first case's fuel, CO2 and cost; of its heat, for the sun
	WorthBest  = 0.05  // of the best volume, which is read off slopes
	WorthM3    = 2     // and so many m³ at the least
	worthUnmet = 1e-4  // of the heat
)

// SetDifferences sets every case beside the first.
func (c *Comparison) SetDifferences() {
	for i := range c.Cases {
		c.Cases[i].Differences = []Differ{}
		if i > 0 {
			c.Cases[i].Differences = differences(c.Cases[0], c.Cases[i])
		}
	}
}

// differences sets a case beside the first.
func differences(a, b Compared) []Differ {
	heat := worthFrac * math.Max(a.DemandKWh, b.DemandKWh)
	list := []Differ{
		differ("demand_kWh", a.DemandKWh, b.DemandKWh, heat),
		differ("sun_to_header_kWh", a.SunToHeaderKWh, b.SunToHeaderKWh, heat),
		differ("store_out_kWh", a.StoreOutKWh, b.StoreOutKWh, heat),
		differ("spilled_sun_kWh", a.SpilledSunKWh, b.SpilledSunKWh, heat),
		differ("unmet_kWh", a.UnmetKWh, b.UnmetKWh, worthUnmet*math.Max(a.DemandKWh, b.DemandKWh)),
		differ("fuel_kWh", a.FuelKWh, b.FuelKWh, worthFrac*a.FuelKWh),
		differ("co2_kg", a.CO2Kg, b.CO2Kg, worthFrac*a.CO2Kg),
		differ("annual_cost", a.AnnualCost, b.AnnualCost, worthFrac*math.Abs(a.AnnualCost)),
		differ("solar_fraction", a.SolarFraction, b.SolarFraction, worthFrac),
	}
	if a.BestVolumeM3 != nil && b.BestVolumeM3 != nil {
		d := differ("best_volume_m3", *a.BestVolumeM3, *b.BestVolumeM3, math.Max(WorthM3, WorthBest**a.BestVolumeM3))
		list = append(list, d)
	}
	return list
}

func differ(what string, was, is, least float64) Differ {
	return Differ{what, was, is, math.Abs(is-was) >= least && is != was}
}

// Difference finds a figure's difference, and whether it was compared.
func (c Compared) Difference(what string) (Differ, bool) {
	for _, d := range c.Differences {
		if d.What == what {
			return d, true
		}
	}
	return Differ{}, false
}

// HeatPrice is what a MWh of the heat that was met costs in all.
func (c Compared) HeatPrice() float64 { return 1000 * c.AnnualCost / (c.DemandKWh - c.UnmetKWh) }
