package plant

import (
	"cmp"
	"math"
	"slices"
)

// silhouette works out what a grid's round apertures shade of each other. They all face the sun, so that seen from there each
// is the same circle, and a ray of beam that meets any of them is taken by the first that it meets: the lit area of the whole
// field is the area of the union of those circles, every dish and every edge counted. The area of a union of circles is a sum
// over the arcs of its outline (Green's theorem), each circle's arcs being what no other circle covers of it.
type silhouette struct {
	g      Grid
	near   []neighbour // scratch
	starts []cover     // scratch
}

// neighbour is another place as seen from any place of a row of one parity: so many columns and rows away.
type neighbour struct {
	columns [2]int // from a place of an even row, and of an odd one
	rows    int
	hides   bool // from the sun it is the same circle, and in front
}

// cover is a part of a circle's edge that a neighbour covers, as angles, with the sine and cosine of both ends.
type cover struct {
	from, to         float64
	sinFrom, cosFrom float64
	sinTo, cosTo     float64
	by               neighbour
}

func newSilhouette(g Grid) *silhouette { return &silhouette{g: g} }

// shaded is the share of the beam that falls on an aperture behind another, with the sun at s.
func (x *silhouette) shaded(s ray) float64 {
	if x.g.Count < 2 || s.up <= 0 {
		return 0
	}
	v := viewFrom(s)
	x.starts, x.near = x.starts[:0], x.near[:0]
	x.covers(v)
	if len(x.starts)+len(x.near) == 0 {
		return 0
	}
	slices.SortFunc(x.starts, func(a, b cover) int { return cmp.Compare(a.from, b.from) })
	area := 0.0
	for i := range x.g.Count {
		area += x.exposed(i, v)
	}
	r := x.g.DiameterM / 2
	return min(1, max(0, 1-area/(float64(x.g.Count)*math.Pi*r*r)))
}

// view is the plane square to the beam, with an axis level to the right and one up.
type view struct{ sinA, cosA, up float64 }

func viewFrom(s ray) view {
	level := math.Hypot(s.east, s.north)
	if level == 0 {
		return view{0, 1, s.up}
	}
	return view{s.east / level, s.north / level, s.up}
}

// of is where a point of the ground stands in the view.
func (v view) of(east, north float64) (right, up float64) {
	return east*v.cosA - north*v.sinA, (east*v.sinA + north*v.cosA) * v.up
}

// covers finds the neighbours whose circles cut a circle of a place, and what they cover of its edge.
func (x *silhouette) covers(v view) {
	g := &x.g
	rows := g.Rows()
	// Distance in the view of the offset (e, n): (e cosA - n sinA)² + up² (e sinA + n cosA)², least over e at n times this.
	k := v.up * v.up
	slope := v.sinA * v.cosA * (1 - k) / (v.cosA*v.cosA + k*v.sinA*v.sinA)
	for row := -(rows - 1); row < rows; row++ {
		north := float64(row) * g.NorthM
		shift := 0.0 // of that row against an even one
		if row&1 != 0 {
			shift = g.half()
		}
		widest := float64(g.Columns + 1)
		middle := int(max(-widest, min(widest, math.Round((slope*north-shift)/g.EastM))))
		for c := middle; c < g.Columns && x.cover(v, c, row, shift); c++ {
		}
		for c := middle - 1; c > -g.Columns-1 && x.cover(v, c, row, shift); c-- {
		}
	}
}

// sameShare of a diameter is how near two circles stand to be one.
const sameShare = 1e-9

// cover notes one offset; it tells whether circles so far apart cut each other.
func (x *silhouette) cover(v view, column, row int, shift float64) bool {
	if column == 0 && row == 0 {
		return true
	}
	east, north := float64(column)*x.g.EastM+shift, float64(row)*x.g.NorthM
	right, up := v.of(east, north)
	apart := math.Hypot(right, up) / x.g.DiameterM
	if !(apart < 1) {
		return false
	}
	n := neighbour{columns: [2]int{column, column}, rows: row}
	if shift != 0 {
		n.columns[1]++ // an odd row stands to the east itself
	}
	if apart < sameShare {
		n.hides = east*v.sinA+north*v.cosA > 0
		x.near = append(x.near, n)
		return true
	}
	turn, half := math.Atan2(up, right), math.Acos(apart)
	x.add(turn-half, turn+half, n)
	return true
}

// add notes a covered arc, in two where it passes the half turn.
func (x *silhouette) add(from, to float64, n neighbour) {
	switch {
	case from < -math.Pi:
		x.arc(from+2*math.Pi, math.Pi, n)
		from = -math.Pi
	case to > math.Pi:
		x.arc(-math.Pi, to-2*math.Pi, n)
		to = math.Pi
	}
	x.arc(from, to, n)
}

func (x *silhouette) arc(from, to float64, n neighbour) {
	c := cover{from: from, to: to, by: n}
	c.sinFrom, c.cosFrom = math.Sincos(from)
	c.sinTo, c.cosTo = math.Sincos(to)
	x.starts = append(x.starts, c)
}

// has tells whether the neighbour of place i is there.
func (x *silhouette) has(column, row int, n *neighbour) bool {
	column += n.columns[row&1]
	row += n.rows
	return column >= 0 && row >= 0 && column < x.g.Columns-row&1*x.g.short() && x.g.before(row)+column < x.g.Count
}

// exposed is what the uncovered arcs of place i add to the area.
func (x *silhouette) exposed(i int, v view) float64 {
	column, row := x.g.at(i)
	for k := range x.near {
		if x.near[k].hides && x.has(column, row, &x.near[k]) {
			return 0
		}
	}
	// Half the integral of x dy - y dx over the arcs: of a circle of radius r about (a, b) from one angle to the next,
	// r/2 (r Δ + a Δsin - b Δcos).
	at, sin, cos := -math.Pi, 0., -1.
	var turn, sines, cosines float64
	for k := range x.starts {
		c := &x.starts[k]
		if c.to <= at || !x.has(column, row, &c.by) {
			continue
		}
		if c.from > at {
			turn += c.from - at
			sines += c.sinFrom - sin
			cosines += c.cosFrom - cos
		}
		at, sin, cos = c.to, c.sinTo, c.cosTo
	}
	if at < math.Pi {
		turn += math.Pi - at
		sines -= sin
		cosines += -1 - cos
	}
	a, b := v.of(x.g.place(i))
	r := x.g.DiameterM / 2
	return r / 2 * (r*turn + a*sines - b*cosines)
}
