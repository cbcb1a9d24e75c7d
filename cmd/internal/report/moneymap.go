package report

import (
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// earning tells whether a map counts what its pairs earn.
func earning(m answer.SizeMap) bool { return m.Money != nil && len(m.Money.NPV) > 0 }

// mapFinding says what the map says of money, in one or two lines.
func mapFinding(m answer.SizeMap) []string {
	b := m.Money.Best
	if b == nil {
		return []string{"No pair of collectors and store of this map earns more than it costs."}
	}
	first := fmt.Sprintf("%s collectors and %s m³ earn most, %s %s over %d years (net present value)",
		Volume(b.Count), Volume(b.VolumeM3), Sum3(b.NPV), m.Currency, m.Money.Years)
	if len(m.Money.AtEdge) == 0 {
		return []string{first + "."}
	}
	more := map[string]string{"field": "more collectors", "store": "a larger store"}
	var what []string
	for _, e := range m.Money.AtEdge {
		what = append(what, more[e])
	}
	return []string{first + ";", fmt.Sprintf("that lies at the edge of the map: %s may earn more.", strings.Join(what, " or "))}
}

// mapCosts says on what terms money counts, or that it does not.
func mapCosts(m answer.SizeMap) string {
	switch {
	case m.Money == nil:
		return noCost
	case !earning(m):
		return noCost + "\n" + wrapped("For what sun and tank earn, "+missing(m.Money.Lacks)+".")
	}
	notes := ""
	for _, n := range m.Money.Notes {
		notes += wrapped(sentence(n)) + "\n"
	}
	return notes + moneyTerms(m.Money.Words)
}

// mapMoneyText prints what the pairs earn.
func mapMoneyText(w io.Writer, m answer.SizeMap) {
	if !earning(m) {
		return
	}
	fmt.Fprintf(w, "\nEARNS OVER BOILERS ALONE, net present value in %s over %d years\n", m.Currency, m.Money.Years)
	pairsTable(w, m, func(i, j int) string { return sumOr(m.Money.NPV[i][j], "no price") })
	fmt.Fprintf(w, "\nFOR EACH NUMBER OF COLLECTORS, THE STORE THAT EARNS MOST\n")
	t := table{head: [][]string{
		{"collectors", "area", "store", "costs", "earns", "pays back", "return", "heat costs"},
		{"", "", "", "", "(NPV)", "in", "", "(levelised)"},
		{"", "m²", "m³", m.Currency, m.Currency, "years", "% a year", m.Currency + "/MWh"},
	}}
	for _, i := range thin(len(m.Money.Frontier), 10) {
		c := m.Money.Frontier[i]
		heat := "none"
		if c.HeatCostPerKWh != nil {
			heat = Tenths(1000 * *c.HeatCostPerKWh)
		}
		t.rows = append(t.rows, []string{Volume(c.Count), Whole(c.Count * m.ApertureM2), Volume(c.VolumeM3), Sum3(c.Capital), Sum3(c.NPV),
			paybackText(c.PaybackA, m.Money.Years), irrText(&c.Earned), heat})
	}
	t.write(w)
}

// drawMoney puts what the pairs earn in the place of what they save, where every pair has a price.
func drawMoney(c *chart.Contour, m answer.SizeMap) {
	var values [][]float64
	most := 0.0
	for _, row := range m.Money.NPV {
		var list []float64
		for _, v := range row {
			if v == nil {
				return
			}
			list, most = append(list, *v), max(most, *v)
		}
		values = append(values, list)
	}
	c.Values, c.Levels, c.Best, c.Ridge = values, nil, nil, nil
	c.Subtitle = fmt.Sprintf("%s; net present value of sun and tank over %d years, against boilers alone; each of %d × %d cells proven the least cost, with the year's sun and load known",
		m.Scenario, m.Money.Years, len(m.Counts), len(m.VolumesM3))
	c.ValueName = fmt.Sprintf("net present value, %s", m.Currency)
	c.ZeroName, c.RidgeName = "nothing earned; below it, it costs more than it brings", "the store that earns most with so many collectors"
	for _, f := range m.Money.Frontier {
		c.Ridge = append(c.Ridge, f.VolumeM3)
	}
	if b := m.Money.Best; b != nil {
		for level := answer.LevelStep(most); float64(len(c.Levels))*level <= most; {
			c.Levels = append(c.Levels, float64(len(c.Levels))*level)
		}
		c.Best = &chart.Spot{X: b.VolumeM3, Y: b.Count, Text: fmt.Sprintf("%s collectors, %s m³: %s %s", Volume(b.Count), Volume(b.VolumeM3), Sum3(b.NPV), m.Currency)}
	}
}
