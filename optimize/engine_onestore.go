package optimize

import (
	"context"
	"errors"
	"fmt"

	"noonkeep/optimize/internal/onestore"
)

// oneStoreEngine hands a problem of one header and at most one store to the exact engine, in kWh per
// step, and takes flows and prices back.
type oneStoreEngine struct {
	w      *work
	plant  onestore.Plant
	solver *onestore.Solver
	store  onestore.Store
	alone  bool // it was asked for by name
}

// misfit says why the one-store engine cannot take a problem; empty if it can.
func misfit(p Problem) string {
	switch {
	case len(p.Stores) > 1:
		return fmt.Sprintf("there are %d stores", len(p.Stores))
	case len(p.Headers) > 1:
		return fmt.Sprintf("there are %d headers", len(p.Headers))
	}
	cost, first := 0.0, true
	for _, f := range p.Fields {
		if f.AreaM2 == 0 {
			continue
		}
		if !first && f.HeatCost != cost {
			return "heat from the fields has different costs"
		}
		cost, first = f.HeatCost, false
	}
	takes := len(p.Stores) == 1 && p.Stores[0].HeaderChargeKW > 0
	for _, b := range p.Boilers {
		if b.RampKW > 0 {
			return fmt.Sprintf("boiler %q has a ramp", b.Name)
		}
		for _, price := range b.FuelPrice {
			for _, piece := range b.Pieces {
				if takes && price*piece.FuelPerHeat < cost {
					return fmt.Sprintf("the header may charge the store, and boiler %q is at times cheaper than the sun's pumps", b.Name)
				}
			}
		}
	}
	return ""
}

func newOneStoreEngine(p Problem, alone bool) (engine, error) {
	w := newWork(p)
	e := &oneStoreEngine{w: w, plant: w.oneStorePlant(), alone: alone}
	var err error
	if e.solver, err = onestore.New(e.plant); err != nil {
		return nil, err
	}
	if len(p.Stores) == 0 {
		e.store = onestore.Store{Keep: make([]float64, w.n), Standing: make([]float64, w.n)}
		return e, nil
	}
	return e, e.resize(0, w.p.Stores[0])
}

func (w *work) oneStorePlant() onestore.Plant {
	p := w.p
	out := onestore.Plant{Demand: scaled(p.Headers[0].DemandKW, w.dt), UnmetCost: w.penalty[0], Vents: w.vents}
	for _, b := range p.Boilers {
		for j, piece := range b.Pieces {
			s := onestore.Source{Cap: make([]float64, w.n), Cost: scaled(b.FuelPrice, piece.FuelPerHeat)}
			for t := range s.Cap {
				s.Cap[t] = w.dt * b.capacity(j, t)
			}
			out.Sources = append(out.Sources, s)
		}
	}
	for _, f := range p.Fields {
		var g onestore.Field
		if len(f.HeaderKWM2) > 0 && f.HeaderKWM2[0] != nil {
			g.Header = scaled(f.HeaderKWM2[0], w.dt*f.AreaM2)
		}
		if len(f.StoreKWM2) > 0 && f.StoreKWM2[0] != nil {
			g.Store = scaled(f.StoreKWM2[0], w.dt*f.AreaM2)
		}
		out.Fields = append(out.Fields, g)
		if f.AreaM2 > 0 {
			out.HeatCost = f.HeatCost
		}
	}
	return out
}

// twin is a second engine for the same problem: it shares nothing that changes.
func (e *oneStoreEngine) twin() (engine, error) { return newOneStoreEngine(*e.w.p, e.alone) }

// other is Clp, unless this engine was asked for by name.
func (e *oneStoreEngine) other() (engine, error) {
	if e.alone {
		return nil, errors.New("engine onestore: was asked for by name")
	}
	return clpInSeconds(*e.w.p, "the one-store engine's answer fails its proof")
}

func (e *oneStoreEngine) close() {}

func (e *oneStoreEngine) resize(k int, s Store) error {
	e.w.resize(k, s)
	s = e.w.p.Stores[k]
	dt := e.w.dt
	e.store = onestore.Store{Capacity: s.CapacityKWh, Keep: s.Keep, Standing: s.StandingKW,
		Charge: dt * s.ChargeKW, Discharge: dt * s.DischargeKW, FromHeader: dt * s.HeaderChargeKW}
	if dt != 1 {
		e.store.Standing = scaled(s.StandingKW, dt)
	}
	return nil
}

func (e *oneStoreEngine) solve(ctx context.Context) (*Schedule, *prices, error) {
	plan, err := e.solver.Solve(ctx, &e.store)
	if ctx.Err() != nil {
		return nil, nil, ctx.Err()
	}
	if err != nil {
		return nil, nil, &Unproven{VolumeM3: volume(e.w.p), What: err.Error()}
	}
	return e.flows(plan), e.prices(plan), nil
}

func (e *oneStoreEngine) flows(plan *onestore.Plan) *Schedule {
	s, per := newSchedule(e.w.p), 1/e.w.dt
	put := func(dst, kWh []float64) {
		for t, x := range kWh {
			dst[t] = x * per
		}
	}
	source := 0
	for i := range s.PieceKW {
		for j := range s.PieceKW[i] {
			put(s.PieceKW[i][j], plan.Source[source])
			source++
		}
	}
	for i := range s.SunHeaderKW {
		put(s.SunHeaderKW[i][0], plan.FieldHeader[i])
		if len(e.w.p.Stores) > 0 {
			put(s.SunStoreKW[i][0], plan.FieldStore[i])
		}
	}
	put(s.UnmetKW[0], plan.Unmet)
	put(s.VentKW[0], plan.Vent)
	if len(e.w.p.Stores) > 0 {
		put(s.DischargeKW[0], plan.Draw)
		put(s.KeepWarmKW[0], plan.Warm)
		put(s.HeaderChargeKW[0], plan.Take)
		copy(s.StoredKWh[0], plan.Held)
	}
	return s
}

func (e *oneStoreEngine) prices(plan *onestore.Plan) *prices {
	p, dt := e.w.p, e.w.dt
	q := newPrices(p)
	copy(q.header[0], scaled(plan.HeaderPrice, dt))
	if len(p.Stores) > 0 {
		copy(q.store[0], plan.StorePrice)
		copy(q.room[0], scaled(plan.RoomPrice, dt))
	}
	for i, f := range p.Fields {
		for t := range q.area[i] {
			worth := f.headerYield(0, t) * (plan.HeaderPrice[t] - f.HeatCost)
			if len(p.Stores) > 0 {
				worth = max(worth, f.storeYield(0, t)*(plan.StorePrice[t]-f.HeatCost-plan.RoomPrice[t]))
			}
			q.area[i][t] = dt * max(worth, 0)
		}
	}
	return q
}
