package crew

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"noonkeep/cmd/internal/study"
	"noonkeep/cmd/internal/study/queue"
	"noonkeep/scenarios"
)

// small is a study of so many cases, each some 15 ms of work.
func small(t testing.TB, cases int) (study.Plan, study.Inputs) {
	t.Helper()
	return planned(t, fmt.Sprintf("noonkeep_study: 1\nname: small\nscenarios: [dyehouse]\nvary: [{key: store.volume, from: 10 m3, to: 60 m3, count: %d}]\nkeep: []\n", cases))
}

func planned(t testing.TB, text string) (study.Plan, study.Inputs) {
	t.Helper()
	f, err := study.Read("s.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	p, in, err := study.Make(f, study.Source{Dir: t.TempDir(), Open: scenarios.Beside})
	if err != nil {
		t.Fatal(err)
	}
	return p, in
}

func embedded(t testing.TB) *queue.Conn {
	t.Helper()
	conn, err := queue.Embedded(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(conn.Close)
	return conn
}

// said collects the lines for the user.
type said struct {
	mu    sync.Mutex
	lines []string
}

func (s *said) say(line string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lines = append(s.lines, line)
}

func (s *said) all() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return strings.Join(s.lines, "\n")
}

// alone runs a study undisturbed and gives its results.
func alone(t testing.TB, p study.Plan, in study.Inputs, jobs int) []byte {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "alone")
	out, err := Coordinate(t.Context(), p, in, embedded(t), Options{Dir: dir, Jobs: jobs})
	if err != nil || out.Done != p.N || out.Solved != p.N {
		t.Fatalf("undisturbed: %+v, %v; want %d cases solved", out, err, p.N)
	}
	return results(t, dir)
}

func results(t testing.TB, dir string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, ResultsName))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// The bytes of the results do not hang on how many work, nor on stops on the way; and no case is solved twice.
func TestSameBytesHoweverSolved(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 40)
	want := alone(t, p, in, 1)
	if got := alone(t, p, in, 3); !bytes.Equal(got, want) {
		t.Error("three at once give other bytes than one")
	}
	dir := filepath.Join(t.TempDir(), "stopped")
	var solved int64
	for run := range 60 {
		conn := embedded(t)
		ctx, stop := context.WithCancel(t.Context())
		time.AfterFunc(time.Duration(250+100*run)*time.Millisecond, stop)
		before := doneIn(dir)
		_, err := Coordinate(ctx, p, in, conn, Options{Dir: dir, Jobs: 2})
		stop()
		conn.Close()
		solved += doneIn(dir) - before
		if err == nil {
			break
		}
		var stopped *Stopped
		if !errors.As(err, &stopped) || stopped.Of != p.N || !errors.Is(err, context.Canceled) {
			t.Fatalf("a run that is stopped says %v", err)
		}
	}
	if got := results(t, dir); !bytes.Equal(got, want) {
		t.Error("stopped and begun again it gives other bytes")
	}
	if n := rowsInParts(t, dir); n != p.N || solved != p.N {
		t.Errorf("its parts hold %d rows of %d runs' cases; want %d, each once", n, solved, p.N)
	}
}

func doneIn(dir string) int64 {
	s, err := ReadState(dir)
	if err != nil {
		return 0
	}
	return s.Done
}

// rowsInParts counts all rows of all parts, those of one case as often as they are there.
func rowsInParts(t testing.TB, dir string) (n int64) {
	t.Helper()
	p, err := PlanIn(dir)
	if err != nil {
		t.Fatal(err)
	}
	names, err := partNames(dir)
	if err != nil {
		t.Fatal(err)
	}
	s, err := ReadState(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		body, err := readPart(dir, name)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := unpacked(body, headOf(p, s.Program), p.N)
		if err != nil {
			t.Fatal(err)
		}
		n += int64(len(rows))
	}
	return n
}

// A worker that is told to stop hands over what it has: what others solve then is the rest, and none of it again.
func TestWorkersComeAndGo(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 60)
	conn := embedded(t)
	var mu sync.Mutex
	total := map[int]int64{}
	ctx, stop := context.WithCancel(t.Context())
	var group sync.WaitGroup
	worker := func(id int, life time.Duration) {
		group.Go(func() {
			mine, end := context.WithCancel(ctx)
			defer end()
			if life > 0 {
				time.AfterFunc(life, end)
			}
			w := Worker{Jobs: 1, Cache: filepath.Join(t.TempDir(), fmt.Sprint(id)), Seen: func(n int64, _ string) { mu.Lock(); total[id] = n; mu.Unlock() }}
			if err := w.Work(mine, conn); err != nil {
				t.Errorf("worker %d: %v", id, err)
			}
		})
	}
	worker(1, 150*time.Millisecond)
	worker(2, 300*time.Millisecond)
	worker(3, 0)
	dir := filepath.Join(t.TempDir(), "s")
	out, err := Coordinate(t.Context(), p, in, conn, Options{Dir: dir})
	if err != nil || out.Solved != p.N {
		t.Fatalf("%+v, %v", out, err)
	}
	stop()
	group.Wait()
	if sum := total[1] + total[2] + total[3]; sum != p.N {
		t.Errorf("the workers solved %v, %d in all; want %d", total, sum, p.N)
	}
	if !bytes.Equal(results(t, dir), alone(t, p, in, 2)) {
		t.Error("their results differ from those of one process")
	}
}

// A disk without room is waited for, and said once; nothing is lost.
func TestFullDiskIsWaitedFor(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 20)
	dir := filepath.Join(t.TempDir(), "s")
	f, err := openFolder(dir, p, headOf(p, must(Build())), func(string) {})
	if err != nil {
		t.Fatal(err)
	}
	refusals := 3
	f.place = func(path string, data []byte) error {
		if refusals--; refusals >= 0 {
			return fmt.Errorf("%s: cannot be written: %w", path, syscall.ENOSPC)
		}
		return place(path, data)
	}
	var lines said
	conn := embedded(t)
	l := newLead(p, f, conn, Options{Dir: dir, Jobs: 2, Say: lines.say}.filled(), must(Build()))
	if err := l.run(t.Context(), in); err != nil {
		t.Fatal(err)
	}
	if f.done.count != p.N || refusals >= 0 {
		t.Errorf("%d of %d cases are there, %d refusals left", f.done.count, p.N, refusals)
	}
	if got := lines.all(); strings.Count(got, "waiting for room") != 1 {
		t.Errorf("it says %q; want once that it waits for room", got)
	}
	f.close()
}

// Parts that are not as they were written are put aside, and their cases solved again, to the same bytes.
func TestDamagedPartsAreSolvedAgain(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 12)
	want := alone(t, p, in, 2)
	dir := filepath.Join(t.TempDir(), "s")
	if _, err := Coordinate(t.Context(), p, in, embedded(t), Options{Dir: dir, Jobs: 1}); err != nil {
		t.Fatal(err)
	}
	names, err := partNames(dir)
	if err != nil || len(names) < 3 {
		t.Fatalf("%d parts, %v", len(names), err)
	}
	for i, spoil := range []func([]byte) []byte{
		func(b []byte) []byte { b[len(b)/2] ^= 1; return b },
		func(b []byte) []byte { return b[:len(b)/2] },
		func([]byte) []byte { return nil },
	} {
		path := filepath.Join(dir, partsName, names[i])
		data, err := os.ReadFile(path)
		if err == nil {
			err = os.WriteFile(path, spoil(data), 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	var lines said
	out, err := Coordinate(t.Context(), p, in, embedded(t), Options{Dir: dir, Jobs: 1, Say: lines.say})
	if err != nil || out.Solved != 3 || !bytes.Equal(results(t, dir), want) {
		t.Errorf("%+v, %v; want three cases solved again, and the same bytes", out, err)
	}
	if strings.Count(lines.all(), "is not as it was written; its cases are solved again") != 3 {
		t.Errorf("it says %q", lines.all())
	}
}

func TestFoldersRefused(t *testing.T) {
	t.Parallel()
	p, _ := small(t, 3)
	other, _ := small(t, 4)
	dir := t.TempDir()
	path := func(name string) string { return filepath.Join(dir, name) }
	head := headOf(p, "build one")
	none := func(string) {}
	if err := os.WriteFile(path("file"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := openFolder(path("file"), p, head, none)
	wantError(t, err, "file: is a file; want a folder for the results")

	f, err := openFolder(path("s"), p, head, none)
	if err != nil {
		t.Fatal(err)
	}
	_, err = openFolder(path("s"), p, head, none)
	wantError(t, err, "s: another noonkeep runs this study; wait for it, stop it, or give another --out")
	if !Held(path("s")) {
		t.Error("a folder that is held is said to be free")
	}
	f.close()
	if Held(path("s")) {
		t.Error("a folder that is free is said to be held")
	}
	_, err = openFolder(path("s"), other, headOf(other, "build one"), none)
	wantError(t, err, `holds another study, "small"`)
	_, err = openFolder(path("s"), p, headOf(p, "build two"), none)
	wantError(t, err, "was begun by another build of noonkeep (build one; this is build two), and results of two are not mixed")
	if err := os.WriteFile(filepath.Join(path("s"), stateName), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = openFolder(path("s"), p, head, none)
	wantError(t, err, "is not as noonkeep wrote it")
	_, err = ReadState(path("none"))
	wantError(t, err, "none: holds no study: no such file or directory")
}

func wantError(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("the error is %v; want %q", err, want)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// A study that is cancelled says so, keeps what it has, and goes on when it is run again.
func TestCancelAndGoOn(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 200)
	dir := filepath.Join(t.TempDir(), "s")
	var once sync.Once
	_, err := Coordinate(t.Context(), p, in, embedded(t), Options{Dir: dir, Jobs: 1, Progress: func(Progress) {
		once.Do(func() {
			if err := Cancel(dir); err != nil {
				t.Error(err)
			}
		})
	}})
	if !errors.Is(err, ErrCancelled) {
		t.Fatalf("a cancelled study ends with %v", err)
	}
	s, err := ReadState(dir)
	if err != nil || s.State != Cancelled || s.Done == 0 || s.Done == p.N {
		t.Fatalf("its state is %+v, %v", s, err)
	}
	out, err := Coordinate(t.Context(), p, in, embedded(t), Options{Dir: dir, Jobs: 2})
	if err != nil || out.Solved != p.N-s.Done {
		t.Errorf("run again it gives %+v, %v; want the %d cases that were left", out, err, p.N-s.Done)
	}
}

// What is no result of the study is dropped, and its cases are there all the same.
func TestStrayResultsAreDropped(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 10)
	conn := embedded(t)
	dir := filepath.Join(t.TempDir(), "s")
	other, _ := small(t, 11)
	foreign := must(packed(headOf(other, must(Build())), nil))
	var lines said
	var once sync.Once
	out, err := Coordinate(t.Context(), p, in, conn, Options{Dir: dir, Jobs: 1, Silence: 2 * time.Second, Say: lines.say, Progress: func(Progress) {
		once.Do(func() {
			for i, body := range [][]byte{[]byte("no table"), foreign} {
				if err := conn.Report(t.Context(), p.ID, fmt.Sprint(i), body); err != nil {
					t.Error(err)
				}
			}
		})
	}})
	if err != nil || out.Solved != p.N {
		t.Errorf("%+v, %v", out, err)
	}
	if !bytes.Equal(results(t, dir), alone(t, p, in, 1)) {
		t.Error("strays change the results")
	}
}

// A worker of another build is refused where there is nothing else for it.
func TestOtherBuildsAreRefused(t *testing.T) {
	t.Parallel()
	conn := embedded(t)
	if _, err := conn.Lead(t.Context(), queue.Study{ID: "0123456789ab", Name: "x", Build: "older", Owner: "o", State: queue.Open}); err != nil {
		t.Fatal(err)
	}
	err := Worker{}.Work(t.Context(), conn)
	var refused *Refused
	if !errors.As(err, &refused) || refused.Wants != "older" {
		t.Errorf("the worker ends with %v; want it refused", err)
	}
}

// Work that the queue lost is handed out again.
func TestLostWorkIsHandedOutAgain(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 30)
	conn := embedded(t)
	dir := filepath.Join(t.TempDir(), "s")
	// Someone takes some tasks and throws them away.
	thief, end := context.WithCancel(t.Context())
	defer end()
	go func() {
		for stolen := 0; stolen < 5 && thief.Err() == nil; {
			if job, err := conn.Next(thief, p.ID, 100*time.Millisecond); err == nil && job != nil {
				job.Done(thief)
				stolen++
			}
		}
		w := Worker{Jobs: 2, Silence: 2 * time.Second}
		_ = w.Work(thief, conn)
	}()
	out, err := Coordinate(t.Context(), p, in, conn, Options{Dir: dir, Silence: 2 * time.Second})
	if err != nil || out.Solved != p.N || rowsInParts(t, dir) != p.N {
		t.Errorf("%+v, %v", out, err)
	}
}

// Two studies on one queue, and two workers for both.
func TestTwoStudiesAtOnce(t *testing.T) {
	unraced(t)
	t.Parallel()
	conn := embedded(t)
	ctx, stop := context.WithCancel(t.Context())
	var workers, leads sync.WaitGroup
	for range 2 {
		workers.Go(func() {
			if err := (Worker{Jobs: 1}).Work(ctx, conn); err != nil {
				t.Error(err)
			}
		})
	}
	for _, n := range []int{13, 17} {
		p, in := small(t, n)
		dir := filepath.Join(t.TempDir(), fmt.Sprint(n))
		leads.Go(func() {
			if out, err := Coordinate(t.Context(), p, in, conn, Options{Dir: dir}); err != nil || out.Solved != int64(n) {
				t.Errorf("study of %d: %+v, %v", n, out, err)
			}
		})
	}
	leads.Wait()
	stop()
	workers.Wait()
}

// A second coordinator of a study that is led is refused; the folder's own may come again at once.
func TestOneLeads(t *testing.T) {
	t.Parallel()
	p, in := small(t, 4)
	conn := embedded(t)
	if _, err := conn.Lead(t.Context(), queue.Study{ID: p.ID, Build: must(Build()), Owner: "another", State: queue.Open}); err != nil {
		t.Fatal(err)
	}
	_, err := Coordinate(t.Context(), p, in, conn, Options{Dir: filepath.Join(t.TempDir(), "s"), Jobs: 1})
	var taken *queue.Taken
	if !errors.As(err, &taken) {
		t.Errorf("it ends with %v; want that another leads", err)
	}
}

// A case that brings workers down is set aside after some tries, and the others of its task are solved.
func TestPoisonIsSetAside(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, in := small(t, 5)
	conn := embedded(t)
	dir := filepath.Join(t.TempDir(), "s")
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	go func() { // a worker that dies of each task until it has been tried too often
		for tries := 0; tries < mostTries && ctx.Err() == nil; {
			if job, err := conn.Next(ctx, p.ID, 100*time.Millisecond); err == nil && job != nil {
				if s, _ := readSpan(job.Body, p.N); s.First == 2 {
					tries = job.Tries
				}
				job.Back()
			}
		}
		_ = Worker{Jobs: 1}.Work(ctx, conn)
	}()
	out, err := Coordinate(t.Context(), p, in, conn, Options{Dir: dir})
	if err != nil || out.SetAside == 0 {
		t.Fatalf("%+v, %v; want a case set aside", out, err)
	}
	_, rows, err := Rows(dir)
	if err != nil {
		t.Fatal(err)
	}
	for row, err := range rows {
		if err != nil {
			t.Fatal(err)
		}
		if row.Error != "" && !strings.HasPrefix(row.Error, "ended the worker ") {
			t.Errorf("case %d is set aside because it %q", row.Case, row.Error)
		}
	}
}
