package report

import (
	"slices"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// doubtSection says what comes of things being otherwise.
func (w *bidWriter) doubtSection(b answer.Bid) error {
	w.begin("doubt", w.Say("doubt"))
	d := b.Doubt
	if d == nil {
		w.para(w.Say("doubt.none", "why", b.NoPart[answer.PartDoubt]))
		return nil
	}
	s := d.Spread.SavingsVsBoilersOnly
	w.para(w.Say("doubt.text", "count", len(d.Cases), "p50", w.optionalMoney(s.P50), "p90", w.money(s.Low())))
	if d.Assumed {
		w.para(w.Say("doubt.assumed"))
	}
	if len(d.Inputs) > 0 {
		if err := w.causes(b); err != nil {
			return err
		}
		w.table(w.doubtTable(d, b.Curve.Currency))
	}
	if d.OftenBestM3 == nil || d.LeastRegretM3 == nil {
		return nil
	}
	words := []any{"often", w.short(*d.OftenBestM3), "least", w.short(*d.LeastRegretM3)}
	i := slices.IndexFunc(d.Volumes, func(v answer.DoubtVolume) bool { return v.VolumeM3 == d.VolumeM3 })
	if i < 0 {
		w.para(w.Say("doubt.best.plain", words...))
		return nil
	}
	w.para(w.Say("doubt.best", append(words, "volume", w.short(d.VolumeM3), "mean", w.money(d.Volumes[i].MeanRegret), "most", w.money(d.Volumes[i].MostRegret))...))
	return nil
}

func (w *bidWriter) optionalMoney(v *float64) string {
	if v == nil {
		return w.Say("not_there")
	}
	return w.money(*v)
}

// causes draws what each input does alone.
func (w *bidWriter) causes(b answer.Bid) error {
	d := b.Doubt
	c := chart.Causes{Locale: w.locale, Subtitle: w.Say("week.under", "plant", b.Curve.Scenario, "volume", w.short(d.VolumeM3)), Name: w.Say("doubt.axis"),
		Currency: b.Curve.Currency, Middle: d.Middle.SavingsVsBoilersOnly, MiddleName: w.Say("doubt.middle", "value", w.money(d.Middle.SavingsVsBoilersOnly))}
	lo, hi := c.Middle, c.Middle
	for _, in := range d.Inputs[:min(len(d.Inputs), mostCauseRows)] {
		row := chart.Cause{Name: w.unsureName(in), Range: w.unsureRange(in), AtLow: in.AtLow.SavingsVsBoilersOnly, AtHigh: in.AtHigh.SavingsVsBoilersOnly}
		if in.High > 0 {
			row.LowTag, row.HighTag = w.short(100*in.Low)+" %", w.short(100*in.High)+" %"
		}
		c.Rows = append(c.Rows, row)
		lo, hi = min(lo, row.AtLow, row.AtHigh), max(hi, row.AtLow, row.AtHigh)
	}
	first, second := d.Inputs[0], d.Inputs[min(1, len(d.Inputs)-1)]
	c.Title = w.Say("doubt.picture", "first", w.unsureName(first))
	if first.Swing == 0 {
		c.Title = w.Say("doubt.picture.none")
	}
	return w.picture("doubt", c, w.Say("doubt.caption"), w.Say("doubt.alt", "low", w.money(lo), "high", w.money(hi), "first", w.unsureName(first), "second", w.unsureName(second)))
}

// unsureName is an input's name in the bid's language, with the one load, boiler, fuel or field that it is of.
func (w *bidWriter) unsureName(in answer.DoubtInput) string {
	what, of, has := strings.Cut(in.Name, " of ")
	key := "unsure." + strings.ReplaceAll(what, " ", "_")
	if _, known := w.text[key]; !known {
		return in.Name
	}
	if has {
		return w.Say(key) + ", " + of
	}
	return w.Say(key)
}

func (w *bidWriter) unsureRange(in answer.DoubtInput) string {
	key := "unsure." + in.Shape
	if _, known := w.text[key]; !known || in.High <= 0 {
		return w.Say("unsure.years")
	}
	return w.Say("unsure.range", "low", w.short(100*in.Low), "high", w.short(100*in.High), "shape", w.Say(key))
}

func (w *bidWriter) doubtTable(d *answer.Doubt, currency string) *bidTable {
	t := &bidTable{Caption: w.Say("doubt.table"), Head: []bidHead{{Text: w.Say("doubt.input")}, {Text: w.Say("doubt.range")},
		{Text: w.Say("doubt.low"), Unit: currency + "/a", Number: true}, {Text: w.Say("doubt.high"), Unit: currency + "/a", Number: true}, {Text: w.Say("doubt.swing"), Unit: currency + "/a", Number: true}}}
	for _, in := range d.Inputs {
		t.add(w.unsureName(in), w.unsureRange(in), w.figure(in.AtLow.SavingsVsBoilersOnly), w.figure(in.AtHigh.SavingsVsBoilersOnly), w.figure(in.Swing))
	}
	return t
}

// wayWords are the catalogue's keys of the ways of running.
var wayWords = map[string]string{answer.WayPlan: "way.plan", answer.WayRule: "way.plain", answer.WayGuide: "way.guide", answer.WayRolling: "way.rolling", answer.WaySight: "way.sight"}

// playedSection sets the ways of running beside each other.
func (w *bidWriter) playedSection(b answer.Bid) error {
	w.begin("played", w.Say("played"))
	r := b.Played
	if r == nil {
		w.para(w.Say("played.none", "why", b.NoPart[answer.PartPlayed]))
		return nil
	}
	w.into(w.Say("played.text", "step", w.short(r.StepS), "promised", w.money(r.PromisedSavings)))
	perYear := b.Curve.Currency + "/a"
	t := &bidTable{Caption: w.Say("played.table"), Head: []bidHead{{Text: w.Say("played.way")}, {w.Say("played.cost"), perYear, true, false},
		{w.Say("played.saved"), perYear, true, false}, {w.Say("played.arrived"), "%", true, false}, {w.Say("played.unmet"), "MWh/a", true, false}, {Text: w.Say("played.starts"), Number: true}}}
	var how []bidTerm
	for _, x := range r.Ways {
		name := x.Name
		if key, known := wayWords[x.Name]; known {
			name = w.Say(key)
		}
		t.add(name, w.figure(x.AnnualCost), w.figure(x.SavingsVsBoilersOnly), w.percent(x.Arrived), w.mwh(x.UnmetKWh), w.exact(float64(x.BoilerStarts), 0))
		how = append(how, bidTerm{x.Name, r.Method[x.Name]})
	}
	w.table(t)
	w.para(w.Say("played.gap", "bound", w.money(r.Bound), "gap", w.figure(100*r.Gap)))
	w.into(w.Say("played.how"))
	w.add(bidBlock{Terms: how, Lang: quotedLang})
	if len(r.Notes) > 0 {
		w.add(bidBlock{List: r.Notes, Lang: quotedLang})
	}
	return nil
}

// plainRule is what came of the plain rule; nil where it was not played.
func plainRule(b answer.Bid) *answer.Way {
	if b.Played == nil {
		return nil
	}
	for i, x := range b.Played.Ways {
		if x.Name == answer.WayRule {
			return &b.Played.Ways[i]
		}
	}
	return nil
}
