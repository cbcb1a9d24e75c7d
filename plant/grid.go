package plant

import "math"

// Grid is a field's collectors on two axes, each turned to the sun about the middle of its round aperture, on level ground:
// rows from east to west, one row behind the other to the north. They shade each other when the sun is low.
type Grid struct {
	EastM, NorthM float64 // from place to place in a row, and from row to row
	Staggered     bool    // every other row stands half a place to the east
	Shorter       bool    // and has one place less: what fits between two straight fences
	Columns       int     // places in a row
	Count         int     // collectors, which fill row after row from the south-west
	DiameterM     float64 // of the aperture
}

// Rows is the number of rows that the collectors take.
func (g Grid) Rows() int {
	if g.Columns < 1 || g.Count < 1 {
		return 0
	}
	_, row := g.at(g.Count - 1)
	return row + 1
}

// short is how many places every other row has less.
func (g *Grid) short() int {
	if g.Staggered && g.Shorter && g.Columns > 1 {
		return 1
	}
	return 0
}

// before is the number of places in the rows before one.
func (g *Grid) before(row int) int { return row*g.Columns - row/2*g.short() }

// at is the place of collector i.
func (g *Grid) at(i int) (column, row int) {
	pair := 2*g.Columns - g.short()
	column, row = i%pair, i/pair*2
	if column >= g.Columns {
		return column - g.Columns, row + 1
	}
	return column, row
}

// ClosestM is the smallest distance between two places.
func (g Grid) ClosestM() float64 {
	next := math.Hypot(g.half(), g.NorthM)
	return min(g.EastM, next, 2*g.NorthM)
}

// half is how far to the east every other row stands.
func (g *Grid) half() float64 {
	if g.Staggered {
		return g.EastM / 2
	}
	return 0
}

// mostDishes on a grid. The work of a step grows with them.
const mostDishes = 20000

// Check returns everything that is wrong with a grid of such a collector.
func (g Grid) Check(c Collector) error {
	f := newFaults("grid", "")
	g.check(&f, &c)
	return f.err()
}

func (g *Grid) check(f *faults, c *Collector) {
	f.require(c.Tracking == TwoAxis, "grid", "is given for a %v collector; want rows for it", c.Tracking)
	f.require(g.Count >= 0 && g.Count <= mostDishes, "count", "is %d; want 0 to %d", g.Count, mostDishes)
	f.require(g.Columns >= 1 && g.Columns <= mostDishes, "columns", "are %d; want 1 to %d", g.Columns, mostDishes)
	f.require(g.DiameterM > 0 && g.DiameterM < math.Inf(1), "diameter", "is %g m; want more than 0", g.DiameterM)
	f.require(g.EastM > 0 && g.EastM < math.Inf(1), "east", "is %g m; want more than 0", g.EastM)
	f.require(g.NorthM > 0 && g.NorthM < math.Inf(1), "north", "is %g m; want more than 0", g.NorthM)
	f.require(!(g.ClosestM() < g.DiameterM), "spacing", "leaves %.4g m between the middles of neighbours; want at least the diameter of %.4g m, or they touch",
		g.ClosestM(), g.DiameterM)
}

// place is the middle of collector i, metres to the east and north of the first.
func (g *Grid) place(i int) (east, north float64) {
	column, row := g.at(i)
	return float64(column)*g.EastM + float64(row&1)*g.half(), float64(row) * g.NorthM
}

// Shaded is the share of the beam on the field's apertures that other collectors take, mean over them, with the sun at
// the given true zenith angle and azimuth. It is exact for round apertures: see silhouette.
func (g Grid) Shaded(zenithDeg, azimuthDeg float64) float64 {
	return newSilhouette(g).shaded(rayTo(zenithDeg, azimuthDeg))
}
