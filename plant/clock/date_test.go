package clock

import (
	"strings"
	"testing"
	"time"
)

func TestParseDate(t *testing.T) {
	rows := []struct {
		in   string
		want Date
		err  string
	}{
		{"2026-12-25", Date{2026, 12, 25}, ""},
		{" 25 Dec ", Date{0, 12, 25}, ""},
		{"1 january", Date{0, 1, 1}, ""},
		{"29 Feb", Date{0, 2, 29}, ""},
		{"2028-02-29", Date{2028, 2, 29}, ""},
		{"2026-02-29", Date{}, `date: "2026-02-29"; want a day that exists`},
		{"30 Feb", Date{}, `want a day that exists`},
		{"0 Feb", Date{}, `want a day that exists`},
		{"2026-13-01", Date{}, `want a day that exists`},
		{"0000-12-25", Date{}, `want a day such as 2026-12-25, or 25 Dec for every year`},
		{"26-12-25", Date{}, `want a day such as`},
		{"2026-12-25 00:00", Date{}, `want a day such as`},
		{"25.12.2026", Date{}, `want a day such as`},
		{"25 Dce", Date{}, `did you mean Dec?`},
		{"4 Jly", Date{}, `did you mean Jul?`},
		{"15 Sept", Date{}, `did you mean Sep?`},
		{"25 Dec 2026", Date{}, `want a day such as`},
		{"Dec 25", Date{}, `date: "Dec 25"; want a day such as`},
		{"1 9AՕ.0\x01", Date{}, `date: "1 9AՕ.0\x01"; want a day such as`}, // found by fuzzing, as in whenErrorTests
		{"", Date{}, `date: is empty; want a day`},
	}
	for _, r := range rows {
		got, err := ParseDate(r.in)
		if got != r.want || (err == nil) != (r.err == "") || err != nil && !strings.Contains(err.Error(), r.err) {
			t.Errorf("%q: %v, %v; want %v, %s", r.in, got, err, r.want, r.err)
		}
		if err == nil {
			if again, err := ParseDate(got.String()); again != got || err != nil {
				t.Errorf("%q reads back as %v, %v", got, again, err)
			}
		}
	}
}

func TestParseSpan(t *testing.T) {
	rows := []struct {
		in      string
		has, no string // days of 2025 to 2027 inside and outside
		err     string
	}{
		{"2026-08-03..2026-08-16", "2026-08-03 2026-08-10 2026-08-16", "2026-08-02 2026-08-17 2027-08-10", ""},
		{"15 Jul..30 Sep", "2025-07-15 2026-09-30 2027-08-01", "2026-07-14 2026-10-01", ""},
		{"24 Dec..6 Jan", "2026-01-01 2026-01-06 2026-12-24 2026-12-31", "2026-01-07 2026-12-23 2026-07-01", ""},
		{"2025-12-24..2026-01-06", "2025-12-31 2026-01-06", "2026-12-31 2026-01-07", ""},
		{"1 May", "2025-05-01 2026-05-01", "2026-05-02 2026-04-30", ""},
		{"2026-05-01", "2026-05-01", "2025-05-01", ""},
		{"20 Feb..29 Feb", "2026-02-28 2028-02-29", "2026-03-01", ""},
		{"2026-08-16..2026-08-03", "", "", `days: "2026-08-16..2026-08-03"; want the earlier day first`},
		{"2026-08-03..16 Aug", "", "", `want a year at both ends or at neither`},
		{"2026-08-03..", "", "", `date: is empty`},
		{"2026-08-03-2026-08-16", "", "", `date: "2026-08-03-2026-08-16"`},
		{"1 Jan..2 Jan..3 Jan", "", "", `date: "2 Jan..3 Jan"`},
		{" ", "", "", `days: is empty; want a day, or two with ..`},
	}
	for _, r := range rows {
		got, err := ParseSpan(r.in)
		if (err == nil) != (r.err == "") || err != nil && !strings.Contains(err.Error(), r.err) {
			t.Errorf("%q: %v, %v; want %s", r.in, got, err, r.err)
		}
		if err != nil {
			continue
		}
		if again, err := ParseSpan(got.String()); again != got || err != nil {
			t.Errorf("%q reads back as %v, %v", got, again, err)
		}
		for list, want := range map[string]bool{r.has: true, r.no: false} {
			for _, text := range strings.Fields(list) {
				d, err := ParseDate(text)
				if err != nil || got.Has(d) != want {
					t.Errorf("%q has %s: %v; want %v, %v", r.in, text, got.Has(d), want, err)
				}
			}
		}
	}
}

// A span of every year and one by hand, day by day over three years with a leap year among them.
func TestSpanCountsDays(t *testing.T) {
	span := Span{Date{0, 12, 24}, Date{0, 1, 6}}
	leapDay := Span{Date{0, 2, 29}, Date{0, 2, 29}}
	n, leap := 0, 0
	for d := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() < 2030; d = d.AddDate(0, 0, 1) {
		if span.Has(DateOf(d)) {
			n++
		}
		if leapDay.Has(DateOf(d)) {
			leap++
		}
	}
	if n != 3*(8+6) || leap != 1 {
		t.Errorf("%d days and %d leap days; want 42 (3 x 14) and 1", n, leap)
	}
}

func TestCalendar(t *testing.T) {
	c := Calendar{
		Holidays:  []Date{{0, time.December, 25}, {2026, time.May, 1}},
		Shutdowns: []Span{{Date{0, 12, 24}, Date{0, 1, 2}}},
	}
	rows := []struct {
		day               string
		holiday, shutdown bool
	}{
		{"2026-12-25", true, true}, {"2026-05-01", true, false}, {"2027-05-01", false, false},
		{"2026-01-02", false, true}, {"2026-01-03", false, false},
	}
	for _, r := range rows {
		d, _ := ParseDate(r.day)
		at := time.Date(d.Year, d.Month, d.Day, 23, 59, 0, 0, time.FixedZone("", 14*3600))
		if h, s := c.Closed(at); h != r.holiday || s != r.shutdown {
			t.Errorf("%s: holiday %v, shutdown %v; want %v, %v", r.day, h, s, r.holiday, r.shutdown)
		}
	}
	if err := c.Check(); err != nil {
		t.Error(err)
	}
	c = Calendar{Holidays: []Date{{}, {2026, 2, 29}}, Shutdowns: []Span{{}}}
	if err := c.Check(); err == nil || strings.Count(err.Error(), "\n") != 2 {
		t.Errorf("%v; want three faults", err)
	}
}
