package optimize

// The dual residual. A plan is the best one exactly if no column can better it: one that could be
// raised has a reduced cost of 0 or more, one that could be lowered has 0 or less. The worst breach is
// reported as a share of the price of the dearest heat. The duality gap is the proof; this says where
// it would come from.

type dualCheck struct {
	tolKW, worst float64
}

// column judges one column at x in [0, upper] with reduced cost d.
func (c *dualCheck) column(x, upper, d float64) {
	if d < 0 && x < upper-c.tolKW {
		c.worst = max(c.worst, -d)
	}
	if d > 0 && x > c.tolKW {
		c.worst = max(c.worst, d)
	}
}

func (c *checker) dual(q *prices) float64 {
	d := dualCheck{tolKW: residualLimit * c.peakKW}
	for i, f := range c.p.Fields {
		for l, yields := range f.HeaderKWM2 {
			for t, y := range yields {
				if f.AreaM2*y > 0 {
					d.column(c.s.SunHeaderKW[i][l][t], f.AreaM2*y, c.sunCost(q, i, l, t))
				}
			}
		}
		for k, yields := range f.StoreKWM2 {
			for t, y := range yields {
				if f.AreaM2*y > 0 {
					d.column(c.s.SunStoreKW[i][k][t], f.AreaM2*y, c.chargeCost(q, i, k, t))
				}
			}
		}
	}
	for i, b := range c.p.Boilers {
		for j, flow := range c.s.PieceKW[i] {
			for t, x := range flow {
				d.column(x, b.capacity(j, t), c.heatCost(q, i, j, t))
			}
		}
	}
	c.dualHeaders(q, &d)
	c.dualStores(q, &d)
	return d.worst / (c.dt * c.dearest)
}

func (c *checker) dualHeaders(q *prices, d *dualCheck) {
	for l, price := range q.header {
		for t, x := range c.s.UnmetKW[l] {
			d.column(x, c.unmetRoom(l, t), c.dt*c.penalty[l]-price[t])
			if c.vents {
				d.column(c.s.VentKW[l][t], c.ventKW[l], price[t])
			}
		}
	}
	for i, v := range c.p.Valves {
		for t, x := range c.s.ValveKW[i] {
			d.column(x, v.CapacityKW, q.header[v.From][t]-q.header[v.To][t])
		}
	}
}

func (c *checker) dualStores(q *prices, d *dualCheck) {
	for k, s := range c.p.Stores {
		for t := range c.n {
			header, held := q.header[s.Header][t], c.dt*q.store[k][t]
			d.column(c.s.DischargeKW[k][t], s.DischargeKW, held-header)
			d.column(c.s.KeepWarmKW[k][t], s.StandingKW[t], header-held)
			d.column(c.s.HeaderChargeKW[k][t], s.HeaderChargeKW, header+q.room[k][t]-held)
			// per kWh, made comparable by the step's length
			d.column(c.s.StoredKWh[k][t]/c.dt, s.CapacityKWh/c.dt, c.dt*q.stockCost(k, t, s.Keep[t]))
		}
	}
}
