package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// The diagram's strokes: the sun's heat is dashed and brown, what the headers carry is black.
var (
	steamPipe = stroke{ink: black, width: 1.7}
	sunPipe   = stroke{ink: spillInk, width: 1.7, dashes: []vg.Length{5, 2.5}}
	pipeHalo  = stroke{ink: white, width: 6}
	outline   = stroke{ink: black, width: 1.3}
	fine      = stroke{ink: black, width: 1}
)

func (d Plant) draw(p *pen) {
	p.legend(d.keys(p), p.header(d.Title, d.Subtitle))
	sheet := d.lay()
	up := func(at vg.Point) vg.Point { return vg.Point{X: at.X, Y: p.h + at.Y} }
	lift := func(b box) box { return box{b.x0, p.h + b.y0, b.x1, p.h + b.y1} }
	// What runs down is drawn first, so that what crosses it breaks it: pipes that cross without a dot do not meet.
	for _, level := range []bool{false, true} {
		for _, x := range sheet.pipes {
			if from, to := up(x.pts[0]), up(x.pts[1]); (from.Y == to.Y) == level {
				p.pipe(x, from, to)
			}
		}
	}
	for _, at := range sheet.dots {
		p.dot(black, white, up(at), 2.6)
	}
	for _, b := range sheet.bars {
		at := lift(b.box)
		p.fill(grey20, rectangle(at.x0, at.y0, at.x1, at.y1))
		p.textMid(b.text, at.x0+12, (at.y0+at.y1)/2, left, barFace)
	}
	for _, cell := range append(sheet.parts, sheet.valves...) {
		p.symbol(cell.kind, lift(cell.symbol))
		for _, w := range cell.words {
			p.text(w.text, w.x, p.h+w.y, left, w.face)
		}
	}
}

func (p *pen) pipe(x pipe, from, to vg.Point) {
	s := steamPipe
	if x.sun {
		s = sunPipe
	}
	if halo := p.shortened(from, to, 4); len(halo) == 2 && from.Y == to.Y {
		p.line(pipeHalo, halo...)
	}
	if !x.arrow {
		p.line(s, from, to)
		return
	}
	p.line(s, from, p.arrowHead(s, from, to))
}

// shortened is a line without so much at each end; nothing where nothing is left.
func (p *pen) shortened(from, to vg.Point, by vg.Length) []vg.Point {
	length := lengthOf([]vg.Point{from, to})
	if length <= 2*by {
		return nil
	}
	off := vg.Point{X: (to.X - from.X) / length * by, Y: (to.Y - from.Y) / length * by}
	return []vg.Point{{X: from.X + off.X, Y: from.Y + off.Y}, {X: to.X - off.X, Y: to.Y - off.Y}}
}

// arrowHead draws a head with its tip at to, and returns where the line before it ends.
func (p *pen) arrowHead(s stroke, from, to vg.Point) vg.Point {
	const long, half = 9, 3.8
	length := lengthOf([]vg.Point{from, to})
	if length == 0 {
		return to
	}
	ux, uy := (to.X-from.X)/length, (to.Y-from.Y)/length
	back := vg.Point{X: to.X - long*ux, Y: to.Y - long*uy}
	p.fill(s.ink, []vg.Point{to, {X: back.X - half*uy, Y: back.Y + half*ux}, {X: back.X + half*uy, Y: back.Y - half*ux}})
	return back
}

// symbol draws a part in its box.
func (p *pen) symbol(kind partKind, b box) {
	edge := rectangle(b.x0, b.y0, b.x1, b.y1)
	rim := append(edge, edge[0])
	w, h := b.x1-b.x0, b.y1-b.y0
	mid := vg.Point{X: (b.x0 + b.x1) / 2, Y: (b.y0 + b.y1) / 2}
	switch kind {
	case fieldPart: // a sun over a slanted collector
		p.fill(white, edge)
		p.line(outline, rim...)
		p.sun(vg.Point{X: b.x0 + 0.30*w, Y: b.y1 - 0.32*h}, 0.13*h)
		p.line(stroke{ink: black, width: 2.6}, vg.Point{X: b.x0 + 0.42*w, Y: b.y0 + 0.16*h}, vg.Point{X: b.x1 - 0.12*w, Y: b.y1 - 0.28*h})
	case storePart:
		p.vessel(b)
	case boilerPart: // a flame in a box
		p.fill(boilerInk, edge)
		p.line(outline, rim...)
		p.fill(white, flame(mid.X, b.y0+0.14*h, 0.72*h))
	case valvePart: // two triangles, the flow from the one into the other
		p.fill(white, edge)
		p.fill(black, []vg.Point{{X: b.x0, Y: b.y1}, {X: b.x1, Y: b.y1}, mid})
		p.fill(white, []vg.Point{{X: b.x0, Y: b.y0}, {X: b.x1, Y: b.y0}, mid})
		p.line(outline, vg.Point{X: b.x0, Y: b.y0}, vg.Point{X: b.x1, Y: b.y0}, mid, vg.Point{X: b.x0, Y: b.y0})
	default: // a coil in a box: what takes heat
		p.fill(white, edge)
		p.line(outline, rim...)
		var coil []vg.Point
		for i, share := range []vg.Length{0, 0.22, 0.36, 0.5, 0.64, 0.78, 1} {
			y := mid.Y
			if i%6 != 0 {
				y += h * vg.Length(0.28*math.Pow(-1, float64(i)))
			}
			coil = append(coil, vg.Point{X: b.x0 + share*w, Y: y})
		}
		p.line(fine, coil...)
	}
}

// sun draws a disc with rays.
func (p *pen) sun(at vg.Point, radius vg.Length) {
	for i := range 8 {
		sin, cos := math.Sincos(float64(i) * fullTurn / 8)
		ray := func(r vg.Length) vg.Point { return vg.Point{X: at.X + r*vg.Length(cos), Y: at.Y + r*vg.Length(sin)} }
		p.line(fine, ray(radius*1.5), ray(radius*2.1))
	}
	p.dot(sunInk, black, at, radius)
}

// vessel draws a lying vessel with domed ends, full to nine tenths.
func (p *pen) vessel(b box) {
	radius := (b.y1 - b.y0) / 2
	mid := b.y0 + radius
	shape := func(level float64) []vg.Point { // the outline below a level, 0 at the foot and 1 at the top
		most := math.Asin(2*level - 1)
		var pts []vg.Point
		for i := range 25 {
			sin, cos := math.Sincos(-math.Pi/2 + (most+math.Pi/2)*float64(i)/24)
			pts = append(pts, vg.Point{X: b.x1 - radius + radius*vg.Length(cos), Y: mid + radius*vg.Length(sin)})
		}
		for i := len(pts) - 1; i >= 0; i-- {
			pts = append(pts, vg.Point{X: b.x0 + b.x1 - pts[i].X, Y: pts[i].Y})
		}
		return pts
	}
	p.fill(white, shape(1))
	p.fill(storeInk, shape(0.85))
	whole := shape(1)
	p.line(outline, append(whole, whole[0])...)
}

// flame is a pointed drop on its foot.
func flame(x, y, height vg.Length) []vg.Point {
	var pts []vg.Point
	for i := range 33 {
		a := float64(i) / 32 * fullTurn
		// A drop: wide at the foot, a point at the top.
		pts = append(pts, vg.Point{
			X: x + 0.62*height*vg.Length(math.Sin(a)*math.Pow(math.Sin(a/2), 1.5)),
			Y: y + height*vg.Length(1+math.Cos(a))/2,
		})
	}
	return pts
}

func (d Plant) keys(p *pen) []key {
	flow := func(s stroke) func(x0, y0, x1, y1 vg.Length) {
		return func(x0, y0, x1, y1 vg.Length) {
			if p.dry {
				return
			}
			from, to := vg.Point{X: x0, Y: (y0 + y1) / 2}, vg.Point{X: x1, Y: (y0 + y1) / 2}
			p.line(s, from, p.arrowHead(s, from, to))
		}
	}
	part := func(kind partKind, w vg.Length) func(x0, y0, x1, y1 vg.Length) {
		return func(x0, y0, x1, y1 vg.Length) {
			if p.dry {
				return
			}
			mid := (x0 + x1) / 2
			p.symbol(kind, box{mid - w/2, y0 - 1.5, mid + w/2, y1 + 1.5})
		}
	}
	keys := []key{{d.heatName(), flow(steamPipe)}}
	if len(d.Fields) > 0 {
		keys = append(keys, key{"heat of the sun", flow(sunPipe)}, key{"collectors", part(fieldPart, 17)})
	}
	if len(d.Stores) > 0 {
		keys = append(keys, key{"store", part(storePart, 30)})
	}
	if len(d.Boilers) > 0 {
		keys = append(keys, key{"boiler", part(boilerPart, 17)})
	}
	if len(d.Loads) > 0 {
		keys = append(keys, key{"load", part(loadPart, 17)})
	}
	return keys
}
