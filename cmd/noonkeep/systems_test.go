//go:build unix

package main

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var systems = flag.String("systems", "", "folder of the program built for other systems, each of which is run if it can be here")

// everywhere are the runs that are compared, in the folder of the files they write.
const everywhere = `set -e
$NOONKEEP curve dyehouse --to 20 --step 20 --engine onestore --out curve > curve.txt 2> curve.err
$NOONKEEP schedule dyehouse --engine onestore --out schedule > schedule.txt 2> schedule.err
$NOONKEEP check dyehouse --out check > check.txt 2> check.err
$NOONKEEP demand dyehouse --out demand > demand.txt 2> demand.err
$NOONKEEP curve cannery --to 20 --step 20 --engine onestore --json > cannery.json 2> cannery.err`

// outputs makes the runs with a program and an environment, and gives every byte that came out, by file.
func outputs(t *testing.T, program string, env ...string) map[string][]byte {
	t.Helper()
	dir := t.TempDir()
	cmd := shell(dir, everywhere)
	cmd.Env = append([]string{"PATH=" + os.Getenv("PATH"), "NOONKEEP=" + program}, env...)
	if said, err := cmd.CombinedOutput(); err != nil {
		errs, _ := filepath.Glob(filepath.Join(dir, "*.err"))
		for _, e := range errs {
			text, _ := os.ReadFile(e)
			said = append(said, text...)
		}
		t.Fatalf("%s %v: %v: %s", program, env, err, said)
	}
	all := map[string][]byte{}
	files, _ := filepath.Glob(filepath.Join(dir, "*"))
	inside, _ := filepath.Glob(filepath.Join(dir, "*", "*"))
	for _, path := range append(files, inside...) {
		if data, err := os.ReadFile(path); err == nil {
			name, _ := filepath.Rel(dir, path)
			all[name] = data
		}
	}
	if len(all) < 20 {
		t.Fatalf("%s wrote %d files", program, len(all))
	}
	return all
}

// TestSameBytes: neither the processors, nor the place and language of the machine, nor who runs it change a byte.
func TestSameBytes(t *testing.T) {
	t.Parallel()
	unraced(t)
	want := outputs(t, "noonkeep", "LANG=C", "GOMAXPROCS=1")
	for _, env := range [][]string{
		{"LANG=C", "GOMAXPROCS=4", "TZ=Pacific/Kiritimati", "HOME=/nowhere", "NO_COLOR=1", "TERM=dumb"},
		{"LANG=tr_TR", "LC_NUMERIC=de_DE", "TZ=:broken", "COLUMNS=7"},
		{},
	} {
		got := outputs(t, "noonkeep", env...)
		for _, name := range names(want, got) {
			if !bytes.Equal(got[name], want[name]) {
				t.Errorf("with %v %s has other bytes", env, name)
			}
		}
	}
}

func names(a, b map[string][]byte) []string {
	var all []string
	for name := range a {
		all = append(all, name)
	}
	for name := range b {
		if _, both := a[name]; !both {
			all = append(all, name)
		}
	}
	slices.Sort(all)
	return all
}

// TestSameOnOtherSystems compares this program with those of -systems, built for other processors or without Clp. On one kind of
// processor every byte is the same. Another kind rounds otherwise, in sums whose product it does not round first and in the
// last digit of exponentials: then the text that a person reads is the same, and each number of a file within 1e-7.
func TestSameOnOtherSystems(t *testing.T) {
	if *systems == "" {
		t.Skip("runs in make cross, which builds the programs")
	}
	want := outputs(t, "noonkeep", "LANG=C")
	programs, _ := filepath.Glob(filepath.Join(*systems, runtime.GOOS+"-*", "noonkeep"))
	if len(programs) == 0 {
		t.Fatalf("%s holds no program for %s", *systems, runtime.GOOS)
	}
	for _, program := range programs {
		kind := filepath.Base(filepath.Dir(program))
		t.Run(kind, func(t *testing.T) {
			command := runner(program)
			if command == "" {
				t.Skipf("a program for %s cannot be run here", kind)
			}
			got := outputs(t, command, "LANG=C")
			for _, name := range names(want, got) {
				switch same := bytes.Equal(got[name], want[name]); {
				case same:
				case kind == runtime.GOOS+"-"+runtime.GOARCH:
					t.Errorf("%s has other bytes", name)
				case strings.HasSuffix(name, ".txt"):
					t.Errorf("%s reads otherwise:\n%s", name, firstDifference(want[name], got[name]))
				case strings.HasSuffix(name, ".png"), strings.HasSuffix(name, ".svg"):
					t.Logf("%s is drawn with other bytes", name)
				default:
					if where := apart(want[name], got[name], 1e-7); where != "" {
						t.Errorf("%s differs: %s", name, where)
					}
				}
			}
		})
	}
}

// runner is the command that runs a program here, through an emulator if there is one; "" for none.
func runner(program string) string {
	program, err := filepath.Abs(program)
	if err != nil {
		return ""
	}
	arch := strings.TrimPrefix(filepath.Base(filepath.Dir(program)), runtime.GOOS+"-")
	emulator := map[string]string{"arm64": "qemu-aarch64-static"}[arch]
	for _, command := range []string{program, emulator + " " + program} {
		if exec.Command("sh", "-c", command+" starter").Run() == nil {
			return command
		}
	}
	return ""
}

func firstDifference(a, b []byte) string {
	x, y := strings.Split(string(a), "\n"), strings.Split(string(b), "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return x[i] + "\n" + y[i]
		}
	}
	return "one is longer"
}

var numeral = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?(e[-+][0-9]+)?`)

// apart compares two texts number by number: "" where all lie within a share of each other, or of 1 where they are less.
func apart(a, b []byte, within float64) string {
	if x, y := numeral.ReplaceAll(a, []byte("#")), numeral.ReplaceAll(b, []byte("#")); !bytes.Equal(x, y) {
		return firstDifference(x, y)
	}
	x, y := numeral.FindAllString(string(a), -1), numeral.FindAllString(string(b), -1)
	for i := range x {
		v, err := strconv.ParseFloat(x[i], 64)
		w, err2 := strconv.ParseFloat(y[i], 64)
		if err != nil || err2 != nil || math.Abs(v-w) > within*max(math.Abs(v), math.Abs(w), 1) {
			return fmt.Sprintf("%s and %s", x[i], y[i])
		}
	}
	return ""
}
