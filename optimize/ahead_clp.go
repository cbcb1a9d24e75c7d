//go:build cgo

package optimize

import (
	"context"
	"errors"

	"noonkeep/optimize/internal/clp"
)

// clpAhead solves an outlook by Clp: the year's program with its ring opened between the last step and the first.
func clpAhead(ctx context.Context, w *work, o Outlook) (*Schedule, error) {
	y := newLayout(w)
	m := build(w, y)
	for k, s := range w.p.Stores {
		if w.acts(k) {
			var left []Worth
			if o.Left != nil {
				left = o.Left[k]
			}
			m.open(w, y, k, o.HeldKWh[k], leftTo(left, s.CapacityKWh))
		}
	}
	e := &clpEngine{w: w, y: y, m: m, model: clp.New(), shelf: &shelf{}}
	defer e.close()
	for _, s := range w.p.Stores {
		e.size = append(e.size, s.CapacityKWh)
	}
	if err := e.load(); err != nil {
		return nil, err
	}
	s, _, err := e.solve(ctx)
	if failed := (*Unproven)(nil); errors.As(err, &failed) {
		return nil, errors.New("outlook: Clp says " + failed.What)
	}
	return s, err
}

// open fixes what store k holds at the first step, takes that column out of the last step's balance, and ends the last
// step in columns of its own, one a stretch of what is left. They stand behind all others and have no names.
func (m *matrix) open(w *work, y *layout, k int, heldKWh float64, left []Worth) {
	first := y.stock[k].at(0)
	m.lower[first], m.upper[first] = heldKWh, heldKWh
	m.value[m.keep[k][0]-1] = 0 // its element in the last step's balance stands before that in its own
	for _, v := range left {
		m.index, m.value = append(m.index, y.balance[k].at(w.n-1)), append(m.value, 1)
		m.start = append(m.start, int32(len(m.index)))
		m.lower, m.upper, m.cost = append(m.lower, 0), append(m.upper, v.KWh), append(m.cost, -v.PricePerKWh)
	}
}
