package chart

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestCurveErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil func(c *Curve)
		want  string
		src   string
	}{
		{func(c *Curve) { c.Currency = "" }, "currency: is empty", "a sum of money needs its currency"},
		{func(c *Curve) { *c = Curve{Currency: "EUR"} }, "volumes: are 0; want 2 or more", "a line needs two points"},
		{func(c *Curve) { c.Savings = c.Savings[1:] }, "savings: has 24 values; want 25", "one value a volume"},
		{func(c *Curve) { c.Savings[3] = math.NaN() }, "savings: value 3 is NaN", "not a number"},
		{func(c *Curve) { c.Savings[3] = math.Inf(1) }, "savings: value 3 is +Inf", "not a number"},
		{func(c *Curve) { c.VolumesM3[0] = -1 }, "volumes: start at -1 m³", "no vessel is smaller than none"},
		{func(c *Curve) { c.VolumesM3[2] = 5 }, "volumes: 5 m³ follows 5 m³; want them rising", "one saving for one volume"},
		{func(c *Curve) { c.Upper = c.Upper[:3] }, "upper bound: has 3 values; want 25", "one value a volume"},
		{func(c *Curve) { c.Upper[4] -= 100 }, "upper bound: lies below the savings at 20 m³", "a bound under a solved plan is false"},
		{func(c *Curve) { c.UpperM3, c.Upper = []float64{0, 60}, []float64{2e4, 2e4} }, "upper bound: reaches from 0 to 60 m³; want 0 to 120", "the legend speaks of all volumes"},
		{func(c *Curve) { c.UpperM3, c.Upper = []float64{0}, []float64{2e4} }, "upper bound: has 1 volumes; want 2", "a line needs two points"},
		{func(c *Curve) { c.Upper, c.UpperM3 = nil, []float64{0} }, "upper bound: has volumes but no values", "half a series"},
		{func(c *Curve) { c.Marginal = c.Marginal[:7] }, "marginal: has 7 values; want 25", "one value a volume, or an interval"},
		{func(c *Curve) { c.Marginal[1] = math.NaN() }, "marginal: value 1 is NaN", "not a number"},
		{func(c *Curve) { c.MarkM3 = 130 }, "marked volume: is 130 m³; want 0 to 120", "no saving is known there"},
		{func(c *Curve) { c.MarkM3 = math.NaN() }, "marked volume: value 0 is NaN", "not a number"},
		{func(c *Curve) { c.CostM3 = -4 }, "cost of a m³: value 0 is -4; want 0 or more", "a tank is not a gift"},
	} {
		c := sampleCurve()
		tt.spoil(&c)
		err := c.Check()
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("error is %v; want %q (%s)", err, tt.want, tt.src)
		}
		var b bytes.Buffer
		if WriteSVG(&b, c) == nil || WritePNG(&b, c, 1) == nil || WriteText(&b, c, 80, 14, true) == nil || b.Len() > 0 {
			t.Errorf("%s: was drawn all the same", tt.want)
		}
	}
	c := sampleCurve()
	c.Marginal = c.Marginal[:len(c.Marginal)-1]
	if err := c.Check(); err != nil {
		t.Errorf("one marginal value an interval: %v", err)
	}
}

func TestCurveErrorsAreJoined(t *testing.T) {
	t.Parallel()
	c := sampleCurve()
	c.Currency, c.Savings, c.CostM3 = "", nil, -1
	err := c.Check()
	for _, want := range []string{"currency", "savings", "cost of a m³"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error is %v; want one line on %s too", err, want)
		}
	}
}

func TestGap(t *testing.T) {
	t.Parallel()
	// Savings 0, 10, 10 at 0, 10, 20 m³. Tangents 2x and 10 cross at 5 m³, where the
	// chord stands at 5: the widest gap is 5 of a range of 10; both ends touch.
	c := Curve{VolumesM3: []float64{0, 10, 20}, Savings: []float64{0, 10, 10}, UpperM3: []float64{0, 5, 20}, Upper: []float64{0, 10, 10}}
	widest, least, _ := c.gap()
	if math.Abs(widest-0.5) > 1e-12 || math.Abs(least) > 1e-12 {
		t.Errorf("gap is %g to %g; want 0 to 0.5 (hand calculation above)", least, widest)
	}
}

func TestBoundWords(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		above     float64 // of a range of 1000
		want, src string
	}{
		{0.801, "nowhere more than 0.09 %", "by hand: 0.0801 % is rounded up, to stay true"},
		{0.8, "nowhere more than 0.08 %", "by hand"},
		{0, "nowhere more than 0.01 %", "by hand: the least that is said"},
		{9.99, "nowhere more than 1 %", "by hand"},
		{30, "no plan can save more", "by hand: wide enough to be seen"},
	} {
		c := Curve{VolumesM3: []float64{0, 10}, Savings: []float64{0, 1000}, Upper: []float64{tt.above, 1000 + tt.above}}
		if got := c.boundWords(); !strings.Contains(got, tt.want) {
			t.Errorf("%g above: says %q; want %q (%s)", tt.above, got, tt.want, tt.src)
		}
	}
}

// TestCurvePlaces reads the drawing's scale from tick labels that only one axis has, and
// finds the marks by it.
func TestCurvePlaces(t *testing.T) {
	t.Parallel()
	c := Curve{Title: "A line", Currency: "EUR", VolumesM3: []float64{0, 40, 100}, Savings: []float64{0, 600, 1000}, MarkM3: 70}
	img, places := mustPNG(t, c, 1), map[string]lettering{}
	for _, l := range letterings(t, mustSVG(t, c)) {
		if _, seen := places[l.text]; !seen {
			places[l.text] = l
		}
	}
	x := func(text string) float64 { return float64(places[text].x0+places[text].x1) / 2 }
	y := func(text string) float64 { return float64(places[text].y0+places[text].y1) / 2 }
	at := func(m3, eur float64) (float64, float64) {
		return x("30") + (m3-30)/(90-30)*(x("90")-x("30")), y("200") + (eur-200)/(800-200)*(y("800")-y("200"))
	}
	for _, p := range []struct {
		m3, eur float64
		src     string
	}{{40, 600, "a solved point"}, {20, 300, "half way to it"}, {70, 800, "the mark, half way between 600 and 1000"}} {
		px, py := at(p.m3, p.eur)
		if got := pixel(img, vgLength(px), vgLength(py)); !sameInk(got, curveInk) {
			t.Errorf("%g m³, %g EUR: colour is %v; want the curve's (%s)", p.m3, p.eur, got, p.src)
		}
	}
	px, py := at(20, 500)
	if got := pixel(img, vgLength(px)+7, vgLength(py)+7); !sameInk(got, white) {
		t.Errorf("above the curve: colour is %v; want white", got)
	}
	if _, ok := places["70 m³ saves 800 EUR a year"]; !ok {
		t.Errorf("the mark's words are not in the drawing; it has %v", places)
	}
}

func TestMarginalIsAverageWhenNil(t *testing.T) {
	t.Parallel()
	c := Curve{VolumesM3: []float64{0, 10, 40}, Savings: []float64{5, 105, 135}}
	if got := fmt.Sprint(c.marginal()); got != "[10 1]" {
		t.Errorf("marginal is %s; want (105-5)/10 = 10 and (135-105)/30 = 1", got)
	}
}

func Example() {
	c := Curve{
		Title:     "The first 20 m³ bring three quarters of the saving",
		Currency:  "EUR",
		VolumesM3: []float64{0, 10, 20, 40, 60},
		Savings:   []float64{0, 4000, 6000, 7600, 8000},
		MarkM3:    20,
	}
	var svg bytes.Buffer
	if err := WriteSVG(&svg, c); err != nil {
		fmt.Println(err)
	}
	_, words, _ := strings.Cut(svg.String(), "<title>")
	words, _, _ = strings.Cut(words, "</title>")
	fmt.Println(words)
	// Output: The first 20 m³ bring three quarters of the saving
}
