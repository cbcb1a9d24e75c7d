package onestore

// One step. The header needs its demand, less what the store gives, plus what it takes. It is served
// from the ladder: sources in order of cost, the sun among them at the fields' heat cost h. A kWh that
// the ladder gives at the price p can end in the store in three ways:
//
//   - straight: the store gives a kWh less, or is kept warm or charged from the header by one more.
//     The store gains 1 at p.
//   - by a field: it gives up a kWh at the header and makes ratio kWh in the store. What it saves at
//     the header pays its heat cost: the store gains ratio at p + h (ratio - 1), each kWh at
//     h + (p - h)/ratio. That also holds for sun nobody uses, p = h. It needs sun in the ladder: rungs
//     below h go straight or not at all, for while they last no sun is at the header.
//   - by a field that only charges: each kWh at h, and the ladder gives nothing.
//
// To gain as much as can be gained at each price, the ways are taken in order of ratio, the greatest
// first, and the ladder from below: prices then never fall, which makes g convex, and no exchange
// between ways can better it. Where charging is limited, the order is the same and ends at the limit.

// piece is a stretch of g: the store gains len at a price, by one way from one rung.
type piece struct {
	price, len float64
	pool       float64 // kWh of the ladder it takes
	way        int32   // a use's number, or one of the ways below
	rung       int32   // or one below
}

const (
	straight   int32 = -1 // not counted against the charging limit
	fromHeader int32 = -2 // counted
	aloneWay   int32 = -3
	sunRung    int32 = -1
	ventRung   int32 = -2 // heat that would be let go
	noRung     int32 = -3
)

// walk is the state of one step as pieces are made, from the least gain to the greatest.
type walk struct {
	s        *Solver
	r        *ready
	store    *Store
	unmetKWh float64
	rung     int32 // current, or sunRung
	left     float64
	inSun    bool
	out      []piece
	crumb    float64 // shorter pieces are what rounding left, and are not made
}

// leastGain is what the store loses if it gives all that can be of use: the start of g. With vents it may
// be made to give more than is asked for, but never has to give more on top than it holds.
func (s *Solver) leastGain(t int, store *Store) float64 {
	most := s.steps[t].demand
	if s.plant.Vents {
		most += store.Capacity
	}
	return -min(store.Discharge, most)
}

// plainStep says whether the ladder can only serve the header, or the store straight: no sun, no charging from
// the header, nothing let go. So is most of a year.
func (s *Solver) plainStep(r *ready, store *Store) bool {
	return !r.lit() && !s.plant.Vents && !(store.FromHeader > 0)
}

// plainPieces is pieces for such a step: the ladder above what the header needs, as far as the store can
// make use of it. It returns their length as well.
func (s *Solver) plainPieces(t int, least float64, store *Store, out []piece) ([]piece, float64) {
	r := &s.steps[t]
	standing := store.Standing[t]
	unmetKWh := r.demand + standing
	crumb := roundFrac * unmetKWh
	need, direct, sum := r.demand+least, standing-least, 0.0
	rungs := s.ladder[r.rungs:r.rungsEnd]
	for i := range rungs {
		g := &rungs[i]
		left := g.cap
		if g.source == unmet {
			left = unmetKWh
		}
		if need >= left {
			need -= left
			continue
		}
		n := min(left-need, direct)
		need = 0
		if n > crumb {
			out = append(out, piece{g.cost, n, n, straight, r.rungs + int32(i)})
			sum += n
		}
		if direct -= n; !(direct > 0) {
			break
		}
	}
	return out, sum
}

// pieces appends g of step t to out, in order of price.
func (s *Solver) pieces(t int, least float64, store *Store, out []piece) []piece {
	r := &s.steps[t]
	given := -least
	w := walk{s: s, r: r, store: store, unmetKWh: r.demand + store.Standing[t], out: out}
	w.crumb = roundFrac * (r.demand + store.Standing[t] + r.sun + r.alone)
	direct, room := given+store.Standing[t], store.Charge
	need := r.demand - given
	if need < 0 { // only with vents: the first of what is given is let go
		direct -= w.emit(piece{0, min(-need, direct), 0, straight, ventRung})
		need = 0
	}
	for i := r.rungs; i < r.cheap; i++ { // below the sun's own cost
		left := w.cap(i)
		used := min(need, left)
		need -= used
		n := min(direct, left-used)
		direct -= w.emit(piece{s.ladder[i].cost, n, n, straight, i})
	}
	w.start(need)
	room -= w.emit(piece{s.plant.HeatCost, min(r.alone, room), 0, aloneWay, noRung})
	doneStraight := false
	for u := r.uses; u <= r.usesEnd; u++ {
		if !doneStraight && (u == r.usesEnd || s.uses[u].ratio <= 1) {
			doneStraight = true
			w.convert(1, direct, straight)
			room -= w.convert(1, min(store.FromHeader, room), fromHeader)
		}
		if u < r.usesEnd && room > 0 {
			v := &s.uses[u]
			room -= w.convert(v.ratio, min(v.cap, room/v.ratio), u)
		}
	}
	return w.out
}

// cap is what a rung can give.
func (w *walk) cap(i int32) float64 {
	if g := &w.s.ladder[i]; g.source != unmet {
		return g.cap
	}
	return w.unmetKWh
}

func (w *walk) emit(p piece) float64 {
	if !(p.len > w.crumb) {
		return 0
	}
	w.out = append(w.out, p)
	return p.len
}

// start opens the ladder from the sun upwards and lets the header take its need from it.
func (w *walk) start(need float64) {
	w.rung, w.inSun, w.left = w.r.cheap-1, true, w.r.sun
	for need > w.left {
		need -= w.left
		if !w.climb() {
			return
		}
	}
	w.left -= need
}

// climb goes to the next rung; false at the top.
func (w *walk) climb() bool {
	w.inSun, w.left = false, 0
	if w.rung+1 >= w.r.rungsEnd {
		w.rung = w.r.rungsEnd
		return false
	}
	w.rung++
	w.left = w.cap(w.rung)
	return true
}

// convert takes up to pool kWh of the ladder into the store by one way and returns what the store gains.
func (w *walk) convert(ratio, pool float64, way int32) float64 {
	h, gained := w.s.plant.HeatCost, 0.0
	for pool > 0 {
		if !(w.left > 0) {
			if w.rung >= w.r.rungsEnd || !w.climb() {
				break
			}
			continue
		}
		n := min(pool, w.left)
		price, rung := h, sunRung
		if !w.inSun {
			rung = w.rung
			price = w.s.ladder[rung].cost
			if ratio != 1 {
				price = h + (price-h)/ratio
			}
		}
		gained += w.emit(piece{price, ratio * n, n, way, rung})
		pool, w.left = pool-n, w.left-n
	}
	return gained
}
