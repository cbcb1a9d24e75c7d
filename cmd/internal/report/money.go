package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// Sum3 prints a sum of money to three digits, whole from 10 up: no estimate of years to come is surer than that.
func Sum3(v float64) string {
	if math.Abs(v) < 0.05 {
		return "0"
	}
	s := roughly(v)
	if v < 0 {
		return "-" + s
	}
	return s
}

// sumOr prints a sum that may be missing.
func sumOr(v *float64, missing string) string {
	if v == nil {
		return missing
	}
	return Sum3(*v)
}

// paybackText is years to a tenth, "over 20" for longer than the life.
func paybackText(a *float64, life int) string {
	if a == nil {
		return fmt.Sprintf("over %d", life)
	}
	return Tenths(*a)
}

// irrText is a return in per cent; "none" or "several" where there is no one.
func irrText(e *answer.Earned) string {
	switch {
	case e.IRR != nil:
		return Share(*e.IRR)
	case len(e.IRRRoots) > 1:
		return "several"
	}
	return "none"
}

// moneyText prints what the volumes earn; nothing for a scenario without money.
func moneyText(w io.Writer, a answer.Answer) {
	m := a.Money
	if m == nil {
		return
	}
	if len(m.TankLacks) == 0 {
		fmt.Fprintf(w, "\nTHE TANK ALONE, against %s: money over %d years\n", baselineWords(a), m.Years)
		tankTable(w, a)
		fmt.Fprintf(w, "%s\n", wrapped(StopsText(a)))
	}
	if hasPlant(a.Points) {
		fmt.Fprintf(w, "\nSUN AND TANK TOGETHER, against boilers alone: money over %d years\n", m.Years)
		plantTable(w, a)
	}
	if text := lacksText(m, a.NoSunFields, hasPlant(a.Points)); text != "" {
		fmt.Fprintf(w, "\n%s\n", wrapped(text))
	}
	if m.Years > 0 {
		fmt.Fprintf(w, "\n%s\n", moneyTerms(m.Words))
	}
}

func baselineWords(a answer.Answer) string {
	switch {
	case len(a.Kept) > 0:
		return "the same plant without " + a.Store
	case a.NoSunFields:
		return "boilers alone"
	}
	return "the same sun with no store"
}

func hasPlant(points []answer.Point) bool {
	for _, p := range points {
		if p.Money != nil && p.Money.Plant != nil {
			return true
		}
	}
	return false
}

func tankTable(w io.Writer, a answer.Answer) {
	t := table{head: [][]string{
		{"store", "costs", "the next", "may cost", "earns", "pays back", "discounted", "return"},
		{"", "", "m³ costs", "up to", "(NPV)", "in", "in", ""},
		{"m³", a.Currency, a.Currency, a.Currency + "/m³", a.Currency, "years", "years", "% a year"},
	}}
	for _, p := range tableRows(a.Points) {
		x := p.Money
		if x == nil || x.StorePrice == nil {
			continue
		}
		costs := *x.StorePrice
		if x.Tank != nil {
			costs = x.Tank.Capital
		}
		next := "no price"
		if p.VolumeM3 == 0 {
			next = "" // the first m³ of a curve that begins upright
		}
		row := []string{Volume(p.VolumeM3), Sum3(costs), sumOr(x.NextCosts, next), sumOr(x.NextWorth, "any"), "", "", "", ""}
		if e := x.Tank; e != nil {
			row[4], row[5], row[6], row[7] = Sum3(e.NPV), paybackText(e.PaybackA, a.Money.Years), paybackText(e.DiscountedPaybackA, a.Money.Years), irrText(e)
		}
		t.rows = append(t.rows, row)
	}
	t.write(w)
}

func plantTable(w io.Writer, a answer.Answer) {
	t := table{head: [][]string{
		{"store", "costs", "subsidy", "earns", "pays back", "return", "heat costs", "CO2 avoided"},
		{"", "", "", "(NPV)", "in", "", "(levelised)", "costs"},
		{"m³", a.Currency, a.Currency, a.Currency, "years", "% a year", a.Currency + "/MWh", a.Currency + "/t"},
	}}
	for _, p := range tableRows(a.Points) {
		if p.Money == nil || p.Money.Plant == nil {
			continue
		}
		e := p.Money.Plant
		heat := "none"
		if e.HeatCostPerKWh != nil {
			heat = Tenths(1000 * *e.HeatCostPerKWh)
		}
		t.rows = append(t.rows, []string{Volume(p.VolumeM3), Sum3(e.Capital), Sum3(e.Subsidy), Sum3(e.NPV), paybackText(e.PaybackA, a.Money.Years),
			irrText(e), heat, sumOr(e.CO2CostPerT, "none")})
	}
	t.write(w)
}

// StopsText says where the next m³ stops paying.
func StopsText(a answer.Answer) string {
	m := a.Money
	switch {
	case m.NextStopsM3 == nil:
		return "No store of these volumes earns what it costs."
	case m.StopsAtEdge:
		return fmt.Sprintf("The next m³ still pays at %s m³, the largest looked at.", shortM3(*m.NextStopsM3))
	case m.MostPricedM3 != nil && *m.NextStopsM3 >= *m.MostPricedM3*(1-1e-9):
		return fmt.Sprintf("The next m³ still pays at %s m³, where the price list ends.", shortM3(*m.NextStopsM3))
	}
	return fmt.Sprintf("The next m³ stops paying at %s m³: a larger tank saves more, but not what it costs more.", shortM3(*m.NextStopsM3))
}

// lacksText says what is not counted, and what is missing for it.
func lacksText(m *answer.Money, noFields, anyPlant bool) string {
	var say []string
	if len(m.TankLacks) > 0 {
		say = append(say, fmt.Sprintf("What the tank earns is not counted: %s.", missing(m.TankLacks)))
	}
	switch {
	case noFields || len(m.PlantLacks) == 0:
	case anyPlant:
		say = append(say, fmt.Sprintf("Sun and tank together are counted with no store alone: %s.", missing(m.PlantLacks)))
	case strings.Join(m.PlantLacks, ",") != strings.Join(m.TankLacks, ","):
		say = append(say, fmt.Sprintf("What sun and tank earn together is not counted: %s.", missing(m.PlantLacks)))
	}
	for _, n := range m.Notes {
		say = append(say, sentence(n))
	}
	return strings.Join(say, " ")
}

func missing(keys []string) string {
	if len(keys) == 1 {
		return keys[0] + " is missing"
	}
	return andList(keys) + " are missing"
}

// moneyColumns are the columns of a file, the same for every point.
var moneyColumns = []string{"store_price", "next_m3_costs", "next_m3_worth_up_to",
	"tank_npv", "tank_simple_payback_a", "tank_payback_a", "tank_discounted_payback_a", "tank_irr", "tank_heat_cost_per_kWh",
	"plant_capital", "plant_subsidy", "plant_npv", "plant_simple_payback_a", "plant_payback_a", "plant_discounted_payback_a", "plant_irr",
	"plant_heat_cost_per_kWh", "plant_co2_cost_per_t"}

// moneyCells are a point's; empty is what cannot be said.
func moneyCells(p answer.Point) []string {
	x := p.Money
	if x == nil {
		x = &answer.PointMoney{}
	}
	none := math.Inf(1) // an empty cell
	at := func(v *float64) float64 {
		if v == nil {
			return none
		}
		return *v
	}
	cells := []float64{at(x.StorePrice), at(x.NextCosts), at(x.NextWorth)}
	if e := x.Tank; e != nil {
		cells = append(cells, e.NPV, at(e.SimplePaybackA), at(e.PaybackA), at(e.DiscountedPaybackA), at(e.IRR), at(e.HeatCostPerKWh))
	} else {
		cells = append(cells, none, none, none, none, none, none)
	}
	if e := x.Plant; e != nil {
		cells = append(cells, e.Capital, e.Subsidy, e.NPV, at(e.SimplePaybackA), at(e.PaybackA), at(e.DiscountedPaybackA), at(e.IRR), at(e.HeatCostPerKWh), at(e.CO2CostPerT))
	} else {
		cells = append(cells, none, none, none, none, none, none, none, none, none)
	}
	return numbers(cells...)
}

// moneyTerms says on what terms sums are worked out.
func moneyTerms(words []string) string {
	return wrapped("Money: " + strings.Join(words, "; ") + ". Sums are to three digits; prices are those of the first year.")
}
