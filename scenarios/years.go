package scenarios

import (
	"fmt"
	"iter"
	"reflect"
	"strconv"

	"noonkeep/plant/sky"
)

// otherYear is a weather year in place of the scenario's own: one that is handed over, or one of a seed.
type otherYear struct {
	year *sky.Year
	seed uint64
}

// mostSeed is the largest seed that a scenario may write: from there on not every reader keeps a number.
const mostSeed = 1 << 53

// Seed gives the seed of a weather year that is generated from monthly means; false where the weather is measured.
func (c Case) Seed() (seed uint64, generated bool) {
	f := c.made.f.Weather
	switch given := c.made.given; {
	case given != nil:
		return given.seed, given.year == nil
	case f.Monthly == nil:
		return 0, false
	case !f.Seed.set:
		return defaultSeed, true
	}
	return uint64(f.Seed.base()), true
}

// BetweenYears is how much the sun of the years of [Case.WithSeed] differs from year to year, as a share; 0 where each has
// the monthly means exactly.
func (c Case) BetweenYears() float64 {
	if m := c.made.f.Weather.Monthly; m != nil {
		return m.Between.base()
	}
	return 0
}

// WithSeed gives the case in another year of the same monthly means, as a variant called "seed 8". With
// weather.monthly.between_years its sun lies by a drawn share above or below the means; so does that of the scenario's
// own seed then. What does not hang on the weather is not worked out again. Several goroutines may ask at once.
func (c Case) WithSeed(seed uint64) (Case, error) {
	own, generated := c.Seed()
	if !generated {
		return Case{}, &Error{File: c.File, Line: c.made.f.Weather.At.line, Key: "weather", Text: "is measured, so a seed makes no other year; want monthly means"}
	}
	if seed > mostSeed {
		return Case{}, fmt.Errorf("seed: is %d; want 0 to %d", seed, uint64(mostSeed))
	}
	if seed == own && c.BetweenYears() == 0 {
		return c, nil
	}
	out, err := c.inYear(fmt.Sprintf("seed %d", seed), &otherYear{seed: seed})
	out.Edits = []Edit{{Key: "weather.seed", From: strconv.FormatUint(own, 10), To: strconv.FormatUint(seed, 10)}}
	return out, err
}

// WithWeather gives the case in another weather year, as a variant of that name. The year stands on the case's own axis, as
// [sky.ReadYears] gives it: the calendar, and with it weekdays, holidays and shutdowns, stays the study's, whatever year
// the weather is of. What the year notes is doubted at the scenario's weather. What does not hang on the weather is not
// worked out again. Several goroutines may ask at once.
func (c Case) WithWeather(name string, year sky.Year) (Case, error) {
	if !year.Axis.Same(c.Axis) || len(year.GHI) != c.Axis.N {
		return Case{}, fmt.Errorf("%s: weather of %s: stands on another axis, of %d steps; want the study's %d", c.File, name, len(year.GHI), c.Axis.N)
	}
	return c.inYear(name, &otherYear{year: &year})
}

// inYear makes the case anew in another weather year.
func (c Case) inYear(name string, given *otherYear) (Case, error) {
	o := c.made
	b := builder{decoder: &decoder{faults: faults{file: o.c.File}, root: o.root}, open: o.open, from: o, given: given}
	b.mapping(o.root, at{line: o.root.Line}, reflect.ValueOf(&b.f).Elem())
	out, err := b.build()
	if err != nil {
		return Case{}, fmt.Errorf("with the weather of %s: %w", name, err)
	}
	out.Variant, out.Variants = name, nil
	return out, nil
}

// givenWeather takes the weather year that was handed over.
func (b *builder) givenWeather() {
	b.c.Weather = *b.given.year
	place, name := b.f.Weather.At, "weather"
	if names := b.f.Weather.names(); len(names) > 0 {
		place, name = names[0].at, names[0].s
	}
	b.weatherNotes(place, name, *b.given.year)
}

// names are the weather files that a scenario names, none for monthly means.
func (f weatherFile) names() []text {
	if f.File.set {
		return []text{f.File}
	}
	return f.Files
}

// MeasuredYears reads the scenario's weather files again and gives each of their years in turn, on the study's axis; one is
// held at a time. It is empty where the weather is generated. An error beside a year with Measured is of that year alone,
// which is not whole, and the next may be asked for; one without it ends the reading.
func (c Case) MeasuredYears() iter.Seq2[sky.Year, error] {
	return func(yield func(sky.Year, error) bool) {
		f := c.made.f.Weather
		if len(f.names()) == 0 {
			return
		}
		b := builder{decoder: &decoder{faults: faults{file: c.File}}, f: c.made.f, open: c.made.open}
		b.c.Axis, b.c.Place = c.Axis, c.Place
		in, late, options, ok := b.weatherInput(f)
		if !ok {
			yield(sky.Year{}, b.err())
			return
		}
		defer func() {
			for _, file := range late {
				file.close()
			}
		}()
		for year, err := range sky.ReadYears(in, options) {
			if len(b.faults.list) > 0 { // a file that cannot be opened
				yield(sky.Year{}, b.err())
				return
			}
			if err != nil {
				place := f.names()[0].at
				err = &Error{File: c.File, Line: place.line, Key: place.key, Text: err.Error(), Err: err}
			}
			if !yield(year, err) {
				return
			}
		}
	}
}
