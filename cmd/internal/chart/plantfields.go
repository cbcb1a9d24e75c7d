package chart

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// track is a pipe of the channel between fields and headers: it gathers the fields that feed one header or one store.
type track struct {
	store bool
	place int
}

// tracks are those that some field feeds: the headers from the lowest up, then the stores from the last to the first.
// A track further right ends higher, mostly, so that its way out crosses few others.
func (d Plant) tracks() []track {
	var all []track
	fed := func(t track) bool {
		return slices.ContainsFunc(d.Fields, func(f PlantField) bool { return slices.Contains(t.among(f), t.place) })
	}
	for h := len(d.Headers) - 1; h >= 0; h-- {
		if t := (track{false, h}); fed(t) {
			all = append(all, t)
		}
		for s := len(d.Stores) - 1; s >= 0; s-- {
			if t := (track{true, s}); d.Stores[s].Header == h && fed(t) {
				all = append(all, t)
			}
		}
	}
	return all
}

func (t track) among(f PlantField) []int {
	if t.store {
		return f.Stores
	}
	return f.Headers
}

// fields lays the fields at the left, in the order of what they feed, and the pipes of the channel.
func (l *layer) fields() {
	if len(l.Fields) == 0 {
		return
	}
	tracks := l.tracks()
	ends := make([]vg.Point, len(tracks))
	for i, t := range tracks {
		ends[i] = l.end(t)
	}
	order := make([]int, len(l.Fields))
	for i := range order {
		order[i] = i
	}
	first := func(f PlantField) float64 { // the highest of its ends
		y := math.Inf(-1)
		for i, t := range tracks {
			if slices.Contains(t.among(f), t.place) {
				y = max(y, float64(ends[i].Y))
			}
		}
		return -y
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(first(l.Fields[a]), first(l.Fields[b])) })
	ports := make([]vg.Length, len(l.Fields))
	for _, i := range order {
		ports[i] = l.field(l.Fields[i], tracks, ends)
	}
	xs, reach := make([]vg.Length, len(tracks)), make([]vg.Length, len(l.Fields))
	for i, t := range tracks {
		xs[i] = margin + plantFieldW + plantSide + vg.Length(i)*plantTrack
		for j, f := range l.Fields {
			if slices.Contains(t.among(f), t.place) {
				reach[j] = xs[i]
			}
		}
	}
	for i, x := range reach {
		l.pipes = append(l.pipes, pipe{sun: true, net: l.net(), pts: []vg.Point{{X: margin + plantFieldW, Y: ports[i]}, {X: x, Y: ports[i]}}})
	}
	for i, t := range tracks {
		l.gather(t, xs[i], ends[i], ports, reach)
	}
}

// end is where a track's heat goes to.
func (l *layer) end(t track) vg.Point {
	if t.store {
		return l.charge[t.place]
	}
	return vg.Point{X: l.x0, Y: l.bar[t.place]}
}

// field lays one field and returns the height at which its heat leaves: straight on to the last of its ends, where that
// lies level with it, and else off the heights of all ends.
func (l *layer) field(f PlantField, tracks []track, ends []vg.Point) vg.Length {
	const wordsW = plantFieldW - symbolW - 10
	x := vg.Length(margin) + plantFieldW - symbolW
	symbol := box{x, l.y - symbolH, x + symbolW, l.y}
	words, foot := setWords(PlantPart{Name: f.Name, Figures: f.Figures}, margin, l.y-partFace.capHeight()-1, wordsW)
	l.parts = append(l.parts, plantCell{fieldPart, symbol, words})
	l.y = min(foot, symbol.y0) - plantRowGap
	last := -1
	for i, t := range tracks {
		if slices.Contains(t.among(f), t.place) {
			last = i
		}
	}
	clear := func(y vg.Length) bool {
		for i, e := range ends {
			if math.Abs(float64(e.Y-y)) < portApart && !(i == last && e.Y == y) {
				return false
			}
		}
		return true
	}
	mid := (symbol.y0 + symbol.y1) / 2
	if straight := ends[last].Y; straight > symbol.y0+2 && straight < symbol.y1-2 && clear(straight) {
		return straight
	}
	for off := vg.Length(0); off < symbolH/2; off++ {
		for _, y := range []vg.Length{mid + off, mid - off} {
			if clear(y) {
				return y
			}
		}
	}
	return mid
}

// gather draws a track: along the pipe at x, from the fields that feed it, and on to its end.
func (l *layer) gather(t track, x vg.Length, end vg.Point, ports []vg.Length, reach []vg.Length) {
	net := l.net()
	lo, hi := end.Y, end.Y
	for i, f := range l.Fields {
		if slices.Contains(t.among(f), t.place) {
			lo, hi = min(lo, ports[i]), max(hi, ports[i])
		}
	}
	for i, f := range l.Fields {
		inside := ports[i] > lo && ports[i] < hi
		if slices.Contains(t.among(f), t.place) && (inside || reach[i] > x) {
			l.dots = append(l.dots, vg.Point{X: x, Y: ports[i]})
		}
	}
	if hi > lo {
		l.pipes = append(l.pipes, pipe{sun: true, net: net, pts: []vg.Point{{X: x, Y: hi}, {X: x, Y: lo}}})
	}
	if end.Y > lo && end.Y < hi {
		l.dots = append(l.dots, vg.Point{X: x, Y: end.Y})
	}
	l.pipes = append(l.pipes, pipe{sun: true, arrow: true, net: net, pts: []vg.Point{{X: x, Y: end.Y}, end}})
}

// steamTracks are the headers whose heat charges stores of other headers, from the lowest up.
func (d Plant) steamTracks() []int {
	var from []int
	for h := len(d.Headers) - 1; h >= 0; h-- {
		if slices.ContainsFunc(d.Stores, func(s PlantStore) bool { return s.fromOther() && s.From == h }) {
			from = append(from, h)
		}
	}
	return from
}

// steam draws a pipe of the channel from the left end of each header that charges stores of others, with a branch to each.
func (l *layer) steam() {
	for i, h := range l.steamTracks() {
		x := l.x0 - plantSide - vg.Length(i)*plantTrack
		net, from := l.net(), l.bar[h]-portApart-1
		ys := []vg.Length{from}
		for s, store := range l.Stores {
			if store.fromOther() && store.From == h {
				end := vg.Point{X: l.charge[s].X, Y: l.charge[s].Y - 10}
				ys = append(ys, end.Y)
				l.pipes = append(l.pipes, pipe{arrow: true, net: net, pts: []vg.Point{{X: x, Y: end.Y}, end}})
			}
		}
		lo, hi := slices.Min(ys), slices.Max(ys)
		for _, y := range ys {
			if y > lo && y < hi {
				l.dots = append(l.dots, vg.Point{X: x, Y: y})
			}
		}
		l.pipes = append(l.pipes,
			pipe{net: net, pts: []vg.Point{{X: l.x0, Y: from}, {X: x, Y: from}}},
			pipe{net: net, pts: []vg.Point{{X: x, Y: hi}, {X: x, Y: lo}}})
	}
}
