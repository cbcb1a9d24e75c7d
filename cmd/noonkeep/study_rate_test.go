//go:build linux

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/study/crew"
	"noonkeep/scenarios"
)

// BenchmarkStudy solves one study in one process, and by 1, 2 and 4 workers over a JetStream server on the loopback; each
// worker has one core's worth of work at a time. The results must have the same bytes. Cases a second stand beside those
// of the bare engine on plants that are built already, in the same run: on one core for one worker, else on all.
//
//	go test ./cmd/noonkeep -run '^$' -bench Study -benchtime 1x -study-cases 1000 -timeout 2h
func BenchmarkStudy(b *testing.B) {
	for _, kind := range []struct {
		name, text string
		opt        answer.CaseOptions
	}{
		{"kind=curve", curveStudy(*studyCases), answer.CaseOptions{Curve: true}},
		{"kind=year", yearStudy(*studyCases), answer.CaseOptions{}},
	} {
		b.Run(kind.name, func(b *testing.B) {
			path := studyFile(b, kind.text)
			one := engineRate(b, path, kind.opt, 1)
			all := engineRate(b, path, kind.opt, runtime.NumCPU())
			b.Run("engine", func(b *testing.B) {
				b.ReportMetric(one, "cases/s-on-one-core")
				b.ReportMetric(all, "cases/s-on-all")
			})
			var want []byte
			for _, workers := range []int{0, 1, 2, 4} {
				name := fmt.Sprintf("workers=%d", workers)
				if workers == 0 {
					name = "here"
				}
				b.Run(name, func(b *testing.B) {
					for range b.N {
						got := timeStudy(b, path, workers, map[bool]float64{true: one, false: all}[workers == 1])
						if want == nil {
							want = got
						}
						if !bytes.Equal(got, want) {
							b.Error("the results have other bytes")
						}
					}
				})
			}
		})
	}
}

// engineRate is how many of a study's cases a second the engine solves, the plants being built beforehand.
func engineRate(b *testing.B, path string, opt answer.CaseOptions, cores int) float64 {
	may := access{ctx: b.Context()}
	plan, inputs, err := may.study(path)
	if err != nil {
		b.Fatal(err)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	const most = 120
	var plants []scenarios.Case
	for i := range min(plan.N, most) {
		c := plan.Case(i * max(1, plan.N/most))
		s := plan.Scenarios[c.Scenario]
		text, err := scenarios.Rewrite(s.File, inputs[s.Text], plan.Settings(c)...)
		if err != nil {
			b.Fatal(err)
		}
		plant, err := scenarios.Parse(s.File, text, nil)
		if seed := s.Weather[c.Weather].Seed; err == nil && seed != nil {
			plant, err = plant.WithSeed(*seed)
		}
		if err != nil {
			b.Fatal(err)
		}
		plants = append(plants, plant)
	}
	var group sync.WaitGroup
	var next atomic.Int64
	start := time.Now()
	for range cores {
		group.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(plants)); i = next.Add(1) - 1 {
				if _, err := answer.SolveCase(b.Context(), plants[i], opt); err != nil {
					b.Error(err)
				}
			}
		})
	}
	group.Wait()
	return float64(len(plants)) / time.Since(start).Seconds()
}

// timeStudy runs a study by so many workers, none for this process's own, and reports its rate and its memory.
func timeStudy(b *testing.B, path string, workers int, engine float64) []byte {
	out := filepath.Join(b.TempDir(), "out")
	args := []string{"study", path, "--out", out}
	var crews []*exec.Cmd
	if workers > 0 {
		s := serveQueue(b)
		args = append(args, "--nats", s.url())
		for range workers {
			w := exec.Command("noonkeep", "worker", "--nats", s.url(), "--jobs", "1", "--cache", "")
			w.Env = append(os.Environ(), "GOMAXPROCS=1")
			if err := w.Start(); err != nil {
				b.Fatal(err)
			}
			crews = append(crews, w)
		}
		time.Sleep(2 * time.Second) // that they are there
	}
	lead := exec.Command("noonkeep", args...)
	b.ResetTimer()
	start := time.Now()
	held := watched(b, lead)
	took := time.Since(start)
	b.StopTimer()
	worst := int64(0)
	for _, w := range crews {
		worst = max(worst, memoryKB(w))
		w.Process.Signal(os.Interrupt)
		if err := w.Wait(); err != nil {
			b.Error(err)
		}
	}
	rate := float64(casesOf(b, path)) / took.Seconds()
	b.ReportMetric(rate, "cases/s")
	b.ReportMetric(100*rate/engine, "%-of-engine")
	b.ReportMetric(float64(held)/1024, "MB-study")
	if workers > 0 {
		b.ReportMetric(float64(worst)/1024, "MB-worker")
	}
	data, err := os.ReadFile(filepath.Join(out, crew.ResultsName))
	if err != nil {
		b.Fatal(err)
	}
	return data
}

func casesOf(b *testing.B, path string) int64 {
	may := access{ctx: b.Context()}
	plan, _, err := may.study(path)
	if err != nil {
		b.Fatal(err)
	}
	return plan.N
}

// memoryKB is the most memory that a running process has held; 0 once it has ended.
func memoryKB(cmd *exec.Cmd) (kB int64) {
	data, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", cmd.Process.Pid))
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(data)) {
		if n, _ := fmt.Sscanf(line, "VmHWM: %d kB", &kB); n == 1 {
			return kB
		}
	}
	return 0
}

// watched runs a command to its end, and gives the most memory that it held.
func watched(b *testing.B, cmd *exec.Cmd) (kB int64) {
	var said bytes.Buffer
	cmd.Stderr = &said
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for {
		select {
		case err := <-ended:
			if err != nil {
				b.Fatalf("%v: %s", err, said.String())
			}
			return kB
		case <-time.After(100 * time.Millisecond):
			kB = max(kB, memoryKB(cmd))
		}
	}
}
