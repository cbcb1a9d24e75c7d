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

// hourlyLog writes a profile as a log of kW by the hour, but for the hours that skip names.
func hourlyLog(from, to time.Time, kW func(time.Time) float64, skip func(time.Time) bool) string {
	var b strings.Builder
	b.WriteString("time,kW\n")
	for at := from; at.Before(to); at = at.Add(time.Hour) {
		if skip == nil || !skip(at) {
			fmt.Fprintf(&b, "%s,%.6f\n", at.Format(minuteForm), kW(at))
		}
	}
	return b.String()
}

func day(year int, month time.Month, d int) time.Time {
	return time.Date(year, month, d, 0, 0, 0, 0, central)
}

func readOn(t *testing.T, in string, a clock.Axis, c clock.Calendar, use LogUse) (*Log, LogYear) {
	t.Helper()
	l, err := ReadLog(strings.NewReader(in), logForm(t, "kW", func(f *LogForm) { f.Calendar = c }))
	if err != nil {
		t.Fatal(err)
	}
	y, err := l.On(a, use)
	if err != nil {
		t.Fatal(err)
	}
	return l, y
}

// A log of nine months with holes: what was measured stays to 1e-9, the parts sum to the whole, what was filled is marked,
// and the filling comes near the profile by as much as the log says of itself.
func TestLogFills(t *testing.T) {
	noise := rand.New(rand.NewPCG(9, 9))
	a := yearAxis(t, 2026, time.Hour)
	calendar := clock.Calendar{Holidays: []clock.Date{{Month: time.January, Day: 1}, {Month: time.May, Day: 1}, {Month: time.December, Day: 25}, {Month: time.December, Day: 26}}, Summer: europe(t)}
	truth := make(map[int64]float64)
	kW := func(at time.Time) float64 { return truth[at.Unix()] }
	for i := range a.N {
		at := a.At(i)
		free, _ := calendar.Closed(at)
		truth[at.Unix()] = works(calendar.Wall(at), noise)
		if free {
			truth[at.Unix()] = 100
		}
	}
	skip := func(at time.Time) bool {
		return at.YearDay() > 100 && at.YearDay() < 106 || at.YearDay() == 150 && at.Hour() > 5
	}
	l, y := readOn(t, hourlyLog(day(2026, 1, 1), day(2026, 10, 1), kW, skip), a, calendar, LogUse{KWhPer: 1})
	sum, measured, off, far, in := 0.0, 0.0, 0.0, 0.0, 0.0
	for _, p := range y.Parts {
		sum += p.KWh
	}
	for i, got := range y.KW {
		want := truth[a.At(i).Unix()]
		switch {
		case !y.Filled[i]:
			measured += want
			if math.Abs(got-want) > 1e-5 {
				t.Fatalf("%s: %g kW; want the measured %g", a.Label(i), got, want)
			}
		case a.At(i).YearDay() < 200:
			off, in = off+math.Abs(got-want), in+want
		default:
			far += got - want
		}
	}
	year := y.KW.EnergyKWh(1)
	for _, v := range []struct {
		what           string
		got, want, tol float64
	}{
		{"sum of parts", sum / year, 1, 1e-9},
		{"measured part", y.Parts[0].KWh / measured, 1, 1e-9},
		{"the log's own quantity", l.Quantity / measured, 1, 1e-9},
		{"hours filled", y.FilledH, 92*24 + 5*24 + 18, 1e-9},
		{"gaps: mean miss of an hour", off / in, 0, 0.08},
		{"three months unseen: miss of their energy", far / year, 0, 0.02},
	} {
		if math.Abs(v.got-v.want) > v.tol {
			t.Errorf("%s: %v; want %v within %g", v.what, v.got, v.want, v.tol)
		}
	}
	t.Logf("hours in gaps miss by %.3f; three months unseen are off by %.4f of the year; %s", off/in, far/year, y.Parts[1].Text)
	for i := range a.N {
		if d := clock.DateOf(a.At(i)); d.Month == time.December && d.Day == 25 && math.Abs(y.KW[i]-100) > 20 {
			t.Errorf("%s: a holiday is filled with %g kW; want 100, as on the measured ones", a.Label(i), y.KW[i])
		}
	}
}

// A log of another year is moved by whole weeks only when that is asked for, and a holiday comes from a holiday.
func TestLogShifts(t *testing.T) {
	a := yearAxis(t, 2026, time.Hour)
	calendar := clock.Calendar{Holidays: []clock.Date{{Month: time.January, Day: 1}, {Month: time.December, Day: 25}}}
	kW := func(at time.Time) float64 {
		if free, _ := calendar.Closed(at); free {
			return 7
		}
		return float64(100*((int(at.Weekday())+6)%7) + at.Hour())
	}
	in := hourlyLog(day(2025, 1, 1), day(2026, 1, 1), kW, nil)
	l, err := ReadLog(strings.NewReader(in), logForm(t, "kW", func(f *LogForm) { f.Calendar = calendar }))
	if err != nil {
		t.Fatal(err)
	}
	_, err = l.On(a, LogUse{KWhPer: 1})
	if want := "meter.csv: runs from 2025-01-01 00:00 to 2026-01-01 00:00, with 0 h in the study's year 2026; want year: shift to move it by whole weeks, or time.year: 2025"; err == nil || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
	y, err := l.On(a, LogUse{KWhPer: 1, Move: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, got := range y.KW {
		if want := kW(a.At(i)); got != want {
			t.Fatalf("%s: %g kW; want %g, that of the same weekday and hour", a.Label(i), got, want)
		}
	}
	if len(y.Notes) != 2 || !strings.Contains(y.Notes[0], "were measured 52 weeks earlier and are moved by whole weeks") || !strings.Contains(y.Notes[1], "104 weeks earlier") {
		t.Errorf("notes %q", y.Notes)
	}
	if y.FilledH > 96 {
		t.Errorf("%g h filled; want the holidays and the days that the weeks leave over", y.FilledH)
	}
}

// Half of one year and half of the next make a year, the study's own half as it is.
func TestLogOfTwoHalves(t *testing.T) {
	a := yearAxis(t, 2026, time.Hour)
	kW := func(at time.Time) float64 { return float64(at.Year()-2000) + float64(at.Hour())/100 }
	_, y := readOn(t, hourlyLog(day(2025, 7, 1), day(2026, 7, 1), kW, nil), a, clock.Calendar{}, LogUse{KWhPer: 1, Move: true})
	for i, got := range y.KW {
		want := 26.0
		if m, d := a.At(i).Month(), a.At(i).Day(); m > 6 && (m < 12 || d < 31) { // 52 weeks before 31 Dec is 1 Jan
			want = 25
		}
		if math.Floor(got) != want && !y.Filled[i] {
			t.Fatalf("%s: %g", a.Label(i), got)
		}
	}
	if y.FilledH > 48 {
		t.Errorf("%g h filled", y.FilledH)
	}
}

// What is not allowed is refused.
func TestLogRefuses(t *testing.T) {
	a := yearAxis(t, 2026, time.Hour)
	flat := func(time.Time) float64 { return 100 }
	for _, tt := range []struct {
		name     string
		in       string
		use      LogUse
		want     string
		wantKW   float64
		leastH   float64
		calendar clock.Calendar
	}{
		{"gaps", hourlyLog(day(2026, 1, 1), day(2027, 1, 1), flat, func(at time.Time) bool {
			return at.YearDay() == 40 && at.Hour() > 3 && at.Hour() < 9 || at.YearDay() == 80 && at.Hour() == 3
		}), LogUse{KWhPer: 1, Gaps: RefuseGaps},
			"meter.csv: 6 h of the study's year are missing in 2 gaps, the first from 2026-02-09 04:00 to 2026-02-09 09:00; want a whole log, or gaps: fill", 0, 0, clock.Calendar{}},
		{"a whole log", hourlyLog(day(2026, 1, 1), day(2027, 1, 1), flat, nil), LogUse{KWhPer: 2, Gaps: RefuseGaps}, "", 200, 0, clock.Calendar{}},
		{"two weeks", hourlyLog(day(2026, 1, 1), day(2026, 1, 15), flat, nil), LogUse{KWhPer: 1},
			"meter.csv: has rows on 14 days, and 8424 h are to be filled from them; want 28 days at least, or gaps: fill anyway", 0, 0, clock.Calendar{}},
		{"two weeks anyway", hourlyLog(day(2026, 1, 1), day(2026, 1, 15), flat, nil), LogUse{KWhPer: 1, Gaps: FillAnyway}, "", 100, 8424, clock.Calendar{}},
		{"no heat", hourlyLog(day(2026, 1, 1), day(2026, 1, 15), flat, nil), LogUse{}, "meter.csv: heat per unit is 0 kWh; want more than 0", 0, 0, clock.Calendar{}},
	} {
		l, err := ReadLog(strings.NewReader(tt.in), logForm(t, "kW"))
		if err != nil {
			t.Fatalf("%s: %v", tt.name, err)
		}
		y, err := l.On(a, tt.use)
		if err == nil != (tt.want == "") || err != nil && err.Error() != tt.want {
			t.Errorf("%s: %v; want %s", tt.name, err, tt.want)
		}
		for i := range y.KW {
			if err == nil && math.Abs(y.KW[i]-tt.wantKW) > 1e-9 {
				t.Fatalf("%s: %s: %g kW; want %g", tt.name, a.Label(i), y.KW[i], tt.wantKW)
			}
		}
		if err == nil && y.FilledH != tt.leastH {
			t.Errorf("%s: %g h filled; want %g", tt.name, y.FilledH, tt.leastH)
		}
	}
	l, err := ReadLog(strings.NewReader(good), logForm(t, "kW"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.On(yearAxis(t, 2026, 15*time.Minute), LogUse{KWhPer: 1}); err == nil || err.Error() != "meter.csv: was folded for steps of 60 min; want whole days of the same" {
		t.Errorf("another step: %v", err)
	}
}

// A year by the clock on the wall, stamped with starts, ends and as a counter, is that year in standard time: no gap in
// spring, nothing twice in autumn.
func TestLogByTheWall(t *testing.T) {
	unraced(t)
	calendar := clock.Calendar{Summer: europe(t)}
	for _, step := range []time.Duration{time.Hour, 15 * time.Minute} {
		a := yearAxis(t, 2026, step)
		for _, counts := range []LogCount{Rate, Counter, Interval} {
			for _, atEnd := range []bool{false, true} {
				var b strings.Builder
				b.WriteString("time;value\n")
				sum := 0.0
				for i := range a.N + 1 {
					kW := 100 + float64(i*7919%1000)/4
					at := calendar.Wall(a.At(i))
					if atEnd && counts != Counter {
						at = calendar.Wall(a.At(i + 1))
					}
					if counts == Counter {
						fmt.Fprintf(&b, "%s;%.12g\n", at.Format("02.01.2006 15:04"), sum)
						sum += kW * a.StepH()
					} else if i < a.N {
						fmt.Fprintf(&b, "%s;%.9g\n", at.Format("02.01.2006 15:04"), kW)
					}
				}
				l, err := ReadLog(strings.NewReader(b.String()), logForm(t, map[LogCount]string{Rate: "kW", Counter: "kWh", Interval: "kWh"}[counts], func(f *LogForm) {
					f.Counts, f.AtEnd, f.Clock, f.Calendar, f.Step = counts, atEnd, WallClock, calendar, step
				}))
				if err != nil {
					t.Fatal(err)
				}
				y, err := l.On(a, LogUse{KWhPer: 1, Gaps: RefuseGaps})
				if err != nil || len(l.Notes) > 0 {
					t.Fatalf("%v, %v, end %v: %v, %v", step, counts, atEnd, err, l.Notes)
				}
				for i, got := range y.KW {
					want := 100 + float64(i*7919%1000)/4
					if counts == Interval {
						want /= a.StepH()
					}
					if math.Abs(got-want) > 1e-6*want {
						t.Fatalf("%v, %v, end %v: %s: %g kW; want %g", step, counts, atEnd, a.Label(i), got, want)
					}
				}
			}
		}
	}
}

// The days of other kinds that may stand in for one begin with the nearest.
func TestKin(t *testing.T) {
	for k := range dayKinds {
		list := kin(k)
		seen := map[dayKind]bool{}
		for _, x := range list {
			if seen[x] || x < 0 || x >= dayKinds {
				t.Errorf("kin of %d: %v", k, list)
			}
			seen[x] = true
		}
		if list[0] != k {
			t.Errorf("kin of %d begins with %d", k, list[0])
		}
	}
}
