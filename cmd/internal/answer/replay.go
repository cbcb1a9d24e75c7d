package answer

import "noonkeep/plant/clock"

// Names of the ways of running.
const (
	WayPlan    = "plan"          // the proven plan's set-points, hour by hour, mended until the physics accepts them
	WayRule    = "plain rule"    // sun to the header, the rest to the store, the store before any boiler
	WayGuide   = "guide line"    // the plain rule, but the store gives no further down than the guide line of a usual year
	WayRolling = "rolling"       // a new plan of two days every three hours, with a forecast
	WaySight   = "perfect sight" // the bound: no way of running costs less
)

// Replay is a plant played by the minute through its physics, in several ways. The keys up to EnergyResidual are a
// contract; those after it may grow. Money is a year's, in Currency.
type Replay struct {
	// PromisedSavings is what the plan of hours says the plant saves against boilers alone, both by the program.
	PromisedSavings float64 `json:"promised_savings"`
	Ways            []Way   `json:"ways"`
	// Bound is a cost below which no way of running comes, whatever it knows.
	Bound float64 `json:"bound"`
	// Gap is how far the mended plan's cost lies over Bound, as a share of that cost: no operator could do better by more.
	Gap float64 `json:"gap"`
	// The worst over all years played, as a share of what went in and out.
	MassResidual   float64 `json:"mass_residual"`
	EnergyResidual float64 `json:"energy_residual"`

	Scenario  string            `json:"scenario"`
	Currency  string            `json:"currency"`
	VolumeM3  float64           `json:"volume_m3"`
	StepS     float64           `json:"step_s"`
	Seed      uint64            `json:"seed"`       // of the clouds within the hours
	MinuteSun string            `json:"minute_sun"` // how the hours' light was spread over minutes
	UsualYear string            `json:"usual_year"` // which year the guide line, the forecast's means and the worth of heat left are of
	Method    map[string]string `json:"method"`     // what each way does, by its name
	Baseline  PlayedBaseline    `json:"baseline"`   // through the same physics
	Program   ProgramSays       `json:"program"`    // the plan of hours
	Mending   Mending           `json:"mending"`    // of the plan
	Causes    []Cause           `json:"gap_causes"` // of Gap, the largest first; measured where Gap is over 5 %
	Forecast  []ForecastError   `json:"forecast_errors"`
	Order     []string          `json:"order_notes"` // where a way costs more than one that knows less, and why
	Rule      string            `json:"best_volume_rule"`
	Volumes   []PlayedVolume    `json:"volumes"` // what each way costs at each volume that was played
	Unmet     string            `json:"unmet_note,omitempty"`
	Notes     []string          `json:"notes"` // what was assumed to make minutes of the scenario
	Warnings  []Note            `json:"warnings"`

	Axis clock.Axis `json:"-"` // of hours
}

// Way is what came of one way of running. The keys up to BestVolumeM3 are a contract.
type Way struct {
	Name                 string  `json:"name"`
	AnnualCost           float64 `json:"annual_cost"`
	SavingsVsBoilersOnly float64 `json:"savings_vs_boilers_only"` // both through the physics
	UnmetKWh             float64 `json:"unmet_kWh"`
	BoilerStarts         int     `json:"boiler_starts"` // from cold; of the bound none, since it lets boilers start at no cost
	BestVolumeM3         float64 `json:"best_volume_m3"`

	SavingsVsNoStorage float64 `json:"savings_vs_no_storage"` // both through the physics
	Arrived            float64 `json:"arrived_share"`         // savings over the promised ones; 0 where nothing is promised
	OverBoundFrac      float64 `json:"over_bound"`            // cost over the bound, as a share of the cost
	BestAtEdge         bool    `json:"best_volume_at_edge"`

	FuelKWh        float64   `json:"fuel_kWh"`
	StartFuelKWh   float64   `json:"start_fuel_kWh"` // the part for starts and purging
	HotFuelKWh     float64   `json:"hot_fuel_kWh"`   // the part for standing by
	HotH           float64   `json:"hot_h"`          // all boilers
	Lights         int       `json:"lights"`         // of a fire, starts from cold included
	UnmetH         float64   `json:"unmet_h"`
	WorstUnmetKW   float64   `json:"worst_unmet_kW"`
	SunToHeaderKWh float64   `json:"sun_to_header_kWh"`
	SunToStoreKWh  float64   `json:"sun_to_store_kWh"`
	SpilledSunKWh  float64   `json:"spilled_sun_kWh"`
	StoreOutKWh    float64   `json:"store_out_kWh"`
	KeepWarmKWh    float64   `json:"keep_warm_kWh"`
	LossKWh        float64   `json:"loss_kWh"`
	Refused        []Refused `json:"refused"` // orders that the physics did not carry out, by reason

	MassResidual   float64 `json:"mass_residual"`
	EnergyResidual float64 `json:"energy_residual"`

	Hours HourSeries `json:"-"`
}

// HourSeries are a way's means over the hours, kW, for files and pictures; nil for the bound.
type HourSeries struct {
	DemandKW, SunToHeaderKW, SunToStoreKW, StoreOutKW, BoilerKW, FuelKW clock.KW
	KeepWarmKW, UnmetKW, SpilledSunKW, StoreLossKW                      clock.KW
	HeldKWh                                                             []float64 // of the varied store at the hour's start, heat above its floor
	StoreC, StoreBarA                                                   []float64 // of the varied store at the hour's start
}

// Refused is what was ordered and not done, for one reason.
type Refused struct {
	What  string  `json:"what"` // store, charge or boiler
	Why   string  `json:"why"`
	Hours int     `json:"hours"`
	KWh   float64 `json:"kWh"`
}

// PlayedBaseline are the plants that savings are counted against, played by the plain rule.
type PlayedBaseline struct {
	BoilersOnlyCost     float64 `json:"boilers_only_cost"`
	BoilersOnlyFuelKWh  float64 `json:"boilers_only_fuel_kWh"`
	BoilersOnlyUnmetKWh float64 `json:"boilers_only_unmet_kWh"`
	BoilersOnlyStarts   int     `json:"boilers_only_starts"`
	NoStorageCost       float64 `json:"no_storage_cost"`
	NoStorageUnmetKWh   float64 `json:"no_storage_unmet_kWh"`
	NoStorageStarts     int     `json:"no_storage_starts"`
}

// ProgramSays is what the program of hours says of the same plant.
type ProgramSays struct {
	BoilersOnlyCost float64 `json:"boilers_only_cost"`
	PlanCost        float64 `json:"plan_cost"`
	// LowerBound is below every plan of the program; a machine may come below it, since the program is more careful with the
	// store than the machine has to be.
	LowerBound float64 `json:"lower_bound"`
	OnOff      bool    `json:"on_off"` // the plan keeps to lowest fires and pays for starts
}

// Mending is how the plan was changed until the physics accepted it.
type Mending struct {
	Rounds   []MendingRound `json:"rounds"`
	Accepted bool           `json:"accepted"`
	// ToTheLetter says that the plan is run as it was tried, every draw prescribed, since that costs less.
	ToTheLetter bool   `json:"to_the_letter"`
	Why         string `json:"why,omitempty"` // where it was not
}

// MendingRound is one play of the plan, and what was tightened after it.
type MendingRound struct {
	Cost       float64 `json:"annual_cost"` // as played
	RefusedH   int     `json:"refused_hours"`
	RefusedKWh float64 `json:"refused_kWh"`
	Tightened  string  `json:"tightened"` // in words; empty after the last
}

// Cause is a part of the distance between the plan as played and the bound: what the cost falls by when the machine is freed of it.
type Cause struct {
	Name string  `json:"name"`
	Cost float64 `json:"annual_cost"`
	Frac float64 `json:"share_of_cost"`
}

// PlayedVolume is what each way costs with a store of one size, in the order of Ways.
type PlayedVolume struct {
	VolumeM3 float64   `json:"volume_m3"`
	Costs    []float64 `json:"annual_costs"`
}
