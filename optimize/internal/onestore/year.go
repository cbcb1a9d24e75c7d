package onestore

import (
	"context"
	"errors"
	"fmt"
)

// yearWork is what one solve needs, kept for the next.
type yearWork struct {
	ctx   context.Context
	s     *Solver
	store *Store
	n     int

	pieces       []piece   // g of all steps
	first        []int32   // of each step's pieces; one more at the end
	lands        []float64 // by piece: the heat held after the step above which it acts
	least, reach []float64 // by step: the least gain, and from there to the most
	places       []int
	slack        float64 // kWh: two heats this near are the same, as far as rounding lets one tell
	edge         float64 // kWh: full, or empty
	list, start  slopes

	plan         course
	spare, third course    // where the year's end is paid for
	price        []float64 // of stored heat at each step's end
	most         []float64 // what that price may be at most
}

func (y *yearWork) g(t int) []piece { return y.pieces[y.first[t]:y.first[t+1]] }

// ErrShape says that the store asks for something that this engine does not do.
var ErrShape = errors.New("onestore: heat from the header may charge the store and some of it is cheaper than the sun's")

// Solve finds a plan of least cost for a year that ends as it began. The Plan is good until the next Solve.
func (s *Solver) Solve(ctx context.Context, store *Store) (*Plan, error) {
	if err := s.check(store); err != nil {
		return nil, err
	}
	y := &s.year
	y.ctx, y.s, y.store = ctx, s, store
	y.prepare()
	if err := y.solve(); err != nil {
		return nil, err
	}
	return s.fill(), nil
}

func (s *Solver) check(store *Store) error {
	if len(store.Keep) != s.n || len(store.Standing) != s.n {
		return fmt.Errorf("onestore: store has %d and %d steps; want %d", len(store.Keep), len(store.Standing), s.n)
	}
	if store.FromHeader > 0 && s.anyCheap() {
		return ErrShape
	}
	return nil
}

func (s *Solver) anyCheap() bool {
	for t := range s.steps {
		if s.steps[t].cheap > s.steps[t].rungs {
			return true
		}
	}
	return false
}

const (
	closeFrac = 1e-11 // of the capacity
	edgeFrac  = 1e-9  // of the capacity, or of a step's reach
	roundFrac = 1e-13 // of the longest way a step can go
)

// prepare makes g of every step for this size of store.
func (y *yearWork) prepare() {
	s := y.s
	if y.n != s.n {
		y.n = s.n
		y.first = make([]int32, s.n+1)
		y.least, y.reach = make([]float64, s.n), make([]float64, s.n)
		y.plan = course{gain: make([]float64, s.n), held: make([]float64, s.n+1)}
		y.spare, y.third = course{}, course{}
		y.price, y.most = make([]float64, s.n), make([]float64, s.n)
	}
	y.pieces = y.pieces[:0]
	widest, farthest := 0, 0.0
	for t := range s.n {
		from, sum := len(y.pieces), 0.0
		least := s.leastGain(t, y.store)
		if s.plainStep(&s.steps[t], y.store) {
			y.pieces, sum = s.plainPieces(t, least, y.store, y.pieces)
		} else {
			y.pieces = s.pieces(t, least, y.store, y.pieces)
			for i := from; i < len(y.pieces); i++ {
				sum += y.pieces[i].len
			}
		}
		y.first[t], y.least[t], y.reach[t] = int32(from), least, sum
		farthest = max(farthest, sum-least)
		widest = max(widest, len(y.pieces)-from)
	}
	y.first[s.n] = int32(len(y.pieces))
	y.slack = closeFrac*y.store.Capacity + roundFrac*farthest
	y.edge = edgeFrac*y.store.Capacity + 10*roundFrac*farthest
	if len(y.lands) < len(y.pieces) {
		y.lands = make([]float64, len(y.pieces)+len(y.pieces)/8)
	}
	if len(y.places) < widest {
		y.places = make([]int, 2*widest)
	}
}

// solve closes the year by forgetting, or else by opening it at a price. That its plan is the best one
// is seen from the prices: they exist for no other.
func (y *yearWork) solve() error {
	y.list.set(0, y.store.Capacity)
	forgot, err := y.pass(-1)
	if err != nil {
		return err
	}
	if forgot > 0 {
		y.start.copyFrom(&y.list)
		y.list.copyFrom(&y.start)
		if _, err := y.pass(forgot); err != nil {
			return err
		}
		if y.laps() && y.prices() {
			return nil
		}
	}
	if err := y.open(); err != nil {
		return err
	}
	if !y.prices() {
		return errors.New("onestore: the plan has no prices")
	}
	return nil
}
