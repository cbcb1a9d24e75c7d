package desk

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"io"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/scenarios"
)

// How many results are kept. A case is some MB, a plan a MB and a half, a curve some tens of kB.
const (
	keptCases  = 24
	keptPlans  = 24
	keptCurves = 256
)

// roughGap is the widest gap of the curve that follows the hand; the finer one, of the commands' own gap, comes after it. Both are
// proven; they differ in how far the straight lines between proven points may lie from the bound.
const (
	roughGap    = 0.02
	roughPoints = 12 // to begin with
)

// sum names a text, or what a result hangs on.
type sum [sha256.Size]byte

// solver reads and solves scenarios of one folder, each once for all who ask.
type solver struct {
	open   scenarios.Open
	gate   *gate
	cases  *memo[sum, readCase]
	curves *memo[sum, tracedCurve]
	plans  *memo[sum, answer.Plan]
}

// readCase is a scenario that was read, with the files that it named as they then were.
type readCase struct {
	scenarios.Case
	files []dataFile
	ms    float64
}

// tracedCurve is a curve with the time that the engine took for it.
type tracedCurve struct {
	answer.Answer
	ms float64
}

// dataFile is a file that a scenario names, as it was when it was read.
type dataFile struct {
	name string
	size int64
	at   time.Time
}

func newSolver(open scenarios.Open) *solver {
	return &solver{open: open, gate: &gate{free: runtime.GOMAXPROCS(0)},
		cases: newMemo[sum, readCase](keptCases), curves: newMemo[sum, tracedCurve](keptCurves), plans: newMemo[sum, answer.Plan](keptPlans)}
}

func textSum(file string, text []byte) sum {
	h := sha256.New()
	fmt.Fprintf(h, "%d %s", len(file), file)
	h.Write(text)
	return sum(h.Sum(nil))
}

// turn waits for a turn at the gate where something is not there yet. All work is begun by somebody who has one, and none waits for one
// itself: whoever holds a turn and waits for another's work waits for what goes on.
func (s *solver) turn(ctx context.Context, there func() bool) (context.Context, func(), error) {
	if there() {
		return ctx, func() {}, nil
	}
	return s.gate.enter(ctx)
}

// read reads a scenario's text. A weather file that has changed since is read again.
func (s *solver) read(ctx context.Context, file string, text []byte) (scenarios.Case, error) {
	key := textSum(file, text)
	if old, there := s.cases.peek(key); there && !s.fresh(old.files) {
		s.cases.forget(key)
	}
	ctx, leave, err := s.turn(ctx, func() bool { _, there := s.cases.peek(key); return there })
	if err != nil {
		return scenarios.Case{}, err
	}
	defer leave()
	c, err := s.cases.get(ctx, key, func(ctx context.Context) (readCase, error) {
		start := time.Now()
		watched, files := watch(s.open.Stoppable(ctx))
		c, err := scenarios.Parse(file, text, watched)
		return readCase{Case: c, files: files(), ms: msSince(start)}, err
	})
	return c.Case, err
}

// watch notes which files are opened.
func watch(open scenarios.Open) (scenarios.Open, func() []dataFile) {
	var mu sync.Mutex
	var files []dataFile
	watched := func(name string) (io.ReadCloser, error) {
		r, err := open(name)
		if err == nil {
			mu.Lock()
			defer mu.Unlock()
			files = append(files, stamped(name, r))
		}
		return r, err
	}
	return watched, func() []dataFile { mu.Lock(); defer mu.Unlock(); return files }
}

func stamped(name string, r io.ReadCloser) dataFile {
	d := dataFile{name: name}
	if f, ok := r.(interface{ Stat() (os.FileInfo, error) }); ok {
		if info, err := f.Stat(); err == nil {
			d.size, d.at = info.Size(), info.ModTime()
		}
	}
	return d
}

// fresh tells whether files are as they were.
func (s *solver) fresh(files []dataFile) bool {
	for _, was := range files {
		r, err := s.open(was.name)
		if err != nil {
			return false
		}
		is := stamped(was.name, r)
		r.Close()
		if is != was {
			return false
		}
	}
	return true
}

// curveSum names what the curve of a case hangs on. The volume of the store that the curve varies is left out where the curve does not
// hang on it, so that drawing the handle solves no curve.
func curveSum(c scenarios.Case, files sum, fine bool) sum {
	h := sha256.New()
	h.Write(files[:])
	free := c.Store != nil && c.Cycles() == nil && !slices.ContainsFunc(c.Headers, func(h scenarios.Header) bool { return h.MovableKW != nil })
	for _, e := range c.Written() {
		if free && volumeOf(c, e.Key) {
			continue
		}
		fmt.Fprintf(h, "%d %s %d %s %d\n", len(e.Key), e.Key, len(e.Value), e.Value, e.Line)
	}
	if c.Store != nil {
		numbersInto(h, c.Store.FromM3, c.Store.ToM3)
	}
	fmt.Fprint(h, fine)
	return sum(h.Sum(nil))
}

func numbersInto(h hash.Hash, numbers ...float64) { binary.Write(h, binary.LittleEndian, numbers) }

func volumeOf(c scenarios.Case, key string) bool {
	return key == "store.volume" || key == "stores["+c.Store.Name+"].volume"
}

// filesSum names the data files of a case as they were read.
func (s *solver) filesSum(file string, text []byte) sum {
	c, _ := s.cases.peek(textSum(file, text))
	var b strings.Builder
	for _, f := range c.files {
		fmt.Fprintf(&b, "%s %d %v\n", f.name, f.size, f.at.UnixNano())
	}
	return sha256.Sum256([]byte(b.String()))
}

// curve traces the curve of a case, with what its volumes earn.
func (s *solver) curve(ctx context.Context, c scenarios.Case, files sum, fine bool) (tracedCurve, error) {
	return s.curves.get(ctx, curveSum(c, files, fine), func(ctx context.Context) (tracedCurve, error) {
		start := time.Now()
		opt := answer.Options{OnOff: fine}
		if !fine {
			opt.GapFrac, opt.StepM3 = roughGap, answer.RoundStep((c.Store.ToM3-c.Store.FromM3)/roughPoints)
		}
		a, err := answer.Make(ctx, c, opt)
		ms := msSince(start)
		if err == nil {
			a, err = a.WithMoney(c)
		}
		return tracedCurve{a, ms}, err
	})
}

// known tells whether the finer curve of a text was worked out already.
func (s *solver) known(file string, text []byte) bool { return s.traced(file, text, true) }

// traced tells whether a curve of a text was worked out already.
func (s *solver) traced(file string, text []byte, fine bool) bool {
	c, there := s.cases.peek(textSum(file, text))
	if !there || c.Store == nil {
		return there
	}
	_, there = s.curves.peek(curveSum(c.Case, s.filesSum(file, text), fine))
	return there
}

// solved tells whether all that comes of a text is there.
func (s *solver) solved(file string, text []byte, fine bool) bool {
	_, there := s.plans.peek(textSum(file, text))
	return there && s.traced(file, text, fine)
}

// plan solves the plan of a case at its own volume.
func (s *solver) plan(ctx context.Context, c scenarios.Case, file string, text []byte) (answer.Plan, error) {
	key := textSum(file, text)
	ctx, leave, err := s.turn(ctx, func() bool { _, there := s.plans.peek(key); return there })
	if err != nil {
		return answer.Plan{}, err
	}
	defer leave()
	return s.plans.get(ctx, key, func(ctx context.Context) (answer.Plan, error) {
		return answer.PlanAt(ctx, c, -1, "")
	})
}

// solved is a text with what came of it so far.
type solved struct {
	file string
	text []byte
	c    scenarios.Case
	bad  error // the text is wrong, and there is no case

	curve    answer.Answer
	plan     answer.Plan
	fine     bool
	err      error // there is no curve or no plan
	waiting  bool  // it is being worked out
	engineMS float64
}

// results gives what comes of a text: rough, or fine. What is not there when ctx is done is told as waiting.
func (s *solver) results(ctx context.Context, file string, text []byte, fine bool) solved {
	out := solved{file: file, text: text, fine: fine}
	ctx, leave, err := s.turn(ctx, func() bool { return s.solved(file, text, fine) })
	if err != nil {
		out.waiting = true
		return out
	}
	defer leave()
	out.c, out.bad = s.read(ctx, file, text)
	if out.bad != nil {
		if ctx.Err() != nil {
			out.bad, out.waiting = nil, true
		}
		return out
	}
	if out.c.Store != nil {
		traced, err := s.curve(ctx, out.c, s.filesSum(file, text), fine)
		out.curve, out.engineMS, out.err = traced.Answer, traced.ms, err
	}
	if out.err == nil {
		out.plan, out.err = s.plan(ctx, out.c, file, text)
	}
	if out.err != nil && ctx.Err() != nil {
		out.err, out.waiting = nil, true
	}
	return out
}

// ok tells whether there is an answer to show.
func (r solved) ok() bool { return r.bad == nil && r.err == nil && !r.waiting }

func msSince(start time.Time) float64 { return float64(time.Since(start)) / float64(time.Millisecond) }
