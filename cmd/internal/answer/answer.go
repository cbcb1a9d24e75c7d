// Package answer is the pipeline once: a case goes in, one value comes out that text,
// JSON, pictures and documents print. It prints nothing and rounds nothing.
//
// Start with [Make] for the curve of storage volume against savings, and [PlanAt] for the
// hour-by-hour plan at one volume. A figure that is in neither value is in no output.
package answer

import (
	"context"
	"errors"
	"fmt"
	"math"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// Options say how far the curve goes. The zero value follows the scenario.
type Options struct {
	ToM3     float64 // largest volume; 0: the scenario's store.steps
	StepM3   float64 // distance of the first points; 0: a round twenty-fourth of the range
	GapFrac  float64 // widest gap allowed, a fraction of the curve's range; 0: 0.001
	Engine   string  // "clp" or "onestore"; empty: the program chooses
	Progress optimize.Progress
	OnOff    bool // with a plan of boilers that are on or off, at the scenario's volume
	By       SizeBy
}

// Answer is the curve of one scenario. The keys up to Proof are a contract; those after it may grow.
// Money is a year's, in Currency; every point is proven.
type Answer struct {
	Scenario     string   `json:"scenario"`
	Currency     string   `json:"currency"`
	Engine       string   `json:"engine"`
	Steps        int      `json:"steps"`
	Baseline     Baseline `json:"baseline"`
	Points       []Point  `json:"points"`
	CertifiedGap float64  `json:"certified_gap"`
	Proof        Proof    `json:"proof"`

	EngineWhy   string  `json:"engine_reason"`
	StepH       float64 `json:"step_h"`
	DemandKWh   float64 `json:"demand_kWh"`
	NoSunFields bool    `json:"no_fields"`
	Warnings    []Note  `json:"warnings"`
	AskedGap    float64 `json:"asked_gap"`

	OnOff   *OnOff   `json:"on_off,omitempty"`  // at the scenario's volume; nil for boilers without lowest fire and start
	Movable *Movable `json:"movable,omitempty"` // at the scenario's volume; nil without work that may be moved

	Least *Least `json:"least,omitempty"` // the smallest volume with which no heat is missing; nil where none is missing without a store

	Store string       `json:"store,omitempty"`        // the one that is varied, where there are several
	Kept  []KeptVolume `json:"other_stores,omitempty"` // which all points have, and the baseline without storage too

	Money *Money `json:"money,omitempty"` // what the volumes earn; nil where the scenario has no money to count
}

// KeptVolume is a store that is not varied.
type KeptVolume struct {
	Name     string  `json:"name"`
	VolumeM3 float64 `json:"volume_m3"`
}

// Baseline is what savings are counted against: boilers alone, and the same sun with no store. Of several stores only
// the varied one is left out of the second; the others keep their volumes.
type Baseline struct {
	BoilersOnlyCost    float64 `json:"boilers_only_cost"`
	NoStorageCost      float64 `json:"no_storage_cost"`
	BoilersOnlyFuelKWh float64 `json:"boilers_only_fuel_kWh"`
	BoilersOnlyCO2Kg   float64 `json:"boilers_only_co2_kg"`

	boilers, none spend
}

// Point is one volume of the curve.
type Point struct {
	VolumeM3   float64 `json:"volume_m3"`
	AnnualCost float64 `json:"annual_cost"`
	// SavingsVsBoilersOnly and SavingsVsNoStorage are the two baselines' costs less AnnualCost.
	SavingsVsBoilersOnly float64 `json:"savings_vs_boilers_only"`
	SavingsVsNoStorage   float64 `json:"savings_vs_no_storage"`
	// MarginalSavingsPerM3 is what the next m³ saves, by the envelope theorem; at 0 m³, by the first point.
	MarginalSavingsPerM3 float64 `json:"marginal_savings_per_m3"`
	// UpperBound is what SavingsVsNoStorage cannot exceed at any volume up to the next point.
	UpperBound  float64 `json:"upper_bound"`
	CapacityKWh float64 `json:"capacity_kWh"`
	// SolarFraction is the share of the demand that no boiler carries: 1 - (boiler heat + unmet)/demand,
	// boiler heat counted with what keeps the vessel warm.
	SolarFraction float64 `json:"solar_fraction"`
	// SpilledSunKWh is heat the fields could have brought to the header and had no use for.
	SpilledSunKWh float64 `json:"spilled_sun_kWh"`
	FuelKWh       float64 `json:"fuel_kWh"` // net calorific
	CO2Kg         float64 `json:"co2_kg"`   // of the fuel, and of electricity where its co2 is given
	UnmetKWh      float64 `json:"unmet_kWh"`

	SunToHeaderKWh float64 `json:"sun_to_header_kWh"`
	SunToStoreKWh  float64 `json:"sun_to_store_kWh"`
	StoreOutKWh    float64 `json:"store_out_kWh"`
	KeepWarmKWh    float64 `json:"keep_warm_kWh"`
	LossKWh        float64 `json:"loss_kWh"`

	Money *PointMoney `json:"money,omitempty"`

	spend spend
}

// Proof is the worst of every solve behind the answer, each relative: rows and bounds to the peak
// of the demand, prices to the dearest, the gap to the cost.
type Proof struct {
	PrimalResidual float64 `json:"primal_residual"`
	DualResidual   float64 `json:"dual_residual"`
	DualityGap     float64 `json:"duality_gap"`
}

// Note is something doubtful, with its line in the scenario (0: none).
type Note struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

// Failed says that the input was right and the answer is not to be had all the same, such as a file
// that could not be written.
type Failed struct{ Err error }

func (f *Failed) Error() string { return f.Err.Error() }
func (f *Failed) Unwrap() error { return f.Err }

// Make traces the curve. The error is *optimize.NoPlan if the demand cannot be met,
// *optimize.Unproven if a number is not proven, and ctx.Err() if interrupted.
func Make(ctx context.Context, c scenarios.Case, opt Options) (Answer, error) {
	law := c.StoreLaw()
	if law == nil {
		return Answer{}, fmt.Errorf("%s: has no store, so there is no curve; add a section `store`", c.File)
	}
	p, err := c.Problem()
	if err != nil {
		return Answer{}, err
	}
	opt = opt.filled(c)
	curve, err := optimize.Trace(ctx, p, c.StoreAt(), law, optimize.Options{
		ToM3: opt.ToM3, StepM3: opt.StepM3, GapFrac: opt.GapFrac, Engine: opt.Engine, Progress: opt.Progress,
	})
	if err != nil {
		return Answer{}, explained(ctx, c, p, opt, err)
	}
	a := answerOf(c, p, curve)
	a.AskedGap = opt.GapFrac
	a.Store, a.Kept = keptOf(c)
	if err := a.withLeast(ctx, c, p, opt); err != nil {
		return Answer{}, err
	}
	if opt.OnOff {
		if a.OnOff, err = onOffAt(ctx, c, p, opt.Engine); err != nil {
			return Answer{}, err
		}
	}
	a.Movable, err = movableOf(ctx, p, movedAt(a.Points, c.Store.VolumeM3), opt.Engine)
	return a, err
}

// firstSpans is how many stretches the first points of a curve part its range into, about.
const firstSpans = 24

func (o Options) filled(c scenarios.Case) Options {
	if o.ToM3 == 0 {
		o.ToM3 = c.Store.ToM3
	}
	if o.StepM3 == 0 {
		o.StepM3 = min(RoundStep(o.ToM3/firstSpans), o.ToM3)
	}
	if o.GapFrac == 0 {
		o.GapFrac = 0.001
	}
	return o
}

// RoundStep is the least of 1, 2, 5, 10 and their tenfolds and tenths that reaches at.
func RoundStep(at float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(at)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= at*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

func answerOf(c scenarios.Case, p optimize.Problem, curve optimize.Curve) Answer {
	a := Answer{
		Scenario: c.Name, Currency: c.Currency, Engine: curve.Engine, EngineWhy: curve.Why,
		Steps: p.N(), StepH: p.StepH, CertifiedGap: curve.GapFrac,
		Baseline: Baseline{
			BoilersOnlyCost: curve.BoilersOnly.Cost, NoStorageCost: curve.NoStore.Cost,
			BoilersOnlyFuelKWh: sum(curve.BoilersOnly.FuelKWh), BoilersOnlyCO2Kg: co2Kg(c, curve.BoilersOnly),
			boilers: spendOf(c, curve.BoilersOnly), none: spendOf(c, curve.NoStore),
		},
		Proof:     Proof{PrimalResidual: curve.Proof.PrimalResidual, DualResidual: curve.Proof.DualResidual, DualityGap: curve.Proof.DualityGap},
		DemandKWh: curve.NoStore.DemandKWh, NoSunFields: len(c.Fields) == 0, Warnings: notes(c),
	}
	for _, point := range curve.Points {
		a.Points = append(a.Points, pointOf(c, a.Baseline, point))
	}
	return a
}

func pointOf(c scenarios.Case, base Baseline, p optimize.Point) Point {
	o := p.Outcome
	point := Point{
		VolumeM3: p.VolumeM3, AnnualCost: o.Cost,
		SavingsVsBoilersOnly: base.BoilersOnlyCost - o.Cost, SavingsVsNoStorage: base.NoStorageCost - o.Cost,
		MarginalSavingsPerM3: p.MarginalPerM3, UpperBound: p.UpperBound, CapacityKWh: p.CapacityKWh,
		SpilledSunKWh: o.SpilledKWh, FuelKWh: sum(o.FuelKWh), CO2Kg: co2Kg(c, o), UnmetKWh: o.UnmetKWh,
		SunToHeaderKWh: o.SunHeaderKWh, SunToStoreKWh: o.SunStoreKWh, StoreOutKWh: o.StoreOutKWh,
		KeepWarmKWh: o.KeepWarmKWh, LossKWh: o.LossKWh, spend: spendOf(c, o),
	}
	if o.DemandKWh > 0 {
		point.SolarFraction = 1 - (sum(o.HeatKWh)+o.UnmetKWh)/o.DemandKWh
	}
	return point
}

// co2Kg is what the boilers' fuel gives off, on the net calorific value, and the electricity of boilers and fields.
func co2Kg(c scenarios.Case, o optimize.Outcome) float64 {
	kg := 0.0
	for i, b := range c.Boilers {
		kg += o.FuelKWh[i] * b.Fuel.CO2KgPerKWh
	}
	if len(o.FieldKWh) > 0 && c.Power.CO2KgPerKWh > 0 {
		kg += c.Power.CO2KgPerKWh * c.PowerKWh(o.FieldKWh)
	}
	return kg
}

// keptOf names the varied store where there are several, and the others.
func keptOf(c scenarios.Case) (varied string, kept []KeptVolume) {
	if len(c.Stores) < 2 {
		return "", nil
	}
	for _, s := range c.Stores {
		if s != c.Store {
			kept = append(kept, KeptVolume{s.Name, s.VolumeM3})
		}
	}
	return c.Store.Name, kept
}

func notes(c scenarios.Case) []Note {
	out := []Note{} // an empty list in JSON, not null
	for _, w := range c.Warnings {
		out = append(out, Note{w.Line, w.Text})
	}
	return out
}

func sum[T int | float64](v []T) T {
	var total T
	for _, x := range v {
		total += x
	}
	return total
}

// ErrNoStore says that a volume was asked of a plant without a store.
var ErrNoStore = errors.New("the scenario has no store; add a section `store`")
