package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// plain is the program built without C.
type plain struct{ path string }

func buildPlain(t *testing.T) plain {
	t.Helper()
	if testing.Short() {
		t.Skip("builds the program anew")
	}
	path := filepath.Join(t.TempDir(), "noonkeep")
	if runtime.GOOS == "windows" {
		path += ".exe"
	}
	build := exec.Command("go", "build", "-o", path, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("CGO_ENABLED=0 go build: %v\n%s", err, out)
	}
	return plain{path}
}

func (p plain) run(t *testing.T, args ...string) (out, errOut string, status int) {
	t.Helper()
	var o, e bytes.Buffer
	cmd := exec.Command(p.path, args...)
	cmd.Stdout, cmd.Stderr = &o, &e
	var exit *exec.ExitError
	if err := cmd.Run(); errors.As(err, &exit) {
		status = exit.ExitCode()
	} else if err != nil {
		t.Fatal(err)
	}
	return o.String(), e.String(), status
}

// twoHeaders is the dyehouse with a second header, which the one-store engine does not take.
func twoHeaders(t *testing.T) string {
	t.Helper()
	return scenario(t, "dyehouse",
		"\nloads:", "\n  - {name: low, pressure: 2 bar(g), feedwater: 85 degC, from_above: yes}\n\nloads:",
		"    header: main\n    heat: 90 kW ", "    header: low\n    heat: 90 kW ")
}

// Without a C compiler and without Clp the main job is the same to the last digit that counts.
func TestProgramWithoutClpDoesTheMainJob(t *testing.T) {
	unraced(t)
	t.Parallel()
	out, errOut, status := buildPlain(t).run(t, "curve", "dyehouse", "--json")
	if status != statusDone {
		t.Fatalf("exit status %d\n%s", status, errOut)
	}
	var c curveJSON
	if err := json.Unmarshal([]byte(out), &c); err != nil {
		t.Fatal(err)
	}
	want := curveOf(t, "dyehouse")
	if c.Engine != "onestore" || len(c.Points) != len(want.Points) {
		t.Fatalf("engine %q with %d points; want onestore with %d", c.Engine, len(c.Points), len(want.Points))
	}
	near(t, "cost without store", c.Baseline.NoStorage, want.Baseline.NoStorage, 1e-9)
	near(t, "cost of boilers alone", c.Baseline.BoilersOnly, want.Baseline.BoilersOnly, 1e-9)
	for i, p := range want.Points {
		q, at := c.Points[i], fmt.Sprintf(" at %g m³", p.Volume)
		near(t, "volume", q.Volume, p.Volume, 0)
		near(t, "cost"+at, q.Cost, p.Cost, 1e-9)
		near(t, "savings"+at, q.VsNone, p.VsNone, 1e-9)
		near(t, "slope"+at, q.Marginal, p.Marginal, 1e-9)
		near(t, "bound"+at, q.Upper, p.Upper, 1e-9)
		near(t, "fuel"+at, q.Fuel, p.Fuel, 1e-9)
	}
}

// What needs Clp is refused in plain words; what only writes the program out is not.
func TestProgramWithoutClpSaysWhatNeedsIt(t *testing.T) {
	unraced(t)
	t.Parallel()
	p, path := buildPlain(t), twoHeaders(t)
	for _, args := range [][]string{
		{"curve", path, "--out", filepath.Join(t.TempDir(), "out")},
		{"schedule", path, "--csv", filepath.Join(t.TempDir(), "plan.csv")},
	} {
		out, errOut, status := p.run(t, args...)
		if status != statusNoAnswer || out != "" {
			t.Errorf("noonkeep %v: exit status %d with %q printed; want %d and nothing", args, status, out, statusNoAnswer)
		}
		for _, want := range []string{"engine clp: is not in this program", "there are 2 headers", "C compiler"} {
			if !strings.Contains(errOut, want) {
				t.Errorf("noonkeep %v: the error does not say %q:\n%s", args, want, errOut)
			}
		}
		if _, err := os.Stat(args[3]); err == nil {
			t.Errorf("noonkeep %v: it left something behind", args)
		}
	}
	mps, errOut, status := p.run(t, "export", path, "--mps", "-")
	if status != statusDone || mps != must(t, "export", path, "--mps", "-") {
		t.Errorf("export: exit status %d, or another program than that of the program with Clp\n%s", status, errOut)
	}
}
