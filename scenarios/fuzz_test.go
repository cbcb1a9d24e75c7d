package scenarios

import (
	"errors"
	"hash/crc32"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

// Whatever the text, reading it ends in a case that makes a whole problem, or in faults that each carry
// the file and a line of it. What is read is read the same when the YAML is written out anew.
func FuzzParse(f *testing.F) {
	f.Add(plain)
	f.Add(with(f, works, `  - {name: bath, movable: {steam: 1500 kg, within: "Mon-Fri 22:10-06:30", most: 600 kg/h, least: 1 kW}, season: 1 Mar..30 Sep}`))
	f.Add(with(f, "step: 60 min}", "step: 60 min, summer_time: last Sun Mar 02:00..last Sun Oct 03:00}", "when: \"Mon-Sat 06:00-22:00\"",
		"rota: [\"Mon-Fri 06:00-14:00; Sat 06:00-12:00\", off], rota_from: 2026-01-05, seasons: [1 May..1 Jul, 2026-11-10..2026-11-24], breaks: \"daily 12:00-12:30\", break_load: 30 %, ramp: 30 min, start_up: {lasts: 1 h, steam: 1500 kg/h}, clean_up: {lasts: 45 min, heat: 20 kW}"))
	f.Add(weatherIn(f, "  files: [a.csv, b.csv]\n  year: 2018\n  most_gap: 6 h\n  air: [10 degC]\n  times: middle\n  clock: UTC\n  missing: [x]\n  columns: {time_parts: [1, 2, 3], dni: {column: 4, unit: MJ/m2}}\n"))
	for _, pair := range [][2]string{
		{"feedwater: 85 degC", "condensate: {return: 70 %, flash_at: 0.5 bar(g), make_up: season, feed_tds: 80 ppm, limit_tds: 3500 ppm, deaerator: 0.2 bar(g), heat_recovery: full}"},
		{"steam: 900 kg/h", "bills: {base: 10 %, balance: 16 degC, list: [{from: 2026-01-01, to: 2026-07-01, used: 9e5 kWh net}, {from: 2026-07-01, to: 2027-01-01, used: 70000 m3, estimated: yes}]}"},
	} {
		f.Add(strings.Replace(plain, pair[0], pair[1], 1))
	}
	for _, s := range Starters() {
		data, err := Source(s.Name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data))
	}
	for _, s := range []string{"", "a: &a [*a]", "{}", "noonkeep: 1\nsite: {latitude: 1e999 deg}\n", "<<: {a: 1}", "- - - -", "stores: [{}, 1, {name: a, vessel: thermocline}]\nheaders: [{medium: {}}, {valve: 1, condensate: {flash_to: a}}]", "? {a: b}\n: c\n", "\xff", "a: 1\n---\nb: 2\n", "\r\r\r\r\rv", "headers: [{}, {}]\nloads: [1, {name: {}}]\n",
		"headers:\n- condensate: 00", "fields: [{wash: 1, soiling: 1 %/d, pipes: 2, freeze: 3, grid: 4, ground: 5, collector: {}}]"} {
		f.Add(s)
	}
	cases, err := filepath.Glob("testdata/cases/*.txt")
	if err != nil {
		f.Fatal(err)
	}
	for _, path := range cases {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		above, _, _ := strings.Cut(string(data), "\n----\n")
		f.Add(above)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 20_000 {
			return
		}
		c, err := withoutSun(s)
		if err != nil {
			checkFaults(t, s, err)
			return
		}
		// The year of sun takes a hundred times as long as all the rest, so only some inputs get one.
		if crc32.ChecksumIEEE([]byte(s))%64 == 0 {
			if whole, err := Parse("f.yaml", []byte(s), files{}.open); err != nil {
				checkFaults(t, s, err)
			} else if _, err := whole.Problem(); err != nil {
				t.Fatalf("it is read, but makes no problem: %v", err)
			}
		}
		var root yaml.Node
		if err := yaml.Unmarshal([]byte(s), &root); err != nil {
			t.Fatal(err)
		}
		again, err := yaml.Marshal(&root)
		if err != nil {
			return // the YAML writer's own limits, not ours
		}
		d, err := withoutSun(string(again))
		if err != nil {
			t.Fatalf("written out anew it is refused: %v\n%s", err, again)
		}
		if !reflect.DeepEqual(c.Assumptions, d.Assumptions) || !reflect.DeepEqual(c.Headers, d.Headers) || len(c.Warnings) != len(d.Warnings) {
			t.Fatalf("written out anew it reads otherwise:\n%s", again)
		}
	})
}

// withoutSun reads a scenario up to where the year of sun begins.
func withoutSun(s string) (Case, error) {
	f, d := read("f.yaml", []byte(s))
	b := builder{decoder: d, f: f, open: files{}.open}
	if !d.fatal {
		b.understand()
	}
	b.c.Assumptions, b.c.Warnings = b.assumed, b.doubts
	return b.c, b.err()
}

func checkFaults(t *testing.T, s string, err error) {
	t.Helper()
	many, ok := err.(interface{ Unwrap() []error })
	if !ok {
		t.Fatalf("faults are not joined: %#v", err)
	}
	// YAML ends a line at each of these, a lone carriage return too.
	lines, last := 2, 0
	for _, end := range []string{"\n", "\r", "\u0085", "\u2028", "\u2029"} {
		lines += strings.Count(s, end)
	}
	for _, one := range many.Unwrap() {
		var e *Error
		if !errors.As(one, &e) || e.File != "f.yaml" || e.Text == "" {
			t.Fatalf("is no fault of the file: %#v", one)
		}
		if e.Line > lines || len(e.Error()) > 20_000 {
			t.Fatalf("line %d of %d: %.200s", e.Line, lines, e.Error())
		}
		if e.Line < last && e.Line != 0 {
			t.Fatalf("not in file order: %v", err)
		}
		last = e.Line
	}
}
