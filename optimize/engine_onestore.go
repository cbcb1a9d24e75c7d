package optimize

import (
	"context"
	"errors"
	"fmt"
	"slices"

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

	flows  *Schedule // the solver writes into these
	prices *prices
}

// misfit says why the one-store engine cannot take a problem; empty if it can.
func misfit(p Problem) string {
	switch {
	case len(p.Stores) > 1:
		return fmt.Sprintf("there are %d stores", len(p.Stores))
	case len(p.Headers) > 1:
		return fmt.Sprintf("there are %d headers", len(p.Headers))
	case len(p.Moves) > 0:
		return fmt.Sprintf("the work %q may be moved", p.Moves[0].Name)
	case unfolded(p) != "":
		return unfolded(p)
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
	e.solver.Into(e.plan())
	if len(p.Stores) == 0 {
		e.store = onestore.Store{Keep: make([]float64, w.n), Standing: make([]float64, w.n)}
		return e, nil
	}
	return e, e.resize(0, w.p.Stores[0])
}

func (w *work) oneStorePlant() onestore.Plant {
	p := w.p
	out := onestore.Plant{Demand: scaled(p.Headers[0].DemandKW, w.dt), UnmetCost: w.penalty[0], Vents: w.vents}
	var at []pieceAt
	for i, b := range p.Boilers {
		for j, piece := range b.Pieces {
			s := onestore.Source{Cap: make([]float64, w.n), Cost: scaled(b.FuelPrice, piece.FuelPerHeat)}
			for t := range s.Cap {
				s.Cap[t] = w.dt * b.capacity(j, t)
			}
			out.Sources = append(out.Sources, s)
			at = append(at, pieceAt{i, j})
		}
	}
	for _, m := range p.Limits {
		order := p.piecesOf(m)
		for t := range w.n {
			w.fold(m, t, order, func(x pieceAt, kW float64) { out.Sources[slices.Index(at, x)].Cap[t] = w.dt * kW })
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
	e.areaPrices(plan)
	e.perHour(plan)
	e.limitPrices()
	return e.flows, e.prices, nil
}

// plan is the solver's plan, with the series of flows and prices that it shares.
func (e *oneStoreEngine) plan() *onestore.Plan {
	s, q := newSchedule(e.w.p), newPrices(e.w.p)
	e.flows, e.prices = s, q
	plan := &onestore.Plan{Unmet: s.UnmetKW[0], Vent: s.VentKW[0], HeaderPrice: q.header[0]}
	for i := range s.PieceKW {
		plan.Source = append(plan.Source, s.PieceKW[i]...)
	}
	stores := len(e.w.p.Stores) > 0
	for i := range s.SunHeaderKW {
		plan.FieldHeader = append(plan.FieldHeader, s.SunHeaderKW[i][0])
		if stores {
			plan.FieldStore = append(plan.FieldStore, s.SunStoreKW[i][0])
		}
	}
	if stores {
		plan.Draw, plan.Warm, plan.Take, plan.Held = s.DischargeKW[0], s.KeepWarmKW[0], s.HeaderChargeKW[0], s.StoredKWh[0]
		plan.StorePrice, plan.RoomPrice = q.store[0], q.room[0]
	}
	return plan
}

// areaPrices is what a m² is worth in its best use.
func (e *oneStoreEngine) areaPrices(plan *onestore.Plan) {
	p, dt := e.w.p, e.w.dt
	for i, f := range p.Fields {
		area := e.prices.area[i]
		clear(area)
		if y := series(f.HeaderKWM2, 0); y != nil {
			for t, header := range plan.HeaderPrice {
				area[t] = max(y[t]*(header-f.HeatCost), 0)
			}
		}
		if y := series(f.StoreKWM2, 0); y != nil {
			for t, room := range plan.RoomPrice {
				area[t] = max(area[t], y[t]*(plan.StorePrice[t]-f.HeatCost-room))
			}
		}
		if dt != 1 {
			scale(area, dt)
		}
	}
}

// perHour makes kW of kWh a step, and prices per kW of those per kWh.
func (e *oneStoreEngine) perHour(plan *onestore.Plan) {
	dt := e.w.dt
	if dt == 1 {
		return
	}
	for _, list := range [][][]float64{plan.Source, plan.FieldHeader, plan.FieldStore, {plan.Unmet, plan.Vent, plan.Draw, plan.Warm, plan.Take}} {
		for _, v := range list {
			scale(v, 1/dt)
		}
	}
	scale(plan.HeaderPrice, dt)
	scale(plan.RoomPrice, dt)
}

func scale(v []float64, by float64) {
	for t := range v {
		v[t] *= by
	}
}
