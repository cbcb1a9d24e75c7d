package demand

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/steam"
)

func mustYear(t testing.TB, year int, step time.Duration) clock.Axis {
	t.Helper()
	a, err := clock.NewYear(year, step, 3*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func mustWhen(t testing.TB, s string) clock.When {
	t.Helper()
	w, err := clock.ParseWhen(s)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func mustSpan(t testing.TB, s string) *clock.Span {
	t.Helper()
	span, err := clock.ParseSpan(s)
	if err != nil {
		t.Fatal(err)
	}
	return &span
}

// In 2026 there are 261 days from Monday to Friday and 52 Sundays (calendar).
func TestLoadEnergyOfAYear(t *testing.T) {
	christmas := clock.Calendar{Holidays: []clock.Date{{Month: 12, Day: 25}}} // a Friday in 2026
	rows := []struct {
		when, season string
		cal          clock.Calendar
		wantH        float64
		src          string
	}{
		{"Mon-Fri 06:00-14:00", "", clock.Calendar{}, 261 * 8, "by hand: 261 working days"},
		{"Mon-Fri 06:00-14:00", "", christmas, 260 * 8, "by hand: one of them is a holiday"},
		{"Mon-Sat 06:00-22:00", "", clock.Calendar{}, 313 * 16, "by hand: 365 - 52 days"},
		{"Mon-Fri 06:30-14:15", "", clock.Calendar{}, 261 * 7.75, "by hand"},
		{"always", "", clock.Calendar{}, 8760, "checks-heat.md 7.13: continuous 8760 h/a"},
		{"always", "15 Jul..30 Sep", clock.Calendar{}, 78 * 24, "by hand: 17 + 31 + 30 days"},
		{"daily 22:00-06:00", "1 Dec..31 Dec", clock.Calendar{}, 31 * 8, "by hand: 6 h of 31 Dec 2025, 30 nights of 8 h, 2 h of 31 Dec 2026"},
		{"daily 06:00-07:00", "1 Nov..28 Feb", clock.Calendar{}, 30 + 31 + 31 + 28, "by hand: over new year"},
	}
	for _, r := range rows {
		needSource(t, r.src)
		l := Load{Name: "wash", KW: 300, When: mustWhen(t, r.when)}
		if r.season != "" {
			l.Seasons = []clock.Span{*mustSpan(t, r.season)}
		}
		for _, step := range []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute} {
			a := mustYear(t, 2026, step)
			kW, err := l.On(a, r.cal)
			if got := kW.EnergyKWh(a.StepH()); err != nil || math.Abs(got-300*r.wantH) > 1e-9*got {
				t.Errorf("%s %s step %v: %g kWh, %v; want 300 kW x %g h (%s)", r.when, r.season, step, got, err, r.wantH, r.src)
			}
		}
	}
}

// Doubling the heat doubles each step; a holiday never adds.
func TestLoadScales(t *testing.T) {
	a := mustYear(t, 2026, time.Hour)
	l := Load{Name: "wash", KW: 150, When: mustWhen(t, "Mon-Fri 06:20-14:10")}
	once, err := l.On(a, clock.Calendar{})
	if err != nil {
		t.Fatal(err)
	}
	closed, err := l.On(a, clock.Calendar{Holidays: []clock.Date{{Month: 5, Day: 1}}, Shutdowns: []clock.Span{*mustSpan(t, "20 Dec..6 Jan")}})
	if err != nil {
		t.Fatal(err)
	}
	l.KW *= 2
	twice, err := l.On(a, clock.Calendar{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range once {
		if twice[i] != 2*once[i] || closed[i] > once[i] {
			t.Fatalf("%s: once %g, twice %g, with holidays %g", a.Label(i), once[i], twice[i], closed[i])
		}
	}
}

func TestLoadRefuses(t *testing.T) {
	a := mustYear(t, 2026, time.Hour)
	always := clock.Always()
	good := Series{Source: "log.csv", Unit: InKW, Start: a.Start, Step: time.Hour, Values: make([]float64, a.N)}
	rows := []struct {
		load Load
		axis clock.Axis
		want []string
	}{
		{Load{Name: "x", KW: 5}, a, []string{`load "x": when: is missing; want hours such as`}},
		{Load{Name: "x", KW: -1, When: always}, a, []string{`load "x": kW: is -1; want 0 to 1e+09`}},
		{Load{Name: "x", KW: math.NaN(), When: always}, a, []string{`kW: is NaN`}},
		{Load{Name: "x", KW: math.Inf(1), When: always}, a, []string{`kW: is +Inf`}},
		{Load{Name: "x", KW: math.NaN(), Seasons: []clock.Span{{}}}, a, []string{"kW: is NaN", "when: is missing", "season: days:"}},
		{Load{Name: "x", KW: 1, When: always, Seasons: []clock.Span{*mustSpan(t, "2025-07-01..2025-08-31")}}, a,
			[]string{`season: 2025-07-01..2025-08-31 has no day from 2026-01-01 to 2026-12-31`}},
		{Load{Name: "x", KW: 1, When: always}, clock.Axis{}, []string{`load "x": step: is 0s`}},
		{Load{Name: "x", KW: 1, When: always, Seasons: []clock.Span{*mustSpan(t, "1 May")}, Series: &good}, a,
			[]string{"kW: is 1 beside a series", `when: is "always" beside a series`, "season: stands beside a series"}},
		{Load{Name: "x", Series: &Series{}}, a, []string{`load "x": series: has no unit; want kW or kg/h`}},
		{Load{Name: "x", Series: &Series{Unit: InKgH, Step: time.Hour, Values: []float64{1}}}, a, []string{`is in kg/h; want kW`}},
		{Load{Name: "x", Series: &Series{Unit: InKW, Values: []float64{1}}}, a, []string{`step is 0s`}},
		{Load{Name: "x", Series: &Series{Unit: InKW, Step: time.Hour}}, a, []string{`has 0 values`}},
		{Load{Name: "x", Series: &Series{Unit: InKW, Step: time.Hour, Values: []float64{0, math.NaN()}}}, a, []string{`value 1 is NaN kW; want 0 to 1e+09`}},
	}
	for i, r := range rows {
		kW, err := r.load.On(r.axis, clock.Calendar{})
		for _, want := range r.want {
			if err == nil || kW != nil || !strings.Contains(err.Error(), want) {
				t.Errorf("row %d: %v; want %s", i, err, want)
			}
		}
	}
}

func TestSeriesOnKeepsEnergy(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2026))
	steps := []time.Duration{10 * time.Second, time.Minute, 7 * time.Minute, 15 * time.Minute, 45 * time.Minute, time.Hour, 100 * time.Minute, 24 * time.Hour}
	studies := []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute, 5 * time.Minute}
	for trial := range 60 {
		step := steps[rng.IntN(len(steps))]
		a := clock.Axis{Start: time.Date(2026, 3, 1, 0, 0, 0, 0, time.FixedZone("", 5*3600+45*60)),
			Step: studies[rng.IntN(len(studies))], N: 24 * (1 + rng.IntN(20))}
		lead := time.Duration(rng.IntN(7200)) * time.Second // the log begins earlier and ends later, off the study's steps
		s := Series{Unit: InKW, Step: step, Start: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC).Add(-lead)}
		s.Values = make([]float64, (lead+a.End().Sub(a.Start))/step+1)
		for i := range s.Values {
			s.Values[i] = rng.Float64() * 2000
		}
		kW, err := s.On(a)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0 // the slow way: each row's own overlap with the study, h
		for i, v := range s.Values {
			from := max(time.Duration(i)*step-lead, 0)
			to := min(time.Duration(i+1)*step-lead, a.End().Sub(a.Start))
			if from < to {
				want += v * (to - from).Hours()
			}
		}
		if got := kW.EnergyKWh(a.StepH()); len(kW) != a.N || math.Abs(got-want) > 1e-9*want {
			t.Errorf("trial %d, log %v, study %v: %g kWh; want %g", trial, step, a.Step, got, want)
		}
	}
}

func TestSeriesTooShort(t *testing.T) {
	a := mustYear(t, 2026, time.Hour)
	utc := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	rows := []struct {
		start time.Time
		step  time.Duration
		n     int
		want  string
	}{
		{utc, time.Hour, 8760, ""},
		{utc.AddDate(0, 0, -1), time.Hour, 9000, ""},
		{utc, 15 * time.Minute, 35040, ""},
		{utc, time.Hour, 8759, "log.csv:8760: 8759 rows of 60 min run 2026-01-01 00:00 to 2026-12-31 23:00; want 8760 rows, 2026-01-01 00:00 to 2027-01-01 00:00"},
		{utc, 15 * time.Minute, 8760, "log.csv:8761: 8760 rows of 15 min run 2026-01-01 00:00 to 2026-04-02 06:00; want 35040 rows"},
		{utc, 10 * time.Second, 3, "3 rows of 10 s run"},
		{utc, 7 * time.Minute, 100, "want 75086 rows"}, // 525600/7 = 75085.7
		{utc.Add(time.Hour), time.Hour, 8760, "log.csv:2: 8760 rows of 60 min run 2026-01-01 01:00 to 2027-01-01 01:00; want 8760 rows, " +
			"2026-01-01 00:00 to 2027-01-01 00:00; a time is the start of its step: if the log stamps the end, take 60 min off each"},
		{utc.AddDate(-1, 0, 0), time.Hour, 8760, "log.csv:8761: 8760 rows of 60 min run 2025-01-01 00:00 to 2026-01-01 00:00; want 8760 rows, " +
			"2026-01-01 00:00 to 2027-01-01 00:00; set the study's year to 2025, or measure in 2026"},
		{utc.AddDate(1, 0, 0), time.Hour, 8760, "set the study's year to 2027"},
	}
	for _, r := range rows {
		s, err := ReadSeries(strings.NewReader(asCSV(Series{Unit: InKW, Start: r.start, Step: r.step, Values: make([]float64, r.n)})), "log.csv")
		if err != nil {
			t.Fatal(err)
		}
		_, err = Load{Name: "x", Series: &s}.On(a, clock.Calendar{})
		if (err == nil) != (r.want == "") || err != nil && !strings.Contains(err.Error(), r.want) {
			t.Errorf("%v, %d of %v: %v; want %q", r.start, r.n, r.step, err, r.want)
		}
	}
}

// A measured series is taken as it is: the calendar leaves it alone, and On does not touch the values given.
func TestSeriesIgnoresCalendar(t *testing.T) {
	a := mustYear(t, 2026, time.Hour)
	s := Series{Unit: InKW, Start: a.Start, Step: time.Hour, Values: make([]float64, a.N)}
	for i := range s.Values {
		s.Values[i] = float64(i)
	}
	kW, err := Load{Name: "x", Series: &s}.On(a, clock.Calendar{Shutdowns: []clock.Span{*mustSpan(t, "1 Jan..31 Dec")}})
	if err != nil || !slices.Equal(kW, clock.KW(s.Values)) {
		t.Errorf("changed by a shutdown, or %v", err)
	}
	kW[0] = 7
	if s.Values[0] != 0 {
		t.Error("the answer shares its memory with the series")
	}
}

const air = 1.01325 // bar(a), the standard atmosphere of the check rows

// kJKgFromAt is the heat from and at 100 degC by which checks-heat.md 5.2 divides.
const kJKgFromAt = 2257

var steamTests = []struct {
	kgH, barG, feedC, wantKW, tol float64
	src, why                      string // why a tolerance is wider than the source's last digit
}{
	{kgH: 2000 * 0.90029, barG: 15, feedC: 68, wantKW: 2000. * kJKgFromAt / 3600, tol: 0.007,
		src: "checks-heat.md 5.2.2: 2000 kg/h from and at 100 degC, factor to 5 digits"},
	{kgH: 3600, barG: 15, feedC: 68, wantKW: 2792.90 - 285.93, tol: 0.01, src: "checks-heat.md 5.2.2, h_g and h_fw"},
	{kgH: 3600, barG: 10, feedC: 80, wantKW: 1.08326 * kJKgFromAt, tol: 0.012, src: "checks-heat.md 5.2.3"},
	{kgH: 3600, barG: 10, feedC: 105, wantKW: 1.03667 * kJKgFromAt, tol: 0.012, src: "checks-heat.md 5.2.3"},
	{kgH: 3600, barG: 7, feedC: 15, wantKW: 1.19833 * kJKgFromAt, tol: 0.012, src: "checks-heat.md 5.2.3"},
	{kgH: 3600, barG: 7, feedC: 90, wantKW: 1.05930 * kJKgFromAt, tol: 0.012, src: "checks-heat.md 5.2.3"},
	{kgH: 3600, barG: 7, feedC: 15, wantKW: 2705.29, tol: 0.71, src: "checks-heat.md 5.3.6",
		why: "there the water is at 1 bar, here behind the feed pump: v dp = 0.001 m3/kg x 701 kPa = 0.70 kJ/kg"},
	{kgH: 0, barG: 7, feedC: 15, src: "by hand: no steam, no heat"},
}

func TestSteamKW(t *testing.T) {
	for _, tt := range steamTests {
		needSource(t, tt.src)
		got, err := SteamKW(tt.kgH, steam.BarGauge(tt.barG, air), tt.feedC)
		if err != nil || math.Abs(got-tt.wantKW) > tt.tol {
			t.Errorf("%g kg/h, %g bar(g), %g degC: %.4f kW, %v; want %.4f (%s) %s", tt.kgH, tt.barG, tt.feedC, got, err, tt.wantKW, tt.src, tt.why)
		}
	}
}

func TestSteamKWRefuses(t *testing.T) {
	p := steam.BarGauge(6, air)
	rows := []struct {
		kgH    float64
		header steam.Pressure
		feedC  float64
		want   string
	}{
		{-1, p, 80, "steam: is -1 kg/h; want 0 to 1e+09"},
		{math.NaN(), p, 80, "steam: is NaN kg/h"},
		{math.Inf(1), p, 80, "steam: is +Inf kg/h"},
		{900, steam.Pressure{}, 80, "header: "},
		{900, steam.BarAbs(300), 80, "header: "},
		{900, p, 200, "feedwater: "},
		{900, p, math.NaN(), "feedwater: "},
	}
	for _, r := range rows {
		if got, err := SteamKW(r.kgH, r.header, r.feedC); err == nil || got != 0 || !strings.Contains(err.Error(), r.want) {
			t.Errorf("%+v: %g, %v; want %s", r, got, err, r.want)
		}
	}
}

func TestSeriesHeat(t *testing.T) {
	p := steam.BarGauge(7, air)
	s := Series{Source: "log.csv", Unit: InKgH, Step: time.Hour, Values: []float64{0, 3600, 1800}, lastLine: 4}
	kW, err := s.Heat(p, 15)
	if err != nil || kW.Unit != InKW || kW.lastLine != 4 || kW.Values[0] != 0 || math.Abs(kW.Values[1]-1.19833*kJKgFromAt) > 0.012 ||
		math.Abs(kW.Values[2]*2-kW.Values[1]) > 1e-9 {
		t.Errorf("%+v, %v; want 0, 2704.63 and half of it (checks-heat.md 5.2.3)", kW, err)
	}
	if s.Values[1] != 3600 || s.Unit != InKgH {
		t.Error("the series given was changed")
	}
	again, err := kW.Heat(steam.Pressure{}, 15)
	if err != nil || !slices.Equal(again.Values, kW.Values) {
		t.Errorf("a series in kW must stay: %v, %v", again, err)
	}
	if _, err := s.Heat(p, 300); err == nil || !strings.Contains(err.Error(), "log.csv: feedwater: ") {
		t.Errorf("hot feedwater: %v", err)
	}
	if _, err := (Series{}).Heat(p, 80); err == nil || !strings.Contains(err.Error(), "series: has no unit") {
		t.Errorf("no unit: %v", err)
	}
}

func BenchmarkLoadOn(b *testing.B) {
	a := mustYear(b, 2026, time.Hour)
	s := Series{Unit: InKW, Start: a.Start, Step: 15 * time.Minute, Values: make([]float64, 4*a.N)}
	for name, l := range map[string]Load{
		"shifts": {KW: 500, When: mustWhen(b, "Mon-Fri 06:00-14:00, 14:30-22:15")},
		"series": {Series: &s},
	} {
		b.Run("load="+name, func(b *testing.B) {
			for b.Loop() {
				if _, err := l.On(a, clock.Calendar{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
