package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// brief keeps a command short in tests that run all of them.
var brief = map[string][]string{
	"curve":   {"--to", "20", "--step", "20"},
	"years":   {"--seeds", "2", "--to", "20"},
	"compare": {"--to", "20"},
	"doubt":   {"--cases", "10", "--to", "20"},
	"bid":     {"--quick"},
	"size":    {"--to", "20"},
	"replay":  {"--volumes", "0", "--step", "5m"},
	"set":     {"name=another"},
}

// scenarioCommands are all commands that take a scenario and end by themselves; of them those that write into a folder, if asked. The
// desk serves until it is ended, and has tests of its own for names that act and for files outside its folder.
func scenarioCommands(writing bool) []*cobra.Command {
	var all []*cobra.Command
	for _, c := range newRoot(streams{}).Commands() {
		if strings.Contains(c.Use, "SCENARIO") && c.Name() != "desk" && (!writing || writesFolder(c)) {
			all = append(all, c)
		}
	}
	return all
}

func writesFolder(c *cobra.Command) bool {
	out := c.Flags().Lookup("out")
	return out != nil && strings.Contains(out.Usage, "`folder`")
}

// hostileNames stand in a scenario for the sound ones; each would act somewhere.
var hostileNames = [][2]string{
	{"name: dyehouse at Kuruova", `name: "</text></title><script>alert(1)</script><!--"`},
	{`"dye machines, day shifts"`, `"=HYPERLINK(\"x\",\"load\")"`}, // as variants name it
	{`"dye machines, night shift"`, `"@SUM(1+1)*cmd|' /C calc'!A0"`},
	{"name: dye machines, day shifts", `name: "=HYPERLINK(\"x\",\"load\")"`},
	{"name: dye machines, night shift", `name: "@SUM(1+1)*cmd|' /C calc'!A0"`},
	{"name: stenter and dryers", `name: "]]>&amp;\u00a0<img src=x onerror=alert(1)>"`},
	{"name: space and tank heating", `name: "-1+1\" onload=\"alert(1)"`},
	{"name: dishes", `name: "+dishes %s %d %!(NOVERB) ../../x"`},
	{"name: two shifts instead of three", `name: "=1+1 <b>|</b> {{.}}"`},
}

// TestNamesDoNothing: whatever a scenario calls its things, pictures and pages stay drawings and text, tables stay tables, and
// no control character reaches a terminal; by every command.
func TestNamesDoNothing(t *testing.T) {
	t.Parallel()
	unraced(t)
	path := scenario(t, "dyehouse")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	for _, pair := range hostileNames {
		if !strings.Contains(text, pair[0]) {
			t.Fatalf("the dyehouse has no %q", pair[0])
		}
		text = strings.ReplaceAll(text, pair[0], pair[1])
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range scenarioCommands(false) {
		t.Run(c.Name(), func(t *testing.T) {
			args := append([]string{c.Name(), path}, brief[c.Name()]...)
			dir := filepath.Join(t.TempDir(), "out")
			switch {
			case writesFolder(c):
				args = append(args, "--out", dir)
			case c.Name() == "export":
				args = append(args, "--mps", "-")
			}
			out, errOut, status := noonkeep(t, args...)
			if status != statusDone {
				t.Fatalf("exit status %d: %s", status, errOut)
			}
			noControl(t, "standard output", out)
			noControl(t, "standard error", errOut)
			files, _ := filepath.Glob(filepath.Join(dir, "*"))
			for _, file := range files {
				harmless(t, file)
			}
			above, _ := filepath.Glob(filepath.Join(dir, "..", "*"))
			if len(above) > 1 {
				t.Errorf("it wrote beside its folder: %v", above)
			}
		})
	}
}

// noControl wants a text that cannot drive a terminal.
func noControl(t *testing.T, what, text string) {
	t.Helper()
	for i, c := range text {
		if c < ' ' && c != '\n' && c != '\t' || c >= 0x7f && c < 0xa0 || c >= 0x202a && c <= 0x202e || c >= 0x2066 && c <= 0x2069 {
			t.Errorf("%s has %U: %q", what, c, text[max(0, i-20):min(len(text), i+20)])
			return
		}
	}
}

// harmless wants a file in which no name acts.
func harmless(t *testing.T, path string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Base(path)
	switch filepath.Ext(path) {
	case ".svg":
		noActing(t, name, data, true)
	case ".html":
		noActing(t, name, data, false)
	case ".csv":
		noFormula(t, name, data)
	case ".json":
		if !json.Valid(data) {
			t.Errorf("%s is no JSON", name)
		}
		noControl(t, name, string(data))
	case ".txt", ".md":
		noControl(t, name, string(data))
	case ".xlsx":
		noFormulaInBook(t, name, data)
	case ".png":
	default:
		t.Errorf("%s: a kind of file that this test does not know; say what a name could do in it", name)
	}
}

var acts = regexp.MustCompile(`(?i)<script[^>]*>\s*alert|<img src=x|<b>\||[" ]onload="alert`)

// noActing wants XML, or HTML, in which the hostile names are text.
func noActing(t *testing.T, name string, data []byte, strict bool) {
	t.Helper()
	if found := acts.Find(data); found != nil {
		t.Errorf("%s: a name acts: %q", name, found)
	}
	if !strict {
		return
	}
	for dec := xml.NewDecoder(bytes.NewReader(data)); ; {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Errorf("%s is no XML: %v", name, err)
			return
		}
		if e, ok := token.(xml.StartElement); ok {
			if n := strings.ToLower(e.Name.Local); n == "script" || n == "foreignobject" || n == "iframe" {
				t.Errorf("%s has an element %s", name, n)
			}
			for _, a := range e.Attr {
				if strings.HasPrefix(strings.ToLower(a.Name.Local), "on") {
					t.Errorf("%s has an attribute %s", name, a.Name.Local)
				}
			}
		}
	}
}

// noFormula wants a table in which every cell is a number or a text that no spreadsheet works out.
func noFormula(t *testing.T, name string, data []byte) {
	t.Helper()
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Errorf("%s is no CSV: %v", name, err)
	}
	for i, row := range rows {
		for _, cell := range row {
			if _, err := strconv.ParseFloat(cell, 64); err != nil && strings.IndexAny(cell, "=+-@\t\r") == 0 {
				t.Errorf("%s, row %d: a spreadsheet would work out %q", name, i+1, cell)
				return
			}
		}
	}
}

// noFormulaInBook wants a workbook whose formulas hold none of the names.
func noFormulaInBook(t *testing.T, name string, data []byte) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	formula := regexp.MustCompile(`<f[^>]*>[^<]*(HYPERLINK|cmd\||onload)`)
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		part, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if found := formula.Find(part); found != nil {
			t.Errorf("%s, %s: a name is a formula: %q", name, f.Name, found)
		}
		for dec := xml.NewDecoder(bytes.NewReader(part)); ; {
			if _, err := dec.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Errorf("%s, %s is no XML: %v", name, f.Name, err)
				break
			}
		}
	}
}

// TestNoCommandReadsForAStranger: with --stranger no command reads beside the scenario's folder, and each says what to add.
func TestNoCommandReadsForAStranger(t *testing.T) {
	unraced(t)
	t.Parallel()
	top := t.TempDir()
	csv := filepath.Join(top, "meter.csv")
	if err := os.WriteFile(csv, []byte("time,kW\n2026-01-01 00:00,SECRET\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(scenario(t, "dyehouse", "steam: 400 kg/h\n    when: Mon-Fri 07:00-19:00", "series: ../meter.csv"))
	if err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(top, "own")
	if err := os.Mkdir(own, 0o755); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(own, "my.yaml")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range scenarioCommands(false) {
		args := append([]string{c.Name(), path}, brief[c.Name()]...)
		switch {
		case writesFolder(c):
			args = append(args, "--out", filepath.Join(top, "out"))
		case c.Name() == "export":
			args = append(args, "--mps", "-")
		}
		wants := statusBadInput
		if c.Name() == "set" {
			wants = statusDone // it changes a scenario that has faults of its own, and tells them
		}
		_, errOut, status := noonkeep(t, append(args, "--stranger")...)
		if want := fmt.Sprintf("lies outside the scenario's folder; if it may be read, add --reads %s\n", top); status != wants || !strings.HasSuffix(errOut, want) {
			t.Errorf("%s --stranger: exit status %d: %s", c.Name(), status, errOut)
		}
		_, errOut, status = noonkeep(t, append(args, "--reads", top)...)
		if status != wants || !strings.Contains(errOut, "meter.csv:2: kW: \"SECRET\"") {
			t.Errorf("%s --reads: exit status %d: %s", c.Name(), status, errOut)
		}
	}
}

// TestStationNamesDoNothing: what a weather file says of itself is text as well.
func TestStationNamesDoNothing(t *testing.T) {
	unraced(t)
	t.Parallel()
	real, err := os.ReadFile("../../../shared/weather/tucson-usa-tmy3.epw")
	if err != nil {
		t.Skipf("real weather files are not here: %v", err)
	}
	_, rest, _ := strings.Cut(string(real), "\n")
	file := filepath.Join(t.TempDir(), "station.epw")
	head := "LOCATION,\x1b[2J\a</text><script>alert(1)</script>\u202e\u009b31m,=1+1,@x,-,1,32.17,-110.88,-7,809\n"
	if err := os.WriteFile(file, []byte(head+rest), 0o600); err != nil {
		t.Fatal(err)
	}
	path := weatherScenario(t, file)
	for _, args := range [][]string{{"check", path}, {"check", path, "--json"}, {"curve", path, "--to", "20", "--step", "20", "--json"}} {
		dir := filepath.Join(t.TempDir(), "out")
		out, errOut, status := noonkeep(t, append(args, "--out", dir)...)
		if status != statusDone {
			t.Fatalf("%v: exit status %d: %s", args, status, errOut)
		}
		noControl(t, "standard output", out)
		noControl(t, "standard error", errOut)
		files, _ := filepath.Glob(filepath.Join(dir, "*"))
		for _, f := range files {
			harmless(t, f)
		}
	}
}
