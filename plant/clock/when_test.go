package clock

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"
)

func mustWhen(t testing.TB, s string) When {
	t.Helper()
	w, err := ParseWhen(s)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func mustYear(t testing.TB, year int, step, offset time.Duration) Axis {
	t.Helper()
	a, err := NewYear(year, step, offset)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// hours is what shares come to, h.
func hours(shares []float64, a Axis) float64 { return KW(shares).EnergyKWh(a.StepH()) }

// needSource keeps a row of a table from standing on nothing.
func needSource(t testing.TB, src string) {
	t.Helper()
	if src == "" {
		t.Fatal("row names no source")
	}
}

// 52 weeks from Monday 5 January 2026.
func weeks52(step time.Duration) Axis {
	return Axis{time.Date(2026, 1, 5, 0, 0, 0, 0, time.FixedZone("", 3*3600)), step, int(52 * 7 * day / step)}
}

var yearHourTests = []struct {
	when  string
	wantH float64
	src   string
}{
	{"Mon-Fri 06:00-14:00", 2080, "checks-heat.md 7.13, hours COMPUTED: 52 x 5 x 8"},
	{"Mon-Fri 08:00-16:00", 2080, "checks-heat.md 7.13, hours COMPUTED: 52 x 5 x 8"},
	{"Mon-Fri 06:00-22:00", 4160, "checks-heat.md 7.13, hours COMPUTED: 52 x 5 x 16"},
	{"Mon-Fri 06:00-14:00, 14:00-22:00, 22:00-06:00", 6240, "checks-heat.md 7.13, hours COMPUTED: 52 x 5 x 24"},
	{"Mon-Fri 00:00-24:00", 6240, "checks-heat.md 7.13, hours COMPUTED: 52 x 5 x 24"},
	{"always", 8736, "by hand: 52 x 168"},
	{"Mon-Sat 06:30-14:15", 2418, "by hand: 52 x 6 x 7.75"},
	{"daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00", 2912, "by hand: 52 x (6 x 8 + 8)"},
}

func TestSharesSumToThePatternsHours(t *testing.T) {
	for _, tt := range yearHourTests {
		needSource(t, tt.src)
		w := mustWhen(t, tt.when)
		for _, step := range []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute, 5 * time.Minute} {
			a := weeks52(step)
			if got := hours(w.Shares(a, Calendar{}), a); got != tt.wantH {
				t.Errorf("%s, step %v: %g h; want %g (%s)", tt.when, step, got, tt.wantH, tt.src)
			}
		}
		if got := w.HoursPerWeek() * 52; math.Abs(got-tt.wantH) > 1e-9 {
			t.Errorf("%s: HoursPerWeek gives %g h; want %g", tt.when, got, tt.wantH)
		}
	}
	a := mustYear(t, 2026, time.Hour, 3*time.Hour)
	if got := hours(Always().Shares(a, Calendar{}), a); got != 8760 {
		t.Errorf("always in 2026: %g h; want 8760 (checks-heat.md 7.13)", got)
	}
}

// 2026 begins on a Thursday, so 1 Jan 2026 is day 3 of its week. Steps of one hour; index = 24 x day + hour.
var shareTests = []struct {
	name, when string
	cal        Calendar
	want       map[string]float64 // by label of the step, 1 Jan to 14 Jan 2026; all others 0
	src        string
}{
	{name: "half a step at the start, a quarter at the end", when: "Fri 06:30-08:15",
		want: map[string]float64{"2 Jan 06:00": .5, "2 Jan 07:00": 1, "2 Jan 08:00": .25,
			"9 Jan 06:00": .5, "9 Jan 07:00": 1, "9 Jan 08:00": .25},
		src: "by hand; 2 January 2026 is a Friday (calendar)"},
	{name: "over midnight into Saturday", when: "Fri 22:00-02:00",
		want: map[string]float64{"2 Jan 22:00": 1, "2 Jan 23:00": 1, "3 Jan 00:00": 1, "3 Jan 01:00": 1,
			"9 Jan 22:00": 1, "9 Jan 23:00": 1, "10 Jan 00:00": 1, "10 Jan 01:00": 1},
		src: "by hand: the small hours belong to Friday"},
	{name: "the axis begins inside a night shift", when: "Wed 23:00-01:00",
		want: map[string]float64{"1 Jan 00:00": 1, "7 Jan 23:00": 1, "8 Jan 00:00": 1, "14 Jan 23:00": 1},
		src:  "by hand: 31 December 2025 is a Wednesday (calendar)"},
	{name: "a shift of the evening before a holiday runs on", when: "daily 23:00-01:00",
		cal: Calendar{Holidays: []Date{{0, 2, 29}, {2025, 12, 31}, {0, time.January, 3}, {2026, time.January, 5}, {2027, 1, 7}},
			Shutdowns: []Span{{Date{2026, 1, 8}, Date{2026, 1, 14}}}},
		want: map[string]float64{ // 31 Dec is a holiday, so 1 Jan 00:00 is free
			"1 Jan 23:00": 1, "2 Jan 00:00": 1, "2 Jan 23:00": 1,
			"3 Jan 00:00": 1, // runs on into the holiday of 3 Jan, whose own evening is free
			"4 Jan 23:00": 1, "5 Jan 00:00": 1, "6 Jan 23:00": 1, "7 Jan 00:00": 1, "7 Jan 23:00": 1,
			"8 Jan 00:00": 1}, // runs on into the shutdown
		src: "by hand"},
	{name: "holidays have hours of their own", when: "Thu-Sat 12:00-13:00; holidays 10:30-11:30",
		cal:  Calendar{Holidays: []Date{{0, time.January, 1}, {2026, time.January, 9}}, Shutdowns: []Span{{Date{0, 12, 20}, Date{0, 1, 2}}}},
		want: map[string]float64{"3 Jan 12:00": 1, "8 Jan 12:00": 1, "9 Jan 10:00": .5, "9 Jan 11:00": .5, "10 Jan 12:00": 1},
		src:  "by hand: 1 January is in the shutdown over new year, which takes holidays out too"},
	{name: "a night shift that meets holiday hours counts once", when: "Mon 22:00-02:00; holidays 01:00-03:00",
		cal: Calendar{Holidays: []Date{{0, time.January, 6}}},
		want: map[string]float64{"5 Jan 22:00": 1, "5 Jan 23:00": 1, "6 Jan 00:00": 1, "6 Jan 01:00": 1, "6 Jan 02:00": 1,
			"12 Jan 22:00": 1, "12 Jan 23:00": 1, "13 Jan 00:00": 1, "13 Jan 01:00": 1},
		src: "by hand"},
}

func TestShares(t *testing.T) {
	a := Axis{time.Date(2026, 1, 1, 0, 0, 0, 0, time.FixedZone("", 5*3600+45*60)), time.Hour, 14 * 24}
	for _, tt := range shareTests {
		needSource(t, tt.src)
		left := len(tt.want)
		for i, share := range mustWhen(t, tt.when).Shares(a, tt.cal) {
			want, named := tt.want[a.Label(i)]
			if named {
				left--
			}
			if share != want {
				t.Errorf("%s: %s: share %g; want %g (%s)", tt.name, a.Label(i), share, want, tt.src)
			}
		}
		if left != 0 {
			t.Errorf("%s: %d wanted labels are not on the axis", tt.name, left)
		}
	}
}

// A season is judged by the day on which a stretch begins, as holidays are.
func TestSharesInSeason(t *testing.T) {
	a := mustYear(t, 2026, time.Hour, 0)
	season := Span{Date{0, 7, 15}, Date{0, 9, 30}}
	shares := mustWhen(t, "daily 22:00-06:00").SharesIn(a, Calendar{}, season)
	if got := hours(shares, a); got != 78*8 { // 17 + 31 + 30 days
		t.Errorf("%g h; want %d by hand: 78 nights of 8 h", got, 78*8)
	}
	for label, want := range map[string]float64{"15 Jul 05:00": 0, "15 Jul 22:00": 1, "1 Oct 05:00": 1, "1 Oct 06:00": 0, "1 Oct 22:00": 0} {
		for i := range shares {
			if a.Label(i) == label && shares[i] != want {
				t.Errorf("%s: %g; want %g", label, shares[i], want)
			}
		}
	}
}

func TestWhenStringReadsBack(t *testing.T) {
	rows := []struct{ in, want, src string }{
		{"always", "always", "the form of ParseWhen's doc"},
		{" ALWAYS ", "always", "the form of ParseWhen's doc"},
		{"daily 0:00-24:00", "always", "the two are one pattern by the doc"},
		{"Mon-Sat 06:00-22:00", "Mon-Sat 06:00-22:00", "already in the form"},
		{"mon–fri 22:00–06:00", "Mon-Fri 22:00-06:00", "en dashes, small letters"},
		{"Sat-Mon 6:00-7:00", "Mon, Sat, Sun 06:00-07:00", "a range over the week's end"},
		{"Sun-Mon 22:00-00:00", "Mon, Sun 22:00-24:00", "midnight as an end is 24:00"},
		{"daily 13:00-17:00, 08:00-12:00; Sat 06:00-14:00", "Mon-Fri, Sun 08:00-12:00, 13:00-17:00; Sat 06:00-14:00",
			"sorted; a named day leaves daily"},
		{"Tuesday, Thu 08:00-16:00; holidays 10:00-12:00; Thu 17:00-18:00",
			"Tue 08:00-16:00; Thu 08:00-16:00, 17:00-18:00; holidays 10:00-12:00", "two clauses for one day add"},
		{"daily, holidays 00:00-24:00", "daily, holidays 00:00-24:00", "already in the form"},
		{"Mon 06:00-14:00, 14:00-22:00", "Mon 06:00-14:00, 14:00-22:00", "touching stretches stay apart"},
	}
	for _, r := range rows {
		needSource(t, r.src)
		w := mustWhen(t, r.in)
		if got := w.String(); got != r.want {
			t.Errorf("%q: %q; want %q (%s)", r.in, got, r.want, r.src)
		}
		if again := mustWhen(t, w.String()); !again.Equal(w) {
			t.Errorf("%q does not read back equal", w)
		}
	}
	if w := (When{}); w.String() != "" || !w.IsZero() || Always().IsZero() {
		t.Error("the zero pattern must be empty, and only it")
	}
}

var whenErrorTests = []struct{ in, want string }{
	{"", "when: is empty; want a day"},
	{"  ;", `when: is empty; want a day`},
	{"Mno-Fri 06:00-14:00", `when: "Mno"; want a day such as Mon, Mon-Fri, daily or holidays, or always; did you mean Mon?`},
	{"Mon-Fir 06:00-14:00", `did you mean Fri?`},
	{"Thurs 06:00-14:00", `did you mean Thu?`},
	{"Wensday 06:00-14:00", `did you mean Wed?`},
	{"dayly 06:00-14:00", `did you mean daily?`},
	{"holiday 06:00-14:00", `did you mean holidays?`},
	{"Montag 06:00-14:00", `when: "Montag"; want a day`},
	{"06:00-14:00", `when: "06:00"; want a day`},
	{"Mon-Fri", `when: "Mon-Fri"; want times such as 06:00-14:00 after the days, 00:00-24:00 for all day`},
	{"Mon 06-14", `when: "06"; want a time such as 06:00`},
	{"Mon 6am-2pm", `when: "6am"; want a time`},
	{"Mon 06:00", `when: "Mon 06:00"; want a dash between two times`},
	{"Mon 06:00 to 14:00", `when: "to"; want a dash`},
	{"Mon 06:00-", `when: "Mon 06:00-"; want a time`},
	{"Mon 06:00-24:01", `when: "24:01"; want a time such as 06:00, up to 24:00`},
	{"Mon 06:60-07:00", `when: "06:60"; want a time`},
	{"Mon 006:00-07:00", `when: "006:00"; want a time`},
	{"Mon -06:00-07:00", `when: "06:00"; want a day`},
	{"Mon 24:00-06:00", `when: "24:00"; want a start before 24:00`},
	{"Mon 06:00-06:00", `when: "06:00-06:00"; want an end that differs`},
	{"Mon 06:00-14:00, Tue 06:00-14:00", `when: "Tue"; want times such as 06:00-14:00, or ; before other days`},
	{"Mon 06:00-14:00 15:00-16:00", `when: "15:00"; want a comma`},
	{"Mon 06:00-14:00;", `when: is empty; want a day`},
	{"Mon, 06:00-14:00", `when: "06:00"; want a day`},
	{"Mon, Mon-Wed 06:00-14:00", `when: "Mon, Mon-Wed 06:00-14:00"; want each day named once`},
	{"Mon, daily 06:00-14:00", `want each day named once`},
	{"Mon 06:00-14:00; Mon 13:00-15:00", `when: "Mon 06:00-14:00 and Mon 13:00-15:00"; want times that do not overlap`},
	{"Mon 06:00-14:00; Mon 06:00-14:00", `want times that do not overlap`},
	{"Sun 22:00-06:00; Mon 05:00-07:00", `when: "Sun 22:00-06:00 and Mon 05:00-07:00"; want times that do not overlap`},
	{"daily 22:00-06:00, 05:30-12:00", `want times that do not overlap`},
	{"holidays 22:00-06:00, 05:30-12:00", `want times that do not overlap`},
	{"always; Mon 06:00-14:00", `when: "always"; want "always" alone`},
	{"daily 06:00-07:00; Mon-Sun 08:00-09:00", `want a day left for daily`},
	{"Mon 06:00-14:00 \x00", `when: "\x00"; want a comma`},
	{"M6җ\x97", `when: "M6җ"; want a day`}, // found by fuzzing: cut within a letter, it sought a near name for ever
	{"Mon/Tue 06:00-14:00", `when: "/"; want a time`},
	{strings.Repeat("Mon 06:00-07:00;", 1000), `want at most 10000 letters`},
}

func TestParseWhenErrors(t *testing.T) {
	for _, tt := range whenErrorTests {
		w, err := ParseWhen(tt.in)
		if err == nil {
			t.Errorf("%q read as %q; want an error", tt.in, w)
			continue
		}
		var text *TextError
		if !strings.Contains(err.Error(), tt.want) || !errors.As(err, &text) {
			t.Errorf("%.60q: %v; want %s", tt.in, err, tt.want)
		}
		if strings.Contains(err.Error(), "\n") || len(err.Error()) > 250 {
			t.Errorf("%.60q: message of %d bytes or several lines", tt.in, len(err.Error()))
		}
	}
}
