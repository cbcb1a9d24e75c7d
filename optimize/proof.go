package optimize

import (
	"fmt"
	"math"
)

// Proof is what was checked of an answer, worked out from the problem alone: no engine's word enters.
type Proof struct {
	PrimalResidual float64 `json:"primal_residual"` // worst breach of a row or bound, as a share of the greatest demand
	DualResidual   float64 `json:"dual_residual"`   // worst reduced cost of the wrong sign, as a share of the dearest heat
	DualityGap     float64 `json:"duality_gap"`     // cost less its lower bound, as a share of the cost
	WorstRow       string  `json:"worst_row"`       // where the primal residual is, in words
	Cost           float64 `json:"cost"`
	LowerBound     float64 `json:"lower_bound"` // no plan of this problem costs less
}

const (
	// residualLimit: a flow off by this share of the greatest demand is far below any meter.
	residualLimit = 1e-6
	// gapLimit: the cost is then right to 0.0001 %, a hundredth of what a curve promises.
	gapLimit = 1e-6
)

// prove checks a finished schedule and its prices, and refuses what fails.
func prove(w *work, s *Schedule, q *prices) (Proof, error) {
	c := checker{work: w, s: s}
	c.all()
	proof := Proof{PrimalResidual: c.worst / w.peakKW, WorstRow: c.where, DualResidual: c.dual(q), Cost: s.Cost, LowerBound: w.lowerBound(q)}
	proof.DualityGap = math.Abs(s.Cost-proof.LowerBound) / w.costScale(s.Cost)
	fail := func(what string, saw, limit float64, where string) (Proof, error) {
		return proof, &Unproven{VolumeM3: volume(w.p), What: what, Saw: saw, Limit: limit, Where: where}
	}
	switch { // so put that a NaN fails
	case !(proof.PrimalResidual <= residualLimit):
		return fail("primal residual", proof.PrimalResidual, residualLimit, proof.WorstRow)
	case !(proof.DualityGap <= gapLimit):
		return fail("duality gap", proof.DualityGap, gapLimit, "")
	case !(proof.DualResidual <= residualLimit):
		return fail("dual residual", proof.DualResidual, residualLimit, "")
	}
	return proof, nil
}

// costScale is what a gap is measured by: the cost, or, where the sun does nearly all and the cost is
// next to nothing, a thousandth of what the demand would cost as the dearest heat, or, where nothing is
// asked at all, a millionth of a step at the peak.
func (w *work) costScale(cost float64) float64 {
	demand := 0.0
	for _, h := range w.p.Headers {
		for _, kW := range h.DemandKW {
			demand += kW * w.dt
		}
	}
	for _, m := range w.p.Moves {
		for _, v := range m.Windows {
			demand += v.HeatKWh
		}
	}
	return max(math.Abs(cost), 1e-3*demand*w.dearest, 1e-6*w.peakKW*w.dt*w.dearest)
}

// checker walks through every row and bound of a schedule, series by series, and keeps the worst
// breach, in kW.
type checker struct {
	*work
	s     *Schedule
	worst float64
	where string
}

// note keeps the largest; a breach that is not a number stands for good.
func (c *checker) note(breachKW float64, what, name string, t int) {
	if !(breachKW <= c.worst) && c.worst == c.worst {
		c.worst, c.where = breachKW, fmt.Sprintf("%s %q, %s", what, name, c.p.At(t).Format("2 Jan 15:04"))
	}
}

// peakBreach finds the largest of a series of breaches while it is worked out.
type peakBreach struct {
	kW float64
	t  int
}

func (b *peakBreach) at(t int, kW float64) {
	if !(kW <= b.kW) && b.kW == b.kW {
		b.kW, b.t = kW, t
	}
}

// box wants 0 <= x <= upper.
func (c *checker) box(x []float64, upper float64, what, name string) {
	var b peakBreach
	for t, kW := range x {
		b.at(t, max(-kW, kW-upper))
	}
	c.note(b.kW, what, name, b.t)
}

// boxes wants 0 <= x <= upper·by, step by step; no series of uppers is one of zeros.
func (c *checker) boxes(x, upper []float64, by float64, what, name string) {
	if upper == nil {
		c.box(x, 0, what, name)
		return
	}
	var b peakBreach
	for t, kW := range x {
		b.at(t, max(-kW, kW-by*upper[t]))
	}
	c.note(b.kW, what, name, b.t)
}

func (c *checker) all() {
	c.headers()
	c.fields()
	c.boilers()
	c.stores()
	c.valves()
	c.moves()
	c.limits()
}

func (c *checker) headers() {
	p, s := c.p, c.s
	for l, h := range p.Headers {
		sum := c.scratch
		for t, kW := range h.DemandKW {
			sum[t] = s.UnmetKW[l][t] - s.VentKW[l][t] - kW
		}
		for i := range p.Fields {
			plus(sum, s.SunHeaderKW[i][l])
		}
		for i, b := range p.Boilers {
			if b.Header == l {
				plus(sum, s.BoilerKW[i])
			}
		}
		for k, store := range p.Stores {
			if store.Header == l {
				plus(sum, s.DischargeKW[k])
			}
			if store.source() == l {
				minus(sum, s.KeepWarmKW[k])
				minus(sum, s.HeaderChargeKW[k])
			}
		}
		for i, v := range p.Valves {
			if v.To == l {
				plus(sum, s.ValveKW[i])
			}
			if v.From == l {
				minus(sum, s.ValveKW[i])
			}
		}
		for i, m := range p.Moves {
			if m.Header == l {
				minus(sum, s.MovedKW[i])
			}
		}
		var b peakBreach
		for t, kW := range sum {
			b.at(t, math.Abs(kW))
		}
		c.note(b.kW, "header", h.Name, b.t)
		c.boxes(s.UnmetKW[l], c.unmetRooms(l), 1, "unmet heat of header", h.Name)
		c.box(s.VentKW[l], c.ventKW[l], "vent of header", h.Name)
	}
}

// unmetRooms is unmetRoom of every step, in the scratch series.
func (c *checker) unmetRooms(l int) []float64 {
	copy(c.scratch, c.p.Headers[l].DemandKW)
	for k := range c.p.Stores {
		if s := &c.p.Stores[k]; s.source() == l {
			plus(c.scratch, s.StandingKW)
		}
	}
	for i, m := range c.p.Moves {
		if m.Header == l {
			plus(c.scratch, c.moveKW[i])
		}
	}
	return c.scratch
}

func plus(sum, v []float64) {
	for t, x := range v {
		sum[t] += x
	}
}

func minus(sum, v []float64) {
	for t, x := range v {
		sum[t] -= x
	}
}

// fields: the area row is judged in kW of the best use.
func (c *checker) fields() {
	for i, f := range c.p.Fields {
		for l, flow := range c.s.SunHeaderKW[i] {
			c.boxes(flow, series(f.HeaderKWM2, l), f.AreaM2, "field", f.Name)
		}
		for k, flow := range c.s.SunStoreKW[i] {
			c.boxes(flow, series(f.StoreKWM2, k), f.AreaM2, "field", f.Name)
		}
		for t, used := range c.s.areaUsed(f, i, c.scratch) {
			if over := used - f.AreaM2; over > 0 {
				c.note(over*f.bestYield(t), "area of field", f.Name, t)
			}
		}
	}
}

// series is the i-th of a list that may be shorter.
func series(list [][]float64, i int) []float64 {
	if i >= len(list) {
		return nil
	}
	return list[i]
}

func (c *checker) boilers() {
	for i, b := range c.p.Boilers {
		for j, piece := range b.Pieces {
			if b.Available == nil {
				c.box(c.s.PieceKW[i][j], piece.CapacityKW, "boiler", b.Name)
				continue
			}
			c.boxes(c.s.PieceKW[i][j], b.Available, piece.CapacityKW, "boiler", b.Name)
		}
		for t := 1; b.RampKW > 0 && t < c.n; t++ {
			c.note(math.Abs(c.s.BoilerKW[i][t]-c.s.BoilerKW[i][t-1])-b.RampKW, "ramp of boiler", b.Name, t)
		}
	}
}

func (c *checker) stores() {
	for k, store := range c.p.Stores {
		held, in := c.s.StoredKWh[k], c.scratch
		copy(in, c.s.HeaderChargeKW[k])
		for i := range c.p.Fields {
			plus(in, c.s.SunStoreKW[i][k])
		}
		warm, draw := c.s.KeepWarmKW[k], c.s.DischargeKW[k]
		var balance, content peakBreach
		for t, keep := range store.Keep {
			net := in[t] + warm[t] - draw[t] - store.StandingKW[t]
			balance.at(t, math.Abs(held[t+1]-keep*held[t]-c.dt*net)/c.dt)
			content.at(t, max(-held[t], held[t]-store.CapacityKWh)/c.dt)
		}
		c.note(balance.kW, "balance of store", store.Name, balance.t)
		c.note(content.kW, "content of store", store.Name, content.t)
		c.box(in, store.ChargeKW, "charging of store", store.Name)
		c.box(c.s.HeaderChargeKW[k], store.HeaderChargeKW, "charging of store", store.Name)
		c.box(draw, store.DischargeKW, "discharge of store", store.Name)
		c.boxes(warm, store.StandingKW, 1, "keeping warm of store", store.Name)
		c.note(math.Abs(held[c.n]-held[0])/c.dt, "year's end of store", store.Name, c.n-1)
	}
}

func (c *checker) valves() {
	for i, v := range c.p.Valves {
		c.box(c.s.ValveKW[i], v.CapacityKW, "valve from header", c.p.Headers[v.From].Name)
	}
}
