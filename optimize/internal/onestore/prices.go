package onestore

import "math"

// The price of stored heat at the end of step t, price[t], must lie between the slopes of g on either
// side of what the store gains; and from step to step
//
//	price[t-1] = keep·price[t]   where 0 < E < Q at the start of t,
//	price[t-1] >= keep·price[t]  where E = 0, and <= where E = Q.
//
// Each condition lets a price be raised by what it asks of another, so that raising from below until
// nothing moves finds the least prices that fulfil them all. If one then passes its upper limit there
// are none, and the plan is not the best.

const (
	priceTol   = 1e-9
	mostSweeps = 100
)

// prices works the prices out, and says whether there are any.
func (y *yearWork) prices() bool {
	dearest := 0.0
	for t := range y.n {
		lo, hi := y.sides(t)
		y.price[t], y.most[t] = max(lo, 0), hi
		dearest = max(dearest, y.price[t])
	}
	for i := 0; i < mostSweeps && y.sweep(dearest); i++ {
	}
	for t, p := range y.price {
		if p > y.most[t]+priceTol*dearest {
			return false
		}
	}
	return true
}

// sides are the slopes of g below and above what step t gains.
func (y *yearWork) sides(t int) (lo, hi float64) {
	edge := edgeFrac*y.reach[t] + y.slack
	lo, left := math.Inf(-1), y.plan.gain[t]-y.least[t]
	for _, p := range y.g(t) {
		switch {
		case left <= edge:
			return lo, p.price
		case left < p.len-edge:
			return p.price, p.price
		}
		lo = p.price
		left -= p.len
	}
	return lo, math.Inf(1)
}

// sweep raises prices once to and fro around the year, and says whether any moved.
func (y *yearWork) sweep(dearest float64) (moved bool) {
	q := y.store.Capacity
	least := 1e-14 * dearest
	raise := func(t int, p float64) {
		if p > y.price[t]+least {
			y.price[t] = p
			moved = true
		}
	}
	// The conditions of each step's start, first going back, then going on.
	for t := y.n - 1; t >= 0; t-- {
		if held := y.plan.held[t]; held < q-y.edge || q == 0 {
			if q > 0 {
				raise((t+y.n-1)%y.n, y.store.Keep[t]*y.price[t])
			}
		}
	}
	for t := range y.n {
		if keep := y.store.Keep[t]; y.plan.held[t] > y.edge && keep > keepLeast {
			raise(t, y.price[(t+y.n-1)%y.n]/keep)
		}
	}
	return moved
}
