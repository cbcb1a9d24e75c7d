package plant

import "math"

// Ground is a level rectangle of yard or roof with its sides to the points of the compass.
type Ground struct {
	EastM, NorthM float64 // its sides
	BorderM       float64 // kept free along all sides
}

// Check returns everything that is wrong with the ground.
func (g Ground) Check() error {
	f := newFaults("ground", "")
	f.require(g.EastM > 0 && g.EastM <= mostGroundM, "width", "is %g m; want more than 0, up to %g m", g.EastM, mostGroundM)
	f.require(g.NorthM > 0 && g.NorthM <= mostGroundM, "depth", "is %g m; want more than 0, up to %g m", g.NorthM, mostGroundM)
	f.require(g.BorderM >= 0 && g.BorderM < math.Inf(1), "border", "is %g m; want 0 or more", g.BorderM)
	return f.err()
}

// mostGroundM is a side so long that nobody asks how many collectors fit.
const mostGroundM = 1e5

// AreaM2 is the whole ground, border and all.
func (g Ground) AreaM2() float64 { return g.EastM * g.NorthM }

// Dishes fills the ground with collectors on a grid's spacing and gives that grid: the whole circle of each stays inside the
// border. Of staggered rows, those set over have a place less where the ground has no room for it. The count is 0 when none
// fits. What the given grid says of columns and count has no say.
func (g Ground) Dishes(grid Grid) Grid {
	wide, deep := g.EastM-2*g.BorderM-grid.DiameterM, g.NorthM-2*g.BorderM-grid.DiameterM
	rows := steps(deep, grid.NorthM)
	grid.Columns, grid.Shorter = steps(wide, grid.EastM), false
	if grid.Columns == 0 || rows == 0 {
		grid.Columns, grid.Count = max(1, grid.Columns), 0
		return grid
	}
	if grid.Staggered {
		grid.Shorter = rows > 1 && steps(wide-grid.half(), grid.EastM) < grid.Columns
		if grid.Columns == 1 && grid.Shorter {
			rows = (rows + 1) / 2 // a row set over has no place at all, and the next stands two rows on
			grid.Staggered, grid.Shorter, grid.NorthM = false, false, 2*grid.NorthM
		}
	}
	grid.Count = grid.before(rows)
	return grid
}

// steps is how many things fit whose middles stand apart on a line of free length.
func steps(free, apart float64) int {
	if !(free >= 0) {
		return 0
	}
	// A place that fits to a rounding fits.
	return 1 + int(min(free/apart+1e-9, 1e9))
}

// Rows tells how many rows fit behind each other, and how many collectors of lengthM in each with gapM between them. Rows of
// a north-south axis run along the depth, those of an east-west axis along the width; rows of fixed collectors run along the
// side that is nearer to square to their azimuth.
func (g Ground) Rows(c Collector, r Rows, lengthM, gapM float64) (rows, inRow int) {
	across, along := g.across(c)
	foot := r.WidthM
	if c.Tracking == Fixed {
		foot *= math.Cos(radians(c.SlopeDeg))
	}
	rows = steps(across-2*g.BorderM-foot, r.SpacingM)
	inRow = steps(along-2*g.BorderM-lengthM, lengthM+gapM)
	if rows == 0 || inRow == 0 {
		return 0, 0
	}
	return rows, inRow
}

// across gives the sides across and along the rows.
func (g *Ground) across(c Collector) (across, along float64) {
	alongDepth := c.Tracking == AxisNorthSouth || c.Tracking == FresnelNorthSouth
	if c.Tracking == Fixed {
		alongDepth = math.Abs(math.Sin(radians(c.AzimuthDeg))) > math.Sqrt2/2
	}
	if alongDepth {
		return g.EastM, g.NorthM
	}
	return g.NorthM, g.EastM
}
