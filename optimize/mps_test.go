package optimize

import (
	"bytes"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// solveElsewhere gives the optimum that another program finds for an MPS file; it skips where that
// program is not installed.
func solveElsewhere(t *testing.T, name, file string, args []string, answer *regexp.Regexp) float64 {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed: the exported program is not cross-checked by it", name)
	}
	out, err := exec.Command(path, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	text := string(out)
	if name == "glpsol" {
		report, err := os.ReadFile(file + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		text = string(report)
	}
	m := answer.FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("%s gives no optimum:\n%s", name, text)
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func writeMPS(t *testing.T, p Problem) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteMPS(&b, p); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "plant.mps")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestOthersGetTheSameCost(t *testing.T) {
	p := plantYear{14, 24, 9}.problem()
	problems := map[string]Problem{"fortnight": p, "ramp": rampDay(40)}
	for i := range 6 { // with ranges, negative prices, several stores and headers
		problems["random "+strconv.Itoa(i)] = randomProblem(rand.New(rand.NewPCG(77, uint64(i))))
	}
	for name, p := range problems {
		if !haveClp && misfit(p) != "" {
			continue
		}
		file := writeMPS(t, p)
		want := plan(t, p).Cost
		t.Run(name+"/glpsol", func(t *testing.T) {
			got := solveElsewhere(t, "glpsol", file, []string{"--freemps", file, "-o", file + ".txt"}, regexp.MustCompile(`Objective:\s+\S+ = (\S+)`))
			closeTo(t, "glpsol", got, want, 1e-6*math.Max(1, math.Abs(want)))
		})
		t.Run(name+"/clp", func(t *testing.T) {
			got := solveElsewhere(t, "clp", file, []string{file, "-solve"}, regexp.MustCompile(`Optimal objective (\S+) `))
			closeTo(t, "clp", got, want, 1e-6*math.Max(1, math.Abs(want)))
		})
	}
}

func TestMPSNames(t *testing.T) {
	p := plantYear{60, 24, 9}.problem()
	p.Fields[0].Name = "Çelik dishes_1"
	var b bytes.Buffer
	if err := WriteMPS(&b, p); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"\n E header_main_0204T0600\n", "\n E store_vessel_0204T0600\n", "\n L area_-elik-dishes-1_0204T1200\n",
		"\n heat_B1_1_0204T0600 header_main_0204T0600 1\n", "\n stock_vessel_0204T0600 store_vessel_0204T0500 1\n",
		"\n FX bound one 1\n", "\n one cost 900\n",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no line %q", want)
		}
	}
}

// Two names that become one in MPS, and times that do not name a step, must not collide.
func TestMPSNamesAreUnique(t *testing.T) {
	p := randomProblem(rand.New(rand.NewPCG(77, 3)))
	p.Boilers = append(p.Boilers, p.Boilers[0], p.Boilers[0])
	for i, name := range []string{"a b", "a_b", "a-b"} {
		p.Boilers[len(p.Boilers)-3+i].Name = name
	}
	for _, start := range []bool{true, false} {
		if !start {
			p.Start = p.Start.AddDate(-3000, 0, 0)
		}
		w := newWork(p)
		y := newLayout(w)
		for _, names := range [][]string{y.names(y.colGroups, y.cols), y.names(y.rowGroups, y.rows)} {
			seen := map[string]bool{}
			for _, n := range names {
				if seen[n] || strings.ContainsAny(n, " \t") {
					t.Errorf("name %q is used twice or has a space", n)
				}
				seen[n] = true
			}
		}
	}
}

func TestJSONRoundTrip(t *testing.T) {
	for i := range 20 {
		p := randomProblem(rand.New(rand.NewPCG(5, uint64(i))))
		var b bytes.Buffer
		if err := WriteJSON(&b, p); err != nil {
			t.Fatal(err)
		}
		text := b.String()
		q, err := ReadJSON(&b)
		if err != nil {
			t.Fatal(err)
		}
		if haveClp && plan(t, p).Cost != plan(t, q).Cost {
			t.Errorf("problem %d costs another sum when read back", i)
		}
		var again bytes.Buffer
		if err := WriteJSON(&again, q); err != nil {
			t.Fatal(err)
		}
		if again.String() != text {
			t.Errorf("problem %d is written differently the second time", i)
		}
		if !reflect.DeepEqual(p.Headers, q.Headers) || !reflect.DeepEqual(p.Stores, q.Stores) || !reflect.DeepEqual(p.Boilers, q.Boilers) {
			t.Errorf("problem %d: %+v became %+v", i, p, q)
		}
	}
	if _, err := ReadJSON(strings.NewReader(`{"step_h": 1, "heders": []}`)); err == nil || !strings.Contains(err.Error(), "heders") {
		t.Errorf("unknown key: %v", err)
	}
}

func FuzzReadJSON(f *testing.F) {
	for _, p := range []Problem{rampDay(40), twoBatches()} {
		var b bytes.Buffer
		if err := WriteJSON(&b, p); err != nil {
			f.Fatal(err)
		}
		f.Add(b.Bytes())
	}
	f.Add([]byte(`{"step_h":1,"headers":[{"name":"a","demand_kW":[1,2]}]}`))
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := ReadJSON(bytes.NewReader(text))
		if err != nil {
			return
		}
		var out, again bytes.Buffer
		if err := WriteJSON(&out, p); err != nil {
			t.Fatalf("what was read is not written: %v", err)
		}
		first := out.String()
		q, err := ReadJSON(&out)
		if err != nil {
			t.Fatalf("what was written is not read: %v", err)
		}
		if err := WriteJSON(&again, q); err != nil || again.String() != first {
			t.Fatalf("written differently the second time: %v", err)
		}
	})
}
