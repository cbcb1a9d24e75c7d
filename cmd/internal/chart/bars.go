package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// Bars are stacked bars over named places: heat by month, money by year. Values over zero are stacked upwards in the
// order of the layers, those below it downwards.
type Bars struct {
	Locale
	Title, Subtitle string
	Name, Unit      string // of the heights: "Heat to the header", "MWh a month"
	Foot            string // what the places are, under them; may be empty
	Labels          []string
	Notes           []string // over each bar, in small print; nil for none
	Layers          []Layer

	// Line is drawn over the bars on the same scale, with a ring where it first rises through zero; nil for none.
	Line     []float64
	LineName string
}

// Layer is one part of each bar.
type Layer struct {
	Name   string
	Kind   LayerKind
	Values []float64 // one for each label
}

// LayerKind is how a layer looks: kinds differ by lightness or hatch.
type LayerKind int

// The kinds of layers.
const (
	PlainLayer  LayerKind = iota // light blue grey
	DarkLayer                    // dark blue
	SunLayer                     // yellow
	StoreLayer                   // green blue
	BoilerLayer                  // violet grey
	LackLayer                    // hatched
)

const (
	barsHeight = 500
	mostBars   = 120
)

func (b Bars) heading() string        { return b.Title }
func (b Bars) size() (w, h vg.Length) { return figureWidth, barsHeight }

// Check finds lengths that do not match, values that are no numbers, and too many bars.
func (b Bars) Check() error {
	var f faults
	n := len(b.Labels)
	f.require(n >= 1 && n <= mostBars, "bars: are %d; want 1 to %d", n, mostBars)
	f.require(clean(b.Unit) != "", "unit: is empty; want one")
	f.require(len(b.Layers) > 0, "layers: there are none; want one or more")
	for _, l := range b.Layers {
		f.series("layer "+l.Name, l.Values, n)
		f.require(l.Kind >= PlainLayer && l.Kind <= LackLayer, "layer %s: its kind is %d; want 0 to %d", l.Name, l.Kind, LackLayer)
	}
	if b.Line != nil {
		f.series("line", b.Line, n)
	}
	f.require(b.Notes == nil || len(b.Notes) == n, "notes: are %d; want %d", len(b.Notes), n)
	return f.join("bars")
}

// reaches are the lower and upper ends of each bar.
func (b Bars) reaches() (lo, hi []float64) {
	lo, hi = make([]float64, len(b.Labels)), make([]float64, len(b.Labels))
	for _, l := range b.Layers {
		for i, v := range l.Values {
			if v < 0 {
				lo[i] += v
			} else {
				hi[i] += v
			}
		}
	}
	return lo, hi
}

func (b Bars) draw(p *pen) {
	y := p.legend(b.keys(p), p.header(b.Title, b.Subtitle))
	foot := vg.Length(34)
	if b.Foot != "" {
		foot = 56
	}
	a := panel{x1: figureWidth - margin, y0: foot, y1: y - 26}
	lo, hi := b.reaches()
	ticks := a.reach(7, lo, hi, b.Line)
	if b.Notes != nil { // room for them
		a.yHi += 0.06 * (a.yHi - a.yLo)
	}
	labels := b.allMarks(tickLabels(ticks))
	a.x0 = margin + gutter(labels)
	a.xLo, a.xHi = -0.5, float64(len(b.Labels))-0.5
	p.yAxis(a, b.Name, b.Unit, ticks, labels)
	b.stacks(p, a)
	p.zero(a)
	b.places(p, a, hi)
	b.line(p, a)
	if b.Foot != "" {
		p.text(b.Foot, (a.x0+a.x1)/2, a.y0-42, centre, panelFace)
	}
}

// stacks draws the layers of each bar.
func (b Bars) stacks(p *pen, a panel) {
	const half = 0.36
	lo, hi := make([]float64, len(b.Labels)), make([]float64, len(b.Labels))
	for _, l := range b.Layers {
		for i, v := range l.Values {
			from := &hi[i]
			if v < 0 {
				from = &lo[i]
			}
			if math.Abs(v) > 0 {
				x0, x1 := a.x(float64(i)-half), a.x(float64(i)+half)
				y0, y1 := a.y(*from), a.y(*from+v)
				p.layer(l.Kind, x0, min(y0, y1), x1, max(y0, y1))
			}
			*from += v
		}
	}
}

// layer fills a box the way its kind looks.
func (p *pen) layer(kind LayerKind, x0, y0, x1, y1 vg.Length) {
	if kind == LackLayer {
		p.hatch(band{[]vg.Length{x0, x1}, []vg.Length{y0}, []vg.Length{y1}}, spillStroke, hatchPitch)
		return
	}
	p.fill(layerFills[kind], rectangle(x0, y0, x1, y1))
}

// places writes what stands under and over the bars; labels are thinned where they would touch.
func (b Bars) places(p *pen, a panel, hi []float64) {
	widest := vg.Length(0)
	for _, s := range b.Labels {
		widest = max(widest, tickFace.width(clean(s)))
	}
	each := (a.x1 - a.x0) / vg.Length(len(b.Labels))
	step := max(1, int(math.Ceil(float64((widest+6)/each))))
	small := face{11, false, grey30}
	for i, s := range b.Labels {
		x := a.x(float64(i))
		if i%step == 0 {
			p.text(s, x, a.y0-19, centre, tickFace)
		}
		if b.Notes != nil && each > small.width(clean(b.Notes[i])) {
			p.text(b.Notes[i], x, a.y(hi[i])+4, centre, small)
		}
	}
	if a.yLo < 0 {
		p.hLine(axisLine, a.x0, a.x1, a.y0)
	}
}

// line draws the line with its dots, white-rimmed over dark bars.
func (b Bars) line(p *pen, a panel) {
	if b.Line == nil {
		return
	}
	xs := make([]float64, len(b.Line))
	for i := range xs {
		xs[i] = float64(i)
	}
	pts := a.points(xs, b.Line)
	wide := curveStroke
	wide.ink, wide.width = white, 5
	p.line(wide, pts...)
	p.line(stroke{ink: boundInk, width: 2.2}, pts...)
	for i, pt := range pts {
		p.dot(boundInk, white, pt, 2.6)
		if i > 0 && b.Line[i-1] < 0 && b.Line[i] >= 0 {
			p.ring(stroke{ink: boundInk}, pt)
		}
	}
}

func (b Bars) keys(p *pen) []key {
	var keys []key
	for _, l := range b.Layers {
		if l.Name == "" {
			continue
		}
		keys = append(keys, key{l.Name, func(x0, y0, x1, y1 vg.Length) { p.layer(l.Kind, x0, y0, x1, y1) }})
	}
	if b.Line != nil && b.LineName != "" {
		keys = append(keys, key{b.LineName, func(x0, y0, x1, y1 vg.Length) {
			p.hLine(stroke{ink: boundInk, width: 2.2}, x0, x1, (y0+y1)/2)
			p.dot(boundInk, white, vg.Point{X: (x0 + x1) / 2, Y: (y0 + y1) / 2}, 2.6)
		}})
	}
	return keys
}
