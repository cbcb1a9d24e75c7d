package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// box is what a word or a mark takes, in points.
type box struct{ x0, y0, x1, y1 vg.Length }

// placer finds room for labels on a panel.
type placer struct {
	a     panel
	taken []box
}

func (w *placer) keepOff(at vg.Point, by vg.Length) {
	w.taken = append(w.taken, box{at.X - by, at.Y - by, at.X + by, at.Y + by})
}

// keepOffLine keeps labels off a line drawn across.
func (w *placer) keepOffLine(line []vg.Point) {
	for _, pt := range finely(line) {
		w.keepOff(pt, 2)
	}
}

// finely sets further points on a line, so that none are far apart.
func finely(line []vg.Point) []vg.Point {
	const apart = 3
	var pts []vg.Point
	for i, pt := range line {
		if i == 0 {
			pts = append(pts, pt)
			continue
		}
		from := line[i-1]
		steps := int(math.Ceil(float64(lengthOf(line[i-1:i+1]) / apart)))
		for k := 1; k < steps; k++ {
			share := vg.Length(k) / vg.Length(steps)
			pts = append(pts, vg.Point{X: from.X + share*(pt.X-from.X), Y: from.Y + share*(pt.Y-from.Y)})
		}
		pts = append(pts, pt)
	}
	return pts
}

// place is the spot on the line, of those with room, that lies nearest to the panel's rising diagonal:
// lines of equal value mostly fall, and so the labels stand in a row.
func (w *placer) place(line []vg.Point, width, height vg.Length) (vg.Point, bool) {
	around := func(at vg.Point) box {
		return box{at.X - width/2 - 5, at.Y - height/2 - 4, at.X + width/2 + 5, at.Y + height/2 + 4}
	}
	var best vg.Point
	least := math.Inf(1)
	for _, at := range finely(line) {
		u, v := (at.X-w.a.x0)/(w.a.x1-w.a.x0), (at.Y-w.a.y0)/(w.a.y1-w.a.y0)
		if off := math.Abs(float64(u - v)); off < least && w.free(around(at)) {
			best, least = at, off
		}
	}
	if math.IsInf(least, 1) {
		return best, false
	}
	w.taken = append(w.taken, around(best))
	return best, true
}

func (w *placer) free(b box) bool {
	if b.x0 < w.a.x0+2 || b.x1 > w.a.x1-2 || b.y0 < w.a.y0+2 || b.y1 > w.a.y1-2 {
		return false
	}
	for _, t := range w.taken {
		if b.x0 < t.x1 && t.x0 < b.x1 && b.y0 < t.y1 && t.y0 < b.y1 {
			return false
		}
	}
	return true
}

// leave gives the pieces of a line outside the box.
func (b box) leave(line []vg.Point) [][]vg.Point {
	var pieces [][]vg.Point
	var piece []vg.Point
	for _, pt := range finely(line) {
		if pt.X > b.x0 && pt.X < b.x1 && pt.Y > b.y0 && pt.Y < b.y1 {
			if len(piece) > 1 {
				pieces = append(pieces, piece)
			}
			piece = nil
			continue
		}
		piece = append(piece, pt)
	}
	if len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

func lengthOf(pts []vg.Point) vg.Length {
	sum := vg.Length(0)
	for i := 1; i < len(pts); i++ {
		sum += vg.Length(math.Hypot(float64(pts[i].X-pts[i-1].X), float64(pts[i].Y-pts[i-1].Y)))
	}
	return sum
}
