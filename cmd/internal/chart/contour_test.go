package chart

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// hill is a smooth map with its top inside; no figure here is a result.
func hill(n, m int, value func(u, v float64) float64) Contour {
	c := Contour{
		Title:    "34 collectors and 80 m³ save most, 61 000 EUR a year over boilers alone",
		Subtitle: "Dyehouse, two shifts; each of 31 × 25 cells proven the least cost",
		XName:    "Storage volume, m³", YName: "Collectors", ValueName: "savings over boilers alone, EUR a year",
		RightName: "Aperture, m²", RightPer: 90,
		RidgeName: "the store that saves most with so many collectors", ZeroName: "nothing saved",
	}
	for i := range n {
		c.Ys = append(c.Ys, 60*float64(i)/float64(n-1))
	}
	for j := range m {
		c.Xs = append(c.Xs, 120*float64(j)/float64(m-1))
	}
	for i := range n {
		var row []float64
		for j := range m {
			row = append(row, value(c.Xs[j]/120, c.Ys[i]/60))
		}
		c.Values = append(c.Values, row)
		c.Ridge = append(c.Ridge, 80*c.Ys[i]/60)
	}
	return c
}

func sampleContour() Contour {
	c := hill(31, 25, func(u, v float64) float64 {
		return 61000 - 90000*(u-0.66)*(u-0.66)*(0.3+v) - 160000*(v-0.57)*(v-0.57)
	})
	c.Best = &Spot{X: 80, Y: 34, Text: "34 collectors, 80 m³: 61 000 EUR a year"}
	c.Here = &Spot{X: 40, Y: 30, Text: "the scenario's own sizes"}
	return c
}

func sampleContours() map[string]Figure {
	flat := hill(2, 2, func(u, v float64) float64 { return 0 })
	flat.Ridge, flat.RightName = nil, ""
	long := sampleContour()
	words := strings.Repeat("a very long word about <storage> & heat ", 8)
	long.Title, long.Subtitle, long.XName, long.YName, long.ValueName, long.RightName, long.RidgeName, long.ZeroName = words, words, words, words, words, words, words, words
	long.Best.Text, long.Here.Text = words, words
	long.Best.X, long.Best.Y = 0, 0
	long.RightPer = 1e9
	small := hill(5, 40, func(u, v float64) float64 { return 1e-4 * (u*v - 0.1) })
	small.Levels = []float64{-1e-5, 0, 1e-5, 2e-5, 9}
	small.Best = &Spot{X: 120, Y: 60, Text: "corner"}
	waves := hill(40, 40, func(u, v float64) float64 { return 1e6 * math.Sin(12*u) * math.Cos(9*v) })
	return map[string]Figure{"contour": sampleContour(), "contour-flat": flat, "contour-long": long, "contour-small": small, "contour-waves": waves}
}

func TestContourErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(c *Contour)
		want, src string
	}{
		{func(c *Contour) { c.Xs = c.Xs[:1] }, "x: has 1 values; want 2 or more", "no area to draw"},
		{func(c *Contour) { c.Xs[3] = c.Xs[2] }, "want them rising", "two columns at one place"},
		{func(c *Contour) { c.Ys[0] = math.NaN() }, "y: value 0 is NaN", "not a number"},
		{func(c *Contour) { c.Values = c.Values[1:] }, "values: have 30 rows; want 31", "one row for each y"},
		{func(c *Contour) { c.Values[4] = c.Values[4][1:] }, "values: has 24 values; want 25", "one value for each x"},
		{func(c *Contour) { c.Values[4][2] = math.Inf(1) }, "values: value 2 is +Inf", "not a number"},
		{func(c *Contour) { c.Levels = []float64{2, 1} }, "levels: 1 follows 2", "levels rise"},
		{func(c *Contour) { c.Ridge = c.Ridge[1:] }, "ridge: has 30 values; want 31", "one place for each y"},
		{func(c *Contour) { c.Ridge[2] = 130 }, "ridge: value 2 is 130", "off the map"},
		{func(c *Contour) { c.RightPer = 0 }, "right scale: is 0 times y", "a scale has a size"},
		{func(c *Contour) { c.Best.X = -1 }, "best: lies at -1, 34", "off the map"},
		{func(c *Contour) { c.Here.Y = math.NaN() }, "here: lies at 40, NaN", "not a number"},
	} {
		c := sampleContour()
		tt.spoil(&c)
		if err := c.Check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("error is %v; want %q (%s)", err, tt.want, tt.src)
		}
	}
}

// areaOf is the signed area of a loop: above 0 when it runs against the clock.
func areaOf(l isoline) float64 {
	sum := 0.0
	for i, p := range l.spots {
		q := l.spots[(i+1)%len(l.spots)]
		sum += (p.x*q.y - q.x*p.y) / 2
	}
	return sum
}

// The area at or above a level is known for plane, cone and ring; loops must close round it.
func TestLoopsHoldTheKnownArea(t *testing.T) {
	t.Parallel()
	grid := func(n int, value func(x, y float64) float64) relief {
		r := relief{}
		for i := range n {
			r.xs = append(r.xs, -1+2*float64(i)/float64(n-1))
		}
		r.ys = r.xs
		for _, y := range r.ys {
			var row []float64
			for _, x := range r.xs {
				row = append(row, value(x, y))
			}
			r.values = append(r.values, row)
		}
		return r
	}
	cone := grid(201, func(x, y float64) float64 { return 1 - math.Hypot(x, y) })
	for _, tt := range []struct {
		r         relief
		level     float64
		loops     int
		area, tol float64
		src       string
	}{
		{grid(2, func(x, y float64) float64 { return x }), 0, 1, 2, 1e-12, "half of a square of side 2"},
		{grid(7, func(x, y float64) float64 { return x + y }), 1, 1, 0.5, 1e-12, "corner triangle of legs 1; the grid lies across its ends"},
		{grid(7, func(x, y float64) float64 { return 3 }), 1, 1, 4, 1e-12, "all of the square"},
		{grid(7, func(x, y float64) float64 { return 3 }), 5, 0, 0, 0, "none of it"},
		{cone, 0.5, 1, math.Pi / 4, 1e-4, "circle of radius 0.5; chords of a grid of 0.01 cut off less"},
		{grid(201, func(x, y float64) float64 { return -math.Abs(math.Hypot(x, y) - 0.6) }), -0.2, 2, math.Pi * (0.64 - 0.16), 3e-4, "ring from 0.4 to 0.8: its hole is a loop of its own, with the clock"},
		{grid(2, func(x, y float64) float64 { return x * y }), 0.5, 2, 0.25, 1e-12, "saddle, middle 0 below the level: two corner triangles of legs 0.5"},
		{grid(2, func(x, y float64) float64 { return x * y }), -0.5, 1, 4 - 0.25, 1e-12, "saddle, middle 0 above the level: the square less two such triangles"},
	} {
		loops, area := tt.r.loops(tt.level), 0.0
		for _, l := range loops {
			area += areaOf(l)
		}
		if len(loops) != tt.loops || !(math.Abs(area-tt.area) <= tt.tol) {
			t.Errorf("%d loops of area %.9g; want %d of %.9g (%s)", len(loops), area, tt.loops, tt.area, tt.src)
		}
	}
	circle := cone.loops(0.5)[0]
	if lines := circle.open(); len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
		t.Error("a circle inside the map must be one closed line")
	}
	corners := grid(5, func(x, y float64) float64 { return x + y }).loops(1)[0]
	if lines := corners.open(); len(lines) != 1 || len(lines[0]) < 3 {
		t.Errorf("a corner gives %d lines; want the one that is not on the rim", len(lines))
	} else {
		for _, s := range lines[0] {
			if math.Abs(s.x+s.y-1) > 1e-12 {
				t.Errorf("%g, %g is not on the line x + y = 1", s.x, s.y)
			}
		}
	}
}

// The steps are darker the higher, far enough apart to be told in grey, and black can be read on all.
func TestShadesStepInGrey(t *testing.T) {
	t.Parallel()
	levels := []contourLevel{{value: -10}}
	for i := range 16 {
		levels = append(levels, contourLevel{value: float64(i)})
	}
	before := 100.5
	for i, ink := range shades(levels) {
		r, g, b, _ := ink.RGBA()
		l := lightness(uint8(r>>8), uint8(g>>8), uint8(b>>8))
		if i > 1 && before-l < 2 || l < 50 || i == 0 && l < 99 {
			t.Errorf("step %d has L* %.1f after %.1f; want white below 0, then 2 or more darker each, down to 50", i, l, before)
		}
		before = l
	}
}

// A value that is known at a place must have its step's ink there, on the pixels of the PNG.
func TestContourPlaces(t *testing.T) {
	t.Parallel()
	unraced(t)
	c := hill(31, 25, func(u, v float64) float64 { return u })
	c.Ridge, c.Levels = nil, []float64{0.25, 0.5, 0.75}
	img := mustPNG(t, c, 2)
	places := map[string]lettering{}
	for _, l := range letterings(t, mustSVG(t, c)) {
		places[l.text] = l
	}
	mid := func(text string) vg.Length { return (places[text].x0 + places[text].x1) / 2 }
	x110, x120 := mid("110"), mid("120")
	per := (x120 - x110) / 10
	y := places["60"].y0 - 100
	inks := shades(c.loops())
	for _, tt := range []struct {
		m3   float64
		step int
	}{{20, -1}, {40, 0}, {70, 1}, {100, 2}} {
		var want any = white
		got := pixel(img, 2*(x120-vg.Length(120-tt.m3)*per), 2*y)
		ok := sameInk(got, white)
		if tt.step >= 0 {
			want, ok = inks[tt.step], sameInk(got, inks[tt.step])
		}
		if !ok {
			t.Errorf("at %g m³: colour is %v; want %v of its step", tt.m3, got, want)
		}
	}
}

func TestContourFiles(t *testing.T) {
	t.Parallel()
	svg := mustSVG(t, sampleContour())
	if len(svg) > 200_000 || !bytes.Equal(svg, mustSVG(t, sampleContour())) {
		t.Errorf("SVG has %d bytes; want under 200 kB, and the same twice", len(svg))
	}
	for _, text := range []string{"Storage volume, m³", "Collectors", "Aperture, m²", "34 collectors, 80 m³: 61 000 EUR a year", "the scenario's own sizes"} {
		found := false
		for _, l := range letterings(t, svg) {
			found = found || l.text == text
		}
		if !found {
			t.Errorf("%q is not on the picture", text)
		}
	}
}
