package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"noonkeep/cmd/internal/study"
)

// studySentences say what stands out and what the table rests on.
func studySentences(s study.Summary) []string {
	list := movesSentences(s)
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	if s.Done < s.Cases {
		say("Only %s of %s cases are done; the rest is not in here.", spaced(float64(s.Done), 0), spaced(float64(s.Cases), 0))
	}
	few, many, edge := studyKinds(s)
	if many {
		say("P90, P50, P10: exceeded in 9, 5 and 1 of 10 cases (the k-th lowest of n cases is undershot with k/(n+1)). The cases are the study's own, each of the same weight; they are no forecast.")
	}
	if few {
		say("* Fewer than %d cases have no P90 and no P10: the lowest and the highest of them stand there.", study.LeastCases)
	}
	if len(s.Scenarios) > 1 {
		say("All, as shares: of the year's cost without a tank in each case, as sums of different plants tell nothing together.")
	}
	list = append(list, bestSentences(s, edge)...)
	list = append(list, keptSentences(s)...)
	if s.Sampling != "" {
		list = append(list, sentence("Values: "+s.Sampling))
	}
	if s.Sample != "" {
		list = append(list, sentence(s.Sample))
	}
	if s.Done > s.SetAside {
		say("Every volume of every case is proven the least cost, with that year's sun and load known.")
	}
	return list
}

// studyKinds tells whether scenarios have too few cases for P90, enough of them, and best volumes at the end of their curves.
func studyKinds(s study.Summary) (few, many, edge bool) {
	spreads := []*study.Spread{}
	if len(s.Scenarios) > 1 {
		spreads, edge = append(spreads, s.All.SavingsFrac, s.All.BestVolumeM3), s.All.BestAtEdgeFrac >= 0.5
	}
	for _, x := range studyShown(s) {
		spreads = append(spreads, x.SavingsVsNoStorage, x.BestVolumeM3)
		edge = edge || x.BestAtEdgeFrac >= 0.5
	}
	for _, v := range spreads {
		few, many = few || v != nil && v.Extremes(), many || v != nil && !v.Extremes()
	}
	return few, many, edge
}

func bestSentences(s study.Summary, edge bool) []string {
	if s.All.BestVolumeM3 == nil {
		return nil
	}
	var free, paid, unknown int
	for _, x := range s.Scenarios {
		switch {
		case x.BestRule == study.BestSaves:
			free++
		case x.BestRule == study.BestPays:
			paid++
		case x.BestVolumeM3 != nil:
			unknown++
		}
	}
	const missing = "no cost of a store is given (store.cost and money.life are missing), so the best tank is the one that saves most, whatever it costs"
	var list []string
	switch {
	case unknown > 0:
		list = append(list, "Best tank: the one that saves most over what it costs; in a scenario without a cost of the store (store.cost and money.life) the one that saves most, whatever it costs.")
	case paid == 0:
		list = append(list, sentence(missing))
	case free > 0:
		list = append(list, fmt.Sprintf("In %d of %d scenarios %s. In the others it is the one that saves most over what it costs.", free, free+paid, missing))
	default:
		list = append(list, "Best tank: the one that saves most over what it costs, by store.cost and money.life.")
	}
	if edge {
		list = append(list, "+ or more: in half of the cases or more the best tank is the largest asked for (store.steps), so a larger one may be better still.")
	}
	return list
}

func keptSentences(s study.Summary) []string {
	var worth, replay bool
	for _, x := range s.Scenarios {
		worth, replay = worth || x.NPV != nil, replay || x.ReplayArrived != nil
	}
	var list []string
	if worth {
		list = append(list, "NPV and payback: P50, of each case's best tank; \"never\" where in half of the cases it does not pay back.")
	}
	if replay {
		list = append(list, "Arrived: P50 of how much of the plan's savings came when the year was played through minute by minute.")
	}
	return list
}

// movesSentences say which varied key moves the savings most.
func movesSentences(s study.Summary) []string {
	var ranked, worded []string
	for _, m := range s.Moves {
		switch {
		case m.Worded:
			worded = append(worded, m.Key)
		case m.Size != nil && *m.Size >= 0.005:
			ranked = append(ranked, moveWords(m))
		}
	}
	var list []string
	if len(ranked) > 0 {
		rest := ""
		if len(ranked) > 1 {
			rest = "; then " + strings.Join(ranked[1:min(len(ranked), 6)], "; ")
		}
		list = append(list, fmt.Sprintf("Of what was varied, what moves the tank's savings most is %s%s. (Rank correlation: 1 or -1 where a key alone decides, 0 where it does not matter.)", ranked[0], rest))
	}
	if len(worded) > 0 {
		list = append(list, fmt.Sprintf("Not ranked, as the values are no numbers of one unit: %s.", strings.Join(worded, ", ")))
	}
	return list
}

// moveWords tell a key, its correlation and which way it goes.
func moveWords(m study.Move) string {
	r, size := *m.Correlation, *m.Size
	way := "more is saved where it is higher"
	switch {
	case size < 0.1:
		way = "it hardly matters"
	case math.Abs(r) < 0.5*size:
		return fmt.Sprintf("%s (%s in the mean of its size; it goes up in some scenarios and down in others)", m.Key, strconv.FormatFloat(size, 'f', 2, 64))
	case r < 0:
		way = "less is saved where it is higher"
	}
	return fmt.Sprintf("%s (%s: %s)", m.Key, strconv.FormatFloat(r, 'f', 2, 64), way)
}
