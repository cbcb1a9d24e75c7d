package table

func yearFigures() []column {
	return []column{
		{name: "volume_m3", kind: figure, fold: true, doc: "the scenario's own store, m³", figure: func(r *Row) *float64 { return &r.VolumeM3 }},
		{name: "annual_cost", kind: figure, doc: "a year's cost with that store", figure: func(r *Row) *float64 { return &r.AnnualCost }},
		{name: "boilers_only_cost", kind: figure, doc: "a year's cost without sun and store", figure: func(r *Row) *float64 { return &r.BoilersOnlyCost }},
		{name: "no_storage_cost", kind: figure, doc: "a year's cost with sun and without store", figure: func(r *Row) *float64 { return &r.NoStorageCost }},
		{name: "savings_vs_boilers_only", kind: figure, doc: "a year's", figure: func(r *Row) *float64 { return &r.SavingsVsBoilersOnly }},
		{name: "savings_vs_no_storage", kind: figure, doc: "a year's", figure: func(r *Row) *float64 { return &r.SavingsVsNoStorage }},
		{name: "solar_fraction", kind: figure, doc: "of the heat, 0 to 1", figure: func(r *Row) *float64 { return &r.SolarFraction }},
		{name: "demand_kWh", kind: figure, doc: "heat wanted in the year, kWh", figure: func(r *Row) *float64 { return &r.DemandKWh }},
		{name: "fuel_kWh", kind: figure, doc: "fuel burnt in the year, kWh", figure: func(r *Row) *float64 { return &r.FuelKWh }},
		{name: "co2_kg", kind: figure, doc: "of that fuel, kg", figure: func(r *Row) *float64 { return &r.CO2Kg }},
		{name: "spilled_sun_kWh", kind: figure, doc: "heat that the field could give and nobody could take, kWh", figure: func(r *Row) *float64 { return &r.SpilledSunKWh }},
		{name: "unmet_kWh", kind: figure, doc: "heat wanted and not given, kWh", figure: func(r *Row) *float64 { return &r.UnmetKWh }},
		{name: "duality_gap", kind: figure, doc: "of the year's plan, a fraction of its cost", figure: func(r *Row) *float64 { return &r.DualityGap }},
	}
}

func curveFigures() []column {
	return []column{
		{name: "certified_gap", kind: figure, doc: "the widest between the curve and its upper bound, a fraction of the curve's range", figure: func(r *Row) *float64 { return &r.CertifiedGap }},
		{name: "best_volume_m3", kind: figure, doc: "best volume on the curve, m³", figure: func(r *Row) *float64 { return &r.BestVolumeM3 }},
		{name: "best_at_edge", kind: flag, doc: "whether that is the end of the curve, so that a larger store may be better", figure: func(r *Row) *float64 { return &r.BestAtEdge }},
	}
}

func worthFigures() []column {
	return []column{
		{name: "npv", kind: figure, doc: "net present value of the store of the best volume", figure: func(r *Row) *float64 { return &r.NPV }},
		{name: "payback_a", kind: figure, doc: "its payback, years", figure: func(r *Row) *float64 { return &r.PaybackA }},
		{name: "irr", kind: figure, doc: "its internal rate of return, a fraction a year", figure: func(r *Row) *float64 { return &r.IRR }},
		{name: "plant_npv", kind: figure, doc: "net present value of field and store", figure: func(r *Row) *float64 { return &r.PlantNPV }},
		{name: "plant_payback_a", kind: figure, doc: "their payback, years", figure: func(r *Row) *float64 { return &r.PlantPaybackA }},
		{name: "plant_irr", kind: figure, doc: "their internal rate of return, a fraction a year", figure: func(r *Row) *float64 { return &r.PlantIRR }},
	}
}

func replayFigures() []column {
	return []column{
		{name: "replay_plan_cost", kind: figure, doc: "a year's cost of the plan as replayed", figure: func(r *Row) *float64 { return &r.ReplayPlanCost }},
		{name: "replay_rule_cost", kind: figure, doc: "a year's cost of the rule as replayed", figure: func(r *Row) *float64 { return &r.ReplayRuleCost }},
		{name: "replay_rolling_cost", kind: figure, doc: "a year's cost of rolling plans as replayed", figure: func(r *Row) *float64 { return &r.ReplayRollingCost }},
		{name: "replay_bound_cost", kind: figure, doc: "no operation costs less in the year", figure: func(r *Row) *float64 { return &r.ReplayBoundCost }},
		{name: "replay_arrived", kind: figure, doc: "fraction of the plan's savings that arrived", figure: func(r *Row) *float64 { return &r.ReplayArrived }},
	}
}

func curveLists() []column {
	return []column{
		{name: "curve_volume_m3", kind: list, fold: true, doc: "volumes of the curve, m³; empty if it was not kept", point: func(p *Point) *float64 { return &p.VolumeM3 }},
		{name: "curve_savings_vs_no_storage", kind: list, doc: "a year's savings at each", point: func(p *Point) *float64 { return &p.SavingsVsNoStorage }},
		{name: "curve_marginal_savings_per_m3", kind: list, doc: "a year's savings of one m³ more, at each", point: func(p *Point) *float64 { return &p.MarginalSavingsPerM3 }},
		{name: "curve_upper_bound", kind: list, doc: "no schedule saves more in the year, at each", point: func(p *Point) *float64 { return &p.UpperBound }},
	}
}
