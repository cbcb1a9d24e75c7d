package answer

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"noonkeep/optimize"
	"noonkeep/optimize/replay"
	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// ReplayOptions say how a plant is played. The zero value is good.
type ReplayOptions struct {
	VolumeM3 *float64            // nil: the scenario's
	StepS    float64             // 0: 60
	Seed     *uint64             // of the clouds within hours; nil: the weather's own, or 7
	Volumes  int                 // how many sizes of the store are tried for the best; 0: 7, or 4 of a plant for Clp; below 0: none, and BestVolumeM3 is the volume played
	Progress func(done, all int) // after each size of the store; never twice at once
}

var errReplayStore = fmt.Errorf("replay: %w", ErrNoStore)

// PlayYear plays the plant.
func PlayYear(ctx context.Context, c scenarios.Case, opt ReplayOptions) (Replay, error) {
	if c.Store == nil {
		return Replay{}, fmt.Errorf("%s: %w", c.File, errReplayStore)
	}
	return play(ctx, c, opt)
}

// ways are all, in the order of the answer.
func ways() []string { return []string{WayPlan, WayRule, WayGuide, WayRolling, WaySight} }

// play plays everything.
func play(ctx context.Context, c scenarios.Case, opt ReplayOptions) (Replay, error) {
	s, err := stageOf(c, opt)
	if err != nil {
		return Replay{}, err
	}
	volume := c.Store.VolumeM3
	if opt.VolumeM3 != nil {
		volume = *opt.VolumeM3
	}
	out := Replay{Scenario: c.Name, Currency: c.Currency, VolumeM3: volume, StepS: s.m.plant.StepS, Seed: s.m.seed, MinuteSun: s.m.sun,
		Axis: clock.Axis{Start: c.Axis.Start, Step: 60 * 60 * 1e9, N: c.Axis.N / s.t.perHour}, Warnings: notes(c), Forecast: s.f.errors(),
		Causes: []Cause{}, Order: []string{}, Volumes: []PlayedVolume{}}
	x, err := s.ready(ctx, volume, true)
	if err != nil {
		return Replay{}, err
	}
	if err := s.baselines(ctx, x, &out); err != nil {
		return Replay{}, err
	}
	out.Program.PlanCost, out.Program.LowerBound, out.Program.OnOff = x.plan.Cost, x.lower, x.on != nil
	out.PromisedSavings = out.Program.BoilersOnlyCost - x.plan.Cost
	if err := s.ways(ctx, x, &out); err != nil {
		return Replay{}, err
	}
	if err := s.volumes(ctx, x, &out, opt); err != nil {
		return Replay{}, err
	}
	if out.Gap > causesFrom {
		if err := s.causes(ctx, x, &out); err != nil {
			return Replay{}, err
		}
	}
	s.says(x, &out)
	return out, nil
}

// ready is a set with its plan and its usual year solved.
func (s *stage) ready(ctx context.Context, volumeM3 float64, onOff bool) (*set, error) {
	x, err := s.at(volumeM3)
	if err != nil {
		return nil, err
	}
	if err := s.solve(ctx, x, onOff); err != nil {
		return nil, err
	}
	if x.p.Stores[s.c.StoreAt()].CapacityKWh > 0 {
		err = x.usual.solve(ctx, s.c.Axis, s.engine)
	}
	return x, err
}

// baselines are the plants that savings are counted against.
func (s *stage) baselines(ctx context.Context, x *set, out *Replay) error {
	bare := s.p
	bare.Fields, bare.Stores = nil, nil
	alone, _, err := optimize.Plan(ctx, bare, optimize.Options{Engine: s.engine})
	if short := (*optimize.NoPlan)(nil); errors.As(err, &short) {
		return fmt.Errorf("boilers alone: %w", err)
	}
	if err != nil {
		return err
	}
	out.Program.BoilersOnlyCost = alone.Cost
	plants := []replay.Plant{s.m.boilersOnly(), s.m.at(0)}
	got := make([]replay.Played, 2)
	err = each(2, func(i int) error {
		var err error
		got[i], err = replay.Run(ctx, plants[i], replay.PlainRule{}, replay.Options{})
		return err
	})
	if err != nil {
		return fmt.Errorf("baseline: %w", err)
	}
	b := &out.Baseline
	b.BoilersOnlyCost, b.NoStorageCost = s.t.cost(&got[0], s.m.merit, false), s.t.cost(&got[1], s.m.merit, true)
	b.BoilersOnlyFuelKWh, b.BoilersOnlyUnmetKWh, b.BoilersOnlyStarts = got[0].FuelKWh, got[0].UnmetKWh, sum(got[0].Starts)
	b.NoStorageUnmetKWh, b.NoStorageStarts = got[1].UnmetKWh, sum(got[1].Starts)
	for i := range got {
		out.books(&got[i])
	}
	return nil
}

func (r *Replay) books(p *replay.Played) {
	r.MassResidual, r.EnergyResidual = max(r.MassResidual, p.Books.MassResidual), max(r.EnergyResidual, p.Books.EnergyResidual)
}

// ways plays all ways at one volume, the plan mended.
func (s *stage) ways(ctx context.Context, x *set, out *Replay) error {
	names := ways()
	got, bound := make([]*played, len(names)), 0.0
	first := *x // the ways but the plan know the program as it is
	err := each(len(names), func(i int) error {
		var err error
		switch {
		case names[i] == WaySight:
			bound, err = s.m.bound(ctx, first.p, &s.t, s.engine)
		case s.same(names[i], &first) != names[i]:
		case names[i] == WayPlan:
			got[i], out.Mending, err = s.mended(ctx, x)
		default:
			got[i], err = s.play(ctx, names[i], &first)
		}
		return err
	})
	if err != nil {
		return err
	}
	for i, name := range names {
		if got[i] == nil && name != WaySight {
			got[i] = got[slices.Index(names, WayRule)]
		}
	}
	out.Bound = bound
	for i, name := range names {
		if name == WaySight {
			out.Ways = append(out.Ways, out.judge(Way{Name: name, AnnualCost: bound, Refused: []Refused{}}))
			continue
		}
		out.books(&got[i].Played)
		out.Ways = append(out.Ways, out.judge(s.wayOf(name, got[i])))
	}
	out.Gap = out.Ways[0].OverBoundFrac
	return nil
}

// mended is the mended plan as it is best run: with set-points that leave the store free where nothing is lost by it, or to
// the letter, whichever costs less.
func (s *stage) mended(ctx context.Context, x *set) (*played, Mending, error) {
	letter, m, err := s.mend(ctx, x)
	if err != nil {
		return nil, m, err
	}
	out, err := s.play(ctx, WayPlan, x)
	if err == nil && letter.cost < out.cost && m.Accepted {
		out, m.ToTheLetter = letter, true
	}
	return out, m, err
}

// judge adds what follows from a way's cost.
func (r *Replay) judge(w Way) Way {
	w.SavingsVsBoilersOnly, w.SavingsVsNoStorage = r.Baseline.BoilersOnlyCost-w.AnnualCost, r.Baseline.NoStorageCost-w.AnnualCost
	w.Arrived, w.OverBoundFrac = share(w.SavingsVsBoilersOnly, r.PromisedSavings), share(w.AnnualCost-r.Bound, w.AnnualCost)
	w.BestVolumeM3 = r.VolumeM3
	return w
}

// wayOf sums a play up.
func (s *stage) wayOf(name string, p *played) Way {
	w := Way{Name: name, AnnualCost: p.cost, UnmetKWh: p.UnmetKWh, BoilerStarts: sum(p.Starts), FuelKWh: p.FuelKWh, StartFuelKWh: p.StartFuelKWh,
		HotFuelKWh: p.HotFuelKWh, HotH: sum(p.HotH), Lights: sum(p.Lights), UnmetH: p.UnmetH, WorstUnmetKW: p.WorstUnmetKW,
		SunToHeaderKWh: p.SunHeaderKWh, SunToStoreKWh: p.SunStoreKWh, SpilledSunKWh: p.SpilledKWh, StoreOutKWh: p.StoreOutKWh,
		KeepWarmKWh: p.KeepWarmKWh, LossKWh: p.LossKWh, MassResidual: p.Books.MassResidual, EnergyResidual: p.Books.EnergyResidual,
		Refused: []Refused{}}
	for _, r := range p.Refused {
		w.Refused = append(w.Refused, Refused{r.What, r.Why.String(), r.Hours, r.KWh})
	}
	n, v, k := p.Hours, &p.Series, s.c.StoreAt()
	w.Hours = HourSeries{DemandKW: added(n, v.DemandKW), SunToHeaderKW: added(n, v.SunHeaderKW), SunToStoreKW: added(n, v.SunStoreKW),
		StoreOutKW: added(n, v.DrawKW), BoilerKW: added(n, v.BoilerKW), FuelKW: added(n, v.FuelKW), KeepWarmKW: added(n, v.KeepWarmKW),
		UnmetKW: added(n, v.UnmetKW), SpilledSunKW: added(n, v.SpilledKW), StoreLossKW: added(n, v.LossKW),
		HeldKWh: v.HeldKWh[k], StoreC: v.StoreC[k], StoreBarA: v.StoreBar[k]}
	return w
}
