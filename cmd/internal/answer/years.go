package answer

import (
	"context"
	"errors"
	"fmt"

	"noonkeep/scenarios"
)

// YearsOptions say which years are solved. The zero value is good.
type YearsOptions struct {
	Seeds      int     // years of generated weather, the scenario's own among them; 0: 30. Measured years are all solved.
	ToM3       float64 // largest volume of every curve; 0: the scenario's store.steps
	Engine     string  // "clp" or "onestore"; empty: the program chooses
	UnsureFrac float64 // what weather data and model may be off, a standard deviation over the mean; 0: none is reckoned

	Progress func(done, of int) // called by several goroutines, one at a time; of is 0 while it is not known; nil is silent
}

// Years is one plant in many years of weather. Money is a year's, in Currency. The calendar of the loads is the study's in
// every year; the weather changes, and the loads that follow it.
type Years struct {
	Scenario string         `json:"scenario"`
	Currency string         `json:"currency"`
	Weather  string         `json:"weather"` // WeatherGenerated or WeatherMeasured
	VolumeM3 float64        `json:"volume_m3"`
	Years    []WeatherYear  `json:"years"`
	Spread   YearsSpread    `json:"spread"`  // with the store at VolumeM3
	Volumes  []VolumeSpread `json:"volumes"` // at the volumes that every year was solved at; empty without a store

	// BestVolumeM3 is the best volume of the mean over all years, by Rule: that of a tank which lives through them.
	BestVolumeM3 *float64 `json:"best_volume_m3"`
	BestAtEdge   bool     `json:"best_at_edge"`
	Rule         string   `json:"best_volume_rule"`
	StorePerM3   *float64 `json:"store_cost_per_m3_and_year"`

	// WorstYear and BestYear save least and most over boilers alone at VolumeM3; empty where all years save the same.
	WorstYear string   `json:"worst_year"`
	BestYear  string   `json:"best_year"`
	Cautious  Cautious `json:"p90_with_unsure"` // of the savings over boilers alone at VolumeM3

	BetweenYearsFrac float64  `json:"between_years_given"` // of generated years, as the scenario gives it
	CalendarYear     int      `json:"calendar_year"`
	LeftOut          []string `json:"years_left_out"` // and why
	Notes            []string `json:"notes"`
	CertifiedGap     float64  `json:"certified_gap"` // the widest of all years
	Proof            Proof    `json:"proof"`         // the worst of all years
	Estimator        string   `json:"estimator"`     // what P10, P50 and P90 are

	yearly storeYearly
}

// Where the weather comes from.
const (
	WeatherGenerated = "generated from monthly means"
	WeatherMeasured  = "measured"
)

// quantileWords say what the quantiles are.
const quantileWords = "p10, p50, p90: exceeded in 10, 50, 90 % of years; definition 6 of Hyndman and Fan (1996), p(k) = k/(n+1), " +
	"null under 10 years; p10_normal, p90_normal: mean plus, less 1.2816 standard deviations, as for a normal distribution"

// WeatherYear is one year, solved. All but the best volume holds with the store at VolumeM3.
type WeatherYear struct {
	Name     string  `json:"name"` // "seed 7", "2011"
	Own      bool    `json:"own"`  // the scenario's own year, which the other commands take
	DNIKWhM2 float64 `json:"dni_kWh_m2"`
	GHIKWhM2 float64 `json:"ghi_kWh_m2"`
	AirC     float64 `json:"air_degC"` // mean

	DemandKWh            float64  `json:"demand_kWh"`
	AnnualCost           float64  `json:"annual_cost"`
	SavingsVsBoilersOnly float64  `json:"savings_vs_boilers_only"`
	SavingsVsNoStorage   float64  `json:"savings_vs_no_storage"`
	SolarFraction        float64  `json:"solar_fraction"`
	FuelKWh              float64  `json:"fuel_kWh"`
	CO2Kg                float64  `json:"co2_kg"`
	SpilledSunKWh        float64  `json:"spilled_sun_kWh"`
	UnmetKWh             float64  `json:"unmet_kWh"`
	BoilersOnlyCost      float64  `json:"boilers_only_cost"`
	BestVolumeM3         *float64 `json:"best_volume_m3"`
	BestAtEdge           bool     `json:"best_at_edge"`
	Notes                []string `json:"notes"` // what is doubtful in this year and not in the scenario's own

	curve []Point
	gap   float64
	proof Proof
}

// YearsSpread is how the years' figures lie.
type YearsSpread struct {
	DNIKWhM2             Spread  `json:"dni_kWh_m2"`
	GHIKWhM2             Spread  `json:"ghi_kWh_m2"`
	DemandKWh            Spread  `json:"demand_kWh"`
	AnnualCost           Spread  `json:"annual_cost"`
	SavingsVsBoilersOnly Spread  `json:"savings_vs_boilers_only"`
	SavingsVsNoStorage   Spread  `json:"savings_vs_no_storage"`
	SolarFraction        Spread  `json:"solar_fraction"`
	FuelKWh              Spread  `json:"fuel_kWh"`
	CO2Kg                Spread  `json:"co2_kg"`
	BestVolumeM3         *Spread `json:"best_volume_m3"`
}

// VolumeSpread is how the years lie with a store of one volume. Savings lists the years in their order.
type VolumeSpread struct {
	VolumeM3             float64   `json:"volume_m3"`
	SavingsVsNoStorage   Spread    `json:"savings_vs_no_storage"`
	SavingsVsBoilersOnly Spread    `json:"savings_vs_boilers_only"`
	MarginalSavingsPerM3 Spread    `json:"marginal_savings_per_m3"`
	SolarFraction        Spread    `json:"solar_fraction"`
	FuelKWh              Spread    `json:"fuel_kWh"`
	Savings              []float64 `json:"savings_vs_no_storage_by_year"`
}

// ManyYears solves the plant in every year of its weather. The error is as that of [Make], with the year's name; weather of
// one year alone is an error. The same seeds give the same answer, to the last bit.
func ManyYears(ctx context.Context, c scenarios.Case, opt YearsOptions) (Years, error) {
	out := Years{Scenario: c.Name, Currency: c.Currency, Weather: WeatherMeasured, Rule: RuleSaves, LeftOut: []string{}, Notes: []string{},
		BetweenYearsFrac: c.BetweenYears(), CalendarYear: c.Axis.Start.Year(), Estimator: quantileWords}
	list := measuredYears(c)
	if _, generated := c.Seed(); generated {
		var err error
		if list, err = seedYears(c, opt.Seeds); err != nil {
			return Years{}, err
		}
		out.Weather = WeatherGenerated
	} else if opt.Seeds != 0 {
		return Years{}, fmt.Errorf("%s: weather: is measured, so there are no seeds to draw; every year of its files is solved", c.File)
	}
	if c.Store != nil {
		out.VolumeM3 = c.Store.VolumeM3
	}
	if out.yearly = c.StoreYearly(); out.yearly != nil {
		_, price := out.yearly(out.VolumeM3)
		out.Rule, out.StorePerM3 = RulePays, finite(price)
	}
	var err error
	if out.Years, out.LeftOut, err = solveYears(ctx, c, list, opt); err != nil {
		return Years{}, err
	}
	if err := enoughYears(c, out); err != nil {
		return Years{}, err
	}
	out.describe(c, opt)
	return out, nil
}

// enoughYears refuses one year, which has no spread.
func enoughYears(c scenarios.Case, y Years) error {
	if len(y.Years) > 1 {
		return nil
	}
	few := "one year"
	if len(y.Years) == 0 {
		few = "no whole year"
	}
	err := fmt.Errorf("%s: weather: has %s, and one year has no spread; name files of several years, or give monthly means to generate them from", c.File, few)
	for _, why := range y.LeftOut {
		err = errors.Join(err, fmt.Errorf("%s: left out: %s", c.File, why))
	}
	return err
}
