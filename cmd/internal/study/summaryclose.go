package study

import "fmt"

// close sums one scenario up.
func (g *gathering) close(scenario int, s *gathered) ScenarioSummary {
	p := g.outline.scenarios[scenario]
	out := ScenarioSummary{
		Name: p.name, Currency: s.currency, Cases: p.cases, Done: s.done, SetAside: s.setAside, BestRule: s.rule(),
		SavingsFrac: s.spread(figSavedFrac), SolarFraction: s.spread(figSolar), BestVolumeM3: s.spread(figBest), BestAtEdgeFrac: s.edgeFrac(),
		PaybackA: s.spread(figPayback), PlantPaybackA: s.spread(figPlantPayback), ReplayArrived: s.spread(figArrived),
		Moves: s.moves(g.outline.keys),
	}
	if s.mixed {
		out.Currency = ""
	} else {
		out.SavingsVsNoStorage, out.SavingsVsBoilersOnly = s.spread(figSaved), s.spread(figAlone)
		out.NPV, out.PlantNPV = s.spread(figNPV), s.spread(figPlantNPV)
	}
	if scenario < MostShown {
		out.Curve = s.curve(!s.mixed)
	}
	return out
}

// edgeFrac is how many of the best volumes are the largest asked for.
func (g *gathered) edgeFrac() float64 {
	if g.bests == 0 {
		return 0
	}
	return float64(g.edges) / float64(g.bests)
}

const quantileWords = "p10, p50, p90: exceeded in 10, 50, 90 % of cases; definition 6 of Hyndman and Fan (1996), p(k) = k/(n+1), p10 and p90 null under 10 cases"

// summary sums all up when no further row comes.
func (g *gathering) summary() Summary {
	for i := range g.outline.scenarios {
		if s := g.open[i]; s != nil {
			g.closed[i] = g.close(i, s)
		} else if g.closed[i].Done == 0 {
			g.closed[i] = g.close(i, newGathered(0, 1, wanted{}))
		}
	}
	keys := append([]string{}, g.outline.keys...)
	a := g.all
	out := Summary{
		Keys: keys, Cases: g.outline.end(), Done: g.done, SetAside: g.setAside, Scenarios: g.closed, Reasons: g.reasons.list(keys),
		Moves: movesOf(keys, g.closed), Estimator: quantileWords, Sample: g.sampleWords(),
		All: AllSummary{
			SavingsFrac: a.spread(figSavedFrac), SavingsVsBoilersFrac: a.spread(figAloneFrac), SolarFraction: a.spread(figSolar),
			BestVolumeM3: a.spread(figBest), BestAtEdgeFrac: a.edgeFrac(), PaybackA: a.spread(figPayback), PlantPaybackA: a.spread(figPlantPayback),
			ReplayArrived: a.spread(figArrived), Curve: a.curve(false),
		},
	}
	return out
}

// sampleWords say what the quantiles are taken of where that is not all cases.
func (g *gathering) sampleWords() string {
	if g.done-g.setAside <= mostDetails {
		return ""
	}
	text := fmt.Sprintf("curves and rank correlations are of at most %d cases of a scenario and %d of all", g.outline.detailsEach(), mostDetails)
	if g.done-g.setAside > mostDrawn {
		text = fmt.Sprintf("quantiles are of at most %d cases of a scenario and %d of all, %s; the cases are drawn by a hash of their numbers, the same each time",
			mostDrawn, mostDrawn, text)
	}
	return text
}
