package sketch

import "math"

// box is the room of a text.
type box struct{ x0, y0, x1, y1 float64 }

// crowd is what words must keep off: lines as points along them, and words that stand already.
type crowd struct {
	dots  []point
	boxes []box
}

// follow adds a line, a point every few units along it.
func (c *crowd) follow(pts []point) {
	const every = 4
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		n := max(1, int(math.Hypot(b.x-a.x, b.y-a.y)/every))
		for k := range n + 1 {
			s := float64(k) / float64(n)
			c.dots = append(c.dots, point{a.x + s*(b.x-a.x), a.y + s*(b.y-a.y)})
		}
	}
}

// trouble counts what a box would cover; words over words weigh most, words outside the panel still more.
func (c crowd) trouble(b box, within panel) int {
	n := 0
	for _, d := range c.dots {
		if d.x > b.x0 && d.x < b.x1 && d.y > b.y0 && d.y < b.y1 {
			n++
		}
	}
	for _, o := range c.boxes {
		if b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 {
			n += 1000
		}
	}
	if b.x0 < within.x0 || b.x1 > within.x1 || b.y0 < within.y0 || b.y1 > within.y1 {
		n += 100000
	}
	return n
}

// best takes the first of the places with the least trouble and keeps it taken.
func (c *crowd) best(places []box, within panel) box {
	least, at := math.MaxInt, 0
	for i, b := range places {
		if n := c.trouble(b, within); n < least {
			least, at = n, i
		}
	}
	c.boxes = append(c.boxes, places[at])
	return places[at]
}

// around gives places for a text of lines beside (x, y): right and left of it at heights all over the panel, the
// nearest first; words too wide for either side stand across it.
func around(x, y, w float64, lines int, a panel) []box {
	h := float64(lines)*lineH + 4
	var out []box
	for _, off := range []float64{5, 18, 40, 70, 100, 140, 180, 230, 270} {
		for _, up := range []float64{1, -1} {
			top := y + up*off
			if up < 0 {
				top -= h
			}
			for _, left := range []float64{x + 9, x - 9 - w, min(max(x-w/2, a.x0+4), a.x1-4-w)} {
				out = append(out, box{left, top, left + w, top + h})
			}
		}
	}
	return out
}

// words sets lines of text into a box.
func (p *pen) words(class string, b box, lines ...string) {
	for i, s := range lines {
		p.text(class+" halo", "start", b.x0, b.y0+float64(i+1)*lineH-3, s)
	}
}
