package onestore

import "math"

// span is where a price may lie.
type span struct{ lo, hi float64 }

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

// priceHeader finds the header's price of step t, and that of room to charge, which fit all flows.
func (s *Solver) priceHeader(t int, out *Plan) {
	r, store, h := &s.steps[t], s.year.store, s.plant.HeatCost
	held := out.StorePrice[t]
	edge := edgeFrac*(r.demand+store.Standing[t]+r.sun+r.alone) + s.year.slack
	p := span{math.Inf(-1), math.Inf(1)}
	for i, b := range s.plant.Sources {
		if b.Cap[t] > 0 {
			p.flow(out.Source[i][t], b.Cap[t], b.Cost[t], edge)
		}
	}
	p.flow(out.Unmet[t], r.demand+store.Standing[t], s.plant.UnmetCost, edge)
	p.flow(out.Draw[t], store.Discharge, held, edge)
	if s.plant.Vents {
		p.least(0)
		if out.Vent[t] > edge {
			p.most(0)
		}
	}
	if out.Warm[t] > edge {
		p.most(held)
	}
	if out.Warm[t] < store.Standing[t]-edge {
		p.least(held)
	}
	counted := out.Take[t]
	for i := range out.FieldStore {
		counted += out.FieldStore[i][t]
	}
	limited := counted >= store.Charge-edge
	s.fieldsSpan(t, out, &p, limited, edge)
	if limited && counted > out.Take[t]+edge && out.Take[t] < store.FromHeader-edge {
		p.least(h) // or the header would charge in place of a field
	}
	if !limited && store.FromHeader > 0 {
		if out.Take[t] > edge {
			p.most(held)
		}
		if out.Take[t] < store.FromHeader-edge {
			p.least(held)
		}
	}
	price := p.lo
	if math.IsInf(price, -1) {
		if price = p.hi; math.IsInf(price, 1) {
			price = 0
		}
	}
	out.HeaderPrice[t], out.RoomPrice[t] = price, 0
	if limited {
		out.RoomPrice[t] = s.room(t, out, price, h, edge)
	}
}

// fieldsSpan narrows the header's price by what the fields do.
func (s *Solver) fieldsSpan(t int, out *Plan, p *span, limited bool, edge float64) {
	h, held := s.plant.HeatCost, out.StorePrice[t]
	for i, f := range s.plant.Fields {
		header, store := at(f.Header, t), at(f.Store, t)
		if header <= 0 {
			continue
		}
		straight, charge := out.FieldHeader[i][t], out.FieldStore[i][t]
		idle := header - straight
		if store > 0 {
			idle -= charge / store * header
		}
		if idle > edge {
			p.most(h)
		}
		if straight > edge {
			p.least(h)
		}
		if store <= 0 || limited {
			continue
		}
		even := h + store/header*(held-h) // where either use is as good
		if straight > edge {
			p.least(even)
		}
		if charge > edge {
			p.most(max(even, h))
		}
	}
}

// room is the least price of charging room at which no field or header would charge more.
func (s *Solver) room(t int, out *Plan, price, h, edge float64) float64 {
	held, room := out.StorePrice[t], 0.0
	if take := s.year.store.FromHeader; take > 0 && out.Take[t] < take-edge {
		room = max(room, held-price)
	}
	for i, f := range s.plant.Fields {
		header, store := at(f.Header, t), at(f.Store, t)
		if store <= 0 || out.FieldStore[i][t] >= store-edge {
			continue
		}
		cost := h
		if header > 0 {
			cost += max(price-h, 0) * header / store
		}
		room = max(room, held-cost)
	}
	return room
}
