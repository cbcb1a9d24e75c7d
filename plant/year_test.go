package plant

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
)

// stillYear is a weather year in which nothing moves: the sun stands at 30° from the zenith in the south with a beam of
// 800 W/m², air at 20 °C, wind 3 m/s. A test changes what it is about.
func stillYear(t testing.TB, step time.Duration) sky.Year {
	t.Helper()
	axis, err := clock.NewYear(2025, step, 0)
	if err != nil {
		t.Fatal(err)
	}
	n := axis.N
	y := sky.Year{Place: sky.Place{LatDeg: 0}, Axis: axis, Source: "test"}
	for _, s := range []*[]float64{&y.GHI, &y.DNI, &y.DHI, &y.AirC, &y.WindMS} {
		*s = make([]float64, n)
	}
	y.Suns = make([]sky.Sun, n)
	for i := range n {
		y.Suns[i] = sky.Sun{ZenithDeg: 30, AzimuthDeg: 180}
		y.DNI[i], y.AirC[i], y.WindMS[i] = 800, 20, 3
	}
	return y
}

// roughYear has the textbook sun of a latitude, broken clouds, gusty wind and air that swings, from a seed.
func roughYear(t testing.TB, latDeg float64, step time.Duration, seed uint64) sky.Year {
	t.Helper()
	y := stillYear(t, step)
	y.Place.LatDeg = latDeg
	rnd := rand.New(rand.NewPCG(seed, 2))
	for i := range y.Suns {
		at := y.Axis.Mid(i)
		day := float64(at.YearDay())
		hour := float64(at.Hour()) + float64(at.Minute())/60
		dec := 23.45 * math.Sin(radians(360*(284+day)/365))
		z, a := sunOf(latDeg, dec, 15*(hour-12))
		y.Suns[i] = sky.Sun{ZenithDeg: z, AzimuthDeg: math.Mod(a+360, 360), DeclinationDeg: dec}
		y.DNI[i], y.DHI[i], y.GHI[i] = 0, 0, 0
		if z < 97 { // and some light before the true sunrise, as files have
			clear := max(0, rnd.Float64()*1.6-0.6)
			y.DNI[i] = 950 * min(1, clear) * min(1, max(0.02, math.Cos(radians(z))*4))
			y.DHI[i] = 60 + 200*rnd.Float64()*max(0, math.Cos(radians(z)))
			y.GHI[i] = y.DHI[i] + y.DNI[i]*max(0, math.Cos(radians(z)))
		}
		y.AirC[i] = 12 + 10*math.Sin(2*math.Pi*(day-110)/365) + 7*math.Sin(2*math.Pi*(hour-9)/24) + 2*rnd.Float64()
		y.WindMS[i] = 16 * rnd.Float64() * rnd.Float64()
	}
	return y
}

// clean is a field of one collector that loses nothing outside it.
func clean(c Collector) Field {
	return Field{Name: "test", Collector: c, Count: 1, ApertureM2: 100, Cleanliness: 1, Availability: 1}
}

// mustYield is Yield for inputs that are right.
func mustYield(t testing.TB, f Field, y sky.Year, fluidC float64) YieldYear {
	t.Helper()
	out, err := f.Yield(y, fluidC)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// kind is a built-in collector.
func kind(t testing.TB, name string) Collector {
	t.Helper()
	k, err := KindByName(name)
	if err != nil {
		t.Fatal(err)
	}
	return k.Collector
}

// minutesOf is a year's minutes, with clouds that come and go by a seed, or without by 0.
func minutesOf(tb testing.TB, y sky.Year, seed uint64) sky.Year {
	tb.Helper()
	axis := y.Axis
	axis.N, axis.Step = axis.N*int(axis.Step/time.Minute), time.Minute
	fine, err := sky.SmoothMinutes(y, axis)
	if seed > 0 {
		fine, err = sky.Minutes(y, axis, seed)
	}
	if err != nil {
		tb.Fatal(err)
	}
	return fine
}

// generatedYear is so many days of weather by the hour, from spring on, with 0.55 of the light outside the air.
func generatedYear(tb testing.TB, latDeg float64, days int) sky.Year {
	tb.Helper()
	start := time.Date(2026, 3, 1, 0, 0, 0, 0, time.FixedZone("UTC+1", 3600))
	axis := clock.Axis{Start: start, Step: time.Hour, N: 24 * days}
	place := sky.Place{LatDeg: latDeg, LonDeg: 15, ElevationM: 300, UTCOffset: time.Hour}
	var m sky.Monthly
	var outside, ofMonth [12]float64
	for i, s := range sky.Suns(place, axis, 0) {
		month := axis.At(i).Month() - 1
		outside[month] += sky.ExtraterrestrialWM2(s.DistanceAU) * max(0, s.CosZenith()) * axis.StepH() / 1000
		ofMonth[month] += axis.StepH() / 24
	}
	for k := range outside {
		if ofMonth[k] == 0 {
			continue
		}
		m.GHIKWhM2Day[k], m.AirC[k], m.WindMS[k] = 0.55*outside[k]/ofMonth[k], 12-10*math.Cos(2*math.Pi*float64(k)/12), 3
	}
	y, err := sky.FromMonthly(m, place, axis, 5)
	if err != nil {
		tb.Fatal(err)
	}
	return y
}
