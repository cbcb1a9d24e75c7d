package answer

import (
	"context"
	"errors"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// OnOff is a plan at one volume whose boilers keep to their lowest fires and pay for starts and standby, beside the
// bound that no such plan can better. All else in a curve is with boilers that may burn as little as they like.
type OnOff struct {
	VolumeM3   float64       `json:"volume_m3"`
	LowerBound float64       `json:"lower_bound"`
	AnnualCost *float64      `json:"annual_cost"` // null where no such plan was found
	GapFrac    *float64      `json:"gap"`         // how far that may lie over the best of all, of itself
	Boilers    []OnOffBoiler `json:"boilers"`
	WhyNot     string        `json:"why_not,omitempty"`
}

// OnOffBoiler is what one boiler does in the year.
type OnOffBoiler struct {
	Name    string  `json:"name"`
	LeastKW float64 `json:"lowest_fire_kW"`
	Starts  int     `json:"starts"` // from cold
	FiresH  float64 `json:"fires_h"`
	StandsH float64 `json:"stands_by_h"`

	fires, stands []float64 // by step, 1 or 0
}

// onOffOf repairs a plan; nil if no boiler has a lowest fire or a start. The schedule is the plan to be shown: the one
// given where there is no other.
func onOffOf(ctx context.Context, c scenarios.Case, p optimize.Problem, s optimize.Schedule, bound float64, engine string) (*OnOff, optimize.Schedule, error) {
	cycles := c.Cycles()
	if cycles == nil {
		return nil, s, nil
	}
	o := &OnOff{LowerBound: bound, Boilers: []OnOffBoiler{}}
	for _, store := range p.Stores {
		o.VolumeM3 += store.VolumeM3
	}
	r, err := optimize.Repair(ctx, p, cycles, s, bound, optimize.Options{Engine: engine})
	if needs := (*optimize.NeedsClp)(nil); errors.Is(err, optimize.ErrNoRepair) || errors.As(err, &needs) {
		o.WhyNot = err.Error()
		return o, s, nil
	}
	if err != nil {
		return nil, s, err
	}
	gap := r.GapFrac()
	o.AnnualCost, o.GapFrac = &r.Cost, &gap
	for i, on := range r.On {
		if on == nil {
			continue
		}
		b := OnOffBoiler{Name: p.Boilers[i].Name, LeastKW: cycles[i].Curve[0].HeatKW, Starts: r.Starts[i], fires: flags(on), stands: flags(r.Hot[i])}
		b.FiresH, b.StandsH = p.StepH*sum(b.fires), p.StepH*sum(b.stands)
		o.Boilers = append(o.Boilers, b)
	}
	return o, r.Schedule, nil
}

func flags(on []bool) []float64 {
	v := make([]float64, len(on))
	for t, x := range on {
		if x {
			v[t] = 1
		}
	}
	return v
}

// units are the columns that say when boilers fire and stand by.
func (o *OnOff) units() []Unit {
	var list []Unit
	if o == nil {
		return nil
	}
	for _, b := range o.Boilers {
		list = append(list, Unit{b.Name, "boiler " + b.Name + " fires", b.fires})
		if sum(b.stands) > 0 {
			list = append(list, Unit{b.Name, "boiler " + b.Name + " stands by", b.stands})
		}
	}
	return list
}

// onOffAt is the same of a case's own plan, for a curve.
func onOffAt(ctx context.Context, c scenarios.Case, p optimize.Problem, engine string) (*OnOff, error) {
	if c.Cycles() == nil {
		return nil, nil
	}
	s, proof, err := optimize.Plan(ctx, p, optimize.Options{Engine: engine})
	if short := (*optimize.NoPlan)(nil); errors.As(err, &short) {
		return &OnOff{VolumeM3: c.Store.VolumeM3, Boilers: []OnOffBoiler{}, WhyNot: short.Error()}, nil
	}
	if err != nil {
		return nil, err
	}
	o, _, err := onOffOf(ctx, c, p, s, proof.LowerBound, engine)
	return o, err
}
