package clock

import (
	"math"
	"strings"
	"testing"
	"time"
)

// A rota's weeks against the plain patterns week by week: 2026-01-05 is a Monday of ISO week 2.
func TestRotaTakesTurns(t *testing.T) {
	early, late := mustWhen(t, "Mon-Fri 06:00-14:00"), mustWhen(t, "Mon-Fri 14:00-22:00; holidays 10:00-11:00")
	nights := mustWhen(t, "Sun-Thu 22:00-06:00")
	for _, from := range []Date{{2026, 1, 5}, {2026, 1, 11}, {2031, 6, 4}, {1999, 12, 31}} {
		for _, weeks := range [][]When{{early, late}, {early, late, nights, {}}, {nights, {}}} {
			rota, err := Rota(from, weeks...)
			if err != nil {
				t.Fatal(err)
			}
			first := utcOf(from).AddDate(0, 0, -weekdayOf(from))
			holiday := Calendar{Holidays: []Date{{2026, 1, 14}}}
			start := time.Date(2025, 12, 1, 0, 0, 0, 0, time.UTC) // a Monday
			for k := range 60 {
				monday := start.AddDate(0, 0, 7*k)
				turn := int(math.Round(monday.Sub(first).Hours()/168)) % len(weeks)
				want := weeks[(turn+len(weeks))%len(weeks)]
				a := Axis{monday, time.Hour, 7 * 24}
				got, list := began(rota, a, holiday), began(want, a, holiday)
				if len(got) != len(list) {
					t.Fatalf("%s, week of %s: %v; want %v (%s)", rota, DateOf(monday), got, list, want)
				}
				for i := range got {
					if got[i] != list[i] {
						t.Errorf("%s, week of %s: %v; want %v", rota, DateOf(monday), got[i], list[i])
					}
				}
			}
			again := mustWhen(t, rota.String())
			if !again.Equal(rota) || again.String() != rota.String() || rota.IsZero() || rota.Equal(weeks[0]) || weeks[0].Equal(rota) {
				t.Errorf("%q reads back as %q", rota, again)
			}
		}
	}
}

// began is the stretches that begin on the axis.
func began(w When, a Axis, c Calendar) (list []Stretch) {
	for _, s := range w.Stretches(a, c) {
		if !s.From.Before(a.Start) {
			list = append(list, s)
		}
	}
	return list
}

// Hours of rotas over 52 weeks.
func TestRotaHours(t *testing.T) {
	for _, r := range []struct {
		text  string
		wantH float64
		src   string
	}{
		{"rota from 2026-01-05: Mon-Fri 06:00-14:00 | Mon-Fri 14:00-22:00", 2080, "checks-heat.md 7.13: one shift of five days, whichever"},
		{"rota from 2026-01-05: Mon-Fri 06:00-22:00 | Mon-Fri 06:00-14:00", 3120, "checks-heat.md 7.13: the mean of 4160 and 2080"},
		{"rota from 2026-01-05: Mon-Fri 00:00-24:00 | off", 3120, "checks-heat.md 7.13: half of 6240"},
		{"Rota from 2024-02-29: always | off | Mon 00:00-24:00 | off", 13 * (168 + 24), "by hand: 13 rounds of four weeks"},
	} {
		needSource(t, r.src)
		w, a := mustWhen(t, r.text), weeks52(time.Hour)
		if got := hours(w.Shares(a, Calendar{}), a); got != r.wantH || math.Abs(w.HoursPerWeek()*52-r.wantH) > 1e-9 {
			t.Errorf("%s: %g h, %g a week; want %g (%s)", r.text, got, w.HoursPerWeek(), r.wantH, r.src)
		}
	}
}

var rotaErrorTests = []struct{ in, want string }{
	{"rota from 2026-01-05", `rota: "rota from 2026-01-05"; want rota from 2026-01-05: one pattern a week, with | between`},
	{"rota from 5 Jan: always | off", `rota: "5 Jan"; want a day with its year, such as 2026-01-05, in the week of the first pattern`},
	{"rota from 2026-01-35: always | off", `date: "2026-01-35"; want a day that exists`},
	{"rota from 2026-01-05: always", `rota: "a rota of 1"; want 2 to 100 patterns, one a week`},
	{"rota from 2026-01-05: off | off", `rota: "every week is off"; want hours in one week at least`},
	{"rota from 2026-01-05: always | ", `when: is empty`},
	{"rota from 2026-01-05: Mno 06:00-07:00 | off", `did you mean Mon?`},
	{"rota from 2026-01-05: Sun 22:00-06:00 | Mon 05:00-07:00", `rota: "Sun 22:00-06:00 and in the week after it Mon 05:00-07:00"; want times that do not overlap`},
	{"rota from 2026-01-05: Mon 05:00-07:00 | Sun 22:00-06:00", `want times that do not overlap`},
	{"rota from 2026-01-05: " + strings.Repeat("off|", 100) + "always", `rota: "a rota of 101"; want 2 to 100 patterns`},
	{"off", `when: "off"; want a day`},
}

func TestRotaErrors(t *testing.T) {
	for _, tt := range rotaErrorTests {
		if w, err := ParseWhen(tt.in); err == nil || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%.60q: %v, %v; want %s", tt.in, w, err, tt.want)
		}
	}
	inner := mustWhen(t, "rota from 2026-01-05: always | off")
	if _, err := Rota(Date{2026, 1, 5}, inner, Always()); err == nil || !strings.Contains(err.Error(), "patterns of a week, not rotas") {
		t.Errorf("a rota in a rota: %v", err)
	}
}

// Neighbours become one where they touch or nearly do.
func TestJoined(t *testing.T) {
	at := func(h float64) time.Time {
		return time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC).Add(time.Duration(h * float64(time.Hour)))
	}
	list := []Stretch{{at(0), at(2)}, {at(2), at(3)}, {at(3.5), at(4)}, {at(5), at(6)}}
	for _, r := range []struct {
		gap  time.Duration
		want []Stretch
		src  string
	}{
		{0, []Stretch{{at(0), at(3)}, {at(3.5), at(4)}, {at(5), at(6)}}, "by hand: only those that touch"},
		{30 * time.Minute, []Stretch{{at(0), at(3)}, {at(3.5), at(4)}, {at(5), at(6)}}, "by hand: the gap of 30 min is not shorter"},
		{31 * time.Minute, []Stretch{{at(0), at(4)}, {at(5), at(6)}}, "by hand"},
		{2 * time.Hour, []Stretch{{at(0), at(6)}}, "by hand"},
	} {
		needSource(t, r.src)
		got := Joined(list, r.gap)
		if len(got) != len(r.want) {
			t.Fatalf("%v: %v; want %v", r.gap, got, r.want)
		}
		for i := range got {
			if got[i] != r.want[i] {
				t.Errorf("%v: %v; want %v", r.gap, got[i], r.want[i])
			}
		}
	}
	if list[0].To != at(2) || Joined(nil, time.Hour) != nil {
		t.Error("the list itself must stay")
	}
}
