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
		// The axis starts inside the pattern and ends inside it, as it does a week later: the middle week is whole.
		if got, want := hours(shares[7*24:14*24], a), w.HoursPerWeek(); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%q: %g h in a week; want %g", s, got, want)
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
