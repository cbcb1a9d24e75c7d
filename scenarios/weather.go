package scenarios

import (
	"fmt"
	"time"

	"noonkeep/plant/sky"
)

// defaultSeed makes the generated year where none is written.
const defaultSeed = 1

// weather sets the weather year, from a file or from monthly means.
func (b *builder) weather() {
	f := b.f.Weather
	file := f.File.set || len(f.Files) > 0
	switch {
	case f.File.set && len(f.Files) > 0:
		b.add(f.At, "has file and files; want one of the two")
	case file && f.Monthly != nil:
		b.add(f.At, "has a file and monthly means; want one of the two")
	case file:
		b.weatherFiles(f)
	case f.Monthly != nil:
		b.monthly(f)
	default:
		b.add(f.At, "has neither a file nor monthly means; want one of the two")
	}
}

// monthly generates a year with the written means.
func (b *builder) monthly(f weatherFile) {
	if f.LightOffset.set || f.FillGaps.set {
		b.doubtAt(f.At, "light_offset and fill_long_gaps have no effect without a file")
	}
	if f.MostGap.set || f.Year.set || len(f.Air) > 0 || f.Columns != nil {
		b.doubtAt(f.At, "year, most_gap, air and columns have no effect without a file")
	}
	m := sky.Monthly{AirSwingK: f.Monthly.AirSwing.base()}
	const usualWindMS = 2.5
	for i := range 12 {
		m.GHIKWhM2Day[i], m.AirC[i], m.WindMS[i] = f.Monthly.GHI[i].base(), f.Monthly.Air[i].base(), usualWindMS
		if len(f.Monthly.Wind) == 12 {
			m.WindMS[i] = f.Monthly.Wind[i].base()
		}
	}
	if len(f.Monthly.Wind) == 0 {
		b.note(f.Monthly.At.key+".wind", fmt.Sprintf("%g m/s", usualWindMS), "in every month; common practice, no source")
	}
	seed := uint64(defaultSeed)
	switch {
	case b.given != nil:
		seed, m.BetweenYearsFrac = b.given.seed, f.Monthly.Between.base()
	case f.Seed.set:
		seed = uint64(f.Seed.base())
	default:
		b.note(f.Seed.key, fmt.Sprint(defaultSeed), "chooses one of the many years with these means")
	}
	year, err := sky.FromMonthly(m, b.c.Place, b.c.Axis, seed)
	if err != nil {
		b.wrap(f.Monthly.At, err)
		return
	}
	b.c.Weather = year
	for _, note := range year.Notes {
		b.doubtAt(f.Monthly.At, "%s", note.Text)
	}
}

// series works out what needs the whole year: the yields and the air round the stores.
func (b *builder) series() {
	for i, s := range b.c.Stores {
		s.AmbientC = b.c.Weather.AirC
		if indoors := b.storeFiles()[i].Ambient; indoors.word == "" {
			s.AmbientC = make([]float64, b.c.Axis.N)
			for t := range s.AmbientC {
				s.AmbientC[t] = indoors.base()
			}
		}
	}
	b.sunnyPower()
	b.yields()
}

func hours(h float64) time.Duration {
	return time.Duration(h * float64(time.Hour)).Round(time.Millisecond)
}
