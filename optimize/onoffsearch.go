package optimize

import (
	"cmp"
	"errors"
	"slices"
)

// The search for a good plan. Each step ends in a program with on and off fixed, so that whatever was guessed on the
// way, what is kept is a plan with its true cost.

// search tries, in turn: on and off for the boilers' heat of the relaxed plan; the same for a plan that pays the lowest
// fire's price where little is asked, so that the store serves those hours whole; all boilers on; and then, from the
// best, to shut down stretches of lowest fire.
func (r *repair) search(relaxed Schedule) error {
	if err := r.follow(relaxed.BoilerKW); err != nil {
		return err
	}
	loads := relaxed.BoilerKW
	for range 2 {
		s, _, err := Plan(r.ctx, r.priced(loads), Options{Engine: r.engine})
		r.solves++
		if failed, short := (*Unproven)(nil), (*NoPlan)(nil); errors.As(err, &failed) || errors.As(err, &short) {
			break
		}
		if err != nil {
			return err
		}
		if err := r.follow(s.BoilerKW); err != nil {
			return err
		}
		loads = s.BoilerKW
	}
	if _, err := r.try(r.allOn()); err != nil || r.best == nil {
		return err
	}
	return r.shut()
}

// allOn is every boiler on whenever it can be: with it the plant is never short where it need not be.
func (r *repair) allOn() [][]bool {
	on := make([][]bool, len(r.cycles))
	for i := range on {
		on[i] = slices.Clone(r.can[i])
	}
	return on
}

// follow leads the boilers through given heats, and again through those of the plan that comes of it, while that
// gets cheaper.
func (r *repair) follow(heatKW [][]float64) error {
	last := 0.0
	for i := range 3 {
		plan, err := r.try(r.led(heatKW))
		if err != nil || plan == nil || i > 0 && plan.Cost >= last*(1-1e-9) {
			return err
		}
		last = plan.Cost
		heatKW = r.useful(plan)
	}
	return nil
}

// useful is what the boilers of a plan give less what is let go, all of a header on its first boiler: their sum counts.
func (r *repair) useful(plan *Repaired) [][]float64 {
	out := grid(len(r.p.Boilers), r.w.n)
	for l := range r.p.Headers {
		first := slices.IndexFunc(r.p.Boilers, func(b Boiler) bool { return b.Header == l })
		if first < 0 {
			continue
		}
		for i, b := range r.p.Boilers {
			if b.Header == l {
				plus(out[first], plan.Schedule.BoilerKW[i])
			}
		}
		for t, kW := range plan.Schedule.VentKW[l] {
			out[first][t] = max(0, out[first][t]-kW)
		}
	}
	return out
}

// led is the cheapest on and off for given heats, header by header.
func (r *repair) led(heatKW [][]float64) [][]bool {
	on := r.allOn()
	for l := range r.p.Headers {
		h := house{repair: r, header: l, needKW: make([]float64, r.w.n), on: on, missing: r.w.penalty[l]}
		for i, b := range r.p.Boilers {
			if b.Header != l {
				continue
			}
			plus(h.needKW, heatKW[i])
			if r.cycles[i].Curve != nil {
				h.boilers = append(h.boilers, i)
			}
		}
		if len(h.boilers) > 0 {
			h.lead()
		}
	}
	return on
}

// priced is the problem with each boiler's fuel as dear as it is at the load that it can expect in each step: that of
// the last plan, or, where that had none, the header's demand.
func (r *repair) priced(loads [][]float64) Problem {
	p := r.p
	p.Boilers = slices.Clone(p.Boilers)
	for i, c := range r.cycles {
		if c.Curve == nil {
			continue
		}
		b := &p.Boilers[i]
		demand := p.Headers[b.Header].DemandKW
		b.FuelPrice = slices.Clone(b.FuelPrice)
		for t, price := range b.FuelPrice {
			load := loads[i][t]
			if load <= residualLimit*r.w.peakKW {
				load = demand[t]
			}
			load = min(max(load, 1e-3*c.most().HeatKW), c.most().HeatKW)
			if hull := b.hullFuel(load); price > 0 && hull > 0 {
				b.FuelPrice[t] = price * max(1, c.fuel(load)/hull)
			}
		}
	}
	return p
}

// hullFuel is the fuel of a load by the boiler's pieces.
func (b Boiler) hullFuel(heatKW float64) float64 {
	fuel := 0.0
	for _, piece := range b.Pieces {
		kW := min(heatKW, piece.CapacityKW)
		fuel += kW * piece.FuelPerHeat
		heatKW -= kW
	}
	return fuel
}

// shutdown is a stretch of steps in which a boiler may be shut down.
type shutdown struct {
	boiler   int
	from, to int
	worth    float64 // of its fuel there
}

// shut tries to shut boilers down where they fire at their lowest: all such stretches at once, then, where that is no
// good, the one half and the other.
func (r *repair) shut() error {
	todo := [][]shutdown{r.lowestFires(r.best)}
	for len(todo) > 0 && r.solves < r.tries {
		list := todo[0]
		todo = todo[1:]
		if len(list) == 0 {
			continue
		}
		before := r.best.Cost
		on := r.copyOn(r.best.On)
		for _, x := range list {
			for t := x.from; t < x.to; t++ {
				on[x.boiler][t] = false
			}
		}
		if _, err := r.try(on); err != nil {
			return err
		}
		if r.best.Cost >= before && len(list) > 1 {
			todo = append(todo, list[:len(list)/2], list[len(list)/2:])
		}
	}
	if err := r.follow(r.useful(r.best)); err != nil {
		return err
	}
	return r.polish()
}

// polish turns single steps of a short period on or off while that gets cheaper; a year has too many.
func (r *repair) polish() error {
	for cost := 0.0; cost != r.best.Cost; {
		cost = r.best.Cost
		for i := range r.cycles {
			for t := range r.can[i] {
				if r.w.n*len(r.cycles) > r.tries || !r.can[i][t] {
					continue
				}
				on := r.copyOn(r.best.On)
				on[i][t] = !on[i][t]
				if _, err := r.try(on); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func (r *repair) copyOn(on [][]bool) [][]bool {
	out := make([][]bool, len(on))
	for i := range on {
		out[i] = slices.Clone(on[i])
	}
	return out
}

// lowestFires lists the stretches in which a boiler fires at its lowest, those that cost most first.
func (r *repair) lowestFires(plan *Repaired) []shutdown {
	var list []shutdown
	for i, c := range r.cycles {
		if c.Curve == nil || c.least().HeatKW == 0 {
			continue
		}
		open := false
		for t, on := range plan.On[i] {
			lowest := on && plan.Schedule.BoilerKW[i][t] <= c.least().HeatKW+residualLimit*r.w.peakKW
			if lowest && !open {
				list = append(list, shutdown{boiler: i, from: t})
			}
			if lowest {
				x := &list[len(list)-1]
				x.to = t + 1
				x.worth += c.least().FuelKW * r.p.Boilers[i].FuelPrice[t]
			}
			open = lowest
		}
	}
	slices.SortStableFunc(list, func(a, b shutdown) int { return cmp.Compare(b.worth, a.worth) })
	return list
}
