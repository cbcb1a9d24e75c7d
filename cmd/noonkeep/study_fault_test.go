//go:build linux

package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"syscall"
	"testing"
	"time"

	"noonkeep/cmd/internal/study/crew"
)

var (
	studyCases = flag.Int("study-cases", 60, "cases of TestStudySurvives and BenchmarkStudy")
	studySeed  = flag.Uint64("study-seed", 1, "chooses when what is killed in TestStudySurvives")
)

// survivor is a study of which everything is killed now and then.
type survivor struct {
	t      *testing.T
	server *queueServer
	line   *wire // between the workers and the server
	out    string
	disk   string // a small file system that the results lie on; empty where none can be made

	mu      sync.Mutex
	workers []*exec.Cmd
	lead    *exec.Cmd
	kills   int
}

// TestStudySurvives: workers killed ten times, the server killed and started again twice, the line cut twice, the coordinator
// interrupted and killed, the results' disk full for a while: at the end every case is there once, and the bytes are those
// of an undisturbed run. With -study-cases and -study-seed it is large, and another: see make soak.
func TestStudySurvives(t *testing.T) {
	unraced(t)
	t.Parallel()
	path := studyFile(t, curveStudy(*studyCases))
	quiet := filepath.Join(t.TempDir(), "quiet")
	if said, err := exec.Command("noonkeep", "study", path, "--out", quiet, "--jobs", "2").CombinedOutput(); err != nil {
		t.Fatalf("undisturbed: %v\n%s", err, said)
	}
	s := &survivor{t: t, server: serveQueue(t)}
	s.line = wireTo(t, s.server.address())
	s.disk = smallDisk(t)
	s.out = filepath.Join(t.TempDir(), "out")
	if s.disk != "" {
		s.out = filepath.Join(s.disk, "out")
	}
	s.workers = make([]*exec.Cmd, 2)
	for i := range s.workers {
		s.hire(i)
	}
	t.Cleanup(s.dismiss)
	var trouble sync.WaitGroup
	over := make(chan struct{})
	trouble.Go(func() { s.disturb(over) })
	s.coordinate(path)
	close(over)
	trouble.Wait()
	s.compare(quiet)
}

// smallDisk mounts a file system of a few MB; it needs root.
func smallDisk(t *testing.T) string {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=24m"); err != nil {
		t.Logf("without a full disk: a small file system cannot be mounted here: %v", err)
		return ""
	}
	t.Cleanup(func() { syscall.Unmount(dir, syscall.MNT_DETACH) })
	return dir
}

func (s *survivor) hire(i int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	cmd := exec.Command("noonkeep", "worker", "--nats", s.line.url(), "--jobs", "1", "--silence", "2s", "--cache", "")
	if err := cmd.Start(); err != nil {
		s.t.Error(err)
	}
	s.workers[i] = cmd
}

func (s *survivor) dismiss() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, w := range s.workers {
		w.Process.Kill()
		w.Wait()
	}
}

// coordinate runs the study, again and again as it is stopped, until it is done.
func (s *survivor) coordinate(path string) {
	for range 100 {
		cmd := exec.Command("noonkeep", "study", path, "--out", s.out, "--nats", s.server.url(), "--silence", "2s")
		var said bytes.Buffer
		cmd.Stderr = &said
		s.mu.Lock()
		s.lead = cmd
		err := cmd.Start()
		s.mu.Unlock()
		if err == nil {
			err = cmd.Wait()
		}
		s.t.Logf("coordinator: %v %s", err, said.String())
		var exit *exec.ExitError
		switch {
		case err == nil:
			return
		case errors.As(err, &exit) && (exit.ExitCode() == statusInterrupted || exit.ExitCode() == -1):
		case errors.As(err, &exit) && exit.ExitCode() == statusNoAnswer && bytes.Contains(said.Bytes(), []byte("no space left on device")):
			time.Sleep(500 * time.Millisecond) // it cannot begin on a full disk, and says so
		case errors.As(err, &exit) && exit.ExitCode() == statusBadInput && bytes.Contains(said.Bytes(), []byte("cannot be reached")):
			time.Sleep(500 * time.Millisecond) // nor while the server is down
		default:
			s.t.Fatalf("the coordinator ends with %v: %s", err, said.String())
		}
	}
	s.t.Fatal("the coordinator was stopped more often than it was told to")
}

// disturb does ten rounds of harm, at times that the seed chooses.
func (s *survivor) disturb(over <-chan struct{}) {
	rng := rand.New(rand.NewPCG(*studySeed, 9))
	span := time.Duration(*studyCases) * time.Second / 60 // a larger study is disturbed for longer
	harm := map[int]func(){
		1: s.fillDisk, 2: s.restartServer, 3: s.freeDisk, 4: func() { s.signal(syscall.SIGINT) },
		5: func() { s.cutLine(1500 * time.Millisecond) }, 6: func() { s.signal(syscall.SIGKILL) }, 7: s.restartServer,
		8: func() { s.cutLine(2500 * time.Millisecond) },
	}
	s.begun(over)
	for round := range 10 {
		select {
		case <-over:
			s.t.Errorf("the study was over before round %d of 10; ask for more with -study-cases", round+1)
			s.freeDisk()
			return
		case <-time.After(span/10 + time.Duration(rng.Int64N(int64(span)/3))):
		}
		i := rng.IntN(len(s.workers))
		s.mu.Lock()
		victim := s.workers[i]
		s.mu.Unlock()
		victim.Process.Kill()
		victim.Wait()
		s.kills++
		s.hire(i)
		if do := harm[round]; do != nil {
			do()
		}
	}
	s.t.Logf("%d workers were killed, and all other harm was done", s.kills)
}

// begun waits for the first case that is done.
func (s *survivor) begun(over <-chan struct{}) {
	for {
		if parts, _ := filepath.Glob(filepath.Join(s.out, "parts", "*.parquet")); len(parts) > 0 {
			return
		}
		select {
		case <-over:
			return
		case <-time.After(50 * time.Millisecond):
		}
	}
}

func (s *survivor) restartServer() {
	s.server.kill()
	time.Sleep(300 * time.Millisecond)
	s.server.start()
}

func (s *survivor) cutLine(d time.Duration) {
	s.line.set(true)
	time.Sleep(d)
	s.line.set(false)
}

// signal stops the coordinator, which coordinate starts again.
func (s *survivor) signal(sig syscall.Signal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lead.Process.Signal(sig)
}

func (s *survivor) filler() string { return filepath.Join(s.disk, "filler") }

func (s *survivor) fillDisk() {
	if s.disk == "" {
		return
	}
	err := os.WriteFile(s.filler(), make([]byte, 32<<20), 0o600)
	if !errors.Is(err, syscall.ENOSPC) {
		s.t.Errorf("the disk is not full: %v", err)
	}
}

func (s *survivor) freeDisk() {
	if s.disk != "" {
		os.Remove(s.filler())
	}
}

// compare wants every case once, and the bytes of the undisturbed run.
func (s *survivor) compare(quiet string) {
	want, err := os.ReadFile(filepath.Join(quiet, crew.ResultsName))
	if err != nil {
		s.t.Fatal(err)
	}
	got, err := os.ReadFile(filepath.Join(s.out, crew.ResultsName))
	if err != nil {
		s.t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		s.t.Errorf("the results have other bytes than those of the undisturbed run (%d, %d)", len(got), len(want))
	}
	_, rows, err := crew.Rows(s.out)
	if err != nil {
		s.t.Fatal(err)
	}
	next := int64(0)
	for row, err := range rows {
		if err != nil || row.Case != next || row.Error != "" {
			s.t.Fatalf("row %d is of case %d: %v %s", next, row.Case, err, row.Error)
		}
		next++
	}
	if next != int64(*studyCases) {
		s.t.Errorf("%d cases are there; want %d", next, *studyCases)
	}
}

// TestStudyGoesOn: Ctrl-C ends a study with its own words and status, and the same command does the rest.
func TestStudyGoesOn(t *testing.T) {
	unraced(t)
	t.Parallel()
	path := studyFile(t, yearStudy(300))
	out := filepath.Join(filepath.Dir(path), "s.study")
	cmd := exec.Command("noonkeep", "study", path, "--jobs", "1")
	var said bytes.Buffer
	cmd.Stderr = &said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	for range 400 {
		if parts, _ := filepath.Glob(filepath.Join(out, "parts", "*.parquet")); len(parts) > 2 {
			break
		}
		time.Sleep(25 * time.Millisecond)
	}
	cmd.Process.Signal(os.Interrupt)
	var exit *exec.ExitError
	if err := cmd.Wait(); !errors.As(err, &exit) || exit.ExitCode() != statusInterrupted {
		t.Fatalf("interrupted it ends with %v: %s", err, said.String())
	}
	state, err := crew.ReadState(out)
	if err != nil || state.Done == 0 || state.Done == state.Of || state.State != crew.Interrupted {
		t.Fatalf("its folder says %+v, %v", state, err)
	}
	if want := fmt.Sprintf("interrupted; %d of 300 cases are done and kept in %s; the same command goes on from there\n", state.Done, out); !bytes.Contains(said.Bytes(), []byte(want)) {
		t.Errorf("it says %q; want %q", said.String(), want)
	}
	must(t, "study", path, "--jobs", "2")
	seen := 0
	parts, err := filepath.Glob(filepath.Join(out, "parts", "*.parquet"))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range parts {
		seen += rowsIn(t, part)
	}
	if seen != 300 {
		t.Errorf("the parts hold %d rows; want each of 300 cases once", seen)
	}
}
