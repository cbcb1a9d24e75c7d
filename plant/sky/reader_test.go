package sky

import (
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

func readText(tb testing.TB, text string, opt ReadOptions) (Year, error) {
	tb.Helper()
	if opt.Axis.N == 0 {
		opt.Axis = yearAxis(tb, 2026, time.Hour, time.Hour)
	}
	return Read(strings.NewReader(text), "w.epw", opt)
}

func mustRead(tb testing.TB, text string, opt ReadOptions) Year {
	tb.Helper()
	y, err := readText(tb, text, opt)
	if err != nil {
		tb.Fatal(err)
	}
	return y
}

// at changes one line of a file; many lists several.
func at(line int, to string) func(int, string) string {
	return func(l int, text string) string {
		if l == line {
			return to
		}
		return text
	}
}

func replace(line int, old, new string) func(int, string) string {
	return func(l int, text string) string {
		if l == line {
			return strings.Replace(text, old, new, 1)
		}
		return text
	}
}

func TestReadRefuses(t *testing.T) {
	light := lightOf(false, 0)
	noon := 8 + 12 // 1 Jan hour 12 of an EPW
	epwFile := func(change func(int, string) string) string { return file(epwHeader, epwRow, light, change) }
	tmyFile := func(change func(int, string) string) string { return file(tmy3Header, tmy3Row, light, change) }
	rows := []struct{ what, text, want string }{
		{"empty", "", "w.epw:0: file: ends before its first line"},
		{"prose", "Dear reader,\n", "w.epw:1: format: the first line is \"Dear reader,\"; want an EPW"},
		{"pvgis", "Latitude (decimal degrees): 45.000\n", "w.epw:1: file: ends before the column names"},
		{"nsrdb", "Source,Location ID,City,State,Country,Latitude\n", "w.epw:1: file: ends before the values of its first line"},
		{"utf-16", "\xff\xfeL\x00O\x00", "w.epw:1: encoding: is UTF-16"},
		{"short location", "LOCATION,a,b\n", "w.epw:1: LOCATION: has 3 fields; want 10"},
		{"bad latitude", epwFile(replace(1, "47.0", "north")), "w.epw:1: latitude: \"north\" is not a number"},
		{"far latitude", epwFile(replace(1, "47.0", "470")), "w.epw:1: latitude: is 470; want -90 to 90"},
		{"longitude's sign", epwFile(replace(1, ",8.0,1,", ",110.9,-7,")), "w.epw:1: UTC offset: is -7 h at longitude 110.9; want about +7 h"},
		{"no periods", strings.Repeat("LOCATION,a,b,c,d,e,1,1,0,1\n", 30), "w.epw:24: header: no DATA PERIODS"},
		{"two periods", epwFile(replace(8, "PERIODS,1", "PERIODS,2")), "w.epw:8: DATA PERIODS: \"2\" periods; want 1"},
		{"seven an hour", epwFile(replace(8, "1,1,Data", "1,7,Data")), "w.epw:8: DATA PERIODS: \"7\" records an hour"},
		{"header only", epwHeader, "w.epw:8: rows: found 0, none; want 8760, to 31 Dec hour 24"},
		{"word in GHI", epwFile(at(noon, epwRow(stamp{1, 1, 12, 1}, hourLight{ghi: math.NaN()}))), "w.epw:20: global horizontal radiation: \"NaN\" is not a number"},
		{"infinite", epwFile(at(noon, epwRow(stamp{1, 1, 12, 1}, hourLight{dni: math.Inf(1)}))), "w.epw:20: direct normal radiation: \"+Inf\" is not a number"},
		{"hexadecimal", epwFile(replace(noon, ",300,", ",300,0x1p4")), "w.epw:20: global horizontal radiation: \"0x1p4"},
		{"overflow", epwFile(at(noon, strings.Replace(epwRow(stamp{1, 1, 12, 1}, hourLight{}), ",300,0,", ",300,1e999,", 1))), "w.epw:20: global horizontal radiation: \"1e999\" is not a number"},
		{"too bright", epwFile(at(noon, epwRow(stamp{1, 1, 12, 1}, hourLight{ghi: 5000}))), "w.epw:20: GHI: is 5000 W/m²; want 0 to 1800"},
		{"too hot", epwFile(at(noon, epwRow(stamp{1, 1, 12, 1}, hourLight{air: 85}))), "w.epw:20: dry bulb: is 85 °C; want -90 to 70"},
		{"wind backwards", epwFile(at(noon, epwRow(stamp{1, 1, 12, 1}, hourLight{wind: -3}))), "w.epw:20: wind: is -3 m/s; want 0 to 100"},
		{"few columns", epwFile(at(noon, "2001,1,1,12,0,?9,5,5")), "w.epw:20: row: has 8 fields; want at least 22"},
		{"missing row", epwFile(at(noon, "")), "w.epw:20: row: is 1 Jan hour 13; want 1 Jan hour 12 after row 11 (line 19)"},
		{"doubled row", epwFile(at(noon, epwRow(stamp{1, 1, 11, 1}, light[0]))), "w.epw:20: row: is 1 Jan hour 11; want 1 Jan hour 12"},
		{"hour 25", epwFile(at(noon, epwRow(stamp{1, 1, 25, 1}, light[0]))), "w.epw:20: time: \"2001,1,1,25,0\"; want year, month 1-12"},
		{"30 Feb", epwFile(at(noon, epwRow(stamp{2, 30, 1, 1}, light[0]))), "w.epw:20: time:"},
		{"second half first", epwFile(func(l int, s string) string {
			if l > 8 && l < 5000 {
				return ""
			}
			return s
		}), "w.epw:9: first row: is 27 Jul hour 24; want 1 Jan hour 1"},
		{"short", epwFile(func(l int, s string) string {
			if l > 5000 {
				return ""
			}
			return s
		}), "w.epw:5000: rows: found 4992, the last on line 5000; want 8760, to 31 Dec hour 24"},
		{"long", epwFile(nil) + epwRow(stamp{1, 1, 1, 1}, light[0]) + "\n" + epwRow(stamp{1, 1, 2, 1}, light[0]) + "\n",
			"w.epw:8769: rows: found 8762; want 8760, the last of 31 Dec hour 24 on line 8768"},
		{"blank lines", epwHeader + strings.Repeat("\n", 2000), "w.epw:1009: rows: over 1000 blank lines"},
		{"long line", "LOCATION," + strings.Repeat("x", 1<<20), "w.epw:1: line: is over 65536 bytes long"},
		{"short TMY3 header", "1,2,3,4,5,6\n", "w.epw:1: format"},
		{"TMY3 without DNI's unit", tmyFile(replace(2, "DNI (W/m^2)", "DNI (Wh/m^2)")), "w.epw:2: columns: DNI is in \"Wh/m^2\"; want DNI (W/m^2)"},
		{"TMY3 without GHI", tmyFile(replace(2, "GHI (W/m^2)", "ghx")), "w.epw:2: columns: no \"GHI (W/m^2)\" among 9"},
		{"TMY3 with two GHI", tmyFile(replace(2, "ETR (W/m^2)", "GHI (W/m^2)")), "w.epw:2: columns: \"GHI (W/m^2)\" stands twice, 3 and 4"},
		{"TMY3 midnight as 0", tmyFile(replace(26, "24:00", "00:00")), "w.epw:26: time: \"00:00\"; want the end of an hour"},
		{"TMY3 half hour", tmyFile(replace(20, ":00", ":30")), "w.epw:20: time:"},
		{"TMY3 date", tmyFile(replace(20, "01/01/1999", "1999-01-01")), "w.epw:20: date: \"1999-01-01\"; want month/day/year"},
		{"TMY3 short row", tmyFile(at(20, "01/01/1999,18:00,0")), "w.epw:20: row: has 3 fields; want GHI in field 4"},
		{"TMY3 text", tmyFile(replace(20, ",0,", ",0,n/a")), "w.epw:20: GHI: \"n/a0\" is not a number"},
	}
	for _, r := range rows {
		_, err := readText(t, r.text, ReadOptions{})
		switch {
		case r.want == "":
			if err != nil {
				t.Errorf("%s: %v; want it read", r.what, err)
			}
		case err == nil:
			t.Errorf("%s: no error; want %s", r.what, r.want)
		case !strings.HasPrefix(err.Error(), r.want):
			t.Errorf("%s: %v\n\twant %s", r.what, err, r.want)
		}
	}
}

func TestReadOptionsRefuse(t *testing.T) {
	year := yearAxis(t, 2026, time.Hour, time.Hour)
	far, site, bad := 3*time.Hour, testhof, Place{LatDeg: math.NaN()}
	site.UTCOffset = 2 * time.Hour
	half := year
	half.N = 8759
	noon := year
	noon.Start = year.Start.Add(12 * time.Hour)
	rows := []struct {
		opt  ReadOptions
		want string
	}{
		{ReadOptions{}, "step: is 0s"},
		{ReadOptions{Axis: half}, "want whole days from midnight"},
		{ReadOptions{Axis: noon}, "axis: runs from 1 Jan 12:00:00"},
		{ReadOptions{Axis: year, LightOffset: &far}, "light offset: is 3h0m0s; want -2 h to 2 h"},
		{ReadOptions{Axis: year, Place: &site}, "axis: is at UTC+1 h, the place at UTC+2 h"},
		{ReadOptions{Axis: year, Place: &bad}, "latitude: is NaN"},
	}
	for _, r := range rows {
		if _, err := Read(strings.NewReader(""), "w", r.opt); err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("%v; want %s", err, r.want)
		}
	}
}

// endless gives one byte for ever and counts what was taken.
type endless struct {
	text  string
	taken int
}

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = e.text[(e.taken+i)%len(e.text)]
	}
	e.taken += len(p)
	return len(p), nil
}

func TestReadEnds(t *testing.T) {
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	whole := file(epwHeader, epwRow, lightOf(false, 0), nil)
	for what, r := range map[string]io.Reader{
		"a line without end":  &endless{text: "x"},
		"blank lines":         io.MultiReader(strings.NewReader(epwHeader), &endless{text: "\n"}),
		"rows after the year": io.MultiReader(strings.NewReader(whole), &endless{text: "2001,1,1,1\n"}),
	} {
		if _, err := Read(r, "w", ReadOptions{Axis: axis}); err == nil {
			t.Errorf("%s: no error", what)
		} else {
			t.Log(err)
		}
	}
	broken := errors.New("cable out")
	_, err := Read(io.MultiReader(strings.NewReader(epwHeader), &failing{broken}), "w", ReadOptions{Axis: axis})
	if !errors.Is(err, broken) {
		t.Errorf("%v; want the reader's own error kept", err)
	}
}

type failing struct{ err error }

func (f *failing) Read([]byte) (int, error) { return 0, f.err }

// The same year written in other ways is the same year.
func TestReadSpellings(t *testing.T) {
	light := lightOf(false, 0)
	want := mustRead(t, file(epwHeader, epwRow, light, nil), ReadOptions{})
	plain := file(epwHeader, epwRow, light, nil)
	tmy := file(tmy3Header, tmy3Row, light, nil)
	for what, text := range map[string]string{
		"CRLF":               strings.ReplaceAll(plain, "\n", "\r\n"),
		"byte order mark":    "\xef\xbb\xbf" + plain,
		"no last line end":   strings.TrimSuffix(plain, "\n"),
		"blank lines":        plain + "\n\n,,,\n\x1a",
		"header words":       strings.Replace(plain, "SAVINGS", "SAVING", 1),
		"small letters":      strings.Replace(strings.Replace(plain, "LOCATION", "Location", 1), "DATA PERIODS", "data periods", 1),
		"minute 60":          strings.ReplaceAll(plain, ",0,?9?9", ",60,?9?9"),
		"Latin-1":            strings.Replace(plain, "Testhof", "Z\xfcrich", 1),
		"TMY3":               tmy,
		"TMY3 spreadsheet":   strings.ReplaceAll(strings.ReplaceAll(tmy, ",24:00,", ",24:00:00,"), "01/01/1999,0", "1/1/1999,"),
		"TMY3 padded":        strings.ReplaceAll(tmy, "\n", ",,\n"),
		"TMY3 small letters": strings.Replace(tmy, "Dry-bulb (C)", "dry-bulb (c)", 1),
	} {
		y, err := readText(t, text, ReadOptions{})
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		for i := range want.GHI {
			if y.GHI[i] != want.GHI[i] || y.DNI[i] != want.DNI[i] || y.DHI[i] != want.DHI[i] || y.AirC[i] != want.AirC[i] || y.WindMS[i] != want.WindMS[i] {
				t.Errorf("%s: step %d differs", what, i)
				break
			}
		}
		if what == "Latin-1" && y.Source != "Zürich (EPW)" {
			t.Errorf("source %q; want Zürich (EPW)", y.Source)
		}
		if what == "TMY3" && y.Source != "TESTHOF, UPPER, XX (TMY3)" {
			t.Errorf("source %q", y.Source)
		}
		if len(y.Notes) > 0 {
			t.Errorf("%s: notes on a sound file:\n%s", what, notesOf(y))
		}
	}
}

// Steps are means; readings stand at the labels.
func TestReadings(t *testing.T) {
	light := lightOf(false, 0)
	for i := range light {
		light[i].air, light[i].wind = float64(i%24+1), float64(i%24+1) // the label's hour
	}
	text := file(epwHeader, epwRow, light, nil)
	y := mustRead(t, text, ReadOptions{})
	near(t, "air of 5-6 h", y.AirC[5], 5.5, 1e-12, "by hand: between the readings 5 at 5 h and 6 at 6 h")
	near(t, "air of 0-1 h", y.AirC[24], 12.5, 1e-12, "by hand: between 24 at 24 h and 1 at 1 h")
	near(t, "wind of 5-6 h", y.WindMS[5], 6, 0, "by hand: the reading at the end of the hour")
	y = mustRead(t, text, ReadOptions{Axis: yearAxis(t, 2026, 15*time.Minute, time.Hour)})
	for k, want := range []float64{5.125, 5.375, 5.625, 5.875} {
		near(t, "air of a quarter", y.AirC[20+k], want, 1e-12, "by hand: the line from 5 to 6")
		near(t, "wind of a quarter", y.WindMS[20+k], 6, 0, "by hand")
	}
	// The same file for a study whose clock is half an hour ahead: label 5 h is 5:30 there.
	site := testhof
	site.UTCOffset = 90 * time.Minute
	y = mustRead(t, text, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, 90*time.Minute), Place: &site})
	near(t, "air of 5-6 h", y.AirC[5], (4.75+5.25)/2, 1e-12, "by hand: means of 4.5-5 and 5-5.5")
	near(t, "wind of 5-6 h", y.WindMS[5], 5.5, 1e-12, "by hand: half an hour of 5, half of 6")
	if y.LightOffset.Abs() != 30*time.Minute || !strings.Contains(notesOf(y), "moved by +30 min") {
		t.Errorf("light offset %v, notes %s", y.LightOffset, notesOf(y))
	}
}

func TestLeapDays(t *testing.T) {
	plain, leap := file(epwHeader, epwRow, lightOf(false, 0), nil), lightOf(true, 0)
	for i := range leap[:24] {
		leap[(31+28)*24+i].wind = 29
	}
	feb28, feb29, mar1 := (31+27)*24+12, (31+28)*24+12, (31+29)*24+12
	leapAxis := yearAxis(t, 2028, time.Hour, time.Hour)
	y := mustRead(t, plain, ReadOptions{Axis: leapAxis})
	if y.GHI[feb29] != y.GHI[feb28] || !strings.Contains(notesOf(y), "28 Feb stands for it") {
		t.Errorf("29 Feb %g, 28 Feb %g, notes %s", y.GHI[feb29], y.GHI[feb28], notesOf(y))
	}
	y = mustRead(t, file(epwHeader, epwRow, leap, nil), ReadOptions{Axis: leapAxis})
	if y.WindMS[feb29] != 29 || len(y.Notes) > 0 {
		t.Errorf("wind of 29 Feb %g; want 29 (%s)", y.WindMS[feb29], notesOf(y))
	}
	y = mustRead(t, file(epwHeader, epwRow, leap, nil), ReadOptions{})
	same := mustRead(t, file(epwHeader, epwRow, leap, nil), ReadOptions{Axis: leapAxis})
	if y.GHI[feb29] != same.GHI[mar1] || len(y.GHI) != 8760 || !strings.Contains(notesOf(y), "29 Feb of the file is left out") {
		t.Errorf("1 Mar: %g; want %g (%s)", y.GHI[feb29], same.GHI[mar1], notesOf(y))
	}
}

func TestGaps(t *testing.T) {
	light := lightOf(false, 0)
	missing := func(from, n int, spell func(hourLight) hourLight) string {
		holed := append([]hourLight(nil), light...)
		for i := range n {
			k := (from + i) % len(holed)
			holed[k] = spell(holed[k])
		}
		return file(epwHeader, epwRow, holed, nil)
	}
	noon := 170*24 + 11
	for _, code := range []float64{9999, -9999, -999, -99} {
		y := mustRead(t, missing(noon, 3, func(h hourLight) hourLight { h.ghi = code; return h }), ReadOptions{})
		for i := noon; i < noon+3; i++ {
			near(t, "filled GHI", y.GHI[i], light[i].ghi, 0.01*light[i].ghi, "theorem: the clear sky's shape fills a clear day")
		}
		if n := y.Notes[0]; n.Line != noon+9 || !strings.Contains(n.Text, "GHI: 3 rows without a value in short gaps") {
			t.Errorf("note %+v; want line %d", n, noon+9)
		}
	}
	long := missing(noon, 4, func(h hourLight) hourLight { h.ghi, h.dni = 9999, 9999; return h })
	_, err := readText(t, long, ReadOptions{})
	var gap *GapError
	if !errors.As(err, &gap) || gap.Line != noon+9 || gap.ToLine != noon+12 || gap.Rows != 4 || strings.Join(gap.Quantities, " ") != "GHI DNI" {
		t.Errorf("%v; want a gap of 4 rows from line %d", err, noon+9)
	}
	y := mustRead(t, long, ReadOptions{FillLongGaps: true})
	for i := noon; i < noon+4; i++ {
		sum := 0.
		for d := 1; d <= 7; d++ {
			sum += light[i-24*d].ghi + light[i+24*d].ghi
		}
		near(t, "borrowed GHI", y.GHI[i], sum/14, 1e-9, "by hand: the mean of 14 days' same hour")
	}
	night := mustRead(t, missing(0, 6, func(h hourLight) hourLight { h.dni = 9999; return h }), ReadOptions{})
	if sumKWh(night.DNI[:6], 1) != 0 || !strings.Contains(notesOf(night), "while the sun is down, taken as 0") {
		t.Errorf("night: %v (%s)", night.DNI[:6], notesOf(night))
	}
	cold := mustRead(t, missing(8759, 2, func(h hourLight) hourLight { h.air = 99.9; return h }), ReadOptions{})
	if !strings.Contains(notesOf(cold), "dry bulb: 2 rows") { // over the turn of the year
		t.Errorf("notes: %s", notesOf(cold))
	}
	for q, spell := range map[string]func(hourLight) hourLight{
		"GHI":      func(h hourLight) hourLight { h.ghi = 9999; return h },
		"dry bulb": func(h hourLight) hourLight { h.air = 99.9; return h },
	} {
		if _, err := readText(t, missing(0, 8760, spell), ReadOptions{FillLongGaps: true}); err == nil ||
			!strings.HasPrefix(err.Error(), "w.epw:9: "+q+": has no value in any row") {
			t.Errorf("%s missing all year: %v", q, err)
		}
	}
	calm := mustRead(t, missing(0, 8760, func(h hourLight) hourLight { h.wind = 999; return h }), ReadOptions{})
	if mean(calm.WindMS) != 0 || !strings.Contains(notesOf(calm), "the file has no wind") {
		t.Errorf("no wind: %s", notesOf(calm))
	}
	small := mustRead(t, missing(3, 2, func(h hourLight) hourLight { h.ghi = -2; return h }), ReadOptions{})
	if small.GHI[3] != 0 || !strings.Contains(notesOf(small), "a little below 0 in 2 rows, taken as 0; the first is line 12") {
		t.Errorf("small negative: %s", notesOf(small))
	}
}

func TestFilesWithoutParts(t *testing.T) {
	light := lightOf(false, 0)
	drop := func(columns ...string) string {
		header := tmy3Header
		for _, c := range columns {
			header = strings.Replace(header, c+" (W/m^2)", "other "+c, 1)
		}
		return file(header, tmy3Row, light, nil)
	}
	whole := mustRead(t, drop(), ReadOptions{})
	for what, r := range map[string]struct {
		text, note string
		tolFrac    float64
	}{
		"no DHI": {drop("DHI"), "no diffuse light: it is GHI - DNI cos z", 0.001},
		"no DNI": {drop("DNI"), "no beam: DNI is (GHI - DHI)/cos z", 0.005},
		"GHI":    {drop("DNI", "DHI"), "global light only", 0.25},
	} {
		y := mustRead(t, r.text, ReadOptions{})
		near(t, what+": GHI", sumKWh(y.GHI, 1), sumKWh(whole.GHI, 1), 1e-9, "theorem: a split does not touch GHI")
		near(t, what+": DNI", sumKWh(y.DNI, 1)/sumKWh(whole.DNI, 1), 1, r.tolFrac, "the whole file; Erbs was not made for a year without clouds")
		near(t, what+": closure", closure(y), 0, 0.6, "theorem: the parts add up, but for the lowest sun")
		if !strings.Contains(notesOf(y), r.note) {
			t.Errorf("%s: notes %q; want %q", what, notesOf(y), r.note)
		}
	}
}

func TestOtherPlace(t *testing.T) {
	text := file(epwHeader, epwRow, lightOf(false, 0), nil)
	site := Place{LatDeg: 47.5, LonDeg: 8.5, ElevationM: 1200, UTCOffset: time.Hour}
	y := mustRead(t, text, ReadOptions{Place: &site})
	if y.Place != site || y.Suns[4000] != Suns(site, y.Axis, 0)[4000] {
		t.Error("the sun must be that of the site")
	}
	// By hand: 0.5 deg of latitude is 55.6 km, 0.5 deg of longitude at 47.25 deg 37.7 km; 2 min of time.
	for _, want := range []string{"from 67 km away", "-2 min", "700 m lower"} {
		if !strings.Contains(notesOf(y), want) {
			t.Errorf("notes %q; want %q", notesOf(y), want)
		}
	}
}

// The whole clear day of checks-sun.md 6.6, in a file of such days.
func TestClearDayFixture(t *testing.T) {
	etr := [24]float64{6: 49, 306, 572, 799, 973, 1081, 1115, 1073, 959, 780, 549, 281, 35}
	etrn := [24]float64{6: 838, 1378, 1378, 1378, 1378, 1378, 1378, 1378, 1378, 1378, 1378, 1378, 700}
	day := [24]hourLight{
		{air: -1.7, wind: 4.1}, {air: -1.1, wind: 2.6}, {air: -0.6, wind: 2.1}, {air: -1.1}, {air: -2.8, wind: 2.1}, {air: -3.3, wind: 2.6},
		{31, 140, 15, -3.3, 2.6}, {172, 627, 36, 1.1, 2.1}, {389, 811, 56, 3.9, 2.6}, {591, 898, 73, 6.7, 2.6}, {750, 953, 80, 8.9, 2.1},
		{852, 978, 86, 10.6, 3.1}, {883, 984, 88, 11.7, 1.5}, {847, 978, 86, 13.3, 2.6}, {740, 950, 79, 15.0, 4.1}, {578, 902, 68, 15.6, 2.1},
		{374, 810, 53, 15.0, 2.1}, {156, 603, 34, 13.3, 3.6}, {27, 109, 14, 11.7, 3.1},
		{air: 9.4, wind: 2.6}, {air: 7.8, wind: 2.6}, {air: 6.7, wind: 3.1}, {air: 6.1, wind: 3.1}, {air: 5.0, wind: 3.6},
	}
	light := make([]hourLight, 8760)
	for i := range light {
		light[i] = day[i%24]
	}
	header := strings.Replace(tmy3Header, "999999,\"TESTHOF, UPPER\",XX,1.0,47.000,8.000,500", "723170,\"TESTHOF\",XX,-5.0,36.100,-79.950,273", 1)
	y := mustRead(t, file(header, tmy3Row, light, nil), ReadOptions{Axis: yearAxis(t, 1990, time.Hour, -5*time.Hour)})
	from := (31 + 28 + 20) * 24 // 21 Mar 1990, the day of the rows
	g := newGenerator(y.Place, clock.Axis{Start: y.Axis.Start, Step: time.Hour, N: 8760})
	for h := range 24 {
		i := from + h
		s := y.Suns[i]
		src := "checks-sun.md 6.6, clearest day"
		scale := 1367 / SolarConstantWM2 // the file's constant
		if 8 <= h && h < 17 {
			near(t, "closure", y.DHI[i]+y.DNI[i]*s.CosZenith(), y.GHI[i], 5,
				src+"; relaxed: the file made this day's parts with the sun of the day before, at which they close to 1.5 W/m²")
			near(t, "normal outside the air", ExtraterrestrialWM2(s.DistanceAU)*scale, etrn[h], 1.5, src)
		}
		near(t, "outside the air", g.hour[i].outsideWM2*scale, etr[h], 3.5, src+"; half an hour off would be 67")
	}
	near(t, "a day's beam", sumKWh(y.DNI[from:from+24], 1), 9.743, 1e-9, "by hand: the sum of the column")
}

// A header without a place is mended by the site; a clock that the file's place cannot have is refused.
func TestUnsoundPlace(t *testing.T) {
	text := file(epwHeader, epwRow, lightOf(false, 0), replace(1, ",47.0,8.0,1,500", ",470,8.0,1,500"))
	y := mustRead(t, text, ReadOptions{Place: &testhof})
	if y.Place != testhof || len(y.Notes) != 1 || !strings.Contains(y.Notes[0].Text, "the file's place is not sound (latitude: is 470") {
		t.Errorf("place %+v, notes %s", y.Place, notesOf(y))
	}
	_, err := readText(t, file(epwHeader, epwRow, lightOf(false, 0), nil), ReadOptions{Axis: yearAxis(t, 2026, time.Hour, 8*time.Hour)})
	if err == nil || !strings.HasPrefix(err.Error(), "w.epw:1: the study's clock: UTC offset: is +8 h at longitude 8") {
		t.Errorf("a file 7 h from the study's clock: %v", err)
	}
}
