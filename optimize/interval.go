package optimize

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// Bounds between two solved volumes a < b. f(V) is the true least cost.
//
// From below. Take a stretch [p, q] inside [a, b]. With Keep of q, which is no worse, and a standing
// loss on the chord from p to q, which is no greater as standing loss bends down, the least cost is no
// higher than f. Heat the store need not lose can always be left out of what charges it. For fixed
// prices the bound of bound.go is then a straight line in V but for the limits, which enter with
// factors of 0 or below; a limit bends down, so that the line through two of its values further left,
// or further right, is nowhere below it on [p, q] and may stand for it. That makes up to six straight
// lines below f: the prices of a, of b or of their mix, the limits' line from the left or from the right.
//
// From above. The mix of the plans of a and b in the share of V, s = (V-a)/(b-a), keeps every limit at V.
// Its store loses more than the mix of their losses says: by at most s·(Keep_b - Keep_V)·E_b and by what
// standing loss stands above its chord. Make that up as it is lost, by drawing less, from boilers at
// their dearest price. That boilers have this little to spare is supposed, not proven: it is the one
// such supposition. Or else keep to the plan of a, and make up the larger vessel's standing loss alone.
//
// The gap is the widest distance among both bounds and the straight line between the points, so that it
// holds for the curve as it is drawn.

// interval is what is known between two neighbouring samples.
type interval struct {
	gap  float64 // widest distance of the bounds, in money
	most float64 // savings against no store are nowhere above this
}

// line is straight between the ends of a stretch.
type line struct{ p, q float64 }

func (l line) at(share float64) float64 { return l.p + share*(l.q-l.p) }

// intervals bounds the curve between all samples, shared among the cores.
func (tr *tracer) intervals() ([]interval, error) {
	n := len(tr.samples) - 1
	list, errs := make([]interval, n), make([]error, n)
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				list[i], errs[i] = tr.between(i)
			}
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return list, nil
}

// between bounds the curve from sample i to the next, stretch by stretch.
func (tr *tracer) between(i int) (interval, error) {
	a, b := tr.samples[i], tr.samples[i+1]
	marks, err := tr.marks(a, b)
	if err != nil {
		return interval{}, err
	}
	priceA := a
	if a.v == 0 { // an empty store's prices say nothing
		priceA = b
	}
	// Half-way between, the stock of neither sample's prices fits Keep; that of their mix does.
	mixed := priceA.prices.mix(b.prices, 0.5)
	tr.w.bestAreas(mixed)
	views := []view{priceA.view, b.view, tr.w.view(mixed, tr.k)}
	var seen [][]sight
	for _, v := range views {
		seen = append(seen, v.at(marks))
	}
	all := interval{gap: 0, most: math.Inf(-1)}
	for j := 1; j+2 < len(marks); j++ {
		st := stretch{marks: marks[j-1 : j+3], a: a, b: b}
		var lower []line
		for i, v := range views {
			lower = append(lower, st.lower(v, seen[i][j], seen[i][j+1])...)
		}
		drawn := []line{st.drawn()}
		all.gap = max(all.gap, peak(drawn, lower))
		if a.v > 0 { // below the smallest vessel only what a store can save at most is promised
			upper := st.upper(tr, marks[1].stand, marks[len(marks)-2].stand)
			all.gap = max(all.gap, peak(upper, lower), peak(upper, drawn))
		}
		all.most = math.Max(all.most, tr.curve.NoStore.Cost-trough(lower))
	}
	return all, nil
}

// mark is the store at one volume of an interval, or just outside; ok is false beyond the law's ends.
type mark struct {
	v     float64
	store Store
	stand float64 // standing loss of the period, priced at the spare boiler heat
	ok    bool
}

const (
	marksInside = 6 // stretches of an interval
	marksFirst  = 8 // of the first, where Keep changes most; they crowd towards 0
)

// marks are the ends of the stretches with one more on either side for the limits' lines.
func (tr *tracer) marks(a, b *sample) ([]mark, error) {
	n, power := marksInside, 1.0
	if a.v == 0 {
		n, power = marksFirst, 3
	}
	list := make([]mark, 0, n+3)
	for j := -1; j <= n+1; j++ {
		share := float64(j) / float64(n)
		if j > 0 && j < n {
			share = math.Pow(share, power)
		}
		m := mark{v: a.v + share*(b.v-a.v), ok: true}
		switch {
		case j == 0:
			m.store = a.store
		case j == n:
			m.v, m.store = b.v, b.store
		case j < 0 && m.v < 0, j > n && m.v > tr.opt.ToM3*(1+1e-9):
			m.ok = false
		default:
			var err error
			if m.store, err = tr.storeAt(m.v); err != nil {
				return nil, err
			}
		}
		if m.ok {
			for t, kW := range m.store.StandingKW {
				m.stand += kW * tr.w.dt * tr.spareCost[t]
			}
		}
		list = append(list, m)
	}
	return list, lawful(list)
}

// stretch is marks[1] to marks[2] with one neighbour on each side, inside the interval of a and b.
type stretch struct {
	marks []mark
	a, b  *sample
}

// sides are the lines that stand above a quantity that bends down: through the mark before p and p,
// and through q and the mark after it, as far as those marks are there.
func (st stretch) sides(value func(mark) float64) []line {
	m := st.marks
	p, q := value(m[1]), value(m[2])
	var list []line
	if m[0].ok {
		slope := (p - value(m[0])) / (m[1].v - m[0].v)
		list = append(list, line{p, p + slope*(m[2].v-m[1].v)})
	}
	if m[3].ok {
		slope := (value(m[3]) - q) / (m[3].v - m[2].v)
		list = append(list, line{q - slope*(m[2].v-m[1].v), q})
	}
	if list == nil { // nothing on either side: what rises is nowhere above its end
		list = append(list, line{q, q})
	}
	return list
}

// sight is what the prices of a view say of the series of the store at a mark.
type sight struct{ lost, room, stock float64 }

// at is a view's sight of marks, the outer ones apart.
func (v view) at(marks []mark) []sight {
	list := make([]sight, len(marks))
	for j := 1; j+1 < len(marks); j++ {
		s := &list[j]
		s.lost, s.room = v.shadow.standing(marks[j].store.StandingKW)
		s.stock = v.shadow.stock(marks[j].store.Keep)
	}
	return list
}

// lower are lines below f on the stretch, by prices that do not change on it.
func (st stretch) lower(v view, p, q sight) []line {
	limits := st.sides(func(m mark) float64 { return m.store.CapacityKWh*q.stock + v.shadow.limits(m.store) })
	rest := v.rest + q.room
	for i, l := range limits {
		limits[i] = line{rest + p.lost + l.p, rest + q.lost + l.q}
	}
	return limits
}

// share is how far the ends of the stretch are from a to b.
func (st stretch) share() line {
	a, b := st.a.v, st.b.v
	return line{(st.marks[1].v - a) / (b - a), (st.marks[2].v - a) / (b - a)}
}

// drawn is the straight line between the solved costs of a and b.
func (st stretch) drawn() line {
	share := st.share()
	rise := st.b.cost - st.a.cost
	return line{st.a.cost + share.p*rise, st.a.cost + share.q*rise}
}

// upper are lines above f on the stretch; standA and standB are the standing losses of a and b.
func (st stretch) upper(tr *tracer, standA, standB float64) []line {
	a, b, m := st.a, st.b, st.marks
	share := st.share()
	keep := 0.0
	for t, before := range m[1].store.Keep {
		if m[1].v == 0 {
			before = 0 // an empty vessel's Keep is not known
		}
		keep += math.Max(0, b.store.Keep[t]-before) * b.storedKWh[t] * tr.spareCost[t]
	}
	keep *= share.q
	mix := func(share, stand float64) float64 {
		return a.cost + share*(b.cost-a.cost) + keep + stand - (standA + share*(standB-standA))
	}
	var list []line
	for _, stand := range st.sides(func(m mark) float64 { return m.stand }) {
		list = append(list, line{mix(share.p, stand.p), mix(share.q, stand.q)},
			line{a.cost + stand.p - standA, a.cost + stand.q - standA})
	}
	return list
}

// peak is the widest distance over the stretch of the lowest line of upper above the highest of lower.
// It lies at an end or where two differences cross.
func peak(upper, lower []line) float64 {
	var d []line
	for _, u := range upper {
		for _, l := range lower {
			d = append(d, line{u.p - l.p, u.q - l.q})
		}
	}
	return highestMin(d)
}

// trough is the lowest point over the stretch of the highest line.
func trough(lower []line) float64 {
	var d []line
	for _, l := range lower {
		d = append(d, line{-l.p, -l.q})
	}
	return -highestMin(d)
}

// highestMin is the greatest value over the stretch of the least of the lines.
func highestMin(d []line) float64 {
	least := func(share float64) float64 {
		low := math.Inf(1)
		for _, l := range d {
			low = math.Min(low, l.at(share))
		}
		return low
	}
	best := math.Max(least(0), least(1))
	for i, a := range d {
		for _, b := range d[:i] {
			if turn := (a.q - a.p) - (b.q - b.p); turn != 0 {
				if share := (b.p - a.p) / turn; share > 0 && share < 1 {
					best = math.Max(best, least(share))
				}
			}
		}
	}
	return best
}

// lawful checks what Trace supposes of the law on the marks of an interval.
func lawful(list []mark) error {
	for i := 1; i < len(list); i++ {
		p, q := list[i-1], list[i]
		if !p.ok || !q.ok {
			continue
		}
		if err := growing(p, q); err != nil {
			return err
		}
		if i+1 < len(list) && list[i+1].ok {
			if err := bending(p, q, list[i+1]); err != nil {
				return err
			}
		}
	}
	return nil
}

// lawTol is by how much, relatively, a law may be off in what Trace supposes of it: a vessel's numbers
// come from iterations that end at about this.
const lawTol = 1e-7

func growing(p, q mark) error {
	for _, x := range limitsOf {
		if x.of(q.store) < x.of(p.store)*(1-lawTol) {
			return fmt.Errorf("store: %s falls from %.6g to %.6g between %.4g and %.4g m³; the curve wants it to rise", x.name, x.of(p.store), x.of(q.store), p.v, q.v)
		}
	}
	for t, keep := range q.store.Keep {
		if p.v > 0 && keep < p.store.Keep[t]*(1-lawTol) {
			return fmt.Errorf("store: keep falls from %.9g to %.9g between %.4g and %.4g m³ in step %d; the curve wants a larger store to keep better", p.store.Keep[t], keep, p.v, q.v, t)
		}
		if kW := q.store.StandingKW[t]; kW < p.store.StandingKW[t]*(1-lawTol) {
			return fmt.Errorf("store: standing loss falls from %.6g to %.6g kW between %.4g and %.4g m³ in step %d; the curve wants it to rise", p.store.StandingKW[t], kW, p.v, q.v, t)
		}
	}
	return nil
}

func bending(p, q, r mark) error {
	share := (q.v - p.v) / (r.v - p.v)
	up := func(a, b, c float64) bool { return b < (a+share*(c-a))*(1-lawTol) }
	for _, x := range limitsOf {
		if up(x.of(p.store), x.of(q.store), x.of(r.store)) {
			return fmt.Errorf("store: %s bends up near %.4g m³; the curve wants it to rise less and less", x.name, q.v)
		}
	}
	for t := range q.store.StandingKW {
		if up(p.store.StandingKW[t], q.store.StandingKW[t], r.store.StandingKW[t]) {
			return fmt.Errorf("store: standing loss bends up near %.4g m³ in step %d; the curve wants it to rise less and less", q.v, t)
		}
	}
	return nil
}

var limitsOf = []struct {
	name string
	of   func(Store) float64
}{
	{"capacity", func(s Store) float64 { return s.CapacityKWh }},
	{"charging limit", func(s Store) float64 { return s.ChargeKW }},
	{"discharge limit", func(s Store) float64 { return s.DischargeKW }},
	{"charging limit from the header", func(s Store) float64 { return s.HeaderChargeKW }},
}
