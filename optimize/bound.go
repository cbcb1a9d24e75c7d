package optimize

import (
	"math"
	"slices"
)

// Lower bounds. Take each row into the cost with a price: whatever the prices, the least of the sum
// over all columns between their own bounds is a lower bound on the cost of every plan (weak duality).
// As each column x in [0, u] stands alone there, that least is u·min(0, d) with d its reduced cost:
//
//	bound = fixed + sum header·D - sum area·A - sum room·ChargeKW - sum |ramp|·RampKW
//	        + sum store·dt·StandingKW + sum window·HeatKWh + sum over columns of u·min(0, d)
//
// and l·d + (u-l)·min(0, d) for a move's column, which lies in [l, u].
// Rounding in d costs a little of the bound and never its truth. What depends on a store's size is
// kept apart, so that a bound at another size takes a hundredth of a solve.

// tidy makes prices that must not be negative so, and gives a charge limit that the program has only
// as a column's bound the price that it would have as a row. No bound gets worse.
func (q *prices) tidy(w *work) {
	for _, list := range [][][]float64{q.area, q.room, q.limit, q.take} {
		for _, v := range list {
			for t, price := range v {
				if price < 0 {
					v[t] = 0
				}
			}
		}
	}
	for k, s := range w.p.Stores {
		for t := range w.n {
			w.priceRoom(q, k, s, t)
		}
	}
}

// priceRoom acts where the program has no row of the charge limit: when nothing may charge, or one
// column alone would and the charge limit is nearer than its own.
func (w *work) priceRoom(q *prices, k int, s Store, t int) {
	if q.room[k][t] > 0 {
		return
	}
	n, d, upper, worst := 0, 0.0, 0.0, 0.0
	for i := range w.p.Fields {
		f := &w.p.Fields[i]
		if y := use(f.StoreKWM2, k, t); f.AreaM2*y > 0 {
			n, d, upper = n+1, w.chargeCost(q, i, k, t), f.AreaM2*y
			worst = min(worst, d)
		}
	}
	if s.HeaderChargeKW > 0 {
		n, d, upper = n+1, q.header[s.source()][t]-w.dt*q.store[k][t], s.HeaderChargeKW
		worst = min(worst, d)
	}
	switch {
	case s.ChargeKW == 0: // no column at all, and a price of room that costs nothing
		q.room[k][t] = -worst
	case n == 1 && d < 0 && s.ChargeKW < upper:
		q.room[k][t] = -d
	}
}

// chargeCost is the reduced cost of heat from field i into store k.
func (w *work) chargeCost(q *prices, i, k, t int) float64 {
	f := &w.p.Fields[i]
	return w.dt*f.HeatCost + q.area[i][t]/use(f.StoreKWM2, k, t) + q.room[k][t] - w.dt*q.store[k][t]
}

// heatCost is the reduced cost of heat from piece j of boiler i.
func (w *work) heatCost(q *prices, i, j, t int) float64 {
	b := w.p.Boilers[i]
	d := w.dt*b.FuelPrice[t]*b.Pieces[j].FuelPerHeat - q.header[b.Header][t]
	if b.RampKW > 0 {
		d -= q.rampAt(i, t) - q.rampAt(i, t+1)
	}
	return d + w.linkCost(q, i, j, t)
}

// rampAt is 0 outside the steps that have a ramp row: the first has none.
func (q *prices) rampAt(i, t int) float64 {
	if t < 1 || t >= len(q.ramp[i]) {
		return 0
	}
	return q.ramp[i][t]
}

func below(d float64) float64 { return min(0, d) }

// lowerBound is the bound at the problem's own sizes.
func (w *work) lowerBound(q *prices) float64 {
	sum := w.boundPlant(q)
	for k, s := range w.p.Stores {
		sum += w.newShadow(q, k).bound(s)
	}
	return sum
}

// boundPlant is the part of the bound without stores. The charge columns are in it: their own bounds
// are the field's, whatever the store.
func (w *work) boundPlant(q *prices) float64 {
	sum := w.p.fixedCost() + w.boundFields(q) + w.boundBoilers(q) + w.boundMoves(q) + w.boundLimits(q) + w.boundTakes(q)
	for _, v := range w.p.Valves {
		for t := range w.n {
			sum += v.CapacityKW * below(q.header[v.From][t]-q.header[v.To][t])
		}
	}
	for l, h := range w.p.Headers {
		for t, price := range q.header[l] {
			sum += h.DemandKW[t] * (price + below(w.dt*w.penalty[l]-price))
		}
		for t := 0; w.vents && t < w.n; t++ {
			sum += w.ventKW[l] * below(q.header[l][t])
		}
	}
	return sum
}

func (w *work) boundFields(q *prices) float64 {
	sum := 0.0
	for i := range w.p.Fields {
		f := &w.p.Fields[i]
		area := q.area[i]
		for l, yields := range f.HeaderKWM2 {
			header := q.header[l]
			for t, y := range yields {
				if y > 0 { // the reduced cost of heat to the header
					sum += f.AreaM2 * y * below(w.dt*f.HeatCost+area[t]/y-header[t])
				}
			}
		}
		for k, yields := range f.StoreKWM2 {
			room, store := q.room[k], q.store[k]
			for t, y := range yields {
				if y > 0 { // as in chargeCost
					sum += f.AreaM2 * y * below(w.dt*f.HeatCost+area[t]/y+room[t]-w.dt*store[t])
				}
			}
		}
		for _, price := range area {
			sum -= f.AreaM2 * price
		}
	}
	return sum
}

func (w *work) boundBoilers(q *prices) float64 {
	sum := 0.0
	for i := range w.p.Boilers {
		b := &w.p.Boilers[i]
		header, linked := q.header[b.Header], w.linked(i)
		for j, piece := range b.Pieces {
			perHeat := w.dt * piece.FuelPerHeat
			for t, price := range b.FuelPrice { // as in heatCost
				d := perHeat*price - header[t]
				if linked {
					d = w.heatCost(q, i, j, t)
				}
				if d < 0 || d != d {
					sum += b.capacity(j, t) * d
				}
			}
		}
		for t := 1; b.RampKW > 0 && t < w.n; t++ {
			sum -= b.RampKW * math.Abs(q.ramp[i][t])
		}
	}
	return sum
}

// view is the bound as a function of one store's size, with the prices fixed.
type view struct {
	rest   float64 // what no size of the store changes
	shadow shadow
}

func (w *work) view(q *prices, at int) view {
	v := view{rest: w.boundPlant(q)}
	for k, s := range w.p.Stores {
		h := w.newShadow(q, k)
		if k == at {
			v.shadow = h
			continue
		}
		v.rest += h.bound(s)
	}
	return v
}

// kept is a copy that outlives the engine's next solve, without the prices of areas: bestAreas has them from the rest. Rows without a price share one row of zeros: a
// curve keeps the prices of all its points.
func (q *prices) kept(zeros []float64) *prices {
	rows := func(list [][]float64) [][]float64 {
		out := make([][]float64, len(list))
		for i, v := range list {
			if out[i] = zeros; !slices.Equal(v, zeros) {
				out[i] = slices.Clone(v)
			}
		}
		return out
	}
	return &prices{rows(q.header), nil, rows(q.store), rows(q.room), rows(q.ramp), rows(q.window),
		rows(q.limit), rows(q.take)}
}

// bestAreas prices areas by their best use at the other prices. No price of an area makes a better bound:
// a dearer m² costs more than its uses' reduced costs gain, a cheaper one saves less.
func (w *work) bestAreas(q *prices) {
	q.area = grid(len(w.p.Fields), w.n)
	for i, f := range w.p.Fields {
		best, pump := q.area[i], w.dt*f.HeatCost
		for l, yields := range f.HeaderKWM2 {
			header := q.header[l]
			for t, y := range yields {
				best[t] = max(best[t], y*(header[t]-pump))
			}
		}
		for k, yields := range f.StoreKWM2 {
			room, store := q.room[k], q.store[k]
			for t, y := range yields {
				best[t] = max(best[t], y*(w.dt*store[t]-room[t]-pump))
			}
		}
	}
}

// mix is prices in the share from q to r, areas apart. With bestAreas the bound at a mix is no worse than
// the mix of bounds.
func (q *prices) mix(r *prices, share float64) *prices {
	between := func(a, b [][]float64) [][]float64 {
		out := make([][]float64, len(a))
		for i := range a {
			out[i] = make([]float64, len(a[i]))
			for t, x := range a[i] {
				out[i][t] = x + share*(b[i][t]-x)
			}
		}
		return out
	}
	return &prices{between(q.header, r.header), nil, between(q.store, r.store), between(q.room, r.room),
		between(q.ramp, r.ramp), between(q.window, r.window), between(q.limit, r.limit), between(q.take, r.take)}
}

// shadow is the part of the bound that depends on one store's size, with the prices fixed: it is
// linear in the limits and in the standing loss, and only Keep bends it.
type shadow struct {
	header, store []float64 // prices, of the header that heats the store and of the store
	dt, penalty   float64
	draw, take    float64 // per kW of limit, 0 or below
	charge        float64
	scarce        bool // heat is somewhere worth more than unmet heat costs
}

func (w *work) newShadow(q *prices, k int) shadow {
	l := w.p.Stores[k].source()
	h := shadow{header: q.header[l], store: q.store[k], dt: w.dt, penalty: w.dt * w.penalty[l]}
	room, served := q.room[k], q.header[w.p.Stores[k].Header]
	for t, header := range h.header {
		held := w.dt * h.store[t]
		h.draw += below(held - served[t])
		h.take += below(header + room[t] - held)
		h.charge -= room[t]
		h.scarce = h.scarce || !(header <= h.penalty)
	}
	return h
}

// stand is per kW of standing loss in a step: dt·store for the row, and min(0, header - dt·store) for the
// heat that keeps warm.
func (h shadow) stand(t int) float64 { return min(h.dt*h.store[t], h.header[t]) }

// short is per kW of room for unmet heat, 0 or below.
func (h shadow) short(t int) float64 { return below(h.penalty - h.header[t]) }

// standing is the bound's part from standing loss: what is lost, and the room for unmet heat that it makes.
func (h shadow) standing(kW []float64) (lost, room float64) {
	for t, x := range kW {
		lost += x * h.stand(t)
	}
	for t := 0; h.scarce && t < len(kW); t++ {
		room += kW[t] * h.short(t)
	}
	return lost, room
}

// bound is the shadow's part at a store's numbers.
func (h shadow) bound(s Store) float64 {
	lost, room := h.standing(s.StandingKW)
	return h.limits(s) + h.stock(s.Keep)*s.CapacityKWh + lost + room
}

// limits is the part that the power limits make.
func (h shadow) limits(s Store) float64 {
	return h.draw*s.DischargeKW + h.take*s.HeaderChargeKW + h.charge*s.ChargeKW
}

// stock is the bound's change per kWh of capacity, 0 or below.
func (h shadow) stock(keep []float64) float64 {
	sum, before := 0.0, h.store[len(h.store)-1]
	for t, price := range h.store {
		sum += below(before - keep[t]*price)
		before = price
	}
	return sum
}

// slope is how much the cost grows from one size of the store to a near one, by the envelope theorem:
// the bound's own growth for what stands in bounds and right sides, and for Keep, which stands at the
// stock, what the plan in fact stores.
func (h shadow) slope(from, to Store, storedKWh []float64) float64 {
	sum := h.limits(to) - h.limits(from) + h.stock(from.Keep)*(to.CapacityKWh-from.CapacityKWh)
	for t, kW := range to.StandingKW {
		sum += (h.stand(t) + h.short(t)) * (kW - from.StandingKW[t])
		sum -= h.store[t] * storedKWh[t] * (to.Keep[t] - from.Keep[t])
	}
	return sum
}
