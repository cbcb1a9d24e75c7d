package report

import (
	"fmt"
	"io"
	"strings"
	"time"

	"noonkeep/cmd/internal/answer"
)

// GuaranteeText prints the statement and, where there are measurements, what they say first.
func GuaranteeText(w io.Writer, g answer.Guarantee) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", g.Scenario)
	if g.Measured != nil {
		measuredText(&b, g)
		b.WriteString("\n")
	}
	statementText(&b, g)
	if g.Measured == nil {
		fmt.Fprintln(&b, "\nWith --out, a sheet for both parties to fill and sign (guarantee.txt, guarantee-sheet.csv).")
		paragraphAt(&b, "", fmt.Sprintf("To check measurements: --measured FILE.csv, with the columns start,%s.", strings.Join(g.Needs, ",")))
	}
	fmt.Fprintf(&b, "\n%s\n", Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// statementText prints what is guaranteed, and when it counts.
func statementText(b *strings.Builder, g answer.Guarantee) {
	others := ""
	if g.Others > 0 {
		others = fmt.Sprintf(" (the plant has %s more; see --field)", counted(g.Others, "field"))
	}
	fmt.Fprintf(b, "Guaranteed power of field %q%s\n", g.Field, others)
	fmt.Fprintf(b, "%d x %s m², %s m² in all, %s; the scenario runs it at a mean fluid temperature of %s °C\n", g.Count,
		Volume(g.ApertureM2), Whole(g.AreaM2), g.Collector, Tenths(g.FluidC))
	fmt.Fprintf(b, "\nOver all hours that count, taken together, the field gives at least the sum of their\n\n")
	hanging(b, "  Q = ", strings.TrimPrefix(g.Formula, "Q = "))
	b.WriteString("\n")
	for _, l := range g.Letters {
		hanging(b, fmt.Sprintf("  %-6s  ", l.Letter), l.Is)
	}
	b.WriteString("\n")
	factorTable(b, g)
	b.WriteString("\n")
	lightTable(b, g)
	modifierText(b, g)
	b.WriteString("\nWhen an hour counts (means over the hour)\n\n")
	limitTable(b, g)
	b.WriteString("\n")
	yearText(b, g)
	b.WriteString("\n")
	for _, s := range g.Cautions {
		paragraphAt(b, "", s)
	}
}

// hanging prints text wrapped behind a name, its further lines set in as far.
func hanging(b *strings.Builder, name, text string) {
	in := strings.Repeat(" ", len([]rune(name)))
	var lines strings.Builder
	paragraphAt(&lines, in, text)
	b.WriteString(name + strings.TrimPrefix(lines.String(), in))
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return Whole(float64(n)) + " " + what + "s"
}

func factorTable(b *strings.Builder, g answer.Guarantee) {
	t := table{head: [][]string{{"factor", "for", "from", "value"}}, names: 3}
	for _, f := range g.Factors {
		t.rows = append(t.rows, []string{f.Symbol, f.For, f.From, fmt.Sprintf("%.4f", f.Value)})
	}
	t.rows = append(t.rows, []string{"f_safe", "their product, in the formula", "", fmt.Sprintf("%.4f", g.SafeFactor)})
	t.write(b)
}

// lightTable prints the guaranteed power by light and temperatures.
func lightTable(b *strings.Builder, g answer.Guarantee) {
	light := "the beam with its modifier, Kb Gb"
	if len(g.Modifier) == 0 {
		light = "the beam, Gb"
	}
	switch g.Light {
	case "beam and diffuse":
		light = "the light in the formula's inner brackets"
	case "hemispheric":
		light = "global light G in the collectors' plane"
	}
	fmt.Fprintf(b, "Guaranteed heat, kW, by %s, at a steady temperature\n\n", light)
	head := []string{"mean fluid", "air"}
	units := []string{"°C", "°C"}
	for _, wattsM2 := range g.Table.LightWM2 {
		head, units = append(head, Whole(wattsM2)), append(units, "W/m²")
	}
	t := table{head: [][]string{head, units}}
	for i, kW := range g.Table.KW {
		t.rows = append(t.rows, powers(Whole(g.Table.FluidC[i]), Whole(g.Table.AirC[0]), kW))
	}
	t.rows = append(t.rows, make([]string, len(head)))
	for i, kW := range g.ByAir.KW {
		t.rows = append(t.rows, powers(Whole(g.ByAir.FluidC[0]), Whole(g.ByAir.AirC[i]), kW))
	}
	t.write(b)
}

func powers(fluid, air string, kW []float64) []string {
	row := []string{fluid, air}
	for _, v := range kW {
		if v < 100 {
			row = append(row, Tenths(v))
			continue
		}
		row = append(row, Whole(v))
	}
	return row
}

func modifierText(b *strings.Builder, g answer.Guarantee) {
	if len(g.Modifier) == 0 {
		return
	}
	b.WriteString("\nIncidence modifier Kb (the cosine is in Gb)\n\n")
	head, along, across := []string{"angle"}, []string{"Kb"}, []string{"across"}
	for _, k := range g.Modifier {
		head, along = append(head, Whole(k.Deg)+"°"), append(along, fmt.Sprintf("%.3f", k.Along))
		if k.Across != nil {
			along[0] = "along"
			across = append(across, fmt.Sprintf("%.3f", *k.Across))
		}
	}
	t := table{head: [][]string{head}, rows: [][]string{along}, names: 1}
	if len(across) > 1 {
		t.rows = append(t.rows, across)
	}
	t.write(b)
	if len(across) > 1 {
		b.WriteString("  Kb is the product of both, each at its own angle.\n")
	}
}

func limitTable(b *strings.Builder, g answer.Guarantee) {
	t := table{head: [][]string{{"condition", "limit", "from"}}, names: 3}
	for _, l := range g.Limits {
		t.rows = append(t.rows, []string{l.Words, l.Limit, l.From})
	}
	t.write(b)
}

// yearText prints how many hours the typical year offers.
func yearText(b *strings.Builder, g answer.Guarantee) {
	y := g.Year
	if y.Hours == 0 {
		paragraphAt(b, "", fmt.Sprintf("No hour of the scenario's year would count, of %s with light. %s", counted(y.LightHours, "hour"), brokenWords(y.Broken)))
		return
	}
	fmt.Fprintf(b, "Hours of the scenario's year that would count: %s on %s; kW: their mean guaranteed heat\n\n", Whole(float64(y.Hours)), counted(y.Days, "day"))
	head, hours, days, kW := []string{""}, []string{"hours"}, []string{"days"}, []string{"kW"}
	for _, m := range y.Months {
		head = append(head, time.Month(m.Month).String()[:3])
		hours, days = append(hours, Whole(float64(m.Hours))), append(days, Whole(float64(m.Days)))
		mean := "-"
		if m.Hours > 0 {
			mean = Whole(m.MeanKW)
		}
		kW = append(kW, mean)
	}
	table{head: [][]string{head}, rows: [][]string{hours, days, kW}, names: 1}.write(b)
	b.WriteString("\n")
	paragraphAt(b, "", fmt.Sprintf("Of %s with light. %s A field that is still warming up, or whose heat is not all taken, is not told from the weather.",
		counted(y.LightHours, "hour"), brokenWords(y.Broken)))
	paragraphAt(b, "", modelWords(y))
}

func brokenWords(list []answer.BrokenCount) string {
	var parts []string
	for _, c := range list {
		parts = append(parts, fmt.Sprintf("%s %s", c.Limit, Whole(float64(c.Hours))))
	}
	if len(parts) == 0 {
		return "All of them count."
	}
	return "Hours that break a limit (some break several): " + strings.Join(parts, ", ") + "."
}

// modelWords says what the scenario's own plant gives in those hours.
func modelWords(y answer.GuaranteeYear) string {
	share := y.ModelKWh / y.ExpectedKWh
	text := fmt.Sprintf("In those hours the plant as the scenario has it (its dirt, availability, pipes and warm-up) gives %s %% of the guaranteed heat", Share(share))
	if share < 1 {
		return text + ": it would miss its own guarantee. Wash the collectors and have all in service for the check, or agree on a lower other_factor."
	}
	return text + "."
}
