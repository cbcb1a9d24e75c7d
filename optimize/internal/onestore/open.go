package onestore

import (
	"errors"
	"math"
)

// An open year may end with more or less heat than it began with, and the difference is paid for at a
// price. Its least cost, less what is paid, is below that of every closed year, and as a function of the
// price it is concave and made of straight pieces, with slope -over. So the price is sought at which it
// is greatest: where the straight lines of a plan that ends too low and of one that ends too high meet.
// If the least cost there lies on them, both plans are best at that price, and so is any mix of them,
// one of which closes the year: what it costs is what no closed year can undercut. If not, the plan
// found there takes the place of one of the two, on a piece not seen before; there are finitely many.

// opened is the best course at a price.
type opened struct {
	price, over, value float64 // over: heat at the end above that at the start
}

// line is the straight line of a plan, read at a price.
func (o opened) line(price float64) float64 { return o.value - o.over*(price-o.price) }

const (
	mostOpen = 200
	meetTol  = 1e-13
)

func (y *yearWork) openAt(price float64, c *course) (opened, error) {
	y.list.set(price, y.store.Capacity)
	if _, err := y.pass(-1); err != nil {
		return opened{}, err
	}
	if c.gain == nil {
		*c = course{gain: make([]float64, y.n), held: make([]float64, y.n+1)}
	}
	c.held[0], _ = y.list.upTo(price)
	c.held[0] = min(c.held[0], y.store.Capacity)
	y.forward(c, false)
	over := c.held[y.n] - c.held[0]
	return opened{price, over, y.cost(c) - price*over}, nil
}

// open leaves in y.plan the best course of a closed year.
func (y *yearWork) open() error {
	dearest, scale := 0.0, 0.0
	for _, p := range y.pieces {
		dearest = max(dearest, p.price)
		scale += p.price * p.len
	}
	low, err := y.openAt(-1-dearest, &y.plan) // heat at the end is a burden
	if err != nil {
		return err
	}
	high, err := y.openAt(1+2*dearest, &y.spare)
	if err != nil {
		return err
	}
	for range mostOpen {
		switch {
		case low.over >= 0:
			return nil
		case high.over <= 0:
			y.plan, y.spare = y.spare, y.plan
			return nil
		}
		price := (high.value - low.value + high.over*high.price - low.over*low.price) / (high.over - low.over)
		meet := low.line(price)
		mid, err := y.openAt(price, &y.third)
		if err != nil {
			return err
		}
		if mid.value >= meet-meetTol*(math.Abs(meet)+scale) || !(price > low.price && price < high.price) {
			y.mix(high.over / (high.over - low.over))
			return nil
		}
		if mid.over < 0 {
			low, y.plan, y.third = mid, y.third, y.plan
		} else {
			high, y.spare, y.third = mid, y.third, y.spare
		}
	}
	return errors.New("onestore: no price closes the year")
}

// mix leaves in y.plan so much of it and the rest of y.spare.
func (y *yearWork) mix(share float64) {
	a, b := &y.plan, &y.spare
	for t := range a.gain {
		a.gain[t] = share*a.gain[t] + (1-share)*b.gain[t]
		a.held[t] = share*a.held[t] + (1-share)*b.held[t]
	}
	a.held[y.n] = a.held[0]
}
