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
	for i := range c.p.Fields {
		c.dualField(q, &d, i)
	}
	for i := range c.p.Boilers {
		c.dualBoiler(q, &d, i)
	}
	c.dualHeaders(q, &d)
	c.dualStores(q, &d)
	c.dualMoves(q, &d)
	c.dualTakes(q, &d)
	return d.worst / (c.dt * c.dearest)
}

func (c *checker) dualField(q *prices, d *dualCheck, i int) {
	f := &c.p.Fields[i]
	pump, area := c.dt*f.HeatCost, q.area[i]
	for l, yields := range f.HeaderKWM2 {
		flow, header := c.s.SunHeaderKW[i][l], q.header[l]
		for t, y := range yields {
			if f.AreaM2*y > 0 {
				d.column(flow[t], f.AreaM2*y, pump+area[t]/y-header[t])
			}
		}
	}
	for k, yields := range f.StoreKWM2 {
		flow, room, store := c.s.SunStoreKW[i][k], q.room[k], q.store[k]
		for t, y := range yields {
			if f.AreaM2*y > 0 { // as in chargeCost
				d.column(flow[t], f.AreaM2*y, pump+area[t]/y+room[t]-c.dt*store[t])
			}
		}
	}
}

func (c *checker) dualBoiler(q *prices, d *dualCheck, i int) {
	b := &c.p.Boilers[i]
	header, linked := q.header[b.Header], c.linked(i)
	for j, flow := range c.s.PieceKW[i] {
		for t, x := range flow {
			if linked {
				d.column(x, b.capacity(j, t), c.heatCost(q, i, j, t))
				continue
			}
			capacity := b.Pieces[j].CapacityKW
			if b.Available != nil {
				capacity *= b.Available[t]
			}
			d.column(x, capacity, c.dt*b.FuelPrice[t]*b.Pieces[j].FuelPerHeat-header[t]) // as in heatCost
		}
	}
}

func (c *checker) dualHeaders(q *prices, d *dualCheck) {
	for l, price := range q.header {
		rooms := c.unmetRooms(l)
		for t, x := range c.s.UnmetKW[l] {
			d.column(x, rooms[t], c.dt*c.penalty[l]-price[t])
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
	for k := range c.p.Stores {
		s := &c.p.Stores[k]
		served, source, room, store := q.header[s.Header], q.header[s.source()], q.room[k], q.store[k]
		draw, warm, take, stock := c.s.DischargeKW[k], c.s.KeepWarmKW[k], c.s.HeaderChargeKW[k], c.s.StoredKWh[k]
		before := store[c.n-1]
		for t, keep := range s.Keep {
			held := c.dt * store[t]
			d.column(draw[t], s.DischargeKW, held-served[t])
			d.column(warm[t], s.StandingKW[t], source[t]-held)
			d.column(take[t], s.HeaderChargeKW, source[t]+room[t]-held)
			// per kWh, made comparable by the step's length
			d.column(stock[t]/c.dt, s.CapacityKWh/c.dt, c.dt*(before-keep*store[t]))
			before = store[t]
		}
	}
}
