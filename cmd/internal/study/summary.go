package study

import (
	"context"
	"fmt"
	"iter"
	"math"
	"slices"

	"noonkeep/cmd/internal/study/table"
)

// Summary is how the cases of a study lie: scenario by scenario, and all together where they can be compared. Money is a year's,
// but for the net present values, in the scenario's currency; sums of different currencies are never made.
type Summary struct {
	Study     string            `json:"study"` // its id
	Name      string            `json:"name"`
	Keys      []string          `json:"varied_keys"`
	Sampling  string            `json:"sampling"` // how the values were drawn; empty for the full grid
	Cases     int64             `json:"cases"`    // of the plan
	Done      int64             `json:"done"`     // that came: solved or set aside
	SetAside  int64             `json:"set_aside"`
	Scenarios []ScenarioSummary `json:"scenarios"` // in the plan's order
	All       AllSummary        `json:"all"`
	Reasons   []Reason          `json:"set_aside_reasons"` // the commonest first
	Moves     []Move            `json:"moves"`             // the key that moves the savings most first
	Estimator string            `json:"estimator"`         // what P10, P50 and P90 are
	Sample    string            `json:"sample"`            // what they are taken of where there are too many cases; else empty
}

// ScenarioSummary is one scenario in all its cases.
type ScenarioSummary struct {
	Name     string `json:"name"`
	Currency string `json:"currency"` // empty where no case was solved, and where cases differ in it, which leaves money out
	Cases    int64  `json:"cases"`
	Done     int64  `json:"done"`
	SetAside int64  `json:"set_aside"`
	BestRule string `json:"best_volume_rule"` // [BestPays] or [BestSaves]; empty where the rows do not tell

	SavingsVsNoStorage   *Spread `json:"savings_vs_no_storage"` // with the scenario's own store, as are the next
	SavingsFrac          *Spread `json:"savings_share_of_no_storage_cost"`
	SavingsVsBoilersOnly *Spread `json:"savings_vs_boilers_only"`
	SolarFraction        *Spread `json:"solar_fraction"`
	BestVolumeM3         *Spread `json:"best_volume_m3"`
	BestAtEdgeFrac       float64 `json:"best_at_edge_share"` // of the cases with a best volume: it is the largest asked for
	NPV                  *Spread `json:"npv"`                // of a store of the best volume, as the payback
	PaybackA             *Spread `json:"payback_a"`
	PlantNPV             *Spread `json:"plant_npv"`
	PlantPaybackA        *Spread `json:"plant_payback_a"`
	ReplayArrived        *Spread `json:"replay_arrived"`

	Curve *CurveSpread `json:"curve"` // of the first [MostShown] scenarios
	Moves []Move       `json:"moves"`
}

// AllSummary is all cases of all scenarios, each case of one weight: what can be compared whatever plants and currencies.
type AllSummary struct {
	SavingsFrac          *Spread      `json:"savings_share_of_no_storage_cost"`
	SavingsVsBoilersFrac *Spread      `json:"savings_share_of_boilers_only_cost"`
	SolarFraction        *Spread      `json:"solar_fraction"`
	BestVolumeM3         *Spread      `json:"best_volume_m3"`
	BestAtEdgeFrac       float64      `json:"best_at_edge_share"`
	PaybackA             *Spread      `json:"payback_a"`
	PlantPaybackA        *Spread      `json:"plant_payback_a"`
	ReplayArrived        *Spread      `json:"replay_arrived"`
	Curve                *CurveSpread `json:"curve"`
}

// MostShown is how many scenarios have a curve in the summary, and a row in text and picture.
const MostShown = 40

// outline is what a summary needs of a plan.
type outline struct {
	keys      []string
	scenarios []stretch
}

// stretch is one scenario with the cases that it has, which follow each other.
type stretch struct {
	name  string
	from  int64 // its first case
	cases int64
}

// end is the number after the last case.
func (o outline) end() int64 {
	last := o.scenarios[len(o.scenarios)-1]
	return last.from + last.cases
}

// scenarioOf is the place of the scenario that a case belongs to; near is tried first.
func (o outline) scenarioOf(n int64, near int) int {
	if p := o.scenarios[near]; n >= p.from && n < p.from+p.cases {
		return near
	}
	i, _ := slices.BinarySearchFunc(o.scenarios, n+1, func(p stretch, n int64) int {
		if p.from+p.cases < n {
			return -1
		}
		return 1
	})
	return i
}

// checkEvery is after how many rows the context is looked at.
const checkEvery = 4096

// summarise takes the rows in any order and gives the same whatever it is. Where they come by case number, which files of rows
// do, no more than one scenario's cases are held at a time.
func summarise(ctx context.Context, o outline, rows iter.Seq2[table.Row, error]) (Summary, error) {
	g := newGathering(o)
	near, count := 0, 0
	for r, err := range rows {
		if err != nil {
			return Summary{}, err
		}
		if count++; count%checkEvery == 0 && ctx.Err() != nil {
			return Summary{}, ctx.Err()
		}
		if err := g.see(r.Case); err != nil {
			return Summary{}, err
		}
		near = o.scenarioOf(r.Case, near)
		g.take(near, &r)
	}
	if err := ctx.Err(); err != nil {
		return Summary{}, err
	}
	return g.summary(), nil
}

// see notes that a case came, and refuses one that the plan does not have and one that came before.
func (g *gathering) see(n int64) error {
	if n < 0 || n >= g.outline.end() {
		return fmt.Errorf("case %d: is not of this study, which has %d cases; want its own rows", n, g.outline.end())
	}
	word, bit := n/64, uint64(1)<<(n%64)
	if g.seen[word]&bit != 0 {
		return fmt.Errorf("case %d: comes twice; want each case once", n)
	}
	g.seen[word] |= bit
	return nil
}

// share is part of whole, NaN where there is no whole.
func share(part, whole float64) float64 {
	if whole > 0 {
		return part / whole
	}
	return math.NaN()
}
