package clock_test

import (
	"fmt"
	"time"

	"noonkeep/plant/clock"
)

// One year's working hours of a dye house: two shifts from Monday to Saturday, with two rests and a holiday.
func Example() {
	year, err := clock.NewYear(2026, time.Hour, 3*time.Hour)
	if err != nil {
		fmt.Println(err)
		return
	}
	when, _ := clock.ParseWhen("Mon-Sat 06:00-22:00")
	rest, _ := clock.ParseSpan("2026-08-03..2026-08-16")
	newYear, _ := clock.ParseSpan("29 Dec..4 Jan")
	labour, _ := clock.ParseDate("1 May")
	shares := when.Shares(year, clock.Calendar{
		Holidays:  []clock.Date{labour},
		Shutdowns: []clock.Span{rest, newYear},
	})
	fmt.Printf("%d steps, %.0f h at work\n", year.N, clock.KW(shares).EnergyKWh(year.StepH()))
	// Output: 8760 steps, 4704 h at work
}

func ExampleNewYear() {
	a, err := clock.NewYear(2028, 15*time.Minute, 5*time.Hour+45*time.Minute)
	fmt.Println(a.N, a.StepH(), a.Start, err)
	fmt.Println(a.Label(1), a.Mid(1).Format("15:04:05"))
	_, err = clock.NewYear(2028, 45*time.Minute, 0)
	fmt.Println(err)
	// Output:
	// 35136 0.25 2028-01-01 00:00:00 +0545 UTC+05:45 <nil>
	// 1 Jan 00:15 00:22:30
	// step: is 45m0s; want 60, 30, 15 min or another divisor of 60 min
}

func ExampleParseWhen() {
	for _, s := range []string{
		"mon-fri 22:00-6:00",
		"daily 08:00-12:00, 13:00-17:00; Sat 06:00-14:00",
		"Mno-Fri 06:00-14:00",
		"Sun 22:00-06:00; Mon 05:00-07:00",
	} {
		w, err := clock.ParseWhen(s)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s: %g h a week\n", w, w.HoursPerWeek())
	}
	// Output:
	// Mon-Fri 22:00-06:00: 40 h a week
	// Mon-Fri, Sun 08:00-12:00, 13:00-17:00; Sat 06:00-14:00: 56 h a week
	// when: "Mno"; want a day such as Mon, Mon-Fri, daily or holidays, or always; did you mean Mon?
	// when: "Sun 22:00-06:00 and Mon 05:00-07:00"; want times that do not overlap
}

// A shift that begins at half past six takes half of the step from six to seven.
func ExampleWhen_Shares() {
	monday := clock.Axis{Start: time.Date(2026, 3, 2, 5, 0, 0, 0, time.UTC), Step: time.Hour, N: 5}
	w, _ := clock.ParseWhen("Mon 06:30-08:15")
	fmt.Println(w.Shares(monday, clock.Calendar{}))
	// Output: [0 0.5 1 0.25 0]
}

// A shutdown over new year closes both ends of a study's year.
func ExampleParseSpan() {
	s, err := clock.ParseSpan("24 Dec..6 Jan")
	fmt.Println(s, err, s.Has(clock.Date{Year: 2026, Month: 1, Day: 6}), s.Has(clock.Date{Year: 2026, Month: 1, Day: 7}))
	_, err = clock.ParseSpan("15 Jly..30 Sep")
	fmt.Println(err)
	// Output:
	// 24 Dec..6 Jan <nil> true false
	// date: "15 Jly"; want a day such as 2026-12-25, or 25 Dec for every year; did you mean Jul?
}

func ExampleParseDate() {
	d, err := clock.ParseDate("25 Dec")
	fmt.Println(d, d.Year, err)
	// Output: 25 Dec 0 <nil>
}

func ExampleParseOffset() {
	d, err := clock.ParseOffset("+5:45")
	fmt.Println(d, clock.OffsetString(d), err)
	// Output: 5h45m0s +05:45 <nil>
}

// Steps of 45 min become steps of an hour; 12 kWh stay 12 kWh.
func ExampleResample() {
	start := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	from := clock.Axis{Start: start, Step: 45 * time.Minute, N: 4}
	to := clock.Axis{Start: start, Step: time.Hour, N: 3}
	v, err := clock.Resample([]float64{4, 8, 0, 4}, from, to)
	fmt.Println(v, err, clock.KW(v).EnergyKWh(1))
	// Output: [5 4 3] <nil> 12
}

// The stretches of a night shift, with their real ends, and the runs that are left when rests of under an hour are passed over.
func ExampleWhen_Stretches() {
	week := clock.Axis{Start: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), Step: time.Hour, N: 24}
	w, _ := clock.ParseWhen("daily 22:00-02:00, 02:30-06:00")
	list := w.Stretches(week, clock.Calendar{})
	for _, s := range list {
		fmt.Println(s.From.Format("2 Jan 15:04"), "to", s.To.Format("2 Jan 15:04"), s.H(), "h")
	}
	for _, s := range clock.Joined(list, time.Hour) {
		fmt.Println("run:", s.From.Format("2 Jan 15:04"), "to", s.To.Format("2 Jan 15:04"))
	}
	// Output:
	// 1 Mar 22:00 to 2 Mar 02:00 4 h
	// 2 Mar 02:30 to 2 Mar 06:00 3.5 h
	// 2 Mar 22:00 to 3 Mar 02:00 4 h
	// run: 1 Mar 22:00 to 2 Mar 06:00
	// run: 2 Mar 22:00 to 3 Mar 02:00
}

// Two shifts that change over each week, by the clock on the wall.
func ExampleRota() {
	early, _ := clock.ParseWeek("Mon-Fri 06:00-14:00")
	late, _ := clock.ParseWeek("Mon-Fri 14:00-22:00")
	rota, err := clock.Rota(clock.Date{Year: 2026, Month: 1, Day: 5}, early, late)
	fmt.Println(rota, err)
	fortnight := clock.Axis{Start: time.Date(2026, 1, 9, 0, 0, 0, 0, time.UTC), Step: time.Hour, N: 4 * 24}
	for _, s := range rota.Stretches(fortnight, clock.Calendar{}) {
		fmt.Println(s.From.Format("Mon 2 Jan 15:04"))
	}
	// Output:
	// rota from 2026-01-05: Mon-Fri 06:00-14:00 | Mon-Fri 14:00-22:00 <nil>
	// Fri 9 Jan 06:00
	// Mon 12 Jan 14:00
}

// The night shift of the odd nights, in standard time: in spring it is an hour shorter, in autumn an hour longer.
func ExampleParseSummerTime() {
	rule, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		fmt.Println(err)
		return
	}
	year, _ := clock.NewYear(2026, time.Hour, time.Hour)
	forward, back := rule.Turns(year)
	fmt.Println("forward", forward[0].Format("2 Jan 15:04"), "back", back[0].Format("2 Jan 15:04"))
	nights, _ := clock.ParseWhen("Sat 22:00-06:00")
	for _, s := range nights.Stretches(year, clock.Calendar{Summer: rule}) {
		if s.H() != 8 {
			fmt.Println(s.From.Format("2 Jan 15:04"), "to", s.To.Format("2 Jan 15:04"), s.H(), "h")
		}
	}
	// Output:
	// forward 29 Mar 02:00 back 25 Oct 02:00
	// 28 Mar 22:00 to 29 Mar 05:00 7 h
	// 24 Oct 21:00 to 25 Oct 06:00 9 h
}

// A planner paints the weekdays' late shift till two in the morning, and Saturday's early one.
func ExampleWriteWhen() {
	week := clock.Week{PerDay: 24}
	for d := range week.Days {
		week.Days[d] = make([]bool, 24)
	}
	for _, d := range []int{0, 1, 2, 3, 4} { // Monday to Friday
		for h := 14; h < 26; h++ {
			week.Days[d+h/24][h%24] = true
		}
	}
	for h := 6; h < 14; h++ {
		week.Days[5][h] = true
	}
	text, err := clock.WriteWhen(week)
	fmt.Println(text, err)
	// Output: Mon-Fri 14:00-02:00; Sat 06:00-14:00 <nil>
}
