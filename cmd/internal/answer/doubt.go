package answer

import (
	"context"
	"fmt"
	"math"

	"noonkeep/scenarios"
)

// DoubtOptions say how a plant is solved under doubt. The zero value is good.
type DoubtOptions struct {
	Cases    int     // how many are drawn; 0: 200
	Seed     uint64  // of the draw
	VolumeM3 float64 // the store of what is told at one volume; 0: the scenario's
	ToM3     float64 // largest volume of every curve; 0: the scenario's store.steps
	Engine   string  // "clp" or "onestore"; empty: the program chooses

	Progress func(done, of int) // called by several goroutines, one at a time; nil is silent
}

// How many cases there may be: under ten there is no P90, and a slip of the finger shall not run for days.
const (
	usualCases = 200
	LeastCases = leastYears
	MostCases  = 10000
)

// Doubt is one plant in many cases of what is not known for sure. Money is a year's, in Currency. Every volume of every case
// is solved and proven.
type Doubt struct {
	Scenario string  `json:"scenario"`
	Currency string  `json:"currency"`
	Seed     uint64  `json:"seed"`
	Sampling string  `json:"sampling"`
	VolumeM3 float64 `json:"volume_m3"`
	Assumed  bool    `json:"inputs_assumed"` // the scenario has no section doubt

	Inputs []DoubtInput `json:"inputs"` // what matters most first: by Swing

	AsWritten DoubtFigures `json:"as_written"` // the scenario itself
	Middle    DoubtFigures `json:"middle"`     // every input at its median, the weather the scenario's own

	Spread  DoubtSpread   `json:"spread"`  // with the store at VolumeM3
	Volumes []DoubtVolume `json:"volumes"` // empty without a store

	Rule          string   `json:"best_volume_rule"`
	OftenBestM3   *float64 `json:"often_best_volume_m3"`   // within 1 % of the best in the most cases; null without a store
	LeastRegretM3 *float64 `json:"least_regret_volume_m3"` // whose largest regret is least
	AtEdge        bool     `json:"best_at_edge"`           // the largest volume is the best in some cases, so a larger one may be better

	Cases     []DoubtCase `json:"cases"`
	LeftOut   []string    `json:"years_left_out"` // of measured weather, and why
	Notes     []string    `json:"notes"`
	Engine    string      `json:"engine"`
	EngineWhy string      `json:"engine_reason"`
	Proof     Proof       `json:"proof"` // the worst of all that was solved
	Estimator string      `json:"estimator"`
}

// DoubtInput is one input that is unsure, and what it does when it moves alone, the others at their medians.
type DoubtInput struct {
	Name   string  `json:"name"`
	Says   string  `json:"says"` // range and shape in words
	Shape  string  `json:"shape"`
	Low    float64 `json:"low"` // as a share of the scenario's value; 0 for weather
	Median float64 `json:"median"`
	High   float64 `json:"high"`
	Mode   float64 `json:"mode"` // of a triangular shape, else 0

	AtLow  DoubtFigures `json:"at_low"`  // for weather, the year that saves least
	AtHigh DoubtFigures `json:"at_high"` // and the one that saves most
	Swing  float64      `json:"swing"`   // of the savings over boilers alone, from end to end

	// RankCorrelation is Spearman's, of the cases: of the input with the savings over boilers alone. The years of weather rank
	// by what each saves alone. Null where either is the same in all cases.
	RankCorrelation *float64 `json:"rank_correlation"`

	unsure scenarios.Unsure
}

// DoubtFigures are what is told of one case. All but the best volume holds with the store at VolumeM3.
type DoubtFigures struct {
	Weather              string   `json:"weather"`
	AnnualCost           float64  `json:"annual_cost"`
	BoilersOnlyCost      float64  `json:"boilers_only_cost"`
	SavingsVsBoilersOnly float64  `json:"savings_vs_boilers_only"`
	SavingsVsNoStorage   float64  `json:"savings_vs_no_storage"`
	SolarFraction        float64  `json:"solar_fraction"`
	FuelKWh              float64  `json:"fuel_kWh"`
	CO2Kg                float64  `json:"co2_kg"`
	UnmetKWh             float64  `json:"unmet_kWh"`
	BestVolumeM3         *float64 `json:"best_volume_m3"` // of those solved; null without a store
	StorePerM3           *float64 `json:"store_cost_per_m3_and_year"`
}

// DoubtCase is one case of the sample.
type DoubtCase struct {
	Case  int       `json:"case"`  // from 1
	Times []float64 `json:"times"` // of each input, in the order of Inputs; 1 for weather
	DoubtFigures
	Savings []float64 `json:"savings_vs_no_storage_by_volume"` // in the order of Volumes
}

// DoubtSpread is how the cases' figures lie.
type DoubtSpread struct {
	SavingsVsBoilersOnly Spread  `json:"savings_vs_boilers_only"`
	SavingsVsNoStorage   Spread  `json:"savings_vs_no_storage"`
	AnnualCost           Spread  `json:"annual_cost"`
	SolarFraction        Spread  `json:"solar_fraction"`
	FuelKWh              Spread  `json:"fuel_kWh"`
	CO2Kg                Spread  `json:"co2_kg"`
	BestVolumeM3         *Spread `json:"best_volume_m3"`
}

// DoubtVolume is how the cases lie with a store of one volume. A regret is what this volume earns less than the best of
// the same case: savings, less what the store costs where that is given.
type DoubtVolume struct {
	VolumeM3             float64 `json:"volume_m3"`
	SavingsVsNoStorage   Spread  `json:"savings_vs_no_storage"`
	SavingsVsBoilersOnly Spread  `json:"savings_vs_boilers_only"`
	BestFrac             float64 `json:"best_in_share"`          // of the cases in which it is the best
	NearBestFrac         float64 `json:"within_1_percent_share"` // of those in which it earns at least 99 % of what the best does
	MeanRegret           float64 `json:"mean_regret"`
	Regret90             float64 `json:"regret_p10"` // exceeded in 10 % of cases
	MostRegret           float64 `json:"largest_regret"`
	WorstCase            int     `json:"largest_regret_in_case"`
}

// doubtWords say what the figures are.
const (
	samplingWords = "Latin hypercube of McKay, Beckman and Conover (1979): each input's range in as many parts of equal probability as there are cases, " +
		"each drawn once at a random place; paired so that ranks do not correlate, as Iman and Conover (1982); inputs independent"
	doubtQuantileWords = "p10, p50, p90: exceeded in 10, 50, 90 % of cases; definition 6 of Hyndman and Fan (1996), p(k) = k/(n+1); " +
		"p10_normal, p90_normal: mean plus, less 1.2816 standard deviations; " +
		"std_error: as of independent cases, which a Latin hypercube mostly keeps below. " +
		"rank_correlation: Spearman (1904), equal values with their mean rank. least_regret_volume_m3: minimax regret of Savage (1951) over the cases drawn"
)

// Doubtful solves the plant in many cases of its unsure inputs, those of the scenario or else [scenarios.Case.UsualUnsure].
// The error is as that of [Make], with the case's values. The same seed gives the same answer, to the last bit, on any
// number of cores.
func Doubtful(ctx context.Context, c scenarios.Case, opt DoubtOptions) (Doubt, error) {
	if opt.Cases == 0 {
		opt.Cases = usualCases
	}
	if opt.Cases < LeastCases || opt.Cases > MostCases {
		return Doubt{}, fmt.Errorf("doubt: cases: are %d; want %d to %d", opt.Cases, LeastCases, MostCases)
	}
	out := Doubt{Scenario: c.Name, Currency: c.Currency, Seed: opt.Seed, Sampling: samplingWords, Estimator: doubtQuantileWords,
		Rule: RuleSaves, LeftOut: []string{}, Notes: []string{}, Volumes: []DoubtVolume{}}
	if c.StoreYearly() != nil {
		out.Rule = RulePays
	}
	if err := out.sizes(c, &opt); err != nil {
		return Doubt{}, err
	}
	years, err := out.inputs(c)
	if err != nil {
		return Doubt{}, err
	}
	w := newDoubtWork(c, out, years, opt)
	if err := w.run(ctx); err != nil {
		return Doubt{}, err
	}
	out.describe(w)
	return out, nil
}

// sizes sets the volume that is told of and how far the curves go.
func (d *Doubt) sizes(c scenarios.Case, opt *DoubtOptions) error {
	if c.Store == nil {
		if opt.VolumeM3 > 0 || opt.ToM3 > 0 {
			return fmt.Errorf("%s: %w", c.File, ErrNoStore)
		}
		return nil
	}
	if d.VolumeM3 = opt.VolumeM3; d.VolumeM3 == 0 {
		d.VolumeM3 = c.Store.VolumeM3
	}
	if opt.ToM3 == 0 {
		opt.ToM3 = max(c.Store.ToM3, opt.VolumeM3)
	}
	if !(opt.ToM3 > 0 && opt.ToM3 <= mostM3) || d.VolumeM3 > mostM3 {
		return fmt.Errorf("%s: the largest volume is %g m³; want more than 0, up to %g", c.File, max(opt.ToM3, d.VolumeM3), mostM3)
	}
	if yearly := c.StoreYearly(); yearly != nil && !priced(yearly, d.VolumeM3) {
		return fmt.Errorf("%s: a store of %g m³ has no price; want a volume that store.cost reaches", c.File, d.VolumeM3)
	}
	return nil
}

// priced tells whether a store of a volume has a price.
func priced(yearly func(float64) (float64, float64), m3 float64) bool {
	whole, _ := yearly(m3)
	return !math.IsInf(whole, 0)
}

// inputs sets what is unsure, and gives the years that weather draws from; none where it is sure.
func (d *Doubt) inputs(c scenarios.Case) ([]doubtYear, error) {
	list := c.Unsure
	if len(list) == 0 {
		d.Assumed = true
		list = c.UsualUnsure()
	}
	var years []doubtYear
	for _, u := range list {
		in := DoubtInput{Name: u.String(), Says: u.Says(), Shape: u.Shape, Low: u.Low, Median: u.At(0.5), High: u.High, Mode: u.Mode, unsure: u}
		if u.What == scenarios.UnsureWeather {
			var err error
			if years, d.LeftOut, err = doubtYears(c, u.Years); err != nil {
				return nil, err
			}
			in.Shape = "years"
		}
		d.Inputs = append(d.Inputs, in)
	}
	if len(d.Inputs) == 0 {
		return nil, fmt.Errorf("%s: has nothing that could be unsure; write a section doubt", c.File)
	}
	return years, nil
}

// unsureOf says what the scenario has for unsure.
func unsureOf(c scenarios.Case) Section {
	s := Section{Title: "what is unsure"}
	for _, u := range c.Unsure {
		s.add(u.String(), "%s", u.Says())
	}
	return s
}
