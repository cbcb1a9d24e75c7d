package chart

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// sampleGuide is drawn by a hand formula: most is held back on winter afternoons.
func sampleGuide() Guide {
	g := Guide{
		Title:     "How full the store must be before it gives in place of a boiler, in % of full",
		Subtitle:  "Dyehouse, 42 m³, full at 4 200 kWh; means by month and hour, local standard time",
		GaugeName: "The store's gauges",
		Rules:     []string{"Find the month and the hour.", "Fuller than the figure: give.", "Down to the figure: hold."},
		Note:      "A guide, not a control.",
	}
	for m := range 12 {
		for h := range 24 {
			winter := 0.5 + 0.5*math.Cos(2*math.Pi*(float64(m)+0.5)/12)
			g.Percent[m][h] = 100 * winter * math.Max(0, math.Sin(math.Pi*float64(h-6)/11))
			if h < 6 || h > 17 {
				g.Percent[m][h] = 0
			}
			if h > 16 && h < 22 {
				g.Gives[m][h] = 1 - 0.7*winter
			}
		}
	}
	for _, p := range []float64{0, 20, 40, 60, 80, 100} {
		g.Gauge = append(g.Gauge, GaugeMark{p, Thousands(160+p/2, 0) + " °C", Thousands(5+p/8, 1) + " bar(g)"})
	}
	return g
}

func TestGuideErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(g *Guide)
		want, src string
	}{
		{func(g *Guide) { g.Percent[2][5] = 101 }, "Mar: hold-back level: value 5 is 101; want 0 to 100", "a store is at most full"},
		{func(g *Guide) { g.Percent[11][0] = math.NaN() }, "Dec: hold-back level: value 0 is NaN", "not a number"},
		{func(g *Guide) { g.Gives[0][23] = -0.1 }, "Jan: share of hours: value 23 is -0.1; want 0 to 1", "a share"},
		{func(g *Guide) { g.Gauge = g.Gauge[:1] }, "gauge: has 1 marks; want none or 2 to 6", "a scale has two ends"},
		{func(g *Guide) { g.Gauge[3].Percent = 40 }, "gauge: mark 3 is 40 %; want more than the one before", "two labels in one place"},
		{func(g *Guide) { g.Rules = make([]string, 5) }, "rules: are 5; want at most 4", "doc comment"},
	} {
		g := sampleGuide()
		g.Gauge = append([]GaugeMark(nil), g.Gauge...)
		tt.spoil(&g)
		if err := g.Check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("error is %v; want %q (%s)", err, tt.want, tt.src)
		}
	}
}

// TestGuidePlaces lights single cells and bars and looks for them in their month and hour.
func TestGuidePlaces(t *testing.T) {
	t.Parallel()
	unraced(t)
	g := sampleGuide()
	g.Percent, g.Gives = [12][24]float64{}, [12][24]float64{}
	g.Percent[5][13], g.Percent[0][0], g.Percent[11][23] = 100, 100, 100
	g.Gives[5][20], g.Gives[6][20] = 1, 0.5
	img := mustPNG(t, g, 1)
	places := map[string][]lettering{}
	for _, l := range letterings(t, mustSVG(t, g)) {
		places[l.text] = append(places[l.text], l)
	}
	ramp := guideTone.ramp()
	hour := func(text string) vg.Length { // hours' labels stand above the table: the highest of that text
		best := places[text][0]
		for _, l := range places[text] {
			if l.y0 > best.y0 {
				best = l
			}
		}
		return (best.x0 + best.x1) / 2
	}
	month := func(text string) vg.Length { return (places[text][0].y0 + places[text][0].y1) / 2 }
	const beside, up, strip = 12, 9, -guideRow/2 + guideStrip/2 // off the figure, on the bar
	for _, c := range []struct {
		month, hour string
		dx, dy      vg.Length
		want        color.Color
		src         string
	}{
		{"Jun", "13", beside, up, ramp[255], "June 13:00 is at 100 %"},
		{"Jan", "0", beside, up, ramp[255], "so is the first cell"},
		{"Dec", "23", -beside, up, ramp[255], "and the last"},
		{"Jun", "12", beside, up, ramp[0], "beside it nothing is held"},
		{"Jul", "13", beside, up, ramp[0], "nor below it"},
		{"Jun", "20", -beside, strip, givesInk, "June 20:00 gives every day: its bar is whole"},
		{"Jun", "20", beside, strip, givesInk, "June 20:00 gives every day: its bar is whole"},
		{"Jul", "20", -beside, strip, givesInk, "July 20:00 gives every other day: half a bar"},
		{"Jul", "20", beside, strip, white, "July 20:00 gives every other day: half a bar"},
		{"Aug", "20", -beside, strip, white, "August 20:00 never gives"},
	} {
		if got := pixel(img, hour(c.hour)+c.dx, month(c.month)+c.dy); !sameInk(got, c.want) {
			t.Errorf("%s %s:00, %g, %g pt off: colour is %v, want %v (%s)", c.month, c.hour, float64(c.dx), float64(c.dy), got, c.want, c.src)
		}
	}
	if n := len(places["100"]); n != 3 {
		t.Errorf("%d cells read 100; want the three that were set", n)
	}
}

// A figure must stand out from its cell in grey: by 40 of L*, as the ticks on their ground do at least.
func TestGuideFiguresReadInGrey(t *testing.T) {
	t.Parallel()
	ramp := guideTone.ramp()
	light := func(c color.Color) float64 {
		r, g, b, _ := c.RGBA()
		return lightness(uint8(r>>8), uint8(g>>8), uint8(b>>8))
	}
	for percent := 0.0; percent <= 100; percent++ {
		cell, figure := light(ramp[shade(percent, 0, 100)]), light(figureInk(percent))
		if math.Abs(cell-figure) < 40 {
			t.Errorf("%g %%: cell at L* %.0f, figure at %.0f; want 40 between them", percent, cell, figure)
		}
	}
}

func TestGuideLongWords(t *testing.T) {
	t.Parallel()
	unraced(t)
	g := sampleGuide()
	long := strings.Repeat("hold the heat back and ", 30)
	g.Title, g.Subtitle, g.Note, g.GaugeName = long, long, long, "Gauges"
	g.Rules = []string{long, long, long, long}
	for i := range g.Gauge {
		g.Gauge[i].Upper = long
	}
	w, h := g.size()
	for _, l := range letterings(t, mustSVG(t, g)) {
		if l.x0 < 4 || l.y0 < 4 || l.x1 > w-4 || l.y1 > h-4 {
			t.Errorf("%q stands at %.0f,%.0f to %.0f,%.0f of %.0f by %.0f", l.text, l.x0, l.y0, l.x1, l.y1, w, h)
		}
	}
}
