package desk

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"noonkeep/cmd/internal/chart"
	"noonkeep/scenarios"
)

// Units that a page can show.
const (
	barGauge = "bar(g)"
	barAbs   = "bar(a)"
	unitKW   = "kW"
	unitKgH  = "kg/h"
	unitMWh  = "MWh"
	unitT    = "t"
)

// units are those that a page shows. What is not one of a place's two counts as the first.
type units struct {
	Pressure string // bar(g) or bar(a)
	Heat     string // kW, or kg/h of the header's steam
	Energy   string // MWh, or t of the header's steam
}

// unitPairs are the choices, the one that is taken first.
var unitPairs = [][2]string{{barGauge, barAbs}, {unitKW, unitKgH}, {unitMWh, unitT}}

// parseUnits reads a page's choice, "bar(a),kg/h,t": in any order, each left out or unknown for the first of its two.
func parseUnits(s string) units {
	chosen := [3]string{}
	for i, pair := range unitPairs {
		chosen[i] = pair[0]
		for word := range strings.SplitSeq(s, ",") {
			if strings.TrimSpace(word) == pair[1] {
				chosen[i] = pair[1]
			}
		}
	}
	return units{Pressure: chosen[0], Heat: chosen[1], Energy: chosen[2]}
}

// Name is the choice as [parseUnits] reads it.
func (u units) Name() string {
	u = u.filled()
	return strings.Join([]string{u.Pressure, u.Heat, u.Energy}, ",")
}

// With is the choice with one unit otherwise; a word that is no unit changes nothing.
func (u units) With(word string) units {
	u = u.filled()
	for i, at := range []*string{&u.Pressure, &u.Heat, &u.Energy} {
		if word == unitPairs[i][0] || word == unitPairs[i][1] {
			*at = word
		}
	}
	return u
}

func (u units) filled() units {
	return parseUnits(strings.Join([]string{u.Pressure, u.Heat, u.Energy}, ","))
}

// unitChoice is one switch of a page.
type unitChoice struct {
	What    string
	Options []unitOption
}

// unitOption is one place of a switch; Name is the whole choice that it leads to.
type unitOption struct {
	Unit, Name string
	Chosen     bool
}

// Choices are the switches, with what each place leads to.
func (u units) Choices() []unitChoice {
	now := u.filled()
	var list []unitChoice
	for i, at := range []struct{ what, is string }{{"Pressure", now.Pressure}, {"Heat flow", now.Heat}, {"Heat", now.Energy}} {
		c := unitChoice{What: at.what}
		for _, unit := range unitPairs[i] {
			c.Options = append(c.Options, unitOption{Unit: unit, Name: now.With(unit).Name(), Chosen: unit == at.is})
		}
		list = append(list, c)
	}
	return list
}

// scale turns a value in kW or MWh into what is shown: times Times, in Unit. Why is said where the unit that was chosen
// cannot be had.
type scale struct {
	Unit  string
	Times float64
	Why   string
}

// steamOf is the heat that makes a kg of a header's steam, kJ/kg; a header below 0 is the whole plant, which has one if it
// has one header. Why says what stands in the way.
func steamOf(c scenarios.Case, header int) (heatKJKg float64, why string) {
	if header < 0 && len(c.Headers) != 1 {
		return 0, fmt.Sprintf("%d headers, whose steam differs: heat of the whole plant stays in kW and MWh", len(c.Headers))
	}
	h := c.Headers[max(header, 0)]
	if !(h.HeatKJKg > 0) {
		return 0, fmt.Sprintf("header %s carries no steam: its heat stays in kW and MWh", h.Name)
	}
	return h.HeatKJKg, ""
}

// heatFlow is how the page shows kW of a header.
func (u units) heatFlow(c scenarios.Case, header int) scale {
	return scaled(u.filled().Heat == unitKgH, c, header, scale{Unit: unitKW, Times: 1}, unitKgH, 3600)
}

// energy is how the page shows MWh of a header's heat. Fuel is never shown so.
func (u units) energy(c scenarios.Case, header int) scale {
	return scaled(u.filled().Energy == unitT, c, header, scale{Unit: unitMWh, Times: 1}, unitT, 3600)
}

// scaled gives the steam's unit where it is wanted and the header has steam. An MWh is 3.6e6 kJ, so that times 3600 over
// kJ/kg makes t of it, as it makes kg/h of a kW.
func scaled(steam bool, c scenarios.Case, header int, plain scale, unit string, times float64) scale {
	if !steam {
		return plain
	}
	heatKJKg, why := steamOf(c, header)
	if why != "" {
		plain.Why = why
		return plain
	}
	return scale{Unit: unit, Times: times / heatKJKg}
}

// Text is a value with its unit, to three digits or whole.
func (s scale) Text(v float64) string { return numberText(v*s.Times) + chartSpace + s.Unit }

// chartSpace stands between a number and its unit, so that no line breaks there.
const chartSpace = "\u00a0"

// numberText is a value for a page, to three digits, or whole where it has more.
func numberText(v float64) string {
	rounded, decimals := chart.Digits(v, 3)
	if math.Abs(v) >= 1000 {
		rounded, decimals = v, 0
	}
	return chart.Thousands(rounded, decimals)
}

// pressureText is a pressure in a unit that the page shows.
func (u units) pressureText(barA, airBarA float64) string {
	if u.filled().Pressure == barAbs {
		return pressureNumber(barA) + chartSpace + barAbs
	}
	return pressureNumber(barA-airBarA) + chartSpace + barGauge
}

// pressureNumber is a pressure to a hundredth of a bar, no idle zeros.
func pressureNumber(bar float64) string {
	s := strconv.FormatFloat(math.Round(100*bar)/100, 'f', -1, 64)
	return strings.Replace(s, "-", "−", 1)
}
