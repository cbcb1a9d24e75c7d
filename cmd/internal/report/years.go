package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"noonkeep/cmd/internal/answer"
)

// YearsText prints many years for a person: the finding, the volumes, what differs, and what it rests on.
func YearsText(w io.Writer, y answer.Years) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", y.Scenario)
	paragraphAt(&b, "", yearsFinding(y, Whole)+".")
	if len(y.Volumes) > 0 {
		fmt.Fprintf(&b, "\nWhat a tank saves over no tank, %s a year\n\n", y.Currency)
		volumesTable(&b, y)
	}
	fmt.Fprintf(&b, "\nWhat differs from year to year%s\n\n", withStore(y))
	spreadTable(&b, y)
	b.WriteString("\n")
	for _, s := range yearsSentences(y) {
		paragraphAt(&b, "", s)
	}
	fmt.Fprintf(&b, "\n%s\n", Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// paragraphAt prints text wrapped.
func paragraphAt(b *strings.Builder, in, text string) {
	for _, line := range broken(text, textWidth-utf8.RuneCountInString(in)) {
		b.WriteString(strings.TrimRight(in+line, " ") + "\n")
	}
}

func withStore(y answer.Years) string {
	if len(y.Volumes) == 0 {
		return ""
	}
	return fmt.Sprintf(", with the scenario's %s m³", Volume(y.VolumeM3))
}

// lowName, midName and highName say what stands in a column or at a line's end.
func lowName(s answer.Spread) string  { return edgeName(s, "P90", "lowest") }
func highName(s answer.Spread) string { return edgeName(s, "P10", "highest") }

func edgeName(s answer.Spread, quantile, extreme string) string {
	switch {
	case s.P90 != nil:
		return quantile
	case s.P90Normal != nil:
		return quantile + "*"
	}
	return extreme
}

func volumesTable(w io.Writer, y answer.Years) {
	first := y.Volumes[0].SavingsVsNoStorage
	t := table{head: [][]string{
		{"store", lowName(first), "P50", highName(first), "mean", "std.", "the next m³,", "over boilers", "alone", "from the sun"},
		{"m³", "", "", "", "", "dev.", "mean", lowName(first), "P50", "P50, %"},
	}}
	for _, v := range volumeRows(y.Volumes) {
		s, alone := v.SavingsVsNoStorage, v.SavingsVsBoilersOnly
		t.rows = append(t.rows, []string{Volume(v.VolumeM3), Whole(s.Low()), Whole(*s.P50), Whole(s.High()), Whole(s.Mean), Whole(s.StdDev),
			Whole(v.MarginalSavingsPerM3.Mean), Whole(alone.Low()), Whole(*alone.P50), Share(*v.SolarFraction.P50)})
	}
	t.write(w)
}

// volumeRows thins the volumes to round ones, as a curve's table is thinned.
func volumeRows(all []answer.VolumeSpread) []answer.VolumeSpread {
	var points []answer.Point
	for _, v := range all {
		points = append(points, answer.Point{VolumeM3: v.VolumeM3, SavingsVsNoStorage: v.SavingsVsNoStorage.Mean})
	}
	var rows []answer.VolumeSpread
	kept := tableRows(points)
	for i, v := range all {
		if len(kept) > 0 && kept[0].VolumeM3 == v.VolumeM3 {
			rows, kept = append(rows, all[i]), kept[1:]
		}
	}
	return rows
}

// yearsFigure is a figure that differs from year to year, in the unit that it is printed in.
type yearsFigure struct {
	name, unit string
	spread     answer.Spread
	by         float64 // what turns the figure into its unit
	decimals   int
}

func yearsFigures(y answer.Years) []yearsFigure {
	s := y.Spread
	list := []yearsFigure{
		{"sun's beam", "kWh/m²", s.DNIKWhM2, 1, 0},
		{"sun on the level", "kWh/m²", s.GHIKWhM2, 1, 0},
	}
	if s.DemandKWh.StdDev > 0 {
		list = append(list, yearsFigure{"heat asked for", "MWh", s.DemandKWh, 1e-3, 0})
	}
	list = append(list, yearsFigure{"heat from the sun", "%", s.SolarFraction, 100, 1}, yearsFigure{"fuel", "MWh", s.FuelKWh, 1e-3, 0},
		yearsFigure{"CO2", "t", s.CO2Kg, 1e-3, 0}, yearsFigure{"year's cost", y.Currency, s.AnnualCost, 1, 0},
		yearsFigure{"saved over boilers alone", y.Currency, s.SavingsVsBoilersOnly, 1, 0})
	if s.BestVolumeM3 != nil {
		list = append(list, yearsFigure{"saved over no tank", y.Currency, s.SavingsVsNoStorage, 1, 0},
			yearsFigure{"tank that " + paysOrSaves(y), "m³", *s.BestVolumeM3, 1, 0})
	}
	return list
}

func paysOrSaves(y answer.Years) string {
	if y.Rule == answer.RuleSaves {
		return "saves most"
	}
	return "pays"
}

func spreadTable(w io.Writer, y answer.Years) {
	figuresTable(w, y.Spread.DNIKWhM2, yearsFigures(y), true)
}

// figuresTable prints how figures lie, under the names of the quantiles that low has; of the mean of independent years its
// error too.
func figuresTable(w io.Writer, low answer.Spread, figures []yearsFigure, independent bool) {
	t := table{names: 1, head: [][]string{
		{"", "", "lowest", lowName(low), "P50", highName(low), "highest", "mean", "error", "std."},
		{"", "", "", "", "", "", "", "", "of it", "dev., %"},
	}}
	for _, f := range figures {
		row := []string{f.name, f.unit}
		for _, v := range []float64{f.spread.Least, f.spread.Low(), *f.spread.P50, f.spread.High(), f.spread.Most, f.spread.Mean} {
			row = append(row, spaced(math.Round(v*f.by*1e6)/1e6, f.decimals)) // equal years print alike
		}
		share := "-"
		if f.spread.CoeffVar != nil {
			share = Share(*f.spread.CoeffVar)
		}
		t.rows = append(t.rows, append(row, spaced(f.spread.StdErr*f.by, f.decimals+errorDecimals(f.spread.StdErr*f.by)), share))
	}
	if !independent {
		const errors = 8
		for _, rows := range [][][]string{t.head, t.rows} {
			for i := range rows {
				rows[i] = slices.Delete(rows[i], errors, errors+1)
			}
		}
	}
	t.write(w)
}

// errorDecimals gives an error under 10 one digit more.
func errorDecimals(v float64) int {
	if v < 10 {
		return 1
	}
	return 0
}

// YearsCSV writes every year as a row.
func YearsCSV(w io.Writer, y answer.Years) error {
	out := csv.NewWriter(w)
	out.Write([]string{"year", "own", "dni_kWh_m2", "ghi_kWh_m2", "air_degC", "demand_kWh", "annual_cost", "savings_vs_boilers_only", "savings_vs_no_storage",
		"solar_fraction", "fuel_kWh", "co2_kg", "spilled_sun_kWh", "unmet_kWh", "boilers_only_cost", "best_volume_m3"})
	for _, x := range y.Years {
		row := []string{nameCell(x.Name), fmt.Sprint(x.Own)}
		row = append(row, numbers(x.DNIKWhM2, x.GHIKWhM2, x.AirC, x.DemandKWh, x.AnnualCost, x.SavingsVsBoilersOnly, x.SavingsVsNoStorage,
			x.SolarFraction, x.FuelKWh, x.CO2Kg, x.SpilledSunKWh, x.UnmetKWh, x.BoilersOnlyCost)...)
		best := ""
		if x.BestVolumeM3 != nil {
			best = numbers(*x.BestVolumeM3)[0]
		}
		out.Write(append(row, best))
	}
	out.Flush()
	return out.Error()
}

// YearsVolumesCSV writes every volume as a row: how the savings lie, and what each year saves.
func YearsVolumesCSV(w io.Writer, y answer.Years) error {
	out := csv.NewWriter(w)
	head := []string{"volume_m3", "mean", "std_dev", "std_error", "least", "most", "p10", "p50", "p90", "p10_normal", "p90_normal"}
	for _, x := range y.Years {
		head = append(head, nameCell(x.Name))
	}
	out.Write(head)
	for _, v := range y.Volumes {
		s := v.SavingsVsNoStorage
		row := numbers(v.VolumeM3, s.Mean, s.StdDev, s.StdErr, s.Least, s.Most)
		for _, p := range []*float64{s.P10, s.P50, s.P90, s.P10Normal, s.P90Normal} {
			cell := ""
			if p != nil {
				cell = numbers(*p)[0]
			}
			row = append(row, cell)
		}
		out.Write(append(row, numbers(v.Savings...)...))
	}
	out.Flush()
	return out.Error()
}

// YearsFiles draws the years into dir as SVG and PNG, writes their figures beside them, and returns the paths.
func YearsFiles(dir string, y answer.Years) ([]string, error) {
	picture := yearsChart(y)
	files := append(pictures("years", picture), file{"years.csv", func(w io.Writer) error { return YearsCSV(w, y) }})
	if len(y.Volumes) > 0 {
		files = append(files, file{"years-volumes.csv", func(w io.Writer) error { return YearsVolumesCSV(w, y) }})
	}
	return writeFiles(dir, append(files, file{"years.json", func(w io.Writer) error { return JSON(w, y) }}))
}
