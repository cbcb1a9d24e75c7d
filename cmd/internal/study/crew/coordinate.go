package crew

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"noonkeep/cmd/internal/study"
	"noonkeep/cmd/internal/study/queue"
	"noonkeep/cmd/internal/study/table"
)

// Options say how a study is run. Dir is needed; the rest may be zero.
type Options struct {
	Dir     string        // the study's folder
	Server  string        // address of the queue, for the record; empty: in this process
	Jobs    int           // cases solved at once in this process; 0: none, other workers do it
	Silence time.Duration // how long a worker may be silent until its work goes to another; 0: a minute

	Progress func(Progress) // once a second or so, from one goroutine; nil is silent
	Say      func(string)   // a line for the user: the disk is full, a part was damaged; nil is silent
}

// Progress is how far a study is.
type Progress struct {
	Done, Of, SetAside int64
	CasesPerS          float64       // of the last minute; 0: not known yet
	Left               time.Duration // at that rate; 0: not known yet
	Workers            int           // machines seen lately
	Away               bool          // the queue cannot be reached at present
}

// Outcome is a study that is done, in its folder.
type Outcome struct {
	Done, SetAside int64
	Solved         int64 // by this run; the rest was there
	Path           string
}

const usualSilence = time.Minute

// ErrCancelled says that the study was ended by [Cancel] or by `noonkeep study cancel`.
var ErrCancelled = errors.New("the study was cancelled; what is done is kept, and running it again goes on from there")

// Coordinate runs a study to its end: it hands out what the folder does not have, gathers what comes back, and writes
// all rows in order. inputs are the study's texts and data by their hash. With a context that ends it stops in order: workers hand over the cases
// they have, and the error is the context's. An error else means that results could not be written, or that the queue is lost.
func Coordinate(ctx context.Context, p study.Plan, inputs map[string][]byte, conn *queue.Conn, opt Options) (Outcome, error) {
	opt = opt.filled()
	build, err := Build()
	if err != nil {
		return Outcome{}, err
	}
	f, err := openFolder(opt.Dir, p, headOf(p, build), opt.Say)
	if err != nil {
		return Outcome{}, err
	}
	defer f.close()
	f.state.Server = opt.Server
	l := newLead(p, f, conn, opt, build)
	if f.done.count < p.N {
		if err := l.run(ctx, inputs); err != nil {
			return Outcome{}, l.ended(ctx, err)
		}
	}
	l.tell(0)
	if err := gather(ctx, f); err != nil {
		return Outcome{}, l.ended(ctx, err)
	}
	if err := f.write(Done); err != nil {
		return Outcome{}, err
	}
	return Outcome{Done: f.done.count, SetAside: f.state.SetAside, Solved: f.done.count - l.before, Path: f.dir}, nil
}

func (o Options) filled() Options {
	if o.Silence == 0 {
		o.Silence = usualSilence
	}
	if o.Progress == nil {
		o.Progress = func(Progress) {}
	}
	if o.Say == nil {
		o.Say = func(string) {}
	}
	return o
}

// headOf is what all rows of a plan share when a build solves them.
func headOf(p study.Plan, build string) table.Head {
	h := p.Head()
	meta := map[string]string{}
	for k, v := range h.Meta {
		meta[k] = v
	}
	meta[metaStudy], meta[metaProgram] = p.ID, build
	h.Meta = meta
	return h
}

// lead hands a study out and gathers it.
type lead struct {
	plan   study.Plan
	folder *folder
	conn   *queue.Conn
	opt    Options
	build  string

	post   *queue.Lead
	out    *set  // cases that are handed out and not done
	next   int64 // where to look for the next to hand out
	round  int64 // tells tasks of the same cases apart: of this run, raised whenever lost work is handed out again
	before int64 // cases that were done when this run began

	pace      *pace
	cancelled bool
	lastBeat  time.Time
	lastCheck time.Time
	workers   int
}

func newLead(p study.Plan, f *folder, conn *queue.Conn, opt Options, build string) *lead {
	now := time.Now()
	return &lead{plan: p, folder: f, conn: conn, opt: opt, build: build, out: newSet(p.N), round: now.UnixNano(), before: f.done.count, pace: newPace(now, f.done.count)}
}

// run goes until all cases are done. Calls of the queue have a context of their own, which outlives ctx by the time
// that stopping in order takes.
func (l *lead) run(ctx context.Context, inputs map[string][]byte) error {
	calls, drop := context.WithCancel(context.WithoutCancel(ctx))
	defer drop()
	defer context.AfterFunc(ctx, func() { time.AfterFunc(mostStopping, drop) })()
	for {
		err := l.lead(ctx, calls, inputs)
		if !errors.Is(err, queue.ErrLost) || ctx.Err() != nil {
			return err
		}
		l.opt.Say(err.Error() + "; that is done now")
		l.out = newSet(l.plan.N)
	}
}

// lead goes until all cases are done, or the server has lost what it held.
func (l *lead) lead(ctx, calls context.Context, inputs map[string][]byte) error {
	if err := l.begin(calls, inputs); err != nil {
		return err
	}
	work, halt := context.WithCancel(ctx)
	defer halt()
	crew := l.hire(work)
	err := l.loop(ctx, calls)
	halt()
	if left := l.leave(calls, crew); err == nil {
		err = left
	}
	if fault := crew.fault(); err == nil {
		err = fault
	}
	return err
}

// mostStopping is how long stopping in order may take where the queue does not answer.
const mostStopping = 10 * time.Second

// begin puts the inputs where workers find them, takes the lead, and finds out what is handed out already.
func (l *lead) begin(ctx context.Context, inputs map[string][]byte) error {
	for _, data := range inputs {
		if _, err := l.conn.Put(ctx, data); err != nil {
			return err
		}
	}
	manifest, err := l.conn.Put(ctx, l.plan.Manifest())
	if err != nil {
		return err
	}
	l.post, err = l.conn.Lead(ctx, queue.Study{ID: l.plan.ID, Name: l.plan.Name, Build: l.build, Owner: l.folder.state.Owner, State: queue.Open,
		Manifest: manifest, Done: l.folder.done.count, Of: l.plan.N})
	if err != nil {
		return err
	}
	l.lastBeat = time.Now()
	return l.begun(ctx)
}

// hired are the workers of this process.
type hired struct {
	group sync.WaitGroup
	err   error
	over  chan struct{}
}

// hire begins to work on the study in this process too.
func (l *lead) hire(ctx context.Context) *hired {
	h := &hired{over: make(chan struct{})}
	if l.opt.Jobs < 1 {
		close(h.over)
		return h
	}
	w := Worker{Jobs: l.opt.Jobs, Silence: l.opt.Silence, only: l.plan.ID, Say: l.opt.Say}
	h.group.Go(func() {
		if err := w.Work(ctx, l.conn); err != nil && ctx.Err() == nil {
			h.err = err
		}
	})
	go func() { h.group.Wait(); close(h.over) }()
	return h
}

// fault is why the workers of this process ended before they were told to.
func (h *hired) fault() error {
	<-h.over
	return h.err
}

// ended sets down how a run ended that did not come to its end.
func (l *lead) ended(ctx context.Context, err error) error {
	state := Interrupted
	if l.cancelled {
		state, err = Cancelled, ErrCancelled
	}
	if failed := l.folder.write(state); failed != nil {
		l.opt.Say(failed.Error())
	}
	if ctx.Err() != nil && !l.cancelled {
		return &Stopped{Dir: l.folder.dir, Done: l.folder.done.count, Of: l.plan.N, err: ctx.Err()}
	}
	return err
}

// Stopped says that a study was told to stop before its end.
type Stopped struct {
	Dir      string
	Done, Of int64
	err      error
}

func (s *Stopped) Error() string {
	return fmt.Sprintf("interrupted; %d of %d cases are done and kept in %s; the same command goes on from there", s.Done, s.Of, s.Dir)
}

// Unwrap gives the context's error.
func (s *Stopped) Unwrap() error { return s.err }
