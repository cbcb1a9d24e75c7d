package onestore

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// mostYears is how many years on end are looked back over. Heat that all of them cannot use is taken
// to be worth nothing.
const mostYears = 100

const (
	dearerFrac = 1e-12 // of a price: by how much another must be above it to be dearer, and not rounding
	sameFrac   = 1e-11 // of the dearest price: prices that near are the same
)

// Levels gives, for each step, the heat held at its end below which a kWh is worth more than price[t]:
// the length of V's stretches dearer than that (doc.go), 0 up to the capacity. It follows a Solve, whose
// store it takes, and leaves its Plan as it is.
//
// The year repeats: V at its end is V at its start. So years are run back over, from one after which heat
// is worth nothing, until the list at a year's start is the one at its end. In the usual year that is so
// in the second.
func (s *Solver) Levels(ctx context.Context, price []float64) ([]float64, error) {
	y := &s.year
	switch {
	case y.store == nil:
		return nil, errors.New("onestore: levels are asked for before a solve")
	case len(price) != s.n:
		return nil, fmt.Errorf("onestore: %d prices; want %d", len(price), s.n)
	}
	levels := make([]float64, s.n)
	if y.store.Capacity == 0 {
		return levels, nil
	}
	y.ctx = ctx
	err := y.overYears(func(t int) { levels[t] = y.level(price[t]) })
	return levels, err
}

// overYears runs back over years until a year's list is the same at its start and at its end. look is called with the
// list that holds at the end of step t.
func (y *yearWork) overYears(look func(t int)) error {
	y.list.set(0, y.store.Capacity)
	for range mostYears {
		y.start.copyFrom(&y.list)
		y.list.copyFrom(&y.start)
		if err := y.overSteps(look); err != nil {
			return err
		}
		if y.list.apart(&y.start) <= y.slack {
			break
		}
	}
	return nil
}

// overSteps goes back over all steps.
func (y *yearWork) overSteps(look func(t int)) error {
	for t := y.n - 1; t >= 0; t-- {
		if t%stepsPerLook == 0 {
			if err := y.ctx.Err(); err != nil {
				return err
			}
		}
		look(t)
		y.back(t)
	}
	return nil
}

// level is the heat below which a kWh is worth more than a price.
func (y *yearWork) level(price float64) float64 {
	p := price + dearerFrac*math.Abs(price)
	switch level := y.list.find(p, place{}).before; {
	case level < y.slack: // rounding
		return 0
	case level > y.store.Capacity-y.slack:
		return y.store.Capacity
	default:
		return level
	}
}

// apart is the length over which the prices of two lists differ.
func (l *slopes) apart(m *slopes) float64 {
	if l.lo == l.hi || m.lo == m.hi {
		return math.Abs(l.total - m.total)
	}
	a, b := l.at[l.lo:l.hi], m.at[m.lo:m.hi]
	same := sameFrac * max(a[0].price*l.priceUnit, b[0].price*m.priceUnit)
	sum, i, j := 0.0, 0, 0
	left, right := a[0].len*l.lenUnit, b[0].len*m.lenUnit
	for {
		n := min(left, right)
		if math.Abs(a[i].price*l.priceUnit-b[j].price*m.priceUnit) > same {
			sum += n
		}
		if left -= n; left <= 0 {
			if i++; i == len(a) {
				return sum
			}
			left = a[i].len * l.lenUnit
		}
		if right -= n; right <= 0 {
			if j++; j == len(b) {
				return sum
			}
			right = b[j].len * m.lenUnit
		}
	}
}

// NextCost is what the dearest kWh that sources give in step t costs if the store gives nothing; where
// the sun suffices, the cheapest that they could give. It is the cost of unmet heat, and enough is
// false, where the sources cannot give as much.
func (s *Solver) NextCost(t int) (cost float64, enough bool) {
	r := &s.steps[t]
	need := r.demand - roundFrac*(r.demand+r.sun)
	for i := r.rungs; i < r.rungsEnd; i++ {
		if i == r.cheap {
			need -= r.sun
		}
		g := &s.ladder[i]
		if g.source == unmet {
			break
		}
		if need <= g.cap {
			return g.cost, true
		}
		need -= g.cap
	}
	return s.plant.UnmetCost, false
}

// LeastCost is what the cheapest kWh that sources can give in step t costs, and whether all that they can give costs that.
// Without a source it is the cost of unmet heat.
func (s *Solver) LeastCost(t int) (cost float64, sole bool) {
	r := &s.steps[t]
	cost, sole = s.plant.UnmetCost, true
	for i, g := range s.ladder[r.rungs:r.rungsEnd] {
		switch {
		case g.source == unmet:
			return cost, sole
		case i == 0:
			cost = g.cost
		case g.cost > cost*(1+dearerFrac):
			return cost, false
		}
	}
	return cost, sole
}
