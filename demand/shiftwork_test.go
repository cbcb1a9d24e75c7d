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

// One Monday, 2 March 2026 (calendar), hour by hour; 100 kW from 06:00 to 14:00.
func TestShiftByHand(t *testing.T) {
	const src = "by hand: mean of a straight line, share of the hour"
	base := Load{Name: "wash", KW: 100, When: mustWhen(t, "Mon 06:00-14:00")}
	with := func(change func(*Load)) Load {
		l := base
		change(&l)
		return l
	}
	day := clock.Axis{Start: time.Date(2026, 3, 2, 0, 0, 0, 0, time.FixedZone("", 3600)), Step: time.Hour, N: 24}
	for _, r := range []struct {
		name string
		load Load
		want string // kW of the hours from 04:00 to 17:00
		src  string
	}{
		{"plain", base, "0 0 100 100 100 100 100 100 100 100 0 0 0", src},
		{"start-up", with(func(l *Load) { l.StartUp = Extra{150, 90 * time.Minute} }), "75 150 100 100 100 100 100 100 100 100 0 0 0", src},
		{"cleaning", with(func(l *Load) { l.CleanUp = Extra{200, 45 * time.Minute} }), "0 0 100 100 100 100 100 100 100 100 150 0 0", src},
		{"a break without heat", with(func(l *Load) { l.Breaks = mustWhen(t, "daily 11:45-12:15") }), "0 0 100 100 100 100 100 75 75 100 0 0 0", src},
		{"a break at 30 %", with(func(l *Load) { l.Breaks, l.BreakFrac = mustWhen(t, "daily 12:00-12:30"), 0.3 }), "0 0 100 100 100 100 100 100 65 100 0 0 0", src},
		{"ramp from nothing in 2 h", with(func(l *Load) { l.Ramp = 2 * time.Hour }), "0 0 25 75 100 100 100 100 100 100 0 0 0", src},
		{"ramp of 30 min inside the hour", with(func(l *Load) { l.Ramp = 30 * time.Minute }), "0 0 75 100 100 100 100 100 100 100 0 0 0", src},
		{"ramp from the start-up's heat", with(func(l *Load) { l.Ramp, l.StartUp = time.Hour, Extra{40, time.Hour} }), "0 40 70 100 100 100 100 100 100 100 0 0 0", src},
		{"ramp down from a start-up peak", with(func(l *Load) { l.Ramp, l.StartUp = 2*time.Hour, Extra{180, time.Hour} }), "0 180 160 120 100 100 100 100 100 100 0 0 0",
			src + "; start-up peak of 1.3-2 times the mean: checks-heat.md 7.13"},
		{"a break within the ramp", with(func(l *Load) { l.Ramp, l.Breaks, l.BreakFrac = 4*time.Hour, mustWhen(t, "daily 07:00-08:00"), 0.5 }), "0 0 12.5 18.75 62.5 87.5 100 100 100 100 0 0 0", src},
		{"a ramp longer than the shift", with(func(l *Load) { l.Ramp = 16 * time.Hour }), "0 0 3.125 9.375 15.625 21.875 28.125 34.375 40.625 46.875 0 0 0", src},
		{"a gap shorter than start-up and cleaning parts no run", with(func(l *Load) {
			l.When, l.StartUp, l.CleanUp = mustWhen(t, "Mon 06:00-09:00, 10:00-14:00"), Extra{50, time.Hour}, Extra{20, 15 * time.Minute}
		}), "0 50 100 100 100 0 100 100 100 100 5 0 0", src},
		{"a gap with room for both does", with(func(l *Load) {
			l.When, l.StartUp, l.CleanUp = mustWhen(t, "Mon 06:00-09:00, 11:00-14:00"), Extra{50, time.Hour}, Extra{20, time.Hour}
		}), "0 50 100 100 100 20 50 100 100 100 20 0 0", src},
		{"shifts that touch are one run", with(func(l *Load) {
			l.When, l.StartUp, l.Ramp = mustWhen(t, "Mon 06:00-10:00, 10:00-14:00"), Extra{50, time.Hour}, time.Hour
		}), "0 50 75 100 100 100 100 100 100 100 0 0 0", src},
	} {
		needSource(t, r.src)
		kW, parts, err := r.load.Heat(day, clock.Calendar{})
		if err != nil {
			t.Errorf("%s: %v", r.name, err)
			continue
		}
		if got := strings.Trim(fmt.Sprint(kW[4:17]), "[]"); got != r.want {
			t.Errorf("%s: %s; want %s (%s)", r.name, got, r.want, r.src)
		}
		if got, want := partsKWh(parts), kW.EnergyKWh(1); math.Abs(got-want) > 1e-9*want {
			t.Errorf("%s: parts come to %g kWh of %g: %+v", r.name, got, want, parts)
		}
	}
}

func partsKWh(parts []Part) (sum float64) {
	for _, p := range parts {
		sum += p.KWh
	}
	return sum
}

// What lies just off the year's ends still asks for its start-up and cleaning inside it.
func TestShiftAtTheYearsEnds(t *testing.T) {
	a := mustYear(t, 2026, time.Hour) // 1 January 2027 is a Friday, 31 December 2025 a Wednesday (calendar)
	l := Load{Name: "x", KW: 10, When: mustWhen(t, "Fri 00:00-08:00; Wed 20:00-23:30"),
		StartUp: Extra{30, time.Hour}, CleanUp: Extra{40, time.Hour}}
	kW, err := l.On(a, clock.Calendar{})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range map[int]float64{0: 20, 1: 0, a.N - 1: 30, a.N - 2: 0} {
		if kW[i] != want {
			t.Errorf("%s: %g kW; want %g (by hand)", a.Label(i), kW[i], want)
		}
	}
	always := Load{Name: "x", KW: 10, When: clock.Always(), StartUp: Extra{30, time.Hour}, CleanUp: Extra{40, time.Hour}, Ramp: time.Hour}
	if kW, err = always.On(a, clock.Calendar{}); err != nil || kW.EnergyKWh(1) != 87600 {
		t.Errorf("%g kWh, %v; want 87600: what never stops never starts", kW.EnergyKWh(1), err)
	}
}

// Breaks fall on a night that runs on into a holiday or a shutdown too, and have other hours there only if they say so.
func TestBreaksOnHolidays(t *testing.T) {
	a := clock.Axis{Start: time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC), Step: time.Hour, N: 72} // a Monday
	c := clock.Calendar{Holidays: []clock.Date{{Month: 1, Day: 6}}}
	l := Load{Name: "x", KW: 10, When: mustWhen(t, "Mon 22:00-06:00; holidays 10:00-14:00"), Breaks: mustWhen(t, "daily 02:00-03:00, 12:00-13:00")}
	for _, r := range []struct {
		breaks string
		wantH  float64
		src    string
	}{
		{"daily 02:00-03:00, 12:00-13:00", 10, "by hand: 8 h and 4 h of work, a break in each"},
		{"daily 02:00-03:00, 12:00-13:00; holidays 12:00-13:00", 11, "by hand: the holiday's own hours have one break"},
		{"Mon 02:00-03:00", 12, "by hand: no work on Monday at two"},
	} {
		needSource(t, r.src)
		l.Breaks = mustWhen(t, r.breaks)
		if kW, err := l.On(a, c); err != nil || kW.EnergyKWh(1) != 10*r.wantH {
			t.Errorf("%s: %g kWh, %v; want %g (%s)", r.breaks, kW.EnergyKWh(1), err, 10*r.wantH, r.src)
		}
	}
}

// The odd nights stand in the part's text, and in its heat: in 2026 the clocks change on 29 March and 25 October.
func TestOddNightsAreSaid(t *testing.T) {
	rule, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		t.Fatal(err)
	}
	a, c := mustYear(t, 2026, time.Hour), clock.Calendar{Summer: rule}
	for _, r := range []struct {
		when, want string
		wantH      float64
		src        string
	}{
		{"Sat 22:00-06:00", "1 h fewer on 29 Mar, 1 h more on 25 Oct, when the clocks are changed", 52 * 8, "by hand: 52 Saturdays"},
		{"Sun 02:30-04:00", "0.5 h fewer on 29 Mar, 1 h more on 25 Oct, when the clocks are changed", 52*1.5 + 0.5, "by hand: begins with the first 02:30"},
		{"Mon-Sat 06:00-22:00", "", 313 * 16, "by hand: 365 - 52 days"},
	} {
		needSource(t, r.src)
		kW, parts, err := Load{Name: "x", KW: 3, When: mustWhen(t, r.when)}.Heat(a, c)
		if err != nil || len(parts) != 1 || parts[0].Text != r.want || math.Abs(kW.EnergyKWh(1)-3*r.wantH) > 1e-9 {
			t.Errorf("%s: %g kWh, %+v, %v; want %g kWh, %q (%s)", r.when, kW.EnergyKWh(1), parts, err, 3*r.wantH, r.want, r.src)
		}
	}
}

// Random shifts against a reckoning minute by minute that knows only which minutes are worked; and every
// step's length has the same energy.
func TestShiftAgainstMinutes(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2026))
	rule, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		t.Fatal(err)
	}
	whens := []string{"Mon-Fri 06:00-14:00", "daily 22:00-06:00", "Mon-Sat 05:10-09:20, 09:50-12:00, 14:00-23:35", "always",
		"rota from 2026-03-02: Mon-Fri 06:00-14:00 | Mon-Fri 14:00-22:00; Sun 22:00-02:00", "Sat 22:00-06:00; holidays 03:00-04:00", "Sun 02:30-03:30, 04:00-04:10"}
	for n := range 60 {
		l := Load{Name: "x", KW: 100 + 50*r.Float64(), When: mustWhen(t, whens[r.IntN(len(whens))])}
		minutes := func(most int) time.Duration { return time.Duration(r.IntN(most)) * time.Minute }
		if r.IntN(2) == 0 {
			l.Breaks, l.BreakFrac = mustWhen(t, "daily 02:10-02:40, 06:10-06:25, 12:00-12:30"), r.Float64()
		}
		l.Ramp = minutes(150) * time.Duration(r.IntN(2))
		if lasts := minutes(100); lasts > 0 {
			l.StartUp = Extra{200 * r.Float64(), lasts}
		}
		if lasts := minutes(100); lasts > 0 && r.IntN(2) == 0 {
			l.CleanUp = Extra{200 * r.Float64(), lasts}
		}
		c := clock.Calendar{Holidays: []clock.Date{{Month: 3, Day: 26}}}
		if r.IntN(2) == 0 {
			c.Summer = rule
		}
		start := time.Date(2026, 3, 23, 0, 0, 0, 0, time.FixedZone("", 3600))
		if r.IntN(2) == 0 {
			start = time.Date(2026, 10, 19, 0, 0, 0, 0, time.FixedZone("", 3600))
		}
		fine := clock.Axis{Start: start, Step: time.Minute, N: 10 * 24 * 60}
		want := byMinutes(t, l, fine, c)
		for _, step := range []time.Duration{time.Minute, 5 * time.Minute, time.Hour} {
			a := clock.Axis{Start: start, Step: step, N: int(10 * 24 * time.Hour / step)}
			got, parts, err := l.Heat(a, c)
			if err != nil {
				t.Fatal(err)
			}
			mean, err := clock.Resample(want, fine, a)
			if err != nil {
				t.Fatal(err)
			}
			for i := range got {
				if math.Abs(got[i]-mean[i]) > 1e-9*200 {
					t.Fatalf("%d, step %v: %s: %g kW; want %g by minutes: %+v, %+v", n, step, a.Label(i), got[i], mean[i], l, c)
				}
			}
			if sum, all := partsKWh(parts), got.EnergyKWh(a.StepH()); math.Abs(sum-all) > 1e-9*all {
				t.Fatalf("%d, step %v: parts come to %g kWh of %g", n, step, sum, all)
			}
		}
	}
}

// byMinutes is the load minute by minute; four days are added on both sides and cut off again.
func byMinutes(t *testing.T, l Load, a clock.Axis, c clock.Calendar) []float64 {
	t.Helper()
	const margin = 4 * 24 * 60
	wide := clock.Axis{Start: a.Start.Add(-margin * time.Minute), Step: time.Minute, N: a.N + 2*margin}
	work := l.When.Shares(wide, c)
	paused := l.Breaks.Shares(wide, clock.Calendar{Summer: c.Summer})
	startM, cleanM, rampM := int(l.StartUp.Lasts.Minutes()), int(l.CleanUp.Lasts.Minutes()), l.Ramp.Minutes()
	kW := make([]float64, wide.N)
	since, idle := -1, startM+cleanM+1 // minutes since the run began; minutes without work before
	for i, on := range work {
		if on == 0 {
			idle++
			continue
		}
		if since < 0 || idle > 0 && idle >= startM+cleanM {
			if since >= 0 {
				for k := i - idle; k < i-idle+cleanM; k++ {
					kW[k] += l.CleanUp.KW
				}
			}
			for k := max(i-startM, 0); k < i; k++ {
				kW[k] += l.StartUp.KW
			}
			since = i
		}
		idle = 0
		level := l.KW
		if m := float64(i-since) + 0.5; m < rampM {
			level = l.StartUp.KW + (l.KW-l.StartUp.KW)*m/rampM
		}
		if paused[i] > 0 {
			level *= l.BreakFrac
		}
		kW[i] += level
	}
	for k := wide.N - idle; k < min(wide.N-idle+cleanM, wide.N); k++ {
		kW[k] += l.CleanUp.KW
	}
	return kW[margin : margin+a.N]
}

func TestShiftRefuses(t *testing.T) {
	a := mustYear(t, 2026, time.Hour)
	for _, r := range []struct {
		change func(*Load)
		want   string
	}{
		{func(l *Load) { l.BreakFrac = 0.5 }, `load "x": breaks: are missing beside a break load; want hours such as "daily 12:00-12:30"`},
		{func(l *Load) { l.Breaks, l.BreakFrac = clock.Always(), 1.5 }, `load "x": break load: is 1.5; want 0 to 1 of the load`},
		{func(l *Load) { l.Ramp = -time.Hour }, `load "x": ramp: is -1h0m0s; want 0 to 24 h`},
		{func(l *Load) { l.Ramp = 25 * time.Hour }, `load "x": ramp: is 25h0m0s; want 0 to 24 h`},
		{func(l *Load) { l.StartUp = Extra{math.NaN(), time.Hour} }, `load "x": start-up: is NaN kW; want 0 to 1e+09`},
		{func(l *Load) { l.StartUp = Extra{10, 0} }, `load "x": start-up: takes 10 kW for no time; want how long it lasts`},
		{func(l *Load) { l.CleanUp = Extra{10, 48 * time.Hour} }, `load "x": clean-up: lasts 48h0m0s; want 0 to 24 h`},
		{func(l *Load) {
			*l = Load{Name: "x", Ramp: time.Hour, Series: &Series{Source: "log.csv", Unit: InKW, Start: a.Start, Step: time.Hour, Values: make([]float64, a.N)}}
		}, `load "x": breaks, ramp, start-up or cleaning: stand beside a series, which is taken as measured; want one of the two`},
	} {
		l := Load{Name: "x", KW: 1, When: clock.Always()}
		r.change(&l)
		if _, err := l.On(a, clock.Calendar{}); err == nil || err.Error() != r.want {
			t.Errorf("%v; want %s", err, r.want)
		}
	}
}

func BenchmarkLoadHeat(b *testing.B) {
	l := Load{Name: "x", KW: 600, When: mustWhen(b, "Mon-Sat 06:00-14:00, 14:00-22:00"), Breaks: mustWhen(b, "daily 12:00-12:30"),
		Ramp: 30 * time.Minute, StartUp: Extra{900, time.Hour}, CleanUp: Extra{200, 45 * time.Minute}}
	for _, step := range []time.Duration{time.Hour, time.Minute} {
		a := mustYear(b, 2026, step)
		b.Run("step="+step.String(), func(b *testing.B) {
			for b.Loop() {
				if _, err := l.On(a, clock.Calendar{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
