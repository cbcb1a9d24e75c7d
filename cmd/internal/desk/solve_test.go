package desk

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/scenarios"
)

func example(t testing.TB, name string) []byte {
	t.Helper()
	text, err := scenarios.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return text.Data
}

// The page's figures are the command's: the same case through the same pipeline.
func TestSolverGivesTheCommandsCurve(t *testing.T) {
	text := example(t, "dyehouse")
	s := newSolver(nil)
	got := s.results(context.Background(), "dyehouse.yaml", text, true)
	c, err := scenarios.Parse("dyehouse.yaml", text, nil)
	if err != nil {
		t.Fatal(err)
	}
	want, err := answer.Make(context.Background(), c, answer.Options{OnOff: true})
	if err == nil {
		want, err = want.WithMoney(c)
	}
	if err != nil || !got.ok() || len(got.curve.Points) != len(want.Points) {
		t.Fatalf("%v, %v: %d points; want %d", err, got.err, len(got.curve.Points), len(want.Points))
	}
	for i, p := range want.Points {
		if q := got.curve.Points[i]; q.VolumeM3 != p.VolumeM3 || q.AnnualCost != p.AnnualCost || i > 0 && q.Money.Tank.NPV != p.Money.Tank.NPV {
			t.Errorf("point %d: %v and %v; the command has %v and %v", i, q.VolumeM3, q.AnnualCost, p.VolumeM3, p.AnnualCost)
		}
	}
	rough := s.results(context.Background(), "dyehouse.yaml", text, false)
	if !rough.ok() || rough.curve.CertifiedGap > roughGap || len(rough.curve.Points) >= len(want.Points) {
		t.Errorf("the rough curve has %d points and a gap of %g", len(rough.curve.Points), rough.curve.CertifiedGap)
	}
}

// Drawing the handle solves no curve, since the curve does not hang on where it stands; another price does.
func TestSolverSharesTheCurve(t *testing.T) {
	text := string(example(t, "dyehouse"))
	s := newSolver(nil)
	sums := map[string]sum{}
	for name, change := range map[string][2]string{
		"as it is": {}, "volume": {"volume: 40 m3", "volume: 70 m3"}, "price": {"price: 0.052 EUR/kWh", "price: 0.06 EUR/kWh"},
		"steps": {"steps: 0..120 m3", "steps: 0..140 m3"}, "pressure": {"18 bar(g)", "16 bar(g)"},
	} {
		other := text
		if name != "as it is" {
			other = strings.Replace(text, change[0], change[1], 1)
			if other == text {
				t.Fatalf("the dyehouse has no %q", change[0])
			}
		}
		c, err := s.read(context.Background(), "a.yaml", []byte(other))
		if err != nil {
			t.Fatal(err)
		}
		sums[name] = curveSum(c, s.filesSum("a.yaml", []byte(other)), true)
	}
	if sums["volume"] != sums["as it is"] {
		t.Error("another volume is another curve")
	}
	for _, name := range []string{"price", "steps", "pressure"} {
		if sums[name] == sums["as it is"] {
			t.Errorf("another %s is the same curve", name)
		}
	}
}

// A weather or series file that has changed on disk is read again.
func TestSolverReadsChangedFiles(t *testing.T) {
	dir := t.TempDir()
	text := strings.Replace(string(example(t, "dyehouse")), "    steam: 400 kg/h\n    when: Mon-Fri 07:00-19:00\n", "    series: heat.csv\n", 1)
	series := func(kw string, at time.Time) {
		rows := "time,kW\n"
		for h := range 8760 {
			rows += time.Date(2026, 1, 1, h, 0, 0, 0, time.UTC).Format("2006-01-02 15:04") + "," + kw + "\n"
		}
		path := filepath.Join(dir, "heat.csv")
		if err := os.WriteFile(path, []byte(rows), 0o600); err != nil {
			t.Fatal(err)
		}
		os.Chtimes(path, at, at)
	}
	s := newSolver(scenarios.Within(dir))
	load := func() float64 {
		c, err := s.read(context.Background(), "a.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		return c.Loads[2].KW[100]
	}
	series("100", time.Unix(1e9, 0))
	first, again := load(), load()
	series("200", time.Unix(1e9+5, 0))
	if then := load(); first != 100 || again != 100 || then != 200 {
		t.Errorf("the load was %g, %g, and then %g kW; want 100, 100, 200", first, again, then)
	}
}

// A text that is wrong has its faults; a plant without a store has a plan and no curve.
func TestSolverOddTexts(t *testing.T) {
	s := newSolver(nil)
	bad := s.results(context.Background(), "a.yaml", []byte("noonkeep: 1\nname: x\n"), true)
	if bad.bad == nil || bad.ok() || bad.waiting {
		t.Errorf("a text with nothing in it: %+v", bad.bad)
	}
	text := string(example(t, "dyehouse"))
	head, rest, _ := strings.Cut(text, "\nstore:\n")
	_, tail, _ := strings.Cut(rest, "\nmoney:\n")
	tail, _, _ = strings.Cut(tail, "\n# The same plant otherwise")
	bare := s.results(context.Background(), "a.yaml", []byte(head+"\nmoney:\n"+tail+"\n"), true)
	if !bare.ok() || len(bare.curve.Points) > 0 || len(bare.plan.DemandKW) != 8760 {
		t.Errorf("without a store: %v, %v, %d points", bare.bad, bare.err, len(bare.curve.Points))
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if r := s.results(gone, "b.yaml", []byte(text), true); !r.waiting || r.ok() {
		t.Errorf("given up at once: %+v", r.err)
	}
}
