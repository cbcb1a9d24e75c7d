package clock

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"
)

// What parses prints and parses again equal; its shares lie in 0 to 1 and sum over whole weeks to its hours.
// What does not parse says so in one short line.
func FuzzParseWhen(f *testing.F) {
	for _, tt := range yearHourTests {
		f.Add(tt.when)
	}
	for _, tt := range shareTests {
		f.Add(tt.when)
	}
	for _, tt := range whenErrorTests {
		f.Add(tt.in)
	}
	for _, tt := range rotaErrorTests {
		f.Add(tt.in)
	}
	f.Add("rota from 2026-01-05: Mon-Fri 06:00-14:00 | Sun 14:00-02:00 | off")
	a := Axis{time.Date(2026, 1, 4, 0, 0, 0, 0, time.UTC), time.Hour, 21 * 24}
	f.Fuzz(func(t *testing.T, s string) {
		w, err := ParseWhen(s)
		if err != nil {
			var text *TextError
			if !errors.As(err, &text) || strings.ContainsAny(err.Error(), "\n\r") || len(err.Error()) > 600 {
				t.Fatalf("%q: poor error %q", s, err)
			}
			return
		}
		again, err := ParseWhen(w.String())
		if err != nil || !again.Equal(w) || again.String() != w.String() {
			t.Fatalf("%q prints as %q, which reads as %q, %v", s, w, again, err)
		}
		shares := w.Shares(a, Calendar{})
		for i, share := range shares {
			if !(share >= 0 && share <= 1) {
				t.Fatalf("%q: share %g at %s", s, share, a.Label(i))
			}
		}
		if w.rota != nil {
			return // its weeks differ
		}
		// The axis starts inside the pattern and ends inside it, as it does a week later: the middle week is whole.
		if got, want := hours(shares[7*24:14*24], a), w.HoursPerWeek(); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%q: %g h in a week; want %g", s, got, want)
		}
	})
}

// A rule that parses prints and parses again equal; it moves a year's hours by none, and the clock always shows
// what it found an instant by.
func FuzzParseSummerTime(f *testing.F) {
	for _, tt := range summerErrorTests {
		f.Add(tt.in)
	}
	for _, tt := range zoneTests {
		f.Add(tt.rule)
	}
	a := Axis{time.Date(2027, 6, 1, 0, 0, 0, 0, time.UTC), time.Hour, 700 * 24}
	f.Fuzz(func(t *testing.T, s string) {
		rule, err := ParseSummerTime(s)
		if err != nil {
			var text *TextError
			if !errors.As(err, &text) || strings.ContainsAny(err.Error(), "\n\r") || len(err.Error()) > 600 {
				t.Fatalf("%q: poor error %q", s, err)
			}
			return
		}
		if again, err := ParseSummerTime(rule.String()); err != nil || again != rule {
			t.Fatalf("%q prints as %q, which reads as %q, %v", s, rule, again, err)
		}
		c := Calendar{Summer: rule}
		if got := hours(Always().Shares(a, c), a); got != float64(a.N) {
			t.Fatalf("%q: always is %g h of %d", s, got, a.N)
		}
		forward, back := rule.Turns(a)
		if n := len(forward) - len(back); n < -1 || n > 1 {
			t.Fatalf("%q: %d times forward and %d back", s, len(forward), len(back))
		}
		for i := 0; i < a.N; i += 7 {
			wall := c.Wall(a.At(i))
			at := c.At(DateOf(wall), wall.Hour()*60+wall.Minute(), time.UTC)
			if d := a.At(i).Sub(at); !wall.Equal(a.At(i)) || d != 0 && d != SummerShift {
				t.Fatalf("%q: at %v the wall shows %v, which is found at %v", s, a.At(i), wall, at)
			}
		}
	})
}

// Days that parse print and parse again equal.
func FuzzParseSpan(f *testing.F) {
	for _, s := range []string{"2026-08-03..2026-08-16", "15 Jul..30 Sep", "24 Dec..6 Jan", "29 Feb", "2026-02-29", "..", "1 Dce"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		span, err := ParseSpan(s)
		if err != nil {
			var text *TextError
			if !errors.As(err, &text) || strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("%q: poor error %q", s, err)
			}
			return
		}
		if again, err := ParseSpan(span.String()); err != nil || again != span || span.Check() != nil {
			t.Fatalf("%q prints as %q, which reads as %q, %v", s, span, again, err)
		}
	})
}

// Offsets that parse print and parse again equal, and lie in the range of those in use.
func FuzzParseOffset(f *testing.F) {
	for _, s := range []string{"+3 h", "-3:30", "+5:45", "UTC+5.75 h", "0", "+14", "-12:15", "1e2", "+0x1", "++1", "3:60", "999999999 h"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		offset, err := ParseOffset(s)
		if err != nil {
			var text *TextError
			if !errors.As(err, &text) || strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("%q: poor error %q", s, err)
			}
			return
		}
		if again, err := ParseOffset(OffsetString(offset)); err != nil || again != offset || checkOffset(offset) != nil {
			t.Fatalf("%q is %v, prints as %q, which reads as %v, %v", s, offset, OffsetString(offset), again, err)
		}
	})
}

// Dates that parse are days that exist; they print and parse again equal.
func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2026-12-25", "25 Dec", "29 Feb", "2025-02-29", "0000-01-01", "1 dezember", "2026-1-1", "31 Apr", "99999-01-01"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		day, err := ParseDate(s)
		if err != nil {
			var text *TextError
			if !errors.As(err, &text) || strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("%q: poor error %q", s, err)
			}
			return
		}
		if again, err := ParseDate(day.String()); err != nil || again != day || !day.Valid() {
			t.Fatalf("%q prints as %q, which reads as %v, %v", s, day, again, err)
		}
	})
}
