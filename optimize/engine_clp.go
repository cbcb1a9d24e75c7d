//go:build cgo

package optimize

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"noonkeep/optimize/internal/clp"
)

// haveClp says whether Clp is in this program.
const haveClp = true

// clpEngine keeps one program loaded in Clp and changes it in place.
type clpEngine struct {
	w      *work
	y      *layout
	m      *matrix
	model  *clp.Model
	scale  clpScale
	solved bool      // a basis is there to start from
	shelf  *shelf    // shared with twins
	size   []float64 // present capacity of each store, kWh
}

// shelf keeps the bases of solved sizes of the stores: near sizes start from them.
type shelf struct {
	mu   sync.Mutex
	list []shelved
}

type shelved struct {
	size  []float64
	basis clp.Basis
}

func (h *shelf) add(size []float64, basis clp.Basis) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.list = append(h.list, shelved{slices.Clone(size), basis})
}

// nearest is the basis of the size that is least off, of two such the larger; nil if there is none.
func (h *shelf) nearest(size []float64) clp.Basis {
	h.mu.Lock()
	defer h.mu.Unlock()
	var best shelved
	bestOff := math.Inf(1)
	for _, s := range h.list {
		off := 0.0
		for k := range size {
			off += math.Abs(s.size[k] - size[k])
		}
		if off < bestOff || off == bestOff && slices.Compare(s.size, best.size) > 0 {
			best, bestOff = s, off
		}
	}
	return best.basis
}

// clpScale puts kW and money into units in which Clp's absolute tolerances, 1e-7, are small.
type clpScale struct{ kW, cost float64 }

// unitsOfPeak is the size of the greatest demand in the units given to Clp.
const unitsOfPeak = 1000

func newClpEngine(p Problem, _ string) (engine, error) {
	w := newWork(p)
	return loadClp(w, newLayout(w), &shelf{})
}

// twin is a second engine for the same problem, which starts from the bases of both.
func (e *clpEngine) twin() (engine, error) { return loadClp(newWork(*e.w.p), e.y, e.shelf) }

func loadClp(w *work, y *layout, h *shelf) (*clpEngine, error) {
	e := &clpEngine{w: w, y: y, m: build(w, y), model: clp.New(), shelf: h}
	for _, s := range e.w.p.Stores {
		e.size = append(e.size, s.CapacityKWh)
	}
	if err := e.load(); err != nil {
		e.close()
		return nil, err
	}
	return e, nil
}

// load hands the matrix to Clp.
func (e *clpEngine) load() error {
	e.scale = clpScale{kW: e.w.peakKW / unitsOfPeak, cost: e.w.dearest * e.w.dt}
	lower, upper := e.bounds()
	rowLower, rowUpper := scaled(e.m.rowLower, 1/e.scale.kW), scaled(e.m.rowUpper, 1/e.scale.kW)
	return e.model.Load(clp.Columns{Rows: e.y.rows, Start: e.m.start, Index: e.m.index, Value: e.m.value,
		Lower: lower, Upper: upper, Cost: scaled(e.m.cost, 1/e.scale.cost), RowLower: rowLower, RowUpper: rowUpper})
}

func (e *clpEngine) close() { e.model.Close() }

func (e *clpEngine) bounds() (lower, upper []float64) {
	return scaled(e.m.lower, 1/e.scale.kW), scaled(e.m.upper, 1/e.scale.kW)
}

// resize writes a store's new numbers into the loaded program and goes to the basis of the nearest
// size solved. Every column has two bounds, so the dual simplex method can go on from any basis.
func (e *clpEngine) resize(k int, s Store) error {
	if err := e.fits(k, s); err != nil {
		return err
	}
	e.w.resize(k, s)
	e.m.setStore(e.w, e.y, k)
	elements := e.model.Elements()
	if elements == nil {
		return fmt.Errorf("store %q: Clp dropped an element of the matrix", s.Name)
	}
	for t := range e.w.n {
		if e.y.stock[k].at(t) != none {
			at := e.m.keep[k][t]
			elements[at] = e.m.value[at]
		}
	}
	e.model.SetColBounds(e.bounds())
	e.model.SetRowBounds(scaled(e.m.rowLower, 1/e.scale.kW), scaled(e.m.rowUpper, 1/e.scale.kW))
	e.size[k] = s.CapacityKWh
	basis := e.shelf.nearest(e.size)
	if basis == nil {
		return nil
	}
	e.solved = true
	return e.model.SetBasis(basis)
}

// fits wants a column for all that acts at the new size.
func (e *clpEngine) fits(k int, s Store) error {
	for t := range e.w.n {
		switch {
		case s.CapacityKWh > 0 && e.y.stock[k].at(t) == none,
			s.StandingKW[t] > 0 && e.y.warm[k].at(t) == none,
			s.DischargeKW > 0 && s.CapacityKWh > 0 && e.y.draw[k].at(t) == none,
			s.HeaderChargeKW > 0 && s.CapacityKWh > 0 && e.y.take[k].at(t) == none:
			return fmt.Errorf("store %q: acts at %g m³ in step %d where it did not at the first volume; want limits and losses that grow with volume",
				s.Name, s.VolumeM3, t)
		}
	}
	return nil
}

// solve goes on from the last basis; if Clp is not content it starts anew in another way.
func (e *clpEngine) solve(ctx context.Context) (*Schedule, *prices, error) {
	if e.y.cols == 0 { // nothing is asked and nothing can act; Clp calls such a program a failure
		return newSchedule(e.w.p), newPrices(e.w.p), nil
	}
	e.model.Resume()
	defer e.watch(ctx)()
	ways := []func() clp.Status{
		func() clp.Status { return e.model.Fresh(clp.ByDual, true) },
		func() clp.Status { return e.model.Fresh(clp.ByPrimal, false) },
		func() clp.Status { return e.model.Fresh(clp.ByBarrier, true) },
		e.unscaled,
	}
	if e.solved || e.start(ctx) {
		ways = append([]func() clp.Status{e.model.Dual}, ways...)
	}
	e.solved = false
	said := ""
	for _, way := range ways {
		status := way()
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if status == clp.Optimal && e.model.Secondary() == 0 {
			e.solved = true
			e.shelf.add(e.size, e.model.Basis())
			return e.flows(), e.prices(), nil
		}
		said = status.String()
		if status == clp.Optimal {
			said = e.model.Secondary().String()
		}
	}
	return nil, nil, &Unproven{VolumeM3: volume(e.w.p), What: said}
}

// unscaled is for programs of very uneven numbers, whose scaled answer is not one of the unscaled program.
func (e *clpEngine) unscaled() clp.Status {
	const off, automatic = 0, 3
	e.model.SetScaling(off)
	defer e.model.SetScaling(automatic)
	return e.model.Fresh(clp.ByPrimal, false)
}

// watch stops the model when the context ends. Call what it returns before the model is used or closed.
func (e *clpEngine) watch(ctx context.Context) (done func()) {
	ended := make(chan struct{})
	stop := context.AfterFunc(ctx, func() {
		e.model.Stop()
		close(ended)
	})
	return func() {
		if !stop() { // it has begun: wait until it has left the model alone
			<-ended
		}
	}
}

// start sets a first basis, if there is a good one.
func (e *clpEngine) start(ctx context.Context) bool {
	basis := e.crash(ctx)
	return basis != nil && e.model.SetBasis(basis) == nil
}

// reader picks values out of Clp's arrays by the layout, in the problem's units.
type reader struct {
	v  []float64
	by float64
}

func (r reader) into(dst []float64, num index) {
	for t := range num {
		if j := num[t]; j != none {
			dst[t] = r.v[j] * r.by
		}
	}
}

func (e *clpEngine) flows() *Schedule {
	s, y := newSchedule(e.w.p), e.y
	r := reader{e.model.Solution(), e.scale.kW}
	for i := range y.sun {
		for l := range y.sun[i] {
			r.into(s.SunHeaderKW[i][l], y.sun[i][l])
		}
		for k := range y.charge[i] {
			r.into(s.SunStoreKW[i][k], y.charge[i][k])
		}
	}
	for i := range y.heat {
		for j := range y.heat[i] {
			r.into(s.PieceKW[i][j], y.heat[i][j])
		}
	}
	for i := range y.valve {
		r.into(s.ValveKW[i], y.valve[i])
	}
	for l := range y.unmet {
		r.into(s.UnmetKW[l], y.unmet[l])
		r.into(s.VentKW[l], y.vent[l])
	}
	for k := range y.draw {
		r.into(s.DischargeKW[k], y.draw[k])
		r.into(s.KeepWarmKW[k], y.warm[k])
		r.into(s.HeaderChargeKW[k], y.take[k])
		r.into(s.StoredKWh[k], y.stock[k])
	}
	for i := range y.move {
		r.into(s.MovedKW[i], y.move[i])
	}
	return s
}

func (e *clpEngine) prices() *prices {
	q, y := newPrices(e.w.p), e.y
	duals := e.model.Duals()
	r, minus := reader{duals, e.scale.cost}, reader{duals, -e.scale.cost}
	for l := range y.header {
		r.into(q.header[l], y.header[l])
	}
	for i, f := range e.w.p.Fields {
		minus.into(q.area[i], y.area[i])
		for t := range y.area[i] {
			q.area[i][t] *= f.bestYield(t) // the row is written in kW of the best use
		}
	}
	for k := range y.balance {
		minus.into(q.store[k], y.balance[k])
		minus.into(q.room[k], y.room[k])
	}
	for i := range y.ramping {
		r.into(q.ramp[i], y.ramping[i])
	}
	for m := range y.limit {
		minus.into(q.limit[m], y.limit[m])
	}
	for m := range y.taken {
		if row := y.taken[m].at(0); row != none {
			q.take[m][0] = -duals[row] * e.scale.cost
		}
	}
	for i, m := range e.w.p.Moves {
		for j, v := range m.Windows {
			if row := y.window[i].at(v.From); row != none {
				q.window[i][j] = duals[row] * e.scale.cost
			}
		}
	}
	return q
}
