package onestore

import "math"

// span is where a price may lie.
type span struct{ lo, hi float64 }

func anywhere() span { return span{math.Inf(-1), math.Inf(1)} }

func (s *span) least(p float64) { s.lo = max(s.lo, p) }
func (s *span) most(p float64)  { s.hi = min(s.hi, p) }

// flow narrows the span of what a kWh is worth by a flow that costs `cost` a kWh: one that runs costs
// no more than that, one that could run more costs no less.
func (s *span) flow(kWh, limit, cost, edge float64) {
	if kWh > edge {
		s.least(cost)
	}
	if kWh < limit-edge {
		s.most(cost)
	}
}

// against narrows it by a flow out of the header into where a kWh is worth `worth`.
func (s *span) against(kWh, limit, worth, edge float64) {
	if kWh > edge {
		s.most(worth)
	}
	if kWh < limit-edge {
		s.least(worth)
	}
}

// lowest is its lower limit; without one its upper, and without either what is given.
func (s *span) lowest(otherwise float64) float64 {
	switch {
	case !math.IsInf(s.lo, -1):
		return s.lo
	case !math.IsInf(s.hi, 1):
		return s.hi
	}
	return otherwise
}

// stepPrices is where two prices of one step may lie, both above the fields' heat cost: of a kWh at the
// header, and of a kWh charged, which is what it is worth when stored less the price of charging room.
// A field that turns a kWh at the header into r in the store, and does the one, says
// header >= r·charged; one that does the other says header <= r·charged.
type stepPrices struct {
	header, charged  span
	straight, charge float64 // the greatest r of the first kind, 0 if none, and the least of the second
}

// priceHeader finds the header's price of step t, and that of room to charge, which fit all flows.
func (s *Solver) priceHeader(t int, out *Plan) {
	r, store, h := &s.steps[t], s.year.store, s.plant.HeatCost
	held := out.StorePrice[t]
	edge := edgeFrac*(r.demand+store.Standing[t]+r.sun+r.alone) + s.year.slack
	at := s.sourcesSpan(t, out, edge)
	counted := out.Take[t]
	if r.lit() {
		for i := range out.FieldStore {
			counted += out.FieldStore[i][t]
		}
	}
	x := stepPrices{header: span{at.lo - h, at.hi - h}, charged: span{math.Inf(-1), held - h}, charge: math.Inf(1)}
	if counted < store.Charge-edge { // room has no price
		x.charged.lo = held - h
	}
	if r.lit() {
		s.fieldsSpan(t, out, &x, edge)
	}
	if out.Take[t] > edge {
		x.charge = min(x.charge, 1)
	}
	if out.Take[t] < store.FromHeader-edge {
		x.straight = max(x.straight, 1)
	}
	header, charged := x.choose()
	out.HeaderPrice[t], out.RoomPrice[t] = h+header, max(held-h-charged, 0)
}

// sourcesSpan is where the header's price may lie by what serves it, the fields apart.
func (s *Solver) sourcesSpan(t int, out *Plan, edge float64) span {
	store, held, p := s.year.store, out.StorePrice[t], anywhere()
	r := &s.steps[t]
	for _, g := range s.ladder[r.rungs:r.rungsEnd] {
		if g.source == unmet {
			p.flow(out.Unmet[t], r.demand+store.Standing[t], g.cost, edge)
		} else { // a cost below 0 stands as 0 in the ladder: so low no price is where heat may be let go
			p.flow(out.Source[g.source][t], g.cap, g.cost, edge)
		}
	}
	p.flow(out.Draw[t], store.Discharge, held, edge)
	if s.plant.Vents {
		p.least(0)
		if out.Vent[t] > edge {
			p.most(0)
		}
	}
	p.against(out.Warm[t], store.Standing[t], held, edge)
	return p
}

// fieldsSpan narrows both prices by what the fields do.
func (s *Solver) fieldsSpan(t int, out *Plan, x *stepPrices, edge float64) {
	for i, f := range s.plant.Fields {
		header, store := at(f.Header, t), at(f.Store, t)
		straight, charge := out.FieldHeader[i][t], out.FieldStore[i][t]
		idle := max(header, store) - straight - charge
		if header > 0 && store > 0 {
			idle = header - straight - charge/store*header
		}
		if straight > edge {
			x.header.least(0)
			if store > 0 {
				x.straight = max(x.straight, store/header)
			}
		}
		if charge > edge {
			x.charged.least(0)
			if header > 0 {
				x.charge = min(x.charge, store/header)
			}
		}
		if idle > edge {
			if header > 0 {
				x.header.most(0)
			}
			if store > 0 {
				x.charged.most(0)
			}
		}
	}
}

// choose takes of all pairs that fit one with the least price of room, and of these one with the
// least price at the header that has a lower limit.
func (x *stepPrices) choose() (header, charged float64) {
	charged = x.charged.hi
	if x.straight > 0 {
		charged = max(min(charged, x.header.hi/x.straight), x.charged.lo)
	}
	header = max(x.header.lo, x.straight*charged)
	if x.straight == 0 {
		header = x.header.lo
	}
	if !math.IsInf(header, -1) {
		return header, charged
	}
	if header = x.header.hi; !math.IsInf(x.charge, 1) {
		header = min(header, x.charge*charged)
	}
	if math.IsInf(header, 1) {
		header = 0
	}
	return header, charged
}
