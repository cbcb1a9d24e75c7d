package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// noCost stands under every size: what the value leaves out.
const noCost = "Savings are a year's, in fuel and power. What tank and collectors cost is not counted: give it by\nstore.cost, the fields' cost and money.life, or set each saving beside what the larger plant costs."

// SizeMapText prints a map for a person: the finding, the savings at round sizes, the frontier, and what
// they rest on.
func SizeMapText(w io.Writer, m answer.SizeMap) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n", m.Scenario, strings.Join(sizeFinding(m), "\n"))
	mapMoneyText(&b, m)
	fmt.Fprintf(&b, "\nSAVINGS OVER BOILERS ALONE, %s a year\n", m.Currency)
	mapTable(&b, m)
	fmt.Fprintf(&b, "\nFOR EACH NUMBER OF COLLECTORS, THE STORE THAT SAVES MOST\n")
	frontierTable(&b, m)
	if len(m.Levels) > 0 {
		fmt.Fprintf(&b, "\nFOR EACH SAVING, THE LEAST PLANT OF THE MAP\n")
		levelTable(&b, m)
	}
	fmt.Fprintf(&b, "\n%s\n", mapCosts(m))
	if m.Counts[1] < 1 {
		fmt.Fprintf(&b, "Parts of a collector stand for its area, %s m² each.\n", Volume(m.ApertureM2))
	}
	fmt.Fprintf(&b, "Boilers alone cost %s %s a year. All %d cells are proven the least cost, to %s of it or better,\nwith the year's sun and load known. Engine %s: %s.\n%s\n", Whole(m.BoilersOnlyCost), m.Currency,
		len(m.Counts)*len(m.VolumesM3), Tiny(m.Proof.DualityGap), m.Engine, m.EngineWhy, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// sizeFinding says what the map says, in one or two lines.
func sizeFinding(m answer.SizeMap) []string {
	if earning(m) {
		return mapFinding(m)
	}
	if m.Best.Savings <= 0 || len(m.Levels) == 0 {
		return []string{"No collector and no store of this map saves anything over boilers alone."}
	}
	first := fmt.Sprintf("%s collectors and %s m³ save most, %s %s a year over boilers alone",
		Volume(m.Best.Count), Volume(m.Best.VolumeM3), Whole(m.Best.Savings), m.Currency)
	held := ""
	if m.GroundHolds > 0 && m.Best.Count == float64(m.GroundHolds) {
		held = "the ground holds no more collectors"
	}
	switch {
	case len(m.BestAtEdge) == 0 && held == "":
		return []string{first + "."}
	case len(m.BestAtEdge) == 0:
		return []string{first + ";", held + "."}
	}
	more := map[string]string{"field": "more collectors", "store": "a larger store"}
	var what []string
	for _, e := range m.BestAtEdge {
		what = append(what, more[e])
	}
	if held != "" {
		return []string{first + ";", fmt.Sprintf("%s, and %s may save more.", held, strings.Join(what, " or "))}
	}
	return []string{first + ";", fmt.Sprintf("that lies at the edge of the map: %s may save more.", strings.Join(what, " or "))}
}

func mapTable(w io.Writer, m answer.SizeMap) {
	pairsTable(w, m, func(i, j int) string { return Whole(m.SavingsVsBoilersOnly[i][j]) })
}

// pairsTable prints a figure of the map's pairs, thinned: cell is that of the count i and the volume j.
func pairsTable(w io.Writer, m answer.SizeMap, cell func(i, j int) string) {
	columns := thin(len(m.VolumesM3), 6)
	t := table{head: [][]string{{"collectors"}}}
	for _, j := range columns {
		t.head[0] = append(t.head[0], Volume(m.VolumesM3[j])+" m³")
	}
	for _, i := range thin(len(m.Counts), 6) {
		row := []string{Volume(m.Counts[i])}
		for _, j := range columns {
			row = append(row, cell(i, j))
		}
		t.rows = append(t.rows, row)
	}
	t.write(w)
}

func frontierTable(w io.Writer, m answer.SizeMap) {
	t := table{head: [][]string{
		{"collectors", "area", "store", "saves over", "of which"},
		{"", "", "", "boilers alone", "the store"},
		{"", "m²", "m³", m.Currency + "/a", m.Currency + "/a"},
	}}
	for _, i := range thin(len(m.Counts), 10) {
		c := m.Frontier[i]
		t.rows = append(t.rows, []string{Volume(c.Count), Whole(c.Count * m.ApertureM2), Volume(c.VolumeM3), Whole(c.Savings), Whole(c.SavingsVsNoStorage)})
	}
	t.write(w)
}

func levelTable(w io.Writer, m answer.SizeMap) {
	t := table{head: [][]string{
		{"saves", "fewest", "with", "smallest", "with"},
		{m.Currency + "/a", "collectors", "m³", "m³", "collectors"},
	}}
	for _, l := range m.Levels {
		t.rows = append(t.rows, []string{Whole(l.Savings), Volume(l.Fewest.Count), Volume(l.Fewest.VolumeM3),
			Volume(l.Smallest.VolumeM3), Volume(l.Smallest.Count)})
	}
	t.write(w)
}

// thin picks places of n, first and last among them, in even steps: about as many steps as asked, so
// that they come out even if any number near does.
func thin(n, steps int) []int {
	last := n - 1
	stride := max(1, (last+steps-1)/steps)
	for _, s := range []int{steps, steps - 1, steps + 1, steps + 2, steps - 2} {
		if s > 0 && last%s == 0 {
			stride = last / s
			break
		}
	}
	var at []int
	for i := 0; i < last; i += stride {
		at = append(at, i)
	}
	return append(at, last)
}

// SizeMapCSV writes every cell as a row.
func SizeMapCSV(w io.Writer, m answer.SizeMap) error {
	out := csv.NewWriter(w)
	head := []string{"count", "aperture_m2", "volume_m3", "savings_vs_boilers_only", "savings_vs_no_storage"}
	if earning(m) {
		head = append(head, "npv")
	}
	out.Write(head)
	for i := range m.Counts {
		for j := range m.VolumesM3 {
			c := m.Cell(i, j)
			row := numbers(c.Count, c.Count*m.ApertureM2, c.VolumeM3, c.Savings, c.SavingsVsNoStorage)
			if earning(m) {
				npv := math.Inf(1) // an empty cell
				if v := m.Money.NPV[i][j]; v != nil {
					npv = *v
				}
				row = append(row, numbers(npv)...)
			}
			out.Write(row)
		}
	}
	out.Flush()
	return out.Error()
}

// SizeMapFiles draws the map into dir as SVG and PNG, writes its cells beside it, and returns the paths.
func SizeMapFiles(dir string, m answer.SizeMap) ([]string, error) {
	picture := mapChart(m)
	return writeFiles(dir, append(pictures("size", picture),
		file{"size.csv", func(w io.Writer) error { return SizeMapCSV(w, m) }},
		file{"size.json", func(w io.Writer) error { return JSON(w, m) }}))
}

func mapChart(m answer.SizeMap) chart.Contour {
	c := chart.Contour{
		Title:    strings.Join(sizeFinding(m), " "),
		Subtitle: fmt.Sprintf("%s; savings in fuel and power, without the cost of tank and collectors; each of %d × %d cells proven the least cost, with the year's sun and load known", m.Scenario, len(m.Counts), len(m.VolumesM3)),
		XName:    "Storage volume, m³", YName: fmt.Sprintf("Collectors, field %q", m.Field),
		ValueName: fmt.Sprintf("savings over boilers alone, %s a year", m.Currency),
		Xs:        m.VolumesM3, Ys: m.Counts, Values: m.SavingsVsBoilersOnly,
		RightName: "Aperture, m²", RightPer: m.ApertureM2,
		ZeroName:  "nothing saved; below it dearer than boilers alone",
		RidgeName: "the store that saves most with so many collectors",
	}
	for _, l := range m.Levels {
		c.Levels = append(c.Levels, l.Savings)
	}
	if len(c.Levels) > 0 {
		c.Levels = slices.Insert(c.Levels, 0, 0)
		c.Best = &chart.Spot{X: m.Best.VolumeM3, Y: m.Best.Count, Text: fmt.Sprintf("%s collectors, %s m³: %s %s a year",
			Volume(m.Best.Count), Volume(m.Best.VolumeM3), chart.Thousands(m.Best.Savings, 0), m.Currency)}
	}
	for _, f := range m.Frontier {
		c.Ridge = append(c.Ridge, f.VolumeM3)
	}
	if earning(m) {
		drawMoney(&c, m)
	}
	if h := m.Here; h.VolumeM3 <= m.VolumesM3[len(m.VolumesM3)-1] && h.Count <= m.Counts[len(m.Counts)-1] {
		c.Here = &chart.Spot{X: h.VolumeM3, Y: h.Count, Text: "the scenario's own sizes"}
	}
	return c
}
