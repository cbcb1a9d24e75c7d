package scenarios

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
)

func sourceOf(t *testing.T, name string) []byte {
	t.Helper()
	text, err := Source(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func total(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum
}

// A seed's year is that of the same scenario with the seed written, to the last bit, and what needs no sun is the very same.
func TestWithSeed(t *testing.T) {
	t.Parallel()
	text := sourceOf(t, "winery") // its chiller follows the weather
	c, err := Parse("winery.yaml", text, nil)
	if err != nil {
		t.Fatal(err)
	}
	own, generated := c.Seed()
	if !generated {
		t.Fatal("the winery's weather is not generated")
	}
	got, err := c.WithSeed(own + 1)
	if err != nil {
		t.Fatal(err)
	}
	written := strings.Replace(string(text), "seed: 11", "seed: 12", 1)
	want, err := Parse("winery.yaml", []byte(written), nil)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(got.Weather.DNI, want.Weather.DNI) || !slices.Equal(got.Weather.AirC, want.Weather.AirC) || got.Weather.Source != want.Weather.Source {
		t.Error("the weather is not that of the scenario with the seed written")
	}
	for i := range want.Fields {
		if !slices.Equal(got.Fields[i].ToHeader.KWM2, want.Fields[i].ToHeader.KWM2) || !slices.Equal(got.Fields[i].ToStore.KWM2, want.Fields[i].ToStore.KWM2) {
			t.Errorf("field %s: another yield than with the seed written", want.Fields[i].Name)
		}
	}
	for i, load := range want.Loads {
		if !slices.Equal(got.Loads[i].KW, load.KW) {
			t.Errorf("load %s: another heat than with the seed written", load.Name)
		}
	}
	if n := len(c.Assumptions); len(got.Assumptions) != n || len(got.Warnings) != len(c.Warnings) {
		t.Errorf("%d assumptions and %d warnings; want %d and %d, as with its own seed", len(got.Assumptions), len(got.Warnings), n, len(c.Warnings))
	}
	if seed, ok := got.Seed(); seed != own+1 || !ok || got.Variant != "seed 12" || len(got.Edits) != 1 {
		t.Errorf("seed %d (%v), variant %q, %d edits", seed, ok, got.Variant, len(got.Edits))
	}
	again, err := got.WithSeed(own)
	if err != nil || !slices.Equal(again.Weather.DNI, c.Weather.DNI) {
		t.Errorf("back to its own seed: another year, or %v", err)
	}
	if same, err := c.WithSeed(own); err != nil || &same.Weather.DNI[0] != &c.Weather.DNI[0] {
		t.Errorf("its own seed is worked out anew, or %v", err)
	}
}

// What hangs on the calendar alone is not worked out again; what hangs on the weather is.
func TestWithSeedShares(t *testing.T) {
	t.Parallel()
	text := strings.Replace(string(sourceOf(t, "dyehouse")), "\nfuels:", `
  - name: wash
    header: main
    hot_water: {draw: 2 m3/h, to: 60 degC, make_up: season}

fuels:`, 1)
	c, err := Parse("dyehouse.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := c.WithSeed(99)
	if err != nil {
		t.Fatal(err)
	}
	for i, load := range c.Loads {
		shared := &got.Loads[i].KW[0] == &load.KW[0]
		if sun := load.Name == "wash"; shared == sun {
			t.Errorf("load %s: shared %v; want %v", load.Name, shared, !sun)
		}
	}
	// A variant of another year keeps that year, and one with another sky does not.
	varied, err := got.inYear("again", got.made.given)
	if err != nil || !slices.Equal(varied.Weather.DNI, got.Weather.DNI) {
		t.Errorf("made anew: another year, or %v", err)
	}
	if len(got.Variants) != 0 {
		t.Errorf("%d variants; want none: they are the plant's", len(got.Variants))
	}
}

func TestWithWeather(t *testing.T) {
	t.Parallel()
	c, err := Load("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	other, err := c.WithSeed(3)
	if err != nil {
		t.Fatal(err)
	}
	year := other.Weather
	year.Notes = []sky.Note{{Line: 12, Text: "something odd"}}
	got, err := c.WithWeather("2011", year)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(got.Fields[0].ToStore.KWM2, other.Fields[0].ToStore.KWM2) || got.Variant != "2011" {
		t.Errorf("%q: other yields than those of the same weather by its seed", got.Variant)
	}
	if _, generated := got.Seed(); generated {
		t.Error("a year that was handed over has no seed")
	}
	if !slices.ContainsFunc(got.Warnings, func(w Warning) bool { return strings.Contains(w.Text, "line 12: something odd") }) {
		t.Errorf("warnings %v; want the year's note", got.Warnings)
	}
	axis, err := clock.NewYear(2024, time.Hour, 3*time.Hour) // a leap year
	if err != nil {
		t.Fatal(err)
	}
	year.Axis = axis
	const want = "dyehouse.yaml: weather of 2024: stands on another axis, of 8760 steps; want the study's 8760"
	if _, err := c.WithWeather("2024", year); err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
}

// The years of a spread have the light that was drawn, and by it the spread that was asked for.
func TestBetweenYears(t *testing.T) {
	t.Parallel()
	unraced(t)
	text := strings.Replace(string(sourceOf(t, "dyehouse")), "air_swing:", "between_years: 5 %\n    air_swing:", 1)
	c, err := Parse("dyehouse.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := Load("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(c.Weather.DNI, plain.Weather.DNI) {
		t.Error("the scenario's own year has not the means as they are")
	}
	mean := total(plain.Weather.GHI)
	for seed := range uint64(4) {
		got, err := c.WithSeed(seed + 7) // 7 is its own
		if err != nil {
			t.Fatal(err)
		}
		off := total(got.Weather.GHI)/mean - 1
		if math.Abs(off) > 0.15 || off == 0 {
			t.Errorf("seed %d: light %+.3f of the mean; want up to three times 5 %%, and not none", seed+7, off)
		}
	}
}

func TestWithSeedRefused(t *testing.T) {
	t.Parallel()
	c, err := Load("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	measured, err := c.WithWeather("2011", c.Weather)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name string
		c    Case
		seed uint64
		want string
	}{
		{"too large", c, 1<<53 + 1, "seed: is 9007199254740993; want 0 to 9007199254740992"},
		{"measured", measured, 8, "dyehouse.yaml:20: weather: is measured, so a seed makes no other year; want monthly means"},
	} {
		if _, err := tt.c.WithSeed(tt.seed); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
}
