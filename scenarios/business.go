package scenarios

import (
	"math"

	"noonkeep/optimize/worth"
)

// Business is what money needs beside the year's savings: the terms, and what is neither vessel nor field. All rates
// are nominal here. Has tells whether there is a life and a cost of tank or field; else nothing is counted.
type Business struct {
	Has   bool
	Real  bool // the scenario gives its rates over inflation
	Terms worth.Terms

	FuelRise  map[string]float64 // by the fuel's name, electricity's too
	OtherRise float64            // of upkeep and the like

	EngineeringFrac, EngineeringSum float64
	Integration                     float64
	Land, LandRent                  float64
	InsuranceFrac                   float64 // per year
	Water                           float64 // per year

	// Lacks are keys without which nothing is counted although costs are written; empty where there are none or all is there.
	Lacks []string
}

// business sets the terms of money, once stores and fields are known.
func (b *builder) business() {
	f, m := b.f.Money, &b.c.Business
	for i := range b.c.Fields {
		b.c.Fields[i].Cost = b.fieldCost(b.f.Fields[i])
	}
	b.rates()
	t := &m.Terms
	life, has := b.lifeYears()
	t.Years = life
	if frac := math.Abs(f.Life.base()/hoursPerYear - float64(life)); has && frac > 1e-9 {
		b.doubtAt(f.Life.at, "is no whole number of years: paybacks and returns count %d", life)
	}
	if has && life > 100 {
		b.add(f.Life.at, "%s is longer than money is counted; want at most 100 a", quoted(f.Life.String()))
	}
	t.DegradationFrac, t.ResidualFrac, t.LandResaleFrac = f.Falling.base(), f.Residual.base(), f.LandResale.base()
	b.carbonPath(life)
	b.subsidy(life, has)
	b.loan(life, has)
	b.tax(life)
	if f.Engineer.kind == "share" {
		m.EngineeringFrac = f.Engineer.base()
	} else {
		m.EngineeringSum = f.Engineer.base()
	}
	if f.Land.kind == "sum" {
		m.Land = f.Land.base()
	} else {
		m.LandRent = f.Land.base()
	}
	m.Integration, m.InsuranceFrac, m.Water = f.Integrate.base(), f.Insurance.base(), f.Water.base()
	b.counted(has)
	if f.Falling.base() > 0 {
		for _, field := range b.f.Fields {
			if field.Drift.set && !field.YearOfLife.set {
				b.doubtAt(f.Falling.at, "falls on top of the drift of %s, whose mean over the life is in each year already", field.Name.s)
			}
		}
	}
}

// counted says whether money is counted, and what it lacks.
func (b *builder) counted(life bool) {
	m := &b.c.Business
	costs := false
	for _, s := range b.c.Stores {
		costs = costs || s.Cost.Known
	}
	for _, f := range b.c.Fields {
		costs = costs || f.Cost.Known
	}
	switch {
	case costs && !life:
		m.Lacks = append(m.Lacks, "money.life")
	case costs:
		m.Has = true
		if !b.f.Money.Discount.set && !b.faulty("money.discount") {
			b.note("money.discount", "0 %", "money later counts as much as money now")
		}
		b.givenSum()
	}
}

// givenSum refuses a subsidy of more than the whole plant costs, where that is known.
func (b *builder) givenSum() {
	w := b.f.Money.Subsidy.Map
	if w == nil || !w.Sum.set || len(b.c.Lacking(false)) > 0 || b.c.Store == nil {
		return
	}
	_, p, err := b.c.PlantProject(b.c.Store.VolumeM3, Saved{})
	if cost := worthOf(p) - b.c.Business.Land; err == nil && w.Sum.base() > cost {
		b.add(w.Sum.at, "%s is more than the %.0f %s that the plant costs; want at most that", quoted(w.Sum.String()), cost, b.c.Currency)
	}
}

// rates turns what is written into nominal rates.
func (b *builder) rates() {
	f, m := b.f.Money, &b.c.Business
	m.Real = f.Rates.s == "real"
	m.Terms.InflationFrac = f.Inflation.base()
	if m.Real && !f.Inflation.set && !b.faulty(f.Inflation.key) {
		b.add(f.Rates.at, "are over inflation, and inflation is missing; write inflation too")
	}
	nominal := func(a amount, or float64) float64 {
		switch {
		case !a.set:
			return or
		case m.Real:
			return worth.Nominal(a.base(), m.Terms.InflationFrac)
		}
		return a.base()
	}
	zero := 0.0
	if m.Real {
		zero = m.Terms.InflationFrac
	}
	m.Terms.DiscountFrac = nominal(f.Discount, zero)
	m.OtherRise = nominal(f.UpkeepRise, m.Terms.InflationFrac)
	m.Terms.PartsRiseFrac = m.OtherRise
	all := nominal(f.FuelRise, m.Terms.InflationFrac)
	m.FuelRise = map[string]float64{powerName: all}
	for _, fuel := range b.f.Fuels {
		m.FuelRise[fuel.Name.s] = nominal(fuel.Rise, all)
	}
	if p := b.f.Electricity; p != nil {
		m.FuelRise[powerName] = nominal(p.Rise, all)
	}
}

// carbonPath sets the price of CO2 in each year.
func (b *builder) carbonPath(life int) {
	f, m := b.f.Money, &b.c.Business
	switch path := f.CarbonPath; {
	case len(path) > 0 && f.Carbon.set:
		b.add(path[0].at, "stands beside carbon_price; want one of the two")
	case len(path) > 0 && f.CarbonRise.set:
		b.add(f.CarbonRise.at, "stands beside carbon_path, which says how it rises; want one of the two")
	case len(path) > 0:
		for _, p := range path {
			m.Terms.CarbonPerT = append(m.Terms.CarbonPerT, 1000*p.base())
		}
	case f.CarbonRise.set && !f.Carbon.set && !b.faulty(f.Carbon.key):
		b.add(f.CarbonRise.at, "is of carbon_price, which is missing; write it too")
	case f.Carbon.base() > 0:
		rise := m.Terms.InflationFrac
		if f.CarbonRise.set {
			if rise = f.CarbonRise.base(); m.Real {
				rise = worth.Nominal(rise, m.Terms.InflationFrac)
			}
		}
		for year := range max(1, life) {
			m.Terms.CarbonPerT = append(m.Terms.CarbonPerT, 1000*f.Carbon.base()*math.Pow(1+rise, float64(year)))
		}
	}
}

// subsidy sets what is given.
func (b *builder) subsidy(life int, has bool) {
	f, s := b.f.Money.Subsidy, &b.c.Business.Terms.Subsidy
	s.ShareFrac = f.One.base()
	w := f.Map
	if w == nil {
		return
	}
	s.ShareFrac, s.Sum, s.Cap, s.Year, s.KeepsBooks = w.Share.base(), w.Sum.base(), w.Cap.base(), int(w.Year.base()), !w.Reduces.yes
	switch {
	case w.Share.set && w.Sum.set:
		b.add(w.Sum.at, "stands beside share; want one of the two")
	case !w.Share.set && !w.Sum.set && !b.faulty(w.Share.key) && !b.faulty(w.Sum.key):
		b.add(w.At, "has neither share nor sum; want one of the two")
	}
	if has && s.Year > life {
		b.add(w.Year.at, "is %d, and the life of money has %d years; want a year within it", s.Year, life)
	}
}

// loan sets the loan.
func (b *builder) loan(life int, has bool) {
	f := b.f.Money.Loan
	if f == nil || !f.Term.set {
		return
	}
	term := f.Term.base() / hoursPerYear
	years := int(math.Round(term))
	switch {
	case math.Abs(term-float64(years)) > 1e-9 || years < 1:
		b.add(f.Term.at, "%s is no whole number of years; want 1 a or more", quoted(f.Term.String()))
	case has && years > life:
		b.add(f.Term.at, "%s outlasts the life of money, %d a; want a loan that is paid back within it", quoted(f.Term.String()), life)
	}
	b.c.Business.Terms.Loan = worth.Loan{ShareFrac: f.Share.base(), RateFrac: f.Rate.base(), Years: years}
}

// tax sets tax and writing off.
func (b *builder) tax(life int) {
	f, t := b.f.Money, &b.c.Business.Terms.Tax
	t.RateFrac, t.LossesAtOnce = f.Tax.base(), f.Losses.s == "at once"
	if !f.Tax.set {
		for _, a := range []at{f.Losses.at, f.writeOffAt()} {
			if a.set && !b.faulty(f.Tax.key) {
				b.doubtAt(a, "has no effect without tax")
			}
		}
	}
	d := &t.Depreciation
	w := f.WriteOff
	if w == nil {
		*d = worth.Depreciation{Method: worth.StraightLine, Years: max(1, life)}
		if f.Tax.base() > 0 && life > 0 {
			b.note(f.writeOffAt().key, "straight line", "the cost is written off evenly over the life")
		}
		return
	}
	b.writeOff(w, d, life)
}

// writeOffAt is where the depreciation stands, or would.
func (f moneyFile) writeOffAt() at {
	if f.WriteOff != nil {
		return f.WriteOff.At
	}
	return at{key: "money.depreciation"}
}

// writeOff sets how the cost is written off.
func (b *builder) writeOff(w *writeFile, d *worth.Depreciation, life int) {
	needs := map[string][]bool{ // rate, years, shares: may be written
		"straight line": {false, true, false}, "declining balance": {true, false, false}, "declining then straight line": {true, true, false},
		"MACRS": {false, true, false}, "schedule": {false, false, true}, "none": {false, false, false}}[w.Method.s]
	if needs == nil {
		return // a fault that is noted already
	}
	shares := at{key: join(w.At.key, "shares"), line: w.At.line}
	if len(w.Shares) > 0 {
		shares.line, shares.set = w.Shares[0].line, true
	}
	for i, a := range []at{w.Rate.at, w.Years.at, shares} {
		if a.set && !needs[i] {
			b.add(a, "has no say in the method %s; take it out", quoted(w.Method.s))
		}
		if !a.set && !b.faulty(a.key) && needs[i] && (i != 1 || w.Method.s == "MACRS") {
			b.add(a, "is missing; the method %s needs it", quoted(w.Method.s))
		}
	}
	years := int(w.Years.base())
	if years == 0 {
		years = max(1, life)
	}
	switch w.Method.s {
	case "straight line":
		*d = worth.Depreciation{Method: worth.StraightLine, Years: years}
	case "declining balance":
		*d = worth.Depreciation{Method: worth.Declining, RateFrac: w.Rate.base()}
	case "declining then straight line":
		*d = worth.Depreciation{Method: worth.DecliningThenStraight, RateFrac: w.Rate.base(), Years: years}
	case "schedule":
		d.Method = worth.Scheduled
		for _, s := range w.Shares {
			d.Shares = append(d.Shares, s.base())
		}
	case "MACRS":
		var err error
		if *d, err = worth.MACRS(years); err != nil && w.Years.set {
			b.add(w.Years.at, "is %d, and MACRS has no such period; want 3, 5, 7, 10, 15 or 20", years)
		}
	}
	if len(b.faults.list) == 0 {
		b.wrapAny(shares, d.Check())
	}
}
