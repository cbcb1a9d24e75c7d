package optimize

import (
	"fmt"
	"math"
	"slices"
)

// Limit is the most that several boilers may give together in a step: they share a flue, a gas line or a
// connection to the grid.
type Limit struct {
	Name    string    `json:"name"`
	Boilers []int     `json:"boilers"`
	MostKW  []float64 `json:"most_kW"`
	OfFuel  bool      `json:"of_fuel,omitempty"` // MostKW counts the fuel that goes in; else the heat that comes out
}

// weight is what a kW of heat from a piece counts in the limit.
func (m Limit) weight(p Piece) float64 {
	if m.OfFuel {
		return p.FuelPerHeat
	}
	return 1
}

func (p Problem) checkLimit(f *faults, what string, m Limit) {
	f.require(len(m.Boilers) > 0, "%s: has no boiler; want at least one", what)
	p.checkBoilerList(f, what, m.Boilers)
	f.series(what+": most", m.MostKW, p.N(), 0, math.Inf(1))
}

func (p Problem) checkBoilerList(f *faults, what string, list []int) {
	for j, i := range list {
		f.require(i >= 0 && i < len(p.Boilers), "%s: has boiler %d; there are %d", what, i, len(p.Boilers))
		f.require(!slices.Contains(list[:j], i), "%s: has boiler %d twice", what, i)
	}
}

// links notes, for each boiler, which limits and takes it is in.
func (w *work) links() {
	w.limitsOf, w.takesOf = make([][]int, len(w.p.Boilers)), make([][]int, len(w.p.Boilers))
	for m, limit := range w.p.Limits {
		for _, i := range limit.Boilers {
			w.limitsOf[i] = append(w.limitsOf[i], m)
		}
	}
	for m, take := range w.p.Takes {
		for _, i := range take.Boilers {
			w.takesOf[i] = append(w.takesOf[i], m)
			w.vents = w.vents || slices.Min(w.p.Boilers[i].FuelPrice) < take.Price // burning for nothing may pay
		}
	}
}

// linked says whether anything but its header and its pieces' own bounds holds boiler i.
func (w *work) linked(i int) bool {
	return w.p.Boilers[i].RampKW > 0 || len(w.limitsOf[i]) > 0 || len(w.takesOf[i]) > 0
}

// linkElements are a heat column's elements in the rows of limits and takes.
func (b *builder) linkElements(els []el, i, j, t int) []el {
	piece := b.p.Boilers[i].Pieces[j]
	for _, m := range b.limitsOf[i] {
		els = append(els, el{b.y.limit[m].at(t), b.p.Limits[m].weight(piece)})
	}
	for _, m := range b.takesOf[i] {
		els = append(els, el{b.y.taken[m].at(0), -b.dt * piece.FuelPerHeat})
	}
	return els
}

// limitRows sets the limits' right sides.
func (b *builder) limitRows() {
	for m, limit := range b.p.Limits {
		for t, most := range limit.MostKW {
			if row := b.y.limit[m].at(t); row != none {
				b.m.rowLower[row], b.m.rowUpper[row] = math.Inf(-1), most
			}
		}
	}
}

// linkCost is what limits and takes add to the reduced cost of heat from piece j of boiler i.
func (w *work) linkCost(q *prices, i, j, t int) float64 {
	d, piece := 0.0, w.p.Boilers[i].Pieces[j]
	for _, m := range w.limitsOf[i] {
		d += w.p.Limits[m].weight(piece) * q.limit[m][t]
	}
	for _, m := range w.takesOf[i] {
		d -= w.dt * piece.FuelPerHeat * q.take[m][0]
	}
	return d
}

// boundLimits is the limits' part of the bound of bound.go.
func (w *work) boundLimits(q *prices) float64 {
	sum := 0.0
	for m, limit := range w.p.Limits {
		for t, most := range limit.MostKW {
			sum -= most * q.limit[m][t]
		}
	}
	return sum
}

func (c *checker) limits() {
	for _, m := range c.p.Limits {
		sum := c.scratch
		clear(sum)
		for _, i := range m.Boilers {
			list := c.s.BoilerKW[i]
			if m.OfFuel {
				list = c.s.FuelKW[i]
			}
			plus(sum, list)
		}
		var b peakBreach
		for t, kW := range sum {
			b.at(t, kW-m.MostKW[t])
		}
		c.note(b.kW, "limit", m.Name, b.t)
	}
}

// unfolded says why the one-store engine cannot take the limits; empty if it can. It can where the cheapest
// heat first is still the best of each step: no boiler in two limits, and all of a limit counting alike.
func unfolded(p Problem) string {
	seen := map[int]string{}
	for _, m := range p.Limits {
		for _, i := range m.Boilers {
			if first, twice := seen[i]; twice {
				return fmt.Sprintf("boiler %q is in the limits %q and %q", p.Boilers[i].Name, first, m.Name)
			}
			seen[i] = m.Name
			for _, piece := range p.Boilers[i].Pieces {
				if m.weight(piece) != m.weight(p.Boilers[m.Boilers[0]].Pieces[0]) {
					return fmt.Sprintf("limit %q is of fuel, and its boilers turn fuel to heat at different rates", m.Name)
				}
			}
		}
	}
	return ""
}

// fold is a limit's step in the one-store engine: its boilers' pieces in order of cost, each with what of the
// limit the cheaper ones leave it. capKW of piece (i, j) is written to; the answer is the cost per kWh of the piece
// at which the limit is full, +Inf if it never is.
func (w *work) fold(m Limit, t int, order []pieceAt, capKW func(p pieceAt, kW float64)) float64 {
	left := m.MostKW[t] / m.weight(w.p.Boilers[m.Boilers[0]].Pieces[0])
	slices.SortStableFunc(order, func(a, b pieceAt) int {
		switch x, y := w.heatPrice(a, t), w.heatPrice(b, t); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	full := math.Inf(1)
	for _, p := range order {
		own := w.p.Boilers[p.boiler].capacity(p.piece, t)
		if own >= left && math.IsInf(full, 1) {
			full = w.heatPrice(p, t)
		}
		capKW(p, min(own, left))
		left -= min(own, left)
	}
	return full
}

// pieceAt is a piece of a boiler.
type pieceAt struct{ boiler, piece int }

// heatPrice is per kWh of heat from a piece.
func (w *work) heatPrice(p pieceAt, t int) float64 {
	b := w.p.Boilers[p.boiler]
	return b.FuelPrice[t] * b.Pieces[p.piece].FuelPerHeat
}

// piecesOf lists the pieces of a limit's boilers.
func (p Problem) piecesOf(m Limit) []pieceAt {
	var list []pieceAt
	for _, i := range m.Boilers {
		for j := range p.Boilers[i].Pieces {
			list = append(list, pieceAt{i, j})
		}
	}
	return list
}

// limitPrices prices the limits of a plan that the one-store engine found: a kW of limit saves what heat is worth
// over the piece at which the limit is full.
func (e *oneStoreEngine) limitPrices() {
	w := e.w
	for m, limit := range w.p.Limits {
		order, weight := w.p.piecesOf(limit), limit.weight(w.p.Boilers[limit.Boilers[0]].Pieces[0])
		for t, header := range e.prices.header[0] {
			full := w.fold(limit, t, order, func(pieceAt, float64) {})
			if w.vents { // as the engine prices heat that pays for being made
				full = max(full, 0)
			}
			e.prices.limit[m][t] = max(0, header-w.dt*full) / weight
		}
	}
}
