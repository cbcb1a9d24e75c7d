package onestore

// slopes is a convex function of heat held, falling at first: stretches in order of price, the greatest
// first, from 0 up. A step scales all prices by one factor and all lengths by its inverse, so both are
// kept as multiples of two common units, and scaling costs nothing. The stretches stand in the middle of
// a longer array, so that either end can grow; an insertion moves the shorter side.
type slopes struct {
	at        []stretch
	lo, hi    int
	old       int     // stretches left that were there when the pass began
	priceUnit float64 // and its inverse
	lenUnit   float64
	total     float64 // of all lengths, in kWh
	age       int     // scalings since they were counted
}

// stretch is in units of its list.
type stretch struct {
	price, len float64
	begun      bool // it was there when the pass began
}

const (
	roomAtFirst = 1 << 10
	countAgain  = 100
	unitSmall   = 0.25 // what is off in the total has then grown fourfold
	fewLeft     = 12   // so many stretches are sooner passed by one by one
)

// set makes the list a single stretch.
func (l *slopes) set(price, length float64) {
	l.clear()
	l.pushBack(price, length, true)
}

func (l *slopes) clear() {
	if l.at == nil {
		l.at = make([]stretch, roomAtFirst)
	}
	l.lo = len(l.at) / 2
	l.hi, l.old, l.total = l.lo, 0, 0
	l.priceUnit, l.lenUnit, l.age = 1, 1, 0
}

// makeRoom leaves room on either side: a list wanders, as what is put in at one end is cut off at the other,
// and so is more often moved back to the middle than given a longer array.
func (l *slopes) makeRoom() {
	from, n := l.at, len(l.at)
	if 2*(l.hi-l.lo) > n {
		l.at = make([]stretch, 2*n)
	}
	lo := (len(l.at) - (l.hi - l.lo)) / 2
	copy(l.at[lo:], from[l.lo:l.hi])
	l.lo, l.hi = lo, lo+l.hi-l.lo
}

func (l *slopes) pushBack(price, length float64, begun bool) {
	if l.hi == len(l.at) {
		l.makeRoom()
	}
	l.at[l.hi] = stretch{price * l.lenUnit, length * l.priceUnit, begun}
	l.hi++
	l.total += length
	if begun {
		l.old++
	}
}

// copyFrom makes l the same function, every stretch of it there at the beginning.
func (l *slopes) copyFrom(m *slopes) {
	l.clear()
	for _, s := range m.at[m.lo:m.hi] {
		l.pushBack(s.price*m.priceUnit, s.len*m.lenUnit, true)
	}
}

// place is where a price stands in a list, counted from the low end, with the length before it.
type place struct {
	i      int
	before float64 // kWh
}

// find is the place of the first stretch that is not dearer, at or after a place.
func (l *slopes) find(price float64, from place) place {
	p := price * l.lenUnit
	at := l.at[l.lo+from.i : l.hi]
	if len(at) > fewLeft {
		return l.findFar(p, from)
	}
	i, sum := 0, 0.0
	for i < len(at) && at[i].price > p {
		sum += at[i].len
		i++
	}
	return place{from.i + i, from.before + sum*l.lenUnit}
}

// findFar halves the way, and sums from the nearer end.
func (l *slopes) findFar(p float64, from place) place {
	at := l.at[l.lo+from.i : l.hi]
	lo, hi := 0, len(at)
	for lo < hi {
		if mid := int(uint(lo+hi) / 2); at[mid].price > p {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	if 2*lo <= len(at) {
		return place{from.i + lo, from.before + lengths(at[:lo])*l.lenUnit}
	}
	return place{from.i + lo, l.total - lengths(at[lo:])*l.lenUnit}
}

// lengths sums in four strands, which do not wait for one another.
func lengths(at []stretch) float64 {
	var a, b, c, d float64
	for len(at) >= 4 {
		a, b, c, d = a+at[0].len, b+at[1].len, c+at[2].len, d+at[3].len
		at = at[4:]
	}
	for i := range at {
		a += at[i].len
	}
	return (a + b) + (c + d)
}

// insert puts a stretch at a place; those before it keep theirs.
func (l *slopes) insert(place int, price, length float64) {
	if l.lo == 0 || l.hi == len(l.at) {
		l.makeRoom()
	}
	i := l.lo + place
	if place < l.hi-i {
		l.lo--
		i--
		copy(l.at[l.lo:i], l.at[l.lo+1:i+1])
	} else {
		copy(l.at[i+1:l.hi+1], l.at[i:l.hi])
		l.hi++
	}
	l.at[i] = stretch{price: price * l.lenUnit, len: length * l.priceUnit}
	l.total += length
}

// cutFront takes a length off the low end.
func (l *slopes) cutFront(length float64) {
	l.total -= length
	left := length * l.priceUnit
	for l.lo < l.hi {
		s := &l.at[l.lo]
		if s.len > left {
			if left > 0 {
				s.len -= left
			}
			return
		}
		left -= s.len
		l.drop(s)
		l.lo++
	}
}

// cutBack shortens the list to a total length.
func (l *slopes) cutBack(total float64) {
	left := (l.total - total) * l.priceUnit
	l.total = total
	for l.lo < l.hi {
		s := &l.at[l.hi-1]
		if s.len > left {
			if left > 0 {
				s.len -= left
			}
			return
		}
		left -= s.len
		l.drop(s)
		l.hi--
	}
}

func (l *slopes) drop(s *stretch) {
	if s.begun {
		l.old--
	}
}

// scale makes of W(z) the function V(E) = W(keep·E - what was cut): lengths grow, prices fall.
func (l *slopes) scale(keep float64) {
	l.priceUnit *= keep
	l.lenUnit = 1 / l.priceUnit
	l.total /= keep
	if l.age++; l.age >= countAgain || l.priceUnit < unitSmall {
		l.count()
	}
}

// count works the factors in and adds the lengths up anew: what rounding left out of the total would
// grow with every scaling.
func (l *slopes) count() {
	l.age, l.total = 0, 0
	at := l.at[l.lo:l.hi]
	for i := range at {
		at[i].price *= l.priceUnit
		at[i].len *= l.lenUnit
		l.total += at[i].len
	}
	l.priceUnit, l.lenUnit = 1, 1
}

// upTo is the length of all stretches dearer than a price, and of those at least as dear.
func (l *slopes) upTo(price float64) (dearer, asDear float64) {
	for _, s := range l.at[l.lo:l.hi] {
		p, n := s.price*l.priceUnit, s.len*l.lenUnit
		if p > price {
			dearer += n
		}
		if p >= price {
			asDear += n
		}
	}
	return dearer, asDear
}
