package answer

import (
	"context"
	"errors"

	"noonkeep/optimize"
	"noonkeep/plant/clock"
)

// Movable is work whose hours the plan chooses, and what choosing them is worth at one volume: the cost of
// the year with that work done as soon as it may be, less the cost with the freedom. All else that an answer
// says, its baselines too, is with the freedom.
type Movable struct {
	VolumeM3        float64  `json:"volume_m3"`
	HeatKWh         float64  `json:"heat_kWh"`
	AnnualCost      *float64 `json:"annual_cost"`
	FixedAnnualCost *float64 `json:"fixed_annual_cost"` // null where the work cannot be done as soon as it may be
	Worth           *float64 `json:"worth"`
	WhyNot          string   `json:"why_not,omitempty"` // why a number is null
}

// movableOf solves the problem without the freedom, and with it if its cost is not known (nil); nil if there is no
// work that may be moved.
func movableOf(ctx context.Context, p optimize.Problem, cost *float64, engine string) (*Movable, error) {
	if len(p.Moves) == 0 {
		return nil, nil
	}
	m := &Movable{AnnualCost: cost}
	for _, s := range p.Stores {
		m.VolumeM3 += s.VolumeM3
	}
	for _, move := range p.Moves {
		for _, w := range move.Windows {
			m.HeatKWh += w.HeatKWh
		}
	}
	var err error
	if m.AnnualCost == nil {
		if m.AnnualCost, err = m.costOf(ctx, p, engine, ""); err != nil {
			return nil, err
		}
	}
	if engine == optimize.EngineOneStore { // the fixed work may fit another engine than the free
		engine = ""
	}
	if m.FixedAnnualCost, err = m.costOf(ctx, p.AtSoonest(), engine, "with all of it done as soon as it may be, "); err != nil {
		return nil, err
	}
	if m.AnnualCost != nil && m.FixedAnnualCost != nil {
		worth := *m.FixedAnnualCost - *m.AnnualCost
		m.Worth = &worth
	}
	return m, nil
}

// costOf is the least cost, nil if the plant falls short of the heat: that is then noted.
func (m *Movable) costOf(ctx context.Context, p optimize.Problem, engine, what string) (*float64, error) {
	s, _, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if short := (*optimize.NoPlan)(nil); errors.As(err, &short) {
		m.WhyNot = what + short.Error()
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return &s.Cost, nil
}

// movedAt is the point of the curve at a volume, if there is one: its cost need not be solved again.
func movedAt(points []Point, volumeM3 float64) *float64 {
	for _, p := range points {
		if p.VolumeM3 == volumeM3 {
			return &p.AnnualCost
		}
	}
	return nil
}

// moved adds up what all moves take, nil if there is none.
func moved(n int, kW [][]float64) clock.KW {
	if len(kW) == 0 {
		return nil
	}
	return added(n, kW)
}
