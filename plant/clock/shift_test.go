package clock

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

func TestShift(t *testing.T) {
	const byHand = "worked out by hand"
	for _, c := range []struct {
		when string
		by   time.Duration
		want string
		src  string
	}{
		{"Mon-Fri 06:00-14:00", 2 * time.Hour, "Mon-Fri 08:00-16:00", byHand},
		{"Mon-Fri 06:00-14:00", -7 * time.Hour, "Sun-Thu 23:00-07:00", byHand + ": Monday's begins on Sunday"},
		{"Mon-Fri 22:00-06:00", 3 * time.Hour, "Tue-Sat 01:00-09:00", byHand + ": begins after midnight, so a day later"},
		{"Mon-Fri 22:00-06:00", 12 * time.Hour, "Tue-Sat 10:00-18:00", byHand},
		{"Sun 20:00-23:00", 6 * time.Hour, "Mon 02:00-05:00", byHand + ": the week is a ring"},
		{"Mon 02:00-05:00", -3 * time.Hour, "Sun 23:00-02:00", byHand},
		{"Mon-Sat 06:00-22:00; holidays 10:00-12:00", time.Hour, "Mon-Sat 07:00-23:00; holidays 11:00-13:00", byHand},
		{"always", 5 * time.Hour, "always", byHand},
		{"Sat 00:00-24:00", 6 * time.Hour, "Sat 06:00-24:00; Sun 00:00-06:00", byHand + ": a whole day is parted"},
		{"Mon-Fri 00:00-24:00", -2 * time.Hour, "Mon-Thu 00:00-24:00; Fri 00:00-22:00; Sun 22:00-24:00", byHand},
		{"rota from 2026-01-05: Sun 20:00-24:00 | Mon 06:00-14:00", 5 * time.Hour, "rota from 2026-01-05: off | Mon 01:00-05:00, 11:00-19:00", byHand + ": Sunday's goes on in the next week's pattern"},
		{"Mon 06:15-07:45", 30 * time.Minute, "Mon 06:45-08:15", byHand},
		{"Mon 06:00-14:00", 7 * 24 * time.Hour, "Mon 06:00-14:00", byHand + ": a week later is the same"},
	} {
		got, err := mustWhen(t, c.when).Shift(c.by)
		if err != nil {
			t.Errorf("%s by %v: %v", c.when, c.by, err)
			continue
		}
		if want := mustWhen(t, c.want); !got.Equal(want) {
			t.Errorf("%s by %v: %s, want %s (%s)", c.when, c.by, got, want, c.src)
		}
	}
}

func TestShiftRefused(t *testing.T) {
	for _, c := range []struct {
		when string
		by   time.Duration
		want string
	}{
		{"Mon 06:00-14:00; holidays 22:00-24:00", 3 * time.Hour, `move: "holidays 22:00-24:00"; want a move that leaves it on the holiday, whose neighbours have no name here`},
		{"Mon 06:00-14:00", 90 * time.Second, `move: "1m30s"; want whole minutes, a week at most`},
		{"Mon 06:00-14:00", 200 * time.Hour, `move: "200h0m0s"; want whole minutes, a week at most`},
	} {
		if _, err := mustWhen(t, c.when).Shift(c.by); err == nil || err.Error() != c.want {
			t.Errorf("%s by %v: %v\nwant %s", c.when, c.by, err, c.want)
		}
	}
}

// Whatever the pattern: it keeps its hours, reads back, comes back when moved back, and without holidays
// each step holds what the step so much before held.
func TestShiftMovesTheHours(t *testing.T) {
	a, err := NewYear(2026, 30*time.Minute, 0)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(4, 26))
	for _, text := range []string{"Mon-Sat 06:00-22:00", "Mon-Fri 22:00-06:00", "Sun-Tue 23:30-05:00, 06:00-07:30; Sat 00:00-24:00", "daily 00:00-24:00", "Fri 13:00-12:30"} {
		w := mustWhen(t, text)
		before := w.Shares(a, Calendar{})
		for range 40 {
			steps := rng.IntN(2*7*48) - 7*48
			by := time.Duration(steps) * a.Step
			moved, err := w.Shift(by)
			if err != nil {
				t.Fatalf("%s by %v: %v", text, by, err)
			}
			if math.Abs(moved.HoursPerWeek()-w.HoursPerWeek()) > 1e-12 {
				t.Errorf("%s by %v: %g hours a week, want %g", text, by, moved.HoursPerWeek(), w.HoursPerWeek())
			}
			if again := mustWhen(t, moved.String()); !again.Equal(moved) {
				t.Errorf("%s by %v reads back as %s, want %s", text, by, again, moved)
			}
			after := moved.Shares(a, Calendar{})
			week := 7 * 48
			for i := 2 * week; i < a.N-2*week; i++ {
				if after[i] != before[i-steps] {
					t.Fatalf("%s by %v: %s: the step %s holds %g, want %g", text, by, moved, a.Label(i), after[i], before[i-steps])
				}
			}
			back, err := moved.Shift(-by)
			if err != nil || !strings.Contains(text, "00:00-24:00") && !back.Equal(w) {
				t.Errorf("%s by %v and back: %s (%v)", text, by, back, err)
			}
		}
	}
}
