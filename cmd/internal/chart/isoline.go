package chart

// Lines of equal value over a grid of values, by marching squares.
//
// The grid is thought to be rimmed by nodes of no value, at the same places as its outermost nodes, so
// that the border of "at or above the level" always closes: its loops, with the inside at their left,
// can be filled, and what of them runs along the rim is known and left out of the lines.

// relief is values[i][j] at (xs[j], ys[i]), both rising.
type relief struct {
	xs, ys []float64
	values [][]float64
}

// spot is a place in the figure's own quantities.
type spot struct{ x, y float64 }

// isoline is one closed loop; onRim[i] says that the piece from place i to the next lies on the rim.
type isoline struct {
	spots []spot
	onRim []bool
}

// edge names the line between two neighbouring nodes: from node (row, col) rightward, or upward.
type edge struct {
	row, col int
	up       bool
}

type hop struct {
	to    edge
	onRim bool
}

// at is the value of a node; none outside.
func (r relief) at(row, col int) (v float64, ok bool) {
	if row < 0 || col < 0 || row >= len(r.ys) || col >= len(r.xs) {
		return 0, false
	}
	return r.values[row][col], true
}

func (r relief) inside(row, col int, level float64) bool {
	v, ok := r.at(row, col)
	return ok && v >= level
}

// place is that of a node; a node of the rim has its neighbour's.
func (r relief) place(row, col int) spot {
	return spot{r.xs[min(max(col, 0), len(r.xs)-1)], r.ys[min(max(row, 0), len(r.ys)-1)]}
}

// crossing is where the level lies on an edge, by a straight line between its nodes.
func (r relief) crossing(e edge, level float64) spot {
	row, col := e.row, e.col
	if e.up {
		row++
	} else {
		col++
	}
	a, okA := r.at(e.row, e.col)
	b, okB := r.at(row, col)
	p, q := r.place(e.row, e.col), r.place(row, col)
	if !okA || !okB {
		return p // both stand at one place
	}
	share := (level - a) / (b - a)
	return spot{p.x + share*(q.x-p.x), p.y + share*(q.y-p.y)}
}

// loops are the borders of all places at or above the level.
func (r relief) loops(level float64) []isoline {
	next := map[edge]hop{}
	var starts []edge // in a fixed order: equal figures give equal bytes
	for row := -1; row < len(r.ys); row++ {
		for col := -1; col < len(r.xs); col++ {
			onRim := row < 0 || col < 0 || row == len(r.ys)-1 || col == len(r.xs)-1
			r.cross(row, col, level, func(from, to edge) {
				next[from] = hop{to, onRim}
				starts = append(starts, from)
			})
		}
	}
	var all []isoline
	for _, start := range starts {
		var loop isoline
		for at := start; ; {
			h, ok := next[at]
			if !ok {
				break
			}
			delete(next, at)
			loop.spots = append(loop.spots, r.crossing(at, level))
			loop.onRim = append(loop.onRim, h.onRim)
			at = h.to
		}
		if loop.spots != nil {
			all = append(all, loop)
		}
	}
	return all
}

// cross adds the pieces of the border in the cell whose lower left node is (row, col): from the edge by
// which a walk round the cell, against the clock, leaves the inside to the one by which it enters it.
// Where that happens twice, the middle of the four values says which two corners hang together.
func (r relief) cross(row, col int, level float64, add func(from, to edge)) {
	corners := [4][2]int{{row, col}, {row, col + 1}, {row + 1, col + 1}, {row + 1, col}}
	edges := [4]edge{{row, col, false}, {row, col + 1, true}, {row + 1, col, false}, {row, col, true}}
	var in [4]bool
	for i, c := range corners {
		in[i] = r.inside(c[0], c[1], level)
	}
	var leaves, enters []int
	for i := range 4 {
		switch j := (i + 1) % 4; {
		case in[i] && !in[j]:
			leaves = append(leaves, i)
		case !in[i] && in[j]:
			enters = append(enters, i)
		}
	}
	switch {
	case len(leaves) == 1:
		add(edges[leaves[0]], edges[enters[0]])
	case len(leaves) == 2:
		turn := 3 // each inside corner stands alone
		if r.middle(row, col) >= level {
			turn = 1 // they hang together; each outside corner is cut off
		}
		for _, i := range leaves {
			add(edges[i], edges[(i+turn)%4])
		}
	}
}

// middle of a cell inside the grid: only there can the border cross all four edges.
func (r relief) middle(row, col int) float64 {
	v := r.values
	return (v[row][col] + v[row][col+1] + v[row+1][col] + v[row+1][col+1]) / 4
}

// open cuts the loop into the lines that do not lie on the rim.
func (l isoline) open() [][]spot {
	n := len(l.spots)
	first := 0 // begin after a piece on the rim, if there is one
	for i, rim := range l.onRim {
		if rim {
			first = i + 1
			break
		}
	}
	var lines [][]spot
	var line []spot
	for k := range n {
		i := (first + k) % n
		if l.onRim[i] {
			if len(line) > 0 {
				lines = append(lines, append(line, l.spots[i]))
				line = nil
			}
			continue
		}
		line = append(line, l.spots[i])
	}
	if len(line) > 0 {
		lines = append(lines, append(line, l.spots[(first+n)%n]))
	}
	return lines
}
