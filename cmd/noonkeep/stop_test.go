//go:build unix

package main

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// budget is the time that a command's shots may take; a slow one gets one of each kind.
const budget = time.Second

// TestStoppedAtAnyTime: a command that is stopped leaves its folder as it was, with exit status 130, or whole with 0; one that
// is killed leaves every file as it was or whole, and what it left besides goes with the next run.
func TestStoppedAtAnyTime(t *testing.T) {
	t.Parallel()
	unraced(t)
	top := t.TempDir()
	if err := writeSmall(top); err != nil {
		t.Fatal(err)
	}
	for _, c := range scenarioCommands(true) {
		if c.Name() == "doubt" || c.Name() == "replay" {
			continue // these work for seconds before they write, by the same road
		}
		t.Run(c.Name(), func(t *testing.T) {
			t.Parallel()
			run := stopped{name: c.Name(), script: "exec noonkeep " + strings.Join(append([]string{c.Name(), "my.yaml"}, brief[c.Name()]...), " ") + " --out " + c.Name(), top: top}
			start := time.Now()
			if said, err := shell(top, run.script).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, said)
			}
			took := time.Since(start)
			run.whole, _ = filesOf(filepath.Join(top, c.Name()))
			run.old = map[string][]byte{}
			for name := range run.whole {
				run.old[name] = []byte("old " + name)
			}
			seed := fnv.New64()
			seed.Write([]byte(c.Name()))
			random := rand.New(rand.NewPCG(seed.Sum64(), 1))
			shots := max(1, min(4, int(budget/took)))
			for i := range shots {
				after := time.Duration((float64(i) + random.Float64()) / float64(shots) * float64(took))
				run.interrupt(t, after)
				run.kill(t, after, i == 0)
			}
		})
	}
}

// stopped is a command that is run again and again into one folder, in which older files stand.
type stopped struct {
	name, script, top string
	whole, old        map[string][]byte
}

// shoot sends a signal after a time; with writing as soon as a file is begun, and then after is the most.
func (s stopped) shoot(t *testing.T, signal syscall.Signal, after time.Duration, writing bool) (exit string, left map[string][]byte) {
	t.Helper()
	dir := filepath.Join(s.top, s.name)
	for name, data := range s.old {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := shell(s.top, s.script)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	for start := time.Now(); time.Since(start) < after && (!writing || len(partsIn(dir)) == 0); {
		time.Sleep(time.Millisecond)
	}
	cmd.Process.Signal(signal)
	cmd.Wait()
	left, _ = filesOf(dir)
	return exitOf(cmd.ProcessState), left
}

func (s stopped) interrupt(t *testing.T, after time.Duration) {
	t.Helper()
	exit, left := s.shoot(t, syscall.SIGINT, after, false)
	for name := range left {
		if strings.HasSuffix(name, ".part") {
			delete(left, name) // of a run that was killed before; this one may have ended before it wrote
		}
	}
	before, whole := equalFiles(left, s.old), equalFiles(left, s.whole)
	// A signal that comes before the program has begun ends it as any process.
	if !(before && (exit == fmt.Sprint(statusInterrupted) || exit == "killed")) && !(whole && exit == fmt.Sprint(statusDone)) {
		t.Errorf("interrupted after %v: exit status %s, as before %v, whole %v, of %d files", after, exit, before, whole, len(left))
	}
}

func (s stopped) kill(t *testing.T, after time.Duration, writing bool) {
	t.Helper()
	if writing {
		after = time.Minute
	}
	_, left := s.shoot(t, syscall.SIGKILL, after, writing)
	for name, data := range left {
		switch {
		case strings.HasPrefix(name, ".noonkeep-") && strings.HasSuffix(name, ".part"):
		case string(data) != string(s.old[name]) && string(data) != string(s.whole[name]):
			t.Errorf("killed after %v: %s is neither as it was nor whole, %d bytes", after, name, len(data))
		}
	}
	if len(left) < len(s.whole) {
		t.Errorf("killed after %v: %d files are left of %d", after, len(left), len(s.whole))
	}
}
