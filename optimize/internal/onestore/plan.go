package onestore

// Plan is what a solve found, by step, in kWh, with the prices that prove it best, per kWh.
type Plan struct {
	Source      [][]float64 // [source]
	FieldHeader [][]float64 // [field]
	FieldStore  [][]float64 // [field]
	Draw        []float64   // out of the store
	Warm        []float64   // from the header, in place of standing loss
	Take        []float64   // from the header, to charge
	Unmet, Vent []float64
	Held        []float64 // at each step's start, one more than there are steps
	HeaderPrice []float64 // of one more kWh asked for
	StorePrice  []float64 // of one more kWh in the store at the step's end
	RoomPrice   []float64 // of one more kWh of charging limit, 0 or more
}

// Into makes every later Solve write its plan into the series that p has, of the plant's length, and make
// the others. It saves a caller with series of its own from copying.
func (s *Solver) Into(p *Plan) {
	whole := func(v *[]float64, n int) {
		if *v == nil {
			*v = make([]float64, n)
		}
	}
	all := func(list *[][]float64, count int) {
		for len(*list) < count {
			*list = append(*list, nil)
		}
		for i := range *list {
			whole(&(*list)[i], s.n)
		}
	}
	all(&p.Source, len(s.plant.Sources))
	all(&p.FieldHeader, len(s.plant.Fields))
	all(&p.FieldStore, len(s.plant.Fields))
	for _, v := range []*[]float64{&p.Draw, &p.Warm, &p.Take, &p.Unmet, &p.Vent, &p.HeaderPrice, &p.StorePrice, &p.RoomPrice} {
		whole(v, s.n)
	}
	whole(&p.Held, s.n+1)
	s.plan = p
}

// fill works out every flow from what the store gains, and the remaining prices from the flows.
func (s *Solver) fill() *Plan {
	if s.plan == nil {
		s.Into(&Plan{})
	}
	out := s.plan
	copy(out.Held, s.year.plan.held)
	copy(out.StorePrice, s.year.price)
	for _, lists := range [][][]float64{out.Source, out.FieldHeader, out.FieldStore, {out.Unmet, out.Vent, out.Take}} {
		for _, v := range lists {
			clear(v)
		}
	}
	for t := range s.n {
		if s.plainStep(&s.steps[t], s.year.store) {
			s.plain(t, out)
			continue
		}
		s.flows(t, out)
		s.priceHeader(t, out)
	}
	return out
}

// plain is flows and priceHeader at once where the ladder serves the header and the store straight: it then
// simply gives what both want, from the cheapest rung up.
func (s *Solver) plain(t int, out *Plan) {
	y, r := &s.year, &s.steps[t]
	standing, held := y.store.Standing[t], out.StorePrice[t]
	given, gained := -y.least[t], min(y.plan.gain[t]-y.least[t], y.reach[t])
	draw, warm := given-gained, 0.0
	if draw < 0 {
		draw, warm = 0, -draw
	}
	out.Draw[t], out.Warm[t] = draw, warm
	edge := edgeFrac*(r.demand+standing) + y.slack
	p, left := anywhere(), r.demand-draw+warm
	for _, g := range s.ladder[r.rungs:r.rungsEnd] {
		limit := g.cap
		if g.source == unmet {
			limit = r.demand + standing
		}
		n := min(left, limit)
		left -= n
		if g.source == unmet {
			out.Unmet[t] = n
		} else {
			out.Source[g.source][t] = n
		}
		p.flow(n, limit, g.cost, edge)
	}
	p.flow(draw, y.store.Discharge, held, edge)
	p.against(warm, standing, held, edge)
	out.HeaderPrice[t], out.RoomPrice[t] = p.lowest(s.plant.HeatCost), 0
}

// flows walks through the pieces of step t as far as the store gains, and serves the header.
func (s *Solver) flows(t int, out *Plan) {
	y, r, p := &s.year, &s.steps[t], &s.plant
	given := -y.least[t]
	out.Vent[t] = max(given-r.demand, 0)
	sun := s.base(t, max(r.demand-given, 0), out)
	direct, alone := 0.0, 0.0
	left := y.plan.gain[t] - y.least[t]
	for _, piece := range y.g(t) {
		if left <= 0 {
			break
		}
		part := min(left/piece.len, 1)
		gained, pool := part*piece.len, part*piece.pool
		left -= piece.len
		switch piece.rung {
		case sunRung:
			sun += pool
		case ventRung:
			out.Vent[t] -= gained
		case noRung:
		default:
			s.give(t, piece.rung, pool, out)
		}
		switch piece.way {
		case straight:
			direct += gained
		case fromHeader:
			out.Take[t] += gained
		case aloneWay:
			alone += gained
		default:
			use := &s.uses[piece.way]
			out.FieldStore[use.field][t] += gained
			out.FieldHeader[use.field][t] -= pool // for now: what it gives up
			sun -= pool
		}
	}
	out.Draw[t] = given - min(direct, given)
	out.Warm[t] = direct - min(direct, given)
	if r.lit() {
		s.share(t, sun, alone, out)
	}
	if p.Vents {
		s.runFull(t, out)
	}
}

// base lets the ladder serve what the header needs at the store's least gain; it returns the sun in it.
func (s *Solver) base(t int, need float64, out *Plan) (sun float64) {
	r := &s.steps[t]
	room := r.demand + s.year.store.Standing[t]
	for i := r.rungs; i <= r.rungsEnd && need > 0; i++ {
		if i == r.cheap {
			sun = min(need, r.sun)
			need -= sun
		}
		if i == r.rungsEnd {
			break
		}
		limit := s.ladder[i].cap
		if s.ladder[i].source == unmet {
			limit = room
		}
		n := min(need, limit)
		s.give(t, i, n, out)
		need -= n
	}
	return sun
}

func (s *Solver) give(t int, rung int32, kWh float64, out *Plan) {
	if i := s.ladder[rung].source; i != unmet {
		out.Source[i][t] += kWh
	} else {
		out.Unmet[t] += kWh
	}
}

// share divides the sun at the header among the fields, and what charges alone.
func (s *Solver) share(t int, sun, alone float64, out *Plan) {
	for i, f := range s.plant.Fields {
		header, store := at(f.Header, t), at(f.Store, t)
		if header > 0 {
			n := max(min(header+out.FieldHeader[i][t], sun), 0)
			sun -= n
			out.FieldHeader[i][t] = n
			continue
		}
		out.FieldHeader[i][t] = 0
		n := min(store, alone)
		alone -= n
		out.FieldStore[i][t] = n
	}
}

// runFull lets what pays for being made run, and what nobody wants of it go.
func (s *Solver) runFull(t int, out *Plan) {
	for i, b := range s.plant.Sources {
		if b.Cost[t] < 0 {
			out.Vent[t] += b.Cap[t] - out.Source[i][t]
			out.Source[i][t] = b.Cap[t]
		}
	}
}
