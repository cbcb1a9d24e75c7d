package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// Curve is storage volume against what it saves, with the proof's upper bound, and
// below it what each further cubic metre saves.
type Curve struct {
	Locale
	Title, Subtitle string // the finding in words, and what it rests on
	Currency        string // as printed on the axes: "EUR"

	// SavingsName names what is drawn, "Savings" when empty:
	// "Savings against the same field without a tank".
	SavingsName string

	VolumesM3 []float64 // solved volumes, rising, from 0 up
	Savings   []float64 // money per year, one per volume

	// Upper is the proven upper bound in money per year, at UpperM3, or at VolumesM3
	// where UpperM3 is nil; nil draws none. It is joined by straight lines, so a
	// bound made of tangents needs their crossings in UpperM3 to be true in between.
	Upper, UpperM3 []float64

	// Marginal is what the next m³ saves, in money per m³ and year. Marginal[i] is
	// drawn from volume i to the next; a value at the last volume may be there but is
	// not seen. Nil draws the average between the solved volumes.
	Marginal []float64

	MarkM3 float64 // a volume to mark with a line and its saving; 0 for none

	// CostM3 is what one more m³ of tank costs, in money per m³ and year, drawn as a
	// level across the lower panel; 0 for none.
	CostM3 float64
}

const curveHeight = 675

func (c Curve) heading() string        { return c.Title }
func (c Curve) size() (w, h vg.Length) { return figureWidth, curveHeight }

// Check finds lengths that do not match, values that are not numbers, volumes that do
// not rise, and a bound that lies below the curve.
func (c Curve) Check() error {
	var f faults
	n := len(c.VolumesM3)
	f.require(clean(c.Currency) != "", "currency: is empty; want a name such as EUR")
	f.require(n >= 2, "volumes: are %d; want 2 or more", n)
	if f.series("volumes", c.VolumesM3, -1) {
		f.rising("volumes", c.VolumesM3)
	}
	f.series("savings", c.Savings, n)
	if c.Marginal != nil && len(c.Marginal) != n-1 {
		f.series("marginal", c.Marginal, n)
	} else {
		f.series("marginal", c.Marginal, -1)
	}
	f.series("marked volume", []float64{c.MarkM3}, 1)
	f.flows("cost of a m³", []float64{c.CostM3}, 1)
	if len(f) == 0 {
		f.require(c.MarkM3 == 0 || c.MarkM3 >= c.VolumesM3[0] && c.MarkM3 <= c.VolumesM3[n-1],
			"marked volume: is %g m³; want %g to %g", c.MarkM3, c.VolumesM3[0], c.VolumesM3[n-1])
		c.checkUpper(&f)
	}
	return f.join("curve")
}

func (c Curve) checkUpper(f *faults) {
	if c.Upper == nil {
		f.require(c.UpperM3 == nil, "upper bound: has volumes but no values; want both")
		return
	}
	xs := c.upperM3()
	if !f.require(len(xs) >= 2, "upper bound: has %d volumes; want 2 or more", len(xs)) || !f.series("upper bound", c.Upper, len(xs)) || !f.series("upper bound's volumes", xs, -1) || !f.rising("upper bound's volumes", xs) {
		return
	}
	n := len(c.VolumesM3)
	if !f.require(xs[0] <= c.VolumesM3[0] && xs[len(xs)-1] >= c.VolumesM3[n-1],
		"upper bound: reaches from %g to %g m³; want %g to %g", xs[0], xs[len(xs)-1], c.VolumesM3[0], c.VolumesM3[n-1]) {
		return
	}
	// Rounding of two large costs may leave a bound this far below: it is not visible.
	const rounding = 1e-4
	_, worst, at := c.gap()
	f.require(worst >= -rounding, "upper bound: lies below the savings at %g m³ by %.2g of their range; want it above", at, -worst)
}

func (f *faults) rising(name string, v []float64) bool {
	if len(v) > 0 && !f.require(v[0] >= 0, "%s: start at %g m³; want 0 or more", name, v[0]) {
		return false
	}
	for i := 1; i < len(v); i++ {
		if !f.require(v[i] > v[i-1], "%s: %g m³ follows %g m³; want them rising", name, v[i], v[i-1]) {
			return false
		}
	}
	return true
}

func (c Curve) upperM3() []float64 {
	if c.UpperM3 == nil {
		return c.VolumesM3
	}
	return c.UpperM3
}

// gap gives the widest and the least distance of the bound above the curve as a
// fraction of the savings' range, and the volume of the least.
func (c Curve) gap() (widest, least, leastM3 float64) {
	lo, hi := span(c.Savings)
	if hi == lo {
		hi = lo + 1
	}
	xs := c.upperM3()
	widest, least = math.Inf(-1), math.Inf(1)
	for _, set := range [][]float64{xs, c.VolumesM3} {
		for _, x := range set {
			if x < c.VolumesM3[0] || x > c.VolumesM3[len(c.VolumesM3)-1] {
				continue
			}
			d := (between(xs, c.Upper, x) - between(c.VolumesM3, c.Savings, x)) / (hi - lo)
			widest = max(widest, d)
			if d < least {
				least, leastM3 = d, x
			}
		}
	}
	return widest, least, leastM3
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

// marginal gives one value per interval between solved volumes.
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

func (c Curve) name() string {
	if c.SavingsName == "" {
		return "Savings"
	}
	return c.SavingsName
}
