package optimize

import (
	"math"
	"slices"
)

// work is a checked problem with what follows from it at once. Only a store's size ever changes in it.
type work struct {
	p       *Problem // its own copy, as far as the list of stores
	n       int
	dt      float64
	penalty []float64 // per kWh unmet, by header: the problem's own price or one that forbids
	vents   bool      // whether heat may have to be let go from a header
	dearest float64   // price of the dearest kWh of heat
	peakKW  float64   // by which residuals are measured
	ventKW  []float64 // the most that can be let go, by header

	spillYield [][]float64 // by field and step: what a m² left unused would have given
	moveKW     [][]float64 // by move and step: the most it can take
	limitsOf   [][]int     // by boiler
	takesOf    [][]int     // by boiler
	scratch    []float64   // a series of no meaning; one goroutine has a work at a time
}

// forbidden is how many times dearer than the dearest heat a kWh is that may not be missing. A plan
// that can avoid it by less waste than that does.
const forbidden = 1000

func newWork(p Problem) *work {
	p.Stores, p.Fields = append([]Store(nil), p.Stores...), cappedFields(p.Fields)
	w := &work{p: &p, n: p.N(), dt: p.StepH, scratch: make([]float64, p.N())}
	for k, s := range p.Stores {
		w.resize(k, s)
	}
	w.moves()
	w.links()
	for _, f := range p.Fields {
		w.dearest = max(w.dearest, f.HeatCost)
		w.spillYield = append(w.spillYield, f.spillYields(w.n))
	}
	for _, b := range p.Boilers {
		w.vents = w.vents || b.RampKW > 0
		for t, price := range b.FuelPrice {
			w.vents = w.vents || price < 0
			for j, piece := range b.Pieces {
				if b.capacity(j, t) > 0 {
					w.dearest = max(w.dearest, math.Abs(price)*piece.FuelPerHeat)
				}
			}
		}
	}
	if w.dearest == 0 {
		w.dearest = 1
	}
	for _, h := range p.Headers {
		price := h.UnmetPrice
		if price == 0 {
			price = forbidden * w.dearest
		}
		w.penalty = append(w.penalty, price)
		for _, d := range h.DemandKW {
			w.peakKW = max(w.peakKW, d)
		}
	}
	for _, kW := range w.moveKW {
		w.peakKW = max(w.peakKW, slices.Max(kW))
	}
	if w.peakKW == 0 {
		w.peakKW = 1
	}
	for l := range p.Headers {
		w.ventKW = append(w.ventKW, w.ventRoom(l))
	}
	return w
}

// resize gives store k new numbers. A store that can hold nothing does nothing: without this it would
// let heat through within a step.
func (w *work) resize(k int, s Store) {
	if s.CapacityKWh == 0 {
		s.ChargeKW, s.DischargeKW, s.HeaderChargeKW = 0, 0, 0
	}
	w.p.Stores[k] = s
}

// acts says whether store k can hold anything.
func (w *work) acts(k int) bool { return w.p.Stores[k].CapacityKWh > 0 }

// unmetRoom is the most that can be missing at header l: its demand, what moves take, and the stores' standing loss.
func (w *work) unmetRoom(l, t int) float64 {
	room := w.p.Headers[l].DemandKW[t] + w.moveRoom(l, t)
	for k := range w.p.Stores {
		if s := &w.p.Stores[k]; s.source() == l {
			room += s.StandingKW[t]
		}
	}
	return room
}

// matrix is the program by columns: minimise cost·x, rows and columns between their bounds.
type matrix struct {
	start, index       []int32
	value              []float64
	lower, upper, cost []float64
	rowLower, rowUpper []float64

	keep [][]int32 // [store][step]: which element holds -Keep
}

// builder fills a matrix in the layout's order.
type builder struct {
	*work
	y *layout
	m matrix
}

// build writes the whole program of the package's documentation.
func build(w *work, y *layout) *matrix {
	b := &builder{work: w, y: y}
	b.m.rowLower, b.m.rowUpper = make([]float64, y.rows), make([]float64, y.rows)
	b.m.start = append(make([]int32, 0, y.cols+1), 0)
	b.m.keep = make([][]int32, len(w.p.Stores))
	for k := range b.m.keep {
		b.m.keep[k] = make([]int32, w.n)
	}
	for t := range w.n {
		b.fieldColumns(t)
		b.boilerColumns(t)
		b.headerColumns(t)
		b.storeColumns(t)
		b.moveColumns(t)
		b.takeColumns(t)
		b.fixedRows(t)
	}
	b.windowRows()
	b.limitRows()
	for k := range w.p.Stores {
		b.m.setStore(w, y, k)
	}
	return &b.m
}

// el is one element of the column being written; an element in a row that is not there is left out.
type el struct {
	row   int32
	value float64
}

func (b *builder) add(col int32, upper, cost float64, els ...el) {
	if col == none {
		return
	}
	if int(col) != len(b.m.cost) {
		panic("optimize: columns are built out of the layout's order")
	}
	for _, e := range els {
		if e.row != none {
			b.m.index, b.m.value = append(b.m.index, e.row), append(b.m.value, e.value)
		}
	}
	b.m.start = append(b.m.start, int32(len(b.m.index)))
	b.m.lower, b.m.upper, b.m.cost = append(b.m.lower, 0), append(b.m.upper, upper), append(b.m.cost, cost)
}

// fieldColumns: a field's row is written in kW of its best use in that step, so that its elements are
// near 1; where a field has only one use in a step, its area is that column's bound and needs no row.
func (b *builder) fieldColumns(t int) {
	for i, f := range b.p.Fields {
		area, best := b.y.area[i].at(t), f.bestYield(t)
		for l := range b.p.Headers {
			if y := f.headerYield(l, t); y > 0 {
				b.add(b.y.sun[i][l].at(t), f.AreaM2*y, b.dt*f.HeatCost, el{b.y.header[l].at(t), 1}, el{area, best / y})
			}
		}
		for k := range b.p.Stores {
			if y := f.storeYield(k, t); y > 0 {
				b.add(b.y.charge[i][k].at(t), f.AreaM2*y, b.dt*f.HeatCost,
					el{area, best / y}, el{b.y.balance[k].at(t), -b.dt}, el{b.y.room[k].at(t), 1})
			}
		}
		if area != none {
			b.m.rowLower[area], b.m.rowUpper[area] = math.Inf(-1), f.AreaM2*best
		}
	}
}

func (f Field) bestYield(t int) float64 {
	best := 0.0
	for l := range f.HeaderKWM2 {
		best = max(best, f.headerYield(l, t))
	}
	for k := range f.StoreKWM2 {
		best = max(best, f.storeYield(k, t))
	}
	return best
}

func (b *builder) boilerColumns(t int) {
	for i, boiler := range b.p.Boilers {
		now, next := b.y.ramping[i].at(t), int32(none)
		if t+1 < b.n {
			next = b.y.ramping[i].at(t + 1)
		}
		for j, piece := range boiler.Pieces {
			b.add(b.y.heat[i][j].at(t), boiler.capacity(j, t), b.dt*boiler.FuelPrice[t]*piece.FuelPerHeat,
				b.linkElements([]el{{b.y.header[boiler.Header].at(t), 1}, {now, 1}, {next, -1}}, i, j, t)...)
		}
		if now != none {
			b.m.rowLower[now], b.m.rowUpper[now] = -boiler.RampKW, boiler.RampKW
		}
	}
}

func (b *builder) headerColumns(t int) {
	for i, v := range b.p.Valves {
		b.add(b.y.valve[i].at(t), v.CapacityKW, 0, el{b.y.header[v.From].at(t), -1}, el{b.y.header[v.To].at(t), 1})
	}
	for l := range b.p.Headers {
		row := b.y.header[l].at(t)
		b.add(b.y.unmet[l].at(t), b.unmetRoom(l, t), b.dt*b.penalty[l], el{row, 1})
		b.add(b.y.vent[l].at(t), b.ventKW[l], 0, el{row, -1})
	}
}

// ventRoom bounds what can be let go at header l in a step: all that can come in.
func (w *work) ventRoom(l int) float64 {
	room := w.peakKW
	for _, b := range w.p.Boilers {
		for _, piece := range b.Pieces {
			room += piece.CapacityKW
		}
	}
	for _, f := range w.p.Fields {
		if l < len(f.HeaderKWM2) && f.HeaderKWM2[l] != nil {
			room += f.AreaM2 * slices.Max(f.HeaderKWM2[l])
		}
	}
	for _, v := range w.p.Valves {
		room += v.CapacityKW
	}
	for _, s := range w.p.Stores {
		room += s.DischargeKW
	}
	return room
}

func (b *builder) storeColumns(t int) {
	before := (t + b.n - 1) % b.n
	for k, s := range b.p.Stores {
		header, source, balance := b.y.header[s.Header].at(t), b.y.header[s.source()].at(t), b.y.balance[k].at(t)
		b.add(b.y.draw[k].at(t), 0, 0, el{header, 1}, el{balance, b.dt})
		b.add(b.y.warm[k].at(t), 0, 0, el{source, -1}, el{balance, -b.dt})
		b.add(b.y.take[k].at(t), 0, 0, el{source, -1}, el{balance, -b.dt}, el{b.y.room[k].at(t), 1})
		if b.n == 1 {
			b.m.keep[k][t] = int32(len(b.m.value))
			b.add(b.y.stock[k].at(t), 0, 0, el{balance, 1})
			continue
		}
		b.m.keep[k][t] = int32(len(b.m.value)) + 1
		b.add(b.y.stock[k].at(t), 0, 0, el{b.y.balance[k].at(before), 1}, el{balance, -1})
	}
}

// fixedRows sets the rows that no store changes.
func (b *builder) fixedRows(t int) {
	for l, h := range b.p.Headers {
		row := b.y.header[l].at(t)
		b.m.rowLower[row], b.m.rowUpper[row] = h.DemandKW[t], h.DemandKW[t]
	}
}

// setStore writes everything that depends on store k's size. The layout must know all that then acts.
func (m *matrix) setStore(w *work, y *layout, k int) {
	s := w.p.Stores[k]
	for t := range w.n {
		m.setUpper(y.draw[k].at(t), s.DischargeKW)
		m.setUpper(y.warm[k].at(t), s.StandingKW[t])
		m.setUpper(y.stock[k].at(t), s.CapacityKWh)
		if row := y.balance[k].at(t); row != none {
			m.rowLower[row], m.rowUpper[row] = -w.dt*s.StandingKW[t], -w.dt*s.StandingKW[t]
		}
		if y.stock[k].at(t) != none {
			m.value[m.keep[k][t]] = keepElement(s.Keep[t], w.n)
		}
		m.setUpper(y.unmet[s.source()].at(t), w.unmetRoom(s.source(), t))
		m.setCharge(w, y, k, s, t)
	}
}

// setCharge: the charge limit is a row where several columns share it, else the bound of the one.
func (m *matrix) setCharge(w *work, y *layout, k int, s Store, t int) {
	row, limit := y.room[k].at(t), s.ChargeKW
	if row != none {
		m.rowLower[row], m.rowUpper[row], limit = math.Inf(-1), s.ChargeKW, math.Inf(1)
	}
	m.setUpper(y.take[k].at(t), min(s.HeaderChargeKW, limit))
	for i, f := range w.p.Fields {
		m.setUpper(y.charge[i][k].at(t), min(f.AreaM2*f.storeYield(k, t), limit))
	}
}

func (m *matrix) setUpper(col int32, upper float64) {
	if col != none {
		m.upper[col] = upper
	}
}

// keepElement is the element of stock in its own step's balance. Solvers drop an exact zero, and with
// it the place to write the next volume's value; 1e-15 of the stock is below any tolerance.
func keepElement(keep float64, n int) float64 {
	e := -keep
	if n == 1 {
		e++
	}
	if e == 0 {
		return 1e-15
	}
	return e
}

func scaled(v []float64, by float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = x * by
	}
	return out
}
