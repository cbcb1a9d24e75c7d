package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Wrong inputs: each must end in exit status 2 with the words beside it, and write nothing.
func TestBadInputIsSaidAndNothingWritten(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	short := "time,kW\n2026-01-01 00:00,100\n2026-01-01 01:00,110\n"
	file("short.csv", short)
	file("nan.csv", strings.Replace(short, "110", "NaN", 1))
	file("text.csv", strings.Replace(short, "110", "a lot", 1))
	file("cut.csv", "722745,\"TUCSON\",AZ,-7.0,32.167,-110.883,809\nDate (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2)\n")

	change := func(pairs ...string) string { return scenario(t, "dyehouse", pairs...) }
	series := func(csv string) string {
		return change("steam: 400 kg/h\n    when: Mon-Fri 07:00-19:00", "series: "+filepath.Join(dir, csv))
	}
	for name, c := range map[string]struct {
		path string
		want []string
	}{
		"bare bar":                  {change("working_pressure: 18 bar(g)", "working_pressure: 18 bar"), []string{"working_pressure", "bar(g)", "bar(a)"}},
		"unknown key":               {change("insulation:\n", "insulaton:\n"), []string{"insulaton", "insulation"}},
		"negative volume":           {change("volume: 40 m3", "volume: -40 m3"), []string{"volume", "-40 m3"}},
		"store under header":        {change("working_pressure: 18 bar(g)", "working_pressure: 5 bar(g)"), []string{"working_pressure", "5 bar(g)", "main"}},
		"weather cut short":         {weatherScenario(t, filepath.Join(dir, "cut.csv")), []string{"cut.csv"}},
		"weather missing":           {weatherScenario(t, filepath.Join(dir, "none.epw")), []string{"none.epw"}},
		"text in a number column":   {series("text.csv"), []string{"text.csv:3", "a lot"}},
		"not a number":              {series("nan.csv"), []string{"nan.csv:3", "NaN"}},
		"fewer rows than the year":  {series("short.csv"), []string{"short.csv", "2", "8760"}},
		"latitude 95":               {change("latitude: 37.6 deg", "latitude: 95 deg"), []string{"latitude", "95"}},
		"two headers of one name":   {change("headers:\n", "headers:\n  - {name: main, pressure: 3 bar(g), feedwater: 85 degC}\n"), []string{"main"}},
		"load on an unknown header": {change("  - name: stenter and dryers\n    header: main", "  - name: stenter and dryers\n    header: mian"), []string{"mian", "main"}},
		"empty file":                {file("empty.yaml", ""), []string{"empty.yaml", "empty"}},
		"a folder":                  {dir, []string{"folder"}},
		"no such file":              {filepath.Join(dir, "nowhere.yaml"), []string{"nowhere.yaml"}},
	} {
		t.Run(name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "out")
			stdout, stderr, status := noonkeep(t, "curve", c.path, "--out", out)
			if status != statusBadInput {
				t.Errorf("exit status %d, want %d", status, statusBadInput)
			}
			for _, want := range c.want {
				if !strings.Contains(stderr, want) {
					t.Errorf("the error does not say %q:\n%s", want, stderr)
				}
			}
			if stdout != "" {
				t.Errorf("it printed %q", stdout)
			}
			if _, err := os.Stat(out); err == nil {
				t.Error("it left a folder")
			}
		})
	}
}

func TestBadUsage(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"curve"}, "SCENARIO"},
		{[]string{"curve", "dyehouse", "extra"}, "2 arguments"},
		{[]string{"curve", "dyehouse", "--to", "-5"}, "-5"},
		{[]string{"curve", "dyehouse", "--gap", "none"}, "percentage"},
		{[]string{"curve", "dyehouse", "--engine", "magic"}, "clp"},
		{[]string{"curve", "dyehuose"}, "dyehouse"},
		{[]string{"crve", "dyehouse"}, "curve"},
		{[]string{"schedule", "dyehouse", "--week", "2025-01-01"}, "2026"},
		{[]string{"export", "dyehouse"}, "--mps"},
		{[]string{"starter", "brewery"}, "dyehouse"},
	} {
		_, stderr, status := noonkeep(t, c.args...)
		if status != statusBadInput || !strings.Contains(stderr, c.want) {
			t.Errorf("noonkeep %v: status %d, want %d with %q:\n%s", c.args, status, statusBadInput, c.want, stderr)
		}
	}
}

// A plant that cannot carry its load: exit 1, with what is short, when and by how much.
func TestShortOfHeat(t *testing.T) {
	t.Parallel()
	path := scenario(t, "dyehouse", "capacity: 2500 kg/h", "capacity: 500 kg/h")
	out := filepath.Join(t.TempDir(), "out")
	stdout, stderr, status := noonkeep(t, "curve", path, "--out", out)
	if status != statusNoAnswer || stdout != "" {
		t.Errorf("exit status %d with %q printed, want %d and nothing", status, stdout, statusNoAnswer)
	}
	for _, want := range []string{`header "main"`, "h short of heat", "kW on", "capacity"} {
		if !strings.Contains(stderr, want) {
			t.Errorf("the error does not say %q:\n%s", want, stderr)
		}
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("it left a folder")
	}
}

// A file that cannot be written is no fault of the input: exit 1.
func TestOutputThatCannotBeWritten(t *testing.T) {
	t.Parallel()
	inTheWay := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(inTheWay, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"curve", "dyehouse", "--to", "20", "--step", "20", "--out", inTheWay},
		{"schedule", "dyehouse", "--csv", filepath.Join(inTheWay, "plan.csv")},
	} {
		if _, stderr, status := noonkeep(t, args...); status != statusNoAnswer {
			t.Errorf("noonkeep %v: status %d, want %d:\n%s", args, status, statusNoAnswer, stderr)
		}
	}
}

// weatherScenario is the dyehouse at Tucson's place with a weather file of its own.
func weatherScenario(t *testing.T, file string) string {
	t.Helper()
	text := must(t, "starter", "dyehouse")
	before, rest, ok := strings.Cut(text, "\nweather:")
	if !ok {
		t.Fatal("the dyehouse has no weather")
	}
	_, after, ok := strings.Cut(rest, "\ntime:")
	if !ok {
		t.Fatal("the dyehouse's time does not follow its weather")
	}
	text = before + fmt.Sprintf("\nweather: {file: %q}\ntime:", file) + after
	for _, pair := range [][2]string{
		{"latitude: 37.6 deg", "latitude: 32.167 deg"}, {"longitude: 31.4 deg", "longitude: -110.883 deg"},
		{"elevation: 1010 m", "elevation: 809 m"}, {"utc_offset: +3 h", "utc_offset: -7 h"},
	} {
		if !strings.Contains(text, pair[0]) {
			t.Fatalf("the dyehouse has no %q", pair[0])
		}
		text = strings.Replace(text, pair[0], pair[1], 1)
	}
	path := filepath.Join(t.TempDir(), "weather.yaml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
