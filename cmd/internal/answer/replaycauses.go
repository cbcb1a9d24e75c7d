package answer

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"noonkeep/optimize/replay"
	"noonkeep/plant"
	"noonkeep/plant/sky"
)

// causesFrom is the gap from which its causes are measured.
const causesFrom = 0.05

// freed is an effect that the machine can be freed of.
type freed struct {
	name string
	free func(p *replay.Plant)
	// onOff is an effect to which the plan itself has bent: the machine without it is run by the plan that did not have to.
	onOff bool
}

// effects are what the machine has and the bound has not.
func (s *stage) effects() ([]freed, error) {
	calm, err := s.m.calm()
	if err != nil {
		return nil, err
	}
	boilers := func(change func(b *replay.Boiler)) func(p *replay.Plant) {
		return func(p *replay.Plant) {
			p.Boilers = slices.Clone(p.Boilers)
			for i := range p.Boilers {
				change(&p.Boilers[i])
			}
		}
	}
	fields := func(change func(f *replay.Field, i int)) func(p *replay.Plant) {
		return func(p *replay.Plant) {
			p.Fields = slices.Clone(p.Fields)
			for i := range p.Fields {
				change(&p.Fields[i], i)
			}
		}
	}
	return []freed{
		{"lowest fire of the boilers", boilers(func(b *replay.Boiler) { b.MinFireFrac = 0 }), true},
		{"starts, purging and standby of the boilers", boilers(func(b *replay.Boiler) {
			b.StartKWh, b.StartH, b.StandbyFrac, b.PurgeKWh = 0, 0, 0, -1
		}), true},
		{"ramps of the boilers", boilers(func(b *replay.Boiler) { b.RampKWH = 0 }), true},
		{"boilers' fuel over its convex hull", boilers(onHull), false},
		{"clouds within the hour", fields(func(f *replay.Field, i int) {
			f.HeaderKWM2, f.Stores, f.LagS = calm.Fields[i].HeaderKWM2, calm.Fields[i].Stores, min(f.LagS, calm.Fields[i].LagS)
		}), false},
		{"lag of the fields", fields(func(f *replay.Field, _ int) { f.LagS = 0 }), false},
		{"sun that charges a hotter store is less", fields(func(f *replay.Field, _ int) {
			f.Stores = slices.Clone(f.Stores)
			for k := range f.Stores {
				f.Stores[k].HotKWM2 = f.Stores[k].FloorKWM2
			}
		}), false},
		{"load within the hour", func(p *replay.Plant) {
			p.Headers = slices.Clone(p.Headers)
			for l := range p.Headers {
				p.Headers[l].DemandKW = hourly(p.Headers[l].DemandKW, int(3600/p.StepS+0.5))
			}
		}, false},
	}, nil
}

// onHull gives a boiler the fuel that the program counts, where one efficiency can say it.
func onHull(b *replay.Boiler) {
	if b.Table != nil || b.StandingFrac > 0 {
		b.Table, b.StandingFrac = nil, 0
		hull := b.Hull().Points
		last := hull[len(hull)-1]
		b.Efficiency, b.EfficiencyGross = last.HeatKW/last.FuelKW, false
		b.Losses = plant.Losses{}
	}
}

// calm is the plant with sun that is smooth within the hour.
func (m *machine) calm() (replay.Plant, error) {
	year, err := sky.SmoothMinutes(m.hourly.Weather, m.fine.Axis)
	if err != nil {
		return replay.Plant{}, fmt.Errorf("weather: %w", err)
	}
	c := &machine{hourly: m.hourly}
	if c.fine, err = m.hourly.AtStep(year); err != nil {
		return replay.Plant{}, err
	}
	err = c.build()
	return c.plant, err
}

// causes measures by how much each effect raises the cost of the mended plan, by playing it on a machine freed of that one,
// and what is left on one freed of all.
func (s *stage) causes(ctx context.Context, x *set, out *Replay) error {
	list, err := s.effects()
	if err != nil {
		return err
	}
	all := freed{"", func(p *replay.Plant) {
		for _, e := range list {
			e.free(p)
		}
	}, true}
	costs := make([]float64, len(list)+1)
	err = each(len(costs), func(i int) error {
		e := all
		if i < len(list) {
			e = list[i]
		}
		p := s.m.at(x.volumeM3)
		e.free(&p)
		run := *x
		if e.onOff {
			run.plan, run.on = x.free, nil
		}
		name := WayPlan
		if out.Mending.ToTheLetter {
			name = toTheLetter
		}
		w, _ := s.way(ctx, name, &run)
		got, err := replay.Run(ctx, p, w, replay.Options{})
		if err == nil {
			costs[i] = s.t.cost(&got, s.m.merit, true)
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("causes: %w", err)
	}
	cost := out.Ways[0].AnnualCost
	together := 0.0
	for i, e := range list {
		if c := (Cause{e.name, cost - costs[i], share(cost-costs[i], cost)}); c.Frac > 1e-4 {
			out.Causes = append(out.Causes, c)
			together += c.Cost
		}
	}
	slices.SortStableFunc(out.Causes, func(a, b Cause) int { return cmp.Compare(b.Cost, a.Cost) })
	freedOfAll := costs[len(list)]
	if rest := cost - freedOfAll - together; rest > 1e-4*cost || rest < -1e-4*cost {
		out.Causes = append(out.Causes, Cause{"of these at once, more than singly (below 0: less)", rest, share(rest, cost)})
	}
	left := freedOfAll - out.Bound
	out.Causes = append(out.Causes, Cause{"left: set-points by the hour, the store's rates and loss as it stands, and what the bound lets pass", left, share(left, cost)})
	return nil
}
