package clock

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the IANA time zone database as Go carries it, an independent reference
)

func mustSummer(t testing.TB, s string) SummerTime {
	t.Helper()
	rule, err := ParseSummerTime(s)
	if err != nil {
		t.Fatal(err)
	}
	return rule
}

const (
	europe  = "last Sun Mar 02:00..last Sun Oct 03:00"
	america = "2nd Sun Mar 02:00..1st Sun Nov 02:00"
	sydney  = "1st Sun Oct 02:00..1st Sun Apr 03:00"
)

// The days on which clocks were or are to be changed, as the law's own notices print them.
func TestPublishedChanges(t *testing.T) {
	const (
		eu07 = "Official Journal of the EU C 61/2, 14.3.2006, notice under article 4 of Directive 2000/84/EC: at 01:00 UTC"
		eu17 = "Official Journal of the EU C 61/1, 17.2.2016, notice under article 4 of Directive 2000/84/EC: at 01:00 UTC"
		us   = "US Naval Observatory text on the Energy Policy Act of 2005 (Pub. L. 109-58), as reprinted: 2 a.m. daylight time in and out"
		nsw  = "Government of New South Wales, nsw.gov.au daylight saving: 2:00 and 3:00 a.m."
	)
	rows := []struct {
		rule          string
		offset        time.Duration
		year          int
		forward, back string // in UTC
		src           string
	}{
		{europe, time.Hour, 2007, "25 Mar 01:00", "28 Oct 01:00", eu07},
		{europe, time.Hour, 2008, "30 Mar 01:00", "26 Oct 01:00", eu07},
		{europe, time.Hour, 2009, "29 Mar 01:00", "25 Oct 01:00", eu07},
		{europe, time.Hour, 2010, "28 Mar 01:00", "31 Oct 01:00", eu07},
		{europe, time.Hour, 2011, "27 Mar 01:00", "30 Oct 01:00", eu07},
		{europe, time.Hour, 2017, "26 Mar 01:00", "29 Oct 01:00", eu17},
		{europe, time.Hour, 2018, "25 Mar 01:00", "28 Oct 01:00", eu17},
		{europe, time.Hour, 2019, "31 Mar 01:00", "27 Oct 01:00", eu17},
		{europe, time.Hour, 2020, "29 Mar 01:00", "25 Oct 01:00", eu17},
		{europe, time.Hour, 2021, "28 Mar 01:00", "31 Oct 01:00", eu17},
		{"last Sun Mar 03:00..last Sun Oct 04:00", 2 * time.Hour, 2021, "28 Mar 01:00", "31 Oct 01:00", eu17},
		{america, -5 * time.Hour, 2007, "11 Mar 07:00", "4 Nov 06:00", us},
		{america, -5 * time.Hour, 2008, "9 Mar 07:00", "2 Nov 06:00", us},
		{america, -8 * time.Hour, 2009, "8 Mar 10:00", "1 Nov 09:00", us},
		{"1st Sun Apr 02:00..last Sun Oct 02:00", -5 * time.Hour, 2006, "2 Apr 07:00", "29 Oct 06:00", us},
		{sydney, 10 * time.Hour, 2016, "1 Oct 16:00", "2 Apr 16:00", nsw}, // of 2 October and 3 April there
	}
	for _, r := range rows {
		needSource(t, r.src)
		forward, back := mustSummer(t, r.rule).Turns(mustYear(t, r.year, time.Hour, r.offset))
		const form = "2 Jan 15:04"
		if len(forward) != 1 || len(back) != 1 || forward[0].UTC().Format(form) != r.forward || back[0].UTC().Format(form) != r.back {
			t.Errorf("%s, %d: %v, %v; want %s and %s UTC (%s)", r.rule, r.year, forward, back, r.forward, r.back, r.src)
		}
	}
}

// Zones in which one rule holds for a run of years, 1996 to 2037 together.
var zoneTests = []struct {
	zone, rule  string
	first, last int
}{
	{"Europe/Berlin", europe, 1996, 2037},
	{"Europe/London", "last Sun Mar 01:00..last Sun Oct 02:00", 1996, 2037},
	{"Europe/Athens", "last Sun Mar 03:00..last Sun Oct 04:00", 1996, 2037},
	{"America/New_York", "1st Sun Apr 02:00..last Sun Oct 02:00", 1996, 2006},
	{"America/New_York", america, 2007, 2037},
	{"America/Los_Angeles", america, 2007, 2037},
	{"America/Mexico_City", "1st Sun Apr 02:00..last Sun Oct 02:00", 2002, 2021},
	{"Australia/Sydney", "last Sun Oct 02:00..last Sun Mar 03:00", 1997, 1999},
	{"Australia/Sydney", "last Sun Oct 02:00..last Sun Mar 03:00", 2002, 2005},
	{"Australia/Sydney", sydney, 2009, 2037},
	{"Pacific/Auckland", "1st Sun Oct 02:00..3rd Sun Mar 03:00", 1996, 2006},
	{"Pacific/Auckland", "last Sun Sep 02:00..1st Sun Apr 03:00", 2008, 2037},
	{"America/Santiago", "Sun on or after 2 Sep 00:00..Sun on or after 2 Apr 00:00", 2023, 2037},
	{"Asia/Jerusalem", "Fri on or after 23 Mar 02:00..last Sun Oct 02:00", 2013, 2037},
	{"Africa/Cairo", "last Fri Apr 00:00..last Thu Oct 24:00", 2024, 2037},
	{"Asia/Baku", "last Sun Mar 04:00..last Sun Oct 05:00", 1997, 2015},
	{"Asia/Kolkata", "", 1996, 2037},
}

// The wall's clock against the IANA database as Go carries it: all changes at their very instants, and
// every half hour read both ways.
func TestWallAgainstTheZoneDatabase(t *testing.T) {
	t.Parallel()
	unraced(t)
	changes, looked := 0, 0
	for _, tt := range zoneTests {
		zone, err := time.LoadLocation(tt.zone)
		if err != nil {
			t.Fatal(err)
		}
		var c Calendar
		if tt.rule != "" {
			c.Summer = mustSummer(t, tt.rule)
		}
		for year := tt.first; year <= tt.last; year++ {
			a := mustYear(t, year, 30*time.Minute, standardOffset(zone, year))
			forward, back := c.Summer.Turns(a)
			got := append(forward, back...)
			if len(got) == 2 && got[1].Before(got[0]) {
				got[0], got[1] = got[1], got[0]
			}
			want := zoneTurns(zone, a)
			if len(got) != len(want) {
				t.Errorf("%s %d: %v; want %v", tt.zone, year, got, want)
				continue
			}
			for i := range got {
				changes++
				if !got[i].Equal(want[i]) {
					t.Errorf("%s %d: changed at %v; want %v (IANA)", tt.zone, year, got[i].UTC(), want[i].UTC())
				}
			}
			step := 1
			if testing.Short() || year%8 != 0 {
				step = 29 // a prime, so that all times of the day come
			}
			for i := 0; i < a.N; i += step {
				looked++
				if !sameClock(c, a.At(i), zone) {
					t.Fatalf("%s: %v: %v on the wall; want %v (IANA)", tt.zone, a.At(i), c.Wall(a.At(i)), a.At(i).In(zone))
				}
			}
		}
	}
	t.Logf("%d changes equal, %d times read both ways", changes, looked)
}

// standardOffset is the smaller of the offsets of January and July.
func standardOffset(zone *time.Location, year int) time.Duration {
	_, jan := time.Date(year, 1, 15, 0, 0, 0, 0, zone).Zone()
	_, jul := time.Date(year, 7, 15, 0, 0, 0, 0, zone).Zone()
	return time.Duration(min(jan, jul)) * time.Second
}

// zoneTurns are the instants on the axis at which the zone's offset changes.
func zoneTurns(zone *time.Location, a Axis) (list []time.Time) {
	for at := a.Start.In(zone); ; {
		_, end := at.ZoneBounds()
		if end.IsZero() || !end.Before(a.End()) {
			return list
		}
		_, before := at.Zone()
		if _, after := end.Zone(); after != before {
			list = append(list, end)
		}
		at = end
	}
}

// sameClock holds the wall's clock at an instant, and the instant found again from it, against the zone.
func sameClock(c Calendar, at time.Time, zone *time.Location) bool {
	const form = "2006-01-02 15:04:05 -0700"
	wall, want := c.Wall(at), at.In(zone)
	if wall.Format(form) != want.Format(form) || !wall.Equal(at) {
		return false
	}
	first := at
	if hour := at.Add(-SummerShift); hour.In(zone).Format("02 15:04") == want.Format("02 15:04") {
		first = hour // the clock shows this time twice
	}
	return c.At(DateOf(wall), wall.Hour()*60+wall.Minute(), at.Location()).Equal(first)
}

// The two odd nights of 2026 on the European mainland: 29 March and 25 October (last Sundays, calendar).
func TestOddNights(t *testing.T) {
	c := Calendar{Summer: mustSummer(t, europe)}
	const src = "by hand, and the rule that Calendar.At states"
	rows := []struct {
		when, day, from, to string // instants in standard time
		wantH               float64
	}{
		{"Sat 22:00-06:00", "28 Mar", "28 Mar 22:00", "29 Mar 05:00", 7},
		{"Sat 22:00-06:00", "24 Oct", "24 Oct 21:00", "25 Oct 06:00", 9},
		{"Sun 00:00-24:00", "29 Mar", "29 Mar 00:00", "29 Mar 23:00", 23},
		{"Sun 00:00-24:00", "25 Oct", "24 Oct 23:00", "26 Oct 00:00", 25},
		{"Sun 00:00-02:00", "29 Mar", "29 Mar 00:00", "29 Mar 02:00", 2},
		{"Sun 01:00-02:30", "29 Mar", "29 Mar 01:00", "29 Mar 02:00", 1},   // the clock never shows 02:30
		{"Sun 02:30-04:00", "29 Mar", "29 Mar 02:00", "29 Mar 03:00", 1},   // begins when it jumps to 03:00
		{"Sun 03:00-04:00", "29 Mar", "29 Mar 02:00", "29 Mar 03:00", 1},   //
		{"Sun 00:00-02:00", "25 Oct", "24 Oct 23:00", "25 Oct 01:00", 2},   // ends before the hour that comes twice
		{"Sun 00:00-02:30", "25 Oct", "24 Oct 23:00", "25 Oct 01:30", 2.5}, // ends in the first of the two
		{"Sun 02:30-06:00", "25 Oct", "25 Oct 01:30", "25 Oct 06:00", 4.5}, // begins in the first of the two
		{"Sun 03:00-06:00", "25 Oct", "25 Oct 03:00", "25 Oct 06:00", 3},
		{"Sun 06:00-14:00", "5 Jul", "5 Jul 05:00", "5 Jul 13:00", 8},
		{"Sun 06:00-14:00", "18 Jan", "18 Jan 06:00", "18 Jan 14:00", 8},
	}
	for _, r := range rows {
		needSource(t, src)
		var got []Stretch
		for _, s := range mustWhen(t, r.when).Stretches(mustYear(t, 2026, time.Hour, time.Hour), c) {
			if c.Wall(s.From).Format("2 Jan") == r.day {
				got = append(got, s)
			}
		}
		const form = "2 Jan 15:04"
		if len(got) != 1 || got[0].H() != r.wantH || got[0].From.Format(form) != r.from || got[0].To.Format(form) != r.to {
			t.Errorf("%s on %s: %v; want %s to %s, %g h (%s)", r.when, r.day, got, r.from, r.to, r.wantH, src)
		}
	}
	// Of a stretch that lies in the missing hour nothing is left.
	a := mustYear(t, 2026, time.Hour, time.Hour)
	n := len(mustWhen(t, "Sun 02:00-03:00").Stretches(a, c))
	if n != 51 {
		t.Errorf("Sun 02:00-03:00 comes %d times; want 51, on each of 52 Sundays but 29 March", n)
	}
}

// Daily hours of a year with summer time are those without, apart from the two odd nights: what lies in the
// missing hour is lost, and what runs past the end of the doubled one gains an hour.
func TestSummerTimeKeepsHours(t *testing.T) {
	t.Parallel()
	unraced(t)
	r := rand.New(rand.NewPCG(1996, 2037))
	for _, rule := range []string{europe, america, sydney, "21 Mar 00:00..21 Sep 24:00"} {
		summer := Calendar{Summer: mustSummer(t, rule)}
		for n := range 60 {
			a := mustYear(t, 2020+r.IntN(12), []time.Duration{time.Hour, 15 * time.Minute, 5 * time.Minute}[n%3], 0)
			from, length := r.IntN(288)*5, 5+r.IntN(287)*5
			w := When{}
			for d := range weekDays {
				w.days[d] = []stretch{{from, from + length}}
			}
			odd := 0
			for k := -1; k <= 1; k++ {
				start := from + k*dayMinutes // of the days round the change
				gap := summer.Summer.From.Minute
				odd -= max(0, min(start+length, gap+60)-max(start, gap))
				if end := summer.Summer.To.Minute; start < end && end <= start+length {
					odd += 60
				}
			}
			said := 0.0
			for _, night := range w.OddNights(a, summer) {
				said += night.H
			}
			want := hours(w.Shares(a, Calendar{}), a) + float64(odd)/60
			if math.Abs(said-float64(odd)/60) > 1e-9 {
				t.Errorf("%s, %d, %d min from minute %d: the odd nights are said to make %g h; want %d min", rule, a.Start.Year(), length, from, said, odd)
			}
			if got := hours(w.Shares(a, summer), a); math.Abs(got-want) > 1e-9 {
				t.Errorf("%s, %d, %d min from minute %d: %g h; want %g, with %d min of the odd nights", rule, a.Start.Year(), length, from, got, want, odd)
			}
		}
		for year := 2020; year < 2048; year++ {
			a := mustYear(t, year, time.Hour, 0)
			if got := hours(Always().Shares(a, summer), a); got != float64(a.N) {
				t.Errorf("%s: always is %g h in %d; want %d", rule, got, year, a.N)
			}
		}
	}
}

func TestSummerTimeText(t *testing.T) {
	for _, r := range []struct{ in, want, src string }{
		{europe, europe, "the form of ParseSummerTime's doc"},
		{"LAST sunday march 2:00 .. last Sun October 3:00", europe, "whole names, any case, spaces"},
		{sydney, sydney, "the form of ParseSummerTime's doc"},
		{"Fri on or after 23 Mar 02:00..last Sun Oct 02:00", "Fri on or after 23 Mar 02:00..last Sun Oct 02:00", "same"},
		{"21 Mar 0:00..21 Sep 24:00", "21 Mar 00:00..21 Sep 24:00", "same"},
		{"2026-03-29 02:00..2026-10-25 03:00", "2026-03-29 02:00..2026-10-25 03:00", "same"},
	} {
		needSource(t, r.src)
		rule := mustSummer(t, r.in)
		if rule.String() != r.want || mustSummer(t, rule.String()) != rule {
			t.Errorf("%q: %q; want %q", r.in, rule, r.want)
		}
	}
	if (SummerTime{}).String() != "" || !(SummerTime{}).IsZero() || (SummerTime{}).Check() != nil {
		t.Error("the zero rule is no summer time")
	}
}

var summerErrorTests = []struct{ in, want string }{
	{"", "summer time: is empty; want two changes with .. between, such as last Sun Mar 02:00..last Sun Oct 03:00"},
	{"yes", `summer time: "yes"; want two changes with .. between`},
	{"last Sun Mar..last Sun Oct", `summer time: "Mar"; want a time such as 06:00, up to 24:00 at the end`},
	{"last Sun Mar 02:00..", `summer time: is empty; want a day and a time on the clock before it is changed`},
	{"lst Sun Mar 02:00..last Sun Oct 03:00", `summer time: "lst"; want 1st, 2nd, 3rd, 4th or last; did you mean last?`},
	{"5th Sun Mar 02:00..last Sun Oct 03:00", `summer time: "5th"; want 1st, 2nd, 3rd, 4th or last`},
	{"last Sum Mar 02:00..last Sun Oct 03:00", `summer time: "Sum"; want a day of the week such as Sun; did you mean Sun?`},
	{"last Sun Mrz 02:00..last Sun Oct 03:00", `summer time: "Mrz"; want a month such as Mar`},
	{"last Sun Mar 25:00..last Sun Oct 03:00", `summer time: "25:00"; want a time such as 06:00`},
	{"Sun after 8 Mar 02:00..last Sun Oct 03:00", `summer time: "Sun after 8 Mar 02:00"; want a day and a time`},
	{"Snu on or after 8 Mar 02:00..last Sun Oct 03:00", `summer time: "Snu"; want a day of the week such as Sun; did you mean Sun?`},
	{"29 Feb 02:00..last Sun Oct 03:00", `summer time: "29 Feb 02:00"; want a day that comes every year`},
	{"31 Apr 02:00..last Sun Oct 03:00", `summer time: "31 Apr"; want a day and a time on the clock`},
	{"31 Mrach 02:00..last Sun Oct 03:00", `did you mean Mar?`},
	{"2026-03-29 02:00..last Sun Oct 03:00", `summer time: "2026-03-29 02:00..last Sun Oct 03:00"; want a year at both ends or at neither`},
	{"2026-10-25 02:00..2026-03-29 03:00", `want the earlier day first, and a week between them at least`},
	{"last Sun Mar 02:00..31 Mar 03:00", `want a week at least between the two changes in every year`},
	{"last Sun Mar 02:00..last Sun Mar 02:00", `want a week at least between`},
	{"1st Sun Oct 02:00..1st Sun Apr 02:00 by 30 min", `summer time: "min"; want two changes of one hour; a shift of other than one hour is not known here`},
}

func TestParseSummerTimeErrors(t *testing.T) {
	for _, tt := range summerErrorTests {
		rule, err := ParseSummerTime(tt.in)
		if err == nil || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, %v; want %s", tt.in, rule, err, tt.want)
		}
	}
}
