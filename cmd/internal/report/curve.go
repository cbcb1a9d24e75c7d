package report

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// JSON writes a value for a machine, indented, and nothing more.
func JSON(w io.Writer, v any) error {
	enc := json.NewEncoder(Plain(w))
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// CurveText prints the curve for a person: the finding, a small picture, the table, and what
// it rests on. Unicode allows the finer picture.
func CurveText(w io.Writer, a answer.Answer, unicode bool) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n\n", a.Scenario, Finding(a))
	if err := chart.WriteText(&b, curveChart(a), 78, 12, unicode); err != nil {
		return err
	}
	b.WriteString("\n")
	curveTable(&b, a)
	b.WriteString(leastText(a.Least))
	b.WriteString(varied(a.Store, a.Kept))
	moneyText(&b, a)
	onOffText(&b, a.OnOff, a.Currency)
	if a.OnOff != nil {
		fmt.Fprintln(&b, "The curve is with boilers that may burn as little as they like: a bound on what any on and off could do.")
	}
	movableText(&b, a.Movable, a.Currency)
	fmt.Fprintf(&b, `
Boilers alone cost %s %s a year; with the sun and %s, %s.
Each row is proven the least cost to %s of itself. Between rows the curve lies within
%s %% of its range. Engine %s: %s.
%s
`, Whole(a.Baseline.BoilersOnlyCost), a.Currency, noStore(a), Whole(a.Baseline.NoStorageCost),
		Tiny(math.Max(a.Proof.DualityGap, 0)), twoDigits(100*a.CertifiedGap), a.Engine, a.EngineWhy, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// noStore says what the savings over no store are against.
func noStore(a answer.Answer) string {
	if len(a.Kept) > 0 {
		return "without the store " + a.Store
	}
	return "no store"
}

// varied says which of several stores the volumes are of; nothing where there is one.
func varied(store string, kept []answer.KeptVolume) string {
	if len(kept) == 0 {
		return ""
	}
	var others []string
	for _, k := range kept {
		others = append(others, fmt.Sprintf("%s (%s m³)", k.Name, Volume(k.VolumeM3)))
	}
	return "\n" + wrapped(fmt.Sprintf("Volumes are of the store %s alone. %s kept in all rows, and in what the savings over no store are against.",
		store, andList(others)+map[bool]string{true: " is", false: " are"}[len(others) == 1])) + "\n"
}

// mostRows of the curve stand in the terminal; the files hold all points.
const mostRows = 13

func curveTable(w io.Writer, a answer.Answer) {
	t := table{head: [][]string{
		{"store", "saves over", "the next", "saves over", "heat from", "sun left"},
		{"", "no store", "m³ saves", "boilers alone", "the sun", "unused"},
		{"m³", a.Currency + "/a", a.Currency + "/a", a.Currency + "/a", "%", "MWh/a"},
	}}
	for _, p := range tableRows(a.Points) {
		t.rows = append(t.rows, []string{Volume(p.VolumeM3), Whole(p.SavingsVsNoStorage), Whole(p.MarginalSavingsPerM3),
			Whole(p.SavingsVsBoilersOnly), Share(p.SolarFraction), Whole(p.SpilledSunKWh / 1000)})
	}
	t.write(w)
}

// tableRows thins the points to round volumes; first, last and best are kept.
func tableRows(points []answer.Point) []answer.Point {
	last := len(points) - 1
	if last < mostRows {
		return points
	}
	step := answer.RoundStep(points[last].VolumeM3 / (mostRows - 1))
	best := best(points)
	var rows []answer.Point
	for i, p := range points {
		part := p.VolumeM3 / step
		if i == 0 || i == last || i == best || math.Abs(part-math.Round(part)) < 1e-9 {
			rows = append(rows, p)
		}
	}
	return rows
}

// best is the place of the point that saves most.
func best(points []answer.Point) int {
	b := 0
	for i, p := range points {
		if p.SavingsVsNoStorage > points[b].SavingsVsNoStorage {
			b = i
		}
	}
	return b
}

// Finding says what the curve says, in a sentence or two.
func Finding(a answer.Answer) string {
	last := a.Points[len(a.Points)-1]
	best := a.Points[best(a.Points)]
	if best.VolumeM3 == 0 {
		return "No store saves anything here: its losses cost more than it brings."
	}
	half := a.VolumeFor(0.5 * best.SavingsVsNoStorage)
	most := a.VolumeFor(0.9 * best.SavingsVsNoStorage)
	s := fmt.Sprintf("The first %s m³ of store bring half of what %s m³ save, %s m³ nine tenths",
		shortM3(half), Volume(best.VolumeM3), shortM3(most))
	if best.VolumeM3 < last.VolumeM3 {
		return s + ";\na larger store than that costs more heat than it saves."
	}
	return s + fmt.Sprintf(";\nat %s m³, the largest asked for, the next m³ still saves %s %s a year.",
		Volume(last.VolumeM3), Whole(last.MarginalSavingsPerM3), a.Currency)
}

// shortM3 rounds a volume that is read off the curve to two digits or whole cubic metres.
func shortM3(v float64) string {
	if v < 10 {
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

func twoDigits(v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.3f", v), "0"), ".")
}

func curveChart(a answer.Answer) chart.Curve {
	title, _, _ := strings.Cut(Finding(a), ";\n")
	c := chart.Curve{
		Title: strings.TrimSuffix(title, ".") + ".",
		Subtitle: fmt.Sprintf("%s; each point proven the least cost, with the year's sun and load known; between points within %s %% of the range",
			a.Scenario, twoDigits(100*a.CertifiedGap)),
		Currency:    a.Currency,
		SavingsName: "Savings against the same plant without a store",
	}
	if a.NoSunFields {
		c.SavingsName = "Savings against boilers alone"
	}
	for _, p := range a.Points {
		c.VolumesM3 = append(c.VolumesM3, p.VolumeM3)
		c.Savings = append(c.Savings, p.SavingsVsNoStorage)
	}
	return c
}

// CurveCSV writes every point as a row, with the keys of the JSON as its head.
func CurveCSV(w io.Writer, a answer.Answer) error {
	out := csv.NewWriter(w)
	head := []string{"volume_m3", "annual_cost", "savings_vs_boilers_only", "savings_vs_no_storage", "marginal_savings_per_m3",
		"upper_bound", "capacity_kWh", "solar_fraction", "spilled_sun_kWh", "fuel_kWh", "co2_kg", "unmet_kWh",
		"sun_to_header_kWh", "sun_to_store_kWh", "store_out_kWh", "keep_warm_kWh", "loss_kWh"}
	if a.Money != nil {
		head = append(head, moneyColumns...)
	}
	out.Write(head)
	for _, p := range a.Points {
		row := numbers(p.VolumeM3, p.AnnualCost, p.SavingsVsBoilersOnly, p.SavingsVsNoStorage, p.MarginalSavingsPerM3,
			p.UpperBound, p.CapacityKWh, p.SolarFraction, p.SpilledSunKWh, p.FuelKWh, p.CO2Kg, p.UnmetKWh,
			p.SunToHeaderKWh, p.SunToStoreKWh, p.StoreOutKWh, p.KeepWarmKWh, p.LossKWh)
		if a.Money != nil {
			row = append(row, moneyCells(p)...)
		}
		out.Write(row)
	}
	out.Flush()
	return out.Error()
}

// CurveFiles writes the curve into dir as SVG, PNG, CSV and JSON and returns the paths.
func CurveFiles(dir string, a answer.Answer) ([]string, error) {
	picture := curveChart(a)
	return writeFiles(dir, append(pictures("curve", picture),
		file{"curve.csv", func(w io.Writer) error { return CurveCSV(w, a) }},
		file{"curve.json", func(w io.Writer) error { return JSON(w, a) }}))
}
