package crew

import "math/bits"

// set is some of the cases 0 to n-1, a bit each.
type set struct {
	bits  []uint64
	n     int64
	count int64
}

const wordBits = 64

func newSet(n int64) *set { return &set{bits: make([]uint64, (n+wordBits-1)/wordBits), n: n} }

func (s *set) has(i int64) bool { return s.bits[i/wordBits]>>(i%wordBits)&1 == 1 }

// add tells whether the case was not in it.
func (s *set) add(i int64) bool {
	if s.has(i) {
		return false
	}
	s.bits[i/wordBits] |= 1 << (i % wordBits)
	s.count++
	return true
}

func (s *set) remove(i int64) {
	if s.has(i) {
		s.bits[i/wordBits] &^= 1 << (i % wordBits)
		s.count--
	}
}

// missing is the first case from on that is in neither of two sets, n if there is none.
func (s *set) missing(from int64, or *set) int64 {
	for i := from; i < s.n; {
		w := i / wordBits
		free := ^(s.bits[w] | or.bits[w]) >> (i % wordBits)
		if free != 0 {
			return min(i+int64(bits.TrailingZeros64(free)), s.n)
		}
		i = (w + 1) * wordBits
	}
	return s.n
}
