package report

import (
	"fmt"
	"io"
	"strings"

	"noonkeep/cmd/internal/answer"
)

// ReplayText prints a plant played by the minute for a person: the finding, the ways beside each other, how far the plan
// lies from the best there can be and why, and what it rests on.
func ReplayText(w io.Writer, r answer.Replay) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", r.Scenario)
	paragraphAt(&b, "", replayFinding(r, Whole)+".")
	b.WriteString("\n")
	waysTable(&b, r)
	b.WriteString("\n")
	for _, s := range replaySentences(r) {
		paragraphAt(&b, "", s)
	}
	if len(r.Causes) > 0 {
		b.WriteString("\nWhat the plan's distance is made of: the mended plan on a plant freed of one thing at a time\n\n")
		causesTable(&b, r)
	}
	if len(r.Forecast) > 0 {
		b.WriteString("\nHow far the rolling plan's forecasts were off\n\n")
		forecastTable(&b, r)
	}
	b.WriteString("\nThe ways\n")
	for _, way := range r.Ways {
		fmt.Fprintf(&b, "  %s\n", way.Name)
		hanging(&b, "    ", r.Method[way.Name]+".")
	}
	fmt.Fprintf(&b, "\n%s\n", Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func waysTable(w io.Writer, r answer.Replay) {
	cur := r.Currency
	t := table{names: 1, head: [][]string{
		{"way of running", "year's", "saves over", "of what was", "saves over", "heat", "boiler", "tank that"},
		{"", "cost", "boilers alone", "promised", "no store", "missing", "starts", pays(r)},
		{"", cur, cur, "%", cur, "kWh", "", "m³"},
	}}
	for _, way := range r.Ways {
		row := []string{way.Name, Whole(way.AnnualCost), Whole(way.SavingsVsBoilersOnly), promisedShare(r, way), Whole(way.SavingsVsNoStorage),
			Whole(way.UnmetKWh), fmt.Sprint(way.BoilerStarts), bestCell(r, way)}
		if way.Name == answer.WaySight {
			row[0], row[5], row[6] = "the bound", "-", "-"
		}
		t.rows = append(t.rows, row)
	}
	b := r.Baseline
	t.rows = append(t.rows,
		[]string{"no store", Whole(b.NoStorageCost), Whole(b.BoilersOnlyCost - b.NoStorageCost), "-", "0", Whole(b.NoStorageUnmetKWh), fmt.Sprint(b.NoStorageStarts), "-"},
		[]string{"boilers alone", Whole(b.BoilersOnlyCost), "0", "-", "-", Whole(b.BoilersOnlyUnmetKWh), fmt.Sprint(b.BoilersOnlyStarts), "-"})
	t.write(w)
}

func pays(r answer.Replay) string {
	if r.Rule == answer.RulePays {
		return "pays"
	}
	return "saves most"
}

func promisedShare(r answer.Replay, w answer.Way) string {
	if r.PromisedSavings <= 0 {
		return "-"
	}
	return Share(w.Arrived)
}

func bestCell(r answer.Replay, w answer.Way) string {
	switch {
	case len(r.Volumes) == 0:
		return "-"
	case w.BestAtEdge:
		return shortM3(w.BestVolumeM3) + " or more"
	}
	return shortM3(w.BestVolumeM3)
}

func causesTable(w io.Writer, r answer.Replay) {
	t := table{names: 1, head: [][]string{{"", r.Currency, "of the cost, %"}}}
	for _, c := range r.Causes {
		const width = 66
		lines := broken(c.Name, width)
		for _, line := range lines[:len(lines)-1] {
			t.rows = append(t.rows, []string{line, "", ""})
		}
		t.rows = append(t.rows, []string{lines[len(lines)-1], Whole(c.Cost), Share(c.Frac)})
	}
	t.write(w)
}

func forecastTable(w io.Writer, r answer.Replay) {
	t := table{names: 1, head: [][]string{
		{"hours", "sun, kW", "mean", "typical", "load, kW", "mean", "typical"},
		{"ahead", "mean", "error", "error", "mean", "error", "error"},
	}}
	for _, f := range r.Forecast {
		t.rows = append(t.rows, []string{fmt.Sprintf("%g to %g", f.FromH, f.ToH), Whole(f.SunMeanKW), Whole(f.SunBiasKW), Whole(f.SunRMSEKW),
			Whole(f.LoadMeanKW), Whole(f.LoadBiasKW), Whole(f.LoadRMSEKW)})
	}
	t.write(w)
	fmt.Fprintln(w, "  The typical error is the root of the mean square; sun is counted in hours with light.")
}

// replayFinding says in a sentence what of the promise arrives.
func replayFinding(r answer.Replay, money func(float64) string) string {
	plan, rule, rolling := r.Ways[0], wayNamed(r, answer.WayRule), wayNamed(r, answer.WayRolling)
	if r.PromisedSavings <= 0 {
		return fmt.Sprintf("Sun and a tank of %s m³ promise no saving over boilers alone", Volume(r.VolumeM3))
	}
	return fmt.Sprintf("Of %s %s a year that the plan promises with %s m³, %s %% arrive when it is followed, %s %% by the plain rule, %s %% with a forecast",
		money(r.PromisedSavings), r.Currency, Volume(r.VolumeM3), Share(plan.Arrived), Share(rule.Arrived), Share(rolling.Arrived))
}

func wayNamed(r answer.Replay, name string) answer.Way {
	for _, w := range r.Ways {
		if w.Name == name {
			return w
		}
	}
	return answer.Way{}
}
