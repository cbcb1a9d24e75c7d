package demand

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

func year2026(t *testing.T, step time.Duration) clock.Axis {
	t.Helper()
	a, err := clock.NewYear(2026, step, 2*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func starts(t *testing.T, s string) StartTimes {
	t.Helper()
	v, err := ParseStarts(s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func hours(t *testing.T, s string) clock.When {
	t.Helper()
	w, err := clock.ParseWhen(s)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// How many batches a year has, counted by hand. 2026 begins on a Thursday and has 52 of each weekday and a 53rd Thursday.
func TestBegins(t *testing.T) {
	t.Parallel()
	a := year2026(t, time.Hour)
	span := func(s string) clock.Span {
		v, err := clock.ParseSpan(s)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	holiday := clock.Calendar{Holidays: []clock.Date{{Month: time.January, Day: 1}, {Year: 2026, Month: time.May, Day: 26}}}
	for _, c := range []struct {
		what    string
		t       Timetable
		c       clock.Calendar
		batchH  float64
		batches int
		src     string
	}{
		{"three a weekday", Timetable{Starts: starts(t, "Mon-Fri 06:00, 10:30, 15:00"), Machines: 1}, clock.Calendar{}, 2, 3 * 261, "261 weekdays in 2026, by hand"},
		{"holidays out", Timetable{Starts: starts(t, "Mon-Fri 06:00, 10:30, 15:00"), Machines: 1}, holiday, 2, 3 * 259, "1 Jan is a Thursday, 26 May a Tuesday"},
		{"holidays' own", Timetable{Starts: starts(t, "Mon-Fri 06:00; holidays 09:00"), Machines: 1}, holiday, 2, 261, "the two holidays have one each"},
		{"shutdown", Timetable{Starts: starts(t, "daily 06:00"), Machines: 1}, clock.Calendar{Shutdowns: []clock.Span{span("2026-08-03..2026-08-16")}}, 2, 351, "365 - 14"},
		{"season", Timetable{Starts: starts(t, "daily 06:00"), Machines: 1, Seasons: []clock.Span{span("15 Aug..24 Oct")}}, clock.Calendar{}, 2, 71, "17 + 30 + 24 days"},
		{"four machines", Timetable{Starts: starts(t, "daily 06:00"), Machines: 4, Stagger: 45 * time.Minute}, clock.Calendar{}, 2, 4 * 365, "by hand"},
		{"over new year", Timetable{Starts: starts(t, "daily 22:00"), Machines: 1}, clock.Calendar{}, 4, 366, "that of 31 Dec 2025 runs into the year"},
		{"in turn", Timetable{Every: 4 * time.Hour, When: hours(t, "daily 06:00-22:00"), Machines: 1}, clock.Calendar{}, 3, 4 * 365, "06, 10, 14, 18 h; that of 18 ends at 21"},
		{"in turn, the last would not end", Timetable{Every: 4 * time.Hour, When: hours(t, "daily 06:00-22:00"), Machines: 1}, clock.Calendar{}, 4, 4 * 365, "18 h ends at 22, just within"},
		{"in turn, too long", Timetable{Every: 5 * time.Hour, When: hours(t, "daily 06:00-22:00"), Machines: 1}, clock.Calendar{}, 4.5, 3 * 365, "06, 11, 16 h; that of 21 would end at 1:30"},
		{"in turn, staggered", Timetable{Every: 4 * time.Hour, When: hours(t, "daily 06:00-22:00"), Machines: 2, Stagger: 90 * time.Minute}, clock.Calendar{}, 4, 7 * 365, "the second's last would end at 23:30"},
		{"in turn, always", Timetable{Every: 6 * time.Hour, When: clock.Always(), Machines: 1}, clock.Calendar{}, 5, 4 * 365, "0, 6, 12, 18 h"},
		{"in turn, always, without a pause", Timetable{Every: 5 * time.Hour, When: clock.Always(), Machines: 1}, clock.Calendar{}, 5, 1752, "8760/5"},
		{"a week at a stretch", Timetable{Every: 7 * time.Hour, When: hours(t, "Mon-Fri 00:00-24:00"), Machines: 1}, clock.Calendar{}, 6, 17*51 + 7 + 14, "120 h hold 17 turns, in 51 whole weeks; of those from Mon 29 Dec 2025 the last 7 end after new year, of those from 28 Dec 2026 the first 14 begin before it"},
	} {
		list, err := c.t.Begins(a, c.c, c.batchH)
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		n := 0
		for _, m := range list {
			n += len(m)
		}
		if n != c.batches {
			t.Errorf("%s: %d batches, want %d (%s)", c.what, n, c.batches, c.src)
		}
	}
}

// Starts follow the clock on the wall, and none is lost in the spring night.
func TestBeginsInSummerTime(t *testing.T) {
	t.Parallel()
	a := year2026(t, time.Hour)
	summer, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		t.Fatal(err)
	}
	list, err := Timetable{Starts: starts(t, "daily 02:30, 12:00"), Machines: 1}.Begins(a, clock.Calendar{Summer: summer}, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(list[0]) != 730 {
		t.Errorf("%d batches, want 730: every day has both starts", len(list[0]))
	}
	for _, want := range []string{"2026-03-28 12:00", "2026-03-29 02:00", "2026-03-29 11:00", "2026-10-24 11:00", "2026-10-25 01:30", "2026-10-25 12:00"} {
		if !slices.ContainsFunc(list[0], func(at time.Time) bool { return at.Format("2006-01-02 15:04") == want }) {
			t.Errorf("none begins at %s standard time (EU rule, by hand; 02:30 of 29 March is the moment of the change)", want)
		}
	}
}

// The steps' energy is that of the batches, at any step, with stagger and over the year's ends.
func TestOverKeepsEnergy(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(4, 3))
	for i := range 24 {
		c := mustRun(t, randomBatch(rng, i))
		a := year2026(t, []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute, time.Minute}[i%4])
		table := Timetable{Starts: starts(t, "Mon-Sat 00:20; Sun 12:45"), Machines: 1 + i%5, Stagger: 37 * time.Minute}
		if i%2 == 1 {
			table.Starts, table.Every, table.When = StartTimes{}, time.Duration((c.H+0.1)*float64(time.Hour)), clock.Always()
		}
		list, err := table.Begins(a, clock.Calendar{}, c.H)
		if err != nil {
			t.Fatal(err)
		}
		y := c.Over(a, list)
		parts := 0.0
		for _, p := range y.Parts {
			parts += p.KWh
		}
		want := float64(y.Batches)*c.KWh - y.OutsideKWh
		if got := y.KW.EnergyKWh(a.StepH()); math.Abs(got-want) > 1e-9*want || math.Abs(parts-want) > 1e-9*want {
			t.Errorf("run %d: steps hold %v kWh, parts %v, batches %v", i, got, parts, want)
		}
		if y.Cut == 0 && i%2 == 1 || y.Cut > 2*table.Machines || y.OutsideKWh < 0 {
			t.Errorf("run %d: %d cut, %v kWh outside", i, y.Cut, y.OutsideKWh)
		}
		// The same on a finer axis, resampled, is the same profile.
		if a.Step == time.Hour {
			fine := year2026(t, 15*time.Minute)
			back, err := clock.Resample(c.Over(fine, list).KW, fine, a)
			if err != nil {
				t.Fatal(err)
			}
			for s := range back {
				if math.Abs(back[s]-y.KW[s]) > 1e-9*c.PeakKW*float64(table.Machines) {
					t.Fatalf("run %d, step %s: %v kW by the hour, %v by quarters", i, a.Label(s), y.KW[s], back[s])
				}
			}
		}
	}
}

// Exact in time: a batch of 100 kW for 40 min from 06:50 lies with 10 and 30 min in two hours.
func TestOverIsExactInTime(t *testing.T) {
	t.Parallel()
	a := year2026(t, time.Hour)
	c := mustRun(t, kettle(1000, 3.6, 20, 20+100*(40./60), HeatUp{Way: ByPower, KW: 100}))
	list, err := Timetable{Starts: starts(t, "daily 06:50"), Machines: 1}.Begins(a, clock.Calendar{}, c.H)
	if err != nil {
		t.Fatal(err)
	}
	y := c.Over(a, list)
	if math.Abs(y.KW[6]-100./6) > 1e-9 || math.Abs(y.KW[7]-50) > 1e-9 || y.KW[8] != 0 {
		t.Errorf("got %v, want 16.7, 50, 0 kW (by hand: 1 kWh/K at 100 kW is 100 K/h)", y.KW[6:9])
	}
}

func TestStartsRoundTrip(t *testing.T) {
	t.Parallel()
	for _, s := range []string{"Mon-Fri 06:00, 10:30, 15:00; Sat 06:00", "daily 00:00, 23:59", "Mon, Wed-Fri, holidays 07:15"} {
		v := starts(t, s)
		if v.String() != s || !starts(t, v.String()).when.Equal(v.when) {
			t.Errorf("%q comes back as %q", s, v)
		}
	}
}

func TestWrongStarts(t *testing.T) {
	t.Parallel()
	for _, c := range [][2]string{
		{"", `starts: is empty; want days and times such as Mon-Fri 06:00, 10:30; Sat 06:00`},
		{"always", `starts: "always"; want days and times such as Mon-Fri 06:00, 10:30; Sat 06:00`},
		{"Mon-Fri 06:00-14:00", `starts: "06:00-14:00"; want single times, as in Mon-Fri 06:00, 10:30`},
		{"Mon-Fri", `starts: "Mon-Fri"; want days and times such as Mon-Fri 06:00, 10:30; Sat 06:00`},
		{"Mon-Fri 6", `starts: "6"; want a time such as 06:00, up to 23:59`},
		{"Mon-Fri 24:00", `starts: "24:00"; want a time such as 06:00, up to 23:59`},
		{"Mon-Fri 06:70", `starts: "06:70"; want a time such as 06:00, up to 23:59`},
		{"Mon-Fri 06:00, 06:00", `starts: "Mon 06:00 and Mon 06:00"; want each start once`},
		{"Mno-Fri 06:00", `starts: "Mno"; want a day such as Mon, Mon-Fri, daily or holidays, or always; did you mean Mon?`},
	} {
		if _, err := ParseStarts(c[0]); err == nil || err.Error() != c[1] {
			t.Errorf("%q:\n got %v\nwant %s", c[0], err, c[1])
		}
	}
}

// What is read is written so that it reads equal, and every fault is a TextError.
func FuzzParseStarts(f *testing.F) {
	for _, s := range []string{"Mon-Fri 06:00, 10:30, 15:00; Sat 06:00", "daily 00:00, 23:59", "holidays 7:15", "06:00", "Mon 06:00-07:00", "always", ";;", "Mon 99:99", "Mon 06:00 07:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := ParseStarts(s)
		if err != nil {
			if !errors.As(err, new(*clock.TextError)) {
				t.Fatalf("%q: is no TextError: %v", s, err)
			}
			return
		}
		again, err := ParseStarts(v.String())
		if err != nil || !again.when.Equal(v.when) {
			t.Fatalf("%q is written as %q, which reads %v, %v", s, v, again, err)
		}
	})
}
