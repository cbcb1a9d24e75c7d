package optimize

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// twoBatches is 12 kWh in the first three hours and 12 in the last three, 10 kW at the most, with sun
// straight to the header and a boiler.
func twoBatches() Problem {
	p := simple(flat(6, 0), []float64{0.10, 0.10, 0.10, 0.10, 0.12, 0.08})
	p.Fields = []Field{one("dishes", []float64{0, 10, 4, 6, 0, 0}, nil)}
	p.Moves = []Move{{Name: "bath", Windows: []Window{{0, 3, 12}, {3, 6, 12}}, LeastKW: flat(6, 0), MostKW: flat(6, 10)}}
	return p
}

// The first batch waits for the sun, which has 14 kWh for it: its next kWh costs nothing. The second
// takes the 6 kWh of the sun and 6 of the cheapest boiler hour. As soon as they may be: 10 kWh of
// boiler in the first hour and 2 of sun; 6 of sun and 4 of boiler, then 2 of boiler.
func TestTwoBatchesByHand(t *testing.T) {
	t.Parallel()
	p := twoBatches()
	s := plan(t, p)
	closeTo(t, "cost", s.Cost, 6*0.08, 1e-12)
	for j, want := range []float64{0, 0.08} {
		closeTo(t, fmt.Sprintf("price of window %d", j), s.WindowPrice[0][j], want, 1e-12)
	}
	for step, want := range map[int]float64{0: 0, 3: 6, 4: 0, 5: 6} {
		closeTo(t, fmt.Sprintf("step %d", step), s.MovedKW[0][step], want, 1e-12)
	}
	closeTo(t, "first batch", s.MovedKW[0][1]+s.MovedKW[0][2], 12, 1e-12)
	if got, want := p.Moves[0].SoonestKW(1), []float64{10, 2, 0, 10, 2, 0}; !slices.Equal(got, want) {
		t.Errorf("as soon as it may be: %v; want %v", got, want)
	}
	fixed := plan(t, p.AtSoonest())
	closeTo(t, "cost at the soonest", fixed.Cost, 10*0.10+4*0.10+2*0.12, 1e-12)
	o := s.Outcome(p, Proof{})
	closeTo(t, "moved", o.MovedKWh, 24, 1e-12)
	closeTo(t, "demand", o.DemandKWh, 24, 1e-12)

	// With 3 kW at the least, the first hour and the dear one take 3 of the boiler: 3·0.10 + 3·0.12 + 3·0.08.
	p.Moves[0].LeastKW = flat(6, 3)
	closeTo(t, "cost with a least", plan(t, p).Cost, 0.90, 1e-12)
	if got, want := p.Moves[0].SoonestKW(1), []float64{6, 3, 3, 6, 3, 3}; !slices.Equal(got, want) {
		t.Errorf("as soon as it may be with a least: %v; want %v", got, want)
	}
	closeTo(t, "cost at the soonest with a least", plan(t, p.AtSoonest()).Cost, 6*0.10+3*0.12+3*0.08, 1e-12)
}

// withMoves adds one or two moves to a random problem: windows side by side and apart, some powers 0,
// least powers now and then. slack 0 makes every window as full as it can be.
func withMoves(p Problem, rng *rand.Rand, slack bool) Problem {
	n := p.N()
	for i := range 1 + rng.IntN(2) {
		m := Move{Name: fmt.Sprintf("M%d", i), Header: rng.IntN(len(p.Headers)), LeastKW: make([]float64, n), MostKW: make([]float64, n)}
		for from := rng.IntN(2); from < n; {
			v := Window{From: from, To: min(n, from+1+rng.IntN(4))}
			for t := v.From; t < v.To; t++ {
				m.MostKW[t] = 60 * rng.Float64()
				if rng.IntN(4) == 0 {
					m.LeastKW[t] = rng.Float64() * m.MostKW[t]
				}
			}
			least, most := m.reach(v, p.StepH)
			if v.HeatKWh = most; slack {
				v.HeatKWh = least + rng.Float64()*(most-least)
			}
			m.Windows = append(m.Windows, v)
			from = v.To + rng.IntN(2)
		}
		p.Moves = append(p.Moves, m)
	}
	return p
}

// With the freedom to move a plan never costs more than at the soonest; with none it costs the same. Each
// window gets its heat, each step stays within its powers, and the proof is as tight as without moves.
func TestRandomMoves(t *testing.T) {
	if !haveClp {
		t.Skip("needs Clp, which is not in this program")
	}
	forRandom(t, func(t *testing.T, p Problem, rng *rand.Rand) {
		full := withMoves(p, rng, false)
		free := withMoves(p, rng, true)
		for _, q := range []Problem{full, free} {
			s, proof, err := Plan(context.Background(), q, Options{})
			if err != nil {
				t.Fatal(err)
			}
			tol := 1e-9 * math.Max(1, math.Abs(s.Cost))
			if proof.LowerBound > s.Cost+tol || proof.DualityGap > 1e-9 || proof.DualResidual > 1e-9 || proof.PrimalResidual > 1e-9 {
				t.Errorf("proof %+v", proof)
			}
			fixed := plan(t, q.AtSoonest()).Cost
			if s.Cost > fixed+tol {
				t.Errorf("free costs %.12g, at the soonest %.12g", s.Cost, fixed)
			}
			if reflect.DeepEqual(q, full) {
				closeTo(t, "a window without slack", s.Cost, fixed, tol)
			}
			keepsWindows(t, q, s)
			o := s.Outcome(q, proof)
			in := o.SunHeaderKWh + o.SunStoreKWh + sum(o.HeatKWh) + o.UnmetKWh
			closeTo(t, "heat in", in, o.DemandKWh+o.LossKWh+o.VentKWh, 1e-9*(1+o.DemandKWh))
		}
		double := scaled2(free)
		double.Moves = slices.Clone(free.Moves)
		for i, m := range free.Moves {
			double.Moves[i].LeastKW, double.Moves[i].MostKW, double.Moves[i].Windows = scaled(m.LeastKW, 2), scaled(m.MostKW, 2), slices.Clone(m.Windows)
			for j := range m.Windows {
				double.Moves[i].Windows[j].HeatKWh *= 2
			}
		}
		cost := plan(t, free).Cost
		closeTo(t, "all doubled", plan(t, double).Cost, 2*cost, 1e-7*math.Max(1, math.Abs(cost)))
	})
}

func keepsWindows(t *testing.T, p Problem, s Schedule) {
	t.Helper()
	for i, m := range p.Moves {
		for j, v := range m.Windows {
			heat := p.StepH * sum(s.MovedKW[i][v.From:v.To])
			closeTo(t, fmt.Sprintf("heat of window %d of %s", j, m.Name), heat, v.HeatKWh, 1e-9*math.Max(1, v.HeatKWh))
		}
		for step, kW := range s.MovedKW[i] {
			if tol := 1e-9 * math.Max(1, m.MostKW[step]); kW < m.LeastKW[step]-tol || kW > m.MostKW[step]+tol {
				t.Errorf("%s, step %d: %g kW outside %g to %g", m.Name, step, kW, m.LeastKW[step], m.MostKW[step])
			}
		}
	}
}

// daily adds a load that may be moved within windows of some hours of each day, as much as a third of
// all the rest, at three times its mean power at the most.
func daily(p Problem, from, hours, days int) Problem {
	n, perDay := p.N(), int(math.Round(24/p.StepH))
	m := Move{Name: "bath", LeastKW: make([]float64, n), MostKW: make([]float64, n)}
	for day := 0; (day+days)*perDay <= n; day += days {
		v := Window{From: day*perDay + from, To: (day+days-1)*perDay + from + hours}
		v.To = min(v.To, n)
		v.HeatKWh = 150 * float64(v.To-v.From) * p.StepH
		for t := v.From; t < v.To; t++ {
			m.MostKW[t] = 450
		}
		m.Windows = append(m.Windows, v)
	}
	p.Headers = slices.Clone(p.Headers)
	p.Headers[0].DemandKW = scaled(p.Headers[0].DemandKW, 0.7)
	p.Moves = []Move{m}
	return p
}

// A window's price is the slope of the cost over its heat: between the slopes to either side, which are the
// same but at a kink.
func TestWindowPriceAgainstDifferences(t *testing.T) {
	if !haveClp {
		t.Skip("needs Clp, which is not in this program")
	}
	t.Parallel()
	for name, p := range map[string]Problem{"a day": daily(plantYear{10, 24, 9}.problem(), 6, 16, 1), "five days": daily(plantYear{10, 48, 9}.problem(), 0, 48, 5)} {
		s := plan(t, p)
		smooth := 0
		for j, v := range p.Moves[0].Windows {
			const h = 1e-2
			at := func(by float64) float64 {
				q := p
				q.Moves = slices.Clone(p.Moves)
				q.Moves[0].Windows = slices.Clone(p.Moves[0].Windows)
				q.Moves[0].Windows[j].HeatKWh += by
				return plan(t, q).Cost
			}
			left, right := (s.Cost-at(-h))/h, (at(h)-s.Cost)/h
			price, tol := s.WindowPrice[0][j], 1e-6
			if price < left-tol || price > right+tol {
				t.Errorf("%s, window %d of %g kWh: price %.9g outside %.9g to %.9g", name, j, v.HeatKWh, price, left, right)
			}
			if right-left < tol {
				smooth++
			}
		}
		if smooth == 0 {
			t.Errorf("%s: every window stands at a kink", name)
		}
	}
}

// The curve holds between its points with work that may be moved, by the day and over two weeks: real
// solves lie under its bound and within its gap.
func TestCurveWithMoves(t *testing.T) {
	unraced(t)
	if !haveClp {
		t.Skip("needs Clp, which is not in this program")
	}
	t.Parallel()
	month, law := month()
	for name, p := range map[string]Problem{"a day": daily(month, 6, 12, 1), "two weeks": daily(month, 0, 24, 14)} {
		c := trace(t, p, law, Options{ToM3: 120, StepM3: 30, GapFrac: 0.01})
		if c.Engine != EngineClp || !strings.Contains(c.Why, `the work "bath" may be moved`) || !(c.GapFrac <= 0.01) {
			t.Errorf("%s: engine %s: %s; gap %g", name, c.Engine, c.Why, c.GapFrac)
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, s := range c.Savings() {
			lo, hi = math.Min(lo, s), math.Max(hi, s)
		}
		tol := 1e-7 * c.NoStore.Cost
		for i, a := range c.Points[:len(c.Points)-1] {
			b := c.Points[i+1]
			for _, share := range []float64{0.02, 0.37, 0.5} {
				v := a.VolumeM3 + share*(b.VolumeM3-a.VolumeM3)
				saved := c.NoStore.Cost - costAt(t, p, law, v)
				chord := a.VsNoStore + share*(b.VsNoStore-a.VsNoStore)
				if off := saved - chord; saved > a.UpperBound+tol || off > c.GapFrac*(hi-lo)+tol || i > 0 && -off > c.GapFrac*(hi-lo)+tol {
					t.Errorf("%s: at %.4g m³ saves %.6g; bound %.6g, chord %.6g, gap %.3g", name, v, saved, a.UpperBound, chord, c.GapFrac*(hi-lo))
				}
			}
			if got := c.NoStore.Cost - costAt(t, p, law, b.VolumeM3); math.Abs(got-b.VsNoStore) > tol {
				t.Errorf("%s: at %g m³ the curve saves %.9g, a plan alone %.9g", name, b.VolumeM3, b.VsNoStore, got)
			}
		}
	}
}

// Moves alone, without any store, are for Clp as well; they couple hours.
func TestMovesWithoutStore(t *testing.T) {
	t.Parallel()
	if why := misfit(twoBatches()); why != `the work "bath" may be moved` {
		t.Errorf("misfit says %q", why)
	}
	_, _, err := Plan(context.Background(), twoBatches(), Options{})
	var refused *NeedsClp
	if haveClp {
		if err != nil {
			t.Error(err)
		}
		if _, _, err := Plan(context.Background(), twoBatches(), Options{Engine: EngineOneStore}); err == nil || !strings.Contains(err.Error(), "may be moved") {
			t.Errorf("onestore by name: error %v", err)
		}
	} else if !errors.As(err, &refused) || !strings.Contains(err.Error(), `needed: the work "bath" may be moved`) {
		t.Errorf("without Clp: error %v", err)
	}
	_, err = Guide(context.Background(), func() Problem { p, _ := month(); return daily(p, 6, 12, 1) }())
	var none *NoGuide
	if !errors.As(err, &none) || !strings.Contains(err.Error(), "may be moved") {
		t.Errorf("guide: error %v", err)
	}
}

// Where boilers and sun cannot do a window's work, it says so, and that moving was tried.
func TestNoPlanWithMoves(t *testing.T) {
	p := twoBatches()
	needsClp(t, p)
	p.Boilers[0].Pieces[0].CapacityKW = 1.5
	_, _, err := Plan(context.Background(), p, Options{})
	var e *NoPlan
	if !errors.As(err, &e) {
		t.Fatalf("error %v; want a NoPlan", err)
	}
	// The second window: 6 of sun and 3·1.5 of the boiler, 1.5 short of 12.
	closeTo(t, "short", e.TotalKWh, 1.5, 1e-9)
	if e.Moves != `"bath"` || !strings.Contains(e.Error(), `, with "bath" moved as well as can be; raise boiler capacity`) {
		t.Errorf("says %q", e)
	}
	if e.At.Before(p.At(3)) {
		t.Errorf("the worst is at %v, in the first window", e.At)
	}
}

func TestCheckMoves(t *testing.T) {
	t.Parallel()
	for _, f := range []struct {
		says  string
		spoil func(m *Move)
	}{
		{`move 0: has no name`, func(m *Move) { m.Name = "" }},
		{`move "bath": takes from header 1; there are 1`, func(m *Move) { m.Header = 1 }},
		{`move "bath": most: has 5 values; want 6, one a step`, func(m *Move) { m.MostKW = flat(5, 1) }},
		{`move "bath": least: step 0 is -1; want 0 or more`, func(m *Move) { m.LeastKW = flat(6, -1) }},
		{`move "bath": window 1: is steps 2 to 6; want steps of the problem, after the window before`, func(m *Move) { m.Windows[1].From = 2 }},
		{`move "bath": window 1: is steps 3 to 7`, func(m *Move) { m.Windows[1].To = 7 }},
		{`move "bath": window 0: is steps 0 to 0`, func(m *Move) { m.Windows[0].To = 0 }},
		{`move "bath": step 2 takes 0 to 10 kW; want the least first, and nothing outside its windows`, func(m *Move) { m.Windows[0].To = 2 }},
		{`move "bath": step 0 takes 11 to 10 kW`, func(m *Move) { m.LeastKW = flat(6, 11) }},
		{`move "bath": window of 4 Feb 09:00 to 4 Feb 12:00: is 31 kWh; its powers allow 0 to 30`, func(m *Move) { m.Windows[1].HeatKWh = 31 }},
		{`move "bath": window of 4 Feb 06:00 to 4 Feb 09:00: is 12 kWh; its powers allow 15 to 30`, func(m *Move) { m.LeastKW = flat(6, 5) }},
		{`is NaN kWh`, func(m *Move) { m.Windows[0].HeatKWh = math.NaN() }},
	} {
		p := twoBatches()
		f.spoil(&p.Moves[0])
		if err := p.Check(); err == nil || !strings.Contains(err.Error(), f.says) {
			t.Errorf("error %v; want one that says %q", err, f.says)
		}
	}
	p := twoBatches()
	p.Moves = append(p.Moves, p.Moves[0])
	if err := p.Check(); err == nil || err.Error() != `move "bath": the name is used twice` {
		t.Errorf("error %v", err)
	}
	p = twoBatches()
	p.Moves[0].Windows[0].HeatKWh = 30 * (1 + 1e-12)
	if err := p.Check(); err != nil {
		t.Errorf("heat that passes what fits by rounding: %v", err)
	}
}

// Other solvers get the same cost from the exported program; JSON gives the same problem back.
func TestMovesExported(t *testing.T) {
	problems := map[string]Problem{"by hand": twoBatches(), "fortnight": daily(plantYear{14, 24, 9}.problem(), 6, 12, 1)}
	for i := range 6 {
		rng := rand.New(rand.NewPCG(78, uint64(i)))
		problems[fmt.Sprintf("random %d", i)] = withMoves(randomProblem(rng), rng, true)
	}
	for name, p := range problems {
		var b bytes.Buffer
		if err := WriteJSON(&b, p); err != nil {
			t.Fatal(err)
		}
		q, err := ReadJSON(&b)
		if err != nil || !reflect.DeepEqual(p.Moves, q.Moves) {
			t.Errorf("%s: moves %+v became %+v: %v", name, p.Moves, q.Moves, err)
		}
		if !haveClp {
			continue
		}
		file := writeMPS(t, p)
		want := plan(t, p).Cost
		tol := 1e-6 * math.Max(1, math.Abs(want))
		t.Run(name+"/glpsol", func(t *testing.T) {
			got := solveElsewhere(t, "glpsol", file, []string{"--freemps", file, "-o", file + ".txt"}, regexp.MustCompile(`Objective:\s+\S+ = (\S+)`))
			closeTo(t, "glpsol", got, want, tol)
		})
		t.Run(name+"/clp", func(t *testing.T) {
			got := solveElsewhere(t, "clp", file, []string{file, "-solve"}, regexp.MustCompile(`Optimal objective (\S+) `))
			closeTo(t, "clp", got, want, tol)
		})
	}
	var b bytes.Buffer
	p := twoBatches()
	p.Moves[0].LeastKW = flat(6, 3)
	if err := WriteMPS(&b, p); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"\n E window_bath_0204T0900\n", "\n move_bath_0204T1000 window_bath_0204T0900 1\n", "\n move_bath_0204T1000 header_main_0204T1000 -1\n",
		"\n rhs window_bath_0204T0900 12\n", "\n UP bound move_bath_0204T1000 6\n", "\n LO bound move_bath_0204T1000 3\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no line %q in\n%s", want, b.String())
		}
	}
}
