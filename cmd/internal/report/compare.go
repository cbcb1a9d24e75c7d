package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// mostName is how many letters of a plant's name stand in the table; the text under it has all.
const mostName = 38

// CompareText prints a comparison for a person: the table, what changes in words, and what it rests on.
func CompareText(w io.Writer, c answer.Comparison) error {
	c = WithSentences(c)
	var b strings.Builder
	compareTable(&b, c)
	if c.Ranked {
		fmt.Fprintf(&b, "\nThe cheapest, %s:\n", cheapest(c).Name)
		paragraph(&b, cheapestSentences(c))
	} else {
		fmt.Fprintf(&b, "\nWHAT CHANGES, against %s\n", c.Cases[0].Name)
		for _, x := range c.Cases[1:] {
			fmt.Fprintf(&b, "\n  %s\n", x.Name)
			for _, e := range x.Changes {
				fmt.Fprintf(&b, "    (%s)\n", e)
			}
			paragraph(&b, x.Sentences)
		}
	}
	fmt.Fprintf(&b, "\n%s\n%s\n", compareGround(c), Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func compareTable(w io.Writer, c answer.Comparison) {
	head := "plant"
	if c.Ranked {
		head = "cheapest first"
	}
	best := "pays"
	if c.Rule == answer.RuleSaves {
		best = "saves"
	}
	t := table{names: 1, head: [][]string{
		{head, "year's", "saves", "fuel", "CO2", "from", "sun", "sun", "tank"},
		{"", "cost", "over", "", "", "the", "used", "left", "that"},
		{"", "", "boilers", "", "", "sun", "direct", "unused", best},
		{"", c.Currency, c.Currency, "MWh", "t", "%", "MWh", "MWh", "m³"},
	}}
	for _, x := range rankedRows(c) {
		best := "no tank"
		if x.BestVolumeM3 != nil {
			best = strings.Replace(strings.Replace(bestText(x), " m³", "", 1), " or more", "+", 1)
		}
		t.rows = append(t.rows, []string{cutText(x.Name, mostName), Whole(x.AnnualCost), Whole(x.SavingsVsBoilersOnly), Whole(x.FuelKWh / 1000),
			Whole(x.CO2Kg / 1000), Share(x.SolarFraction), Whole(x.SunToHeaderKWh / 1000), Whole(x.SpilledSunKWh / 1000), best})
	}
	t.write(w)
}

// rankedRows are the cases as they stand, or with the first in its place among the ranked.
func rankedRows(c answer.Comparison) []answer.Compared {
	if !c.Ranked {
		return c.Cases
	}
	var rows []answer.Compared
	first := c.Cases[0]
	placed := false
	for _, x := range c.Cases[1:] {
		if !placed && first.AnnualCost <= x.AnnualCost {
			rows, placed = append(rows, first), true
		}
		rows = append(rows, x)
	}
	if !placed {
		rows = append(rows, first)
	}
	return rows
}

func cheapest(c answer.Comparison) answer.Compared { return rankedRows(c)[0] }

func cheapestSentences(c answer.Comparison) []string {
	if best := cheapest(c); best.Name != c.Cases[0].Name {
		return best.Sentences
	}
	return []string{"As it is, the plant is cheaper than with any of these moves."}
}

// compareGround says what the figures rest on.
func compareGround(c answer.Comparison) string {
	var b strings.Builder
	first := c.Cases[0]
	same := true
	for _, x := range c.Cases {
		same = same && x.VolumeM3 == first.VolumeM3
	}
	if same {
		fmt.Fprintf(&b, "All figures but the last column are those of the store that the scenario has, %s m³.\n", Volume(first.VolumeM3))
	} else {
		var at []string
		for _, x := range c.Cases {
			at = append(at, fmt.Sprintf("%s %s m³", x.Name, Volume(x.VolumeM3)))
		}
		fmt.Fprintf(&b, "All figures but the last column are those of the store that each scenario has:\n%s.\n", strings.Join(at, "; "))
	}
	fmt.Fprintf(&b, "The tank that pays: %s", c.Rule)
	if c.Rule == answer.RulePays {
		b.WriteString(priceText(c))
	}
	b.WriteString(".\n")
	for _, n := range c.Notes {
		fmt.Fprintf(&b, "Note: %s.\n", n)
	}
	fmt.Fprintf(&b, "Not told: changes under %s %% of fuel, cost or heat, and of that tank under %.0f %% or %g m³.\n", twoDigits(100*c.Threshold), 100*answer.WorthBest, float64(answer.WorthM3))
	b.WriteString("Each figure is proven the least cost, with the year's sun and load known.")
	return b.String()
}

// priceText says what a m³ costs in a year, once where it is the same for all.
func priceText(c answer.Comparison) string {
	var prices []string
	for _, x := range c.Cases {
		if x.StorePerM3 == nil {
			continue
		}
		if p := Whole(*x.StorePerM3); len(prices) == 0 || prices[len(prices)-1] != p {
			prices = append(prices, p)
		}
	}
	return fmt.Sprintf(",\n%s %s by store.cost, money.life and money.discount", strings.Join(prices, " or "), c.Currency)
}

// paragraph prints sentences wrapped, a little in.
func paragraph(b *strings.Builder, sentences []string) {
	const in = "    "
	for _, line := range broken(strings.Join(sentences, " "), textWidth-1-len(in)) {
		b.WriteString(strings.TrimRight(in+line, " ") + "\n")
	}
}

// cutText shortens a text that is too long for its place.
func cutText(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// CompareCSV writes every point of every curve as a row, with its case's name.
func CompareCSV(w io.Writer, c answer.Comparison) error {
	out := csv.NewWriter(w)
	out.Write([]string{"case", "volume_m3", "annual_cost", "savings_vs_boilers_only", "savings_vs_no_storage", "marginal_savings_per_m3",
		"solar_fraction", "spilled_sun_kWh", "fuel_kWh", "co2_kg", "sun_to_header_kWh"})
	for _, x := range c.Cases {
		for _, p := range x.Curve {
			out.Write(append([]string{nameCell(x.Name)}, numbers(p.VolumeM3, p.AnnualCost, p.SavingsVsBoilersOnly, p.SavingsVsNoStorage, p.MarginalSavingsPerM3,
				p.SolarFraction, p.SpilledSunKWh, p.FuelKWh, p.CO2Kg, p.SunToHeaderKWh)...))
		}
	}
	out.Flush()
	return out.Error()
}

// CompareFiles draws the curves into dir as SVG and PNG, writes their points and the comparison beside them, and
// returns the paths.
func CompareFiles(dir string, c answer.Comparison) ([]string, error) {
	c = WithSentences(c)
	picture := compareChart(c)
	return writeFiles(dir, append(pictures("compare", picture),
		file{"compare.csv", func(w io.Writer) error { return CompareCSV(w, c) }},
		file{"compare.json", func(w io.Writer) error { return JSON(w, c) }}))
}
