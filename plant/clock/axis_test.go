package clock

import (
	"math"
	"strings"
	"testing"
	"time"
)

func TestNewYear(t *testing.T) {
	rows := []struct {
		year  int
		step  time.Duration
		wantN int
		src   string
	}{
		{2026, time.Hour, 8760, "checks-sun.md 6.7: 8760 hours"},
		{2028, time.Hour, 8784, "checks-sun.md 6.7: 8784 with 29 Feb"},
		{2000, time.Hour, 8784, "checks-sun.md 6.7: 2000 is a leap year"},
		{1900, time.Hour, 8760, "checks-sun.md 6.7: 1900 is not"},
		{2100, time.Hour, 8760, "checks-sun.md 6.7: 2100 is not"},
		{2026, 30 * time.Minute, 17520, "by hand: 2 x 8760"},
		{2026, 15 * time.Minute, 35040, "by hand: 4 x 8760"},
		{2028, time.Minute, 527040, "by hand: 60 x 8784"},
		{2026, 12 * time.Minute, 43800, "by hand: 5 x 8760"},
	}
	for _, r := range rows {
		needSource(t, r.src)
		a, err := NewYear(r.year, r.step, 5*time.Hour+45*time.Minute)
		if err != nil || a.N != r.wantN {
			t.Errorf("%d, %v: %d steps, %v; want %d (%s)", r.year, r.step, a.N, err, r.wantN, r.src)
			continue
		}
		if err := a.Check(); err != nil {
			t.Errorf("%d, %v: %v", r.year, r.step, err)
		}
		if got := a.At(a.N - 1).Format("2 Jan"); got != "31 Dec" || a.End() != a.At(a.N) || a.End().Year() != r.year+1 {
			t.Errorf("%d, %v: last step on %s", r.year, r.step, got)
		}
	}
}

func TestNewYearRefuses(t *testing.T) {
	rows := []struct {
		year         int
		step, offset time.Duration
		want         string
	}{
		{2026, 0, 0, "step: is 0s; want 60, 30, 15 min"},
		{2026, -time.Hour, 0, "step: is -1h0m0s"},
		{2026, 2 * time.Hour, 0, "step: is 2h0m0s"},
		{2026, 45 * time.Minute, 0, "step: is 45m0s"},
		{2026, 7 * time.Minute, 0, "another divisor of 60 min"},
		{2026, 90 * time.Second, 0, "step: is 1m30s"},
		{2026, 30 * time.Second, 0, "step: is 30s"},
		{2026, time.Hour, 15 * time.Hour, "UTC offset: is 15h0m0s; want -12 h to +14 h"},
		{2026, time.Hour, -13 * time.Hour, "UTC offset: is -13h0m0s"},
		{2026, time.Hour, 100 * time.Minute, "in quarters of an hour"},
		{26, time.Hour, 0, "year: is 26; want 1583 to 9999"},
		{10000, time.Hour, 0, "year: is 10000"},
	}
	for _, r := range rows {
		if _, err := NewYear(r.year, r.step, r.offset); err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("%d, %v, %v: %v; want %s", r.year, r.step, r.offset, err, r.want)
		}
	}
	_, err := NewYear(0, 0, 15*time.Hour)
	if n := strings.Count(err.Error(), "want"); n != 3 {
		t.Errorf("%d faults told of 3: %v", n, err)
	}
}

func TestAxisCheck(t *testing.T) {
	utc := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	rows := []struct {
		axis Axis
		want string
	}{
		{Axis{utc, time.Hour, 24}, ""},
		{Axis{}, "step: is 0s"},
		{Axis{utc, time.Hour, 0}, "axis: has 0 steps"},
		{Axis{utc, time.Hour, -1}, "axis: has -1 steps"},
		{Axis{utc, time.Hour, math.MaxInt}, "200 years at most"},
	}
	if paris, err := time.LoadLocation("Europe/Paris"); err == nil {
		rows = append(rows, struct {
			axis Axis
			want string
		}{Axis{time.Date(2026, 1, 1, 0, 0, 0, 0, paris), time.Hour, 8760}, "Europe/Paris changes its offset on 2026-03-30"})
	}
	for _, r := range rows {
		err := r.axis.Check()
		if (err == nil) != (r.want == "") || err != nil && !strings.Contains(err.Error(), r.want) {
			t.Errorf("%+v: %v; want %q", r.axis, err, r.want)
		}
	}
}

func TestAxisPlaces(t *testing.T) {
	a := mustYear(t, 2026, 30*time.Minute, -3*time.Hour-30*time.Minute)
	i := 34*48 + 13 // 35th day of the year, 06:30
	if got := a.Label(i); got != "4 Feb 06:30" {
		t.Errorf("label %q; want 4 Feb 06:30 (by hand: 31 January days and 3 more)", got)
	}
	if got := a.At(i).UTC().Format("2006-01-02 15:04"); got != "2026-02-04 10:00" {
		t.Errorf("in UTC %s; want 2026-02-04 10:00, 3:30 later", got)
	}
	if got := a.Mid(i).Format("15:04"); got != "06:45" {
		t.Errorf("middle %s; want 06:45", got)
	}
	if got := (Date{2026, 2, 4}); a.Date(i) != got || a.StepH() != 0.5 {
		t.Errorf("date %v, step %g h", a.Date(i), a.StepH())
	}
	for _, at := range []int{0, 1, i, a.N - 1} {
		for _, into := range []time.Duration{0, time.Nanosecond, 30*time.Minute - 1} {
			if got, ok := a.Index(a.At(at).Add(into)); !ok || got != at {
				t.Errorf("step %d + %v: index %d, %v", at, into, got, ok)
			}
		}
	}
	for _, out := range []time.Time{a.Start.Add(-1), a.End()} {
		if got, ok := a.Index(out); ok {
			t.Errorf("%v is on the axis at %d", out, got)
		}
	}
	other := a
	other.Start = a.Start.UTC()
	if !a.Same(a) || a.Same(other) {
		t.Error("Same must see the offset, and nothing else, here")
	}
}

func TestSeries(t *testing.T) {
	p := KW{1, 4, 4, 2}
	if kW, i := p.Peak(); kW != 4 || i != 1 {
		t.Errorf("peak %g at %d; want 4 at 1", kW, i)
	}
	if kW, i := (KW{}).Peak(); kW != 0 || i != -1 {
		t.Errorf("peak of nothing %g at %d; want 0 at -1", kW, i)
	}
	if got := p.EnergyKWh(0.25); got != 2.75 {
		t.Errorf("%g kWh; want 11 x 0.25", got)
	}
}

func TestParseOffset(t *testing.T) {
	h, m := time.Hour, time.Minute
	rows := []struct {
		in   string
		want time.Duration
		ok   bool
	}{
		{"+3 h", 3 * h, true}, {"3", 3 * h, true}, {"0", 0, true}, {"UTC+5:45", 5*h + 45*m, true}, {"+05:45", 5*h + 45*m, true},
		{"+5.75 h", 5*h + 45*m, true}, {"-3:30", -3*h - 30*m, true}, {"-0:30", -30 * m, true}, {"+14", 14 * h, true}, {"-12", -12 * h, true},
		{"", 0, false}, {"UTC", 0, false}, {"+14:15", 0, false}, {"-12:15", 0, false}, {"5:40", 0, false}, {"5:5", 0, false},
		{"5:60", 0, false}, {"5.1", 0, false}, {"5.75:15", 0, false}, {"0x3", 0, false}, {"Inf", 0, false}, {"+-3", 0, false}, {"3 min", 0, false},
		{"99999999999", 0, false}, {"5.", 0, false},
	}
	for _, r := range rows {
		got, err := ParseOffset(r.in)
		if got != r.want || (err == nil) != r.ok {
			t.Errorf("%q: %v, %v; want %v", r.in, got, err, r.want)
		}
	}
	for o := leastOffset; o <= mostOffset; o += quarter {
		if got, err := ParseOffset(OffsetString(o)); got != o || err != nil {
			t.Errorf("%s reads back as %v, %v", OffsetString(o), got, err)
		}
	}
}
