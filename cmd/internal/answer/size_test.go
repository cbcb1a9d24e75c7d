package answer

import (
	"math"
	"testing"
)

func TestRoundAxis(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		end    float64
		whole  bool
		second float64
		n      int
		src    string
	}{
		{120, false, 5, 25, "120 is 24 fives"},
		{80, false, 2.5, 33, "3 does not divide 80; 2.5 does"},
		{60, true, 2, 31, "2.5 is not whole"},
		{60, false, 2.5, 25, "60 is 24 times 2.5"},
		{28, true, 1, 29, "no smaller whole step"},
		{360, true, 15, 25, "360 is 24 times 15"},
		{6, false, 0.25, 25, "6 is 24 quarters"},
		{0.3, false, 0.012, 26, "0.3 is 25 times 0.012"},
		{73, false, 3, 26, "nothing round divides 73 into 24 to 60: the last step is 1"},
		{146, true, 6, 26, "nothing whole and round divides 146: the last step is 2"},
		{1e5, false, 4000, 26, "25 times 4000"},
	} {
		axis := roundAxis(tt.end, tt.whole)
		if axis[0] != 0 || axis[1] != tt.second || len(axis) != tt.n || axis[len(axis)-1] != tt.end {
			t.Errorf("to %g: %d values, 0 to %g, second %g; want %d, second %g (%s)", tt.end, len(axis), axis[len(axis)-1], axis[1], tt.n, tt.second, tt.src)
		}
	}
	for end := 0.01; end < 1e5; end *= 1.0137 {
		for _, whole := range []bool{false, true} {
			if whole && end < leastSpans {
				continue
			}
			axis := roundAxis(end, whole)
			if n := len(axis) - 1; n < leastSpans || n > mostSpans {
				t.Errorf("to %g, whole %t: %d steps; want %d to %d", end, whole, n, leastSpans, mostSpans)
			}
			for i, x := range axis {
				if i > 0 && x <= axis[i-1] || whole && i < len(axis)-1 && x != math.Trunc(x) {
					t.Errorf("to %g, whole %t: %g follows %g", end, whole, x, axis[i-1])
				}
			}
		}
	}
}

func TestLevelStep(t *testing.T) {
	t.Parallel()
	for most := 0.003; most < 1e9; most *= 1.31 {
		if n := math.Floor(most / LevelStep(most)); n < fewestLevels || n > 2*fewestLevels {
			t.Errorf("up to %g in steps of %g: %g levels; want %d to %d", most, LevelStep(most), n, fewestLevels, 2*fewestLevels)
		}
	}
}

// A map whose best is inside, with a tie: the smaller plant stands, and levels pick the least cells.
func TestPicksOfAMap(t *testing.T) {
	t.Parallel()
	m := SizeMap{Counts: []float64{0, 1, 2}, VolumesM3: []float64{0, 10, 20}, BoilersOnlyCost: 1000,
		SavingsVsBoilersOnly: [][]float64{{0, -1, -2}, {50, 80, 80}, {60, 79, 70}}, SavingsVsNoStorage: [][]float64{{0, -1, -2}, {0, 30, 30}, {0, 19, 10}}}
	m.pick()
	if (m.Best != Cell{1, 10, 80, 30}) {
		t.Errorf("best is %+v; want 1 and 10 m³, the smaller of two that save 80", m.Best)
	}
	for i, want := range []float64{0, 10, 10} {
		if m.Frontier[i].VolumeM3 != want {
			t.Errorf("frontier at %g: %g m³; want %g", m.Counts[i], m.Frontier[i].VolumeM3, want)
		}
	}
	if len(m.BestAtEdge) != 0 || m.LevelStep != 10 || len(m.Levels) != 8 {
		t.Fatalf("edge %v, levels of %g, %d of them; want none, 10, 8", m.BestAtEdge, m.LevelStep, len(m.Levels))
	}
	if l := m.Levels[5]; l.Savings != 60 || l.Fewest.Count != 1 || l.Fewest.VolumeM3 != 10 || l.Smallest.VolumeM3 != 0 || l.Smallest.Count != 2 {
		t.Errorf("60 is reached by %+v; want 1 with 10 m³, or 0 m³ with 2", l)
	}
	m = SizeMap{Counts: []float64{0, 1}, VolumesM3: []float64{0, 1}, BoilersOnlyCost: 1000,
		SavingsVsBoilersOnly: [][]float64{{0, -1}, {-5, -6}}, SavingsVsNoStorage: [][]float64{{0, -1}, {0, -1}}}
	m.pick()
	if (m.Best != Cell{}) || len(m.Levels) != 0 || m.Levels == nil || m.BestAtEdge == nil {
		t.Errorf("where nothing saves: best %+v, levels %v, edge %v; want none of all", m.Best, m.Levels, m.BestAtEdge)
	}
}

// A curve of straight pieces whose numbers can be read off by hand.
func TestSizeOfStoreFromACurve(t *testing.T) {
	t.Parallel()
	a := Answer{CertifiedGap: 0.001}
	for _, p := range [][3]float64{{0, 0, 110}, {10, 100, 160}, {20, 150, 201}, {30, 200, 204}, {40, 190, 190}} {
		a.Points = append(a.Points, Point{VolumeM3: p[0], SavingsVsNoStorage: p[1], SavingsVsBoilersOnly: 1000 + p[1], UpperBound: p[2]})
	}
	s := sizeOf(a)
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %g; want %g", what, got, want)
		}
	}
	near("best", s.Best.VolumeM3, 30)
	near("saves", s.Best.Savings, 1200)
	near("half of 200", s.HalfM3, 10)
	near("nine tenths of 200 is 180", s.NineTenthsM3, 26)
	near("198 is reached", s.Within1.FromM3, 29.6)
	near("and left", s.Within1.ToM3, 32)
	near("no volume saves more", s.UpperBound, 204)
	if s.BestAtEdge {
		t.Error("the best is not at the edge")
	}
	a.Points = a.Points[:4]
	if s = sizeOf(a); !s.BestAtEdge || s.Within1.ToM3 != 30 {
		t.Errorf("at the edge: %t, within 1 %% to %g; want true, 30", s.BestAtEdge, s.Within1.ToM3)
	}
	for i := range a.Points {
		a.Points[i].SavingsVsNoStorage *= -1
	}
	if s = sizeOf(a); s.Best.VolumeM3 != 0 || s.HalfM3 != 0 || s.BestAtEdge {
		t.Errorf("where a store only loses: %+v", s)
	}
}
