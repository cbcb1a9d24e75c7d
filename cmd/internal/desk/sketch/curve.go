package sketch

import (
	"fmt"
	"math"
	"strings"
)

// Where the plot of a Curve begins and ends, as fractions of the picture's width: of the wide one, and of the narrow one.
const (
	PlotLeft    = 0.09
	PlotRight   = 0.98
	NarrowLeft  = 0.17
	NarrowRight = 0.97
)

// Line is an earlier curve of volume against savings.
type Line struct {
	Name      string    // "two shifts"
	VolumesM3 []float64 // rising
	Savings   []float64 // money per year, one per volume
}

// Curve is storage volume against what it saves each year, with the proven upper bound; below it what the next m³ saves.
type Curve struct {
	ID       string // begins the ids in the picture, "curve" when empty; two on one page want two
	Currency string // "EUR"

	VolumesM3 []float64 // solved volumes, rising
	Savings   []float64 // money per year against the same plant without a store, one per volume

	// Upper is the proven bound at UpperM3, or at VolumesM3 where that is nil; nil draws none.
	UpperM3, Upper []float64

	// Marginal is what the next m³ saves, money per m³ and year, from volume i to the next; one more value at the last
	// volume may be there. Nil draws the average between the solved volumes.
	Marginal []float64

	CostM3 float64 // what one more m³ costs, money per m³ and year; 0 draws none
	AtM3   float64 // the chosen volume, where the handle stands
	BestM3 float64 // the volume of the best money; 0 or below draws none

	Was    *Line // nil draws none
	Narrow bool
}

// Check finds lengths that do not match, values that are no numbers, volumes that do not rise and marks off the curve.
func (c Curve) Check() error {
	var f faults
	f.id(c.ID)
	f.want(strings.TrimSpace(c.Currency) != "", "currency: is empty; want a name such as EUR")
	n := len(c.VolumesM3)
	ok := f.volumes("volumes", c.VolumesM3)
	f.series("savings", c.Savings, n)
	if c.Marginal != nil && len(c.Marginal) != n-1 {
		f.series("marginal", c.Marginal, n)
	} else {
		f.series("marginal", c.Marginal, -1)
	}
	f.flows("cost of a m³", []float64{c.CostM3}, 1)
	switch {
	case c.Upper == nil:
		f.want(c.UpperM3 == nil, "upper bound: has volumes but no values; want both")
	case f.volumes("upper bound's volumes", c.upperM3()):
		f.series("upper bound", c.Upper, len(c.upperM3()))
	}
	if c.Was != nil {
		if f.volumes("earlier curve's volumes", c.Was.VolumesM3) {
			f.series("earlier curve's savings", c.Was.Savings, len(c.Was.VolumesM3))
		}
	}
	if ok {
		lo, hi := c.VolumesM3[0], c.VolumesM3[n-1]
		f.want(c.AtM3 >= lo && c.AtM3 <= hi, "chosen volume: is %g m³; want %g to %g", c.AtM3, lo, hi)
		f.want(c.BestM3 <= 0 || c.BestM3 >= lo && c.BestM3 <= hi, "best volume: is %g m³; want %g to %g, or 0 for none", c.BestM3, lo, hi)
	}
	return f.join("curve")
}

func (c Curve) upperM3() []float64 {
	if c.UpperM3 == nil {
		return c.VolumesM3
	}
	return c.UpperM3
}

// marginal gives one value for each interval between solved volumes.
func (c Curve) marginal() []float64 {
	n := len(c.VolumesM3)
	if c.Marginal != nil {
		return c.Marginal[:n-1]
	}
	m := make([]float64, n-1)
	for i := range m {
		m[i] = (c.Savings[i+1] - c.Savings[i]) / (c.VolumesM3[i+1] - c.VolumesM3[i])
	}
	return m
}

// nextM3 is what the m³ after the chosen volume saves; at the curve's end the last that is known.
func (c Curve) nextM3() float64 {
	m := c.marginal()
	for i := range m {
		if c.AtM3 < c.VolumesM3[i+1] {
			return m[i]
		}
	}
	return m[len(m)-1]
}

// between reads a line of straight pieces at x, which lies inside xs.
func between(xs, ys []float64, x float64) float64 {
	i := 1
	for i < len(xs)-1 && xs[i] < x {
		i++
	}
	share := (x - xs[i-1]) / (xs[i] - xs[i-1])
	return ys[i-1] + share*(ys[i]-ys[i-1])
}

// clip is a line with what lies past lo and hi cut off, so that another curve's volumes stay inside the plot.
func clip(xs, ys []float64, lo, hi float64) (x, y []float64) {
	add := func(v float64) { x, y = append(x, v), append(y, between(xs, ys, v)) }
	if xs[0] < lo && xs[len(xs)-1] > lo {
		add(lo)
	}
	for i, v := range xs {
		if v >= lo && v <= hi {
			x, y = append(x, v), append(y, ys[i])
		}
	}
	if xs[0] < hi && xs[len(xs)-1] > hi {
		add(hi)
	}
	return x, y
}

// sum is money in words: three digits are what a planner reads.
func (c Curve) sum(v float64) string { return figure(v) + " " + c.Currency }

func (c Curve) saves() float64 { return between(c.VolumesM3, c.Savings, c.AtM3) }

// title is the finding in words.
func (c Curve) title() string {
	verb := "saves"
	if c.saves() < 0 {
		verb = "costs"
	}
	s := fmt.Sprintf("A store of %s m³ %s %s a year", figure(c.AtM3), verb, c.sum(math.Abs(c.saves())))
	if c.BestM3 > 0 && c.atBest() {
		return s + ", and no other volume pays better"
	}
	if c.BestM3 > 0 {
		return s + fmt.Sprintf("; %s m³ pays best", figure(c.BestM3))
	}
	return s
}

func (c Curve) atBest() bool {
	return math.Abs(c.AtM3-c.BestM3) <= 1e-3*c.VolumesM3[len(c.VolumesM3)-1]
}

func (c Curve) desc() string {
	n := len(c.VolumesM3) - 1
	s := fmt.Sprintf("Savings per year over storage volume at %d proven points, from %s at %s m³ to %s at %s m³.",
		n+1, c.sum(c.Savings[0]), figure(c.VolumesM3[0]), c.sum(c.Savings[n]), figure(c.VolumesM3[n]))
	if c.Upper != nil {
		s += " A thin line above it is the proven upper bound: no plan can save more."
	}
	s += fmt.Sprintf(" Lower panel: at the chosen volume the next m³ saves %s a year", c.sum(c.nextM3()))
	if c.CostM3 > 0 {
		s += fmt.Sprintf(" and costs %s a year", c.sum(c.CostM3))
	}
	s += "."
	if c.Was != nil {
		s += fmt.Sprintf(" A dashed line is the earlier version, %s", c.Was.Name)
		if w := c.Was.VolumesM3; c.AtM3 >= w[0] && c.AtM3 <= w[len(w)-1] {
			s += fmt.Sprintf("; it saves %s at the chosen volume", c.sum(between(w, c.Was.Savings, c.AtM3)))
		}
		s += "."
	}
	return s
}
