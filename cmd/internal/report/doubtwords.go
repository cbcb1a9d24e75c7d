package report

import (
	"fmt"
	"strconv"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// doubtFinding says what the cases come to, in one sentence without its full stop, its sums of money in a way of writing.
func doubtFinding(d answer.Doubt, money func(float64) string) string {
	s := d.Spread.SavingsVsBoilersOnly
	what := "the sun saves"
	if len(d.Volumes) > 0 {
		what = fmt.Sprintf("sun and a tank of %s m³ save", Volume(d.VolumeM3))
	}
	return fmt.Sprintf("Over %d cases of what is not known for sure, %s %s %s a year over boilers alone in half of them, and %s in nine of ten",
		len(d.Cases), what, money(*s.P50), d.Currency, money(*s.P90))
}

func doubtRule(d answer.Doubt) string {
	if d.Rule == answer.RuleSaves {
		return "saves most"
	}
	return "pays best"
}

// doubtSentences say what the tables rest on and what stands out.
func doubtSentences(d answer.Doubt) []string {
	var list []string
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	say("As it is written the scenario saves %s %s over boilers alone; with every input in its middle it saves %s.",
		Whole(d.AsWritten.SavingsVsBoilersOnly), d.Currency, Whole(d.Middle.SavingsVsBoilersOnly))
	if len(d.Volumes) > 0 {
		list = append(list, oftenSentence(d), regretSentence(d))
		if d.AtEdge {
			say("In %s %% of cases the largest tank asked for is the best, so a larger one may be better still.", Share(d.Volumes[len(d.Volumes)-1].BestFrac))
		}
	}
	say("P90, P50, P10: exceeded in 9, 5 and 1 of 10 cases (the k-th lowest of n cases is undershot with k/(n+1)). For fuel, CO2 and cost the careful figure is P10.")
	say("Rank correlation (Spearman): of the input with what is saved over boilers alone, all inputs moving; 1 or -1 where the input alone decides, 0 where it does not matter.")
	say("Cases: seed %d; each input's range in %d parts of equal probability, each drawn once (Latin hypercube), the inputs independent of each other.", d.Seed, len(d.Cases))
	for _, out := range d.LeftOut {
		say("Left out: %s.", out)
	}
	for _, n := range d.Notes {
		list = append(list, sentence(n))
	}
	say("Every volume of every case is proven the least cost, with that year's sun and load known.")
	return list
}

func oftenSentence(d answer.Doubt) string {
	v := volumeOf(d, *d.OftenBestM3)
	earns := "saves"
	if d.Rule == answer.RulePays {
		earns = "saves less what it costs"
	}
	if v.VolumeM3 == 0 {
		return fmt.Sprintf("To have no tank is as good as the best in the most cases, %s %% of them.", Share(v.NearBestFrac))
	}
	return fmt.Sprintf("A tank of %s m³ is as good as the best in the most cases: in %s %% of them what it %s over no tank is within 1 %% of the best tank's.",
		Volume(v.VolumeM3), Share(v.NearBestFrac), earns)
}

func regretSentence(d answer.Doubt) string {
	v, verb, tank := volumeOf(d, *d.LeastRegretM3), "earns", "A tank of "+Volume(*d.LeastRegretM3)+" m³"
	if v.VolumeM3 == 0 {
		tank = "To have no tank"
	}
	if d.Rule == answer.RuleSaves {
		verb = "saves"
	}
	text := fmt.Sprintf("%s is never far off: in the worst of these cases (number %d) it %s %s %s a year less than the best tank of that case would, the least of all volumes (least regret).",
		tank, v.WorstCase, verb, Whole(v.MostRegret), d.Currency)
	if v.MostRegret == 0 {
		text = tank + " is the best in every case (no regret)."
	}
	if d.Rule == answer.RuleSaves {
		return text + " What a m³ costs is not given, so the tank that saves most counts as the best."
	}
	if d.AsWritten.StorePerM3 == nil {
		return text
	}
	return text + fmt.Sprintf(" One more m³ has to save %s %s a year to pay, as the scenario is written.", Whole(*d.AsWritten.StorePerM3), d.Currency)
}

func volumeOf(d answer.Doubt, m3 float64) answer.DoubtVolume {
	for _, v := range d.Volumes {
		if v.VolumeM3 == m3 {
			return v
		}
	}
	return answer.DoubtVolume{}
}

func doubtChart(d answer.Doubt) chart.Doubt {
	c := chart.Doubt{
		Title:    doubtFinding(d, func(v float64) string { return chart.Thousands(v, 0) }),
		Subtitle: fmt.Sprintf("%s; %d cases of %d unsure inputs, seed %d; every volume of every case is proven the least cost, with its sun and load known", d.Scenario, len(d.Cases), len(d.Inputs), d.Seed),
		Currency: d.Currency, SavingsName: "Savings against the same plant without a store",
		NearName: "Cases in which the tank earns within 1 % of the best", RegretName: "What it earns less than the best tank of the same case",
		OftenM3: *d.OftenBestM3, LeastM3: *d.LeastRegretM3,
	}
	if d.Rule == answer.RuleSaves {
		c.NearName, c.RegretName = "Cases in which the tank saves within 1 % of the best", "What it saves less than the best tank of the same case"
	}
	for _, v := range d.Volumes {
		s := v.SavingsVsNoStorage
		c.VolumesM3, c.Low, c.Mid, c.High = append(c.VolumesM3, v.VolumeM3), append(c.Low, *s.P90), append(c.Mid, *s.P50), append(c.High, *s.P10)
		c.NearPercent = append(c.NearPercent, 100*v.NearBestFrac)
		c.MeanRegret, c.MostRegret = append(c.MeanRegret, v.MeanRegret), append(c.MostRegret, v.MostRegret)
	}
	last := d.Volumes[len(d.Volumes)-1]
	at := func(v *float64) string {
		return fmt.Sprintf("%s %s at %s m³", chart.Thousands(*v, 0), d.Currency, Volume(last.VolumeM3))
	}
	s := last.SavingsVsNoStorage
	c.LowName, c.MidName, c.HighName = "9 of 10 cases (P90)", "half of cases (P50)", "1 of 10 cases (P10)"
	c.LowNote, c.MidNote, c.HighNote = at(s.P90), at(s.P50), at(s.P10)
	return c
}

// mostCauseRows is how many inputs are drawn; the tables and files have all.
const mostCauseRows = 24

func causesChart(d answer.Doubt) chart.Causes {
	c := chart.Causes{
		Subtitle: fmt.Sprintf("%s%s; each input alone from its low to its high end, the others in their middle; what matters most stands first", d.Scenario, doubtStore(d)),
		Name:     "Saved over boilers alone", Currency: d.Currency, Middle: d.Middle.SavingsVsBoilersOnly,
		MiddleName: fmt.Sprintf("all in their middle, %s %s", chart.Thousands(d.Middle.SavingsVsBoilersOnly, 0), d.Currency), SideName: "rank correlation with all moving",
	}
	first := d.Inputs[0]
	c.Title = fmt.Sprintf("What is saved hangs most on %s: %s %s a year from end to end", first.Name, chart.Thousands(first.Swing, 0), d.Currency)
	if first.Swing == 0 {
		c.Title = "Nothing of what is unsure moves what is saved"
	}
	show := func(x float64) string { return strconv.FormatFloat(100*x, 'g', 6, 64) + " %" }
	for _, in := range d.Inputs[:min(len(d.Inputs), mostCauseRows)] {
		row := chart.Cause{Name: in.Name, Range: inputRange(in) + ", " + in.Shape, AtLow: in.AtLow.SavingsVsBoilersOnly, AtHigh: in.AtHigh.SavingsVsBoilersOnly,
			LowTag: show(in.Low), HighTag: show(in.High), Side: strings.ReplaceAll(correlation(in), "-", "−")}
		if in.Shape == "years" {
			row.Range, row.LowTag, row.HighTag = in.Says, in.AtLow.Weather, in.AtHigh.Weather
		}
		c.Rows = append(c.Rows, row)
	}
	return c
}
