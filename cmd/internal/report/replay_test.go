package report

import (
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
)

// playedYear is a made-up answer in which the ways differ.
func playedYear() answer.Replay {
	way := func(name string, cost float64, starts int) answer.Way {
		return answer.Way{Name: name, AnnualCost: cost, SavingsVsBoilersOnly: 1000 - cost, SavingsVsNoStorage: 800 - cost, Arrived: (1000 - cost) / 400,
			BoilerStarts: starts, BestVolumeM3: 40, StoreOutKWh: 100}
	}
	r := answer.Replay{PromisedSavings: 400, Bound: 560, Gap: 0.0667, Scenario: "a made-up works", Currency: "EUR", VolumeM3: 40, StepS: 60,
		Ways: []answer.Way{way(answer.WayPlan, 600, 12), way(answer.WayRule, 650, 20), way(answer.WayGuide, 640, 18), way(answer.WayRolling, 620, 14),
			way(answer.WaySight, 560, 0)},
		Baseline: answer.PlayedBaseline{BoilersOnlyCost: 1000, NoStorageCost: 800, NoStorageStarts: 30, BoilersOnlyStarts: 2},
		Method:   map[string]string{answer.WayPlan: "how the plan runs"},
		Mending:  answer.Mending{Accepted: true, Rounds: []answer.MendingRound{{RefusedH: 1, RefusedKWh: 3.2, Tightened: "1 hour"}, {}}},
		Causes: []answer.Cause{{Name: "lowest fire of the boilers", Cost: 30, Frac: 0.05},
			{Name: "left: a cause of a name that is so long that it would run over the right edge of any page that is 100 columns wide", Cost: 10, Frac: 0.0167}},
		Forecast: []answer.ForecastError{{FromH: 0, ToH: 3, SunRMSEKW: 12, SunMeanKW: 80}},
		Order:    []string{"plan costs more than a wish"},
		Unmet:    "heat missing is counted"}
	r.Ways[0].Refused = []answer.Refused{{What: "store", Why: "store full", Hours: 1, KWh: 50}}
	return r
}

// The page has every figure under its head, in 100 columns, and says what stands apart.
func TestReplayText(t *testing.T) {
	var b strings.Builder
	if err := ReplayText(&b, playedYear()); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for line := range strings.Lines(text) {
		if n := len([]rune(strings.TrimRight(line, "\n"))); n > 100 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	joined := strings.Join(strings.Fields(text), " ")
	for _, want := range []string{
		"Of 400 EUR a year that the plan promises with 40 m³, 100.0 % arrive when it is followed, 87.5 % by the plain rule, 95.0 % with a forecast.",
		"plain rule 650 350 87.5 150 0 20 -", // 1000-650, 350/400, 800-650
		"the bound 560 440 110.0 240 - - -",
		"no store 800 200 - 0 0 30 -",
		"boilers alone 1 000 0 - - 0 2 -",
		"within 6.7 % of the best that any operator could do: no way of running this plant costs less than 560 EUR a year.",
		"The physics refused 1 hour of the first plan, 3 kWh in all. It was tightened there and solved again, 1 time, until nothing was refused.",
		"Ordered by the plan and not done: store, store full: 50 kWh in 1 hour.",
		"Plan costs more than a wish.",
		"Heat missing is counted.",
		"Other volumes were not played.",
		"lowest fire of the boilers 30 5.0",
		"0 to 3 80 0 12",
		Cautions[:40],
	} {
		if !strings.Contains(joined, strings.Join(strings.Fields(want), " ")) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// Ways that cost the same are said to, and a plan that could not be mended is not hidden.
func TestReplayTextOfLikeWays(t *testing.T) {
	r := playedYear()
	for i := range r.Ways[:4] {
		r.Ways[i].AnnualCost = 600
	}
	r.Mending = answer.Mending{Why: "7 hours are still refused"}
	r.PromisedSavings = 0
	joined := strings.Join(replaySentences(r), " ")
	for _, want := range []string{"The four ways cost the same within 1 EUR a year", "The plan could not be mended so that the physics takes it whole: 7 hours are still refused."} {
		if !strings.Contains(joined, want) {
			t.Errorf("no %q in %s", want, joined)
		}
	}
	if got, want := replayFinding(r, Whole), "Sun and a tank of 40 m³ promise no saving over boilers alone"; got != want {
		t.Errorf("got %q; want %q", got, want)
	}
	if err := replayBars(r).Check(); err != nil {
		t.Error(err)
	}
}
