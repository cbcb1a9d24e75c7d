package answer

import (
	"math"
	"slices"
	"testing"
)

func TestStretches(t *testing.T) {
	t.Parallel()
	in := func(hours ...int) func(int) bool { return func(h int) bool { return slices.Contains(hours, h) } }
	for _, tt := range []struct {
		name string
		is   func(int) bool
		want []stretch
	}{
		{"none", in(), nil},
		{"all", func(int) bool { return true }, []stretch{{0, 24}}},
		{"two", in(9, 10, 11, 15), []stretch{{9, 12}, {15, 16}}},
		{"over midnight", in(22, 23, 0, 1, 2), []stretch{{22, 27}}},
		{"from midnight", in(0, 1), []stretch{{0, 2}}},
		{"to midnight", in(23), []stretch{{23, 24}}},
		{"all but noon", func(h int) bool { return h != 12 }, []stretch{{13, 36}}},
	} {
		if got := stretches(tt.is); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v (by hand)", tt.name, got, tt.want)
		}
	}
}

// evenings is a table in which a dear evening, 17:00 to 21:00, makes heat held back from noon on, in
// May to July alike and in August an hour longer.
func evenings() *Guide {
	g := &Guide{FullKWh: 1000}
	for m := range g.Hours {
		for h := range g.Hours[m] {
			g.Hours[m][h].BoilerPrice = 0.05
			if h >= 17 && h < 21 {
				g.Hours[m][h].BoilerPrice = 0.09
			}
			if from := map[int]int{4: 12, 5: 12, 6: 12, 7: 11}[m]; from > 0 && h >= from && h < 17 {
				g.Hours[m][h].HoldKWh, g.Hours[m][h].HoldFrac = 400, 0.4
			}
		}
	}
	return g
}

func asIs(frac float64) Gauge { return Gauge{Frac: frac} }

func TestAdvice(t *testing.T) {
	t.Parallel()
	g := evenings()
	list := g.advise(asIs)
	if len(list) != 1 {
		t.Fatalf("%d pieces of advice %+v; want one: the months differ by an hour", len(list), list)
	}
	a := list[0]
	if a.FromMonth != 4 || a.ToMonth != 7 || a.FromH != 12 || a.ToH != 17 || math.Abs(a.HoldKWh-400) > 1e-9 || math.Abs(a.Hold.Frac-0.4) > 1e-12 {
		t.Errorf("advice %+v; want 400 kWh from 12:00 to 17:00, May to August (by hand)", a)
	}
	if l := a.Later; l == nil || l.Short || l.FromH != 17 || l.ToH != 21 || math.Abs(l.BoilerPrice-0.09) > 1e-12 {
		t.Errorf("later %+v; want 0.09 from 17:00 to 21:00 (by hand)", l)
	}

	for h := 18; h < 20; h++ {
		for m := range g.Hours {
			g.Hours[m][h].ShortFrac = 0.2
		}
	}
	if l := g.advise(asIs)[0].Later; l == nil || !l.Short || l.FromH != 18 || l.ToH != 20 {
		t.Errorf("later %+v; want boilers that fall short from 18:00 to 20:00, which counts before any price", l)
	}

	g = evenings()
	for h := 11; h < 17; h++ { // August holds twice as much: that is told apart
		g.Hours[7][h].HoldKWh, g.Hours[7][h].HoldFrac = 800, 0.8
	}
	if list := g.advise(asIs); len(list) != 2 || list[1].FromMonth != 7 || list[1].FromH != 11 || math.Abs(list[1].HoldKWh-800) > 1e-9 {
		t.Errorf("advice %+v; want August on its own", list)
	}

	g = evenings()
	for m := range g.Hours {
		for h := range g.Hours[m] {
			g.Hours[m][h].BoilerPrice = 0.05
		}
	}
	if l := g.advise(asIs)[0].Later; l != nil {
		t.Errorf("later %+v; want none where no hour of the day is dearer", l)
	}
}

// A night's stretch is one, and the dear morning after it is why.
func TestAdviceOverMidnight(t *testing.T) {
	t.Parallel()
	g := &Guide{FullKWh: 1000}
	for m := range g.Hours {
		for h := range g.Hours[m] {
			c := &g.Hours[m][h]
			c.BoilerPrice = 0.05
			switch {
			case h >= 22 || h < 6:
				c.HoldKWh, c.HoldFrac = 700, 0.7
			case h < 9:
				c.BoilerPrice = 0.08
			}
		}
	}
	list := g.advise(asIs)
	if len(list) != 1 || list[0].FromMonth != 0 || list[0].ToMonth != 11 || list[0].FromH != 22 || list[0].ToH != 6 {
		t.Fatalf("advice %+v; want 22:00 to 6:00 all year", list)
	}
	if l := list[0].Later; l == nil || l.FromH != 6 || l.ToH != 9 {
		t.Errorf("later %+v; want 6:00 to 9:00", l)
	}
}
