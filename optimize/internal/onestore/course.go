package onestore

import "math"

// course is a way through the year: what the store gains in each step and holds at its start.
type course struct {
	gain, held []float64
}

const mostLaps = 6

// forward makes the course from held[0]. With again set it ends where it meets the course that stands there.
func (y *yearWork) forward(c *course, again bool) {
	q, slack := y.store.Capacity, y.slack
	for t := range y.n {
		z := y.store.Keep[t]*c.held[t] - y.store.Standing[t]
		top := y.least[t] + y.reach[t]
		along, given := z+top, 0.0 // from the low end of the step's list; and of the reach, the dearest first
		g, lands := y.g(t), y.lands[y.first[t]:]
		for i := len(g) - 1; i >= 0; i-- {
			over := along - lands[i] - given
			if over <= 0 {
				break
			}
			if over < g[i].len {
				given += over
				break
			}
			given += g[i].len
		}
		x, end := top-given, z+top-given
		switch { // what is off by rounding is put right
		case end < slack:
			x, end = -z, 0
		case end > q-slack:
			x, end = q-z, q
		}
		if again && end == c.held[t+1] {
			c.gain[t] = x
			return
		}
		c.gain[t], c.held[t+1] = x, end
	}
}

// laps goes forward until the year ends as it began; false if it does not come to that.
func (y *yearWork) laps() bool {
	c := &y.plan
	c.held[0] = 0
	y.forward(c, false)
	for range mostLaps {
		if math.Abs(c.held[y.n]-c.held[0]) <= y.slack {
			c.held[0] = c.held[y.n]
			return true
		}
		c.held[0] = c.held[y.n]
		y.forward(c, true)
	}
	return false
}

// cost is what a course costs, but for a part that is the same for all.
func (y *yearWork) cost(c *course) float64 {
	sum := 0.0
	for t, x := range c.gain {
		left := x - y.least[t]
		for _, p := range y.g(t) {
			if left <= 0 {
				break
			}
			n := min(left, p.len)
			sum += n * p.price
			left -= n
		}
	}
	return sum
}
