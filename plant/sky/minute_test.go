package sky

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// minuteYears are the sources of minutes in these tests: real files, and generated years where no file is needed. They are
// read once; nobody changes them.
func minuteYears(t *testing.T) map[string]Year {
	t.Helper()
	minuteSources.once.Do(func() {
		minuteSources.years = map[string]Year{}
		for _, lat := range []float64{-35, 45, 68} {
			p := Place{LatDeg: lat, LonDeg: 8, ElevationM: 300, UTCOffset: time.Hour}
			a := yearAxis(t, 2026, time.Hour, time.Hour)
			y, err := FromMonthly(clearnessMonthly(p, a, 0.5), p, a, 3)
			if err != nil {
				t.Fatal(err)
			}
			minuteSources.years[fmt.Sprintf("generated at %g deg", lat)] = y
		}
		for _, f := range []struct {
			name string
			zone time.Duration
			air  []float64
		}{
			{"tucson-usa-tmy3.csv", -7 * time.Hour, nil}, {"po-valley-italy-pvgis.csv", time.Hour, nil},
			{"fairbanks-usa-psm4-tmy-ghi-only.csv", -9 * time.Hour, []float64{0}}, {"honolulu-usa-tmy3.csv", -10 * time.Hour, nil},
		} {
			if !haveWeather(f.name) {
				t.Logf("%s is not here: its row is left out", f.name)
				continue
			}
			minuteSources.years[f.name] = readReal(t, f.name, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, f.zone), AirC: f.air})
		}
	})
	return minuteSources.years
}

var minuteSources struct {
	once  sync.Once
	years map[string]Year
}

// daysOf is some days of a year, from the first of a month on.
func daysOf(y Year, month time.Month, days int) Year {
	perDay := int(24 * time.Hour / y.Axis.Step)
	from := y.Axis.Start.AddDate(0, int(month)-1, 0)
	i := int(from.Sub(y.Axis.Start) / y.Axis.Step)
	n := min(days*perDay, y.Axis.N-i)
	y.Axis.Start, y.Axis.N = from, n
	y.GHI, y.DNI, y.DHI, y.AirC, y.WindMS, y.Suns = y.GHI[i:i+n], y.DNI[i:i+n], y.DHI[i:i+n], y.AirC[i:i+n], y.WindMS[i:i+n], y.Suns[i:i+n]
	return y
}

// byMinute is a year's minutes, by a seed or smooth with none.
func byMinute(t *testing.T, y Year, step time.Duration, seed ...uint64) Year {
	t.Helper()
	axis := y.Axis
	axis.N *= int(axis.Step / step)
	axis.Step = step
	fine, err := SmoothMinutes(y, axis)
	if len(seed) > 0 {
		fine, err = Minutes(y, axis, seed[0])
	}
	if err != nil {
		t.Fatal(err)
	}
	return fine
}

// Every step of the source keeps its energy; the night has none, unless the file's has; nothing passes the limits, unless the
// file does.
func TestMinutesKeepEnergy(t *testing.T) {
	for name, y := range minuteYears(t) {
		if underRace {
			y = daysOf(y, time.March, 4)
		}
		fine := byMinute(t, y, time.Minute, 1)
		keepsEnergy(t, name+" cloudy", y, fine)
		withinLimits(t, name+" cloudy", y, fine)
		y = daysOf(y, time.January, 40)
		fine = byMinute(t, y, time.Minute)
		keepsEnergy(t, name+" smooth", y, fine)
		withinLimits(t, name+" smooth", y, fine)
	}
}

func keepsEnergy(t *testing.T, name string, y, fine Year) {
	t.Helper()
	n := int(y.Axis.Step / fine.Axis.Step)
	worst := 0.
	for _, pair := range [][2][]float64{{y.GHI, fine.GHI}, {y.DNI, fine.DNI}, {y.DHI, fine.DHI}, {y.AirC, fine.AirC}, {y.WindMS, fine.WindMS}} {
		for i, w := range pair[0] {
			off := math.Abs(mean(pair[1][i*n:(i+1)*n])-w) / math.Max(1, math.Abs(w))
			worst = math.Max(worst, off)
		}
	}
	if !(worst < 1e-12) {
		t.Errorf("%s, %v: a step's mean is off by %g of itself; want 1e-12: its energy is kept", name, fine.Axis.Step, worst)
	}
}

// withinLimits wants light only under the sun and under the limits, but in as many steps of the source as are told.
func withinLimits(t *testing.T, name string, y, fine Year) {
	t.Helper()
	n := int(y.Axis.Step / fine.Axis.Step)
	dark, over := 0, 0
	for i := range y.Axis.N {
		lit, isOver := false, false
		for k := i * n; k < (i+1)*n; k++ {
			lit = lit || fine.Suns[k].CosZenith() > 0
		}
		if !lit {
			if y.GHI[i]+y.DNI[i]+y.DHI[i] > 0 {
				dark++
			}
			continue
		}
		for k := i * n; k < (i+1)*n; k++ {
			s := fine.Suns[k]
			l := Light{fine.GHI[k], fine.DNI[k], fine.DHI[k]}
			if l.GHI < 0 || l.DNI < 0 || l.DHI < 0 || s.CosZenith() <= 0 && l != (Light{}) {
				t.Fatalf("%s: %s: light %v with the sun at %g deg", name, fine.Axis.Label(k), l, s.ZenithDeg)
			}
			_, most := LimitsAt(s.CosZenith(), ExtraterrestrialWM2(s.DistanceAU))
			isOver = isOver || l.GHI > most.GHI*(1+1e-9) || l.DNI > most.DNI*(1+1e-9) || l.DHI > most.DHI*(1+1e-9)
		}
		if isOver {
			over++
		}
	}
	says(t, name, fine, dark, "steps of the source with light while the sun is down all the time: %d,")
	says(t, name, fine, over, "steps of the source with more light than the quality limits (Long and Dutton 2002) allow while their sun is up: %d,")
}

// says wants a note with the number, or none where the number is 0.
func says(t *testing.T, name string, y Year, n int, form string) {
	t.Helper()
	want := fmt.Sprintf(form, n)
	if has := strings.Contains(notesOf(y), want); has != (n > 0) {
		t.Errorf("%s: a note %q: %v; want %v; notes:\n%s", name, want, has, n > 0, notesOf(y))
	}
}

// A coarser axis has the means of the minutes, and a source of half hours is as good as one of hours.
func TestMinutesJoin(t *testing.T) {
	y := daysOf(minuteYears(t)["generated at 45 deg"], time.June, 15)
	minute, ten := byMinute(t, y, time.Minute, 7), byMinute(t, y, 10*time.Minute, 7)
	keepsEnergy(t, "ten of one minute", ten, minute)
	keepsEnergy(t, "ten minutes", y, ten)
	half := byMinute(t, y, 30*time.Minute, 7)
	half.RowStep = half.Axis.Step
	keepsEnergy(t, "minutes of half hours", half, byMinute(t, half, time.Minute, 8))
}

// A year that Read has spread over minutes gets its clouds all the same, and one of minutes of its own none.
func TestMinutesOfMinutes(t *testing.T) {
	y := daysOf(minuteYears(t)["generated at 45 deg"], time.June, 15)
	spread := byMinute(t, y, time.Minute)
	fine := byMinute(t, spread, time.Minute, 7)
	keepsEnergy(t, "spread anew", y, fine)
	if same := byMinute(t, y, time.Minute, 7); !closeTo(fine.DNI, same.DNI, 1e-6) {
		t.Error("minutes of a spread year are not those of its hours")
	}
	spread.RowStep = time.Minute // as measured ones have
	fine = byMinute(t, spread, time.Minute, 7)
	if !slices.Equal(fine.DNI, spread.DNI) || !slices.Equal(fine.GHI, spread.GHI) {
		t.Error("measured minutes were changed")
	}
	if want := "the weather has steps of 1 min of its own: its light is taken as it is, and nothing is spread"; !strings.Contains(notesOf(fine), want) {
		t.Errorf("no note %q in:\n%s", want, notesOf(fine))
	}
}

func closeTo(a, b []float64, tol float64) bool {
	for i := range a {
		if !(math.Abs(a[i]-b[i]) <= tol) {
			return false
		}
	}
	return len(a) == len(b)
}

func TestMinutesRefuse(t *testing.T) {
	y := daysOf(minuteYears(t)["generated at 45 deg"], time.January, 10)
	axis := daysOf(byMinute(t, y, time.Minute), time.January, 10).Axis
	for _, c := range []struct {
		change func(y *Year, a *clock.Axis)
		want   string
	}{
		{func(_ *Year, a *clock.Axis) { a.N += 60 },
			"minutes: the axis runs 2026-01-01 00:00 +01:00 for 241h0m0s; want the weather's, 2026-01-01 00:00 +01:00 for 240h0m0s"},
		{func(y *Year, a *clock.Axis) {
			*y = byMinute(t, *y, 15*time.Minute)
			a.Step, a.N = 10*time.Minute, a.N/10
		},
			"minutes: the axis has steps of 10 min, the weather of 15 min; want a whole part of that"},
		{func(y *Year, _ *clock.Axis) { y.RowStep = 25 * time.Minute },
			"minutes: the weather's rows are of 25 min, its steps of 60 min; want one to be a whole part of the other, an hour at most"},
		{func(y *Year, _ *clock.Axis) { y.Suns = y.Suns[1:] },
			"weather: has 240 GHI, 240 DNI, 240 DHI, 240 air, 240 wind and 239 sun values on an axis of 240 steps; want as many each"},
		{func(y *Year, _ *clock.Axis) { y.DNI = slices.Clone(y.DNI); y.DNI[12] = math.NaN() },
			fmt.Sprintf("weather: 1 Jan 12:00: GHI %g, DNI NaN, DHI %g W/m², air %g °C, wind %g m/s; want values a sky can have",
				y.GHI[12], y.DHI[12], y.AirC[12], y.WindMS[12])},
		{func(_ *Year, a *clock.Axis) { a.Step = 7 * time.Minute }, "step: is 7m0s; want 60, 30, 15 min or another divisor of 60 min"},
	} {
		changed, a := y, axis
		c.change(&changed, &a)
		if _, err := Minutes(changed, a, 1); err == nil || err.Error() != c.want {
			t.Errorf("error %q;\nwant %q", err, c.want)
		}
	}
	if _, err := ClearSkyOf(y, [12]float64{3, 13}); err == nil || err.Error() != "turbidity of February: is 13; want 1 to 12" {
		t.Errorf("error %q; want that 13 is too much", err)
	}
}

// Straight lines keep each mean, do not fall below 0, meet at the steps' ends and give a line back.
func TestStraight(t *testing.T) {
	for _, n := range []int{2, 3, 60} {
		for _, row := range []struct {
			v     []float64
			least bool
		}{{[]float64{1, 2, 3, 4, 5}, false}, {[]float64{-3, 7, -2, -2, 11}, false}, {[]float64{0, 9, 0, 0.1, 40, 0}, true}} {
			out := straight(row.v, n, row.least)
			for i, m := range row.v {
				near(t, "mean", mean(out[i*n:(i+1)*n]), m, 1e-14*math.Max(1, math.Abs(m)), "theorem: each mean is kept")
			}
			if row.least && slices.Min(out) < 0 {
				t.Errorf("%v in %d: falls to %g", row.v, n, slices.Min(out))
			}
		}
	}
	line := straight([]float64{1, 2, 3, 4, 5}, 4, false)
	for k := 4; k < 16; k++ { // the ends have a neighbour on one side only
		near(t, "line", line[k], 0.5+(float64(k)+0.5)/4, 1e-12, "by hand: a line is its own")
	}
}

// Positions for every minute of a year, held against the whole algorithm.
func TestMinuteSuns(t *testing.T) {
	a, worst := yearAxis(t, 2026, time.Minute, -7*time.Hour), 0.
	golden := Place{LatDeg: 39.742476, LonDeg: -105.1786, ElevationM: 1830.14, UTCOffset: -7 * time.Hour}
	suns := Suns(golden, a, 0)
	for i := 0; i < a.N; i += 373 { // a prime: all minutes of the day come
		w := SunAt(golden, a.Mid(i))
		worst = max(worst, math.Abs(suns[i].ZenithDeg-w.ZenithDeg),
			math.Abs(math.Remainder(suns[i].AzimuthDeg-w.AzimuthDeg, 360))*math.Sin(rad(w.ZenithDeg)))
	}
	near(t, "worst angle, deg", worst, 0, 1e-5, "SunAt, itself held to 0.0005 deg against an astronomy library (checks-sun.md 1.2)")
}
