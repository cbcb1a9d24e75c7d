package optimize

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
)

// Row is one plant of a [Grid] and the sizes of one of its stores that it is solved with.
type Row struct {
	Name    string // for messages: "20 collectors"
	Problem Problem
	Stores  []Store // the store at each size; the problem's own size is not solved
}

// Map is what a [Grid] comes to: for each row, an outcome for each of its sizes. Every outcome carries
// its own proof.
type Map struct {
	Engine, Why string      // which engine solved the first row, and why that one
	Cells       [][]Outcome // [row][size]
	Proof       Proof       // the worst of each figure over all cells
}

// Grid solves and proves many plants, each at many sizes of store k: rows differ in whatever the caller
// likes, such as the area of a field. Rows are shared among all cores; a row keeps one engine, which only
// changes the store's size in place. What is found does not depend on the number of cores.
//
// The error names the cell; it is as that of [Plan]. There is then no map. Of opt it reads Engine and
// Progress; Step.Planned is the number of cells, and GapFrac is 0, since nothing is said between cells.
func Grid(ctx context.Context, k int, rows []Row, opt Options) (Map, error) {
	cells := 0
	for _, r := range rows {
		cells += len(r.Stores)
	}
	if err := checkRows(rows, k); err != nil {
		return Map{}, err
	}
	if cells == 0 {
		return Map{}, errors.New("grid: has no cell; want rows with stores")
	}
	g := &gridder{k: k, rows: rows, opt: opt, found: make(chan gridCell)}
	inner, cancel := context.WithCancel(ctx)
	defer cancel()
	go g.all(inner)
	m, err := g.gather(cells, cancel)
	if ctx.Err() != nil {
		return Map{}, ctx.Err()
	}
	if err != nil {
		return Map{}, err
	}
	return m, nil
}

// checkRows checks all rows at the same time, and names the first that is wrong.
func checkRows(rows []Row, k int) error {
	wrong := make([]error, len(rows))
	var group sync.WaitGroup
	for i, r := range rows {
		group.Go(func() { wrong[i] = r.check(k) })
	}
	group.Wait()
	for _, err := range wrong {
		if err != nil {
			return err
		}
	}
	return nil
}

func (r Row) check(k int) error {
	p := r.Problem
	var f faults
	f.require(k >= 0 && k < len(p.Stores), "grid: %s: store %d: there are %d", r.Name, k, len(p.Stores))
	if len(f) > 0 {
		return f.err()
	}
	if err := p.Check(); err != nil {
		return fmt.Errorf("grid: %s: problem: %w", r.Name, err)
	}
	for _, s := range r.Stores {
		what := fmt.Sprintf("grid: %s: store of %.4g m³", r.Name, s.VolumeM3)
		p.checkStore(&f, what, s)
		here := &p.Stores[k]
		f.require(s.Header == here.Header, "%s: serves header %d; want %d as in the problem", what, s.Header, here.Header)
		f.require(s.source() == here.source(), "%s: is charged from header %d; want %d as in the problem", what, s.source(), here.source())
	}
	return f.err()
}

// gridder shares rows among workers and sends back cell by cell.
type gridder struct {
	k     int
	rows  []Row
	opt   Options
	found chan gridCell
}

type gridCell struct {
	row, size   int
	engine, why string
	outcome     Outcome
	err         error
}

// all solves every row and closes found.
func (g *gridder) all(ctx context.Context) {
	next := make(chan int)
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(g.rows)) {
		group.Go(func() {
			for i := range next {
				g.row(ctx, i)
			}
		})
	}
	for i := range g.rows {
		next <- i
	}
	close(next)
	group.Wait()
	close(g.found)
}

// gather puts the cells in their places, and on an error stops what still runs.
func (g *gridder) gather(cells int, cancel func()) (Map, error) {
	m := Map{Cells: make([][]Outcome, len(g.rows))}
	for i, r := range g.rows {
		m.Cells[i] = make([]Outcome, len(r.Stores))
	}
	var failed error // the first; those after it come of cancel
	solved := 0
	for c := range g.found {
		switch {
		case c.err != nil && failed == nil:
			failed = c.err
			cancel()
		case c.err == nil:
			m.Cells[c.row][c.size] = c.outcome
			if c.row == 0 {
				m.Engine, m.Why = c.engine, c.why
			}
			if solved++; g.opt.Progress != nil {
				g.opt.Progress(Step{Solved: solved, Planned: cells, AtM3: g.rows[c.row].Stores[c.size].VolumeM3})
			}
		}
	}
	if failed != nil {
		return Map{}, failed
	}
	for i, row := range m.Cells {
		for j, o := range row {
			if i+j == 0 {
				m.Proof = o.Proof
			}
			m.Proof = worse(m.Proof, o.Proof)
		}
	}
	return m, nil
}

// row solves one row from its largest store down, as Clp has it easiest; nothing acts at a smaller size
// that did not at the largest.
func (g *gridder) row(ctx context.Context, i int) {
	r := g.rows[i]
	order := make([]int, len(r.Stores))
	for j := range order {
		order[j] = j
	}
	if len(order) == 0 || ctx.Err() != nil {
		return
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(r.Stores[b].CapacityKWh, r.Stores[a].CapacityKWh) })
	c := gridCell{row: i, size: order[0]}
	send := func(err error) {
		c.err = fmt.Errorf("%s, %.4g m³: %w", r.Name, r.Stores[c.size].VolumeM3, err)
		g.found <- c
	}
	p := r.Problem
	p.Stores = slices.Clone(p.Stores)
	p.Stores[g.k] = r.Stores[order[0]]
	eng, name, why, err := choose(p, g.opt.Engine)
	if err != nil {
		send(err)
		return
	}
	defer eng.close()
	w := newWork(p)
	c.engine, c.why = name, why
	for _, j := range order {
		c.size = j
		if err := eng.resize(g.k, r.Stores[j]); err != nil {
			send(err)
			return
		}
		w.resize(g.k, r.Stores[j])
		a, err := solveProven(ctx, w, eng)
		if err != nil {
			send(err)
			return
		}
		c.outcome = a.plan.Outcome(*w.p, a.proof)
		g.found <- c
	}
}
