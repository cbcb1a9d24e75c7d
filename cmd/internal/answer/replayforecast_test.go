package answer

import (
	"math"
	"testing"
	"time"

	"noonkeep/optimize"
	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

func hoursOf(days int) clock.Axis {
	return clock.Axis{Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Step: time.Hour, N: 24 * days}
}

// dayLight is a clear day of half-sine light, and what an index leaves of it.
func dayLight(a clock.Axis, index func(t int) float64) (actual, clear []float64) {
	actual, clear = make([]float64, a.N), make([]float64, a.N)
	for t := range clear {
		clear[t] = max(0, math.Sin(math.Pi*(float64(t%24)-5.5)/12))
		actual[t] = clear[t] * index(t)
	}
	return actual, clear
}

// An index that stays as it is for days is foreseen all but exactly; one that is drawn anew each hour is foreseen as its mean.
func TestForecastFades(t *testing.T) {
	t.Parallel()
	a := hoursOf(360)
	week := func(t int) float64 { return 0.3 + 0.5*float64(t/24/10%2) }
	actual, clear := dayLight(a, week)
	f := fieldForecast{actual: actual, clear: clear, best: most(clear)}
	f.learn(a, actual, clear)
	if f.fade[0] < 0.9 || f.fade[47] < 0.6 || f.fade[47] > f.fade[0] {
		t.Errorf("of an index that lasts ten days the last one counts %.2f for the next hour and %.2f in two days", f.fade[0], f.fade[47])
	}
	rough := func(t int) float64 { return 0.3 + 0.5*float64(t*7919%101%2) }
	actual, clear = dayLight(a, rough)
	g := fieldForecast{actual: actual, clear: clear, best: most(clear)}
	g.learn(a, actual, clear)
	if g.fade[24] > 0.2 {
		t.Errorf("of an index drawn each hour the last one counts %.2f for the next day", g.fade[24])
	}
	out := make([]float64, 48)
	g.index(a, 24*100+12, out)
	if math.Abs(out[30]-0.55) > 0.06 {
		t.Errorf("foresees %.3f; want its mean of 0.55", out[30])
	}
}

// Nothing of what comes enters: with another future the forecast is the same.
func TestForecastHasNoSight(t *testing.T) {
	t.Parallel()
	a := hoursOf(60)
	now := 24*30 + 15
	past := func(t int) float64 { return 0.5 + 0.3*math.Sin(float64(t)) }
	other := func(t int) float64 {
		if t >= now {
			return 0.1
		}
		return past(t)
	}
	usual, clear := dayLight(a, func(t int) float64 { return 0.6 + 0.2*math.Cos(float64(t)) })
	var got [2][]float64
	for i, index := range []func(int) float64{past, other} {
		actual, _ := dayLight(a, index)
		f := fieldForecast{actual: actual, clear: clear, best: most(clear)}
		f.learn(a, usual, clear)
		got[i] = make([]float64, 48)
		f.index(a, now, got[i])
	}
	for h := range got[0] {
		if got[0][h] != got[1][h] {
			t.Fatalf("%d h ahead it foresees %g, with another future %g", h, got[0][h], got[1][h])
		}
	}
	l := loadForecast{known: make([]float64, a.N), unsure: make([]float64, a.N)}
	for t := range l.unsure {
		l.known[t], l.unsure[t] = 100, float64(t)
	}
	if got, want := l.at(a, now, 20), 100+float64(now+20-168); got != want {
		t.Errorf("expects %g kW; want the calendar's and last week's, %g", got, want)
	}
}

func TestForecastErrors(t *testing.T) {
	t.Parallel()
	c, err := scenarios.Load("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	usualCase, err := c.WithSeed(8)
	if err != nil {
		t.Fatal(err)
	}
	s := stage{c: c, usual: usualCase}
	if s.p, err = problemOf(c); err != nil {
		t.Fatal(err)
	}
	if s.f, err = s.forecast(); err != nil {
		t.Fatal(err)
	}
	list := s.f.errors()
	last := 0.0
	for _, e := range list {
		t.Logf("%+v", e)
		if e.FromH != last || e.LoadRMSEKW > 1e-9 || !(e.SunRMSEKW > 0) {
			t.Errorf("band %+v; want a calendar's load known and sun that errs", e)
		}
		if math.Abs(e.SunBiasKW) > 0.15*e.SunMeanKW {
			t.Errorf("from %g h: expects %.0f kW too much of %.0f", e.FromH, e.SunBiasKW, e.SunMeanKW)
		}
		last = e.ToH
	}
	if list[0].SunRMSEKW/list[0].SunMeanKW >= list[len(list)-1].SunRMSEKW/list[len(list)-1].SunMeanKW {
		t.Error("the next hours are foreseen no better than the next days")
	}
}

// The means of a weekday's hour over three months, and of what heat in parts of a store is worth.
func TestUsual(t *testing.T) {
	t.Parallel()
	a := hoursOf(365)
	v := make([]float64, a.N)
	for t := range v {
		at := a.At(t)
		v[t] = 100*float64(at.Weekday()) + float64(at.Hour())
	}
	for i, x := range usual(a, v) {
		if math.Abs(x-v[i]) > 1e-9 {
			t.Fatalf("hour %d: %g; want what it always is, %g", i, x, v[i])
		}
	}
	list := []optimize.Worth{{PricePerKWh: 0.3, KWh: 10}, {PricePerKWh: 0.1, KWh: 20}}
	// 5 kWh at 0.3 and 10 at 0.1.
	if got := worthBetween(list, 5, 20); math.Abs(got-2.5) > 1e-12 {
		t.Errorf("between 5 and 20 kWh heat is worth %g; want 2.5", got)
	}
}
