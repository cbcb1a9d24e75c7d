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
//
// Once around the year each way is enough. Going back fulfils what a later price asks of an earlier
// one. What is raised going on is raised to just what the one before asks, and so breaks none of these.

const (
	priceTol = 1e-9
	mostLoop = 100 // times around: only prices that no plan has go on rising
)

// prices works the prices out, and says whether there are any.
func (y *yearWork) prices() bool {
	dearest := 0.0
	for t := range y.n {
		lo, hi := y.sides(t)
		y.price[t], y.most[t] = max(lo, 0), hi
		dearest = max(dearest, y.price[t])
	}
	least := 1e-14 * dearest
	y.raiseBack(least)
	y.raiseOn(least)
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

// raiseBack raises the prices before steps that do not begin full, going back, and around the year's start
// as far as that goes on raising.
func (y *yearWork) raiseBack(least float64) {
	full := y.store.Capacity - y.edge
	if y.store.Capacity == 0 {
		return
	}
	price, held, keep := y.price, y.plan.held[:len(y.price)], y.store.Keep[:len(y.price)]
	for loop := range mostLoop {
		for t := len(price) - 1; t >= 0; t-- {
			before := t - 1
			if t == 0 {
				before = len(price) - 1
			}
			if p := keep[t] * price[t]; held[t] < full && p > price[before]+least {
				price[before] = p
			} else if loop > 0 || t == 0 {
				return
			}
		}
	}
}

// raiseOn raises the prices of steps that do not begin empty, going on, and around the year's end.
func (y *yearWork) raiseOn(least float64) {
	price, held, keep := y.price, y.plan.held[:len(y.price)], y.store.Keep[:len(y.price)]
	for loop := range mostLoop {
		before := price[len(price)-1]
		for t, k := range keep {
			if p := before / k; held[t] > y.edge && k > keepLeast && p > price[t]+least {
				price[t] = p
			} else if loop > 0 || t == len(price)-1 {
				return
			}
			before = price[t]
		}
	}
}
