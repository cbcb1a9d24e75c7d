package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// sheetSpare is how many lines more than the hours wanted the sheet has.
const sheetSpare = 4

// GuaranteeFiles writes the statement with its sheet, both as text and as tables, and what was measured.
func GuaranteeFiles(dir string, g answer.Guarantee) ([]string, error) {
	files := []file{
		{"guarantee.txt", func(w io.Writer) error { return guaranteePaper(w, g) }},
		{"guarantee.csv", func(w io.Writer) error { return guaranteeCSV(w, g) }},
		{"guarantee-sheet.csv", func(w io.Writer) error { return sheetCSV(w, g) }},
	}
	if g.Measured != nil {
		files = append(files, file{"guarantee-hours.csv", func(w io.Writer) error { return GuaranteeHoursCSV(w, g.Measured) }})
		if c := guaranteeChart(g); len(c.Dots)+len(c.Rest) > 0 {
			files = append(files, pictures("guarantee", c)...)
		}
	}
	return writeFiles(dir, append(files, file{"guarantee.json", func(w io.Writer) error { return JSON(w, g) }}))
}

func writeCSV(w io.Writer, rows [][]string) error {
	for _, row := range rows {
		for j := range row {
			row[j] = nameCell(row[j])
		}
	}
	out := csv.NewWriter(w)
	if err := out.WriteAll(rows); err != nil {
		return err
	}
	return out.Error()
}

// guaranteePaper is the statement to be printed and signed.
func guaranteePaper(w io.Writer, g answer.Guarantee) error {
	var b strings.Builder
	fmt.Fprintf(&b, "EXPECTED OUTPUT OF A COLLECTOR FIELD, FOR A CHECK BY MEASUREMENT\n%s\n\n", g.Scenario)
	statementText(&b, g)
	fmt.Fprintf(&b, "\n%s\n\n", Cautions)
	if g.Measured != nil {
		b.WriteString("MEASURED\n\n")
		measuredText(&b, g)
	} else {
		sheetText(&b, g)
	}
	b.WriteString("\nSum of measured kW over sum of expected kW of the hours that count: ________ (met from 1.000 on)\n\n")
	for _, party := range []string{"Supplier", "Owner"} {
		fmt.Fprintf(&b, "%-10s name ____________________  date ____________  signature ____________________\n\n", party)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// sheetColumn is a column of the sheet that is filled by hand.
type sheetColumn struct {
	name, unit string
	width      int
}

func sheetColumns(g answer.Guarantee) []sheetColumn {
	cols := []sheetColumn{{"date", "", 10}, {"start", "", 5}}
	for _, need := range g.Needs {
		name, unit, _ := strings.Cut(need, " ")
		unit = strings.NewReplacer("m2", "m²", "deg", "°").Replace(unit)
		if name == "heat" {
			cols = append(cols, sheetColumn{"change", "K/h", 6}, sheetColumn{"flow", "kg/h", 7}, sheetColumn{"measured", "kW", 8}, sheetColumn{"expected", "kW", 8})
			continue
		}
		cols = append(cols, sheetColumn{name, unit, max(5, len(name))})
	}
	return append(cols, sheetColumn{"ratio", "", 5}, sheetColumn{"S.", "", 3}, sheetColumn{"O.", "", 3})
}

// sheetText prints the empty sheet, ruled.
func sheetText(b *strings.Builder, g answer.Guarantee) {
	cols := sheetColumns(g)
	fmt.Fprintf(b, "SHEET OF HOURS; each a mean over the hour from its start, in %s\n", g.Clock())
	b.WriteString("S., O.: initials of supplier and owner. Hours that do not count stay in the list, with the reason.\n\n")
	line := func(cell func(sheetColumn) string) {
		for _, c := range cols {
			fmt.Fprintf(b, "|%-*s", c.width, cell(c))
		}
		b.WriteString("|\n")
	}
	rule := func() { line(func(c sheetColumn) string { return strings.Repeat("-", c.width) }) }
	line(func(c sheetColumn) string { return c.name })
	line(func(c sheetColumn) string { return c.unit })
	rule()
	for range g.LeastHours + sheetSpare {
		line(func(sheetColumn) string { return "" })
		rule()
	}
}

// sheetCSV is the same for a spreadsheet. Its first columns are those that --measured reads once they are filled.
func sheetCSV(w io.Writer, g answer.Guarantee) error {
	head := append([]string{"start"}, g.Needs...)
	head = append(head, "warming K/h", "aside")
	rows := [][]string{head}
	for range g.LeastHours + sheetSpare {
		rows = append(rows, make([]string, len(head)))
	}
	return writeCSV(w, rows)
}

// guaranteeCSV writes the guaranteed heat, a row for each light and pair of temperatures.
func guaranteeCSV(w io.Writer, g answer.Guarantee) error {
	rows := [][]string{{"light_W_m2", "mean_fluid_degC", "air_degC", "guaranteed_kW"}}
	add := func(fluidC, airC float64, t answer.GuaranteeTable, i int) {
		for j, kW := range t.KW[i] {
			rows = append(rows, numbers(t.LightWM2[j], fluidC, airC, kW))
		}
	}
	for i, tC := range g.Table.FluidC {
		add(tC, g.Table.AirC[0], g.Table, i)
	}
	for i, tC := range g.ByAir.AirC {
		add(g.ByAir.FluidC[0], tC, g.ByAir, i)
	}
	return writeCSV(w, rows)
}
