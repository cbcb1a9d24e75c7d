package report

import (
	"strings"

	"noonkeep/cmd/internal/answer"
)

// first is the page that most readers read: the answer, its figures, and what it must not be used for.
func (w *bidWriter) first(b answer.Bid) {
	w.begin("answer", w.Say("answer"))
	for i, s := range w.answer(b) {
		class := "lead"
		if i == 0 {
			class = "lead first"
		}
		w.add(bidBlock{Para: s, Class: class})
	}
	if m := b.Curve.Money; m == nil {
		w.para(w.Say("money.none"))
	} else if tankCase(b) == nil {
		w.para(w.Say("money.lacks", "case", w.Say("money.tank"), "keys", strings.Join(m.TankLacks, ", ")))
	}
	w.add(bidBlock{Box: w.Say("caution.short", "section", w.Say("cautions"))})
	w.table(w.keyFigures(b))
	w.add(bidBlock{Class: "note", Para: w.Say("rounding")})
	w.add(bidBlock{Class: contentsMark})
}

// answer is the bid in three sentences.
func (w *bidWriter) answer(b answer.Bid) []string {
	second := w.moneySentence(b)
	if second == "" {
		second = w.heatSentence(b)
	}
	return []string{w.savesSentence(b), second, w.sureSentence(b)}
}

func (w *bidWriter) savesSentence(b answer.Bid) string {
	volume, saved, both := w.short(b.Chosen.VolumeM3), w.money(b.Chosen.SavingsVsNoStorage), w.money(b.Chosen.SavingsVsBoilersOnly)
	switch {
	case b.Chosen.SavingsVsNoStorage < 0 && b.Curve.NoSunFields:
		return w.Say("answer.costs.no_field", "volume", volume, "lost", w.money(-b.Chosen.SavingsVsNoStorage))
	case b.Chosen.SavingsVsNoStorage < 0:
		return w.Say("answer.costs", "volume", volume, "lost", w.money(-b.Chosen.SavingsVsNoStorage), "both", both)
	case b.Curve.NoSunFields:
		return w.Say("answer.saves.no_field", "volume", volume, "saved", saved)
	}
	return w.Say("answer.saves", "volume", volume, "saved", saved, "both", both)
}

func (w *bidWriter) heatSentence(b answer.Bid) string {
	if b.Curve.NoSunFields {
		return w.Say("answer.heat.no_field", "fuel", w.mwh(b.Chosen.FuelKWh))
	}
	return w.Say("answer.heat", "before", w.percent(b.Curve.Points[0].SolarFraction), "after", w.percent(b.Chosen.SolarFraction),
		"fuel", w.mwh(b.Curve.Baseline.BoilersOnlyFuelKWh-b.Chosen.FuelKWh), "co2", w.figure((b.Curve.Baseline.BoilersOnlyCO2Kg-b.Chosen.CO2Kg)/1000))
}

func (w *bidWriter) sureSentence(b answer.Bid) string {
	plain, doubted := plainRule(b), b.Doubt != nil
	var words []any
	key := "answer.sure"
	if plain != nil {
		words = append(words, "plain", w.money(plain.SavingsVsBoilersOnly), "share", w.percent(plain.Arrived), "promised", w.money(b.Played.PromisedSavings))
		key = "answer.sure.played"
	}
	if doubted {
		words = append(words, "p90", w.money(b.Doubt.Spread.SavingsVsBoilersOnly.Low()))
		key = "answer.sure.doubted"
	}
	if plain != nil && doubted {
		key = "answer.sure.both"
	}
	return w.Say(key, words...)
}

// keyFigures is the table of the first page.
func (w *bidWriter) keyFigures(b answer.Bid) *bidTable {
	c, base := b.Chosen, b.Curve.Baseline
	t := &bidTable{Caption: w.Say("key.caption"), Head: []bidHead{{Text: w.Say("key.what")}, {Text: w.Say("key.value"), Number: true}}}
	t.add(w.Say("key.volume"), w.short(c.VolumeM3)+" m³")
	t.add(w.Say("key.capacity"), w.figure(c.CapacityKWh)+" kWh")
	t.add(w.Say("key.saved"), w.yearly(c.SavingsVsNoStorage))
	t.strong("strong")
	t.add(w.Say("key.next"), w.yearly(c.MarginalSavingsPerM3))
	if !b.Curve.NoSunFields {
		t.add(w.Say("key.both"), w.yearly(c.SavingsVsBoilersOnly))
		t.add(w.Say("key.share"), w.percent(c.SolarFraction)+" %, "+w.percent(b.Curve.Points[0].SolarFraction)+" %")
		t.add(w.Say("key.spilled"), w.Say("per_year", "value", w.mwh(c.SpilledSunKWh)+" MWh"))
	}
	t.add(w.Say("key.fuel"), w.Say("per_year", "value", w.mwh(c.FuelKWh)+" MWh"))
	if !b.Curve.NoSunFields {
		t.add(w.Say("key.fuel_saved"), w.Say("per_year", "value", w.mwh(base.BoilersOnlyFuelKWh-c.FuelKWh)+" MWh"))
		t.add(w.Say("key.co2"), w.Say("per_year", "value", w.figure((base.BoilersOnlyCO2Kg-c.CO2Kg)/1000)+" t"))
	}
	if c.UnmetKWh > leastToldKWh {
		t.add(w.Say("key.unmet"), w.Say("per_year", "value", w.mwh(c.UnmetKWh)+" MWh"))
		t.strong("strong")
	}
	if e := tankCase(b); e != nil {
		t.add(w.Say("key.capital"), w.money(e.Capital))
		t.add(w.Say("key.npv"), w.money(e.NPV))
		t.strong("strong")
		if e.IRR != nil {
			t.add(w.Say("key.irr"), w.percent(*e.IRR)+" %")
		}
		if e.PaybackA != nil {
			t.add(w.Say("key.payback"), w.Say("years_unit", "value", w.yearsOf(e.PaybackA)))
		}
	}
	if y := b.Years; y != nil && y.Spread.SavingsVsBoilersOnly.P90 != nil {
		s := y.Spread.SavingsVsBoilersOnly
		t.add(w.Say("key.p50", "count", len(y.Years)), w.yearly(*s.P50))
		t.add(w.Say("key.p90"), w.yearly(*s.P90))
	}
	return t
}
