package study

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/study/table"
	"noonkeep/scenarios"
)

// Fetch gives an input by its SHA-256 in hex.
type Fetch func(ctx context.Context, hash string) ([]byte, error)

// Bench solves cases of one plan. Scenarios and weather years are kept from one case to the next, so that neighbours cost
// little but their solving. It is for one goroutine at a time.
type Bench struct {
	plan  Plan
	fetch Fetch
	years []*year // lately used first

	ctx     context.Context // of the case at work, for the files that it opens
	missing error           // an input that could not be fetched
}

// year is a scenario in one of its weather years, as its text has it.
type year struct {
	scenario, weather int
	text              []byte
	c                 scenarios.Case
	err               error // why it cannot be had: of each of its cases
}

// mostYears are kept at once: a year takes some 3 MB.
const mostYears = 4

// NewBench gives a bench for a plan; fetch gives its inputs.
func NewBench(p Plan, fetch Fetch) *Bench { return &Bench{plan: p, fetch: fetch} }

// Run solves case n, from 0 to N-1. A case that cannot be solved is a row with the reason in Error; an error is ctx's, or says
// that an input could not be fetched. The same case gives the same row, to the last bit, on processors of one kind.
func (b *Bench) Run(ctx context.Context, n int64) (row table.Row, err error) {
	b.ctx, b.missing = ctx, nil
	defer func() {
		if x := recover(); x != nil {
			b.years = nil // they may be half made
			row, err = b.SetAside(n, "a fault of the program: "+firstLine(fmt.Sprint(x))), nil
		}
	}()
	c := b.plan.Case(n)
	row = b.blank(c)
	failed := b.solve(ctx, c, &row)
	switch {
	case ctx.Err() != nil:
		return table.Row{}, ctx.Err()
	case b.missing != nil:
		b.years = nil // one may have been kept with this as its fault
		return table.Row{}, b.missing
	case failed != nil:
		return b.SetAside(n, oneLine(failed)), nil
	}
	return row, nil
}

// SetAside is the row of a case that has no figures, for a reason.
func (b *Bench) SetAside(n int64, why string) table.Row {
	row := b.blank(b.plan.Case(n))
	row.Error = why
	return row
}

// blank is a case's row without figures.
func (b *Bench) blank(c Case) table.Row {
	s := b.plan.Scenarios[c.Scenario]
	row := table.Blank(c.Number)
	row.Scenario, row.Weather, row.Inputs = s.Name, s.Weather[c.Weather].Name, c.Values
	return row
}

func (b *Bench) solve(ctx context.Context, c Case, row *table.Row) error {
	y, err := b.year(ctx, c)
	if err != nil {
		return err
	}
	plant := y.c
	if settings := b.values(c); len(settings) > 0 {
		s := b.plan.Scenarios[c.Scenario]
		text, err := scenarios.Rewrite(s.File, y.text, settings...)
		if err != nil {
			return err
		}
		if plant, err = scenarios.ParseLike(s.File, text, b.open(c.Scenario), y.c); err != nil {
			return err
		}
	}
	return b.figures(ctx, plant, row)
}

// values are the settings of the varied keys.
func (b *Bench) values(c Case) []scenarios.Setting {
	all := b.plan.Settings(c)
	return all[len(all)-len(b.plan.Keys):]
}

// year gives a case's scenario in its weather year, from those kept or made anew.
func (b *Bench) year(ctx context.Context, c Case) (*year, error) {
	for i, y := range b.years {
		if y.scenario == c.Scenario && y.weather == c.Weather {
			copy(b.years[1:i+1], b.years[:i])
			b.years[0] = y
			return y, y.err
		}
	}
	y := &year{scenario: c.Scenario, weather: c.Weather}
	y.err = b.make(ctx, c, y)
	if ctx.Err() == nil && b.missing == nil {
		b.years = append([]*year{y}, b.years[:min(len(b.years), mostYears-1)]...)
	}
	return y, y.err
}

// make reads a scenario in one of its weather years; another year of the same scenario lends what does not hang on it.
func (b *Bench) make(ctx context.Context, c Case, y *year) error {
	s := b.plan.Scenarios[c.Scenario]
	text, err := b.fetch(ctx, s.Text)
	if err != nil {
		b.missing = err
		return err
	}
	all := b.plan.Settings(c)
	if weather := all[:len(all)-len(b.plan.Keys)]; len(weather) > 0 {
		if text, err = scenarios.Rewrite(s.File, text, weather...); err != nil {
			return err
		}
	}
	y.text = text
	if other := b.sameScenario(c.Scenario); other != nil && s.Weather[c.Weather].Seed != nil {
		y.c = other.c
	} else if y.c, err = scenarios.Parse(s.File, text, b.open(c.Scenario)); err != nil {
		return err
	}
	if seed := s.Weather[c.Weather].Seed; seed != nil {
		y.c, err = y.c.WithSeed(*seed)
	}
	return err
}

func (b *Bench) sameScenario(scenario int) *year {
	for _, y := range b.years {
		if y.scenario == scenario && y.err == nil {
			return y
		}
	}
	return nil
}

// open gives the files that a scenario of the plan names, and no others.
func (b *Bench) open(scenario int) scenarios.Open {
	files := b.plan.Scenarios[scenario].Files
	return func(name string) (io.ReadCloser, error) {
		hash, has := files[name]
		if !has {
			return nil, errors.New("is not among the files that the study's scenarios name; give it in the scenario")
		}
		data, err := b.fetch(b.ctx, hash)
		if err != nil {
			b.missing = err
			return nil, err
		}
		return seekable(data), nil
	}
}

// figures solves a plant and fills the row with what is kept.
func (b *Bench) figures(ctx context.Context, c scenarios.Case, row *table.Row) error {
	keep := b.plan.Keep
	x, err := answer.SolveCase(ctx, c, answer.CaseOptions{Curve: keep.Curve || keep.Size, Money: keep.Worth})
	if err != nil {
		return err
	}
	row.Currency, row.Engine = c.Currency, x.Engine
	row.VolumeM3, row.AnnualCost, row.BoilersOnlyCost, row.NoStorageCost = x.VolumeM3, x.AnnualCost, x.BoilersOnlyCost, x.NoStorageCost
	row.SavingsVsBoilersOnly, row.SavingsVsNoStorage = x.SavingsVsBoilersOnly, x.NoStorageCost-x.AnnualCost
	row.SolarFraction, row.DemandKWh, row.FuelKWh, row.CO2Kg = x.SolarFraction, x.DemandKWh, x.FuelKWh, x.CO2Kg
	row.SpilledSunKWh, row.UnmetKWh, row.DualityGap = x.SpilledSunKWh, x.UnmetKWh, x.Proof.DualityGap
	if len(x.Curve) > 0 {
		row.CertifiedGap = x.CertifiedGap
	}
	if keep.Curve {
		for _, p := range x.Curve {
			row.Curve = append(row.Curve, table.Point{VolumeM3: p.VolumeM3, SavingsVsNoStorage: p.SavingsVsNoStorage, MarginalSavingsPerM3: p.MarginalSavingsPerM3, UpperBound: p.UpperBound})
		}
	}
	if (keep.Size || keep.Worth) && x.BestVolumeM3 != nil {
		row.BestVolumeM3, row.BestAtEdge = *x.BestVolumeM3, 0
		if x.BestAtEdge {
			row.BestAtEdge = 1
		}
	}
	if x.Money != nil {
		row.NPV, row.PaybackA, row.IRR = earned(x.Money.Tank)
		row.PlantNPV, row.PlantPaybackA, row.PlantIRR = earned(x.Money.Plant)
	}
	if keep.Replay {
		return replayed(ctx, c, row)
	}
	return nil
}

// earned takes what a row has of a project; NaN for what cannot be said.
func earned(e *answer.Earned) (npv, paybackA, irr float64) {
	if e == nil {
		return math.NaN(), math.NaN(), math.NaN()
	}
	return e.NPV, orNaN(e.PaybackA), orNaN(e.IRR)
}

func orNaN(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}

// replayed plays the plant by the minute with its own store.
func replayed(ctx context.Context, c scenarios.Case, row *table.Row) error {
	r, err := answer.PlayYear(ctx, c, answer.ReplayOptions{Volumes: -1})
	if err != nil {
		return err
	}
	row.ReplayBoundCost = r.Bound
	for _, w := range r.Ways {
		switch w.Name {
		case answer.WayPlan:
			row.ReplayPlanCost, row.ReplayArrived = w.AnnualCost, w.Arrived
		case answer.WayRule:
			row.ReplayRuleCost = w.AnnualCost
		case answer.WayRolling:
			row.ReplayRollingCost = w.AnnualCost
		}
	}
	return nil
}

// oneLine is an error as it stands in a row.
func oneLine(err error) string {
	return strings.Join(strings.FieldsFunc(err.Error(), func(r rune) bool { return r == '\n' || r == '\r' }), "; ")
}

func firstLine(s string) string {
	first, _, _ := strings.Cut(s, "\n")
	return first
}
