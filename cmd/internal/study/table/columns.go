package table

// figure is a column of numbers, one a case, null where there is none.
type figure struct {
	name string
	flag bool // yes or no in the file, 1 or 0 in a Row
	of   func(*Row) *float64
}

// figures lists the columns of numbers in their order. Writer, reader and CSV follow it.
var figures = []figure{
	{"volume_m3", false, func(r *Row) *float64 { return &r.VolumeM3 }},
	{"annual_cost", false, func(r *Row) *float64 { return &r.AnnualCost }},
	{"boilers_only_cost", false, func(r *Row) *float64 { return &r.BoilersOnlyCost }},
	{"no_storage_cost", false, func(r *Row) *float64 { return &r.NoStorageCost }},
	{"savings_vs_boilers_only", false, func(r *Row) *float64 { return &r.SavingsVsBoilersOnly }},
	{"savings_vs_no_storage", false, func(r *Row) *float64 { return &r.SavingsVsNoStorage }},
	{"solar_fraction", false, func(r *Row) *float64 { return &r.SolarFraction }},
	{"demand_kWh", false, func(r *Row) *float64 { return &r.DemandKWh }},
	{"fuel_kWh", false, func(r *Row) *float64 { return &r.FuelKWh }},
	{"co2_kg", false, func(r *Row) *float64 { return &r.CO2Kg }},
	{"spilled_sun_kWh", false, func(r *Row) *float64 { return &r.SpilledSunKWh }},
	{"unmet_kWh", false, func(r *Row) *float64 { return &r.UnmetKWh }},
	{"duality_gap", false, func(r *Row) *float64 { return &r.DualityGap }},
	{"certified_gap", false, func(r *Row) *float64 { return &r.CertifiedGap }},
	{"best_volume_m3", false, func(r *Row) *float64 { return &r.BestVolumeM3 }},
	{"best_at_edge", true, func(r *Row) *float64 { return &r.BestAtEdge }},
	{"npv", false, func(r *Row) *float64 { return &r.NPV }},
	{"payback_years", false, func(r *Row) *float64 { return &r.PaybackA }},
	{"irr", false, func(r *Row) *float64 { return &r.IRR }},
	{"plant_npv", false, func(r *Row) *float64 { return &r.PlantNPV }},
	{"plant_payback_years", false, func(r *Row) *float64 { return &r.PlantPaybackA }},
	{"plant_irr", false, func(r *Row) *float64 { return &r.PlantIRR }},
	{"replay_plan_cost", false, func(r *Row) *float64 { return &r.ReplayPlanCost }},
	{"replay_rule_cost", false, func(r *Row) *float64 { return &r.ReplayRuleCost }},
	{"replay_rolling_cost", false, func(r *Row) *float64 { return &r.ReplayRollingCost }},
	{"replay_bound_cost", false, func(r *Row) *float64 { return &r.ReplayBoundCost }},
	{"replay_arrived", false, func(r *Row) *float64 { return &r.ReplayArrived }},
}
