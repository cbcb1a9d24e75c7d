package clock

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
)

// What a planner writes, painted and written again. src: weeks and texts made for this table, common practice, no source.
var weekTests = []struct{ in, want, src string }{
	{"always", "always", "all painted"},
	{"daily 00:00-24:00; holidays 08:00-10:00", "daily 00:00-24:00; holidays 08:00-10:00", "holidays of their own"},
	{"Mon-Sat 06:00-22:00", "Mon-Sat 06:00-22:00", "day shifts"},
	{"Mon-Fri 06:00-14:00, 14:00-22:00", "Mon-Fri 06:00-22:00", "shifts that touch are one run"},
	{"Mon-Fri 22:00-06:00", "Mon-Fri 22:00-06:00", "over midnight belongs to the day it begins"},
	{"Sun-Thu 22:00-06:00", "Sun-Thu 22:00-06:00", "round the week's end"},
	{"Sun 22:00-06:00; Mon 08:00-10:00", "Mon 08:00-10:00; Sun 22:00-06:00", "over the week's end"},
	{"Fri, Sat, Sun, Mon 08:00-10:00", "Fri-Mon 08:00-10:00", "round the week's end"},
	{"daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00", "daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00", "all days but one alike"},
	{"Mon-Fri 08:00-12:00, 13:00-17:00; Sat 08:00-12:00", "Mon-Sat 08:00-12:00; Mon-Fri 13:00-17:00", "a morning that all share"},
	{"Mon-Fri 06:00-22:00; Sat 06:00-14:00", "Mon-Fri 06:00-22:00; Sat 06:00-14:00", "a short Saturday"},
	{"Mon-Fri 06:00-14:00, 14:00-22:00, 22:00-06:00", "Mon-Fri 06:00-22:00, 22:00-06:00", "three shifts: 06:00 on Monday to 06:00 on Saturday"},
	{"Mon-Thu 00:00-24:00; Fri 00:00-14:00", "Mon-Thu 00:00-24:00; Fri 00:00-14:00", "from midnight on"},
	{"Mon 06:00-24:00; Tue 00:00-14:00", "Mon 06:00-24:00; Tue 00:00-14:00", "a day and a third"},
	{"Sat, Sun 00:00-24:00", "Sat, Sun 00:00-24:00", "whole days"},
	{"Mon, Wed, Fri 10:00-11:00; holidays 10:00-11:00", "Mon, Wed, Fri, holidays 10:00-11:00", "holidays alike"},
	{"daily, holidays 09:00-10:00", "daily, holidays 09:00-10:00", "every day"},
	{"holidays 09:00-10:00", "holidays 09:00-10:00", "on holidays alone"},
	{"Mon 23:00-01:00; Tue 01:00-02:00", "Mon 23:00-02:00", "runs that touch"},
	{"Wed 00:00-06:00", "Wed 00:00-06:00", "small hours alone stay on their day"},
}

func TestWeekAsPlannersWrite(t *testing.T) {
	for _, tt := range weekTests {
		w, err := ParseWhen(tt.in)
		if err != nil {
			t.Fatal(err)
		}
		k, err := w.Week(24)
		if err != nil {
			t.Fatal(err)
		}
		got, err := WriteWhen(k)
		if err != nil || got != tt.want {
			t.Errorf("%s: painted and written %q, %v; want %q (%s)", tt.in, got, err, tt.want, tt.src)
		}
	}
}

// Whatever is painted is written as a pattern that paints the same, and that runs in just these slots of real weeks.
func TestWeekBothWays(t *testing.T) {
	unraced(t)
	const seed = 11
	r := rand.New(rand.NewPCG(seed, seed))
	for i := range 240 {
		k := randomWeek(r, []int{24, 48, 96, 24, 8, 144}[i%6])
		text, err := WriteWhen(k)
		if empty := !slices.Contains(slices.Concat(append(k.Days[:], k.Holidays)...), true); empty != (err != nil) {
			t.Fatalf("seed %d, week %d: %q, %v", seed, i, text, err)
		}
		if err != nil {
			continue
		}
		w, err := ParseWhen(text)
		if err != nil {
			t.Fatalf("seed %d, week %d: %q does not read: %v", seed, i, text, err)
		}
		again, err := w.Week(k.PerDay)
		if err != nil || !sameWeek(k, again) {
			t.Fatalf("seed %d, week %d: %q paints otherwise, %v", seed, i, text, err)
		}
		if len(text) > len(w.String()) {
			t.Fatalf("seed %d, week %d: %q is longer than %q", seed, i, text, w.String())
		}
		if twice, err := WriteWhen(again); err != nil || twice != text {
			t.Fatalf("seed %d, week %d: %q, then %q, %v", seed, i, text, twice, err)
		}
		// By the other road, the one that loads take: three weeks from a Monday, the middle one without its edges.
		a := Axis{time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), 24 * time.Hour / time.Duration(k.PerDay), 21 * k.PerDay}
		shares := w.Shares(a, Calendar{})[7*k.PerDay : 14*k.PerDay]
		for j, share := range shares {
			if want := k.Days[j/k.PerDay][j%k.PerDay]; share != map[bool]float64{true: 1}[want] {
				t.Fatalf("seed %d, week %d: %q has %g of slot %d, painted %v", seed, i, text, share, j, want)
			}
		}
	}
}

// randomWeek paints runs of hours, some long, some on holidays, or single slots by chance.
func randomWeek(r *rand.Rand, perDay int) Week {
	ring := make([]bool, 7*perDay)
	switch r.IntN(3) {
	case 0:
		for i := range ring {
			ring[i] = r.IntN(2) == 0
		}
	default:
		for range r.IntN(5) {
			from, long := r.IntN(len(ring)), r.IntN(3*perDay)+1
			for i := range long {
				ring[(from+i)%len(ring)] = true
			}
		}
		if r.IntN(3) == 0 {
			from, long := r.IntN(perDay), r.IntN(perDay)+1
			for d := range r.IntN(8) {
				for i := range long {
					ring[(d*perDay+from+i)%len(ring)] = true
				}
			}
		}
	}
	k := Week{PerDay: perDay}
	for d := range k.Days {
		k.Days[d] = ring[d*perDay : (d+1)*perDay]
	}
	if r.IntN(4) == 0 {
		k.Holidays = make([]bool, perDay)
		for i := range k.Holidays {
			k.Holidays[i] = r.IntN(3) == 0
		}
	}
	return k
}

// sameWeek compares what is painted; holidays without a slot are as good as none.
func sameWeek(a, b Week) bool {
	if !slices.Contains(a.Holidays, true) {
		a.Holidays = nil
	}
	return slices.EqualFunc(a.Days[:], b.Days[:], slices.Equal[[]bool]) && slices.Equal(a.Holidays, b.Holidays)
}

// A shorter text reads as an equal pattern, whatever the pattern.
func TestShortReadsEqual(t *testing.T) {
	for _, list := range [][]string{{"rota from 2026-01-05: Mon-Fri 06:00-14:00 | Sun 14:00-02:00, 03:00-04:00; Mon-Sat 14:00-02:00 | off", "Mon, Sun 06:30-14:10; holidays 22:00-06:00"}, whens(weekTests), whensOfYear()} {
		for _, text := range list {
			w, err := ParseWhen(text)
			if err != nil {
				t.Fatal(err)
			}
			if again, err := ParseWhen(w.Short()); err != nil || !again.Equal(w) || len(w.Short()) > len(w.String()) {
				t.Errorf("%q in short is %q, which reads as %q, %v", text, w.Short(), again, err)
			}
		}
	}
}

func whens(list []struct{ in, want, src string }) (texts []string) {
	for _, tt := range list {
		texts = append(texts, tt.in, tt.want)
	}
	return texts
}

func whensOfYear() (texts []string) {
	for _, tt := range yearHourTests {
		texts = append(texts, tt.when)
	}
	return texts
}

func TestWeekFaults(t *testing.T) {
	paint := func(text string, perDay int) error {
		w, err := ParseWhen(text)
		if err != nil {
			t.Fatal(err)
		}
		_, err = w.Week(perDay)
		return err
	}
	write := func(k Week) error { _, err := WriteWhen(k); return err }
	short := Week{PerDay: 24}
	empty := Week{PerDay: 24}
	for d := range empty.Days {
		empty.Days[d] = make([]bool, 24)
		short.Days[d] = make([]bool, 24-d)
	}
	for _, tt := range []struct {
		err  error
		want string
	}{
		{paint("Mon 06:30-14:00", 24), `painted week: "Mon 06:30-14:00"; want hours on slots of 60 min, or finer slots`},
		{paint("Mon 06:10-14:00", 96), `painted week: "Mon 06:10-14:00"; want hours on slots of 15 min, or finer slots`},
		{paint("holidays 06:30-14:00", 24), `painted week: "holidays 06:30-14:00"; want hours on slots of 60 min, or finer slots`},
		{paint("holidays 22:00-06:00", 24), `painted week: "holidays 22:00-06:00"; want hours of a holiday that end by 24:00`},
		{paint("rota from 2026-01-05: Mon 06:00-14:00 | off", 24), `painted week: "rota from 2026-01-05: Mon 06:00-14:00 | off"; want one week, not a rota of several`},
		{paint("always", 7), `painted week: "7 slots a day"; want a divisor of 1440, such as 24, 48 or 96`},
		{write(Week{}), `painted week: "0 slots a day"; want a divisor of 1440, such as 24, 48 or 96`},
		{write(short), `painted week: "Tue with 23 slots"; want 24`},
		{write(empty), `painted week: is empty; want one hour at least`},
	} {
		if tt.err == nil || tt.err.Error() != tt.want {
			t.Errorf("error %v\nwant %s", tt.err, tt.want)
		}
	}
}

// Bytes paint a week; it is written and read back the same.
func FuzzWriteWhen(f *testing.F) {
	f.Add([]byte{0xff, 0, 0xf0, 1}, 24)
	f.Add([]byte(strings.Repeat("\xff", 84)), 96)
	f.Fuzz(func(t *testing.T, bits []byte, perDay int) {
		if perDay < 1 || perDay > 144 || dayMinutes%perDay != 0 || len(bits) == 0 {
			return
		}
		k := Week{PerDay: perDay}
		at := func(i int) bool { return i < 8*len(bits) && bits[i/8]>>(i%8)&1 == 1 }
		for d := range k.Days {
			for i := range perDay {
				k.Days[d] = append(k.Days[d], at(d*perDay+i))
			}
		}
		text, err := WriteWhen(k)
		if err != nil {
			return
		}
		w, err := ParseWhen(text)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if again, err := w.Week(perDay); err != nil || !sameWeek(k, again) {
			t.Fatalf("%q paints otherwise, %v", text, err)
		}
	})
}
