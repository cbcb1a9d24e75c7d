package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// What a load's hours come to, and what is said of them. All loads take 100 kW, and 2026 begins on a Thursday
// and has 261 days from Monday to Friday (calendar).
func TestHoursOfLoads(t *testing.T) {
	t.Parallel()
	unraced(t)
	const summer = "step: 60 min, summer_time: last Sun Mar 02:00..last Sun Oct 03:00}"
	for _, c := range []struct {
		name, time, load string
		wantMWh          float64
		says             string
		parts            string // name and MWh of each
		src              string
	}{
		{"a shift", "step: 60 min}", "when: Mon-Fri 06:00-14:00", 208.8, "Mon-Fri 06:00-14:00", "heat by the shift pattern 208.8", "by hand: 261 x 8 h"},
		{"a shift in summer time", summer, "when: Mon-Fri 06:00-14:00", 208.8, "Mon-Fri 06:00-14:00", "heat by the shift pattern 208.8", "by hand: the hours move and stay as many"},
		{"the odd nights", summer, "when: Sat 22:00-06:00", 41.6, "Sat 22:00-06:00, 1 h fewer on 29 Mar, 1 h more on 25 Oct", "heat by the shift pattern 41.6", "by hand: 52 nights, one of 7 h and one of 9 h"},
		{"a rota", "step: 60 min}", "rota: [Mon-Fri 06:00-22:00, Mon-Fri 06:00-14:00, off], rota_from: 2026-01-07", 210.4,
			"rota from 2026-01-05: Mon-Fri 06:00-22:00 | Mon-Fri 06:00-14:00 | off", "heat by the shift pattern 210.4",
			"by hand: 51 whole weeks from 5 January have 17 rounds of 5 x 24 h = 2040 h; 1 and 2 January are in a week off; the week of 28 December has 4 days of 16 h = 64 h, less Friday 1 January 2027; sum 2104 h"},
		{"two campaigns", "step: 60 min}", "when: daily 00:00-24:00, seasons: [15 Jul..30 Sep, 2026-11-10..2026-11-24]", 223.2,
			"always, in 15 Jul..30 Sep and 2026-11-10..2026-11-24", "heat by the shift pattern 223.2", "by hand: 78 and 15 days of 24 h"},
		{"a break", "step: 60 min}", "when: Mon-Fri 06:00-14:00, breaks: \"daily 12:00-12:30\", break_load: 30 %", 199.665,
			"Mon-Fri 06:00-14:00; 30 % in breaks daily 12:00-12:30", "heat by the shift pattern 195.75, breaks 3.915", "by hand: 261 x 7.5 h at 100 kW and 261 x 0.5 h at 30 kW"},
		{"start-up and cleaning", "step: 60 min}", "when: Mon-Fri 06:00-14:00, ramp: 30 min, start_up: {lasts: 1 h, heat: 60 kW}, clean_up: {lasts: 45 min, heat: 20 kW}", 225.765,
			"Mon-Fri 06:00-14:00; full after 30 min; start-up of 1 h at 60 kW; cleaning of 45 min at 20 kW",
			"heat by the shift pattern 195.75, ramp to full heat 10.44, start-up 15.66, cleaning 3.915", "by hand: 261 x (7.5 h at 100, 0.5 h at 80, 1 h at 60, 0.75 h at 20 kW)"},
	} {
		if c.src == "" {
			t.Fatal("no source")
		}
		got, err := Parse("my.yaml", []byte(with(t, "step: 60 min}", c.time, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "heat: 100 kW, "+c.load)), nil)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		load := got.Loads[0]
		if mwh := load.KW.EnergyKWh(1) / 1000; math.Abs(mwh-c.wantMWh) > 1e-9 {
			t.Errorf("%s: %.9g MWh; want %g (%s)", c.name, mwh, c.wantMWh, c.src)
		}
		var parts []string
		for _, p := range load.Parts {
			parts = append(parts, fmt.Sprintf("%s %.7g", p.Name, p.KWh/1000))
		}
		if load.Says != c.says || strings.Join(parts, ", ") != c.parts {
			t.Errorf("%s: %q, %q; want %q, %q", c.name, load.Says, strings.Join(parts, ", "), c.says, c.parts)
		}
	}
}

// Steam of start-up counts by the header's heat, as the load's own.
func TestStartUpSteam(t *testing.T) {
	t.Parallel()
	got, err := Parse("my.yaml", []byte(with(t, "when: \"Mon-Sat 06:00-22:00\"", "when: \"Mon-Sat 06:00-22:00\", start_up: {lasts: 1 h, steam: 1500 kg/h}")), nil)
	if err != nil {
		t.Fatal(err)
	}
	l, want := got.Loads[0], 1500*got.Headers[0].HeatKJKg/3600
	if l.KW[5+24] != want || l.KW[6+24] != l.Load.KW {
		t.Errorf("%g and %g kW on 2 January at 5 and 6; want %g and %g (kg/h by kJ/kg is kJ/h)", l.KW[29], l.KW[30], want, l.Load.KW)
	}
}

// No summer time is said where hours would follow it, and only there.
func TestSummerTimeIsSaid(t *testing.T) {
	t.Parallel()
	unraced(t)
	for _, c := range []struct {
		input string
		said  bool
	}{
		{plain, true},
		{with(t, "when: \"Mon-Sat 06:00-22:00\"", "when: always"), false},
		{with(t, "step: 60 min}", "step: 60 min, summer_time: none}"), false},
		{with(t, "step: 60 min}", "step: 60 min, summer_time: 2nd Sun Mar 02:00..1st Sun Nov 02:00}"), false},
	} {
		got, err := Parse("my.yaml", []byte(c.input), nil)
		if err != nil {
			t.Fatal(err)
		}
		if said := slices.ContainsFunc(got.Assumptions, func(a Assumption) bool { return a.Key == "time.summer_time" }); said != c.said {
			t.Errorf("said %v; want %v: %.400s", said, c.said, c.input)
		}
	}
	got, err := Parse("my.yaml", []byte(with(t, "step: 60 min}", "step: 60 min, summer_time: 2025-03-30 02:00..2025-10-26 03:00}")), nil)
	if err != nil || !slices.ContainsFunc(got.Warnings, func(w Warning) bool {
		return w.Line == 8 && w.Text == "time.summer_time: lies outside the study's year 2026 and has no effect"
	}) {
		t.Errorf("%v, %+v", err, got.Warnings)
	}
}

// What never comes is doubted.
func TestIdleWorkIsDoubted(t *testing.T) {
	t.Parallel()
	unraced(t)
	for _, c := range []struct{ load, want string }{
		{"when: Mon-Fri 06:00-11:00, breaks: \"daily 12:00-12:30\"", "loads[works].breaks: lie outside the load's hours and change nothing"},
		{"when: always, start_up: {lasts: 1 h, heat: 60 kW}", "loads[works].start_up: never comes: the load runs on and on"},
		{"when: always, clean_up: {lasts: 1 h, heat: 60 kW}", "loads[works].clean_up: never comes: the load runs on and on"},
		{"when: Mon-Fri 06:00-14:00, breaks: \"daily 12:00-12:30\", start_up: {lasts: 1 h, heat: 60 kW}, clean_up: {lasts: 1 h, heat: 60 kW}", ""},
	} {
		got, err := Parse("my.yaml", []byte(with(t, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "heat: 100 kW, "+c.load)), nil)
		if err != nil {
			t.Errorf("%s: %v", c.load, err)
			continue
		}
		said := ""
		for _, w := range got.Warnings {
			if strings.HasPrefix(w.Text, "loads[works]") && w.Line == 12 {
				said += w.Text
			}
		}
		if said != c.want {
			t.Errorf("%s: %q; want %q", c.load, said, c.want)
		}
	}
}

// Wrong hours, each with its whole message.
func TestWrongHours(t *testing.T) {
	t.Parallel()
	const when = "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\""
	load := func(s string) string { return with(t, when, s) }
	for _, c := range []struct{ name, input, want string }{
		{"summer time", with(t, "step: 60 min}", "step: 60 min, summer_time: yes}"),
			`8: time.summer_time: "yes" does not fit; want two changes with .. between, such as last Sun Mar 02:00..last Sun Oct 03:00`},
		{"half an hour of it", with(t, "step: 60 min}", "step: 60 min, summer_time: 1st Sun Oct 02:00..1st Sun Apr 02:00 by 30 min}"),
			`8: time.summer_time: "min" does not fit; want two changes of one hour; a shift of other than one hour is not known here`},
		{"a slip in it", with(t, "step: 60 min}", "step: 60 min, summer_time: lst Sun Mar 02:00..last Sun Oct 03:00}"),
			`8: time.summer_time: "lst" does not fit; want 1st, 2nd, 3rd, 4th or last; did you mean last?`},
		{"rota beside when", load(when + ", rota: [always, off], rota_from: 2026-01-05"),
			`12: loads[works].when: stands beside rota; want one of the two`},
		{"rota without its week", load("heat: 3 kW, rota: [always, off]"),
			`12: loads[works].rota_from: is missing beside rota; write a day of the week in which its first pattern stands, such as 2026-01-05`},
		{"the week without a rota", load("heat: 3 kW, rota_from: 2026-01-05"),
			`12: loads[works].rota_from: stands without rota; write rota: [..., ...], a pattern for each week`},
		{"a rota of one", load("heat: 3 kW, rota: [always], rota_from: 2026-01-05"),
			`12: loads[works].rota[1]: "a rota of 1" does not fit; want 2 to 100 patterns, one a week`},
		{"a rota of none", load("heat: 3 kW, rota: [], rota_from: 2026-01-05"),
			`12: loads[works].rota_from: "a rota of 0" does not fit; want 2 to 100 patterns, one a week`},
		{"a slip in a rota", load("heat: 3 kW, rota: [off, Mno 06:00-07:00], rota_from: 2026-01-05"),
			`12: loads[works].rota[2]: "Mno" does not fit; want a day such as Mon, Mon-Fri, daily or holidays, or always; did you mean Mon?`},
		{"a rota from every year", load("heat: 3 kW, rota: [off, always], rota_from: 5 Jan"),
			`12: loads[works].rota_from: "5 Jan" does not fit; want a day with its year, such as 2026-01-05, in the week of the first pattern`},
		{"season and seasons", load("heat: 3 kW, season: 1 May..1 Jun, seasons: [1 Aug..1 Sep]"),
			`12: loads[works].season: stands beside seasons; want one of the two`},
		{"no seasons", load("heat: 3 kW, seasons: []"), `12: loads[works].seasons: is empty; want days such as 15 Jul..30 Sep`},
		{"a campaign of another year", load("heat: 3 kW, seasons: [1 Aug..1 Sep, 2025-11-10..2025-11-24]"),
			`12: loads[works].seasons[2]: 2025-11-10..2025-11-24 has no day from 2026-01-01 to 2026-12-31; want days of the study`},
		{"a break load without breaks", load("heat: 3 kW, break_load: 30 %"), `12: loads[works].break_load: stands without breaks; write breaks, such as "daily 12:00-12:30"`},
		{"a break load over all", load("heat: 3 kW, breaks: \"daily 12:00-13:00\", break_load: 130 %"), `12: loads[works].break_load: "130 %" is out of range; want 0 to 1`},
		{"a wrong break", load("heat: 3 kW, breaks: 12:00-12:30"), `12: loads[works].breaks: "12:00" does not fit; want a day such as Mon, Mon-Fri, daily or holidays, or always`},
		{"start-up of nothing", load("heat: 3 kW, start_up: {lasts: 1 h}"), `12: loads[works].start_up: takes nothing; write steam or heat`},
		{"start-up of both", load("heat: 3 kW, start_up: {lasts: 1 h, steam: 3 kg/h, heat: 3 kW}"), `12: loads[works].start_up: has both steam and heat; want one of the two`},
		{"cleaning without a time", load("heat: 3 kW, clean_up: {heat: 3 kW}"), `12: loads[works].clean_up.lasts: is missing; write for example "lasts: 1 h"`},
		{"a slip in a key", load("heat: 3 kW, start_upp: {lasts: 1 h}"), `12: loads[works].start_upp: is not a key of a scenario here; nearest is "start_up"`},
		{"a ramp of a week", load("heat: 3 kW, ramp: 7 d"), `12: loads[works].ramp: "7 d" is out of range; want 0 to 24 h`},
		{"a ramp beside a series", load("series: log.csv, ramp: 1 h, start_up: {lasts: 1 h, heat: 3 kW}"),
			"12: loads[works].ramp: goes with steam or heat by the hours of a week; a load by series has no such thing\n" +
				"12: loads[works].start_up: goes with steam or heat by the hours of a week; a load by series has no such thing"},
		{"a rota beside a series", load("series: log.csv, rota: [always, off], rota_from: 2026-01-05"),
			`12: loads[works]: has hours or a season beside a series, which is taken as measured; want one of the two`},
	} {
		_, err := Parse("my.yaml", []byte(c.input), files{"log.csv": "time,kW\n"}.open)
		got := ""
		if err != nil {
			got = strings.ReplaceAll(err.Error(), "my.yaml:", "")
		}
		if c.name == "a ramp beside a series" { // and what is wrong with the series
			_, got, _ = strings.Cut(got, "\n")
		}
		if got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

// A rota moves whole: what was two keys is then one text.
func TestRotaMoves(t *testing.T) {
	t.Parallel()
	c, err := Parse("my.yaml", []byte(with(t, "when: \"Mon-Sat 06:00-22:00\"", "rota: [Mon-Fri 06:00-14:00, off], rota_from: 2026-01-05")), nil)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := c.Hours("works"), "rota from 2026-01-05: Mon-Fri 06:00-14:00 | off"; got != want {
		t.Errorf("hours %q; want %q", got, want)
	}
	later, err := c.Rearranged("later", Move{Load: "works", By: 2 * time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := later.Loads[0].Says, "rota from 2026-01-05: Mon-Fri 08:00-16:00 | off"; got != want {
		t.Errorf("moved it says %q; want %q", got, want)
	}
	if a, b := c.Loads[0].KW.EnergyKWh(1), later.Loads[0].KW.EnergyKWh(1); math.Abs(a-b) > 1e-9*a {
		t.Errorf("moved it takes %g kWh; want %g", b, a)
	}
}
