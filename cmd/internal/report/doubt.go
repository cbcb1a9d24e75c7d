package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// DoubtText prints a plant under doubt for a person: the finding, what matters most, the volumes, the spread, and what it
// rests on.
func DoubtText(w io.Writer, d answer.Doubt) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", d.Scenario)
	paragraphAt(&b, "", doubtFinding(d, Whole)+".")
	fmt.Fprintf(&b, "\nWhat matters most: each input alone at its ends, the others in their middle\n\n")
	inputsTable(&b, d)
	if len(d.Volumes) > 0 {
		fmt.Fprintf(&b, "\nWhat a tank saves, and how often it is the right one, %s a year\n\n", d.Currency)
		doubtVolumesTable(&b, d)
	}
	fmt.Fprintf(&b, "\nHow the %d cases lie%s\n\n", len(d.Cases), doubtStore(d))
	figuresTable(&b, d.Spread.SavingsVsBoilersOnly, doubtFigures(d), false)
	b.WriteString("\n")
	for _, s := range doubtSentences(d) {
		paragraphAt(&b, "", s)
	}
	fmt.Fprintf(&b, "\n%s\n", Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func doubtStore(d answer.Doubt) string {
	if len(d.Volumes) == 0 {
		return ""
	}
	return fmt.Sprintf(", with a tank of %s m³", Volume(d.VolumeM3))
}

// inputsTable prints each input in two lines, its range and shape under its name.
func inputsTable(w io.Writer, d answer.Doubt) {
	t := table{names: 1, head: [][]string{
		{"input", "saves at", "saves at", "from end", "rank"},
		{"  range and shape", "low, " + d.Currency, "high, " + d.Currency, "to end", "corr."},
	}}
	if len(d.Volumes) > 0 {
		t.head[0], t.head[1] = append(t.head[0], "best"), append(t.head[1], "tank, m³")
	}
	for _, in := range d.Inputs {
		row := []string{cutText(in.Name, mostInputName), Whole(in.AtLow.SavingsVsBoilersOnly), Whole(in.AtHigh.SavingsVsBoilersOnly), Whole(in.Swing), correlation(in)}
		if len(d.Volumes) > 0 {
			row = append(row, fromTo(*in.AtLow.BestVolumeM3, *in.AtHigh.BestVolumeM3))
		}
		under := make([]string, len(row))
		under[0] = "  " + inputRange(in)
		if in.Shape != "years" {
			under[0] += ", " + in.Shape
		}
		t.rows = append(t.rows, row, under)
	}
	t.write(w)
}

const mostInputName = 46 // letters; a longer name would push the table off the page

// inputRange is "90..110 %", with the mode of a triangular shape where that is not in the middle.
func inputRange(in answer.DoubtInput) string {
	if in.Shape == "years" {
		return in.Says
	}
	show := func(x float64) string { return strconv.FormatFloat(100*x, 'g', 6, 64) }
	text := show(in.Low) + ".." + show(in.High) + " %"
	if in.Mode != 0 && show((in.Low+in.High)/2) != show(in.Mode) {
		text += ", mode " + show(in.Mode)
	}
	return text
}

func correlation(in answer.DoubtInput) string {
	if in.RankCorrelation == nil {
		return "-"
	}
	text := strconv.FormatFloat(*in.RankCorrelation, 'f', 2, 64)
	if text == "-0.00" {
		return "0.00"
	}
	return text
}

func fromTo(a, b float64) string {
	if a == b {
		return Volume(a)
	}
	return Volume(a) + ".." + Volume(b)
}

func doubtVolumesTable(w io.Writer, d answer.Doubt) {
	t := table{head: [][]string{
		{"tank", "over", "no", "tank", "over boilers", "alone", "best in,", "within 1 %", "regret", "regret"},
		{"m³", "P90", "P50", "P10", "P90", "P50", "% of cases", "of the best, %", "mean", "largest"},
	}}
	for _, v := range doubtVolumeRows(d) {
		s, alone := v.SavingsVsNoStorage, v.SavingsVsBoilersOnly
		t.rows = append(t.rows, []string{Volume(v.VolumeM3), Whole(s.Low()), Whole(*s.P50), Whole(s.High()), Whole(alone.Low()), Whole(*alone.P50),
			Share(v.BestFrac), Share(v.NearBestFrac), Whole(v.MeanRegret), Whole(v.MostRegret)})
	}
	t.write(w)
}

// doubtVolumeRows thins the volumes to round ones, and keeps those that are told of.
func doubtVolumeRows(d answer.Doubt) []answer.DoubtVolume {
	var points []answer.Point
	for _, v := range d.Volumes {
		points = append(points, answer.Point{VolumeM3: v.VolumeM3, SavingsVsNoStorage: v.SavingsVsNoStorage.Mean})
	}
	kept := map[float64]bool{d.VolumeM3: true, *d.OftenBestM3: true, *d.LeastRegretM3: true}
	for _, p := range tableRows(points) {
		kept[p.VolumeM3] = true
	}
	var rows []answer.DoubtVolume
	for _, v := range d.Volumes {
		if kept[v.VolumeM3] {
			rows = append(rows, v)
		}
	}
	return rows
}

func doubtFigures(d answer.Doubt) []yearsFigure {
	s := d.Spread
	list := []yearsFigure{{"heat from the sun", "%", s.SolarFraction, 100, 1}, {"fuel", "MWh", s.FuelKWh, 1e-3, 0}, {"CO2", "t", s.CO2Kg, 1e-3, 0},
		{"year's cost", d.Currency, s.AnnualCost, 1, 0}, {"saved over boilers alone", d.Currency, s.SavingsVsBoilersOnly, 1, 0}}
	if s.BestVolumeM3 != nil {
		list = append(list, yearsFigure{"saved over no tank", d.Currency, s.SavingsVsNoStorage, 1, 0}, yearsFigure{"tank that " + doubtRule(d), "m³", *s.BestVolumeM3, 1, 0})
	}
	return list
}

// DoubtCSV writes every case as a row: its inputs, and what it came to.
func DoubtCSV(w io.Writer, d answer.Doubt) error {
	out := csv.NewWriter(w)
	head := []string{"case"}
	for _, in := range d.Inputs {
		if in.Shape != "years" {
			head = append(head, in.Name)
		}
	}
	head = append(head, "weather", "boilers_only_cost", "annual_cost", "savings_vs_boilers_only", "savings_vs_no_storage", "solar_fraction", "fuel_kWh",
		"co2_kg", "unmet_kWh", "best_volume_m3", "store_cost_per_m3_and_year")
	for _, v := range d.Volumes {
		head = append(head, "savings_vs_no_storage at "+Volume(v.VolumeM3)+" m3")
	}
	out.Write(head)
	for _, c := range d.Cases {
		row := []string{strconv.Itoa(c.Case)}
		for k, in := range d.Inputs {
			if in.Shape != "years" {
				row = append(row, numbers(c.Times[k])...)
			}
		}
		row = append(row, c.Weather)
		row = append(row, numbers(c.BoilersOnlyCost, c.AnnualCost, c.SavingsVsBoilersOnly, c.SavingsVsNoStorage, c.SolarFraction, c.FuelKWh, c.CO2Kg, c.UnmetKWh)...)
		row = append(row, optional(c.BestVolumeM3), optional(c.StorePerM3))
		out.Write(append(row, numbers(c.Savings...)...))
	}
	out.Flush()
	return out.Error()
}

// optional is a number or an empty cell.
func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return numbers(*v)[0]
}

// DoubtVolumesCSV writes every volume as a row: how the savings lie, and its regrets.
func DoubtVolumesCSV(w io.Writer, d answer.Doubt) error {
	out := csv.NewWriter(w)
	out.Write([]string{"volume_m3", "mean", "std_dev", "least", "most", "p10", "p50", "p90", "over_boilers_only_p10", "over_boilers_only_p50", "over_boilers_only_p90",
		"best_in_share", "within_1_percent_share", "mean_regret", "regret_p10", "largest_regret", "largest_regret_in_case"})
	for _, v := range d.Volumes {
		s, alone := v.SavingsVsNoStorage, v.SavingsVsBoilersOnly
		row := numbers(v.VolumeM3, s.Mean, s.StdDev, s.Least, s.Most)
		for _, p := range []*float64{s.P10, s.P50, s.P90, alone.P10, alone.P50, alone.P90} {
			row = append(row, optional(p))
		}
		row = append(row, numbers(v.BestFrac, v.NearBestFrac, v.MeanRegret, v.Regret90, v.MostRegret)...)
		out.Write(append(row, strconv.Itoa(v.WorstCase)))
	}
	out.Flush()
	return out.Error()
}

// DoubtFiles draws the cases into dir as SVG and PNG, writes their figures beside them, and returns the paths.
func DoubtFiles(dir string, d answer.Doubt) ([]string, error) {
	var files []file
	if len(d.Volumes) > 0 {
		files = pictures("doubt", doubtChart(d))
	}
	files = append(files, pictures("doubt-causes", causesChart(d))...)
	files = append(files, file{"doubt.csv", func(w io.Writer) error { return DoubtCSV(w, d) }})
	if len(d.Volumes) > 0 {
		files = append(files, file{"doubt-volumes.csv", func(w io.Writer) error { return DoubtVolumesCSV(w, d) }})
	}
	return writeFiles(dir, append(files, file{"doubt.json", func(w io.Writer) error { return JSON(w, d) }}))
}
