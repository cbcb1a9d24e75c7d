package answer

import (
	"context"
	"fmt"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// CaseOptions say what is worked out of one case among many. The zero value is the year with the scenario's own store.
type CaseOptions struct {
	Curve bool // the curve too, and the best volume on it
	Money bool // and what that volume earns
}

// OneCase is a plant as one of many: the year with its own store beside both baselines, and what else was asked for.
type OneCase struct {
	Compared
	Money *PointMoney // with the best volume; nil where it was not asked for or has nothing to count
}

// SolveCase solves one case of many. The error is as that of [Make].
func SolveCase(ctx context.Context, c scenarios.Case, opt CaseOptions) (OneCase, error) {
	out := OneCase{Compared: Compared{Name: c.Name, Curve: []Point{}, Changes: []Change{}}}
	var err error
	switch {
	case c.Store == nil:
		out.Compared, err = out.withoutStore(ctx, c, "")
	case opt.Curve || opt.Money:
		err = out.curve(ctx, c, opt)
	default:
		err = out.own(ctx, c)
	}
	return out, err
}

// own solves the scenario's volume and the baselines, and nothing else.
func (out *OneCase) own(ctx context.Context, c scenarios.Case) error {
	p, err := c.Problem()
	if err != nil {
		return err
	}
	var base Baseline
	if base.BoilersOnlyCost, err = boilersAlone(ctx, p, ""); err != nil {
		return err
	}
	s, _, err := optimize.Plan(ctx, p.Without(c.StoreAt()), optimize.Options{})
	if err != nil {
		return fmt.Errorf("without the store: %w", err)
	}
	base.NoStorageCost = s.Cost
	out.VolumeM3, out.BoilersOnlyCost, out.NoStorageCost = c.Store.VolumeM3, base.BoilersOnlyCost, base.NoStorageCost
	return out.solve(ctx, c, p, base, "")
}

// curve solves the curve, and reads the best volume off it.
func (out *OneCase) curve(ctx context.Context, c scenarios.Case, opt CaseOptions) error {
	a, err := Make(ctx, c, Options{})
	if err != nil {
		return err
	}
	if err := out.ofCurve(ctx, c, a, ""); err != nil {
		return err
	}
	best, edge := bestPaying(a.Points, out.yearly)
	out.BestVolumeM3, out.BestAtEdge = &best, edge
	if !opt.Money {
		return nil
	}
	p, err := ProblemAt(c, best)
	if err != nil {
		return err
	}
	s, proof, err := optimize.Plan(ctx, p, optimize.Options{})
	if err != nil {
		return err
	}
	out.Money, err = a.MoneyAt(c, pointOf(c, a.Baseline, optimize.Point{VolumeM3: best, Outcome: s.Outcome(p, proof)}))
	return err
}
