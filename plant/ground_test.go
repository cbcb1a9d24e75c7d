package plant

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestGroundDishes(t *testing.T) {
	const src = "counted on paper"
	for _, row := range []struct {
		ground      Ground
		grid        Grid
		count, cols int
		shorter     bool
	}{
		// Middles have 60 - 4 - 10 = 46 m by 45 - 4 - 10 = 31 m: 0, 18, 36 by 0, 15, 30.
		{Ground{60, 45, 2}, Grid{EastM: 18, NorthM: 15, DiameterM: 10}, 9, 3, false},
		// Set over by 9 m: 9, 27, 45 fit as well.
		{Ground{60, 45, 2}, Grid{EastM: 18, NorthM: 15, DiameterM: 10, Staggered: true}, 9, 3, false},
		// 36 m by 30 m exactly; the row set over has 9 and 27 alone.
		{Ground{50, 44, 2}, Grid{EastM: 18, NorthM: 15, DiameterM: 10, Staggered: true}, 8, 3, true},
		{Ground{50, 44, 2}, Grid{EastM: 18, NorthM: 15, DiameterM: 10}, 9, 3, false},
		{Ground{14, 14, 2}, Grid{EastM: 18, NorthM: 15, DiameterM: 10}, 1, 1, false},
		{Ground{13.9, 14, 2}, Grid{EastM: 18, NorthM: 15, DiameterM: 10}, 0, 1, false},
		// A column alone, where a row set over has no place: every other row.
		{Ground{15, 45, 2}, Grid{EastM: 18, NorthM: 15, DiameterM: 10, Staggered: true}, 2, 1, false},
	} {
		g := row.ground.Dishes(row.grid)
		if g.Count != row.count || g.Columns != row.cols || g.Shorter != row.shorter {
			t.Errorf("%+v on %+v: %d in columns of %d, shorter %v; want %d, %d, %v (%s)", row.grid, row.ground, g.Count, g.Columns, g.Shorter,
				row.count, row.cols, row.shorter, src)
		}
	}
}

// Each dish of a full ground stands inside, none nearer to another than it may, and a further row or column has no room.
func TestGroundHoldsWhatItSays(t *testing.T) {
	rnd := rand.New(rand.NewPCG(51, 1))
	for range 500 {
		ground := Ground{EastM: 20 + 100*rnd.Float64(), NorthM: 20 + 100*rnd.Float64(), BorderM: 3 * rnd.Float64()}
		grid := Grid{DiameterM: 4 + 8*rnd.Float64(), Staggered: rnd.IntN(2) == 0}
		grid.EastM, grid.NorthM = grid.DiameterM*(1.1+rnd.Float64()), grid.DiameterM*(1.1+rnd.Float64())
		full := ground.Dishes(grid)
		if full.Count == 0 {
			continue
		}
		wide, deep := 0., 0.
		for i := range full.Count {
			e, n := full.place(i)
			wide, deep = max(wide, e), max(deep, n)
			for j := range i {
				e2, n2 := full.place(j)
				if d := math.Hypot(e-e2, n-n2); d < full.ClosestM()-1e-9 {
					t.Fatalf("%+v: %d and %d stand %g m apart; want %g", full, i, j, d, full.ClosestM())
				}
			}
		}
		freeE, freeN := ground.EastM-2*ground.BorderM-grid.DiameterM, ground.NorthM-2*ground.BorderM-grid.DiameterM
		if wide > freeE+1e-6 || deep > freeN+1e-6 {
			t.Fatalf("%+v on %+v: %g by %g m; want %g by %g at most", full, ground, wide, deep, freeE, freeN)
		}
		if deep+full.NorthM <= freeN || wide+full.EastM <= freeE {
			t.Fatalf("%+v on %+v leaves room for a further row or column", full, ground)
		}
		if err := full.Check(Collector{Tracking: TwoAxis}); err != nil && full.Count <= mostDishes && full.ClosestM() >= full.DiameterM {
			t.Fatal(err)
		}
	}
}

func TestGroundRows(t *testing.T) {
	const src = "counted on paper"
	for _, row := range []struct {
		what        string
		ground      Ground
		c           Collector
		r           Rows
		length, gap float64
		rows, inRow int
	}{
		// 60 - 4 - 5 = 51 m across, 0 15 30 45; 45 - 4 = 41 m along, 3 of 12 m with 2 gaps are 38.
		{"north-south axis", Ground{60, 45, 2}, Collector{Tracking: AxisNorthSouth}, Rows{SpacingM: 15, WidthM: 5}, 12, 1, 4, 3},
		{"east-west axis", Ground{60, 45, 2}, Collector{Tracking: AxisEastWest}, Rows{SpacingM: 15, WidthM: 5}, 12, 1, 3, 4},
		// Slant 4 m at 60° covers 2 m: 45 - 4 - 2 = 39 m, 0 5 .. 35.
		{"fixed to the south", Ground{60, 45, 2}, Collector{Tracking: Fixed, SlopeDeg: 60, AzimuthDeg: 180}, Rows{SpacingM: 5, WidthM: 4}, 2, 0, 8, 28},
		{"fixed to the west", Ground{60, 45, 2}, Collector{Tracking: Fixed, SlopeDeg: 60, AzimuthDeg: 260}, Rows{SpacingM: 5, WidthM: 4}, 2, 0, 11, 20},
		{"too long", Ground{60, 45, 2}, Collector{Tracking: AxisNorthSouth}, Rows{SpacingM: 15, WidthM: 5}, 42, 0, 0, 0},
	} {
		rows, inRow := row.ground.Rows(row.c, row.r, row.length, row.gap)
		if rows != row.rows || inRow != row.inRow {
			t.Errorf("%s: %d rows of %d; want %d of %d (%s)", row.what, rows, inRow, row.rows, row.inRow, src)
		}
	}
}

func TestGroundFaults(t *testing.T) {
	for _, row := range []struct {
		g    Ground
		want string
	}{
		{Ground{0, 5, 0}, "ground: width: is 0 m; want more than 0, up to 100000 m"},
		{Ground{5, math.NaN(), 0}, "ground: depth: is NaN m"},
		{Ground{5, 5, -1}, "ground: border: is -1 m; want 0 or more"},
	} {
		if err := row.g.Check(); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
}
