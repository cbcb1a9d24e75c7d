package study

import (
	"cmp"
	"slices"
)

const (
	mostDrawn   = 32768 // of how many cases quantiles are taken
	mostDetails = 4096  // and curves and rank correlations
)

// sample holds the items of the lowest hashes: the same of the same cases, in whatever order they come, and all of them while
// they are no more than most.
type sample[T any] struct {
	most  int
	items []hashed[T]
	limit uint64 // no item of this hash or a higher one can be of the lowest; 0: not known yet
}

type hashed[T any] struct {
	hash uint64
	item T
}

// newSample has room at once for what so many cases fill of it.
func newSample[T any](cases int64, most int) sample[T] {
	return sample[T]{most: most, items: make([]hashed[T], 0, min(cases, 2*int64(most)))}
}

// wants tells whether an item of this hash may be of the lowest.
func (s *sample[T]) wants(hash uint64) bool { return s.limit == 0 || hash < s.limit }

// add is for what the sample wants.
func (s *sample[T]) add(hash uint64, item T) {
	s.items = append(s.items, hashed[T]{hash, item})
	if len(s.items) == 2*s.most {
		s.cut()
	}
}

// cut leaves the lowest.
func (s *sample[T]) cut() {
	slices.SortFunc(s.items, func(a, b hashed[T]) int { return cmp.Compare(a.hash, b.hash) })
	s.limit = s.items[s.most-1].hash + 1
	clear(s.items[s.most:])
	s.items = s.items[:s.most]
}

// all gives the sample, in no order.
func (s *sample[T]) all() []hashed[T] {
	if len(s.items) > s.most {
		s.cut()
	}
	return s.items
}

// scattered turns case numbers into others, each into one of its own: the finalizer of Steele, Lea and Flood's SplitMix64 (OOPSLA 2014), from
// memory. Neighbouring cases share a weather year, so they may not be near each other.
func scattered(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
