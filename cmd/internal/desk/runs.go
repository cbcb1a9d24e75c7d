package desk

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"time"

	"noonkeep/scenarios"
)

// Limits of long runs.
const (
	mostWaiting = 4        // of a visitor
	mostOver    = 48       // finished ones kept, of all visitors
	mostZip     = 64 << 20 // bytes of files kept, of all visitors
	tellEvery   = 200 * time.Millisecond
)

// States of a run, as the page says them.
const (
	runWaiting = "waiting"
	runUnder   = "under way"
	runDone    = "done"
	runFailed  = "failed"
	runGivenUp = "given up"
)

// outcome is what a run brings.
type outcome struct {
	text string
	name string // of the zip
	zip  []byte
}

// runKind is one kind of long run.
type runKind struct {
	runKindView
	work func(ctx context.Context, c scenarios.Case, progress func(done, of int, what string)) (outcome, error)
}

// runs are the long runs of all visitors: of each visitor one at a time, the others wait in their order; of all together no more than leave a
// processor for the pages.
type runs struct {
	kinds []runKind
	told  func(sheet string, r runView)
	seats chan struct{}
	ctx   context.Context
	stop  context.CancelFunc
	work  sync.WaitGroup

	mu   sync.Mutex
	last int
	all  []*longRun // oldest first
}

// longRun is one run. Its view is guarded by the runs' lock.
type longRun struct {
	visitor, sheet string
	kind           runKind
	c              scenarios.Case
	view           runView
	out            outcome
	cancel         context.CancelFunc
	toldAt         time.Time
}

func newRuns(told func(sheet string, r runView)) *runs {
	r := &runs{kinds: longKinds, told: told, seats: make(chan struct{}, max(1, runtime.GOMAXPROCS(0)-1))}
	r.ctx, r.stop = context.WithCancel(context.Background())
	return r
}

// start queues a run and gives its number.
func (r *runs) start(visitor, sheet, kind string, c scenarios.Case) (int, error) {
	at := slices.IndexFunc(r.kinds, func(k runKind) bool { return k.Kind == kind })
	if at < 0 {
		return 0, fmt.Errorf("%q is no run that the desk knows", kind)
	}
	r.mu.Lock()
	waiting := 0
	for _, other := range r.all {
		if other.visitor == visitor && other.view.Under {
			waiting++
		}
	}
	if waiting > mostWaiting {
		r.mu.Unlock()
		return 0, fmt.Errorf("%d runs of yours are waiting already; give one up, or wait for it", waiting-1)
	}
	r.last++
	one := &longRun{visitor: visitor, sheet: sheet, kind: r.kinds[at], c: c, view: runView{N: r.last, Name: r.kinds[at].Name, State: runWaiting, Under: true}}
	r.all = append(r.all, one)
	view := one.view
	r.mu.Unlock()
	r.next(visitor)
	r.told(sheet, view)
	return view.N, nil
}

// next begins a visitor's first waiting run, if none of theirs is under way.
func (r *runs) next(visitor string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.ctx.Err() != nil {
		return
	}
	var first *longRun
	for _, one := range r.all {
		if one.visitor == visitor && one.view.State == runUnder {
			return
		}
		if first == nil && one.visitor == visitor && one.view.State == runWaiting {
			first = one
		}
	}
	if first == nil {
		return
	}
	ctx, cancel := context.WithCancel(r.ctx)
	first.cancel = cancel
	first.view.State = runUnder
	r.work.Go(func() {
		defer cancel()
		r.do(ctx, first)
		r.next(visitor)
	})
}

// do waits for a seat and works.
func (r *runs) do(ctx context.Context, one *longRun) {
	var out outcome
	var err error
	select {
	case r.seats <- struct{}{}:
		out, err = one.kind.work(ctx, one.c, func(done, of int, what string) { r.progress(one, done, of, what) })
		<-r.seats
	case <-ctx.Done():
		err = ctx.Err()
	}
	r.mu.Lock()
	one.view.Under, one.c = false, scenarios.Case{}
	switch {
	case errors.Is(err, context.Canceled):
		one.view.State = runGivenUp
	case err != nil:
		one.view.State, one.view.Text = runFailed, err.Error()
	default:
		one.view.State, one.view.Text, one.view.HasFiles, one.out = runDone, out.text, len(out.zip) > 0, out
	}
	view := one.view
	r.drop()
	r.mu.Unlock()
	r.told(one.sheet, view)
}

func (r *runs) progress(one *longRun, done, of int, what string) {
	r.mu.Lock()
	one.view.Done, one.view.Of, one.view.What = done, of, what
	view, due := one.view, time.Since(one.toldAt) >= tellEvery
	if due {
		one.toldAt = time.Now()
	}
	r.mu.Unlock()
	if due {
		r.told(one.sheet, view)
	}
}

// drop lets the oldest finished runs go, and the files of older ones; the caller holds the lock.
func (r *runs) drop() {
	over, bytes := 0, 0
	for i := len(r.all) - 1; i >= 0; i-- {
		one := r.all[i]
		if one.view.Under {
			continue
		}
		over++
		bytes += len(one.out.zip)
		if bytes > mostZip {
			one.out.zip, one.view.HasFiles = nil, false
		}
		if over > mostOver {
			r.all = slices.Delete(r.all, i, i+1)
		}
	}
}

// cancel gives a sheet's run up, waiting or under way; false where there is none.
func (r *runs) cancel(sheet string, n int) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, one := range r.all {
		if one.sheet != sheet || one.view.N != n || !one.view.Under {
			continue
		}
		if one.cancel != nil {
			one.cancel()
		} else {
			one.view.State, one.view.Under = runGivenUp, false
		}
		return true
	}
	return false
}

// views are the runs of a sheet, the newest first.
func (r *runs) views(sheet string) (list []runView) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, one := range slices.Backward(r.all) {
		if one.sheet == sheet {
			list = append(list, one.view)
		}
	}
	return list
}

// files gives the zip of a sheet's finished run.
func (r *runs) files(sheet string, n int) (name string, zip []byte, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, one := range r.all {
		if one.sheet == sheet && one.view.N == n && one.view.HasFiles {
			return one.out.name, one.out.zip, true
		}
	}
	return "", nil, false
}

// close gives all runs up and waits until they have ended.
func (r *runs) close() {
	r.stop()
	r.work.Wait()
}
