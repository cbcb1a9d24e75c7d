package optimize

import (
	"context"
	"errors"
	"math"
	"testing"
)

func TestProofNamesTheMoveThatBreaks(t *testing.T) {
	t.Parallel()
	p := twoBatches()
	p.Moves[0].Windows[0].HeatKWh, p.Moves[0].Windows[1].HeatKWh = 6, 6
	p.Moves[0].LeastKW = flat(6, 2)
	w := newWork(p)
	for _, tt := range []struct {
		moved  []float64
		worst  string
		wantKW float64
	}{
		{[]float64{2, 2, 2, 2, 2, 2}, "", 0},
		{[]float64{2, 2, 2, 2, 5, 2}, `window of move "bath", 4 Feb 09:00`, 3},
		{[]float64{5, 2, -1, 2, 2, 2}, `least of move "bath", 4 Feb 08:00`, 3},
		{[]float64{2, math.NaN(), 2, 2, 2, 2}, `header "main", 4 Feb 07:00`, math.NaN()},
	} {
		s := newSchedule(&p)
		copy(s.MovedKW[0], tt.moved)
		copy(s.UnmetKW[0], tt.moved)
		c := checker{work: w, s: s}
		c.moves()
		if math.IsNaN(tt.wantKW) {
			c = checker{work: w, s: s}
			c.all()
		}
		if c.where != tt.worst || !(math.Abs(c.worst-tt.wantKW) < 1e-12 || math.IsNaN(c.worst) && math.IsNaN(tt.wantKW)) {
			t.Errorf("%v: %q is off by %g kW; want %q by %g", tt.moved, c.where, c.worst, tt.worst, tt.wantKW)
		}
	}
}

// A spoilt answer with moves does not pass.
func TestProofRefusesSpoiltMoves(t *testing.T) {
	t.Parallel()
	p := daily(plantYear{5, 24, 3}.problem(), 6, 12, 1)
	needsClp(t, p)
	for name, spoil := range map[string]func(*Schedule, *prices){
		"work moved out of its window": func(s *Schedule, _ *prices) { s.MovedKW[0][2]++; s.PieceKW[0][0][2]++ },
		"work left undone":             func(s *Schedule, _ *prices) { s.MovedKW[0][12] -= 0.01; s.PieceKW[0][0][12] -= 0.01 },
		"a window's price wrong":       func(_ *Schedule, q *prices) { q.window[0][2] += 0.05 },
		"a window's price of 0":        func(_ *Schedule, q *prices) { clear(q.window[0]) },
	} {
		eng, _, _, err := choose(p, "")
		if err != nil {
			t.Fatal(err)
		}
		s, q, err := eng.solve(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		spoil(s, q)
		w := newWork(p)
		s.finish(w, q)
		q.tidy(w)
		var e *Unproven
		if proof, err := prove(w, s, q); !errors.As(err, &e) {
			t.Errorf("%s: passes with %+v", name, proof)
		}
		eng.close()
	}
}
