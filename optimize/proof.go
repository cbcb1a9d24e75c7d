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
	c.headers()
	c.fields()
	c.boilers()
	c.stores()
	c.valves()
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
	return max(math.Abs(cost), 1e-3*demand*w.dearest, 1e-6*w.peakKW*w.dt*w.dearest)
}

// checker walks through every row and bound of a schedule and keeps the worst breach, in kW.
type checker struct {
	*work
	s     *Schedule
	worst float64
	where string
}

func (c *checker) note(breachKW float64, what, name string, t int) {
	if !(breachKW <= c.worst) {
		c.worst, c.where = breachKW, fmt.Sprintf("%s %q, %s", what, name, c.p.At(t).Format("2 Jan 15:04"))
	}
}

// box wants 0 <= x <= upper.
func (c *checker) box(x, upper float64, what, name string, t int) {
	c.note(max(-x, x-upper), what, name, t)
}

func (c *checker) headers() {
	p, s := c.p, c.s
	for l, h := range p.Headers {
		for t := range c.n {
			sum := s.UnmetKW[l][t] - s.VentKW[l][t] - h.DemandKW[t]
			for i := range p.Fields {
				sum += s.SunHeaderKW[i][l][t]
			}
			for i, b := range p.Boilers {
				if b.Header == l {
					sum += s.BoilerKW[i][t]
				}
			}
			for k, store := range p.Stores {
				if store.Header == l {
					sum += s.DischargeKW[k][t] - s.KeepWarmKW[k][t] - s.HeaderChargeKW[k][t]
				}
			}
			for i, v := range p.Valves {
				if v.To == l {
					sum += s.ValveKW[i][t]
				}
				if v.From == l {
					sum -= s.ValveKW[i][t]
				}
			}
			c.note(math.Abs(sum), "header", h.Name, t)
			c.box(s.UnmetKW[l][t], c.unmetRoom(l, t), "unmet heat of header", h.Name, t)
			c.box(s.VentKW[l][t], c.ventKW[l], "vent of header", h.Name, t)
		}
	}
}

// fields: the area row is judged in kW of the best use.
func (c *checker) fields() {
	for i, f := range c.p.Fields {
		for l, flow := range c.s.SunHeaderKW[i] {
			for t, x := range flow {
				c.box(x, f.AreaM2*f.headerYield(l, t), "field", f.Name, t)
			}
		}
		for k, flow := range c.s.SunStoreKW[i] {
			for t, x := range flow {
				c.box(x, f.AreaM2*f.storeYield(k, t), "field", f.Name, t)
			}
		}
		for t, used := range c.s.areaUsed(f, i) {
			if over := used - f.AreaM2; over > 0 {
				c.note(over*f.bestYield(t), "area of field", f.Name, t)
			}
		}
	}
}

func (c *checker) boilers() {
	for i, b := range c.p.Boilers {
		for t := range c.n {
			for j := range b.Pieces {
				c.box(c.s.PieceKW[i][j][t], b.capacity(j, t), "boiler", b.Name, t)
			}
			if t > 0 && b.RampKW > 0 {
				c.note(math.Abs(c.s.BoilerKW[i][t]-c.s.BoilerKW[i][t-1])-b.RampKW, "ramp of boiler", b.Name, t)
			}
		}
	}
}

func (c *checker) stores() {
	for k, store := range c.p.Stores {
		held := c.s.StoredKWh[k]
		for t := range c.n {
			in := c.s.HeaderChargeKW[k][t]
			for i := range c.p.Fields {
				in += c.s.SunStoreKW[i][k][t]
			}
			net := in + c.s.KeepWarmKW[k][t] - c.s.DischargeKW[k][t] - store.StandingKW[t]
			c.note(math.Abs(held[t+1]-store.Keep[t]*held[t]-c.dt*net)/c.dt, "balance of store", store.Name, t)
			c.box(in, store.ChargeKW, "charging of store", store.Name, t)
			c.box(c.s.HeaderChargeKW[k][t], store.HeaderChargeKW, "charging of store", store.Name, t)
			c.box(c.s.DischargeKW[k][t], store.DischargeKW, "discharge of store", store.Name, t)
			c.box(c.s.KeepWarmKW[k][t], store.StandingKW[t], "keeping warm of store", store.Name, t)
			c.note(max(-held[t], held[t]-store.CapacityKWh)/c.dt, "content of store", store.Name, t)
		}
		c.note(math.Abs(held[c.n]-held[0])/c.dt, "year's end of store", store.Name, c.n-1)
	}
}

func (c *checker) valves() {
	for i, v := range c.p.Valves {
		for t, flow := range c.s.ValveKW[i] {
			c.box(flow, v.CapacityKW, "valve from header", c.p.Headers[v.From].Name, t)
		}
	}
}
