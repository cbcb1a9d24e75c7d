package report

import (
	"fmt"
	"math"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/chart"
)

// replaySentences say how good the plan is, how it was mended, what is odd and what the figures rest on.
func replaySentences(r answer.Replay) []string {
	var list []string
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	say("The plan as it ran is within %s %% of the best that any operator could do: no way of running this plant costs less than %s %s a year.",
		Share(r.Gap), Whole(r.Bound), r.Currency)
	if r.Ways[0].Arrived > 1.01 {
		say("More arrives than was promised where the program is more careful than the plant is: it charges the store as if always at its hottest, and draws steam as if always at its lowest pressure.")
	}
	list = append(list, orderSentences(r)...)
	list = append(list, mendingSentence(r.Mending))
	list = append(list, refusedSentences(r)...)
	if r.Unmet != "" {
		list = append(list, sentence(r.Unmet))
	}
	list = append(list, bestSentence(r))
	say("Played in steps of %g s. Mass closes to %s and energy to %s of what went in and out, the worst of all ways.", r.StepS, Tiny(r.MassResidual), Tiny(r.EnergyResidual))
	say("Sun within the hour: %s.", r.MinuteSun)
	if r.UsualYear != "" {
		say("Usual year, for guide line and forecast: %s.", r.UsualYear)
	}
	for _, n := range r.Notes {
		list = append(list, sentence(n))
	}
	return list
}

// tellFrac is a share of a cost or saving from which on a difference is worth a sentence; all of them stand in the JSON.
// Common practice, no source.
const tellFrac = 1e-3

// orderSentences say where a way costs more than one that knows less; or that all come to the same.
func orderSentences(r answer.Replay) []string {
	least, most := math.Inf(1), 0.0
	for _, way := range r.Ways {
		if way.Name != answer.WaySight {
			least, most = math.Min(least, way.AnnualCost), math.Max(most, way.AnnualCost)
		}
	}
	if most-least <= tellFrac*most {
		return []string{fmt.Sprintf("The four ways cost the same within %s %s a year: on this plant an operator loses next to nothing by having no sight of tomorrow.", Whole(math.Max(1, math.Ceil(most-least))), r.Currency)}
	}
	var list []string
	for _, o := range r.Order {
		list = append(list, sentence(o))
	}
	return list
}

func mendingSentence(m answer.Mending) string {
	if !m.Accepted {
		return sentence("the plan could not be mended so that the physics takes it whole: " + m.Why)
	}
	if len(m.Rounds) < 2 {
		return "The physics took the plan as it was."
	}
	first, last := m.Rounds[0], m.Rounds[len(m.Rounds)-1]
	left := "nothing was"
	if last.RefusedKWh > 0 {
		left = fmt.Sprintf("no more than %s kWh were", Whole(math.Ceil(last.RefusedKWh)))
	}
	return fmt.Sprintf("The physics refused %s of the first plan, %s kWh in all. It was tightened there and solved again, %s, until %s refused.",
		counted(first.RefusedH, "hour"), Whole(first.RefusedKWh), counted(len(m.Rounds)-1, "time"), left)
}

// refusedSentences name what was ordered by a way and not done, where it is worth a thousandth of what stores gave.
func refusedSentences(r answer.Replay) []string {
	var list []string
	for _, way := range r.Ways {
		var parts []string
		for _, x := range way.Refused {
			if x.KWh > 1e-3*math.Max(way.StoreOutKWh, 1) {
				parts = append(parts, fmt.Sprintf("%s, %s: %s kWh in %s", x.What, x.Why, Whole(x.KWh), counted(x.Hours, "hour")))
			}
		}
		if len(parts) > 0 {
			list = append(list, fmt.Sprintf("Ordered by the %s and not done: %s.", way.Name, strings.Join(parts, "; ")))
		}
	}
	return list
}

func bestSentence(r answer.Replay) string {
	if len(r.Volumes) == 0 {
		return "Other volumes were not played."
	}
	rule := "saves most"
	if r.Rule == answer.RulePays {
		rule = "pays: its last m³ still saves in a year what it costs in a year"
	}
	return fmt.Sprintf("The last column is the tank that %s, found from %d volumes played from %s to %s m³; those plans are not mended.",
		rule, len(r.Volumes), Volume(r.Volumes[0].VolumeM3), Volume(r.Volumes[len(r.Volumes)-1].VolumeM3))
}

// replayBars draws what each way saves over boilers alone, in two parts: what the sun does without a store, and what the store adds.
func replayBars(r answer.Replay) chart.Bars {
	alone := r.Baseline.BoilersOnlyCost - r.Baseline.NoStorageCost
	b := chart.Bars{
		Title:    replayFinding(r, func(v float64) string { return chart.Thousands(v, 0) }) + ".",
		Subtitle: fmt.Sprintf("%s; played in steps of %g s, savings against boilers alone in the same physics", r.Scenario, r.StepS),
		Name:     "Saves over boilers alone", Unit: r.Currency + "/a", Foot: "way of running",
		LineName: "promised by the plan of hours",
	}
	sun, store := chart.Layer{Name: "sun without a store", Kind: chart.SunLayer}, chart.Layer{Name: "added by the store", Kind: chart.StoreLayer}
	for _, way := range r.Ways {
		name := way.Name
		if name == answer.WaySight {
			name = "bound: perfect sight"
		}
		b.Labels = append(b.Labels, name)
		b.Notes = append(b.Notes, chart.Thousands(way.SavingsVsBoilersOnly, 0))
		sun.Values, store.Values = append(sun.Values, alone), append(store.Values, way.SavingsVsBoilersOnly-alone)
		b.Line = append(b.Line, r.PromisedSavings)
	}
	b.Layers = []chart.Layer{sun, store}
	return b
}

// replayCurves draws what a tank saves over no tank by each way, against its volume.
func replayCurves(r answer.Replay) chart.Compare {
	c := chart.Compare{
		Title: fmt.Sprintf("With %s m³ the plain rule saves %s %s a year over no tank; no way of running could save more than %s.", Volume(r.VolumeM3),
			chart.Thousands(wayNamed(r, answer.WayRule).SavingsVsNoStorage, 0), r.Currency, chart.Thousands(wayNamed(r, answer.WaySight).SavingsVsNoStorage, 0)),
		Subtitle:    fmt.Sprintf("%s; %d volumes played in steps of %g s, straight lines between them", r.Scenario, len(r.Volumes), r.StepS),
		Currency:    r.Currency,
		SavingsName: "Savings against the same plant without a store, played by the plain rule",
		MarkName:    "the tank that " + pays(r),
	}
	for j, way := range r.Ways {
		l := chart.Line{Name: way.Name, Note: fmt.Sprintf("%s %s/a with %s m³", chart.Thousands(way.SavingsVsNoStorage, 0), r.Currency, Volume(r.VolumeM3))}
		if way.Name == answer.WaySight {
			l.Name = "bound: perfect sight"
		}
		for _, v := range r.Volumes {
			l.VolumesM3, l.Savings = append(l.VolumesM3, v.VolumeM3), append(l.Savings, r.Baseline.NoStorageCost-v.Costs[j])
		}
		l.MarkM3 = way.BestVolumeM3
		c.Lines = append(c.Lines, l)
	}
	return c
}
