package report

import (
	"fmt"
	"math"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// WithSentences gives the comparison with each case's differences from the first in words.
func WithSentences(c answer.Comparison) answer.Comparison {
	cases := append([]answer.Compared{}, c.Cases...)
	cases[0].Sentences = []string{}
	for i := range cases[1:] {
		cases[i+1].Sentences = sentences(cases[0], cases[i+1], c.Currency)
	}
	c.Cases = cases
	return c
}

// teller gathers sentences of what is worth telling and knows what was passed over.
type teller struct {
	a, b   answer.Compared
	said   []string
	passed bool // something is not worth telling
}

// sentences tells what is worth telling of b against a: what was asked, what the sun did, what it cost, what tank.
func sentences(a, b answer.Compared, currency string) []string {
	t := &teller{a: a, b: b}
	heat := t.heat()
	t.sun()
	t.fuel()
	t.money(currency, heat)
	t.tank()
	switch {
	case len(t.said) == 0:
		return []string{"Nothing worth telling changes."}
	case t.passed:
		t.said = append(t.said, "Nothing else worth telling changes.")
	}
	return t.said
}

// worth gives a figure's change if it is worth telling.
func (t *teller) worth(what string) (change float64, yes bool) {
	d, has := t.b.Difference(what)
	if has && !d.Worth {
		t.passed = true
	}
	return d.Is - d.Was, d.Worth
}

func (t *teller) say(format string, args ...any) {
	t.said = append(t.said, fmt.Sprintf(format, args...))
}

// heat tells what the loads ask for, and whether that changes.
func (t *teller) heat() bool {
	change, yes := t.worth("demand_kWh")
	if yes {
		t.say("The loads ask for %s MWh %s heat a year%s.", mwh(change), moreLess(change), percentOf(change, t.a.DemandKWh))
	}
	if unmet, short := t.worth("unmet_kWh"); short {
		t.say("%s MWh %s of the heat is not met.", mwh(unmet), moreLess(unmet))
	}
	return yes
}

// sun tells which way its heat goes.
func (t *teller) sun() {
	var parts []string
	for _, w := range []struct{ what, words string }{
		{"sun_to_header_kWh", "uses %s MWh %s of the sun directly"},
		{"store_out_kWh", "draws %s MWh %s from the tank"},
		{"spilled_sun_kWh", "leaves %s MWh %s sun unused"},
	} {
		if change, yes := t.worth(w.what); yes {
			parts = append(parts, fmt.Sprintf(w.words, mwh(change), moreLess(change)))
		}
	}
	if len(parts) > 0 {
		t.say("The plant %s.", andList(parts))
	}
}

// fuel tells of fuel and CO2, in one sentence where they go the same way.
func (t *teller) fuel() {
	fuel, tellFuel := t.worth("fuel_kWh")
	co2, tellCO2 := t.worth("co2_kg")
	first := ""
	if tellFuel {
		first = fmt.Sprintf("Fuel %s by %s MWh%s", riseFall(fuel), mwh(fuel), percentOf(fuel, t.a.FuelKWh))
	}
	carbon := fmt.Sprintf("by %s t%s", roughly(co2/1000), percentOf(co2, t.a.CO2Kg))
	switch {
	case tellFuel && tellCO2 && fuel*co2 > 0:
		t.say("%s and CO2 by %s t.", first, roughly(co2/1000))
	case tellFuel && tellCO2:
		t.say("%s, yet CO2 %s %s.", first, riseFall(co2), carbon)
	case tellFuel:
		t.say("%s.", first)
	case tellCO2:
		t.say("CO2 %s %s.", riseFall(co2), carbon)
	}
}

// money tells what the year costs; where other heat is asked for, what a MWh of it costs.
func (t *teller) money(currency string, otherHeat bool) {
	change, yes := t.worth("annual_cost")
	if !yes {
		return
	}
	s := fmt.Sprintf("The year costs %s %s %s%s", roughly(change), currency, moreLess(change), percentOf(change, t.a.AnnualCost))
	if was, is := unitPrice(t.a.HeatPrice()), unitPrice(t.b.HeatPrice()); otherHeat && was != is {
		s += fmt.Sprintf("; a MWh of heat costs %s %s instead of %s", is, currency, was)
	} else if otherHeat {
		s += fmt.Sprintf("; a MWh of heat still costs %s %s", is, currency)
	}
	t.say("%s.", s)
}

// tank tells of the best volume.
func (t *teller) tank() {
	switch a, b := t.a.BestVolumeM3, t.b.BestVolumeM3; {
	case a == nil && b == nil:
	case b == nil:
		t.say("It has no tank; the first plant's best volume is %s.", bestText(t.a))
	case a == nil:
		t.say("Its tank's best volume is %s; the first plant has none.", bestText(t.b))
	default:
		if change, yes := t.worth("best_volume_m3"); yes {
			t.say("The tank's best volume %s from %s to %s.", riseFall(change), bestText(t.a), bestText(t.b))
		}
	}
}

// bestText is a best volume, "63 m³" or "120 m³ or more".
func bestText(c answer.Compared) string {
	s := shortM3(*c.BestVolumeM3) + " m³"
	if *c.BestVolumeM3 == 0 {
		s = "none"
	}
	if c.BestAtEdge {
		s += " or more"
	}
	return s
}

func moreLess(change float64) string {
	if change < 0 {
		return "less"
	}
	return "more"
}

func riseFall(change float64) string {
	if change < 0 {
		return "falls"
	}
	return "rises"
}

// percentOf is a change as " (14 %)" of what it was; nothing where it was nothing.
func percentOf(change, was float64) string {
	if was == 0 {
		return ""
	}
	share := 100 * math.Abs(change/was)
	if share >= 10 {
		return fmt.Sprintf(" (%.0f %%)", share)
	}
	return fmt.Sprintf(" (%.1f %%)", share)
}

func mwh(kWh float64) string { return roughly(kWh / 1000) }

// roughly is a difference's size to three digits, whole from 10 up: the model is not surer than that.
func roughly(v float64) string {
	v = math.Abs(v)
	switch {
	case v < 10:
		return Tenths(v)
	case v < 1000:
		return Whole(v)
	}
	unit := math.Pow(10, math.Floor(math.Log10(v))-2)
	return Whole(math.Round(v/unit) * unit)
}

// unitPrice is money per MWh to a tenth.
func unitPrice(v float64) string { return Tenths(v) }

// andList gives "a, b and c".
func andList(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}
