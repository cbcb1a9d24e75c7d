package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// band is the area between two stepped outlines: over edges i to i+1 it reaches
// from lo[i] to hi[i], all in points.
type band struct {
	edges, lo, hi []vg.Length
}

// hatch fills a band with slanted lines at one pitch for the whole figure, so that
// the pattern runs on from step to step, and rims it.
func (p *pen) hatch(b band, s stroke, pitch vg.Length) {
	n := len(b.lo)
	least, most := b.lo[0]-b.edges[n], b.hi[0]-b.edges[0]
	for i := range b.lo {
		least, most = min(least, b.lo[i]-b.edges[i+1]), max(most, b.hi[i]-b.edges[i])
	}
	var path vg.Path
	for k := math.Ceil(float64(least / pitch)); k <= float64(most/pitch); k++ {
		path = b.slanted(path, vg.Length(k)*pitch)
	}
	p.c.SetColor(s.ink)
	p.c.SetLineWidth(s.width)
	p.c.SetLineDash(nil, 0)
	p.c.Stroke(path)
	b.eachRun(func(from, to int) { p.line(s, b.rim(from, to)...) })
}

// slanted adds the pieces of the line y = x + off that lie inside the band.
func (b band) slanted(path vg.Path, off vg.Length) vg.Path {
	end := vg.Length(math.Inf(-1))
	for i := range b.lo {
		x0, x1 := max(b.edges[i], b.lo[i]-off), min(b.edges[i+1], b.hi[i]-off)
		if x1 <= x0 {
			continue
		}
		if x0 > end+1e-6 {
			path.Move(vg.Point{X: x0, Y: x0 + off})
			path.Line(vg.Point{X: x1, Y: x1 + off})
		} else {
			path[len(path)-1].Pos = vg.Point{X: x1, Y: x1 + off}
		}
		end = x1
	}
	return path
}

// eachRun calls do for each unbroken run of steps where the band is open.
func (b band) eachRun(do func(from, to int)) {
	for from := 0; from < len(b.lo); from++ {
		to := from
		for to < len(b.lo) && b.hi[to] > b.lo[to] {
			to++
		}
		if to > from {
			do(from, to)
			from = to
		}
	}
}

// rim walks round one run: along its top, back along its bottom, to the start.
func (b band) rim(from, to int) []vg.Point {
	var pts []vg.Point
	for i := from; i < to; i++ {
		pts = append(pts, vg.Point{X: b.edges[i], Y: b.hi[i]}, vg.Point{X: b.edges[i+1], Y: b.hi[i]})
	}
	for i := to - 1; i >= from; i-- {
		pts = append(pts, vg.Point{X: b.edges[i+1], Y: b.lo[i]}, vg.Point{X: b.edges[i], Y: b.lo[i]})
	}
	return append(pts, pts[0])
}
