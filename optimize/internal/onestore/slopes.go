package onestore

// slopes is a convex function of heat held, falling at first: stretches in order of price, the greatest
// first, from 0 up. Prices and lengths are kept as multiples of two common factors, so that a step's
// scaling costs nothing. The stretches stand in the middle of a longer array, so that either end can
// grow; an insertion moves the shorter side.
type slopes struct {
	price, len []float64
	begun      []bool // the stretch was there when the pass began
	lo, hi     int
	old        int // how many of those are left
	priceUnit  float64
	lenUnit    float64
	total      float64 // of all lengths, in kWh
	age        int     // scalings since they were counted
}

const (
	roomAtFirst = 1 << 10
	countAgain  = 100
	unitSmall   = 0.25 // what is off in the total has then grown fourfold
)

// set makes the list a single stretch.
func (l *slopes) set(price, length float64) {
	l.clear()
	l.pushBack(price, length, true)
}

func (l *slopes) clear() {
	if l.price == nil {
		l.grow(roomAtFirst)
	}
	l.lo = len(l.price) / 2
	l.hi, l.old, l.total = l.lo, 0, 0
	l.priceUnit, l.lenUnit, l.age = 1, 1, 0
}

// grow makes room for n stretches with as much on either side.
func (l *slopes) grow(n int) {
	price, length, begun := make([]float64, n), make([]float64, n), make([]bool, n)
	lo := (n - (l.hi - l.lo)) / 2
	copy(price[lo:], l.price[l.lo:l.hi])
	copy(length[lo:], l.len[l.lo:l.hi])
	copy(begun[lo:], l.begun[l.lo:l.hi])
	l.lo, l.hi = lo, lo+l.hi-l.lo
	l.price, l.len, l.begun = price, length, begun
}

func (l *slopes) pushBack(price, length float64, begun bool) {
	if l.hi == len(l.price) {
		l.grow(2 * len(l.price))
	}
	l.price[l.hi], l.len[l.hi], l.begun[l.hi] = price/l.priceUnit, length/l.lenUnit, begun
	l.hi++
	l.total += length
	if begun {
		l.old++
	}
}

// copyFrom makes l the same function, every stretch of it there at the beginning.
func (l *slopes) copyFrom(m *slopes) {
	l.clear()
	for i := m.lo; i < m.hi; i++ {
		l.pushBack(m.price[i]*m.priceUnit, m.len[i]*m.lenUnit, true)
	}
}

// find is the place of the first stretch that is not dearer, counted from the low end.
func (l *slopes) find(price float64) int {
	p := price / l.priceUnit
	lo, hi := l.lo, l.hi
	for lo < hi {
		if mid := int(uint(lo+hi) / 2); l.price[mid] > p {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo - l.lo
}

// before is the length of all stretches before a place, summed from the nearer end.
func (l *slopes) before(place int) float64 {
	i, sum := l.lo+place, 0.0
	if i-l.lo <= l.hi-i {
		for _, n := range l.len[l.lo:i] {
			sum += n
		}
		return sum * l.lenUnit
	}
	for _, n := range l.len[i:l.hi] {
		sum += n
	}
	return l.total - sum*l.lenUnit
}

// insert puts a stretch at a place; those before it keep theirs.
func (l *slopes) insert(place int, price, length float64) {
	if l.lo == 0 || l.hi == len(l.price) {
		l.grow(2 * len(l.price))
	}
	i := l.lo + place
	if i-l.lo < l.hi-i {
		copy(l.price[l.lo-1:], l.price[l.lo:i])
		copy(l.len[l.lo-1:], l.len[l.lo:i])
		copy(l.begun[l.lo-1:], l.begun[l.lo:i])
		l.lo--
		i--
	} else {
		copy(l.price[i+1:], l.price[i:l.hi])
		copy(l.len[i+1:], l.len[i:l.hi])
		copy(l.begun[i+1:], l.begun[i:l.hi])
		l.hi++
	}
	l.price[i], l.len[i], l.begun[i] = price/l.priceUnit, length/l.lenUnit, false
	l.total += length
}

// cutFront takes a length off the low end.
func (l *slopes) cutFront(length float64) {
	l.total -= length
	left := length / l.lenUnit
	for l.lo < l.hi && l.len[l.lo] <= left {
		left -= l.len[l.lo]
		l.drop(l.lo)
		l.lo++
	}
	if l.lo < l.hi && left > 0 {
		l.len[l.lo] -= left
	}
}

// cutBack shortens the list to a total length.
func (l *slopes) cutBack(total float64) {
	left := (l.total - total) / l.lenUnit
	l.total = total
	for l.lo < l.hi && l.len[l.hi-1] <= left {
		left -= l.len[l.hi-1]
		l.hi--
		l.drop(l.hi)
	}
	if l.lo < l.hi && left > 0 {
		l.len[l.hi-1] -= left
	}
}

func (l *slopes) drop(i int) {
	if l.begun[i] {
		l.old--
	}
}

// scale makes of W(z) the function V(E) = W(keep·E - what was cut): lengths grow, prices fall.
func (l *slopes) scale(keep float64) {
	l.priceUnit *= keep
	l.lenUnit /= keep
	l.total /= keep
	if l.age++; l.age >= countAgain || l.priceUnit < unitSmall {
		l.count()
	}
}

// count works the factors in and adds the lengths up anew: what rounding left out of the total would
// grow with every scaling.
func (l *slopes) count() {
	l.age, l.total = 0, 0
	for i := l.lo; i < l.hi; i++ {
		l.price[i] *= l.priceUnit
		l.len[i] *= l.lenUnit
		l.total += l.len[i]
	}
	l.priceUnit, l.lenUnit = 1, 1
}

// upTo is the length of all stretches dearer than a price, and of those at least as dear.
func (l *slopes) upTo(price float64) (dearer, asDear float64) {
	for i := l.lo; i < l.hi; i++ {
		p, n := l.price[i]*l.priceUnit, l.len[i]*l.lenUnit
		if p > price {
			dearer += n
		}
		if p >= price {
			asDear += n
		}
	}
	return dearer, asDear
}
