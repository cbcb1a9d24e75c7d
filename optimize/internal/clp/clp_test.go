//go:build cgo

package clp

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// prototype is max 3x1 + 5x2 with x1 <= 4, 2x2 <= 12, 3x1 + 2x2 <= 18, written as a minimum.
// Source of the problem and of all it is compared with: Hillier and Lieberman, checks-heat 9.2.1.
func prototype() Columns {
	inf := math.Inf(1)
	return Columns{
		Rows: 3, Start: []int32{0, 2, 4}, Index: []int32{0, 2, 1, 2}, Value: []float64{1, 3, 2, 2},
		Lower: []float64{0, 0}, Upper: []float64{inf, inf}, Cost: []float64{-3, -5},
		RowLower: []float64{-inf, -inf, -inf}, RowUpper: []float64{4, 12, 18},
	}
}

func loaded(t *testing.T, c Columns) *Model {
	t.Helper()
	m := New()
	t.Cleanup(m.Close)
	if err := m.Load(c); err != nil {
		t.Fatal(err)
	}
	return m
}

func near(t *testing.T, what string, got []float64, want ...float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %v; want %v", what, got, want)
	}
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= 1e-9) {
			t.Errorf("%s: %v; want %v", what, got, want)
		}
	}
}

func TestPrototypeEveryWay(t *testing.T) {
	ways := map[string]func(*Model) Status{
		"dual": (*Model).Dual, "primal": (*Model).Primal,
		"fresh dual":    func(m *Model) Status { return m.Fresh(ByDual, true) },
		"fresh primal":  func(m *Model) Status { return m.Fresh(ByPrimal, false) },
		"fresh barrier": func(m *Model) Status { return m.Fresh(ByBarrier, true) },
	}
	for name, way := range ways {
		t.Run(name, func(t *testing.T) {
			m := loaded(t, prototype())
			if s := way(m); s != Optimal || m.Secondary() != 0 {
				t.Fatalf("ended with %v, %v", s, m.Secondary())
			}
			near(t, "objective", []float64{m.Objective()}, -36)
			near(t, "solution", m.Solution(), 2, 6)
			near(t, "duals", m.Duals(), 0, -1.5, -1)
			near(t, "row activity", m.RowActivity(), 2, 12, 18)
			near(t, "reduced costs", m.ReducedCosts(), 0, 0)
		})
	}
}

// Each change has its new optimum by hand: with x2 <= 6 still, 3x1 + 2x2 <= 24 gives x1 = 4 and 42;
// then x1 <= 3 gives 39; then a price of 1 on x2 gives 3·3 + 6 = 15; then row 2 as x1 + 3x2 <= 12 gives
// x2 = 3 and 12 in all.
func TestChangesInPlace(t *testing.T) {
	m := loaded(t, prototype())
	inf := math.Inf(1)
	m.Dual()
	step := func(what string, want float64) {
		t.Helper()
		if s := m.Dual(); s != Optimal {
			t.Fatalf("%s: %v", what, s)
		}
		near(t, what, []float64{m.Objective()}, want)
	}
	m.SetRowBounds([]float64{-inf, -inf, -inf}, []float64{4, 12, 24})
	step("row bound", -42)
	m.SetColBounds([]float64{0, 0}, []float64{3, inf})
	step("column bound", -39)
	m.SetCosts([]float64{-3, -1})
	step("costs", -15)
	m.SetCoef(1, 0, 1)
	m.SetCoef(1, 1, 3)
	step("coefficients", -12)
}

// Writing into Clp's own element array must act like SetCoef: with 3x1 + 4x2 <= 18 a unit of that row
// earns 5/4 by x2 and 1 by x1, so that x2 = 4.5 and the cost is -22.5.
func TestElementsInPlace(t *testing.T) {
	m := loaded(t, prototype())
	m.Dual()
	e := m.Elements()
	if e == nil {
		t.Fatal("no elements")
	}
	e[3] = 4
	m.SetColBounds([]float64{0, 0}, []float64{math.Inf(1), math.Inf(1)})
	if s := m.Dual(); s != Optimal {
		t.Fatal(s)
	}
	near(t, "objective", []float64{m.Objective()}, -22.5)
	near(t, "solution", m.Solution(), 0, 4.5)
}

func TestZeroElementIsSeen(t *testing.T) {
	c := prototype()
	c.Value[1] = 0
	m := loaded(t, c)
	if m.Elements() != nil {
		t.Skip("this Clp keeps zeros")
	}
}

func TestBasisStartsWhereItEnded(t *testing.T) {
	m := loaded(t, prototype())
	m.Dual()
	b := m.Basis()
	if b.Place(0) != Basic || b.Place(1) != Basic || b.Place(2) != Basic {
		t.Errorf("x1, x2 and the slack of row 1 are basic at (2, 6); basis is %v", b)
	}
	other := loaded(t, prototype())
	if err := other.SetBasis(b); err != nil {
		t.Fatal(err)
	}
	if s := other.Dual(); s != Optimal || other.Iterations() != 0 {
		t.Errorf("from the optimal basis: %v after %d iterations; want none", s, other.Iterations())
	}
	if err := other.SetBasis(b[:2]); err == nil {
		t.Error("a basis of the wrong length is taken")
	}
}

func TestEndings(t *testing.T) {
	c := prototype()
	c.RowLower[0] = 5
	c.RowUpper[0] = 6
	c.Upper[0] = 4
	if s := loaded(t, c).Dual(); s != Infeasible {
		t.Errorf("x1 >= 5 and <= 4: %v", s)
	}
	c = prototype()
	inf := math.Inf(1)
	c.RowUpper = []float64{inf, inf, inf}
	if s := loaded(t, c).Primal(); s != Unbounded {
		t.Errorf("no limits: %v", s)
	}
	for s := Optimal; s <= 6; s++ {
		if len(s.String()) < 10 {
			t.Errorf("status %d has no sentence", int(s))
		}
	}
}

func TestLoadRefusesWrongLengths(t *testing.T) {
	breaks := map[string]func(*Columns){
		"start":     func(c *Columns) { c.Start = c.Start[:2] },
		"lower":     func(c *Columns) { c.Lower = c.Lower[:1] },
		"upper":     func(c *Columns) { c.Upper = nil },
		"row lower": func(c *Columns) { c.RowLower = c.RowLower[:2] },
		"row upper": func(c *Columns) { c.RowUpper = c.RowUpper[:2] },
		"index":     func(c *Columns) { c.Index = c.Index[:3] },
		"value":     func(c *Columns) { c.Value = c.Value[:3] },
	}
	for name, cut := range breaks {
		c := prototype()
		cut(&c)
		m := New()
		if err := m.Load(c); err == nil {
			t.Errorf("%s of the wrong length is taken", name)
		}
		m.Close()
		m.Close()
	}
}

// long is a chain x[i] + x[i+1] >= 1 + noise that takes the simplex method many iterations.
func long(n int) Columns {
	c := Columns{Rows: n, Start: []int32{0}}
	for j := range n {
		for _, d := range []int{0, 1, 7, 31} {
			c.Index, c.Value = append(c.Index, int32((j+d)%n)), append(c.Value, 1+float64((j*7919+d*104729)%97)/97)
		}
		c.Start = append(c.Start, int32(len(c.Index)))
		c.Lower, c.Upper = append(c.Lower, 0), append(c.Upper, 1e6)
		c.Cost = append(c.Cost, 1+float64((j*31337)%89)/89)
		c.RowLower, c.RowUpper = append(c.RowLower, 1+float64((j*6971)%83)/83), append(c.RowUpper, math.Inf(1))
	}
	return c
}

func TestStop(t *testing.T) {
	for name, way := range map[string]func(*Model) Status{
		"dual": (*Model).Dual, "primal": (*Model).Primal,
		"fresh": func(m *Model) Status { return m.Fresh(ByDual, true) },
	} {
		t.Run(name, func(t *testing.T) {
			m := loaded(t, long(4000))
			m.Stop()
			if s := way(m); s != Stopped {
				t.Errorf("stopped before it began: %v", s)
			}
			m.Resume()
			done := make(chan Status)
			go func() { done <- way(m) }()
			time.Sleep(20 * time.Millisecond)
			m.Stop()
			if s := <-done; s != Stopped {
				t.Errorf("stopped on the way: %v", s)
			}
		})
	}
}

func TestMaxIterationsKeepsBasis(t *testing.T) {
	m := loaded(t, long(300))
	m.SetMaxIterations(10)
	if s := m.Dual(); s != LimitHit {
		t.Fatalf("after 10 iterations: %v", s)
	}
	m.SetMaxIterations(1 << 30)
	if s := m.Dual(); s != Optimal {
		t.Fatal(s)
	}
	whole := loaded(t, long(300))
	whole.Fresh(ByPrimal, true)
	if d := math.Abs(m.Objective() - whole.Objective()); d > 1e-8*math.Abs(whole.Objective()) {
		t.Errorf("in two goes %g, in one %g", m.Objective(), whole.Objective())
	}
}

func TestWriteMPS(t *testing.T) {
	m := loaded(t, prototype())
	if err := m.SetNames([]string{"plant1", "plant2", "plant3"}, []string{"doors", "windows"}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "p.mps")
	if err := m.WriteMPS(path); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"plant1", "plant2", "plant3", "doors", "windows", "ENDATA"} {
		if !strings.Contains(string(text), name) {
			t.Errorf("%s is not in the file", name)
		}
	}
	if err := m.WriteMPS(filepath.Join(path, "no", "such")); err == nil {
		t.Error("a path that cannot be written is no error")
	}
	if err := m.SetNames(nil, nil); err == nil {
		t.Error("names of the wrong number are taken")
	}
}
