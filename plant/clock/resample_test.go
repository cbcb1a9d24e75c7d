package clock

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
)

// keepTol is the relative change of energy that rounding may cause: n additions of 2^-53 each.
const keepTol = 1e-9

func TestResampleByHand(t *testing.T) {
	start := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	min := time.Minute
	rows := []struct {
		from, to time.Duration
		v, want  []float64
		src      string
	}{
		{60 * min, 15 * min, []float64{4, 8}, []float64{4, 4, 4, 4, 8, 8, 8, 8}, "by hand: each hour's mean holds in its quarters"},
		{15 * min, 60 * min, []float64{1, 2, 3, 6}, []float64{3}, "by hand: 12/4"},
		{30 * min, 20 * min, []float64{6, 12}, []float64{6, 9, 12}, "by hand: the middle 20 min has 10 of each"},
		{20 * min, 30 * min, []float64{6, 9, 12}, []float64{7, 11}, "by hand: (6x20 + 9x10)/30 and (9x10 + 12x20)/30"},
		{45 * min, 60 * min, []float64{4, 8, 0, 4}, []float64{5, 4, 3}, "by hand: (4x45 + 8x15)/60, 8x30/60, 4x45/60"},
	}
	for _, r := range rows {
		needSource(t, r.src)
		from := Axis{start, r.from, len(r.v)}
		to := Axis{start, r.to, len(r.want)}
		got, err := Resample(r.v, from, to)
		if err != nil || len(got) != len(r.want) {
			t.Errorf("%v to %v: %v, %v; want %v (%s)", r.from, r.to, got, err, r.want, r.src)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-r.want[i]) > 1e-12 {
				t.Errorf("%v to %v: %v; want %v (%s)", r.from, r.to, got, r.want, r.src)
				break
			}
		}
	}
}

// Random axes over one span: whole seconds, so ratios are whole and broken alike.
func TestResampleKeepsEnergy(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 2026))
	for trial := range 300 {
		n, m := 1+rng.IntN(400), 1+rng.IntN(400)
		unit := time.Duration(1+rng.IntN(90)) * time.Second
		start := time.Date(2020, 1, 1, 0, 0, rng.IntN(86400), 0, time.FixedZone("", rng.IntN(14)*3600))
		from := Axis{start, unit * time.Duration(m), n} // n*m units long, in n steps and in m steps
		to := Axis{start, unit * time.Duration(n), m}
		v := make([]float64, n)
		for i := range v {
			v[i] = rng.Float64() * 1e4
		}
		out, err := Resample(v, from, to)
		if err != nil {
			t.Fatal(err)
		}
		a, b := KW(v).EnergyKWh(from.StepH()), KW(out).EnergyKWh(to.StepH())
		if math.Abs(a-b) > keepTol*a {
			t.Errorf("trial %d: %d steps of %v to %d of %v: %g kWh became %g", trial, n, from.Step, m, to.Step, a, b)
		}
		lo, hi := slices.Min(v), slices.Max(v)
		if slices.Min(out) < lo*(1-keepTol) || slices.Max(out) > hi*(1+keepTol) {
			t.Errorf("trial %d: a mean left %g to %g", trial, lo, hi)
		}
	}
}

// Finer and back again is the same series; a part of a series keeps that part's energy.
func TestResampleThereAndBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2026))
	hourly := mustYear(t, 2028, time.Hour, 5*time.Hour+45*time.Minute)
	v := make([]float64, hourly.N)
	for i := range v {
		v[i] = rng.Float64()
	}
	for _, step := range []time.Duration{time.Hour, 30 * time.Minute, 20 * time.Minute, 12 * time.Minute, time.Minute} {
		fine := mustYear(t, 2028, step, 5*time.Hour+45*time.Minute)
		there, err := Resample(v, hourly, fine)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Resample(there, fine, hourly)
		if err != nil {
			t.Fatal(err)
		}
		for i := range v {
			if math.Abs(back[i]-v[i]) > 1e-12 {
				t.Fatalf("step %v: hour %d was %g and came back %g", step, i, v[i], back[i])
			}
		}
	}
	part := Axis{hourly.At(100).Add(20 * time.Minute), 40 * time.Minute, 3} // 100:20 to 102:20
	out, err := ResampleWithin(v, hourly, part)
	want := v[100]*40/60 + v[101] + v[102]*20/60
	if got := KW(out).EnergyKWh(part.StepH()); err != nil || math.Abs(got-want) > 1e-12 {
		t.Errorf("a part: %g kWh, %v; want %g", got, err, want)
	}
}

func TestResampleRefuses(t *testing.T) {
	start := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	two := Axis{start, time.Hour, 2}
	rows := []struct {
		n        int
		from, to Axis
		want     string
	}{
		{3, two, two, "resample: 3 values; want 2"},
		{2, two, Axis{start, time.Hour, 3}, "want 2026-01-01 00:00 +00:00 to 2026-01-01 03:00 +00:00, the same span"},
		{2, two, Axis{start.Add(time.Hour), time.Hour, 2}, "the same span"},
		{2, Axis{start, 0, 2}, two, "step: is 0s"},
		{0, Axis{start, time.Hour, 0}, two, "has 0 steps"},
		{2, two, Axis{}, "step: is 0s"},
	}
	for _, r := range rows {
		if _, err := Resample(make([]float64, r.n), r.from, r.to); err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("%v; want %s", err, r.want)
		}
	}
	if _, err := ResampleWithin([]float64{1, 2}, two, Axis{start.Add(time.Hour), time.Hour, 2}); err == nil ||
		!strings.Contains(err.Error(), "want all of") {
		t.Errorf("past the end: %v", err)
	}
}
