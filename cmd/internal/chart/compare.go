package chart

import "gonum.org/v1/plot/vg"

// Compare is several curves of storage volume against savings in one picture, each named at its end. Up to
// [MostNamed] have kinds of line of their own; the rest are thin and grey, and listed under the picture.
type Compare struct {
	Title, Subtitle string
	Currency        string // as printed on the axes: "EUR"
	SavingsName     string // what is drawn; "Savings" when empty
	MarkName        string // for the legend: what the ring on a line stands for; empty when there is none

	Lines []Line // the first is the one that the others are set beside
}

// Line is one curve of a [Compare].
type Line struct {
	Name, Note string    // what stands at its end, in two lines
	VolumesM3  []float64 // rising, from 0 up
	Savings    []float64 // money per year, one per volume
	MarkM3     float64   // where the ring stands; 0 for none
}

// MostNamed is how many lines of a [Compare] are told apart.
const MostNamed = 8

const compareHeight = 640

func (c Compare) heading() string        { return c.Title }
func (c Compare) size() (w, h vg.Length) { return figureWidth, compareHeight }

// Check finds lines without two points, lengths that do not match, values that are no numbers, volumes that do not rise,
// and rings that stand off their line.
func (c Compare) Check() error {
	var f faults
	f.require(clean(c.Currency) != "", "currency: is empty; want a name such as EUR")
	f.require(len(c.Lines) > 0, "lines: there are none; want one or more")
	for _, l := range c.Lines {
		n := len(l.VolumesM3)
		ok := f.require(n >= 2, "line %q: has %d volumes; want 2 or more", l.Name, n) &&
			f.series("line "+l.Name+": volumes", l.VolumesM3, -1) && f.rising("line "+l.Name+": volumes", l.VolumesM3) &&
			f.series("line "+l.Name+": savings", l.Savings, n)
		if ok {
			f.require(l.MarkM3 == 0 || l.MarkM3 >= l.VolumesM3[0] && l.MarkM3 <= l.VolumesM3[n-1],
				"line %q: its mark is at %g m³; want %g to %g", l.Name, l.MarkM3, l.VolumesM3[0], l.VolumesM3[n-1])
		}
	}
	return f.join("compare")
}

// named are the lines with a kind of their own, rest the grey ones.
func (c Compare) named() []Line { return c.Lines[:min(len(c.Lines), MostNamed)] }
func (c Compare) rest() []Line  { return c.Lines[min(len(c.Lines), MostNamed):] }

// strokes are the kinds of line, told apart by dash and by lightness, the first the heaviest.
var strokes = [MostNamed]stroke{
	{ink: black, width: 2.8},
	{ink: curveInk, width: 2, dashes: []vg.Length{9, 3.5}},
	{ink: boundInk, width: 2, dashes: []vg.Length{2, 3}},
	{ink: levelInk, width: 2, dashes: []vg.Length{12, 3, 2, 3}},
	{ink: spillInk, width: 1.5},
	{ink: boilerInk, width: 2, dashes: []vg.Length{4, 3}},
	{ink: storeInk, width: 2, dashes: []vg.Length{10, 3, 2, 3, 2, 3}},
	{ink: grey60, width: 2.4, dashes: []vg.Length{16, 4}},
}

var restStroke = stroke{ink: grey60, width: 0.8}
