package answer

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// CompareOptions say how cases are compared. The zero value is good.
type CompareOptions struct {
	ToM3   float64 // largest volume of every curve; 0: each scenario's store.steps
	Engine string  // "clp" or "onestore"; empty: the program chooses
	Ranked bool    // after the first case, the cheapest first

	Progress func(done, of int) // called by several goroutines, one at a time; nil is silent
}

// Comparison is plants side by side, each against the first. Money is a year's, in Currency.
type Comparison struct {
	Cases []Compared `json:"cases"`

	Currency  string   `json:"currency"`
	Rule      string   `json:"best_volume_rule"`    // RulePays or RuleSaves, the same for all cases
	Threshold float64  `json:"worth_telling_share"` // the least change of fuel or cost that is told
	Ranked    bool     `json:"ranked"`
	Notes     []string `json:"notes"` // in what years or steps the cases differ
}

// How a best volume is found.
const (
	RulePays  = "the volume up to which the next m³ saves more in a year than it costs in a year"
	RuleSaves = "the volume that saves most; what a m³ costs is not given in every case"
)

// compareGapFrac is how certain the curves are, of their range: by a fifth fewer points than a curve alone, and none of
// it to be seen.
const compareGapFrac = 0.002

// Compared is one plant. All but the curve and the best volume holds with its store at VolumeM3.
type Compared struct {
	Name                 string   `json:"name"`
	AnnualCost           float64  `json:"annual_cost"`
	FuelKWh              float64  `json:"fuel_kWh"`
	CO2Kg                float64  `json:"co2_kg"`
	SolarFraction        float64  `json:"solar_fraction"`
	SpilledSunKWh        float64  `json:"spilled_sun_kWh"`
	SavingsVsBoilersOnly float64  `json:"savings_vs_boilers_only"`
	BestVolumeM3         *float64 `json:"best_volume_m3"` // null without a store; read off the curve's slopes
	Curve                []Point  `json:"curve"`          // as in `curve --json`; empty without a store

	VolumeM3        float64  `json:"volume_m3"` // the scenario's store.volume
	BestAtEdge      bool     `json:"best_at_edge"`
	StorePerM3      *float64 `json:"store_cost_per_m3_and_year"` // of the next m³ at VolumeM3; null where it is not given
	DemandKWh       float64  `json:"demand_kWh"`
	SunToHeaderKWh  float64  `json:"sun_to_header_kWh"`
	SunToStoreKWh   float64  `json:"sun_to_store_kWh"`
	StoreOutKWh     float64  `json:"store_out_kWh"`
	UnmetKWh        float64  `json:"unmet_kWh"`
	BoilersOnlyCost float64  `json:"boilers_only_cost"`
	NoStorageCost   float64  `json:"no_storage_cost"`
	Engine          string   `json:"engine"` // of the curve, empty without one
	CertifiedGap    float64  `json:"certified_gap"`
	Proof           Proof    `json:"proof"`
	Changes         []Change `json:"changes"`     // what a variant changes in the plant
	Differences     []Differ `json:"differences"` // against the first case, none for the first
	Sentences       []string `json:"sentences"`   // the differences in words; a printer fills them

	yearly storeYearly
}

// Change is one value that a variant gives otherwise; an empty text is a value that is not there.
type Change struct {
	Key  string `json:"key"`
	From string `json:"from"`
	To   string `json:"to"`
}

// Named is a case and what it is called in a comparison.
type Named struct {
	Name string
	Case scenarios.Case
}

// Compare solves every case and sets it beside the first, several at once. The error is as that of [Make], with the
// case's name; cases that count in different currencies are an error.
func Compare(ctx context.Context, cases []Named, opt CompareOptions) (Comparison, error) {
	if len(cases) < 2 {
		return Comparison{}, errors.New("compare: there is one plant; want two or more")
	}
	first := cases[0].Case
	for _, n := range cases[1:] {
		if n.Case.Currency != first.Currency {
			return Comparison{}, fmt.Errorf("compare: %s counts in %s and %s in %s; want one currency", cases[0].Name, first.Currency, n.Name, n.Case.Currency)
		}
	}
	all, err := solveAll(ctx, cases, opt)
	if err != nil {
		return Comparison{}, err
	}
	c := Comparison{Cases: all, Currency: first.Currency, Threshold: worthFrac, Ranked: opt.Ranked, Notes: yearNotes(cases)}
	c.bestVolumes()
	c.SetDifferences()
	if opt.Ranked {
		slices.SortStableFunc(c.Cases[1:], func(a, b Compared) int { return cmp.Compare(a.AnnualCost, b.AnnualCost) })
	}
	return c, nil
}

// solveAll works on as many cases at once as there are cores.
func solveAll(ctx context.Context, cases []Named, opt CompareOptions) ([]Compared, error) {
	out, errs := make([]Compared, len(cases)), make([]error, len(cases))
	var group sync.WaitGroup
	var one sync.Mutex
	next := make(chan int)
	parent := ctx
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	done := 0
	for range min(len(cases), runtime.GOMAXPROCS(0)) {
		group.Go(func() {
			for i := range next {
				if errs[i] = ctx.Err(); errs[i] == nil {
					out[i], errs[i] = compared(ctx, cases[i], opt)
				}
				if errs[i] != nil {
					stop() // one that cannot be had is the answer for all
				}
				one.Lock()
				if done++; opt.Progress != nil {
					opt.Progress(done, len(cases))
				}
				one.Unlock()
			}
		})
	}
	for i := range cases {
		next <- i
	}
	close(next)
	group.Wait()
	for i, err := range errs {
		if err != nil && !errors.Is(err, context.Canceled) {
			return nil, fmt.Errorf("%s: %w", cases[i].Name, err)
		}
	}
	return out, parent.Err()
}

// compared solves one case: its curve, and the year with its store as the scenario has it.
func compared(ctx context.Context, n Named, opt CompareOptions) (Compared, error) {
	c := n.Case
	out := Compared{Name: n.Name, Curve: []Point{}, Changes: []Change{}}
	for _, e := range c.Edits {
		out.Changes = append(out.Changes, changeOf(e))
	}
	if c.Store == nil {
		return out.withoutStore(ctx, c, opt.Engine)
	}
	a, err := Make(ctx, c, Options{ToM3: opt.ToM3, Engine: opt.Engine, GapFrac: compareGapFrac})
	if err != nil {
		return Compared{}, err
	}
	err = out.ofCurve(ctx, c, a, opt.Engine)
	return out, err
}

// ofCurve takes the year's figures from a curve, at the scenario's own volume.
func (out *Compared) ofCurve(ctx context.Context, c scenarios.Case, a Answer, engine string) error {
	out.Curve, out.VolumeM3 = a.Points, c.Store.VolumeM3
	out.BoilersOnlyCost, out.NoStorageCost = a.Baseline.BoilersOnlyCost, a.Baseline.NoStorageCost
	out.DemandKWh, out.Engine, out.CertifiedGap, out.Proof = a.DemandKWh, a.Engine, a.CertifiedGap, a.Proof
	if out.yearly = c.StoreYearly(); out.yearly != nil {
		_, price := out.yearly(out.VolumeM3)
		out.StorePerM3 = finite(price)
	}
	i := slices.IndexFunc(a.Points, func(p Point) bool { return p.VolumeM3 == out.VolumeM3 })
	if i >= 0 {
		out.at(a.Points[i])
		return nil
	}
	p, err := ProblemAt(c, out.VolumeM3)
	if err != nil {
		return err
	}
	return out.solve(ctx, c, p, a.Baseline, engine)
}

func (out Compared) withoutStore(ctx context.Context, c scenarios.Case, engine string) (Compared, error) {
	p, err := c.Problem()
	if err != nil {
		return Compared{}, err
	}
	boilers, err := boilersAlone(ctx, p, engine)
	if err != nil {
		return Compared{}, err
	}
	out.BoilersOnlyCost = boilers
	if err := out.solve(ctx, c, p, Baseline{BoilersOnlyCost: boilers}, engine); err != nil {
		return Compared{}, err
	}
	out.NoStorageCost = out.AnnualCost
	return out, nil
}

// solve takes the year's figures from the plan of one problem.
func (out *Compared) solve(ctx context.Context, c scenarios.Case, p optimize.Problem, base Baseline, engine string) error {
	s, proof, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if err != nil {
		return err
	}
	o := s.Outcome(p, proof)
	out.DemandKWh = o.DemandKWh
	out.Proof = Proof{max(out.Proof.PrimalResidual, proof.PrimalResidual), max(out.Proof.DualResidual, proof.DualResidual), max(out.Proof.DualityGap, proof.DualityGap)}
	out.at(pointOf(c, base, optimize.Point{VolumeM3: out.VolumeM3, Outcome: o}))
	return nil
}

func (out *Compared) at(p Point) {
	out.AnnualCost, out.FuelKWh, out.CO2Kg, out.SolarFraction = p.AnnualCost, p.FuelKWh, p.CO2Kg, p.SolarFraction
	out.SpilledSunKWh, out.SavingsVsBoilersOnly, out.UnmetKWh = p.SpilledSunKWh, p.SavingsVsBoilersOnly, p.UnmetKWh
	out.SunToHeaderKWh, out.SunToStoreKWh, out.StoreOutKWh = p.SunToHeaderKWh, p.SunToStoreKWh, p.StoreOutKWh
}

// yearNotes says where the cases count different years or steps: their costs are still a year's each.
func yearNotes(cases []Named) []string {
	notes := []string{}
	first := cases[0]
	for _, n := range cases[1:] {
		a, b := first.Case.Axis, n.Case.Axis
		if y, z := a.Start.Year(), b.Start.Year(); y != z {
			notes = append(notes, fmt.Sprintf("%s is of %d and %s of %d: other weekdays, and %d days beside %d", first.Name, y, n.Name, z, int(a.End().Sub(a.Start).Hours()/24), int(b.End().Sub(b.Start).Hours()/24)))
		}
		if a.Step != b.Step {
			notes = append(notes, fmt.Sprintf("%s has steps of %.0f min and %s of %.0f min: longer steps hide peaks", first.Name, a.Step.Minutes(), n.Name, b.Step.Minutes()))
		}
	}
	return notes
}
