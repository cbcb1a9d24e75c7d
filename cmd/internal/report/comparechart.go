package report

import (
	"fmt"
	"math"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// compareChart draws the curves of all cases that have a store. The saving is each against its own plant without one.
func compareChart(c answer.Comparison) chart.Compare {
	p := chart.Compare{
		Title: compareFinding(c),
		Subtitle: fmt.Sprintf("each point proven the least cost, with the year's sun and load known; between points within %s %% of a curve's range; the year's cost is with the scenario's own tank",
			twoDigits(100*widestGap(c))),
		Currency:    c.Currency,
		SavingsName: "Savings against the same plant without a store",
		MarkName:    "the tank that pays",
	}
	if c.Rule == answer.RuleSaves {
		p.MarkName = "the tank that saves most"
	}
	for _, x := range c.Cases {
		if len(x.Curve) == 0 {
			continue
		}
		l := chart.Line{Name: x.Name, Note: fmt.Sprintf("costs %s %s/a; best %s", chart.Thousands(x.AnnualCost, 0), c.Currency, bestText(x))}
		for _, point := range x.Curve {
			l.VolumesM3, l.Savings = append(l.VolumesM3, point.VolumeM3), append(l.Savings, point.SavingsVsNoStorage)
		}
		l.MarkM3 = *x.BestVolumeM3
		p.Lines = append(p.Lines, l)
	}
	return p
}

func widestGap(c answer.Comparison) float64 {
	gap := 0.0
	for _, x := range c.Cases {
		gap = math.Max(gap, x.CertifiedGap)
	}
	return gap
}

// compareFinding says in a sentence what the best volumes are.
func compareFinding(c answer.Comparison) string {
	what := "pays"
	if c.Rule == answer.RuleSaves {
		what = "saves most"
	}
	first := c.Cases[0]
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range c.Cases[1:] {
		if x.BestVolumeM3 != nil {
			lo, hi = math.Min(lo, *x.BestVolumeM3), math.Max(hi, *x.BestVolumeM3)
		}
	}
	switch {
	case first.BestVolumeM3 == nil || math.IsInf(lo, 1):
		return "What a tank saves"
	case shortM3(lo) == shortM3(hi):
		return fmt.Sprintf("The tank that %s has %s in %s, and %s m³ otherwise", what, bestText(first), first.Name, shortM3(lo))
	}
	return fmt.Sprintf("The tank that %s has %s in %s, and %s to %s m³ otherwise", what, bestText(first), first.Name, shortM3(lo), shortM3(hi))
}
