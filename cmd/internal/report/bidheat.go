package report

import (
	"math"
	"slices"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// curve shows what each volume saves.
func (w *bidWriter) curve(b answer.Bid) error {
	w.fresh("curve", w.Say("curve"))
	a := b.Curve
	w.para(w.Say("curve.text", "steps", w.exact(float64(a.Steps), 0), "gap", twoDigits(100*a.CertifiedGap)))
	if len(a.Kept) > 0 {
		var names, volumes []string
		for _, k := range a.Kept {
			names, volumes = append(names, k.Name), append(volumes, w.short(k.VolumeM3)+" m³")
		}
		w.para(w.Say("curve.others", "store", a.Store, "others", strings.Join(names, ", "), "volumes", strings.Join(volumes, ", ")))
	}
	last, top := a.Points[len(a.Points)-1], a.Points[best(a.Points)]
	volume, saved := w.short(b.Chosen.VolumeM3), w.money(b.Chosen.SavingsVsNoStorage)
	alt := w.Say("curve.alt", "most", w.short(last.VolumeM3), "best", w.money(top.SavingsVsNoStorage), "best_m3", w.short(top.VolumeM3), "volume", volume, "saved", saved,
		"first", w.money(a.Points[0].MarginalSavingsPerM3), "last", w.money(last.MarginalSavingsPerM3))
	if err := w.picture("curve", w.curveFigure(b), w.Say("curve.caption", "volume", volume), alt); err != nil {
		return err
	}
	w.table(w.curveTable(b))
	return nil
}

func (w *bidWriter) curveFigure(b answer.Bid) chart.Curve {
	a := b.Curve
	c := chart.Curve{
		Locale: w.locale, Currency: a.Currency, MarkM3: b.Chosen.VolumeM3, SavingsName: w.Say("curve.axis"),
		Title:    w.Say("curve.picture", "volume", w.short(b.Chosen.VolumeM3), "saved", w.money(b.Chosen.SavingsVsNoStorage)),
		Subtitle: w.Say("curve.picture.under", "plant", a.Scenario, "gap", twoDigits(100*a.CertifiedGap)),
	}
	if b.Size != nil && b.Size.YearlyPerM3 != nil {
		c.CostM3 = *b.Size.YearlyPerM3
	}
	for _, p := range a.Points {
		c.VolumesM3, c.Savings = append(c.VolumesM3, p.VolumeM3), append(c.Savings, p.SavingsVsNoStorage)
	}
	return c
}

// curveTable has round volumes and the chosen one.
func (w *bidWriter) curveTable(b answer.Bid) *bidTable {
	a := b.Curve
	money := a.Currency + "/a"
	t := &bidTable{Caption: w.Say("curve.table"), Head: []bidHead{{w.Say("curve.volume"), "m³", true, false}, {w.Say("curve.saved"), money, true, false},
		{w.Say("curve.next"), money, true, false}, {w.Say("curve.both"), money, true, false}, {w.Say("curve.share"), "%", true, false}, {w.Say("curve.spilled"), "MWh/a", true, false}}}
	if a.NoSunFields {
		t.Head = t.Head[:3]
	}
	rows := tableRows(a.Points)
	has := false
	for _, p := range rows {
		has = has || p.VolumeM3 == b.Chosen.VolumeM3
	}
	row := func(p answer.Point) {
		cells := []string{w.short(p.VolumeM3), w.figure(p.SavingsVsNoStorage), w.figure(p.MarginalSavingsPerM3), w.figure(p.SavingsVsBoilersOnly), w.percent(p.SolarFraction), w.mwh(p.SpilledSunKWh)}
		t.add(cells[:len(t.Head)]...)
		if p.VolumeM3 == b.Chosen.VolumeM3 {
			t.strong("strong")
		}
	}
	for _, p := range rows {
		if !has && p.VolumeM3 > b.Chosen.VolumeM3 {
			row(b.Chosen)
			has = true
		}
		row(p)
	}
	return t
}

// weeks shows a week of each season.
func (w *bidWriter) weeks(b answer.Bid) error {
	w.fresh("weeks", w.Say("weeks"))
	axis := b.Plan.Axis
	name := func(p answer.PickedWeek) string {
		return w.day(axis.At(p.From)) + " – " + w.date(axis.At(p.To-1))
	}
	w.para(w.Say("weeks.text", "summer", name(b.Summer), "summer_sun", w.figure(b.Summer.SunKWhM2Day), "summer_season", w.figure(b.Summer.SeasonKWhM2D),
		"winter", name(b.Winter), "winter_sun", w.figure(b.Winter.SunKWhM2Day), "winter_season", w.figure(b.Winter.SeasonKWhM2D)))
	for _, x := range []struct {
		name string
		week answer.PickedWeek
	}{{"summer", b.Summer}, {"winter", b.Winter}} {
		from, to := w.day(axis.At(x.week.From)), w.date(axis.At(x.week.To-1))
		c := weekChart(b.Plan, x.week.Week)
		c.Locale, c.Flat, c.Title, c.HoldKWh = w.locale, true, w.Say("week."+x.name, "from", from, "to", to), nil
		c.Subtitle = w.Say("week.under", "plant", b.Curve.Scenario, "volume", w.short(b.Chosen.VolumeM3))
		if err := w.picture("week-"+x.name, c, w.Say("week.caption."+x.name), w.weekAlt(c, from, to)); err != nil {
			return err
		}
	}
	return nil
}

func (w *bidWriter) weekAlt(c chart.Week, from, to string) string {
	mwh := func(kW []float64) string { return w.mwh(total(kW) * c.StepH) }
	return w.Say("week.alt", "from", from, "to", to, "sun", mwh(c.SunKW), "store", mwh(c.StoreKW), "boilers", mwh(c.BoilerKW),
		"demand", mwh(c.DemandKW), "into", mwh(c.SunToStoreKW), "spilled", mwh(c.SpilledKW))
}

// months shows where the heat comes from.
func (w *bidWriter) months(b answer.Bid) error {
	w.fresh("source", w.Say("source"))
	var sum answer.MonthHeat
	for _, m := range b.Months {
		sum.DemandKWh, sum.SunKWh, sum.StoreOutKWh = sum.DemandKWh+m.DemandKWh, sum.SunKWh+m.SunKWh, sum.StoreOutKWh+m.StoreOutKWh
		sum.BoilerKWh, sum.UnmetKWh = sum.BoilerKWh+m.BoilerKWh, sum.UnmetKWh+m.UnmetKWh
		sum.SpilledKWh, sum.FuelKWh = sum.SpilledKWh+m.SpilledKWh, sum.FuelKWh+m.FuelKWh
	}
	w.para(w.Say("source.text", "demand", w.mwh(sum.DemandKWh), "sun", w.mwh(sum.SunKWh), "store", w.mwh(sum.StoreOutKWh), "boilers", w.mwh(sum.BoilerKWh)))
	if sum.UnmetKWh > leastToldKWh {
		w.para(w.Say("source.lack", "lack", w.mwh(sum.UnmetKWh)))
	}
	least, most := 0, 0
	for i, m := range b.Months {
		if m.DemandKWh <= 0 {
			continue
		}
		if b.Months[least].DemandKWh <= 0 || sunShare(m) < sunShare(b.Months[least]) {
			least = i
		}
		if sunShare(m) > sunShare(b.Months[most]) {
			most = i
		}
	}
	words := []any{"least", w.whole(sunShare(b.Months[least])), "least_month", w.month(least + 1), "most", w.whole(sunShare(b.Months[most])), "most_month", w.month(most + 1)}
	title := w.Say("source.picture", words...)
	if b.Curve.NoSunFields {
		title = w.Say("source")
	}
	f := w.monthsFigure(b, title)
	if err := w.picture("months", f, w.Say("source.caption"), w.Say("source.alt", words...)); err != nil {
		return err
	}
	w.table(w.monthsTable(b.Months, sum, b.Curve.NoSunFields))
	return nil
}

// leastToldKWh is less than any heat that is told.
const leastToldKWh = 1

// sunShare is what no boiler carries of a month's heat.
func sunShare(m answer.MonthHeat) float64 {
	if m.DemandKWh <= 0 {
		return 0
	}
	return math.Max(0, 1-(m.BoilerKWh+m.UnmetKWh)/m.DemandKWh)
}

// whole is a share in whole percent.
func (w *bidWriter) whole(frac float64) string { return w.exact(100*frac, 0) }

func (w *bidWriter) monthsFigure(b answer.Bid, title string) chart.Bars {
	c := chart.Bars{Locale: w.locale, Title: title, Subtitle: w.Say("week.under", "plant", b.Curve.Scenario, "volume", w.short(b.Chosen.VolumeM3)),
		Name: w.Say("source.axis"), Unit: w.Say("source.unit")}
	var sun, store, boilers, lack []float64
	lacks := false
	for i, m := range b.Months {
		c.Labels, c.Notes = append(c.Labels, w.month(i+1)), append(c.Notes, w.whole(sunShare(m))+" %")
		if m.DemandKWh <= 0 {
			c.Notes[i] = ""
		}
		sun, store, boilers, lack = append(sun, m.SunKWh/1000), append(store, m.StoreOutKWh/1000), append(boilers, m.BoilerKWh/1000), append(lack, m.UnmetKWh/1000)
		lacks = lacks || m.UnmetKWh > leastToldKWh
	}
	c.Layers = []chart.Layer{{Name: w.Say("picture.sun"), Kind: chart.SunLayer, Values: sun}, {Name: w.Say("picture.store"), Kind: chart.StoreLayer, Values: store},
		{Name: w.Say("picture.boilers"), Kind: chart.BoilerLayer, Values: boilers}}
	if b.Curve.NoSunFields {
		c.Layers, c.Notes = c.Layers[1:], nil
	}
	if lacks {
		c.Layers = append(c.Layers, chart.Layer{Name: w.Say("source.unmet"), Kind: chart.LackLayer, Values: lack})
	}
	return c
}

// monthsTable has the months and their sum; without a field it has no columns of the sun.
func (w *bidWriter) monthsTable(months []answer.MonthHeat, sum answer.MonthHeat, noSun bool) *bidTable {
	t := &bidTable{Caption: w.Say("source.table"), Head: []bidHead{{Text: w.Say("source.month")}}}
	columns := []struct {
		key string
		of  func(answer.MonthHeat) float64
		sun bool
	}{
		{"demand", func(m answer.MonthHeat) float64 { return m.DemandKWh }, false}, {"sun", func(m answer.MonthHeat) float64 { return m.SunKWh }, true},
		{"store", func(m answer.MonthHeat) float64 { return m.StoreOutKWh }, false}, {"boilers", func(m answer.MonthHeat) float64 { return m.BoilerKWh }, false},
		{"unmet", func(m answer.MonthHeat) float64 { return m.UnmetKWh }, false}, {"spilled", func(m answer.MonthHeat) float64 { return m.SpilledKWh }, true},
		{"fuel", func(m answer.MonthHeat) float64 { return m.FuelKWh }, false},
	}
	for i, m := range append(slices.Clone(months), sum) {
		name := w.Say("source.year")
		if i < len(months) {
			name = w.month(i + 1)
		}
		t.add(name)
		for _, c := range columns {
			if c.sun && noSun {
				continue
			}
			if i == 0 {
				t.Head = append(t.Head, bidHead{Text: w.Say("source." + c.key), Number: true})
			}
			v := c.of(m)
			if v < leastToldKWh {
				v = 0
			}
			t.Rows[i].Cells = append(t.Rows[i].Cells, w.mwh(v))
		}
	}
	t.strong("sum")
	return t
}

// years shows what other years of weather make of it.
func (w *bidWriter) years(b answer.Bid) error {
	w.begin("years", w.Say("years"))
	y := b.Years
	if y == nil {
		w.para(w.Say("years.none", "why", b.NoPart[answer.PartYears]))
		return nil
	}
	if y.Weather == answer.WeatherGenerated {
		w.para(w.Say("years.generated", "count", len(y.Years)))
		if s := y.Spread.DNIKWhM2; s.CoeffVar != nil {
			w.para(w.Say("years.caution", "dni", w.percent(*s.CoeffVar)))
		}
	} else {
		w.para(w.Say("years.measured", "count", len(y.Years)))
	}
	w.table(w.yearsTable(b))
	if y.Spread.SavingsVsBoilersOnly.P90 == nil {
		w.add(bidBlock{Para: w.Say("years.few"), Class: "note"})
	}
	return nil
}

// yearsTable is how the years' figures lie.
func (w *bidWriter) yearsTable(b answer.Bid) *bidTable {
	s := b.Years.Spread
	t := &bidTable{Caption: w.Say("years.table"), Class: "wide", Head: []bidHead{{Text: ""}}}
	heads := []string{"least", "p90", "p50", "p10", "most", "mean"}
	if s.SavingsVsBoilersOnly.P90 == nil {
		heads = []string{"least", "p50", "most", "mean"}
	}
	for _, key := range heads {
		t.Head = append(t.Head, bidHead{Text: w.Say("years." + key), Number: true})
	}
	t.Head[0].Text = w.Say("key.what")
	row := func(key, unit string, sp answer.Spread, by float64, share bool) {
		cells := []string{w.Say("years.row."+key) + ", " + unit}
		values := map[string]*float64{"least": &sp.Least, "p90": sp.P90, "p50": sp.P50, "p10": sp.P10, "most": &sp.Most, "mean": &sp.Mean}
		for _, h := range heads {
			v := values[h]
			switch {
			case v == nil:
				cells = append(cells, w.Say("not_there"))
			case share:
				cells = append(cells, w.percent(*v))
			default:
				cells = append(cells, w.figure(*v*by))
			}
		}
		t.add(cells...)
	}
	row("both", b.Curve.Currency+"/a", s.SavingsVsBoilersOnly, 1, false)
	row("saved", b.Curve.Currency+"/a", s.SavingsVsNoStorage, 1, false)
	row("fuel", "MWh/a", s.FuelKWh, 1e-3, false)
	if !b.Curve.NoSunFields {
		row("share", "%", s.SolarFraction, 1, true)
	}
	return t
}
