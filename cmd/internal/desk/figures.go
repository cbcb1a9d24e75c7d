package desk

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
	"noonkeep/cmd/internal/report"
)

// sight is a version's figures at the volume that is shown.
type sight struct {
	answer.Compared
	currency           string
	savingsVsNoStorage *float64 // nil without a curve
	plant, tank        earned   // sun and tank together against boilers alone; the tank against the same sun without
	heatKJKg           float64
	noCO2              bool // the plan alone does not tell it
}

// atVolume reads a version's figures off its curve, straight between two proven points, so that all are of one kind; where
// there is no store, off its plan. False without either.
func atVolume(s seen) (sight, bool) {
	if len(s.Curve.Points) == 0 {
		return atPlan(s)
	}
	a := s.Curve
	p, plant, tank := between(a.Points, s.VolumeM3)
	out := sight{currency: a.Currency, savingsVsNoStorage: &p.SavingsVsNoStorage, heatKJKg: s.HeatKJKg, Compared: answer.Compared{
		Name: a.Scenario, AnnualCost: p.AnnualCost, FuelKWh: p.FuelKWh, CO2Kg: p.CO2Kg, SolarFraction: p.SolarFraction,
		SpilledSunKWh: p.SpilledSunKWh, SavingsVsBoilersOnly: p.SavingsVsBoilersOnly, VolumeM3: s.VolumeM3, DemandKWh: a.DemandKWh,
		SunToHeaderKWh: p.SunToHeaderKWh, SunToStoreKWh: p.SunToStoreKWh, StoreOutKWh: p.StoreOutKWh, UnmetKWh: p.UnmetKWh,
		BoilersOnlyCost: a.Baseline.BoilersOnlyCost, NoStorageCost: a.Baseline.NoStorageCost,
	}}
	out.plant, out.tank = plant, tank
	return out, true
}

// setBest sets both versions' best volumes by one rule, and gives it: where the next m³ stops paying, if what a tank earns is
// counted in both, else the point that saves most; "" without two curves.
func setBest(a, b *sight, was, is answer.Answer) (rule string) {
	if len(was.Points) == 0 || len(is.Points) == 0 {
		return ""
	}
	rule, best := answer.RuleSaves, savesMost
	if pays(was) && pays(is) {
		rule, best = answer.RulePays, paysUpTo
	}
	for _, x := range []struct {
		s *sight
		a answer.Answer
	}{{a, was}, {b, is}} {
		m3, edge := best(x.a)
		x.s.BestVolumeM3, x.s.BestAtEdge = &m3, edge
	}
	return rule
}

// pays tells whether what a tank costs and earns is counted along a curve.
func pays(a answer.Answer) bool {
	if a.Money == nil || len(a.Points) < 2 {
		return false
	}
	m := a.Points[1].Money
	return m != nil && m.StorePrice != nil && m.Tank != nil
}

// paysUpTo is where the next m³ stops paying; 0 where none pays.
func paysUpTo(a answer.Answer) (m3 float64, atEdge bool) {
	if a.Money.NextStopsM3 == nil {
		return 0, false
	}
	return *a.Money.NextStopsM3, a.Money.StopsAtEdge
}

// savesMost is the point of a curve that saves most, and whether it still rises there at its end.
func savesMost(a answer.Answer) (m3 float64, atEdge bool) {
	best := slices.MaxFunc(a.Points, func(p, q answer.Point) int { return cmp.Compare(p.SavingsVsNoStorage, q.SavingsVsNoStorage) })
	last := a.Points[len(a.Points)-1]
	return best.VolumeM3, best.VolumeM3 == last.VolumeM3 && last.MarginalSavingsPerM3 > 0
}

// atPlan reads the figures of a plant without a curve off its plan.
func atPlan(s seen) (sight, bool) {
	p, h := s.Plan, s.Plan.Axis.StepH()
	if p.Axis.N == 0 || len(p.DemandKW) == 0 {
		return sight{}, false
	}
	out := sight{currency: p.Currency, heatKJKg: s.HeatKJKg, noCO2: true, Compared: answer.Compared{
		Name: p.Scenario, AnnualCost: p.AnnualCost, FuelKWh: p.FuelKW.EnergyKWh(h), SpilledSunKWh: p.SpilledSunKW.EnergyKWh(h),
		VolumeM3: p.VolumeM3, DemandKWh: p.DemandKW.EnergyKWh(h), SunToHeaderKWh: p.SunToHeaderKW.EnergyKWh(h),
		SunToStoreKWh: p.SunToStoreKW.EnergyKWh(h), StoreOutKWh: p.StoreOutKW.EnergyKWh(h), UnmetKWh: p.UnmetKW.EnergyKWh(h),
	}}
	if out.DemandKWh > 0 {
		boilers := p.BoilerKW.EnergyKWh(h) + p.KeepWarmKW.EnergyKWh(h)
		out.SolarFraction = 1 - (boilers+out.UnmetKWh)/out.DemandKWh
	}
	return out, true
}

// earned is what a project comes to; nil for what is not counted, and for a payback that the life does not reach.
type earned struct{ npv, paybackA *float64 }

func earnedOf(e *answer.Earned) earned {
	if e == nil {
		return earned{}
	}
	return earned{&e.NPV, e.PaybackA}
}

// earnedAt is what a point of a curve earns.
func earnedAt(p answer.Point) (plant, tank earned) {
	if p.Money == nil {
		return earned{}, earned{}
	}
	return earnedOf(p.Money.Plant), earnedOf(p.Money.Tank)
}

// project is the one of two that both versions count, and its name.
func project(a, b sight) (was, is earned, name string) {
	if a.plant.npv != nil && b.plant.npv != nil {
		return a.plant, b.plant, "sun and tank"
	}
	if a.tank.npv != nil && b.tank.npv != nil {
		return a.tank, b.tank, "the tank"
	}
	return earned{}, earned{}, ""
}

// between is the curve at a volume, straight between the points beside it; beyond its ends the end.
func between(points []answer.Point, m3 float64) (p answer.Point, plant, tank earned) {
	i, found := slices.BinarySearchFunc(points, m3, func(p answer.Point, m3 float64) int { return cmp.Compare(p.VolumeM3, m3) })
	if i = min(i, len(points)-1); found || i == 0 || m3 > points[i].VolumeM3 {
		plant, tank = earnedAt(points[i])
		return points[i], plant, tank
	}
	a, b := points[i-1], points[i]
	x := (m3 - a.VolumeM3) / (b.VolumeM3 - a.VolumeM3)
	at := func(v, w float64) float64 { return v + x*(w-v) }
	p = answer.Point{
		VolumeM3: m3, AnnualCost: at(a.AnnualCost, b.AnnualCost),
		SavingsVsBoilersOnly: at(a.SavingsVsBoilersOnly, b.SavingsVsBoilersOnly), SavingsVsNoStorage: at(a.SavingsVsNoStorage, b.SavingsVsNoStorage),
		SolarFraction: at(a.SolarFraction, b.SolarFraction), SpilledSunKWh: at(a.SpilledSunKWh, b.SpilledSunKWh),
		FuelKWh: at(a.FuelKWh, b.FuelKWh), CO2Kg: at(a.CO2Kg, b.CO2Kg), UnmetKWh: at(a.UnmetKWh, b.UnmetKWh),
		SunToHeaderKWh: at(a.SunToHeaderKWh, b.SunToHeaderKWh), SunToStoreKWh: at(a.SunToStoreKWh, b.SunToStoreKWh),
		StoreOutKWh: at(a.StoreOutKWh, b.StoreOutKWh),
		// On the straight line the next m³ saves the line's slope.
		MarginalSavingsPerM3: (b.SavingsVsNoStorage - a.SavingsVsNoStorage) / (b.VolumeM3 - a.VolumeM3),
	}
	plantA, tankA := earnedAt(a)
	plantB, tankB := earnedAt(b)
	return p, plantA.to(plantB, at), tankA.to(tankB, at)
}

func (e earned) to(f earned, at func(v, w float64) float64) earned {
	return earned{atBoth(e.npv, f.npv, at), atBoth(e.paybackA, f.paybackA, at)}
}

func atBoth(a, b *float64, at func(v, w float64) float64) *float64 {
	if a == nil || b == nil {
		return nil
	}
	v := at(*a, *b)
	return &v
}

// figuresOf are the figures side by side. with is the later case with its differences.
func figuresOf(a, b sight, with answer.Compared, u units) []figure {
	cur := b.currency
	heatUnit, heatTimes := "MWh/a", 1e-3
	if u.Energy == unitT && a.heatKJKg > 0 && a.heatKJKg == b.heatKJKg {
		heatUnit, heatTimes = "t/a of steam", 3.6/b.heatKJKg
	}
	was, is, of := project(a, b)
	rows := []row{
		{"volume_m3", "Tank shown", "m³", &a.VolumeM3, &b.VolumeM3, 1},
		{"best_volume_m3", "Best volume", "m³", a.BestVolumeM3, b.BestVolumeM3, 1},
		{"fuel_kWh", "Fuel", "MWh/a", &a.FuelKWh, &b.FuelKWh, 1e-3},
		{"annual_cost", "Cost of the year", cur + "/a", &a.AnnualCost, &b.AnnualCost, 1},
		{"co2_kg", "CO₂", "t/a", co2Of(a), co2Of(b), 1e-3},
		{"savings_vs_boilers_only", "Saved against boilers alone", cur + "/a", savedOf(a), savedOf(b), 1},
		{"savings_vs_no_storage", "Saved against no store", cur + "/a", a.savingsVsNoStorage, b.savingsVsNoStorage, 1},
		{"solar_fraction", "Heat without boilers", "%", &a.SolarFraction, &b.SolarFraction, 100},
		{"spilled_sun_kWh", "Sun with no use", heatUnit, &a.SpilledSunKWh, &b.SpilledSunKWh, heatTimes},
		{"unmet_kWh", "Heat not met", heatUnit, &a.UnmetKWh, &b.UnmetKWh, heatTimes},
		{"npv", "Net present value of " + of, cur, was.npv, is.npv, 1},
		{"payback_a", "Payback of " + of, "a", was.paybackA, is.paybackA, 1},
	}
	var list []figure
	for _, r := range rows {
		if r.was == nil && r.is == nil || r.key == "unmet_kWh" && *r.was == 0 && *r.is == 0 {
			continue
		}
		list = append(list, r.figure(a, b, with))
	}
	return list
}

func co2Of(s sight) *float64 {
	if s.noCO2 {
		return nil
	}
	return &s.CO2Kg
}

func savedOf(s sight) *float64 {
	if s.savingsVsNoStorage == nil {
		return nil
	}
	return &s.SavingsVsBoilersOnly
}

// row is one figure of both, with what makes its unit of it.
type row struct {
	key, what, unit string
	was, is         *float64 // nil for what a version has not
	times           float64
}

func (r row) figure(a, b sight, with answer.Compared) figure {
	f := figure{Key: r.key, What: r.what, Unit: r.unit, Before: "none", After: "none"}
	if r.was != nil {
		f.Before = r.text(*r.was)
	}
	if r.is != nil {
		f.After = r.text(*r.is)
	}
	if r.was == nil || r.is == nil {
		f.Worth = true
		return f
	}
	f.Change = signed(r.text(*r.is-*r.was), *r.is-*r.was)
	if d, has := with.Difference(r.key); has {
		f.Worth = d.Worth
		return f
	}
	f.Worth = r.worth(a, b)
	return f
}

// worth tells of figures that `noonkeep compare` does not weigh: sums of money as the cost of the year that they hang on, a
// volume as a best one, a payback from a tenth of a year on.
func (r row) worth(a, b sight) bool {
	by := math.Abs(*r.is - *r.was)
	switch r.key {
	case "volume_m3":
		return by > 0
	case "payback_a":
		return by >= 0.1
	}
	alike := answer.Comparison{Cases: []answer.Compared{{AnnualCost: a.BoilersOnlyCost}, {AnnualCost: a.BoilersOnlyCost + by}}}
	alike.SetDifferences()
	d, _ := alike.Cases[1].Difference("annual_cost")
	return d.Worth
}

// text is a figure as its row prints it.
func (r row) text(v float64) string {
	v *= r.times
	switch r.unit {
	case "%", "a":
		return chart.Thousands(v, 1)
	case "m³":
		if math.Abs(v) >= 10 {
			return chart.Thousands(v, 0)
		}
		return strings.TrimSuffix(chart.Thousands(v, 1), ".0")
	}
	if math.Abs(v) >= 100 {
		return chart.Thousands(v, 0)
	}
	return chart.Thousands(v, 1)
}

// signed shows which way a difference goes.
func signed(text string, v float64) string {
	switch {
	case strings.Trim(text, "0.−") == "":
		return "0"
	case v > 0:
		return "+" + text
	}
	return text
}

// worthTelling are the differences in the words of `noonkeep compare`, without what the main finding has told already; none
// where it has nothing to tell.
func worthTelling(both answer.Comparison, told bool) []string {
	said := report.WithSentences(both).Cases[1].Sentences
	return slices.DeleteFunc(slices.Clone(said), func(s string) bool {
		again := strings.HasPrefix(s, "The tank's best volume ") || strings.HasSuffix(s, " of the heat is not met.") ||
			strings.HasPrefix(s, "The year costs ") && !strings.Contains(s, ";")
		return strings.HasPrefix(s, "Nothing ") || told && again
	})
}
