package chart

import "gonum.org/v1/plot/vg"

// Contour is a value over two quantities: steps of darkness with a labelled line at each
// level, and what is to be found on it marked.
type Contour struct {
	Title, Subtitle string // the finding in words, and what it rests on
	XName, YName    string // with their units: "Storage volume, m³"
	ValueName       string // what is drawn, with its unit: "Savings, EUR per year"

	Xs, Ys []float64   // rising; two or more of each
	Values [][]float64 // Values[i][j] stands at Ys[i], Xs[j]
	Levels []float64   // rising; nil takes round ones. What lies below 0 stays white

	ZeroName string // for the legend, of the thick line at 0, where there is one

	// RightName and RightPer give a second scale at the right, for a quantity that is RightPer
	// times Y: "Aperture, m²". An empty name leaves it out.
	RightName string
	RightPer  float64

	Ridge     []float64 // for each of Ys the x to join by a line; nil draws none
	RidgeName string    // for the legend

	Best *Spot // drawn as a full dot with its words; nil for none
	Here *Spot // drawn as a square, its words in the legend; nil for none
}

// Spot is a place on a [Contour] and the words that belong to it.
type Spot struct {
	X, Y float64
	Text string
}

const contourHeight = 675

func (c Contour) heading() string        { return c.Title }
func (c Contour) size() (w, h vg.Length) { return figureWidth, contourHeight }

// Check finds axes that do not rise, values that do not fit them or are no numbers, levels that do not
// rise, and spots that lie off the map.
func (c Contour) Check() error {
	var f faults
	f.axis("x", c.Xs)
	f.axis("y", c.Ys)
	f.require(len(c.Values) == len(c.Ys), "values: have %d rows; want %d, one for each y", len(c.Values), len(c.Ys))
	for _, row := range c.Values {
		if !f.series("values", row, len(c.Xs)) {
			break
		}
	}
	if f.series("levels", c.Levels, -1) {
		f.climbs("levels", c.Levels)
	}
	if c.Ridge != nil {
		f.series("ridge", c.Ridge, len(c.Ys))
	}
	if c.RightName != "" {
		f.require(c.RightPer > 0 && c.RightPer <= limit, "right scale: is %g times y; want more than 0", c.RightPer)
	}
	if len(f) == 0 {
		c.checkSpots(&f)
	}
	return f.join("contour")
}

func (f *faults) axis(name string, v []float64) {
	if f.require(len(v) >= 2, "%s: has %d values; want 2 or more", name, len(v)) && f.series(name, v, -1) {
		f.climbs(name, v)
	}
}

func (f *faults) climbs(name string, v []float64) {
	for i := 1; i < len(v); i++ {
		if !f.require(v[i] > v[i-1], "%s: %g follows %g; want them rising", name, v[i], v[i-1]) {
			return
		}
	}
}

func (c Contour) checkSpots(f *faults) {
	on := func(x, y float64) bool {
		return x >= c.Xs[0] && x <= c.Xs[len(c.Xs)-1] && y >= c.Ys[0] && y <= c.Ys[len(c.Ys)-1]
	}
	for name, s := range map[string]*Spot{"best": c.Best, "here": c.Here} {
		if s != nil {
			f.require(on(s.X, s.Y), "%s: lies at %g, %g; want a place on the map", name, s.X, s.Y)
		}
	}
	for i, x := range c.Ridge {
		if !f.require(on(x, c.Ys[i]), "ridge: value %d is %g; want a place on the map", i, x) {
			return
		}
	}
}

// levels are those asked for that the values reach, or round ones.
func (c Contour) levels() []float64 {
	lo, hi := span(c.Values...)
	levels := c.Levels
	if levels == nil && lo < hi {
		levels = Ticks(lo, hi, 10)
	}
	var kept []float64
	for _, l := range levels {
		if l > lo && l <= hi {
			kept = append(kept, l)
		}
	}
	return kept
}
