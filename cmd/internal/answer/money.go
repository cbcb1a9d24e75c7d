package answer

import (
	"math"

	"noonkeep/optimize"
	"noonkeep/optimize/worth"
	"noonkeep/scenarios"
)

// Money is what the curve's volumes earn. Each sum is in the answer's currency, each rate per year and nominal.
type Money struct {
	Years         int      `json:"life_a"`
	DiscountFrac  float64  `json:"discount"`
	InflationFrac float64  `json:"inflation"`
	Real          bool     `json:"rates_given_real"`
	Words         []string `json:"terms"` // the terms in words
	// NextStopsM3 is where the next m³ stops paying: read off the slopes between proven points. Null where no m³ pays.
	NextStopsM3  *float64 `json:"next_m3_stops_paying_at_m3"`
	StopsAtEdge  bool     `json:"next_m3_pays_at_largest"`
	TankLacks    []string `json:"tank_case_lacks"`  // keys of the scenario; empty where the tank's own case is counted
	PlantLacks   []string `json:"plant_case_lacks"` // likewise, of sun and tank together
	Notes        []string `json:"notes"`
	MostPricedM3 *float64 `json:"price_list_ends_at_m3"` // null without a list

	tank, plant bool
}

// PointMoney is what one volume earns; null is what cannot be said, such as a payback that the life does not reach.
type PointMoney struct {
	StorePrice *float64 `json:"store_price"`         // the vessel with its fixed part
	NextCosts  *float64 `json:"next_m3_costs"`       // what one more m³ costs
	NextWorth  *float64 `json:"next_m3_worth_up_to"` // the most that it may cost and still pay
	Tank       *Earned  `json:"tank"`                // against the same sun with no store
	Plant      *Earned  `json:"sun_and_tank"`        // against boilers alone
}

// Earned is what a project comes to.
type Earned struct {
	Capital            float64   `json:"capital"`
	Subsidy            float64   `json:"subsidy"`
	Loan               float64   `json:"loan"`
	SavedFirstYear     float64   `json:"saved_first_year"`
	SpentFirstYear     float64   `json:"upkeep_first_year"`
	NPV                float64   `json:"npv"`
	AnnualWorth        float64   `json:"npv_per_year"`
	SimplePaybackA     *float64  `json:"simple_payback_a"`
	PaybackA           *float64  `json:"payback_a"`
	DiscountedPaybackA *float64  `json:"discounted_payback_a"`
	IRR                *float64  `json:"irr"`
	IRRWhy             string    `json:"irr_missing_because,omitempty"`
	IRRRoots           []float64 `json:"irr_roots,omitempty"` // where they are several
	HeatCostPerKWh     *float64  `json:"heat_cost_per_kWh"`
	CO2CostPerT        *float64  `json:"co2_cost_per_t"`

	Case worth.Case `json:"-"` // with the table by year
}

// finite is a pointer to a figure, nil for none.
func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func earnedOf(t worth.Terms, p worth.Project) (*Earned, error) {
	w, err := worth.Work(t, p)
	if err != nil {
		return nil, err
	}
	r := w.Result
	e := &Earned{
		Capital: r.Capital, Subsidy: r.Subsidy, Loan: r.Loan, SavedFirstYear: r.SavedFirstYear, SpentFirstYear: r.RunningFirstYear,
		NPV: r.NPV, AnnualWorth: r.AnnualWorth, SimplePaybackA: finite(r.SimplePaybackA), PaybackA: finite(r.PaybackA),
		DiscountedPaybackA: finite(r.DiscountedPaybackA), IRR: finite(r.IRR.Rate()), IRRWhy: r.IRR.Why,
		HeatCostPerKWh: finite(r.HeatCostPerKWh), CO2CostPerT: finite(r.CO2CostPerT), Case: w,
	}
	if len(r.IRR.Roots) > 1 {
		e.IRRRoots = r.IRR.Roots
	}
	return e, nil
}

// spend is what an outcome costs in a year, in its parts.
type spend struct {
	fuel                     []scenarios.FuelSaved // by name, without the price of carbon
	power, other             float64
	co2Kg, allCO2, boilerKWh float64 // kg with a price on it; all kg; heat from boilers, kWh
}

func spendOf(c scenarios.Case, o optimize.Outcome) spend {
	s := spend{other: o.Cost, allCO2: co2Kg(c, o)}
	for i, b := range c.Boilers {
		carbonKg := 0.0
		if !b.Fuel.Power {
			carbonKg = o.FuelKWh[i] * b.Fuel.CO2KgPerKWh
		}
		cost := o.FuelCost[i] - carbonKg*c.CarbonPerKg
		s.co2Kg += carbonKg
		s.other -= o.FuelCost[i]
		s.boilerKWh += o.HeatKWh[i]
		s.add(b.Fuel.Name, cost)
	}
	if len(o.FieldKWh) > 0 {
		s.power = c.PowerKWh(o.FieldKWh) * c.PowerPerKWh
		s.other -= s.power
	}
	return s
}

func (s *spend) add(fuel string, cost float64) {
	for i := range s.fuel {
		if s.fuel[i].Name == fuel {
			s.fuel[i].Sum += cost
			return
		}
	}
	s.fuel = append(s.fuel, scenarios.FuelSaved{Name: fuel, Sum: cost})
}

// less is what another outcome saves against this one. What is rounding of the whole is nothing.
func (s spend) less(o spend, cost float64) scenarios.Saved {
	round := func(v float64) float64 {
		if math.Abs(v) <= 1e-9*math.Abs(cost) {
			return 0
		}
		return v
	}
	out := scenarios.Saved{Power: round(s.power - o.power), Other: round(s.other - o.other),
		CO2Kg: s.co2Kg - o.co2Kg, AllCO2: s.allCO2 - o.allCO2, HeatKWh: s.boilerKWh - o.boilerKWh}
	for i, f := range s.fuel {
		out.Fuel = append(out.Fuel, scenarios.FuelSaved{Name: f.Name, Sum: f.Sum - o.fuel[i].Sum})
	}
	return out
}

// scaled is so many times a saving.
func scaled(s scenarios.Saved, x float64) scenarios.Saved {
	out := s
	out.Fuel = nil
	for _, f := range s.Fuel {
		out.Fuel = append(out.Fuel, scenarios.FuelSaved{Name: f.Name, Sum: x * f.Sum})
	}
	out.Power, out.Other, out.CO2Kg, out.AllCO2, out.HeatKWh = x*s.Power, x*s.Other, x*s.CO2Kg, x*s.AllCO2, x*s.HeatKWh
	return out
}
