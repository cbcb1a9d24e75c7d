package answer

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"noonkeep/scenarios"
)

// describe works out all that is said of the runs together.
func (d *Doubt) describe(w *doubtWork) {
	first := w.firstCase()
	d.AsWritten, d.Middle = w.found[runAsWritten].figures, w.found[runMiddle].figures
	d.Engine, d.EngineWhy = w.found[runMiddle].engine, w.found[runMiddle].engineWhy
	for _, f := range w.found {
		d.Proof = Proof{max(d.Proof.PrimalResidual, f.proof.PrimalResidual), max(d.Proof.DualResidual, f.proof.DualResidual), max(d.Proof.DualityGap, f.proof.DualityGap)}
	}
	cases := w.found[first:]
	d.ends(w)
	d.spreads(cases)
	d.volumes(w, cases)
	d.sorted(w)
	d.notes(w)
}

// ends sets what each input does when it moves alone, and how it goes with the savings over all cases.
func (d *Doubt) ends(w *doubtWork) {
	at, first := runEnds, w.firstCase()
	years := w.found[first-len(w.years) : first]
	var saved []float64
	for _, f := range w.found[first:] {
		saved = append(saved, f.figures.SavingsVsBoilersOnly)
	}
	for k := range d.Inputs {
		in := &d.Inputs[k]
		var moved []float64
		if in.unsure.What == scenarios.UnsureWeather {
			low, high := years[0], years[0]
			for _, y := range years {
				if y.figures.SavingsVsBoilersOnly < low.figures.SavingsVsBoilersOnly {
					low = y
				}
				if y.figures.SavingsVsBoilersOnly > high.figures.SavingsVsBoilersOnly {
					high = y
				}
			}
			in.AtLow, in.AtHigh = low.figures, high.figures
			for _, r := range w.runs[first:] {
				moved = append(moved, years[r.year].figures.SavingsVsBoilersOnly)
			}
		} else {
			in.AtLow, in.AtHigh = w.found[at].figures, w.found[at+1].figures
			at += 2
			for _, r := range w.runs[first:] {
				moved = append(moved, r.times[k])
			}
		}
		in.Swing = math.Abs(in.AtHigh.SavingsVsBoilersOnly - in.AtLow.SavingsVsBoilersOnly)
		if rho, ok := rankCorrelation(moved, saved); ok {
			in.RankCorrelation = &rho
		}
	}
}

// spreads describes the figures of the cases.
func (d *Doubt) spreads(cases []doubtFound) {
	of := func(value func(DoubtFigures) float64) Spread {
		var v []float64
		for _, x := range cases {
			v = append(v, value(x.figures))
		}
		return spreadOf(v)
	}
	d.Spread = DoubtSpread{
		SavingsVsBoilersOnly: of(func(x DoubtFigures) float64 { return x.SavingsVsBoilersOnly }),
		SavingsVsNoStorage:   of(func(x DoubtFigures) float64 { return x.SavingsVsNoStorage }),
		AnnualCost:           of(func(x DoubtFigures) float64 { return x.AnnualCost }),
		SolarFraction:        of(func(x DoubtFigures) float64 { return x.SolarFraction }),
		FuelKWh:              of(func(x DoubtFigures) float64 { return x.FuelKWh }),
		CO2Kg:                of(func(x DoubtFigures) float64 { return x.CO2Kg }),
	}
	if cases[0].figures.BestVolumeM3 != nil {
		best := of(func(x DoubtFigures) float64 { return *x.BestVolumeM3 })
		d.Spread.BestVolumeM3 = &best
	}
}

// volumes describes the volumes that all cases were solved at, and picks the two that are told of.
func (d *Doubt) volumes(w *doubtWork, cases []doubtFound) {
	if len(w.volumes) == 0 {
		return
	}
	var net [][]float64
	for _, x := range cases {
		net = append(net, x.net)
	}
	for j, r := range regrets(net) {
		var saved, alone []float64
		for _, x := range cases {
			saved = append(saved, x.savings[j])
			noStore := x.figures.SavingsVsBoilersOnly - x.figures.SavingsVsNoStorage // the same at any volume
			alone = append(alone, noStore+x.savings[j])
		}
		d.Volumes = append(d.Volumes, DoubtVolume{VolumeM3: w.volumes[j], SavingsVsNoStorage: spreadOf(saved), SavingsVsBoilersOnly: spreadOf(alone),
			BestFrac: r.best, NearBestFrac: r.near, MeanRegret: r.mean, Regret90: r.tenth, MostRegret: r.most, WorstCase: r.worst + 1})
	}
	often, least := 0, 0
	for j, v := range d.Volumes {
		if v.NearBestFrac > d.Volumes[often].NearBestFrac {
			often = j
		}
		if v.MostRegret < d.Volumes[least].MostRegret {
			least = j
		}
	}
	d.OftenBestM3, d.LeastRegretM3 = &d.Volumes[often].VolumeM3, &d.Volumes[least].VolumeM3
	d.AtEdge = d.Volumes[len(d.Volumes)-1].BestFrac > 0
}

// regretOf is how one choice fares in all cases.
type regretOf struct {
	best, near        float64 // shares of the cases
	mean, tenth, most float64
	worst             int // the case of the most
}

// nearBest is the share of the best earnings that is as good.
const nearBest = 0.99

// regrets compares choices over cases, by what each earns: [case][choice]. Of equal choices the first is the best.
func regrets(earned [][]float64) []regretOf {
	out := make([]regretOf, len(earned[0]))
	by := make([][]float64, len(out))
	n := float64(len(earned))
	for i, row := range earned {
		most := slices.Max(row)
		out[slices.Index(row, most)].best++
		for j, x := range row {
			// Savage, Journal of the American Statistical Association 46 (1951) 55: what is lost against the best of the same case.
			regret := most - x
			by[j] = append(by[j], regret)
			r := &out[j]
			if regret <= (1-nearBest)*math.Abs(most) {
				r.near++
			}
			if r.mean += regret / n; regret > r.most {
				r.most, r.worst = regret, i
			}
		}
	}
	for j := range out {
		out[j].best, out[j].near = out[j].best/n, out[j].near/n
		out[j].tenth = quantile(slices.Sorted(slices.Values(by[j])), exceeded(10))
	}
	return out
}

// sorted puts what matters most first, and the cases' inputs in the same order.
func (d *Doubt) sorted(w *doubtWork) {
	order := make([]int, len(d.Inputs))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d.Inputs[b].Swing, d.Inputs[a].Swing) })
	inputs := make([]DoubtInput, len(order))
	for at, k := range order {
		inputs[at] = d.Inputs[k]
	}
	d.Inputs = inputs
	first := w.firstCase()
	for i, r := range w.runs[first:] {
		c := DoubtCase{Case: i + 1, DoubtFigures: w.found[first+i].figures, Savings: w.found[first+i].savings, Times: make([]float64, len(order))}
		for at, k := range order {
			c.Times[at] = r.times[k]
		}
		d.Cases = append(d.Cases, c)
	}
}

// notes says what the spread stands for, and what it leaves out.
func (d *Doubt) notes(w *doubtWork) {
	say := func(format string, args ...any) { d.Notes = append(d.Notes, fmt.Sprintf(format, args...)) }
	if d.Assumed {
		say("the scenario has no section doubt, so these ranges were taken, which are common practice and have no source: %s", scenarios.UnsureText(w.unsure))
	}
	if len(w.years) == 0 {
		say("the weather is that of the scenario's one year in every case")
	} else if _, generated := w.base.Seed(); generated && w.base.BetweenYears() == 0 {
		say("every generated year has the monthly means exactly, and so differs less than real years do; where the site's years are known to differ by so many percent, write weather.monthly.between_years")
	}
	if worst := slices.MaxFunc(w.found[w.firstCase():], func(a, b doubtFound) int { return cmp.Compare(a.figures.UnmetKWh, b.figures.UnmetKWh) }); worst.figures.UnmetKWh > 0 {
		say("up to %.4g kWh a year is not met in some cases, at the price of unmet heat", worst.figures.UnmetKWh)
	}
}
