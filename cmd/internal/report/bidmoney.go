package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// tankCase and plantCase are the two cases at the chosen volume; nil where they are not counted.
func tankCase(b answer.Bid) *answer.Earned {
	if b.Chosen.Money == nil {
		return nil
	}
	return b.Chosen.Money.Tank
}

func plantCase(b answer.Bid) *answer.Earned {
	if b.Chosen.Money == nil {
		return nil
	}
	return b.Chosen.Money.Plant
}

// moneySentence says what the store earns; empty where that is not counted.
func (w *bidWriter) moneySentence(b answer.Bid) string {
	e := tankCase(b)
	if e == nil {
		return ""
	}
	m := b.Curve.Money
	back, paid := w.Say("clause.no_irr"), w.Say("clause.no_payback")
	if e.IRR != nil {
		back = w.Say("clause.irr", "irr", w.percent(*e.IRR))
	}
	if e.PaybackA != nil {
		paid = w.Say("clause.payback", "years", w.yearsOf(e.PaybackA))
	}
	key, npv := "answer.earns", e.NPV
	if npv < 0 {
		key, npv = "answer.loses", -npv
	}
	return w.Say(key, "capital", w.money(e.Capital), "npv", w.money(npv), "years", m.Years, "discount", w.short(100*m.DiscountFrac), "return", back, "paid", paid)
}

// yearsOf is a payback to a tenth of a year, or that there is none.
func (w *bidWriter) yearsOf(a *float64) string {
	if a == nil {
		return w.Say("never")
	}
	return w.exact(*a, 1)
}

// moneySection says what store and plant cost and earn.
func (w *bidWriter) moneySection(b answer.Bid) error {
	w.fresh("money", w.Say("money"))
	m := b.Curve.Money
	if m == nil {
		w.section.Fresh = false
		w.para(w.Say("money.none"))
		return nil
	}
	w.para(w.Say("money.text"))
	for _, x := range []struct {
		name  string
		lacks []string
	}{{w.Say("money.tank"), m.TankLacks}, {w.Say("money.plant"), m.PlantLacks}} {
		if len(x.lacks) > 0 && !(x.name == w.Say("money.plant") && b.Curve.NoSunFields) {
			w.para(w.Say("money.lacks", "case", x.name, "keys", strings.Join(x.lacks, ", ")))
		}
	}
	if tankCase(b) == nil && plantCase(b) == nil {
		w.section.Fresh = false
		return nil
	}
	w.table(w.moneyTable(b))
	for _, x := range []struct {
		name string
		e    *answer.Earned
	}{{w.Say("money.tank"), tankCase(b)}, {w.Say("money.plant"), plantCase(b)}} {
		if x.e != nil && x.e.IRR == nil {
			w.para(w.Say("money.no_irr", "case", x.name, "why", x.e.IRRWhy))
		}
	}
	w.nextSentences(b)
	if err := w.moneyPicture(b); err != nil {
		return err
	}
	for _, s := range []*answer.MoneySheet{b.TankMoney, b.PlantMoney} {
		if s != nil {
			w.table(w.yearsOfMoney(s, w.caseName(b, s), b.Curve.Currency))
		}
	}
	if len(m.Words) > 0 {
		w.into(w.Say("money.terms"))
		w.add(bidBlock{List: append(append([]string{}, m.Words...), m.Notes...), Lang: quotedLang})
	}
	return nil
}

func (w *bidWriter) caseName(b answer.Bid, s *answer.MoneySheet) string {
	if s == b.TankMoney {
		return w.Say("money.tank")
	}
	return w.Say("money.plant")
}

func (w *bidWriter) moneyTable(b answer.Bid) *bidTable {
	t := &bidTable{Caption: w.Say("money.table"), Head: []bidHead{{Text: w.Say("key.what")}}}
	var cases []*answer.Earned
	for _, x := range []struct {
		name string
		e    *answer.Earned
	}{{"money.tank", tankCase(b)}, {"money.plant", plantCase(b)}} {
		if x.e != nil {
			cases = append(cases, x.e)
			t.Head = append(t.Head, bidHead{Text: w.Say(x.name), Number: true})
		}
	}
	row := func(key string, cell func(e *answer.Earned) string) {
		cells := []string{w.Say(key)}
		for _, e := range cases {
			cells = append(cells, cell(e))
		}
		t.add(cells...)
	}
	row("money.capital", func(e *answer.Earned) string { return w.money(e.Capital) })
	row("money.subsidy", func(e *answer.Earned) string { return w.money(e.Subsidy) })
	row("money.loan", func(e *answer.Earned) string { return w.money(e.Loan) })
	row("money.saved", func(e *answer.Earned) string { return w.money(e.SavedFirstYear) })
	row("money.spent", func(e *answer.Earned) string { return w.money(e.SpentFirstYear) })
	row("money.npv", func(e *answer.Earned) string { return w.money(e.NPV) })
	t.strong("strong")
	row("money.irr", func(e *answer.Earned) string {
		if e.IRR == nil {
			return w.Say("not_there")
		}
		return w.percent(*e.IRR)
	})
	row("money.simple", func(e *answer.Earned) string { return w.yearsOf(e.SimplePaybackA) })
	row("money.payback", func(e *answer.Earned) string { return w.yearsOf(e.PaybackA) })
	row("money.discounted", func(e *answer.Earned) string { return w.yearsOf(e.DiscountedPaybackA) })
	perUnit := func(v *float64, by float64) string {
		if v == nil {
			return w.Say("not_there")
		}
		return w.money(*v * by)
	}
	row("money.heat_cost", func(e *answer.Earned) string { return perUnit(e.HeatCostPerKWh, 1000) })
	row("money.co2_cost", func(e *answer.Earned) string { return perUnit(e.CO2CostPerT, 1) })
	return t
}

// nextSentences say where the next m³ stops paying.
func (w *bidWriter) nextSentences(b answer.Bid) {
	m := b.Curve.Money
	if tankCase(b) == nil {
		return
	}
	switch {
	case m.StopsAtEdge:
		w.para(w.Say("money.stops_edge", "most", w.short(b.Curve.Points[len(b.Curve.Points)-1].VolumeM3)))
	case m.NextStopsM3 != nil:
		w.para(w.Say("money.stops", "stops", w.figure(*m.NextStopsM3)))
	default:
		w.para(w.Say("money.stops_none"))
	}
	w.sizeSentence(b)
	if p := b.Chosen.Money; p.NextWorth != nil && p.NextCosts != nil {
		w.para(w.Say("money.next", "volume", w.short(b.Chosen.VolumeM3), "worth", w.money(*p.NextWorth), "costs", w.money(*p.NextCosts)))
	}
}

// sizeSentence says which volume is worth most, and which are as good.
func (w *bidWriter) sizeSentence(b answer.Bid) {
	s := b.Size
	switch {
	case s == nil:
		return
	case s.VolumeM3 == nil || s.Earns == nil:
		w.para(w.Say("money.size.none", "why", s.Why))
		return
	}
	less := math.Max(0, s.Earns.NPV-tankCase(b).NPV)
	words := []any{"best", w.figure(*s.VolumeM3), "volume", w.short(b.Chosen.VolumeM3), "less", w.money(less)}
	if s.AtEdge || s.AsGood == nil {
		w.para(w.Say("money.size.edge", words...))
		return
	}
	w.para(w.Say("money.size", append(words, "from", w.figure(s.AsGood.FromM3), "to", w.figure(s.AsGood.ToM3), "within", w.money(s.AsGoodBy))...))
}

// moneyPicture draws the store's own money, or where it is not counted that of sun and store.
func (w *bidWriter) moneyPicture(b answer.Bid) error {
	s := b.TankMoney
	if s == nil {
		s = b.PlantMoney
	}
	c := chart.Bars{Locale: w.locale, Title: w.Say("money.figure"), Subtitle: w.caseName(b, s), Name: w.Say("money.axis"),
		Unit: w.Say("money.unit", "currency", b.Curve.Currency), LineName: w.Say("money.line"), Foot: w.Say("money.foot")}
	var net []float64
	for _, y := range s.Years {
		c.Labels, c.Line, net = append(c.Labels, fmt.Sprint(y.Year)), append(c.Line, y.WorthSum), append(net, y.Net)
	}
	c.Layers = []chart.Layer{{Name: w.Say("money.bar"), Kind: chart.PlainLayer, Values: net}}
	last := s.Years[len(s.Years)-1]
	alt := w.Say("money.alt", "years", last.Year, "first", w.money(s.Years[0].Net), "npv", w.money(last.WorthSum))
	return w.picture("money", c, w.Say("money.caption"), alt)
}

// yearsOfMoney is a case by year, without what is nothing in all of them.
func (w *bidWriter) yearsOfMoney(s *answer.MoneySheet, name, currency string) *bidTable {
	columns := []struct {
		key string
		of  func(answer.YearMoney) float64
	}{
		{"saved", func(y answer.YearMoney) float64 { return y.Saved }}, {"spent", func(y answer.YearMoney) float64 { return y.Spent }},
		{"capital", func(y answer.YearMoney) float64 { return y.Capital }}, {"bank", func(y answer.YearMoney) float64 { return y.Bank }},
		{"tax", func(y answer.YearMoney) float64 { return y.Tax }}, {"net", func(y answer.YearMoney) float64 { return y.Net }},
		{"worth", func(y answer.YearMoney) float64 { return y.WorthSum }},
	}
	t := &bidTable{Caption: w.Say("money.years", "case", name), Class: "wide", Head: []bidHead{{Text: w.Say("money.year"), Number: true}}}
	for _, y := range s.Years {
		t.add(fmt.Sprint(y.Year))
	}
	for _, c := range columns {
		if !slices.ContainsFunc(s.Years, func(y answer.YearMoney) bool { return c.of(y) != 0 }) {
			continue
		}
		t.Head = append(t.Head, bidHead{Text: w.Say("money.year." + c.key), Unit: currency, Number: true})
		for i, y := range s.Years {
			t.Rows[i].Cells = append(t.Rows[i].Cells, w.figure(c.of(y)))
		}
	}
	return t
}
