package plant

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// Two dishes with the sun beyond one: the area that two circles share.
func TestTwoDishes(t *testing.T) {
	const src = "shaded share (2/π)(acos x - x √(1 - x²)) of two circles x diameters apart, evaluated with numpy"
	for _, row := range []struct{ apart, want, tol float64 }{
		{0.5, 0.391002, 5e-7}, {1, 0, 1e-12}, {1.3, 0, 0}, {0.001, 0.998727, 5e-7},
	} {
		g := Grid{EastM: 12, NorthM: 1000, Columns: 2, Count: 2, DiameterM: 8}
		// 12 m apart on the ground are 12 sin(height) in the view of a sun in the east.
		height := math.Asin(row.apart * 8 / 12)
		if row.apart*8 > 12 {
			g.EastM, height = 8*row.apart, math.Pi/2
		}
		near(t, "two dishes", 2*g.Shaded(90-degrees(height), 90), row.want, row.tol, src)
		near(t, "sun in the west", 2*g.Shaded(90-degrees(height), 270), row.want, row.tol, src)
	}
}

// scanShade is the same share by another way: lines across the view, on each the union of the circles' chords; midpoints
// of even steps in the angle of each circle would favour one, so steps are even over the whole.
func scanShade(g Grid, s ray, lines int) float64 {
	v := viewFrom(s)
	r := g.DiameterM / 2
	type disc struct{ x, y float64 }
	var discs []disc
	lowest, highest := math.Inf(1), math.Inf(-1)
	for i := range g.Count {
		x, y := v.of(g.place(i))
		discs = append(discs, disc{x, y})
		lowest, highest = min(lowest, x-r), max(highest, x+r)
	}
	sum, all := 0., 0.
	for k := range lines {
		x := lowest + (highest-lowest)*(float64(k)+0.5)/float64(lines)
		var chords [][2]float64
		for _, d := range discs {
			if half := r*r - (x-d.x)*(x-d.x); half > 0 {
				half = math.Sqrt(half)
				chords = append(chords, [2]float64{d.y - half, d.y + half})
				all += 2 * half
			}
		}
		slices.SortFunc(chords, func(a, b [2]float64) int { return int(math.Copysign(1, a[0]-b[0])) })
		top := math.Inf(-1)
		for _, c := range chords {
			if c[1] > top {
				sum += c[1] - max(c[0], top)
				top = c[1]
			}
		}
	}
	return 1 - sum/all
}

func randomGrid(rnd *rand.Rand) Grid {
	g := Grid{DiameterM: 4 + 8*rnd.Float64(), Staggered: rnd.IntN(2) == 0, Shorter: rnd.IntN(2) == 0, Columns: 1 + rnd.IntN(7)}
	g.Count = 2 + rnd.IntN(6*g.Columns)
	g.EastM = g.DiameterM * (1.01 + rnd.Float64())
	g.NorthM = g.DiameterM * (1.01 + rnd.Float64())
	return g
}

// The exact sum over arcs against chords, over random grids and suns.
func TestGridAgainstChords(t *testing.T) {
	rnd := rand.New(rand.NewPCG(21, 1))
	worst, some := 0., 0
	for k := range 400 {
		g := randomGrid(rnd)
		z, a := 90-60*rnd.Float64()*rnd.Float64(), 360*rnd.Float64()
		switch k % 8 {
		case 0:
			a = float64(rnd.IntN(4)) * 90 // along rows and columns
		case 1:
			z = 89.9999
		}
		got := g.Shaded(z, a)
		want := scanShade(g, rayTo(z, a), 10000)
		if got > 1e-9 {
			some++
		}
		worst = max(worst, math.Abs(got-want))
		if near(t, "shaded", got, want, 3e-5, "chords on 10 000 lines"); t.Failed() {
			t.Fatalf("%+v, sun at %g°, %g°", g, z, a)
		}
	}
	if some < 200 {
		t.Errorf("%d of 400 random instants have shade; want enough of them", some)
	}
	t.Logf("%d instants with shade, worst difference %.2g", some, worst)
}

// Rays from random points of all dishes towards the sun, in three dimensions.
func TestGridAgainstRays(t *testing.T) {
	rnd := rand.New(rand.NewPCG(22, 1))
	const rays = 6000
	for range 100 {
		g := randomGrid(rnd)
		z, a := 89*math.Sqrt(rnd.Float64()), 360*rnd.Float64()
		s := rayTo(z, a)
		// Two directions across the aperture.
		side := ray{math.Cos(radians(a)), -math.Sin(radians(a)), 0}
		top := ray{-s.up * math.Sin(radians(a)), -s.up * math.Cos(radians(a)), math.Sin(radians(z))}
		hits := 0
		for range rays {
			i := rnd.IntN(g.Count)
			r, turn := g.DiameterM/2*math.Sqrt(rnd.Float64()), 2*math.Pi*rnd.Float64()
			u, w := r*math.Cos(turn), r*math.Sin(turn)
			east, north := g.place(i)
			p := ray{east + u*side.east + w*top.east, north + u*side.north + w*top.north, w * top.up}
			for j := range g.Count {
				e, n := g.place(j)
				way := (e-p.east)*s.east + (n-p.north)*s.north - p.up*s.up
				x := ray{p.east + way*s.east - e, p.north + way*s.north - n, p.up + way*s.up}
				if j != i && way > 1e-9 && x.dot(x) < g.DiameterM*g.DiameterM/4 {
					hits++
					break
				}
			}
		}
		got := g.Shaded(z, a)
		near(t, "shaded", got, float64(hits)/rays, 4.5*math.Sqrt(max(got*(1-got), 1e-3)/rays), "6000 random rays, 4.5 sigma")
	}
}

// Closer circles have no larger union (Kneser and Poulsen's conjecture, proved in the plane by Bezdek and Connelly 2002), so
// closer dishes never shade less.
func TestGridFartherShadesLess(t *testing.T) {
	rnd := rand.New(rand.NewPCG(23, 1))
	for range 500 {
		g := randomGrid(rnd)
		z, a := 89.9*math.Sqrt(rnd.Float64()), 360*rnd.Float64()
		last := g.Shaded(z, a)
		for _, more := range []float64{1.02, 1.1, 1.5, 3, 1e9} {
			wide := g
			wide.EastM, wide.NorthM = more*g.EastM, more*g.NorthM
			got := wide.Shaded(z, a)
			if got > last+1e-9 {
				t.Fatalf("%+v, sun at %g°, %g°: shade grows from %g to %g at %g times the spacing", g, z, a, last, got, more)
			}
			last = got
		}
		if last > 1e-9 {
			t.Fatalf("%+v: %g shaded a million kilometres apart", g, last)
		}
	}
}

func TestGridSymmetry(t *testing.T) {
	rnd := rand.New(rand.NewPCG(24, 1))
	for range 500 {
		g := randomGrid(rnd)
		g.Staggered = false
		g.Count = g.Columns * (1 + rnd.IntN(5))
		z, a := 89.9*math.Sqrt(rnd.Float64()), 360*rnd.Float64()
		want := g.Shaded(z, a)
		for _, other := range []float64{360 - a, 180 - a, 180 + a} {
			near(t, "shaded", g.Shaded(z, other), want, 1e-9, "mirror image of a full rectangle")
		}
	}
}

// Where the sun stands along a row, dish after dish is hidden: of a row of n the first alone is lit on the horizon.
func TestGridOnTheHorizon(t *testing.T) {
	const src = "by hand: one circle of n is seen"
	row := Grid{EastM: 12, NorthM: 12, Columns: 7, Count: 7, DiameterM: 10}
	near(t, "a row end on", row.Shaded(89.99999999999, 90), 6./7, 1e-9, src)
	near(t, "a row from the side", row.Shaded(89.99999999999, 180), 0, 0, "by hand: nothing stands before it")
	block := Grid{EastM: 12, NorthM: 12, Columns: 7, Count: 35, DiameterM: 10}
	near(t, "a block", block.Shaded(89.99999999999, 90), 6./7, 1e-9, src)
	near(t, "a block from the south", block.Shaded(89.99999999999, 180), 4./5, 1e-9, src)
	near(t, "sun overhead", block.Shaded(0, 0), 0, 0, "nothing over it")
	near(t, "sun down", block.Shaded(91, 90), 0, 0, "no beam")
	near(t, "one dish", Grid{EastM: 12, NorthM: 12, Columns: 7, Count: 1, DiameterM: 10}.Shaded(89, 90), 0, 0, "alone")
}

func TestGridFaults(t *testing.T) {
	good := Grid{EastM: 18, NorthM: 15, Columns: 6, Count: 24, DiameterM: 10.7}
	if err := good.Check(Collector{Tracking: TwoAxis}); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		change func(*Grid)
		want   string
	}{
		{func(g *Grid) { g.NorthM = 10 }, "grid: spacing: leaves 10 m between the middles of neighbours; want at least the diameter of 10.7 m, or they touch"},
		{func(g *Grid) { g.Staggered, g.EastM, g.NorthM = true, 12, 8 }, "grid: spacing: leaves 10 m between"},
		{func(g *Grid) { g.Columns = 0 }, "grid: columns: are 0; want 1 to 20000"},
		{func(g *Grid) { g.Count = -1 }, "grid: count: is -1; want 0 to 20000"},
		{func(g *Grid) { g.DiameterM = math.NaN() }, "grid: diameter: is NaN m; want more than 0"},
		{func(g *Grid) { g.EastM = math.Inf(1) }, "grid: east: is +Inf m; want more than 0"},
	} {
		g := good
		row.change(&g)
		if err := g.Check(Collector{Tracking: TwoAxis}); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
	if err := good.Check(Collector{Tracking: Fixed}); err == nil || !strings.Contains(err.Error(), "grid: grid: is given for a fixed collector; want rows for it") {
		t.Errorf("a grid of fixed collectors gives %v", err)
	}
}
