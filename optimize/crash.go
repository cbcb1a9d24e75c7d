//go:build cgo

package optimize

import (
	"context"
	"math"
	"runtime"
	"sync"

	"noonkeep/optimize/internal/clp"
)

// A first basis. The simplex method's work grows faster than the number of steps, and a store of hours
// or days forgets: so the period is cut into spans of a week or two, each is solved as if it repeated,
// and their bases side by side make one for the whole that is wrong only near the joints. On a year of
// hours the whole then takes about a third of what it takes from nothing (BenchmarkCold).

// spanSteps is the length of such a span: whole days, so that its ends are alike.
func (w *work) spanSteps() int {
	days := 14.0
	if w.dt < 1 {
		days = 7
	}
	return max(1, int(math.Round(days*24/w.dt)))
}

// crash gives the joined basis, or nil if the period is too short to cut or a span was not solved.
func (e *clpEngine) crash(ctx context.Context) clp.Basis {
	length := e.w.spanSteps()
	if e.w.n < 3*length {
		return nil
	}
	basis := make(clp.Basis, e.y.cols+e.y.rows)
	for i := range basis {
		basis[i] = byte(clp.AtLower)
		if i >= e.y.cols {
			basis[i] = byte(clp.Basic)
		}
	}
	var group sync.WaitGroup
	ok := make([]bool, (e.w.n+length-1)/length)
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range ok {
		group.Go(func() {
			slots <- struct{}{}
			ok[i] = e.crashSpan(ctx, basis, i*length, min((i+1)*length, e.w.n))
			<-slots
		})
	}
	group.Wait()
	for _, solved := range ok {
		if !solved {
			return nil
		}
	}
	return basis
}

// crashSpan solves one span and writes its part of the basis; spans share no entry.
func (e *clpEngine) crashSpan(ctx context.Context, basis clp.Basis, from, to int) bool {
	if ctx.Err() != nil {
		return false
	}
	eng, err := newClpEngine(e.w.p.span(from, to), "")
	if err != nil {
		return false
	}
	part := eng.(*clpEngine)
	defer part.close()
	defer part.watch(ctx)()
	if part.model.Primal() != clp.Optimal {
		return false
	}
	got := part.model.Basis()
	copyPlaces(basis[:e.y.cols], e.y.colGroups, got[:part.y.cols], part.y.colGroups, from)
	copyPlaces(basis[e.y.cols:], e.y.rowGroups, got[part.y.cols:], part.y.rowGroups, from)
	return true
}

// copyPlaces finds each of the span's columns or rows in the whole, by its group's name and step.
func copyPlaces(whole clp.Basis, wholeGroups []group, part clp.Basis, partGroups []group, from int) {
	num := map[string]index{}
	for _, g := range wholeGroups {
		num[g.name] = g.num
	}
	for _, g := range partGroups {
		to := num[g.name]
		if to == nil {
			continue
		}
		for t, j := range g.num {
			if j != none && to[from+t] != none {
				whole[to[from+t]] = part[j]
			}
		}
	}
}
