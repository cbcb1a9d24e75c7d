package sketch

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
)

// Tone is the hue of a map.
type Tone int

// The tones of a year's maps.
const (
	SunTone Tone = iota
	StoreTone
	BoilerTone
)

// hues lie halfway between a light and a dark page, so that a full pixel stands out on both: their contrast is more
// than 3 with white and with black (TestTonesStandOnBothGrounds).
var hues = [...]color.NRGBA{SunTone: {180, 120, 0, 255}, StoreTone: {0, 140, 130, 255}, BoilerTone: {150, 100, 180, 255}}

func (t Tone) known() bool { return t >= SunTone && t <= BoilerTone }

// YearPNG draws a year, one pixel a step: days from left to right, midnight at the bottom. Alpha carries the value, clear
// at 0 and full at most, so that the map stands on any ground. Values must be 0 to most, within a solver's rounding.
func YearPNG(w io.Writer, stepsPerDay int, kw []float64, most float64, tone Tone) error {
	if err := checkYear(stepsPerDay, kw, most, tone); err != nil {
		return fmt.Errorf("map of the year: %w", err)
	}
	palette := make(color.Palette, 256)
	for i := range palette {
		c := hues[tone]
		c.A = uint8(i)
		palette[i] = c
	}
	days := len(kw) / stepsPerDay
	img := image.NewPaletted(image.Rect(0, 0, days, stepsPerDay), palette)
	for i, v := range kw {
		day, step := i/stepsPerDay, i%stepsPerDay
		share := min(max(v/most, 0), 1)
		img.Pix[(stepsPerDay-1-step)*img.Stride+day] = uint8(math.Round(255 * share))
	}
	return png.Encode(w, img)
}

func checkYear(stepsPerDay int, kw []float64, most float64, tone Tone) error {
	const mostDays, mostSteps = 366, 1440
	switch {
	case stepsPerDay < 1 || stepsPerDay > mostSteps:
		return fmt.Errorf("steps a day: are %d; want 1 to %d", stepsPerDay, mostSteps)
	case len(kw) == 0 || len(kw)%stepsPerDay != 0 || len(kw)/stepsPerDay > mostDays:
		return fmt.Errorf("values: are %d; want %d a day for 1 to %d whole days", len(kw), stepsPerDay, mostDays)
	case !(most > 0 && most <= largest):
		return fmt.Errorf("full colour: is at %g kW; want more than 0", most)
	case !tone.known():
		return errors.New("tone: is none of the three; want sun, store or boiler")
	}
	for i, v := range kw {
		if !(v >= -1e-6*most && v <= most*(1+1e-6)) {
			return fmt.Errorf("value %d: is %g kW; want 0 to %g", i+1, v, most)
		}
	}
	return nil
}
