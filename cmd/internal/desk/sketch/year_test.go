package sketch

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"
)

func TestYearPixels(t *testing.T) {
	kw := make([]float64, 365*24)
	kw[0] = 200       // 1 Jan, the hour after midnight: left, bottom
	kw[24+13] = 100   // 2 Jan 13:00
	kw[364*24+23] = 1 // 31 Dec, the last hour: right, top
	for tone, hue := range hues {
		var b bytes.Buffer
		if err := YearPNG(&b, 24, kw, 200, Tone(tone)); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		if size := img.Bounds().Size(); size.X != 365 || size.Y != 24 {
			t.Fatalf("map is %v; want 365 by 24", size)
		}
		for _, row := range []struct {
			x, y  int
			alpha uint8
		}{{0, 23, 255}, {1, 10, 128}, {364, 0, 1}, {0, 0, 0}, {364, 23, 0}, {1, 9, 0}, {2, 10, 0}} {
			got := color.NRGBAModel.Convert(img.At(row.x, row.y)).(color.NRGBA)
			if got.A != row.alpha {
				t.Errorf("alpha at %d, %d is %d; want %d", row.x, row.y, got.A, row.alpha)
			}
			if row.alpha == 255 && got != hue {
				t.Errorf("full colour is %v; want %v", got, hue)
			}
		}
	}
}

func TestYearOfMinutesAndLeapYears(t *testing.T) {
	var b bytes.Buffer
	if err := YearPNG(&b, 96, make([]float64, 366*96), 1, SunTone); err != nil {
		t.Fatal(err)
	}
	if img, err := png.Decode(&b); err != nil || img.Bounds().Dx() != 366 || img.Bounds().Dy() != 96 {
		t.Errorf("map of a leap year's quarters: %v, %v", img.Bounds(), err)
	}
}

func TestYearRefuses(t *testing.T) {
	for _, row := range []struct {
		perDay int
		kw     []float64
		most   float64
		tone   Tone
		want   string
	}{
		{0, []float64{1}, 1, SunTone, "map of the year: steps a day: are 0; want 1 to 1440"},
		{2, []float64{1, 1, 1}, 1, SunTone, "map of the year: values: are 3; want 2 a day for 1 to 366 whole days"},
		{2, nil, 1, SunTone, "map of the year: values: are 0; want 2 a day for 1 to 366 whole days"},
		{2, []float64{1, math.NaN()}, 1, SunTone, "map of the year: value 2: is NaN kW; want 0 to 1"},
		{2, []float64{1, 3}, 2, SunTone, "map of the year: value 2: is 3 kW; want 0 to 2"},
		{2, []float64{-1, 0}, 2, SunTone, "map of the year: value 1: is -1 kW; want 0 to 2"},
		{2, []float64{0, 0}, 0, SunTone, "map of the year: full colour: is at 0 kW; want more than 0"},
		{2, []float64{0, 0}, math.NaN(), SunTone, "map of the year: full colour: is at NaN kW; want more than 0"},
		{2, []float64{0, 0}, 1, Tone(3), "map of the year: tone: is none of the three; want sun, store or boiler"},
	} {
		var b bytes.Buffer
		wantError(t, YearPNG(&b, row.perDay, row.kw, row.most, row.tone), row.want)
		if b.Len() > 0 {
			t.Errorf("%s: wrote %d bytes all the same", row.want, b.Len())
		}
	}
}

// src: WCAG 2.2, relative luminance and 1.4.11, which wants a contrast of 3 to 1 for what a picture means.
func TestTonesStandOnBothGrounds(t *testing.T) {
	linear := func(c uint8) float64 {
		v := float64(c) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	for tone, c := range hues {
		l := 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
		onWhite, onBlack := 1.05/(l+0.05), (l+0.05)/0.05
		if onWhite < 3 || onBlack < 3 {
			t.Errorf("tone %d has a contrast of %.2f on white and %.2f on black; want 3", tone, onWhite, onBlack)
		}
	}
}

func frame() YearFrame {
	return YearFrame{Title: "Sun: 412 MWh", Name: "Sun to the header", Note: "412 MWh a year", Year: 2028, Href: "/sheet/1/file/sun.png?a=1&b=2",
		MostKW: 900, HeatUnit: "kW", HeatTimes: 1, Tone: SunTone}
}

func TestYearFramePlaces(t *testing.T) {
	for _, narrow := range []bool{false, true} {
		y := frame()
		y.Narrow = narrow
		s, err := y.SVG()
		if err != nil {
			t.Fatal(err)
		}
		var x, w float64
		texts := map[string]float64{}
		for _, e := range elements(t, s) {
			if e.name == "image" {
				x, w = number(t, e.attr["x"]), number(t, e.attr["width"])
				if e.attr["href"] != y.Href {
					t.Errorf("the map is at %q; want %q", e.attr["href"], y.Href)
				}
			}
			if e.name == "text" && e.attr["text-anchor"] == "middle" {
				texts[strings.TrimSpace(e.text)] = number(t, e.attr["x"])
			}
		}
		if narrow {
			near(t, "the middle of December", texts["D"], x+w*(335+366)/2/366)
		} else { // in a leap year March is days 60 to 90, counted from 0
			near(t, "the middle of March", texts["Mar"], x+w*(60+91)/2/366)
		}
		for _, label := range []string{"00:00", "06:00", "12:00", "18:00", "24:00", "250", "500", "750", "kW"} {
			if !strings.Contains(s, ">"+label+"<") {
				t.Errorf("%s is not there", label)
			}
		}
	}
}

func TestYearFrameEscapesAndRefuses(t *testing.T) {
	y := frame()
	y.Title, y.Name, y.Note, y.Href, y.Narrow = nasty, nasty, nasty, nasty, true
	if s, err := y.SVG(); err != nil {
		t.Error(err)
	} else {
		elements(t, s)
	}
	for _, row := range []struct {
		change func(*YearFrame)
		want   string
	}{
		{func(y *YearFrame) { y.Href = "" }, "year: map: has no address; want one"},
		{func(y *YearFrame) { y.Title = "" }, `year: words: title is "", name is "Sun to the header"; want both`},
		{func(y *YearFrame) { y.MostKW = math.NaN() }, "year: full colour: is at NaN kW; want more than 0"},
		{func(y *YearFrame) { y.HeatTimes = math.Inf(1) }, "year: heat in kW: is +Inf of a kW; want more than 0"},
		{func(y *YearFrame) { y.Year = 0 }, "year: year: is 0; want 1 to 9999"},
		{func(y *YearFrame) { y.Tone = -1 }, "year: tone: is -1; want one of the three"},
		{func(y *YearFrame) { y.HeatUnit = "" }, "year: unit: is empty; want a name such as kW"},
	} {
		y := frame()
		row.change(&y)
		_, err := y.SVG()
		wantError(t, err, row.want)
	}
}
