package optimize

import (
	"context"
	"fmt"
	"math"
)

// Take is a least amount of fuel that several boilers together pay for over the whole period, burnt or not: take or
// pay. What is not burnt of it costs Price.
type Take struct {
	Name     string  `json:"name"`
	Boilers  []int   `json:"boilers"`
	LeastKWh float64 `json:"least_kWh"`
	Price    float64 `json:"price"` // per kWh not burnt, 0 or more
}

func (p Problem) checkTake(f *faults, what string, m Take) {
	p.checkBoilerList(f, what, m.Boilers)
	f.amount(what+": least", m.LeastKWh, "kWh")
	f.amount(what+": price", m.Price, "per kWh")
}

// takeColumns: the row of a take and the column of what is not burnt stand at the first step, in kWh. The row says
// that less what is burnt or paid for is at most less the least, so that all rows are "at most" or "equal".
func (b *builder) takeColumns(t int) {
	for m, take := range b.p.Takes {
		row := b.y.taken[m].at(t)
		b.add(b.y.short[m].at(t), take.LeastKWh, take.Price, el{row, -1})
		if row != none {
			b.m.rowLower[row], b.m.rowUpper[row] = math.Inf(-1), -take.LeastKWh
		}
	}
}

// takes works out what of the takes is not burnt.
func (s *Schedule) takes(w *work) {
	s.TakeCost = 0
	for m, take := range w.p.Takes {
		left := take.LeastKWh
		for _, i := range take.Boilers {
			left -= w.dt * sum(s.FuelKW[i])
		}
		s.NotTakenKWh[m] = max(0, left)
		s.TakeCost += take.Price * s.NotTakenKWh[m]
	}
}

// boundTakes is the takes' part of the bound of bound.go.
func (w *work) boundTakes(q *prices) float64 {
	sum := 0.0
	for m, take := range w.p.Takes {
		price := q.take[m][0]
		sum += take.LeastKWh * (price + below(take.Price-price))
	}
	return sum
}

func (c *checker) dualTakes(q *prices, d *dualCheck) {
	for m, take := range c.p.Takes {
		d.column(c.s.NotTakenKWh[m]/c.dt, take.LeastKWh/c.dt, c.dt*(take.Price-q.take[m][0]))
	}
}

// binds says which take the best plan without them falls short of; empty if none. A plan that is the best without
// the takes and burns what they ask is the best with them too, so the one-store engine may then go without.
func binds(ctx context.Context, p Problem) string {
	if len(p.Takes) == 0 {
		return ""
	}
	eng, err := newOneStoreEngine(p, true)
	if err != nil {
		return err.Error()
	}
	defer eng.close()
	s, q, err := eng.solve(ctx)
	if err != nil {
		return err.Error()
	}
	w := newWork(p)
	s.finish(w, q)
	for m, kWh := range s.NotTakenKWh {
		if kWh > residualLimit*p.Takes[m].LeastKWh {
			return fmt.Sprintf("the least take %q of the year is not burnt unasked", p.Takes[m].Name)
		}
	}
	return ""
}
