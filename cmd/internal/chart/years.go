package chart

import "gonum.org/v1/plot/vg"

// Years is one curve of storage volume against savings in many years of weather: a band, the line in its middle and every
// year as a thin line; and under it strips with a dot for each year.
type Years struct {
	Title, Subtitle string
	Currency        string // as printed on the axes: "EUR"
	SavingsName     string // what the curves are; "Savings" when empty

	VolumesM3                  []float64   // rising, from 0 up; empty for a plant without a store, which has strips alone
	Low, Mid, High             []float64   // money per year, one per volume
	LowName, MidName, HighName string      // what stands at their ends
	LowNote, MidNote, HighNote string      // and under it
	Lines                      [][]float64 // of each year, one value per volume
	MarkM3                     float64     // a volume to mark on the middle line; 0 for none
	MarkName                   string

	YearName  string   // what a year is called under the last strip: "seed", "year"
	YearTicks []string // each year's short name, in order
	Strips    []Strip
}

// Strip is one figure of every year.
type Strip struct {
	Name, Unit string
	Values     []float64 // one per year
	Decimals   int       // of the values that are told
}

const (
	curvesHeight = 390 // of the upper panel with its axis
	stripHeight  = 120
	yearsHead    = 150
	yearsKeys    = 50 // of the legend in it
	yearsFoot    = 36
)

func (c Years) heading() string { return c.Title }

func (c Years) size() (w, h vg.Length) {
	h = yearsHead + yearsFoot + stripHeight*vg.Length(len(c.Strips))
	if len(c.VolumesM3) > 0 {
		h += curvesHeight
	} else {
		h -= yearsKeys
	}
	return figureWidth, h
}

// Check finds lengths that do not match, values that are no numbers, volumes that do not rise, a middle outside its band
// and a mark off the line.
func (c Years) Check() error {
	var f faults
	f.require(clean(c.Currency) != "", "currency: is empty; want a name such as EUR")
	f.require(len(c.YearTicks) > 1, "years: are %d; want 2 or more", len(c.YearTicks))
	f.require(len(c.Strips) > 0 || len(c.VolumesM3) > 0, "strips: there are none, and no volumes; want one or the other")
	for _, s := range c.Strips {
		f.series("strip "+s.Name, s.Values, len(c.YearTicks))
	}
	if n := len(c.VolumesM3); n > 0 {
		ok := f.require(n >= 2, "volumes: are %d; want 2 or more", n) && f.series("volumes", c.VolumesM3, -1) && f.rising("volumes", c.VolumesM3) &&
			f.series("low", c.Low, n) && f.series("middle", c.Mid, n) && f.series("high", c.High, n)
		f.require(len(c.Lines) == len(c.YearTicks), "lines: are %d; want one for each of %d years", len(c.Lines), len(c.YearTicks))
		for i, l := range c.Lines {
			f.series("line of "+c.tick(i), l, n)
		}
		if ok {
			c.checkBand(&f)
		}
	}
	return f.join("years")
}

func (c Years) checkBand(f *faults) {
	lo, hi := span(c.Low, c.High)
	dust := 1e-9 * (hi - lo)
	for i := range c.Mid {
		if !f.require(c.Low[i] <= c.Mid[i]+dust && c.Mid[i] <= c.High[i]+dust, "middle: at %g m³ %.6g lies outside %.6g to %.6g", c.VolumesM3[i], c.Mid[i], c.Low[i], c.High[i]) {
			break
		}
	}
	last := c.VolumesM3[len(c.VolumesM3)-1]
	f.require(c.MarkM3 == 0 || c.MarkM3 >= c.VolumesM3[0] && c.MarkM3 <= last, "mark: is at %g m³; want %g to %g", c.MarkM3, c.VolumesM3[0], last)
}

func (c Years) tick(i int) string {
	if i < len(c.YearTicks) {
		return c.YearTicks[i]
	}
	return "no year"
}
