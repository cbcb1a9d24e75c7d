package demand

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// movable is 900 kWh in each stretch of hours.
func movable(t testing.TB, within string) Movable {
	return Movable{Name: "bath", HeatKWh: 900, MostKW: 400, Within: mustWhen(t, within)}
}

func windowsOf(t *testing.T, m Movable, a clock.Axis, c clock.Calendar) []Window {
	t.Helper()
	windows, err := m.Windows(a, c)
	if err != nil {
		t.Fatal(err)
	}
	return windows
}

func TestMovableWindows(t *testing.T) {
	t.Parallel()
	christmas := clock.Calendar{Holidays: []clock.Date{{Month: 12, Day: 25}}} // a Friday in 2026
	for _, tt := range []struct {
		within, season string
		step           time.Duration
		cal            clock.Calendar
		windows        int
		kWh            float64
		src            string
	}{
		{"Mon-Fri 06:00-18:00", "", time.Hour, clock.Calendar{}, 261, 261 * 900, "calendar: 261 days from Monday to Friday in 2026"},
		{"Mon-Fri 06:00-18:00", "", time.Hour, christmas, 260, 260 * 900, "a holiday has no work"},
		{"Mon-Fri 06:00-18:00", "1 Jun..30 Jun", time.Hour, clock.Calendar{}, 22, 22 * 900, "calendar: 22 days from Monday to Friday in June 2026"},
		{"daily 06:00-10:00, 14:00-18:00", "", time.Hour, clock.Calendar{}, 730, 730 * 900, "each stretch is a window"},
		{"daily 22:00-06:00", "", time.Hour, clock.Calendar{}, 366, 365 * 900, "6 h of the night before the year and 2 h of its last are one night"},
		{"daily 06:20-12:40", "", 15 * time.Minute, clock.Calendar{}, 365, 365 * 900, "hours that fall on no step"},
		{"daily 06:20-12:20, 12:20-18:00", "", time.Hour, clock.Calendar{}, 730, 730 * 900, "two windows in the step at 12:00"},
	} {
		a := mustYear(t, 2026, tt.step)
		m := movable(t, tt.within)
		if tt.season != "" {
			m.Seasons = []clock.Span{*mustSpan(t, tt.season)}
		}
		windows := windowsOf(t, m, a, tt.cal)
		sum := 0.0
		for _, w := range windows {
			sum += w.HeatKWh
		}
		got := m.Soonest(a, windows).EnergyKWh(a.StepH())
		if len(windows) != tt.windows || math.Abs(sum-tt.kWh) > 1e-9*tt.kWh || math.Abs(got-tt.kWh) > 1e-9*tt.kWh {
			t.Errorf("%s: %d windows of %.10g kWh, %.10g as soon as may be; want %d of %g (%s)", tt.within, len(windows), sum, got, tt.windows, tt.kWh, tt.src)
		}
	}
}

// A night that the year's ends cut gets the share of heat that it has of the hours, and tells so.
func TestMovableCutByTheYear(t *testing.T) {
	t.Parallel()
	a := mustYear(t, 2026, time.Hour)
	windows := windowsOf(t, movable(t, "daily 22:00-06:00"), a, clock.Calendar{})
	for i, want := range map[int]float64{0: 6, 1: 8, 364: 8, 365: 2} {
		w := windows[i]
		if w.YearH != want || math.Abs(w.HeatKWh-900*want/8) > 1e-9 || w.Cut() != (want < 8) || w.H() != 8 {
			t.Errorf("window %d: %g h of %g, %g kWh, cut %v; want %g h", i, w.YearH, w.H(), w.HeatKWh, w.Cut(), want)
		}
		if from, to := w.Steps(); float64(to-from) != want {
			t.Errorf("window %d: steps %d to %d", i, from, to)
		}
	}
}

// By hand: 900 kWh at 400 kW are two hours and a quarter; from half past six on, the first step has half an hour.
func TestMovableSoonest(t *testing.T) {
	t.Parallel()
	a := mustYear(t, 2026, time.Hour)
	m := movable(t, "Thu 06:30-18:00") // 1 Jan 2026 is one
	got := m.Soonest(a, windowsOf(t, m, a, clock.Calendar{}))
	for step, want := range map[int]float64{5: 0, 6: 200, 7: 400, 8: 300, 9: 0} {
		if math.Abs(got[step]-want) > 1e-9 {
			t.Errorf("step %d: %g kW; want %g", step, got[step], want)
		}
	}
	m.LeastKW = 20 // 11.5 h of it are 230 kWh; 670 more at up to 380 kW
	got = m.Soonest(a, windowsOf(t, m, a, clock.Calendar{}))
	for step, want := range map[int]float64{6: 200, 7: 400, 8: 20 + 670 - 190 - 380, 9: 20, 17: 20, 18: 0} {
		if math.Abs(got[step]-want) > 1e-9 {
			t.Errorf("with a least, step %d: %g kW; want %g", step, got[step], want)
		}
	}
}

// Whatever the hours and powers: each window's shares come to its hours, its heat is done, within its powers.
func TestMovableKeepsEnergy(t *testing.T) {
	t.Parallel()
	unraced(t)
	rng := rand.New(rand.NewPCG(5, 6))
	for range 60 {
		step := []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute}[rng.IntN(3)]
		a := mustYear(t, 2026, step)
		from, long := rng.IntN(24*60), 30+rng.IntN(20*60)
		hour := func(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60%24, minute%60) }
		m := Movable{Name: "x", MostKW: 10 + 500*rng.Float64(), Within: mustWhen(t, "Mon, Wed-Sat "+hour(from)+"-"+hour(from+long))}
		m.LeastKW = m.MostKW * rng.Float64()
		h := float64(long) / 60
		m.HeatKWh = h * (m.LeastKW + rng.Float64()*(m.MostKW-m.LeastKW))
		for _, w := range windowsOf(t, m, a, clock.Calendar{}) {
			hours, heat := 0.0, 0.0
			kW := m.Soonest(a, []Window{w})
			for i, share := range w.Shares {
				hours += share * a.StepH()
				if x := kW[w.First+i]; x < share*m.LeastKW-1e-9 || x > share*m.MostKW+1e-9 {
					t.Fatalf("%v: step %d of the window of %v: %g kW", m, i, w.From, x)
				}
			}
			heat = kW.EnergyKWh(a.StepH())
			if math.Abs(hours-w.YearH) > 1e-9 || math.Abs(heat-w.HeatKWh) > 1e-9*m.HeatKWh || math.Abs(w.HeatKWh-m.HeatKWh*w.YearH/w.H()) > 1e-9*m.HeatKWh {
				t.Fatalf("%v: window of %v: %g h for %g, %g kWh for %g", m, w.From, hours, w.YearH, heat, w.HeatKWh)
			}
		}
	}
}

func TestMovableFaults(t *testing.T) {
	t.Parallel()
	a := mustYear(t, 2026, time.Hour)
	for _, tt := range []struct {
		spoil func(m *Movable)
		says  string
	}{
		{func(m *Movable) { m.HeatKWh = 0 }, `load "bath": heat: is 0 kWh; want more than 0`},
		{func(m *Movable) { m.HeatKWh = math.NaN() }, `load "bath": heat: is NaN kWh`},
		{func(m *Movable) { m.MostKW = 0; m.LeastKW = 0 }, `load "bath": most: is 0 kW; want more than 0, up to 1e+09`},
		{func(m *Movable) { m.LeastKW = 401 }, `load "bath": least: is 401 kW; want 0 to the most, 400`},
		{func(m *Movable) { m.Within = clock.When{} }, `load "bath": within: is missing; want hours such as "Mon-Fri 06:00-18:00"`},
		{func(m *Movable) { m.HeatKWh = 4801 },
			`load "bath": window of 1 Jan 06:00 to 1 Jan 18:00: 4801 kWh do not fit in; 12 h at 400 kW are 4800; raise the most or lengthen the window`},
		{func(m *Movable) { m.LeastKW = 100 },
			`load "bath": window of 1 Jan 06:00 to 1 Jan 18:00: takes 1200 kWh at its least, 100 kW for 12 h, and is to take 900; lower the least or shorten the window`},
		{func(m *Movable) {
			m.Seasons = []clock.Span{{From: clock.Date{Year: 2027, Month: 1, Day: 1}, To: clock.Date{Year: 2027, Month: 2, Day: 1}}}
		},
			`load "bath": within: Mon-Fri 06:00-18:00 has no hour from 2026-01-01 to 2026-12-31; want hours of the study`},
		{func(m *Movable) {
			m.Seasons = []clock.Span{{From: clock.Date{Month: 2, Day: 30}, To: clock.Date{Month: 3, Day: 1}}}
		}, `load "bath": season: `},
	} {
		m := movable(t, "Mon-Fri 06:00-18:00")
		tt.spoil(&m)
		if _, err := m.Windows(a, clock.Calendar{}); err == nil || !strings.HasPrefix(err.Error(), tt.says) {
			t.Errorf("error %v; want %q", err, tt.says)
		}
	}
	if _, err := movable(t, "always").Windows(clock.Axis{}, clock.Calendar{}); err == nil {
		t.Error("takes an axis without steps")
	}
}

func ExampleMovable() {
	a, _ := clock.NewYear(2026, time.Hour, time.Hour)
	within, _ := clock.ParseWhen("Mon-Fri 06:00-18:00")
	m := Movable{Name: "dye bath", HeatKWh: 900, MostKW: 400, Within: within}
	windows, err := m.Windows(a, clock.Calendar{})
	if err != nil {
		fmt.Println(err)
		return
	}
	soonest := m.Soonest(a, windows)
	fmt.Println(len(windows), "windows; the first has", windows[0].HeatKWh, "kWh, as soon as may be", soonest[6:10], "kW")
	// Output: 261 windows; the first has 900 kWh, as soon as may be [400 400 100 0] kW
}
