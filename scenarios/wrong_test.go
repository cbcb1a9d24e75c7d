package scenarios

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// plain is a small whole scenario; the wrong ones of the tests differ from it in a line or two.
const plain = `noonkeep: 1
name: plain
site: {latitude: 37 deg, longitude: 31 deg, elevation: 0 m, utc_offset: +2 h}
weather:
  monthly:
    ghi: [3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]
    air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]
time: {year: 2026, step: 60 min}
headers:
  - {name: main, pressure: 6 bar(g), feedwater: 85 degC}
loads:
  - {name: works, header: main, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}
fuels:
  - {name: natural gas, price: 0.05 EUR/kWh, price_basis: net}
boilers:
  - {name: B1, header: main, fuel: natural gas, capacity: 2000 kg/h, efficiency: 0.85}
fields:
  - {name: dishes, collector: {kind: dish}, count: 8, aperture: 90 m2}
store:
  vessel: flash
  volume: 40 m3
  working_pressure: 18 bar(g)
  steps: 0..120 m3
`

// with changes plain: old, new, old, new ...
func with(t testing.TB, pairs ...string) string {
	t.Helper()
	s := plain
	for i := 0; i < len(pairs); i += 2 {
		if strings.Count(s, pairs[i]) != 1 {
			t.Fatalf("%q stands %d times in the plain scenario", pairs[i], strings.Count(s, pairs[i]))
		}
		s = strings.Replace(s, pairs[i], pairs[i+1], 1)
	}
	return s
}

// files is a folder in memory.
type files map[string]string

func (f files) open(name string) (io.ReadCloser, error) {
	s, ok := f[name]
	if !ok {
		return nil, &os.PathError{Op: "open", Path: name, Err: os.ErrNotExist}
	}
	return io.NopCloser(strings.NewReader(s)), nil
}

func TestPlainIsRight(t *testing.T) {
	t.Parallel()
	if _, err := Parse("plain.yaml", []byte(plain), nil); err != nil {
		t.Fatal(err)
	}
}

// The wrong inputs of a scenario, each with its whole message.
func TestWrongScenarios(t *testing.T) {
	t.Parallel()
	series := func(rows int) string {
		b := strings.Builder{}
		b.WriteString("time,kW\n")
		for i := range rows {
			fmt.Fprintf(&b, "%s,500\n", time.Date(2026, 1, 1, i, 0, 0, 0, time.UTC).Format("2006-01-02 15:04"))
		}
		return b.String()
	}
	folder := files{"short.csv": series(8759), "text.csv": strings.Replace(series(8760), "03:00,500", "03:00,much", 1), "cut.epw": "LOCATION,Nowhere,-,-,x,1,37.0,31.0,2.0,0.0\n"}
	for _, c := range []struct {
		name  string
		input string
		want  string // without the file's name; several lines for several faults
	}{
		{"bare bar in the store", with(t, "18 bar(g)", "18 bar"),
			`22: store.working_pressure: "18 bar" is neither gauge nor absolute; write "18 bar(g)" or "19 bar(a)"`},
		{"bare bar in a header", with(t, "6 bar(g)", "6 bar"),
			`10: headers[main].pressure: "6 bar" is neither gauge nor absolute; write "6 bar(g)" or "7.01 bar(a)"`},
		{"unknown key", with(t, "working_pressure", "workin_pressure"),
			"20: store.working_pressure: is missing; write for example \"working_pressure: 18 bar(g)\"\n" +
				`22: store.workin_pressure: is not a key of a scenario here; nearest is "working_pressure"`},
		{"unknown key at the top", with(t, "time: {", "tiem: {"),
			`8: tiem: is not a key of a scenario here; nearest is "time"`},
		{"key of no likeness", with(t, "volume: 40 m3", "volume: 40 m3\n  colour: red"),
			`22: store.colour: is not a key of a scenario here; want name, vessel, header, charged_from, volume, steps, working_pressure, margin, line_drop, supply, approach, return, thermocline_share, wall, fill, feed, insulation, ambient, length_per_diameter, ends, steam_rate, exchanger_rating, surface_rating, charge_rate, boilers_may_charge or cost`},
		{"key written twice", with(t, "volume: 40 m3", "volume: 40 m3\n  volume: 50 m3"),
			`22: store.volume: is written twice, first in line 21; keep one`},
		{"negative volume", with(t, "40 m3", "-40 m3"),
			`21: store.volume: "-40 m3" is out of range; want 0 to 100000 m3`},
		{"store pressure under header pressure", with(t, "18 bar(g)", "5 bar(g)"),
			`22: store.working_pressure: "5 bar(g)" is not above the 7.013 bar(a) of header "main"; want more, or no steam flows into it`},
		{"store pressure over the header's but not with the margin", with(t, "18 bar(g)", "6.6 bar(g)"),
			`22: store.working_pressure: is 7.61325 bar(a) less 0.5 bar of margin; want more than the header's 7.01325 bar(a) and the line's 0.2 bar`},
		{"latitude 95", with(t, "37 deg", "95 deg"),
			`3: site.latitude: "95 deg" is out of range; want -90 to 90 deg`},
		{"NaN", with(t, "0.85", ".nan"),
			`16: boilers[B1].efficiency: ".nan" is not a finite number; want digits`},
		{"infinite", with(t, "900 kg/h", "+Inf kg/h"),
			`12: loads[works].steam: "+Inf kg/h" is not a finite number; want digits`},
		{"two headers of one name", with(t, "feedwater: 85 degC}", "feedwater: 85 degC}\n  - {name: main, pressure: 3 bar(g)}"),
			`11: headers[main].name: a second header is called "main", the first in line 10; give each its own name`},
		{"two boilers of one name", with(t, "efficiency: 0.85}", "efficiency: 0.85}\n  - {name: B1, capacity: 1 MW, efficiency: 0.8}"),
			`17: boilers[B1].name: a second boiler is called "B1", the first in line 16; give each its own name`},
		{"two loads of one name", with(t, "22:00\"}", "22:00\"}\n  - {name: works, heat: 3 kW}"),
			`13: loads[works].name: a second load is called "works", the first in line 12; give each its own name`},
		{"two fields of one name", with(t, "90 m2}", "90 m2}\n  - {name: dishes, collector: {kind: dish}, count: 1, aperture: 9 m2}"),
			`19: fields[dishes].name: a second field is called "dishes", the first in line 18; give each its own name`},
		{"two fuels of one name", with(t, "price_basis: net}", "price_basis: net}\n  - {name: natural gas, price: 0.06 EUR/kWh}"),
			`15: fuels[natural gas].name: a second fuel is called "natural gas", the first in line 14; give each its own name`},
		{"load on an unknown header", with(t, "works, header: main", "works, header: mian"),
			`12: loads[works].header: no header is called "mian"; nearest is "main"`},
		{"boiler of an unknown fuel", with(t, "fuel: natural gas", "fuel: gas"),
			`16: boilers[B1].fuel: no fuel is called "gas"; nearest is "natural gas"`},
		{"series with too few rows", with(t, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "series: short.csv"),
			`12: loads[works].series: short.csv:8760: 8759 rows of 60 min run 2026-01-01 00:00 to 2026-12-31 23:00; want 8760 rows, 2026-01-01 00:00 to 2027-01-01 00:00`},
		{"series with text for a number", with(t, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "series: text.csv"),
			`12: loads[works].series: text.csv:5: kW: "much"; want a number of 0 or more`},
		{"series that is not there", with(t, "steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "series: none.csv"),
			`12: loads[works].series: "none.csv": file does not exist`},
		{"weather that is not there", with(t, "  monthly:\n    ghi: [3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]\n    air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]\n", "  file: none.epw\n"),
			`5: weather.file: "none.epw": file does not exist`},
		{"weather cut short", with(t, "  monthly:\n    ghi: [3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]\n    air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]\n", "  file: cut.epw\n"),
			`5: weather.file: cut.epw:1: file: ends before the line DATA PERIODS; want a whole weather file`},
		{"decimal comma", with(t, "0.05 EUR/kWh", "\"0,05 EUR/kWh\""),
			`14: fuels[natural gas].price: "0,05 EUR/kWh" has a comma; write the decimal point, "0.05 EUR/kWh", and no thousands mark`},
		{"two currencies", with(t, "steps: 0..120 m3", "steps: 0..120 m3\nelectricity: {price: 0.1 USD/kWh}"),
			`24: electricity.price: "0.1 USD/kWh" is not in EUR, in which the scenario counts; want one currency`},
		{"a load that takes nothing", with(t, "steam: 900 kg/h, ", ""),
			`12: loads[works]: takes nothing; write ` + sourceKeys(orList)},
		{"a load of two sorts", with(t, "steam: 900 kg/h, ", "steam: 900 kg/h, heat: 3 kW, "),
			`12: loads[works]: has 2 of ` + sourceKeys(andList) + `; want one`},
		{"eleven months", with(t, "[3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]", "[3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4 kWh/m2d]"),
			`6: weather.monthly.ghi: has 11 values; want 12`},
		{"a list for a value", with(t, "18 bar(g)", "[18 bar(g)]"),
			`22: store.working_pressure: is a list; want one value such as "18 bar(g)"`},
		{"a value for a mapping", with(t, "{kind: dish}", "dish"),
			`18: fields[dishes].collector: is "dish"; want keys and values`},
		{"a mapping for a list", with(t, "  - {name: main, p", "  {name: main, p"),
			`10: headers: is a mapping; want a list, [..., ...] or lines that begin with a dash`},
		{"a value for a list", with(t, "time: {", "time: {holidays: 1 Jan, "),
			`8: time.holidays: is "1 Jan"; want a list, [..., ...] or lines that begin with a dash`},
		{"nothing for a value", with(t, "40 m3", "~"),
			`21: store.volume: has no value; give one or leave the key out`},
		{"an anchor", with(t, "6 bar(g)", "&p 6 bar(g)"),
			`10: anchor &p; anchors have no use here, take it out`},
		{"a merge", with(t, "volume: 40 m3", "<<: {volume: 40 m3}"),
			`21: store: "<<" merges another mapping; write its keys out here`},
		{"a tag", with(t, "name: plain", "name: !!binary cGxhaW4="),
			`2: tag !!binary; tags have no use here, take it out`},
		{"two documents", plain + "---\n" + plain,
			`24: a second document begins; want one scenario in a file`},
		{"version 2", with(t, "noonkeep: 1", "noonkeep: 2"),
			`1: noonkeep: "2" is out of range; want 1`},
		{"a fuel nobody knows, by mass", with(t, "name: natural gas, price: 0.05 EUR/kWh, price_basis: net", "name: husks, price: 50 EUR/t", "fuel: natural gas", "fuel: husks"),
			`14: fuels[husks].price: "50 EUR/t" needs net_calorific_value, and no generic fuel is called "husks"`},
		{"a step of seven minutes", with(t, "60 min", "7 min"),
			`8: time.step: step: is 7m0s; want 60, 30, 15 min or another divisor of 60 min`},
		{"a step of half a minute", with(t, "60 min", "30 s"),
			`8: time.step: step: is 30s; want 60, 30, 15 min or another divisor of 60 min`},
		{"a step of nothing", with(t, "60 min", "0 min"),
			`8: time.step: "0 min" is out of range; want more than 0 h and at most 1 h`},
		{"a range that falls", with(t, "0..120 m3", "120..0 m3"),
			`23: store.steps: "120..0 m3" does not rise; want the smaller end first`},
		{"one number for a range", with(t, "0..120 m3", "120 m3"),
			`23: store.steps: "120 m3" is no range; write for example "0..40 m3"`},
		{"a word outside the list", with(t, "vessel: flash", "vessel: flush"),
			`20: store.vessel: "flush" is not known; nearest is "flash"; all are flash, exchanger or thermocline`},
		{"offset of the wrong sign", with(t, "+2 h", "-2 h"),
			`3: site: UTC offset: is -2 h at longitude 31; want about +2 h (is the sign of the longitude right? east is positive)`},
		{"a weekly pattern with a fault", with(t, "Mon-Sat 06:00-22:00", "Mon-Sat 06:00-25:00"),
			`12: loads[works].when: "25:00" does not fit; want a time such as 06:00, up to 24:00`},
		{"several faults, in file order", with(t, "18 bar(g)", "18 bar", "37 deg", "95 deg", "aperture: 90 m2", "aperture: 90"),
			"3: site.latitude: \"95 deg\" is out of range; want -90 to 90 deg\n" +
				"18: fields[dishes].aperture: \"90\" has no unit; write for example \"90 m2\"\n" +
				`22: store.working_pressure: "18 bar" is neither gauge nor absolute; write "18 bar(g)" or "19 bar(a)"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := Parse("my.yaml", []byte(c.input), folder.open)
			if err == nil {
				t.Fatal("it is read without an error")
			}
			got := strings.ReplaceAll("\n"+err.Error(), "\nmy.yaml:", "\n")[1:]
			if got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
			var e *Error
			if !errors.As(err, &e) || e.File != "my.yaml" || e.Line == 0 {
				t.Errorf("is no *Error with file and line: %#v", err)
			}
		})
	}
}

// A weather file in either format gives the same field, which is what the sun of a scenario is for.
func TestRealWeather(t *testing.T) {
	t.Parallel()
	const folder = "../../shared/weather"
	if _, err := os.Stat(folder); err != nil {
		t.Skipf("no weather files in %s", folder)
	}
	site := "{latitude: 32.17 deg, longitude: -110.88 deg, elevation: 809 m, utc_offset: -7 h}"
	var heat []float64
	for _, name := range []string{"tucson-usa-tmy3.csv", "tucson-usa-tmy3.epw"} {
		from, to := strings.Index(plain, "  monthly:"), strings.Index(plain, "time: {")
		input := with(t, plain[from:to], "  file: "+name+"\n", "{latitude: 37 deg, longitude: 31 deg, elevation: 0 m, utc_offset: +2 h}", site)
		c, err := Parse("my.yaml", []byte(input), Beside(folder))
		if err != nil {
			t.Fatal(err)
		}
		heat = append(heat, c.Fields[0].ToStore.DeliveredKWhM2)
	}
	if heat[0] < 500 || math.Abs(heat[1]/heat[0]-1) > 0.005 {
		t.Errorf("TMY3 gives %g kWh/m2, EPW of the same year %g; want 0.5 %% (issue 2)", heat[0], heat[1])
	}
}

// Files that are no scenario at all.
func TestWrongFiles(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, c := range []struct{ name, data, want string }{
		{"empty", "", `empty.yaml: is empty; "noonkeep starter" writes a scenario to begin from`},
		{"only a comment", "# nothing\n", `only a comment.yaml: is empty; "noonkeep starter" writes a scenario to begin from`},
		{"latin", "noonkeep: 1\nname: F\xe4rberei\n", `latin.yaml:2: is not UTF-8 text; save it as UTF-8`},
		{"utf16", "\xff\xfen\x00o\x00", `utf16.yaml:1: is not UTF-8 text; save it as UTF-8`},
		{"a number", "17", "a number.yaml:1: a scenario is \"17\" here; want keys and values, from `noonkeep: 1` on"},
		{"a list", "- 1\n", "a list.yaml:1: a scenario is a list here; want keys and values, from `noonkeep: 1` on"},
		{"large", "name: " + strings.Repeat("a", mostBytes), `large.yaml: is over 1 MB; a scenario is a short text, a long series belongs in a CSV file beside it`},
		{"deep", "noonkeep: " + strings.Repeat("[", 3000) + strings.Repeat("]", 3000), `deep.yaml:1: mappings and lists lie more than 24 deep in each other`},
		{"many loads", plain[:strings.Index(plain, "  - {name: works")] + strings.Repeat("  - {name: x}\n", 201), "many loads.yaml:12: loads: has 201 entries; want at most 200"},
		{"many keys", strings.Repeat("- 1\n", mostNodes), fmt.Sprintf("many keys.yaml:%d: more than 50000 keys and values; a long series belongs in a CSV file beside the scenario", mostNodes)},
		{"open brackets", strings.Repeat("[", mostBytes-1), "open brackets.yaml: is not YAML: exceeded max depth of 10000"},
		{"tab", "noonkeep: 1\nsite:\n\tlatitude: 3 deg\n", `tab.yaml:3: is not YAML: found character that cannot start any token; indent with spaces, not tabs`},
		{"colon", "noonkeep: 1\nname: a: b\n", `colon.yaml:2: is not YAML: mapping values are not allowed in this context; a text with ": " in it needs quotes, and keys of one mapping stand in one column`},
		{"laughs", "a: &a [l,l]\nb: &b [*a,*a]\nc: &c [*b,*b]\n", "laughs.yaml:1: anchor &a; anchors have no use here, take it out\nlaughs.yaml:2: anchor &b; anchors have no use here, take it out\nlaughs.yaml:3: anchor &c; anchors have no use here, take it out"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(dir, c.name+".yaml")
			if err := os.WriteFile(path, []byte(c.data), 0o644); err != nil {
				t.Fatal(err)
			}
			_, err := Load(path)
			if err == nil {
				t.Fatal("it is read without an error")
			}
			got := strings.ReplaceAll(strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), ""), "`noonkeep starter`", `"noonkeep starter"`)
			if got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
	if _, err := Load(dir); err == nil || err.Error() != dir+": is a folder; want a scenario file" {
		t.Errorf("a folder: %v", err)
	}
	if _, err := Load(filepath.Join(dir, "none.yaml")); err == nil || !errors.Is(err, os.ErrNotExist) {
		t.Errorf("no such file: %v", err)
	}
	if _, err := Load("dyehose"); err == nil || err.Error() != `dyehose: is neither a file nor a built-in example; nearest is "dyehouse"` {
		t.Errorf("a misspelt example: %v", err)
	}
}
