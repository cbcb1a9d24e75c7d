package scenarios

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// meterLog writes a log by the hour of 2026 in local standard time, but for the hours of the gap.
func meterLog(value func(time.Time) string, gap func(time.Time) bool) string {
	var b strings.Builder
	b.WriteString("Zeitstempel;Wert\n")
	for at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2026; at = at.Add(time.Hour) {
		if gap == nil || !gap(at) {
			fmt.Fprintf(&b, "%s;%s\n", at.Format("02.01.2006 15:04"), value(at))
		}
	}
	return b.String()
}

const pattern = "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\""

func withLog(t testing.TB, keys string, more ...string) string {
	return with(t, append([]string{pattern, "log: {file: m.csv, time: Zeitstempel, value: Wert, " + keys + "}"}, more...)...)
}

// What a meter counts becomes heat at the header: steam by its heat, fuel by its calorific value and the boiler's efficiency.
func TestLogHeat(t *testing.T) {
	t.Parallel()
	unraced(t)
	folder := files{"m.csv": meterLog(func(at time.Time) string { return "1,5" }, nil)}
	const gas = "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}"
	for _, c := range []struct {
		keys  string
		more  []string
		wantF func(c Case) float64 // kW
		src   string
	}{
		{"unit: t/h", nil, func(c Case) float64 { return 1500 * c.Headers[0].HeatKJKg / 3600 }, "kg/h by the header's kJ/kg"},
		{"unit: MW", nil, func(Case) float64 { return 1500 }, "SI"},
		{"unit: GJ, counts: interval", nil, func(Case) float64 { return 1500 / 3.6 }, "1 kWh is 3.6 MJ"},
		{"unit: kW, scale: 2", nil, func(Case) float64 { return 3 }, "by hand"},
		{"unit: kWh, counts: interval, meters: fuel, basis: net", nil, func(Case) float64 { return 1.5 * 0.85 }, "fuel by efficiency"},
		{"unit: kWh, counts: interval, meters: fuel, basis: gross", nil, func(Case) float64 { return 1.5 / 1.11 * 0.85 }, "gross over net 1.11 of natural gas, checks-heat.md 5.1.15"},
		{"unit: m3/h, meters: fuel", []string{gas, "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net, net_calorific_value: 10 kWh/m3}"}, func(Case) float64 { return 1.5 * 10 * 0.85 }, "by hand"},
		{"unit: l/h, meters: fuel, boiler: B1", []string{gas, "{name: natural gas, like: gas oil, price: 0.9 EUR/l}"}, func(Case) float64 { return 1.5 * 0.84 * 43 / 3.6 * 0.85 }, "43.0 TJ/Gg of checks-heat.md 5.1.1; 0.84 kg/l from memory"},
		{"unit: kg/h, meters: fuel", nil, func(Case) float64 { return 1.5 * 48 / 3.6 * 0.85 }, "natural gas 48.0 TJ/Gg, IPCC 2006 Guidelines vol. 2 table 1.2"},
		{"unit: kW, meters: fuel, basis: gross", []string{"efficiency: 0.85", "efficiency: 0.85, efficiency_basis: gross"}, func(Case) float64 { return 1.5 * 0.85 }, "gross by gross"},
	} {
		got, err := Parse("my.yaml", []byte(withLog(t, c.keys, c.more...)), folder.open)
		if err != nil {
			t.Errorf("%s: %v", c.keys, err)
			continue
		}
		want := c.wantF(got)
		if kW := got.Loads[0].KW[4000]; math.Abs(kW/want-1) > 1e-9 {
			t.Errorf("%s: %g kW; want %g (%s)", c.keys, kW, want, c.src)
		}
		if sum := got.Loads[0].Parts[0].KWh; math.Abs(sum/(8760*want)-1) > 1e-9 {
			t.Errorf("%s: a part of %g kWh; want %g", c.keys, sum, 8760*want)
		}
	}
}

// What was filled is a part of its own, and what is odd in the log is doubted at its line.
func TestLogDoubts(t *testing.T) {
	t.Parallel()
	gap := func(at time.Time) bool { return at.Month() == 3 && at.Day() < 4 || at.Month() > 10 }
	folder := files{"m.csv": meterLog(func(at time.Time) string { return "2" }, gap) + "01.11.2026 00:00;2\n01.11.2026 00:00;2\n"}
	c, err := Parse("my.yaml", []byte(withLog(t, "unit: MW, meters: steam, boiler: B1, stuck: 100 d")), folder.open)
	if err != nil {
		t.Fatal(err)
	}
	marked := 0
	for _, filled := range c.Loads[0].Filled {
		if filled {
			marked++
		}
	}
	if marked != 1535 {
		t.Errorf("%d steps are marked as filled; want 1535", marked)
	}
	var said []string
	for _, p := range c.Loads[0].Parts {
		said = append(said, fmt.Sprintf("%s %.0f kWh", p.Name, p.KWh))
	}
	for _, w := range c.Warnings {
		said = append(said, fmt.Sprintf("%d %s", w.Line, w.Text))
	}
	said = append(said, c.Loads[0].Says)
	for _, want := range []string{
		"measured in m.csv 14450000 kWh", // 7296 + 1 - 72 h of 2 MW
		"filled from other weeks of m.csv 3070000 kWh",
		"12 loads[works].log.file: m.csv:1418: no rows from 2026-02-28 23:00 to 2026-03-04 00:00",
		"12 loads[works].log.file: m.csv: 1 rows stand twice and were dropped once",
		"12 loads[works].log.file: m.csv:1418: stands at the very same 2 for 5808 h from 2026-03-04 00:00 on; kept",
		"12 loads[works].log.gaps: 1535 h of the year have no rows and are filled from other weeks",
		"12 loads[works].log.boiler: has no effect on a meter of steam",
		"as logged in m.csv, 7225 rows 2026-01-01 to 2026-11-01, 1535 h filled",
	} {
		if !strings.Contains(strings.Join(said, "\n"), want) {
			t.Errorf("want %s; got\n%s", want, strings.Join(said, "\n"))
		}
	}
}

func TestWrongLogKeys(t *testing.T) {
	t.Parallel()
	folder := files{"m.csv": meterLog(func(at time.Time) string { return "1,5" }, nil), "short.csv": "Zeitstempel;Wert\n01.01.2026 00:00;1,5\n13.01.2026 00:00;x\n"}
	for _, c := range []struct {
		input, want string // without the file's name
	}{
		{withLog(t, "unit: t"), `12: loads[works].log.counts: is missing, and "t" may be a counter's reading or what came in each interval; write counts: total or counts: interval`},
		{withLog(t, "scale: 1"), `12: loads[works].log.unit: is missing; write for example "unit: t/h"`},
		{withLog(t, "unit: lb/h"), `12: loads[works].log.unit: "lb/h" is not taken; write kg/h and a scale of 0.45359237`},
		{withLog(t, "unit: t/h, counts: total"), `12: loads[works].log.counts: is total, and "t/h" is a rate; want a unit such as t, or counts: rate`},
		{withLog(t, "unit: t, counts: rate"), `12: loads[works].log.counts: is rate, and "t" is a quantity; want a unit such as t/h, or counts: total or counts: interval`},
		{withLog(t, "unit: t/h, roll_over: 1000"), `12: loads[works].log.roll_over: is for a counter, and the log has none; want counts: total, or no roll_over`},
		{withLog(t, "unit: m3/h"), `12: loads[works].log.unit: "m3/h" is of fuel; want the steam's mass or heat, or meters: fuel`},
		{withLog(t, "unit: kW, meters: fuel"), `12: loads[works].log.basis: is missing; write basis: gross if the meter counts by gross calorific value, as gas is mostly billed, or basis: net`},
		{withLog(t, "unit: kW, meters: fuel, boiler: B2"), `12: loads[works].log.boiler: no boiler is called "B2"; nearest is "B1"`},
		{withLog(t, "unit: kW, meters: fuel, basis: net", "efficiency: 0.85}", "efficiency: 0.85}\n  - {name: B2, capacity: 1 MW, efficiency: 0.8}"), `12: loads[works].log.boiler: is missing, and there are 2; write the one whose fuel is metered, of B1 and B2`},
		{withLog(t, "unit: m3/h, meters: fuel", "{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}", "{name: natural gas, like: wood chips, price: 0.05 EUR/kWh}"), `12: loads[works].log.unit: "1 m3/h" is by volume and the calorific value by mass; write the density too`},
		{withLog(t, "unit: kW, clock: wall"), `12: loads[works].log.clock: is wall, and the plant has no summer time; write time.summer_time, or clock: standard`},
		{withLog(t, "unit: kW", "step: 60 min}", "step: 60 min, summer_time: \"last Sun Mar 02:00..last Sun Oct 03:00\"}"), `12: loads[works].log.clock: is missing, and the plant has summer time; write clock: wall if the log follows it, clock: standard if not, or clock: UTC`},
		{withLog(t, "unit: kW, gaps: guess"), `12: loads[works].log.gaps: "guess" is not known; want fill, refuse or fill anyway`},
		{withLog(t, "unit: kW, roll_ovr: 3"), `12: loads[works].log.roll_ovr: is not a key of a scenario here; nearest is "roll_over"`},
		{strings.Replace(withLog(t, "unit: kW"), "log:", "when: always, log:", 1), `12: loads[works]: has hours or a season beside a log, which is taken as measured; want one of the two`},
		{strings.Replace(withLog(t, "unit: kW"), "m.csv", "none.csv", 1), `12: loads[works].log.file: "none.csv": file does not exist`},
		{strings.Replace(withLog(t, "unit: kW"), "m.csv", "short.csv", 1), "12: loads[works].log.file: short.csv:3: value: \"x\"; want a number; if that stands for no value, write missing: [\"x\"]\n" +
			"12: loads[works].log.file: short.csv:2: has 1 rows with a value; want 2 at least"},
		{withLog(t, "unit: kW", "year: 2026", "year: 2028"), `12: loads[works].log.file: m.csv: runs from 2026-01-01 00:00 to 2027-01-01 00:00, with 0 h in the study's year 2028; want year: shift to move it by whole weeks, or time.year: 2026`},
	} {
		_, err := Parse("my.yaml", []byte(c.input), folder.open)
		want := "my.yaml:" + strings.ReplaceAll(c.want, "\n", "\nmy.yaml:")
		if err == nil || err.Error() != want {
			t.Errorf("\n got %v\nwant %s", err, want)
		}
	}
}

// A log from a file on disk is read as it lies there.
func TestLogFile(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for name, data := range map[string]string{"plant.yaml": withLog(t, "unit: kW"), "m.csv": meterLog(func(at time.Time) string { return "1,5" }, nil)} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	c, err := Load(filepath.Join(dir, "plant.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if got := c.Headers[0].DemandKW[8759]; got != 1.5 {
		t.Errorf("%g kW; want 1.5", got)
	}
	if err := os.WriteFile(filepath.Join(dir, "m.csv"), []byte("PK\x03\x04 no book"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Load(filepath.Join(dir, "plant.yaml")); err == nil || !strings.Contains(err.Error(), "m.csv:1: is no XLSX workbook (zip: not a valid zip file); save it as .xlsx or as CSV") {
		t.Errorf("a broken workbook: %v", err)
	}
}
