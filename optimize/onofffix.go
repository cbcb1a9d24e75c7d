package optimize

import (
	"errors"
	"math"
	"slices"
)

// fixed is the problem with on and off given. What a firing boiler gives at its lowest load costs what it costs,
// wanted or not: its heat is there for nothing, and its fuel a fixed cost; what the plan leaves of it is let go. Over
// that load it is a boiler like any other.
type fixed struct {
	p     Problem
	least []int // by boiler of the problem: that with its lowest load, -1 for none
	above []int // and that with the rest
}

func (r *repair) fixed(on, hot [][]bool) fixed {
	f := fixed{p: r.p}
	f.p.Boilers = nil
	n := r.w.n
	f.p.Limits, f.p.Takes = slices.Clone(r.p.Limits), slices.Clone(r.p.Takes)
	for m := range f.p.Limits {
		f.p.Limits[m].MostKW, f.p.Limits[m].Boilers = slices.Clone(r.p.Limits[m].MostKW), nil
	}
	for m := range f.p.Takes {
		f.p.Takes[m].Boilers = nil
	}
	for i, b := range r.p.Boilers {
		f.least = append(f.least, -1)
		c := r.cycles[i]
		if c.Curve != nil {
			b = r.firing(i, on[i])
			if c.least().HeatKW > 0 {
				f.least[i] = len(f.p.Boilers)
				f.p.Boilers = append(f.p.Boilers, r.lowest(i, on[i]))
			}
			f.p.FixedCost += r.unasked(&f, i, on[i], hot[i])
		}
		f.above = append(f.above, len(f.p.Boilers))
		for _, m := range r.w.limitsOf[i] {
			f.p.Limits[m].Boilers = append(f.p.Limits[m].Boilers, len(f.p.Boilers))
		}
		for _, m := range r.w.takesOf[i] {
			f.p.Takes[m].Boilers = append(f.p.Takes[m].Boilers, len(f.p.Boilers))
		}
		f.p.Boilers = append(f.p.Boilers, b)
	}
	for m := range f.p.Limits {
		for t := range n {
			f.p.Limits[m].MostKW[t] = max(0, f.p.Limits[m].MostKW[t]) // see overLimit
		}
	}
	for m := range f.p.Takes {
		f.p.Takes[m].LeastKWh = max(0, f.p.Takes[m].LeastKWh)
	}
	return f
}

// firing is boiler i over its lowest load, while it is on.
func (r *repair) firing(i int, on []bool) Boiler {
	b, c := r.p.Boilers[i], r.cycles[i]
	room := c.most().HeatKW - c.least().HeatKW
	out := Boiler{Name: b.Name, Header: b.Header, Pieces: r.pieces[i], FuelPrice: b.FuelPrice, Available: make([]float64, len(on))}
	if b.RampKW > 0 {
		out.RampKW = max(b.RampKW-c.least().HeatKW, 1e-9*b.RampKW)
	}
	for t, fires := range on {
		if fires && room > 0 {
			out.Available[t] = min(1, max(0, (r.share(i, t)*c.most().HeatKW-c.least().HeatKW)/room))
		}
	}
	return out
}

// lowest is the heat of boiler i at its lowest load, while it is on, for nothing.
func (r *repair) lowest(i int, on []bool) Boiler {
	b, c := r.p.Boilers[i], r.cycles[i]
	out := Boiler{Name: b.Name + ", lowest fire", Header: b.Header, Pieces: []Piece{{c.least().HeatKW, 1}},
		FuelPrice: make([]float64, len(on)), Available: make([]float64, len(on))}
	for t, fires := range on {
		if fires {
			out.Available[t] = 1
		}
	}
	return out
}

// unasked is the cost of boiler i's fuel at its lowest load, in starts and in standby; limits and takes lose what
// that takes of them.
func (r *repair) unasked(f *fixed, i int, on, hot []bool) float64 {
	cost, c := 0.0, r.cycles[i]
	for t := range on {
		fuel := r.idleFuel(i, on, hot, t)
		heat := 0.0
		if on[t] {
			heat = c.least().HeatKW
			fuel += c.least().FuelKW
		}
		cost += r.w.dt * r.p.Boilers[i].FuelPrice[t] * fuel
		for _, m := range r.w.limitsOf[i] {
			switch limit := &f.p.Limits[m]; {
			case !on[t]:
			case limit.OfFuel:
				limit.MostKW[t] -= c.least().FuelKW
			default:
				limit.MostKW[t] -= heat
			}
		}
		for _, m := range r.w.takesOf[i] {
			f.p.Takes[m].LeastKWh -= r.w.dt * fuel
		}
	}
	return cost
}

// idleFuel is the fuel of boiler i in a step for a start or standby, kW.
func (r *repair) idleFuel(i int, on, hot []bool, t int) float64 {
	c, before := r.cycles[i], (t+len(on)-1)%len(on)
	switch {
	case hot[t]:
		return c.StandbyKW
	case on[t] && !on[before] && !hot[before]:
		return c.StartKWh / r.w.dt
	}
	return 0
}

// overLimit says that boilers at their lowest load alone pass a joint limit.
func (r *repair) overLimit(on [][]bool) bool {
	for _, m := range r.p.Limits {
		for t, most := range m.MostKW {
			for _, i := range m.Boilers {
				switch c := r.cycles[i]; {
				case c.Curve == nil || !on[i][t]:
				case m.OfFuel:
					most -= c.least().FuelKW
				default:
					most -= c.least().HeatKW
				}
			}
			if most < -residualLimit*r.w.peakKW {
				return true
			}
		}
	}
	return false
}

// try finds the best plan with on as it is, after settling it, and keeps it if it is the cheapest so far. It gives
// the plan's cost, +Inf where on leaves the plant short or the engine fails.
func (r *repair) try(on [][]bool) (plan *Repaired, err error) {
	if err := r.ctx.Err(); err != nil {
		return nil, err
	}
	hot, starts := make([][]bool, len(on)), make([]int, len(on))
	for i := range on {
		if on[i] != nil {
			hot[i], starts[i] = r.settle(i, on[i])
		}
	}
	if r.overLimit(on) {
		return nil, nil
	}
	f := r.fixed(on, hot)
	r.solves++
	s, _, err := Plan(r.ctx, f.p, Options{Engine: r.engineFor(f.p)})
	if short, failed := (*NoPlan)(nil), (*Unproven)(nil); errors.As(err, &short) || errors.As(err, &failed) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	plan = &Repaired{Schedule: r.whole(f, s, on, hot), On: on, Hot: hot, Starts: starts}
	plan.Cost = plan.Schedule.Cost
	if !r.holds(plan.Schedule) {
		return nil, nil
	}
	if r.best == nil || plan.Cost < r.best.Cost {
		r.best = plan
	}
	return plan, nil
}

// engineFor is the engine that was asked for, if it takes the problem.
func (r *repair) engineFor(p Problem) string {
	if r.engine == EngineOneStore && misfit(p) != "" {
		return ""
	}
	return r.engine
}

// whole makes the plan of the fixed problem one of the problem itself, with the boilers' own fuel.
func (r *repair) whole(f fixed, s Schedule, on, hot [][]bool) Schedule {
	out := s
	w := r.w
	out.PieceKW, out.BoilerKW, out.FuelKW = nil, grid(len(r.p.Boilers), w.n), grid(len(r.p.Boilers), w.n)
	for i, b := range r.p.Boilers {
		heat, fuel, c := out.BoilerKW[i], out.FuelKW[i], r.cycles[i]
		copy(heat, s.BoilerKW[f.above[i]])
		if c.Curve == nil {
			copy(fuel, s.FuelKW[f.above[i]])
			out.PieceKW = append(out.PieceKW, s.PieceKW[f.above[i]])
			continue
		}
		for t := range heat {
			fuel[t] = r.idleFuel(i, on[i], hot[i], t)
			if on[i][t] {
				wanted := 0.0
				if f.least[i] >= 0 {
					wanted = s.BoilerKW[f.least[i]][t]
				}
				heat[t] += c.least().HeatKW
				fuel[t] += c.fuel(heat[t])
				out.VentKW[b.Header][t] += c.least().HeatKW - wanted
			}
		}
		out.PieceKW = append(out.PieceKW, b.inPieces(heat))
	}
	out.StepCost = make([]float64, w.n)
	out.NotTakenKWh = make([]float64, len(r.p.Takes))
	out.cost(w)
	return out
}

// inPieces spreads a boiler's heat over its pieces, the first ones first.
func (b Boiler) inPieces(heatKW []float64) [][]float64 {
	out := grid(len(b.Pieces), len(heatKW))
	for t, left := range heatKW {
		for j := range b.Pieces {
			most := b.capacity(j, t)
			if j == len(b.Pieces)-1 {
				most = math.Inf(1)
			}
			out[j][t] = min(left, most)
			left -= out[j][t]
		}
	}
	return out
}

// holds checks a plan by the problem's own rows.
func (r *repair) holds(s Schedule) bool {
	c := checker{work: newWork(r.p), s: &s}
	c.headers()
	c.fields()
	c.boilers()
	c.stores()
	c.valves()
	c.moves()
	if !slices.ContainsFunc(r.p.Limits, func(m Limit) bool { return m.OfFuel }) { // starts are not counted there
		c.limits()
	}
	return c.worst <= residualLimit*c.peakKW
}
