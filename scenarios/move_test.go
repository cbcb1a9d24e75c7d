package scenarios

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"
)

func plainCase(t testing.TB, pairs ...string) Case {
	t.Helper()
	c, err := Parse("plain.yaml", []byte(with(t, pairs...)), meterFolder())
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// meterFolder is a folder with a year of one batch a week, Monday from 00:00 to 04:00.
func meterFolder() Open {
	var b strings.Builder
	b.WriteString("time,kW\n")
	for at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2026; at = at.Add(time.Hour) {
		kW := 0
		if at.Weekday() == time.Monday && at.Hour() < 4 {
			kW = 100 + at.Hour()
		}
		fmt.Fprintf(&b, "%s,%d\n", at.Format("2006-01-02 15:04"), kW)
	}
	return files{"meter.csv": b.String()}.open
}

const batch = `{name: works, batch: {mass: 300 kg, liquor_ratio: 10, from: 15 degC, to: 98 degC, heat_up: {power: 300 kW}, starts: "Mon-Fri 22:00, 23:30"}}`

const windows = `{name: works, movable: {heat: 900 kWh, within: "Mon-Fri 06:00-18:00", most: 400 kW}}`

const meter = `{name: works, header: main, series: meter.csv}`

func TestRearranged(t *testing.T) {
	t.Parallel()
	const works = `{name: works, header: main, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}`
	for name, v := range map[string]struct {
		load, moved string
		move        Move
	}{
		"hours later":      {works, strings.Replace(works, "06:00-22:00", "09:00-01:00", 1), Move{Load: "works", By: 3 * time.Hour}},
		"hours earlier":    {works, strings.Replace(works, "Mon-Sat 06:00-22:00", "Sun-Fri 23:00-15:00", 1), Move{Load: "works", By: -7 * time.Hour}},
		"other hours":      {works, strings.Replace(works, "Mon-Sat 06:00-22:00", "Sun 10:00-12:00", 1), Move{Load: "works", When: "Sun 10:00-12:00"}},
		"hours for always": {"{name: works, heat: 90 kW}", `{name: works, heat: 90 kW, when: "Sun 10:00-12:00"}`, Move{Load: "works", When: "Sun 10:00-12:00"}},
		"with its breaks":  {strings.Replace(works, "}", ", breaks: \"daily 12:00-12:30\"}", 1), strings.Replace(works, `06:00-22:00"}`, `07:00-23:00", breaks: "daily 13:00-13:30"}`, 1), Move{Load: "works", By: time.Hour}},
		"a rota": {`{name: works, heat: 90 kW, rota: ["Sun 20:00-24:00", "Mon 06:00-14:00"], rota_from: 2026-01-05}`,
			`{name: works, heat: 90 kW, rota: ["off", "Mon 01:00-05:00, 11:00-19:00"], rota_from: 2026-01-05}`, Move{Load: "works", By: 5 * time.Hour}},
		"hours for a rota": {`{name: works, heat: 90 kW, rota: ["Sun 20:00-24:00", "Mon 06:00-14:00"], rota_from: 2026-01-05}`,
			`{name: works, heat: 90 kW, when: "Sun 10:00-12:00"}`, Move{Load: "works", When: "Sun 10:00-12:00"}},
		"starts of a batch": {batch, strings.Replace(batch, "Mon-Fri 22:00, 23:30", "Tue-Sat 01:00, 02:30", 1), Move{Load: "works", By: 3 * time.Hour}},
		"other starts":      {batch, strings.Replace(batch, "Mon-Fri 22:00, 23:30", "Sun 10:00", 1), Move{Load: "works", When: "Sun 10:00"}},
		"windows":           {windows, strings.Replace(windows, "06:00-18:00", "08:00-20:00", 1), Move{Load: "works", By: 2 * time.Hour}},
		"hours on holidays": {strings.Replace(works, "22:00", "22:00; holidays 10:00-12:00", 1), strings.Replace(works, "06:00-22:00", "07:00-23:00; holidays 11:00-13:00", 1), Move{Load: "works", By: time.Hour}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got, err := plainCase(t, works, v.load).Rearranged("m", v.move)
			if err != nil {
				t.Fatal(err)
			}
			want := plainCase(t, works, v.moved)
			if !reflect.DeepEqual(got.Loads[0].KW, want.Loads[0].KW) || !reflect.DeepEqual(got.Headers, want.Headers) || got.Loads[0].Says != want.Loads[0].Says {
				t.Errorf("it runs %s, %.0f kWh; want %s, %.0f kWh", got.Loads[0].Says, got.Loads[0].KW.EnergyKWh(1), want.Loads[0].Says, want.Loads[0].KW.EnergyKWh(1))
			}
		})
	}
}

// A measured series goes round the year, each value to its place.
func TestRearrangedSeries(t *testing.T) {
	t.Parallel()
	const works = `{name: works, header: main, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}`
	c := plainCase(t, works, meter)
	for _, h := range []int{3, -3, 50, -200 % 168, 24} {
		got, err := c.Rearranged("m", Move{Load: "works", By: time.Duration(h) * time.Hour})
		if err != nil {
			t.Fatal(err)
		}
		n := c.Axis.N
		for i := range n {
			if got.Loads[0].KW[(i+h+n)%n] != c.Loads[0].KW[i] || got.Headers[0].DemandKW[(i+h+n)%n] != c.Headers[0].DemandKW[i] {
				t.Fatalf("%d h: step %d is not where it belongs", h, i)
			}
		}
	}
	got, err := c.Rearranged("m", Move{Load: "works", By: -2 * time.Hour})
	if err != nil || got.Loads[0].Says != "as measured in meter.csv, 2 h earlier" || !reflect.DeepEqual(got.Edits, []Edit{{"loads[works]", "", "2 h earlier"}}) {
		t.Errorf("it says %q, %v %v", got.Loads[0].Says, got.Edits, err)
	}
}

func TestRearrangedWrong(t *testing.T) {
	t.Parallel()
	const works = `{name: works, header: main, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}`
	for name, v := range map[string]struct {
		load string
		move Move
		want string
	}{
		"unknown load":     {works, Move{Load: "work", By: time.Hour}, `plain.yaml: no load is called "work"; nearest is "works"`},
		"no hours":         {"{name: works, heat: 90 kW}", Move{Load: "works", By: time.Hour}, "plain.yaml:12: loads[works]: has no hours of its own, so there is nothing to move; give it `when`, or try hours in its place"},
		"always":           {"{name: works, heat: 90 kW, when: always}", Move{Load: "works", By: time.Hour}, "plain.yaml:12: loads[works]: runs always, so a move by 1 h changes nothing"},
		"a day's profile":  {"{name: works, hot_water: {draw: 12 m3/d, to: 60 degC, profile: [" + strings.Repeat("1, ", 23) + "1]}}", Move{Load: "works", By: time.Hour}, "plain.yaml:12: loads[works]: is drawn by a profile of the day's hours; want another profile in a variant, not a move"},
		"half steps":       {meter, Move{Load: "works", By: 90 * time.Minute}, "plain.yaml:12: loads[works]: is measured, in steps of 1 h; want a move of whole steps, not 90 min"},
		"off its holiday":  {strings.Replace(works, "22:00", "22:00; holidays 22:00-23:00", 1), Move{Load: "works", By: 3 * time.Hour}, `plain.yaml:12: loads[works]: move: "holidays 22:00-23:00"; want a move that leaves it on the holiday, whose neighbours have no name here`},
		"too far":          {works, Move{Load: "works", By: 200 * time.Hour}, `plain.yaml:12: loads[works]: move: "200h0m0s"; want whole minutes, a week at most`},
		"no hours at all":  {works, Move{Load: "works", When: "Mon 6-14"}, `plain.yaml: loads[works].when: "6" does not fit; want a time such as 06:00, up to 24:00 (in the variant "m")`},
		"hours of a meter": {meter, Move{Load: "works", When: "Mon 06:00-14:00"}, `plain.yaml:12: loads[works]: has hours or a season beside a series, which is taken as measured; want one of the two, in a variant by remove: [...] (in the variant "m")`},
		"the same hours":   {works, Move{Load: "works", When: "Mon-Sat 06:00-22:00"}, "plain.yaml: changes nothing: each value is the plant's own; give another, or leave the variant out"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			_, err := plainCase(t, works, v.load).Rearranged("m", v.move)
			if err == nil || err.Error() != v.want {
				t.Errorf("\n got %v\nwant %s", err, v.want)
			}
		})
	}
}
