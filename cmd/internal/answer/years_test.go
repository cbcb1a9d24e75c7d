package answer

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"noonkeep/scenarios"
)

// Every year is solved as the scenario with that seed is; the spread is that of the years; the best volume of the mean is
// that of the mean curve.
func TestManyYears(t *testing.T) {
	unraced(t)
	t.Parallel()
	if testing.Short() {
		t.Skip("ten whole years")
	}
	c := dyehouse(t, "")
	y, err := ManyYears(context.Background(), c, YearsOptions{Seeds: 10, UnsureFrac: 0.05})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, x := range y.Years {
		names = append(names, x.Name)
	}
	if want := []string{"seed 7", "seed 1", "seed 2", "seed 3", "seed 4", "seed 5", "seed 6", "seed 8", "seed 9", "seed 10"}; !slices.Equal(names, want) || !y.Years[0].Own || y.Years[1].Own {
		t.Errorf("years %v; want %v, the first alone its own", names, want)
	}
	for i, seed := range []uint64{7, 1} {
		other, err := c.WithSeed(seed)
		if err != nil {
			t.Fatal(err)
		}
		a, err := Make(context.Background(), other, Options{StepM3: 40})
		if err != nil {
			t.Fatal(err)
		}
		at := slices.IndexFunc(a.Points, func(p Point) bool { return p.VolumeM3 == 40 })
		p, x := a.Points[at], y.Years[i]
		for _, q := range []struct {
			what      string
			got, want float64
		}{{"cost", x.AnnualCost, p.AnnualCost}, {"fuel", x.FuelKWh, p.FuelKWh}, {"over no store", x.SavingsVsNoStorage, p.SavingsVsNoStorage},
			{"over boilers", x.SavingsVsBoilersOnly, p.SavingsVsBoilersOnly}, {"from the sun", x.SolarFraction, p.SolarFraction}, {"heat", x.DemandKWh, a.DemandKWh}} {
			if math.Abs(q.got-q.want) > 1e-9*math.Abs(q.want) {
				t.Errorf("seed %d: %s %.9g; by its own curve %.9g", seed, q.what, q.got, q.want)
			}
		}
	}
	checkYears(t, y)
	at := slices.IndexFunc(y.Volumes, func(v VolumeSpread) bool { return v.VolumeM3 == y.VolumeM3 })
	if a, b := y.Volumes[at].SavingsVsNoStorage, y.Spread.SavingsVsNoStorage; math.Abs(a.Mean-b.Mean) > 1e-9*b.Mean || math.Abs(*a.P90-*b.P90) > 1e-6 {
		t.Errorf("at %g m³ the curve's spread %+v is not that of the years %+v", y.VolumeM3, a, b)
	}
	// The generated years have one sum of light, and not one beam.
	if s := y.Spread.GHIKWhM2; s.StdDev > 1e-9*s.Mean {
		t.Errorf("light %+v; want the means exactly", s)
	}
	if s := y.Spread.DNIKWhM2; !(*s.CoeffVar > 0.002 && *s.CoeffVar < 0.012) {
		t.Errorf("the beam differs by %.4f; 60 seeds of three places measured 0.006 to 0.008", *s.CoeffVar)
	}
	if lo, hi := y.Spread.BestVolumeM3.Least, y.Spread.BestVolumeM3.Most; !(*y.BestVolumeM3 > lo && *y.BestVolumeM3 < hi) {
		t.Errorf("the best volume of the mean is %g m³; in single years it is %g to %g", *y.BestVolumeM3, lo, hi)
	}
	if c := y.Cautious; c.OfYears != 20 || !(c.OneYear < c.MeanOfYears && c.OneYear < *y.Spread.SavingsVsBoilersOnly.P90Normal) {
		t.Errorf("%+v; want what is not sure to lower P90, and 20 years to raise it", c)
	}
	if len(y.Notes) != 1 || !strings.Contains(y.Notes[0], "differs less than real years do") {
		t.Errorf("notes %q; want that the years have one set of means", y.Notes)
	}
}

// checkYears checks what holds of any years: order, energy, and curves that bend down.
func checkYears(t *testing.T, y Years) {
	t.Helper()
	for _, x := range y.Years {
		if off := x.BoilersOnlyCost - x.SavingsVsBoilersOnly - x.AnnualCost; math.Abs(off) > 1e-9*x.AnnualCost {
			t.Errorf("%s: cost and savings do not add up, by %g", x.Name, off)
		}
		if x.DNIKWhM2 < 200 || x.GHIKWhM2 < 200 || x.SolarFraction < 0 || x.SolarFraction > 1 || len(x.Notes) != 0 && y.Weather == WeatherGenerated && y.BetweenYearsFrac == 0 {
			t.Errorf("%s: %+v", x.Name, x)
		}
	}
	for i, v := range y.Volumes {
		for _, s := range []Spread{v.SavingsVsNoStorage, v.SavingsVsBoilersOnly, v.MarginalSavingsPerM3, v.SolarFraction, v.FuelKWh} {
			if dust := 1e-9 * math.Abs(s.Most); !(s.Least <= s.Low()+dust && s.Low() <= *s.P50+dust && *s.P50 <= s.High()+dust && s.High() <= s.Most+dust && s.Least-dust <= s.Mean && s.Mean <= s.Most+dust) && s.P90 != nil {
				t.Errorf("%g m³: %+v is out of order", v.VolumeM3, s)
			}
		}
		if len(v.Savings) != len(y.Years) {
			t.Errorf("%g m³: %d years, want %d", v.VolumeM3, len(v.Savings), len(y.Years))
		}
		if i > 2 && y.Volumes[i].MarginalSavingsPerM3.Mean > y.Volumes[i-1].MarginalSavingsPerM3.Mean+1e-6 {
			t.Errorf("%g m³: the mean curve bends up", v.VolumeM3) // a smallest vessel may: its shell is large
		}
	}
	if p := y.Proof; p.PrimalResidual > 1e-6 || p.DualResidual > 1e-6 || p.DualityGap > 1e-6 || y.CertifiedGap > compareGapFrac {
		t.Errorf("proof %+v, gap %g", p, y.CertifiedGap)
	}
}

// The same seeds give the same bytes, however many work at once.
func TestManyYearsSameBytes(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("whole years")
	}
	c := dyehouse(t, "")
	var first []byte
	for range 2 {
		y, err := ManyYears(context.Background(), c, YearsOptions{Seeds: 3, ToM3: 20})
		if err != nil {
			t.Fatal(err)
		}
		b, err := json.Marshal(y)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = b
		} else if string(first) != string(b) {
			t.Error("a second run has other bytes")
		}
		if y.Spread.DNIKWhM2.P90 != nil || y.Spread.DNIKWhM2.P90Normal == nil || !slices.ContainsFunc(y.Notes, func(s string) bool { return strings.HasPrefix(s, "3 years are too few") }) {
			t.Errorf("3 years: %+v, notes %q; want no quantile P90, and told", y.Spread.DNIKWhM2, y.Notes)
		}
	}
}

// With a spread between years, light and savings differ by about as much, and no year is the scenario's own.
func TestManyYearsBetween(t *testing.T) {
	unraced(t)
	t.Parallel()
	if testing.Short() {
		t.Skip("ten whole years")
	}
	c := dyehouse(t, "", "    air_swing:", "    between_years: 4 %\n    air_swing:")
	y, err := ManyYears(context.Background(), c, YearsOptions{Seeds: 10, ToM3: 20})
	if err != nil {
		t.Fatal(err)
	}
	checkYears(t, y)
	if cv := *y.Spread.GHIKWhM2.CoeffVar; math.Abs(cv-0.04) > 3*0.04/math.Sqrt(2*9) { // three standard errors of a standard deviation
		t.Errorf("light differs by %.3f, want 0.04 about", cv)
	}
	if !(y.Spread.DNIKWhM2.StdDev > y.Spread.GHIKWhM2.StdDev) {
		t.Errorf("the beam differs by %.0f kWh/m², all light by %.0f; a cloud takes the beam first", y.Spread.DNIKWhM2.StdDev, y.Spread.GHIKWhM2.StdDev)
	}
	for _, x := range y.Years {
		if x.Own {
			t.Errorf("%s is called the scenario's own, which has the means as they are", x.Name)
		}
	}
}

// measuredText is a plain CSV of hourly weather, the years of seeds of the dyehouse put into calendar years.
func measuredText(t testing.TB, years map[int]uint64, rows map[int]int) string {
	t.Helper()
	c := dyehouse(t, "")
	var b strings.Builder
	b.WriteString("time,ghi,dni,dhi,air,wind\n")
	for year := 2000; year < 2030; year++ {
		seed, has := years[year]
		if !has {
			continue
		}
		other, err := c.WithSeed(seed)
		if err != nil {
			t.Fatal(err)
		}
		w := other.Weather
		last := w.Axis.N
		if n, cut := rows[year]; cut {
			last = n
		}
		for i := range last {
			at := w.Axis.At(i)
			at = time.Date(year, at.Month(), at.Day(), at.Hour(), 0, 0, 0, time.UTC)
			fmt.Fprintf(&b, "%s,%g,%g,%g,%g,%g\n", at.Format("2006-01-02 15:04"), w.GHI[i], w.DNI[i], w.DHI[i], w.AirC[i], w.WindMS[i])
		}
	}
	return b.String()
}

const measuredKeys = `weather:
  file: years.csv
  year: 2012
  times: start
  clock: standard
  columns:
    time: time
    ghi: {column: ghi, unit: W/m2}
    dni: {column: dni, unit: W/m2}
    dhi: {column: dhi, unit: W/m2}
    air: {column: air, unit: degC}
    wind: {column: wind, unit: m/s}

time:`

// measuredCase is the dyehouse under the weather of a file.
func measuredCase(t testing.TB, csv string) (scenarios.Case, error) {
	t.Helper()
	text, err := scenarios.Source("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(text), "\nweather:")
	_, rest, _ = strings.Cut(rest, "\ntime:")
	return scenarios.Parse("site.yaml", []byte(head+"\n"+measuredKeys+rest), func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(csv)), nil })
}

// Every whole year of a file is solved, on the study's calendar, to what its weather gives; one that is not whole is left
// out and told.
func TestMeasuredYears(t *testing.T) {
	unraced(t)
	t.Parallel()
	if testing.Short() {
		t.Skip("whole years")
	}
	csv := measuredText(t, map[int]uint64{2010: 1, 2011: 2, 2012: 3, 2013: 4}, map[int]int{2013: 5000})
	c, err := measuredCase(t, csv)
	if err != nil {
		t.Fatal(err)
	}
	y, err := ManyYears(context.Background(), c, YearsOptions{ToM3: 20})
	if err != nil {
		t.Fatal(err)
	}
	checkYears(t, y)
	var names []string
	for _, x := range y.Years {
		names = append(names, x.Name)
		if x.Own != (x.Name == "2012") {
			t.Errorf("%s: own is %v", x.Name, x.Own)
		}
	}
	if !slices.Equal(names, []string{"2010", "2011", "2012"}) || y.Weather != WeatherMeasured || y.CalendarYear != 2026 {
		t.Errorf("years %v, %s, calendar of %d", names, y.Weather, y.CalendarYear)
	}
	if len(y.LeftOut) != 1 || !strings.HasPrefix(y.LeftOut[0], "2013: ") || !strings.Contains(y.LeftOut[0], "want a whole year") {
		t.Errorf("left out %q; want 2013 and why", y.LeftOut)
	}
	generated, err := ManyYears(context.Background(), dyehouse(t, ""), YearsOptions{Seeds: 4, ToM3: 20})
	if err != nil {
		t.Fatal(err)
	}
	for i, seed := range []string{"seed 1", "seed 2", "seed 3"} {
		at := slices.IndexFunc(generated.Years, func(x WeatherYear) bool { return x.Name == seed })
		if a, b := y.Years[i].SavingsVsBoilersOnly, generated.Years[at].SavingsVsBoilersOnly; math.Abs(a/b-1) > 1e-3 {
			t.Errorf("%s saves %.0f; the same weather by its %s saves %.0f", y.Years[i].Name, a, seed, b)
		}
	}
	if !slices.ContainsFunc(y.Notes, func(s string) bool { return strings.HasPrefix(s, "the calendar stays that of 2026") }) {
		t.Errorf("notes %q; want what becomes of the calendar", y.Notes)
	}
}

func TestManyYearsRefused(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("whole years")
	}
	generated := dyehouse(t, "")
	one, err := measuredCase(t, measuredText(t, map[int]uint64{2012: 3}, nil))
	if err != nil {
		t.Fatal(err)
	}
	part, err := measuredCase(t, measuredText(t, map[int]uint64{2012: 3, 2013: 4}, map[int]int{2013: 5000}))
	if err != nil {
		t.Fatal(err)
	}
	short := dyehouse(t, "", "capacity: 2500 kg/h", "capacity: 1200 kg/h")
	const noSpread = "site.yaml: weather: has one year, and one year has no spread; name files of several years, or give monthly means to generate them from"
	for _, tt := range []struct {
		name string
		c    scenarios.Case
		opt  YearsOptions
		want string
	}{
		{"one seed", generated, YearsOptions{Seeds: 1}, "years: seeds: are 1; want 2 to 1000"},
		{"too many seeds", generated, YearsOptions{Seeds: 1001}, "years: seeds: are 1001; want 2 to 1000"},
		{"seeds of a file", one, YearsOptions{Seeds: 5}, "site.yaml: weather: is measured, so there are no seeds to draw; every year of its files is solved"},
		{"one year", one, YearsOptions{ToM3: 20}, noSpread},
		{"one whole year", part, YearsOptions{ToM3: 20}, noSpread + "\nsite.yaml: left out: 2013: years.csv:13761: rows: 3760 of 2013 are not in the file, from 28 Jul 08:00 to 31 Dec 23:00; want a whole year"},
		{"an unknown engine", generated, YearsOptions{Seeds: 2, Engine: "abacus"}, `seed 7: engine: is "abacus"; want clp or onestore`},
	} {
		if _, err := ManyYears(context.Background(), tt.c, tt.opt); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
	if _, err := ManyYears(context.Background(), short, YearsOptions{Seeds: 2, ToM3: 20}); err == nil || !strings.HasPrefix(err.Error(), "seed 7: boilers alone: ") {
		t.Errorf("boilers too small: %v; want it told of the first year", err)
	}
}

// Interrupted, the years stop at once and say so.
func TestManyYearsInterrupted(t *testing.T) {
	t.Parallel()
	c := dyehouse(t, "")
	ctx, stop := context.WithCancel(context.Background())
	calls := 0
	_, err := ManyYears(ctx, c, YearsOptions{Seeds: 1000, ToM3: 5, Progress: func(done, of int) {
		if calls++; done != calls || of != 1000 {
			t.Errorf("call %d says %d of %d", calls, done, of)
		}
		stop()
	}})
	if !errors.Is(err, context.Canceled) || calls > 8 {
		t.Errorf("after %d years: %v; want it to stop", calls, err)
	}
}

func BenchmarkManyYears30(b *testing.B) {
	c := dyehouse(b, "")
	for b.Loop() {
		if _, err := ManyYears(context.Background(), c, YearsOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
