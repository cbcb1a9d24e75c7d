package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"noonkeep/cmd/internal/chart"
	"noonkeep/cmd/internal/study"
)

// StudyFiles draws the study into dir as SVG and PNG, writes its scenarios and its summary beside them, and returns the paths.
func StudyFiles(dir string, s study.Summary) ([]string, error) {
	files := append(pictures("study", studyChart(s)), file{"study.csv", func(w io.Writer) error { return StudyCSV(w, s) }},
		file{"study.json", func(w io.Writer) error { return JSON(w, s) }})
	return writeFiles(dir, files)
}

// studySpread is a figure of a scenario as study.csv has it.
type studySpread struct {
	name   string
	spread *study.Spread
}

func studySpreads(x study.ScenarioSummary) []studySpread {
	return []studySpread{
		{"savings_vs_no_storage", x.SavingsVsNoStorage}, {"savings_share_of_no_storage_cost", x.SavingsFrac}, {"savings_vs_boilers_only", x.SavingsVsBoilersOnly},
		{"solar_fraction", x.SolarFraction}, {"best_volume_m3", x.BestVolumeM3}, {"npv", x.NPV}, {"payback_a", x.PaybackA},
		{"plant_npv", x.PlantNPV}, {"plant_payback_a", x.PlantPaybackA}, {"replay_arrived", x.ReplayArrived},
	}
}

// StudyCSV writes every scenario as a row.
func StudyCSV(w io.Writer, s study.Summary) error {
	out := csv.NewWriter(w)
	head := []string{"scenario", "currency", "cases", "done", "set_aside", "best_volume_rule", "best_at_edge_share"}
	for _, f := range studySpreads(study.ScenarioSummary{}) {
		for _, q := range []string{"_p90", "_p50", "_p10", "_least", "_most"} {
			head = append(head, f.name+q)
		}
	}
	out.Write(head)
	for _, x := range s.Scenarios {
		row := []string{nameCell(x.Name), nameCell(x.Currency)}
		for _, n := range []int64{x.Cases, x.Done, x.SetAside} {
			row = append(row, strconv.FormatInt(n, 10))
		}
		row = append(append(row, x.BestRule), numbers(x.BestAtEdgeFrac)...)
		for _, f := range studySpreads(x) {
			v := f.spread
			if v == nil {
				v = &study.Spread{}
			}
			for _, q := range []*float64{v.P90, v.P50, v.P10, v.Least, v.Most} {
				cell := ""
				if q != nil {
					cell = numbers(*q)[0]
				}
				row = append(row, cell)
			}
		}
		out.Write(row)
	}
	out.Flush()
	return out.Error()
}

func studyChart(s study.Summary) chart.Study {
	money := func(v float64) string { return chart.Thousands(v, 0) }
	c := chart.Study{Title: studyFinding(s, money), Subtitle: studySubtitle(s), CurveName: "Savings against the same plant without a store",
		CurveUnit: "% of that plant's year's cost", LinesName: "P50 of each scenario by itself", SavedName: "Saved by its own tank", SavedUnit: "% of cost", SavedDecimals: 1,
		RangeName: "P90 to P10 of the cases, with P50 as dot and number", ExtremesName: fmt.Sprintf("lowest to highest of fewer than %d cases", study.LeastCases)}
	if more := studyMore(s); more != "" {
		c.More = more + "."
	}
	one := len(s.Scenarios) == 1 && s.Scenarios[0].SavingsVsNoStorage != nil
	if one {
		c.SavedUnit, c.SavedDecimals = s.Scenarios[0].Currency+" a year", 0
	}
	if s.All.BestVolumeM3 != nil {
		c.BestName, c.BestUnit = "Best tank", "m³"
		if !slices.ContainsFunc(s.Scenarios, func(x study.ScenarioSummary) bool { return x.BestVolumeM3 != nil && x.BestRule != study.BestSaves }) {
			c.BestName = "Tank that saves most"
		}
	}
	for _, x := range studyShown(s) {
		row := chart.StudyRow{Name: x.Name, Saved: rangeOf(x.SavingsFrac, 100), Best: rangeOf(x.BestVolumeM3, 1), Note: studyRowNote(x)}
		if one {
			row.Saved = rangeOf(x.SavingsVsNoStorage, 1)
		}
		row.Best.OrMore = x.BestAtEdgeFrac >= 0.5
		c.Rows = append(c.Rows, row)
	}
	studyCurves(&c, s, one)
	return c
}

func rangeOf(s *study.Spread, by float64) chart.StudyRange {
	if s == nil || s.P50 == nil {
		return chart.StudyRange{Mid: math.NaN()}
	}
	return chart.StudyRange{Low: by * s.Low(), Mid: by * s.Mid(), High: by * s.High(), Extremes: s.Extremes()}
}

func studyRowNote(x study.ScenarioSummary) string {
	switch {
	case x.Done == 0:
		return "no case done yet"
	case x.Done == x.SetAside:
		return fmt.Sprintf("all %s cases set aside", chart.Thousands(float64(x.Done), 0))
	}
	return "none"
}

func studySubtitle(s study.Summary) string {
	text := fmt.Sprintf("%s; %s scenarios, %s cases", studyName(s), chart.Thousands(float64(len(s.Scenarios)), 0), chart.Thousands(float64(s.Done), 0))
	if len(s.Scenarios) == 1 {
		text = fmt.Sprintf("%s; %s, %s cases", studyName(s), s.Scenarios[0].Name, chart.Thousands(float64(s.Done), 0))
	}
	if s.SetAside > 0 {
		text += fmt.Sprintf(", %s of them set aside", chart.Thousands(float64(s.SetAside), 0))
	}
	switch n := len(s.Keys); {
	case n > 3:
		text += fmt.Sprintf("; varied: %s and %d more keys", s.Keys[0], n-1)
	case n > 0:
		text += "; varied: " + andList(s.Keys)
	}
	return text + "; every volume proven the least cost, with its year's sun and load known"
}

// studyCurves puts the band of curves into the picture: in money of one scenario, else in shares, with each scenario's middle.
func studyCurves(c *chart.Study, s study.Summary, one bool) {
	curve, by, show := s.All.Curve, 100.0, percentWords
	if one {
		curve = s.Scenarios[0].Curve
	}
	if curve == nil {
		return
	}
	band := curve.Frac
	if one && curve.Savings != nil {
		currency := s.Scenarios[0].Currency
		band, by, c.CurveUnit, show = curve.Savings, 1, currency+" per year", func(v float64) string { return chart.Thousands(v, 0) + " " + currency }
	}
	scaled := func(v []float64) (out []float64) {
		for _, x := range v {
			out = append(out, by*x)
		}
		return out
	}
	c.VolumesM3, c.Low, c.Mid, c.High = curve.VolumesM3, scaled(band.P90), scaled(band.P50), scaled(band.P10)
	last := len(curve.VolumesM3) - 1
	at := func(v []float64) string {
		return fmt.Sprintf("%s at %s m³", show(v[last]), shortM3(curve.VolumesM3[last]))
	}
	c.LowNote, c.MidNote, c.HighNote = at(band.P90), at(band.P50), at(band.P10)
	c.LowName, c.MidName, c.HighName = "9 of 10 cases (P90)", "half of cases (P50)", "1 of 10 cases (P10)"
	if curve.Extremes {
		c.LowName, c.HighName = "the lowest case", "the highest case"
	}
	if one {
		return
	}
	for _, x := range studyShown(s) {
		if x.Curve != nil {
			c.Lines = append(c.Lines, scaled(x.Curve.MidFracAt(curve.VolumesM3)))
		}
	}
}
