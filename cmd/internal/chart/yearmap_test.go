package chart

import (
	"math"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot/vg"
)

func TestYearMapErrors(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(m *YearMap)
		want, src string
	}{
		{func(m *YearMap) { m.Maps = nil }, "maps: are 0; want 1 to 6", "nothing to draw"},
		{func(m *YearMap) { m.Start = m.Start.Add(time.Hour) }, "start: is 2026-01-01 01:00; want midnight", "columns are whole days"},
		{func(m *YearMap) { m.StepH = 7 }, "step: is 7 h; want a part of a day", "columns are whole days"},
		{func(m *YearMap) { m.StepH = math.NaN() }, "step: is NaN h", "not a number"},
		{func(m *YearMap) { m.StepH = 0 }, "step: is 0 h", "a step has a length"},
		{func(m *YearMap) { m.Maps[1].Values = m.Maps[1].Values[5:] }, `map "Heat in the store, kWh": has 8755 values; want 24 a day`, "columns are whole days"},
		{func(m *YearMap) { m.Maps[1].Values = m.Maps[1].Values[24:] }, `map "Heat in the store, kWh": has 8736 values; want 8760`, "all maps share the days"},
		{func(m *YearMap) { m.Maps[2].Values[77] = math.NaN() }, `map "Boilers, kW": value 77 is NaN`, "not a number"},
		{func(m *YearMap) { m.Maps[0].Tone = 9 }, "tone is 9", "three tones"},
	} {
		m := sampleYear()
		tt.spoil(&m)
		if err := m.Check(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("error is %v; want %q (%s)", err, tt.want, tt.src)
		}
	}
}

// TestYearMapPlaces lights single hours and looks for them on the picture.
func TestYearMapPlaces(t *testing.T) {
	t.Parallel()
	unraced(t)
	m := YearMap{Title: "Four hours", Start: time.Date(2026, 1, 1, 0, 0, 0, 0, east3), StepH: 1,
		Maps: []Map{{Name: "Boilers, kW", Values: make([]float64, 8760)}}}
	lit := []struct {
		day, hour int
		beside    bool // a rule of the frame or a month, which tints the cell
	}{{0, 0, true}, {364, 23, true}, {200, 18, false}, {31, 3, true}}
	for _, l := range lit {
		m.Maps[0].Values[24*l.day+l.hour] = 500
	}
	img, places := mustPNG(t, m, 2), map[string]lettering{}
	for _, l := range letterings(t, mustSVG(t, m)) {
		places[l.text] = l
	}
	y := func(text string) vg.Length { return (places[text].y0 + places[text].y1) / 2 }
	// The map begins a tick's gap right of its labels; July's label stands in its middle.
	x0 := places["0:00"].x1 + tickGap
	july := (places["Jul"].x0 + places["Jul"].x1) / 2
	perDay := (july - x0) / (181 + 15.5) // 1 July is day 181, counted from 0
	ramp := BoilerTone.ramp()
	at := func(day, hour float64) (x, yy vg.Length) {
		return 2 * (x0 + vg.Length(day+0.5)*perDay), 2 * (y("0:00") + vg.Length(hour+0.5)*(y("24:00")-y("0:00"))/24)
	}
	for _, l := range lit {
		x, yy := at(float64(l.day), float64(l.hour))
		got := pixel(img, x, yy)
		r, g, b, _ := got.RGBA()
		if !sameInk(got, ramp[255]) && !(l.beside && lightness(uint8(r>>8), uint8(g>>8), uint8(b>>8)) < 60) {
			t.Errorf("day %d, %d h: colour is %v; want the darkest %v", l.day, l.hour, got, ramp[255])
		}
	}
	for _, pale := range []struct{ day, hour float64 }{{200, 6}, {201.2, 18}, {198.8, 18}, {200, 16.9}, {200, 19.1}} {
		x, yy := at(pale.day, pale.hour)
		if got := pixel(img, x, yy); !sameInk(got, ramp[0]) {
			t.Errorf("day %g, %g h: colour is %v; want the lightest %v", pale.day, pale.hour, got, ramp[0])
		}
	}
}

func TestMonthStarts(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		year  int
		march int
		src   string
	}{{2026, 59, "31 + 28 days come before 1 March"}, {2028, 60, "31 + 29 days come before 1 March of a leap year"}} {
		m := YearMap{Start: time.Date(tt.year, 1, 1, 0, 0, 0, 0, time.UTC), StepH: 1, Maps: []Map{{Values: make([]float64, 8760)}}}
		if got := m.monthStarts()[1]; got != tt.march {
			t.Errorf("%d: March begins on day %d, want %d (%s)", tt.year, got, tt.march, tt.src)
		}
	}
}

// lightness is CIE L* of an sRGB colour, the way back from fromLab:
// IEC 61966-2-1 for the curve and Y, CIE 15:2004 8.2.1 for L*.
func lightness(r, g, b uint8) float64 {
	lin := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	y := 0.2126*lin(r) + 0.7152*lin(g) + 0.0722*lin(b)
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

func TestRampIsEven(t *testing.T) {
	t.Parallel()
	for _, tone := range []Tone{BoilerTone, StoreTone, SunTone} {
		for i, c := range tone.ramp() {
			r, g, b, _ := c.RGBA()
			want := 97 - 75*float64(i)/255
			// Half a level of each channel is at most 0.5 of L* in the dark.
			if got := lightness(uint8(r>>8), uint8(g>>8), uint8(b>>8)); math.Abs(got-want) > 0.5 {
				t.Errorf("tone %d, step %d: L* is %.2f, want %.2f (even steps from 97 to 22; CIE 15:2004)", tone, i, got, want)
			}
		}
	}
}

// TestInksPartInGrey holds what the palette says of itself.
func TestInksPartInGrey(t *testing.T) {
	t.Parallel()
	l := func(i int) float64 { return lightness(layerInks[i].R, layerInks[i].G, layerInks[i].B) }
	for i, want := range []float64{87, 62, 26} {
		if math.Abs(l(i)-want) > 1 {
			t.Errorf("layer %d: L* is %.1f; palette.go says %g", i, l(i), want)
		}
	}
	if line := lightness(black.R, black.G, black.B); l(0)-l(1) < 20 || l(1)-l(2) < 20 || l(2)-line < 12 {
		t.Errorf("layers at L* %.0f, %.0f, %.0f, lines at %.0f; want 20 between layers, 12 to the lines", l(0), l(1), l(2), line)
	}
}
