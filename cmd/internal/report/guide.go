package report

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// mostAdvice is how many stretches the text tells; the table in guide.csv has all.
const mostAdvice = 6

// guideText says in words when heat is to be held back in the store.
func guideText(w io.Writer, p answer.Plan) {
	g := p.Guide
	fmt.Fprintln(w, "\nGuide line: how far the store may be drawn down in place of a boiler")
	switch {
	case g.Why != "":
		fmt.Fprintf(w, "  none: %s\n", g.Why)
		return
	case len(g.Advice) == 0:
		fmt.Fprintln(w, "  Hold nothing back: when a boiler fires, give what the store has. No later hour's heat is worth more.")
	}
	told := slices.Clone(g.Advice)
	slices.SortStableFunc(told, func(a, b answer.Advice) int { return cmp.Compare(b.Weight, a.Weight) })
	told = told[:min(len(told), mostAdvice)]
	for _, a := range g.Advice {
		if slices.ContainsFunc(told, func(b answer.Advice) bool { return b == a }) {
			adviceText(w, a, p.Currency)
		}
	}
	if more := len(g.Advice) - len(told); more > 0 {
		fmt.Fprintf(w, "  and %d stretches that matter less\n", more)
	}
	if len(g.Advice) > 0 {
		fmt.Fprintln(w, "  At other hours the level is lower, down to nothing: each month's hours are drawn and listed with --out.")
	}
	least, most := dearHours(g)
	fmt.Fprintf(w, "  A kWh in the store is worth %s %s in the mean, from %s (%s) to %s (%s).\n", price(mean(p.StoredHeatPrice)), p.Currency,
		price(least.price), least.when, price(most.price), most.when)
}

func adviceText(w io.Writer, a answer.Advice, currency string) {
	fmt.Fprintf(w, "  Hold back below %s kWh %s %s:\n    %s %% of full, %s °C, %s bar(g); ", Whole(a.HoldKWh), hours(a.FromH, a.ToH),
		months(a.FromMonth, a.ToMonth), Whole(100*a.HoldFrac), Whole(a.Hold.TempC), Tenths(a.Hold.BarG))
	switch l := a.Later; {
	case l == nil:
		fmt.Fprintln(w, "a later day's heat is worth more than a boiler's now")
	case l.Short:
		fmt.Fprintf(w, "%s the boilers alone fall short at times\n", hours(l.FromH, l.ToH))
	default:
		fmt.Fprintf(w, "%s a boiler's kWh costs %s %s, in these hours %s\n", hours(l.FromH, l.ToH), price(l.BoilerPrice), currency, price(a.BoilerPrice))
	}
}

// hours prints a stretch of the day.
func hours(from, to int) string {
	if from == 0 && to == 24 {
		return "all day"
	}
	return fmt.Sprintf("from %d:00 to %d:00", from, to)
}

func months(from, to int) string {
	name := func(m int) string { return time.Month(m + 1).String() }
	switch to - from {
	case 0:
		return "in " + name(from)
	case 11:
		return "all year"
	case 1:
		return "in " + name(from) + " and " + name(to)
	}
	return "from " + name(from) + " to " + name(to)
}

func price(v float64) string { return spaced(v, 4) }

func mean(v []float64) float64 { return total(v) / float64(max(len(v), 1)) }

// dearHour is a month's hour and the mean price of stored heat in it.
type dearHour struct {
	price float64
	when  string
}

func dearHours(g answer.Guide) (least, most dearHour) {
	first := true
	for m := range g.Hours {
		for h, c := range g.Hours[m] {
			d := dearHour{c.StorePrice, fmt.Sprintf("%s about %d:30", time.Month(m+1), h)}
			if first || d.price < least.price {
				least = d
			}
			if first || d.price > most.price {
				most = d
			}
			first = false
		}
	}
	return least, most
}

// GuideCSV writes one row for each month and hour of the day.
func GuideCSV(w io.Writer, p answer.Plan) error {
	out := csv.NewWriter(w)
	out.Write([]string{"month", "hour", "hold_back_kWh", "hold_back_percent", "hold_back_degC", "hold_back_bar_g",
		"gives_percent_of_hours", "stored_heat_price_per_kWh", "boiler_price_per_kWh", "boilers_short_percent_of_hours"})
	for m := range p.Guide.Hours {
		for h, c := range p.Guide.Hours[m] {
			row := []string{fmt.Sprint(m + 1), fmt.Sprintf("%02d:00", h)}
			out.Write(append(row, numbers(c.HoldKWh, 100*c.HoldFrac, c.Hold.TempC, c.Hold.BarG, 100*c.GivesFrac, c.StorePrice, c.BoilerPrice, 100*c.ShortFrac)...))
		}
	}
	out.Flush()
	return out.Error()
}

// guideFiles are the sheet for the wall and its figures; none if there is no guide line.
func guideFiles(p answer.Plan) []file {
	if p.Guide.Why != "" {
		return nil
	}
	sheet := guideChart(p)
	return append(pictures("guide", sheet), file{"guide.csv", func(w io.Writer) error { return GuideCSV(w, p) }})
}

func guideChart(p answer.Plan) chart.Guide {
	g := p.Guide
	c := chart.Guide{
		Title: "How full the store must be before it gives in place of a boiler, in % of full",
		Subtitle: fmt.Sprintf("%s, %s m³, full at %s kWh; means by month and hour of %d, local standard time",
			p.Scenario, Volume(p.VolumeM3), Whole(g.FullKWh), p.Axis.At(0).Year()),
		GaugeName: "The store's gauges",
		Rules: []string{
			"Find the month and the hour. A boiler fires, and the store is fuller than the figure: let the store give in its place.",
			"The store is down to the figure: hold the heat and let the boilers carry. Later hours need it more.",
			"0 means: give what there is. 100 means: give nothing while the boilers can carry the plant.",
		},
		Note: "A guide, not a control. It is the mean over a plan that knew the year's weather and loads beforehand; on a day unlike its month, " +
			"think ahead. The vessel's and the boilers' own limits, and the people in charge, come first.",
	}
	if g.MostHoldFrac() < 0.005 {
		c.Title = "Let the store give whenever a boiler fires: no later hour's heat is worth more"
		c.Rules = []string{
			"A boiler fires, and the store has heat: let the store give in its place, down to empty.",
			"The store is empty: let the boilers carry.",
			"Sun that the plant does not take at once goes into the store.",
		}
	}
	for m := range g.Hours {
		for h, cell := range g.Hours[m] {
			c.Percent[m][h], c.Gives[m][h] = 100*cell.HoldFrac, cell.GivesFrac
		}
	}
	for _, mark := range g.Gauge {
		c.Gauge = append(c.Gauge, chart.GaugeMark{Percent: 100 * mark.Frac,
			Upper: Whole(mark.TempC) + " °C", Lower: Tenths(mark.BarG) + " bar(g)"})
	}
	return c
}

// guideColumns are those of a schedule file: after all others, and only if there is a guide line.
func guideColumns(p answer.Plan) []column {
	if p.Guide.Why != "" {
		return nil
	}
	return []column{{"hold_back_kWh", p.Guide.HoldKWh}, {"next_boiler_heat_price_per_kWh", p.Guide.BoilerPrice}}
}

// weekHold is the hold-back level of a week's picture; nil if it is nothing all week.
func weekHold(p answer.Plan, week answer.Week) []float64 {
	if p.Guide.Why != "" {
		return nil
	}
	hold := p.Guide.HoldKWh[week.From:week.To]
	if slices.Max(hold) < 0.005*p.Guide.FullKWh {
		return nil
	}
	return hold
}
