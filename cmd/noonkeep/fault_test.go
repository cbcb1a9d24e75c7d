//go:build unix

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// trial is a fault that is tried on the program as a process of its own, in a folder of its own.
type trial struct {
	what   string // what goes wrong
	script string // of sh, which may use my.yaml and the files of setFolder
	needs  string // a script that fails where the fault cannot be tried
	signal syscall.Signal
	when   func(dir string) bool // it is sent then; nil: a second after the start
	again  string                // run after it, and told of in its place
}

// outcome is what a trial came to.
type outcome struct{ said, left, exit string }

const (
	fast = "noonkeep curve my.yaml --to 20 --step 20 --out out"
	long = "noonkeep years my.yaml --seeds 1000 --out out"
	// unprivileged takes from root the power to open everything.
	unprivileged = "setpriv --bounding-set=-dac_override,-dac_read_search "
)

// run makes the trial; ok is false where it cannot be made here.
func (tr trial) run(t *testing.T) (o outcome, ok bool) {
	t.Helper()
	dir := t.TempDir()
	setFolder(t, dir)
	if tr.needs != "" && shell(dir, tr.needs).Run() != nil {
		return o, false
	}
	o = tr.once(t, dir)
	if tr.again != "" {
		o = trial{script: tr.again}.once(t, dir)
	}
	return o, true
}

func (tr trial) once(t *testing.T, dir string) outcome {
	t.Helper()
	cmd := shell(dir, tr.script)
	var said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &said
	open, _ := cmd.StdinPipe() // a keyboard at which nobody types
	defer open.Close()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	done := make(chan struct{})
	go func() { cmd.Wait(); close(done) }()
	ended := func() bool {
		select {
		case <-done:
			return true
		default:
			return false
		}
	}
	if tr.signal != 0 {
		if tr.when == nil {
			time.Sleep(time.Second)
		}
		for tr.when != nil && !tr.when(dir) && !ended() {
		}
		cmd.Process.Signal(tr.signal)
	}
	select {
	case <-done:
	case <-time.After(2 * time.Minute):
		cmd.Process.Kill()
		<-done
		t.Errorf("%s: does not end", tr.what)
	}
	return outcome{firstSaid(said.String(), dir), stateOf(t, dir), exitOf(cmd.ProcessState)}
}

// shell runs a script in dir; exec makes the last command the process itself, so that a signal reaches it.
func shell(dir, script string) *exec.Cmd {
	cmd := exec.Command("sh", "-c", script)
	cmd.Dir = dir
	return cmd
}

func exitOf(s *os.ProcessState) string {
	if w, ok := s.Sys().(syscall.WaitStatus); ok && w.Signaled() {
		return "killed"
	}
	return fmt.Sprint(s.ExitCode())
}

// firstSaid is the first line that is no warning, short, and without this run's folder and numbers.
func firstSaid(said, dir string) string {
	for line := range strings.Lines(said) {
		line = strings.TrimSpace(strings.ReplaceAll(line, dir, "DIR"))
		if line == "" || strings.Contains(line, ": warning: ") {
			continue
		}
		line = regexp.MustCompile(`\.noonkeep-\d+-\d+`).ReplaceAllString(strings.TrimPrefix(line, "noonkeep: "), ".noonkeep")
		if r := []rune(line); len(r) > 230 {
			line = string(r[:227]) + "..."
		}
		return line
	}
	return ""
}

// reference is what an undisturbed run of fast writes.
var reference = sync.OnceValues(func() (map[string][]byte, error) {
	dir, err := os.MkdirTemp("", "whole")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	if err := writeSmall(dir); err != nil {
		return nil, err
	}
	if said, err := shell(dir, fast).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, said)
	}
	return filesOf(filepath.Join(dir, "out"))
})

func filesOf(dir string) (map[string][]byte, error) {
	entries, err := os.ReadDir(dir)
	files := map[string][]byte{}
	for _, e := range entries {
		if data, err := os.ReadFile(filepath.Join(dir, e.Name())); err == nil {
			files[e.Name()] = data
		} else {
			files[e.Name()] = []byte("(no plain file)")
		}
	}
	return files, err
}

// stateOf says what became of the folder out, in which a file curve.csv reads "old" before the trial; half of a run is a fault.
func stateOf(t *testing.T, dir string) string {
	t.Helper()
	got, err := filesOf(filepath.Join(dir, "out"))
	if errors.Is(err, os.ErrNotExist) {
		return "no folder"
	}
	parts := 0
	for name := range got {
		if strings.HasPrefix(name, ".noonkeep-") && strings.HasSuffix(name, ".part") {
			parts++
			delete(got, name)
		}
	}
	state := ""
	whole, err := reference()
	switch {
	case err != nil:
		t.Fatal(err)
	case len(got) == 1 && string(got["curve.csv"]) == "old":
		state = "as before"
	case equalFiles(got, whole):
		state = "whole"
	default:
		state = "HALF"
		t.Errorf("%s holds half of a run: %d files", dir, len(got))
	}
	if parts > 0 {
		state += ", and a part that the next run removes"
	}
	return state
}

func equalFiles(a, b map[string][]byte) bool {
	if len(a) != len(b) {
		return false
	}
	for name, data := range a {
		if !bytes.Equal(data, b[name]) {
			return false
		}
	}
	return true
}

// writeSmall writes my.yaml, the built-in dyehouse.
func writeSmall(dir string) error {
	cmd := shell(dir, "noonkeep starter dyehouse")
	text, err := cmd.Output()
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "my.yaml"), text, 0o600)
	}
	return err
}

// setFolder makes what scripts use: my.yaml; weather.yaml, which is the same with the weather file of $W; log.yaml with a
// meter's log in log.xlsx; and out with an old file.
func setFolder(t *testing.T, dir string) {
	t.Helper()
	if err := writeSmall(dir); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(dir, "my.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	before, rest, _ := strings.Cut(string(text), "\nweather:")
	_, after, ok := strings.Cut(rest, "\ntime:")
	if !ok {
		t.Fatal("the dyehouse's time does not follow its weather")
	}
	load := "steam: 400 kg/h\n    when: Mon-Fri 07:00-19:00"
	if !strings.Contains(string(text), load) {
		t.Fatal("the dyehouse's dryers are not as they were")
	}
	for name, data := range map[string]string{
		"weather.in":    before + "\nweather: {file: W}\ntime:" + after,
		"log.yaml":      strings.Replace(string(text), load, "log: {file: log.xlsx, time: time, value: kW, unit: kW, times: start}", 1),
		"series.in":     strings.Replace(string(text), load, "series: W", 1),
		"book.xlsx":     string(hostileBook(t)),
		"out/curve.csv": "old",
		"up/secret":     "root:x:0:0:a secret\n",
		"up/sun.csv":    "time,kW\n2026-01-01 00:00,SECRET\n",
	} {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// partThere tells of the first part of a run being written.
func partThere(dir string) bool { return len(partsIn(filepath.Join(dir, "out"))) > 0 }

func partsIn(dir string) (parts []string) {
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".noonkeep-") && strings.HasSuffix(e.Name(), ".part") {
			parts = append(parts, e.Name())
		}
	}
	return parts
}
