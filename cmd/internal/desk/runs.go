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
	cancel         context.CancelFunc // nil until it is its turn
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
	if r.ctx.Err() != nil {
		r.mu.Unlock()
		return 0, errors.New("the desk is being ended")
	}
	r.last++
	one := &longRun{visitor: visitor, sheet: sheet, kind: r.kinds[at], c: c, view: runView{N: r.last, Name: r.kinds[at].Name, State: runWaiting, Under: true}}
	r.all = append(r.all, one)
	view := one.view
	r.mu.Unlock()
	r.told(sheet, view) // before it can end, so that its end is told last
	r.next(visitor)
	return view.N, nil
}

// next begins a visitor's first waiting run, if it is not another's turn.
func (r *runs) next(visitor string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.ctx.Err() != nil {
		return
	}
	for _, one := range r.all {
		if one.visitor != visitor || !one.view.Under {
			continue
		}
		if one.cancel == nil {
			ctx, cancel := context.WithCancel(r.ctx)
			one.cancel = cancel
			r.work.Go(func() {
				defer cancel()
				r.do(ctx, one)
				r.next(visitor)
			})
		}
		return
	}
}

// do waits for a seat and works.
func (r *runs) do(ctx context.Context, one *longRun) {
	var out outcome
	var err error
	select {
	case r.seats <- struct{}{}:
		r.begin(one)
		out, err = one.kind.work(ctx, one.c, func(done, of int, what string) { r.progress(one, done, of, what) })
		<-r.seats
	case <-ctx.Done():
		err = ctx.Err()
	}
	r.mu.Lock()
	switch {
	case errors.Is(err, context.Canceled):
		r.end(one, runGivenUp)
	case err != nil:
		one.view.Text = err.Error()
		r.end(one, runFailed)
	default:
		one.view.Text, one.view.HasFiles, one.out = out.text, len(out.zip) > 0, out
		r.end(one, runDone)
	}
	view := one.view
	r.mu.Unlock()
	r.told(one.sheet, view)
}

func (r *runs) begin(one *longRun) {
	r.mu.Lock()
	one.view.State = runUnder
	view := one.view
	r.mu.Unlock()
	r.told(one.sheet, view)
}

// end sets a run's last state, and lets go what is no longer wanted; the caller holds the lock.
func (r *runs) end(one *longRun, state string) {
	one.view.State, one.view.Under, one.c = state, false, scenarios.Case{}
	r.drop()
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
	at := slices.IndexFunc(r.all, func(one *longRun) bool { return one.sheet == sheet && one.view.N == n && one.view.Under })
	if at < 0 {
		r.mu.Unlock()
		return false
	}
	one := r.all[at]
	begun := one.cancel != nil
	if begun {
		one.cancel() // and its end is told when it has ended
	} else {
		r.end(one, runGivenUp)
	}
	view := one.view
	r.mu.Unlock()
	if !begun {
		r.told(sheet, view)
	}
	return true
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
	r.mu.Lock()
	r.stop() // under the lock: none begins after it
	for _, one := range slices.Clone(r.all) {
		if one.view.Under && one.cancel == nil {
			r.end(one, runGivenUp)
		}
	}
	r.mu.Unlock()
	r.work.Wait()
}
