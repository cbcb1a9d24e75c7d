package sketch

import (
	"math"
	"strconv"
	"strings"

	"noonkeep/cmd/internal/chart"
)

// panel is a plot area with two straight scales; y0 is its top, as in SVG.
type panel struct {
	x0, y0, x1, y1 float64
	xLo, xHi       float64
	yLo, yHi       float64
}

func (a panel) x(v float64) float64 { return a.x0 + (v-a.xLo)/(a.xHi-a.xLo)*(a.x1-a.x0) }
func (a panel) y(v float64) float64 { return a.y1 - (v-a.yLo)/(a.yHi-a.yLo)*(a.y1-a.y0) }

func (a panel) points(xs, ys []float64) []point {
	pts := make([]point, len(xs))
	for i := range xs {
		pts[i] = point{a.x(xs[i]), a.y(ys[i])}
	}
	return pts
}

// steps is the outline of values that hold between edges, of which there is one more.
func (a panel) steps(edges, values []float64) []point {
	pts := make([]point, 0, 2*len(values))
	for i, v := range values {
		if i > 0 && values[i-1] == v {
			pts[len(pts)-1].x = a.x(edges[i+1])
			continue
		}
		pts = append(pts, point{a.x(edges[i]), a.y(v)}, point{a.x(edges[i+1]), a.y(v)})
	}
	return pts
}

// reach sets the y scale over zero and all values, with a little room, and gives the round values inside it.
func (a *panel) reach(atMost int, values ...[]float64) []float64 {
	lo, hi := 0.0, 0.0
	for _, set := range values {
		for _, v := range set {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	if dust := 1e-6 * (hi - lo); -lo < dust {
		lo = 0
	} else if hi < dust {
		hi = 0
	}
	if lo == hi {
		hi = 1
	}
	size := hi - lo
	if lo < 0 {
		a.yLo = lo - 0.06*size
	}
	if hi > 0 {
		a.yHi = hi + 0.06*size
	}
	return inside(chart.Ticks(lo, hi, atMost), a.yLo, a.yHi)
}

func inside(ticks []float64, lo, hi float64) []float64 {
	var kept []float64
	for _, t := range ticks {
		if t >= lo && t <= hi {
			kept = append(kept, t)
		}
	}
	return kept
}

// labels prints the ticks of an axis with the same number of decimals. Where they would need more room than there is,
// they are told in thousands or millions, and times says of how much one is.
func labels(ticks []float64, room float64) (texts []string, times string) {
	for _, scale := range []struct {
		by   float64
		name string
	}{{1, ""}, {1e3, "thousand "}, {1e6, "million "}, {1e9, "billion "}} {
		texts, times = nil, scale.name
		widest, decimals := 0.0, 0
		for _, t := range ticks {
			_, frac, _ := strings.Cut(strconv.FormatFloat(math.Abs(t/scale.by), 'f', -1, 64), ".")
			decimals = max(decimals, len(frac))
		}
		for _, t := range ticks {
			texts = append(texts, chart.Thousands(t/scale.by, decimals))
			widest = max(widest, width(texts[len(texts)-1]))
		}
		if widest <= room {
			break
		}
	}
	return texts, times
}

// figure prints a number with three digits and no idle zeros: 12 300, 85, 7.42.
func figure(v float64) string {
	rounded, decimals := chart.Digits(v, 3)
	s := chart.Thousands(rounded, decimals)
	if decimals > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// ground draws the panel's background, its grid and the labels of its heights. Above it stands its name and unit.
func (p *pen) ground(a panel, name, unit string, ticks []float64) {
	texts, times := labels(ticks, a.x0-8)
	p.mark("rect", "class", "ground", "x", num(a.x0), "y", num(a.y0), "width", num(a.x1-a.x0), "height", num(a.y1-a.y0), "fill-opacity", "1")
	for i, t := range ticks {
		p.line("grid", 1, a.x0, a.y(t), a.x1, a.y(t))
		p.text("", "end", a.x0-7, a.y(t)+4.5, texts[i])
	}
	unit = ", " + times + unit
	p.text("name", "start", 4, a.y0-9, cut(name, p.w-8-width(unit)*1.06)+unit)
}

// zero is the line at zero.
func (p *pen) zero(a panel) {
	if a.yLo <= 0 && a.yHi >= 0 {
		p.line("zero", 1.2, a.x0, a.y(0), a.x1, a.y(0))
	}
}

// below draws ticks and labels of the x axis under a panel; a label that would leave the picture moves inside.
func (p *pen) below(a panel, ticks []float64, texts []string, name string) {
	p.line("axis", 1, a.x0, a.y1, a.x1, a.y1)
	for i, t := range ticks {
		x := a.x(t)
		p.line("axis", 1, x, a.y1, x, a.y1+5)
		half := width(texts[i]) / 2
		p.text("", "middle", min(x, p.w-half-2), a.y1+19, texts[i])
	}
	p.text("name", "middle", (a.x0+a.x1)/2, a.y1+37, name)
}

// key is one entry of a legend; swatch draws into a box of swatchW by swatchH with its left top at x, y.
type key struct {
	text   string
	swatch func(x, y float64)
}

const swatchW, swatchH = 26, 12

// keys sets a legend in rows from the top and gives the y below them.
func (p *pen) keys(list []key, y float64) float64 {
	x := 4.0
	for _, k := range list {
		w := swatchW + 6 + width(k.text)
		if x > 4 && x+w > p.w-4 {
			x, y = 4, y+lineH+2
		}
		k.swatch(x, y+2)
		p.text("", "start", x+swatchW+6, y+12.5, cut(k.text, p.w-4-x-swatchW-6))
		x += w + 16
	}
	return y + lineH + 6
}
