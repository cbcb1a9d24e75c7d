package optimize

import (
	"cmp"
	"math"
	"slices"
)

// The best on and off for given heat from the boilers of a header, step by step: a shortest way through the year, whose
// places are what each boiler does. Stores, sun and the other headers stay as they are.

// house is the boilers of one header on their way.
type house struct {
	*repair
	header  int
	boilers []int     // with a Cycle
	needKW  []float64 // heat that all of the header's boilers give
	on      [][]bool  // by boiler of the problem
	missing float64   // price of a kWh that is missing
}

// What a boiler does: it fires, stands by, or has been cold for so many steps, at most as many as a start takes.
const (
	fires = iota
	stands
	cold // and more
)

// mostColdSteps is up to which a boiler's steps in the cold are told apart; settle sees to the rest.
const mostColdSteps = 8

// places is how many things boiler i may do.
func (h *house) places(i int) int { return cold + min(mostColdSteps, max(1, h.cycles[i].StartSteps)) }

// before lists from where boiler i may come to a place.
func (h *house) before(i, place int) []int {
	c, last := h.cycles[i], h.places(i)-1
	switch place {
	case fires:
		return []int{fires, stands, last}
	case stands:
		if c.StandbyKW == 0 || c.StartKWh == 0 && c.StartSteps <= 1 {
			return nil
		}
		return []int{fires, stands}
	case last:
		if last == cold {
			return []int{fires, stands, last}
		}
		return []int{last - 1, last}
	case cold:
		return []int{fires, stands}
	}
	return []int{place - 1}
}

// mostMoves is how many moves of boilers are looked at together in a year; beyond, one boiler is led at a time.
const mostMoves = 60e6

// lead sets on for the header's boilers.
func (h *house) lead() {
	moves := float64(h.w.n)
	for _, i := range h.boilers {
		moves *= 3 * float64(h.places(i))
	}
	if moves <= mostMoves {
		h.way(h.boilers)
		return
	}
	for range 2 {
		for _, i := range h.boilers {
			h.way([]int{i})
		}
	}
}

// move is one way from a set of places to another; start says which of the led boilers it starts.
type move struct {
	from  int
	start []bool
}

// way finds the cheapest on and off of some boilers while the others stay.
func (h *house) way(led []int) {
	total := 1
	for _, i := range led {
		total *= h.places(i)
	}
	moves := make([][]move, total)
	for s := range moves {
		moves[s] = h.moves(led, s)
	}
	n, lead := h.w.n, min(h.w.n, aroundSteps)
	back := make([]int32, total*(n+2*lead))
	s := h.walk(led, moves, back)
	for step := n + 2*lead - 1; step >= lead; step-- {
		if step < lead+n {
			for k, place := range h.split(led, s) {
				h.on[led[k]][step-lead] = place == fires
			}
		}
		s = int(back[step*total+s])
	}
}

// aroundSteps is how far before the year's start and beyond its end the way runs, since the year repeats.
const aroundSteps = 200

// split tells what each boiler does in a set of places.
func (h *house) split(led []int, s int) []int {
	list := make([]int, len(led))
	for k, i := range led {
		list[k] = s % h.places(i)
		s /= h.places(i)
	}
	return list
}

// moves lists the ways to a set of places.
func (h *house) moves(led []int, s int) []move {
	list := []move{{start: make([]bool, len(led))}}
	scale := 1
	for k, place := range h.split(led, s) {
		var next []move
		for _, f := range h.before(led[k], place) {
			if f == stands && h.before(led[k], stands) == nil {
				continue
			}
			for _, m := range list {
				start := slices.Clone(m.start)
				start[k] = place == fires && f >= cold
				next = append(next, move{m.from + scale*f, start})
			}
		}
		list = next
		scale *= h.places(led[k])
	}
	return list
}

// walk goes through the year and somewhat around it, notes where each set of places is come to from, and gives the
// cheapest at the end.
func (h *house) walk(led []int, moves [][]move, back []int32) (end int) {
	total := len(moves)
	cost, next := make([]float64, total), make([]float64, total)
	stay, start := make([]float64, total), make([]float64, len(led))
	firing := map[uint64]float64{}
	steps := len(back) / total
	for step := range steps {
		t := (step + 2*h.w.n - (steps-h.w.n)/2) % h.w.n
		clear(firing)
		order := h.order(t)
		for k, i := range led {
			start[k] = h.p.Boilers[i].FuelPrice[t] * h.cycles[i].StartKWh
		}
		for s := range stay {
			stay[s] = h.stay(led, h.split(led, s), order, firing, t)
		}
		for s, list := range moves {
			best, from := math.Inf(1), 0
			for _, m := range list {
				c := cost[m.from]
				for k, starts := range m.start {
					if starts {
						c += start[k]
					}
				}
				if c < best {
					best, from = c, m.from
				}
			}
			next[s] = best + stay[s]
			back[step*total+s] = int32(from)
		}
		copy(cost, next)
	}
	for s, c := range cost {
		if c < cost[end] {
			end = s
		}
	}
	return end
}

// rungAt is a piece of a boiler in a step, by its cost.
type rungAt struct {
	boiler    int
	cost, cap float64
}

// order lists the pieces of the header's boilers by cost, those over the lowest fire of boilers with a Cycle.
func (h *house) order(t int) []rungAt {
	var list []rungAt
	for i, b := range h.p.Boilers {
		if b.Header != h.header {
			continue
		}
		room := h.share(i, t)
		if c := h.cycles[i]; c.Curve != nil {
			over := c.most().HeatKW - c.least().HeatKW
			if !h.can[i][t] || over == 0 {
				continue
			}
			room = max(0, room*c.most().HeatKW-c.least().HeatKW) / over
		}
		for _, piece := range h.pieces[i] {
			list = append(list, rungAt{i, b.FuelPrice[t] * piece.FuelPerHeat, room * piece.CapacityKW})
		}
	}
	slices.SortStableFunc(list, func(a, b rungAt) int { return cmp.Compare(a.cost, b.cost) })
	return list
}

// stay is the cost of a step in a set of places: fuel of those that fire or stand by, and of heat that is missing.
func (h *house) stay(led, places []int, order []rungAt, firing map[uint64]float64, t int) float64 {
	sum, set := 0.0, uint64(0)
	for k, i := range led {
		switch {
		case places[k] == stands:
			sum += h.w.dt * h.p.Boilers[i].FuelPrice[t] * h.cycles[i].StandbyKW
		case places[k] == fires && !h.can[i][t]:
			return math.Inf(1)
		case places[k] == fires:
			set |= 1 << k
		}
	}
	cost, known := firing[set]
	if !known {
		cost = h.fire(led, set, order, t)
		firing[set] = cost
	}
	return sum + cost
}

// fire is the least cost of the step's heat with a set of the led boilers firing, and the others as they are.
func (h *house) fire(led []int, set uint64, order []rungAt, t int) float64 {
	left, cost := h.needKW[t], 0.0
	on := func(i int) bool {
		if k := slices.Index(led, i); k >= 0 {
			return set&(1<<k) != 0
		}
		return h.cycles[i].Curve == nil || h.on[i][t]
	}
	for _, i := range h.boilers {
		if on(i) {
			left -= h.cycles[i].least().HeatKW
			cost += h.p.Boilers[i].FuelPrice[t] * h.cycles[i].least().FuelKW
		}
	}
	for _, x := range order {
		if left <= 0 {
			break
		}
		if on(x.boiler) {
			kW := min(left, x.cap)
			cost += kW * x.cost
			left -= kW
		}
	}
	return h.w.dt * (cost + max(0, left)*h.missing)
}
