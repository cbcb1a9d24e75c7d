package report

import (
	"slices"

	"noonkeep/cmd/internal/study"
)

// studyColumn is one column: its two lines of heading, what it shows of a scenario and of all; nil shows nothing.
type studyColumn struct {
	head [2]string
	of   func(x study.ScenarioSummary) string
	all  string
}

// studyTable has a row for each scenario, and one for all where there are several. Columns that nothing stands in are left out.
func studyTable(s study.Summary) table {
	columns := studyColumns(s)
	t := table{names: 1, head: make([][]string, 2)}
	for _, c := range columns {
		t.head[0], t.head[1] = append(t.head[0], c.head[0]), append(t.head[1], c.head[1])
	}
	for _, x := range studyShown(s) {
		var row []string
		for _, c := range columns {
			row = append(row, c.of(x))
		}
		t.rows = append(t.rows, row)
	}
	if len(s.Scenarios) > 1 {
		var row []string
		for _, c := range columns {
			row = append(row, c.all)
		}
		t.rows = append(t.rows, row)
	}
	return t
}

func studyColumns(s study.Summary) []studyColumn {
	all := s.All
	list := []studyColumn{{[2]string{"scenario", ""}, func(x study.ScenarioSummary) string { return cutText(x.Name, mostStudyName) }, "all, as shares"}}
	if studyCurrency(s) == "" {
		list = append(list, studyColumn{[2]string{"", ""}, func(x study.ScenarioSummary) string { return x.Currency }, ""})
	}
	count := func(n int64) string { return spaced(float64(n), 0) }
	list = append(list, studyColumn{[2]string{"cases", ""}, func(x study.ScenarioSummary) string { return count(x.Done) }, count(s.Done)},
		studyColumn{[2]string{"set", "aside"}, func(x study.ScenarioSummary) string { return count(x.SetAside) }, count(s.SetAside)})
	saved := func(x study.ScenarioSummary) *study.Spread { return x.SavingsVsNoStorage }
	list = append(list, three([]string{"saved", "saved", "saved"}, saved, Whole, threeTexts(all.SavingsFrac, percentWords))...)
	share := func(x study.ScenarioSummary) string { return midText(x.SavingsFrac, Share) }
	list = append(list, studyColumn{[2]string{"% of", "cost"}, share, midText(all.SavingsFrac, Share)})
	if all.BestVolumeM3 != nil {
		best := three([]string{"best", "tank,", "m³"}, func(x study.ScenarioSummary) *study.Spread { return x.BestVolumeM3 }, shortM3, threeTexts(all.BestVolumeM3, shortM3))
		mid := best[1].of
		best[1].of = func(x study.ScenarioSummary) string { return mid(x) + orMore(x.BestAtEdgeFrac) }
		best[1].all += orMore(all.BestAtEdgeFrac)
		list = append(list, best...)
	}
	return append(list, studyKept(s)...)
}

const mostStudyName = 23 // letters

// orMore marks a volume that in half of the cases or more is the largest asked for.
func orMore(edgeFrac float64) string {
	if edgeFrac >= 0.5 {
		return "+"
	}
	return ""
}

// studyKept are the columns of what is kept by choice.
func studyKept(s study.Summary) []studyColumn {
	has := func(of func(x study.ScenarioSummary) *study.Spread) bool {
		return slices.ContainsFunc(s.Scenarios, func(x study.ScenarioSummary) bool { return of(x) != nil })
	}
	var list []studyColumn
	add := func(head [2]string, of func(x study.ScenarioSummary) *study.Spread, show func(float64) string, all *study.Spread) {
		if has(of) {
			list = append(list, studyColumn{head, func(x study.ScenarioSummary) string { return midText(of(x), show) }, midText(all, show)})
		}
	}
	add([2]string{"tank's", "NPV"}, func(x study.ScenarioSummary) *study.Spread { return x.NPV }, Whole, nil)
	add([2]string{"pays in", "years"}, func(x study.ScenarioSummary) *study.Spread { return x.PaybackA }, Tenths, s.All.PaybackA)
	add([2]string{"arrived,", "%"}, func(x study.ScenarioSummary) *study.Spread { return x.ReplayArrived }, Share, s.All.ReplayArrived)
	return list
}

// three are the columns P90, P50 and P10 of a figure.
func three(over []string, of func(x study.ScenarioSummary) *study.Spread, show func(float64) string, all [3]string) []studyColumn {
	var list []studyColumn
	for i, name := range []string{"P90", "P50", "P10"} {
		list = append(list, studyColumn{[2]string{over[i], name}, func(x study.ScenarioSummary) string { return threeTexts(of(x), show)[i] }, all[i]})
	}
	return list
}

// threeTexts are P90, P50 and P10; of few cases the lowest and the highest stand in the places of P90 and P10, with a star.
func threeTexts(s *study.Spread, show func(float64) string) [3]string {
	if s == nil {
		return [3]string{"-", "-", "-"}
	}
	star := ""
	if s.Extremes() {
		star = "*"
	}
	return [3]string{endless(s.Low(), show) + star, endless(s.Mid(), show), endless(s.High(), show) + star}
}

func midText(s *study.Spread, show func(float64) string) string {
	if s == nil {
		return "-"
	}
	return endless(s.Mid(), show)
}

// endless writes what does not come as "never".
func endless(v float64, show func(float64) string) string {
	if v > 1e300 {
		return "never"
	}
	return show(v)
}
