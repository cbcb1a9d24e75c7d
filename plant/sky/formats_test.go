package sky

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// rawRows reads columns of a real file by their place, without any of our readers; header lines are skipped.
func rawRows(t *testing.T, name string, header int, columns ...int) [][]float64 {
	t.Helper()
	var rows [][]float64
	lines := bufio.NewScanner(openWeather(t, name))
	for n := 1; lines.Scan(); n++ {
		cell := strings.Split(lines.Text(), ",")
		if n <= header || len(cell) <= slices.Max(columns) {
			continue
		}
		row := make([]float64, len(columns))
		for i, c := range columns {
			v, err := strconv.ParseFloat(cell[c], 64)
			if err != nil {
				t.Fatalf("%s:%d: %v", name, n, err)
			}
			row[i] = v
		}
		rows = append(rows, row)
	}
	return rows
}

// pvgisAsJSON writes the csv of a typical year as the service's json does.
func pvgisAsJSON(t *testing.T, name string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("{\"inputs\": {\"location\": {\"latitude\": 45.0, \"longitude\": 8.0, \"irradiance_time_offset\": 0.1761, \"elevation\": 250.0}, " +
		"\"meteo_data\": {\"radiation_db\": \"x\", \"year_min\": 2005, \"deep\": [[{}]]}},\n\"outputs\": {\"months_selected\": [{\"month\": 1, \"year\": 2018}],\n\"tmy_hourly\": [")
	lines := bufio.NewScanner(openWeather(t, name))
	n := 0
	for lines.Scan() {
		c := strings.Split(lines.Text(), ",")
		if len(c) < 10 || c[0] == "time(UTC)" {
			continue
		}
		if n++; n > 1 {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, "\n{\"time(UTC)\": %q, \"T2m\": %s, \"RH\": %s, \"G(h)\": %s, \"Gb(n)\": %s, \"Gd(h)\": %s, \"WS10m\": %s}", c[0], c[1], c[2], c[3], c[4], c[5], c[7])
	}
	b.WriteString("]}, \"meta\": {\"inputs\": {\"location\": \"...\"}}}")
	return b.String()
}

// sameYears wants equal rows; wind may be rounded by a format.
func sameYears(t *testing.T, what string, a, b Year, windMS float64) {
	t.Helper()
	for q, pair := range [quantities][2][]float64{{a.GHI, b.GHI}, {a.DNI, b.DNI}, {a.DHI, b.DHI}, {a.AirC, b.AirC}, {a.WindMS, b.WindMS}} {
		if len(pair[0]) != len(pair[1]) {
			t.Fatalf("%s: %s has %d and %d steps", what, known[q].name, len(pair[0]), len(pair[1]))
		}
		different, tol := 0, 1e-9
		if q == wind {
			tol += windMS
		}
		for i, v := range pair[0] {
			if math.Abs(v-pair[1][i]) > tol {
				if different++; different <= 3 {
					t.Errorf("%s: %s of step %d is %g and %g", what, known[q].name, i, v, pair[1][i])
				}
			}
		}
		if different > 0 {
			t.Errorf("%s: %s differs in %d steps (expected.json, same_site: 8760 equal rows)", what, known[q].name, different)
		}
	}
	if a.LightOffset != b.LightOffset {
		t.Errorf("%s: light stands %v and %v from the step's middle", what, a.LightOffset, b.LightOffset)
	}
}

// The same place from each format is the same year.
func TestSamePlaceInEachFormat(t *testing.T) {
	const csv, epw = "po-valley-italy-pvgis.csv", "po-valley-italy-pvgis.epw"
	ten := 10*time.Minute + 34*time.Second
	for _, step := range []time.Duration{time.Hour, 15 * time.Minute} {
		axis := yearAxis(t, 2026, step, time.Hour)
		fromCSV := readReal(t, csv, ReadOptions{Axis: axis})
		fromEPW := readReal(t, epw, ReadOptions{Axis: axis, LightOffset: &ten})
		sameYears(t, "Po valley csv and epw", fromCSV, fromEPW, 0.05) // the epw has one decimal
		text := pvgisAsJSON(t, csv)
		fromJSON, err := Read(strings.NewReader(text), "po.json", ReadOptions{Axis: axis})
		if err != nil {
			t.Fatal(err)
		}
		sameYears(t, "Po valley csv and json", fromCSV, fromJSON, 0)
		if fromCSV.Source != fromJSON.Source || notesOf(fromCSV) != notesOf(fromJSON) {
			t.Errorf("csv and json say\n%s\n%s", notesOf(fromCSV), notesOf(fromJSON))
		}
		tmy, epwAxis := "tucson-usa-tmy3.csv", yearAxis(t, 2026, step, -7*time.Hour)
		site := Place{LatDeg: 32.167, LonDeg: -110.883, ElevationM: 809, UTCOffset: -7 * time.Hour}
		sameYears(t, "Tucson csv and epw", readReal(t, tmy, ReadOptions{Axis: epwAxis, Place: &site}),
			readReal(t, "tucson-usa-tmy3.epw", ReadOptions{Axis: epwAxis, Place: &site}), 0)
	}
}

// Tucson's years as a plain csv in other units, and Colorado's, give the same rows as their own formats.
func TestPlainOfRealFiles(t *testing.T) {
	const tmy = "tucson-usa-tmy3.csv"
	axis := yearAxis(t, 2026, time.Hour, -7*time.Hour)
	site := Place{LatDeg: 32.167, LonDeg: -110.883, ElevationM: 809, UTCOffset: -7 * time.Hour}
	rows := rawRows(t, tmy, 2, 4, 7, 10, 31, 46)
	var b strings.Builder
	b.WriteString("made from " + tmy + "\n\nZeit;Global [kWh/m²];Direkt [MJ/m²];Diffus;Luft;Wind\n")
	at := time.Date(2005, 1, 1, 1, 0, 0, 0, time.UTC)
	for i, r := range rows {
		comma := func(v float64) string {
			return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", ",", 1)
		}
		label := at.Add(time.Duration(i) * time.Hour)
		fmt.Fprintf(&b, "%s;%s;%s;%s;%s;%s\n", label.Format("2.1.2006 15:04"), comma(r[0]/1000), comma(r[1]*0.0036), comma(r[2]), comma(r[3]*1.8+32), comma(r[4]*3.6))
	}
	form := &Plain{
		Time: []string{"Zeit"}, Label: LabelEnd,
		GHI: Column{"Global [kWh/m²]", unitOf(t, "ghi", "kWh/m2")}, DNI: Column{"Direkt [MJ/m²]", unitOf(t, "dni", "MJ/m2")},
		DHI: Column{"Diffus", unitOf(t, "dhi", "W/m2")}, Air: Column{"Luft", unitOf(t, "air", "degF")}, Wind: Column{"6", unitOf(t, "wind", "km/h")},
	}
	y, err := Read(strings.NewReader(b.String()), "plain.csv", ReadOptions{Axis: axis, Place: &site, Plain: form})
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		near(t, "GHI", y.GHI[i], r[0], 1e-9, "the TMY3 file's own row")
		near(t, "DNI", y.DNI[i], r[1], 1e-9, "the TMY3 file's own row")
		near(t, "DHI", y.DHI[i], r[2], 1e-9, "the TMY3 file's own row")
		near(t, "air", y.AirC[i], r[3], 1e-9, "a mean of the interval stays in its step")
		near(t, "wind", y.WindMS[i], r[4], 1e-9, "the TMY3 file's own row")
	}
	if y.Measured != 2005 || !strings.Contains(notesOf(y), "has a comma: it is taken for the decimal sign") || strings.Contains(notesOf(y), "mistimed") {
		t.Errorf("measured %d, notes %s", y.Measured, notesOf(y))
	}
}

func unitOf(tb testing.TB, column, text string) Unit {
	tb.Helper()
	u, err := ParseUnit(column, text)
	if err != nil {
		tb.Fatal(err)
	}
	return u
}

// On an axis of its own step and clock each row of a file stands in the step of its label.
func TestRowExact(t *testing.T) {
	rows := rawRows(t, "northwest-colorado-usa-psm3-2017-30min.csv", 3, 6, 7, 5, 20, 16)
	axis := yearAxis(t, 2026, 30*time.Minute, -7*time.Hour)
	y := readReal(t, "northwest-colorado-usa-psm3-2017-30min.csv", ReadOptions{Axis: axis})
	for i, r := range rows {
		next := rows[(i+1)%len(rows)]
		near(t, "GHI", y.GHI[i], r[0], 0, "the file's own row")
		near(t, "DNI", y.DNI[i], r[1], 0, "the file's own row")
		near(t, "DHI", y.DHI[i], r[2], 0, "the file's own row")
		near(t, "air", y.AirC[i], (r[3]+next[3])/2, 1e-9, "by hand: the line from this reading to the next")
		near(t, "wind", y.WindMS[(i-1+len(rows))%len(rows)], r[4], 0, "by hand: a reading stands for the interval that it ends")
	}
	// By hand: the row of 00:30 is an instant in the middle between the steps; the sun of a step is that of its row.
	if y.LightOffset != -15*time.Minute || y.Measured != 2017 {
		t.Errorf("light offset %v, measured %d; want -15 min from the middle of the half hour, 2017", y.LightOffset, y.Measured)
	}
	po := rawRows(t, "po-valley-italy-pvgis.csv", 18, 3, 4, 5, 1)
	utc := yearAxis(t, 2026, time.Hour, 0)
	y = readReal(t, "po-valley-italy-pvgis.csv", ReadOptions{Axis: utc})
	for i, r := range po {
		near(t, "GHI", y.GHI[i], r[0], 0, "the file's own row")
		near(t, "DNI", y.DNI[i], r[1]+0, 0, "the file's own row")
		near(t, "DHI", y.DHI[i], r[2], 0, "the file's own row")
		near(t, "air", y.AirC[i], (r[3]+po[(i+1)%len(po)][3])/2, 1e-9, "by hand: the line from this reading to the next")
	}
	// INDEX.md: label + 10.6 min; 30 - 10.566 min before the middle of the hour that begins at the label.
	near(t, "light offset", y.LightOffset.Minutes(), -19.43, 0.01, "INDEX.md: label + 0.1761 h")
}

// The Fairbanks file: UTC labels, global light only, no temperature, light half an hour before its labels.
func TestFairbanks(t *testing.T) {
	const name = "fairbanks-usa-psm4-tmy-ghi-only.csv"
	axis := yearAxis(t, 2026, time.Hour, -9*time.Hour)
	_, err := Read(openWeather(t, name), name, ReadOptions{Axis: axis})
	if err == nil || !strings.HasPrefix(err.Error(), name+":4: dry bulb: the file has no temperature; want it given beside the file") {
		t.Fatalf("without temperature: %v", err)
	}
	rows := rawRows(t, name, 3, 5)
	y := readReal(t, name, ReadOptions{Axis: axis, AirC: []float64{-3}})
	for i := range rows {
		near(t, "GHI", y.GHI[i], rows[(i+9)%len(rows)][0], 0, "the row of the same instant, nine hours on in UTC")
	}
	near(t, "GHI of the year", sumKWh(y.GHI, 1), *expected(t, name).Annual["ghi"], 5e-4, "expected.json, annual_kWh_m2")
	near(t, "air", y.AirC[5000], -3, 0, "as told")
	for _, want := range []string{"light_offset: -30 min", "moved by -540 min", "global light only", "-3 °C is taken in every hour", "has no wind"} {
		if !strings.Contains(notesOf(y), want) {
			t.Errorf("notes %s\n\twant %q", notesOf(y), want)
		}
	}
	for m, v := range verdicts(t, name) {
		want := expected(t, name).Centroid.GHIByMonth[m]
		if m == 0 || m == 11 { // under 0.5 kWh/m² a day outside the air
			if !math.IsNaN(v.clearDays) && m == 11 {
				t.Errorf("December: %g; want no verdict of so little light", v.clearDays)
			}
			continue
		}
		near(t, "clear days of "+time.Month(m+1).String(), v.clearDays, want, 6, "expected.json, light_centroid; which days are the clearest fifth may differ")
	}
	half := -30 * time.Minute
	y = readReal(t, name, ReadOptions{Axis: axis, AirC: []float64{-22, -18, -11, 0, 10, 16, 17, 13, 7, -4, -16, -20}, LightOffset: &half})
	if strings.Contains(notesOf(y), "mistimed") {
		t.Errorf("at -30 min: %s", notesOf(y))
	}
	near(t, "mean of July", monthMeans(y.AirC, monthsOf(axis))[6], 17, 1e-9, "the mean that was told")
}

// What each known-awkward file is told to be, as INDEX.md says.
func TestAwkwardFiles(t *testing.T) {
	for _, r := range []struct {
		name string
		zone time.Duration
		want []string
	}{
		{"honolulu-usa-tmy3.csv", -10 * time.Hour, []string{"at the label +30 min in Jan, Apr-Aug, Oct-Dec", "no single light_offset suits this file",
			"quality limits (BSRN, Long and Dutton 2002): GHI and DHI + DNI cos z differ"}},
		{"po-valley-italy-pvgis.epw", time.Hour, []string{"the comment's light offset of -0.8239 h counts as if labels were an hour later; from the labels as they are it is +10.57 min",
			"+10 min in all months"}},
		{"po-valley-italy-pvgis.csv", time.Hour, []string{"moved by +60 min"}},
		{"fairbanks-usa-psm4-tmy-ghi-only.csv", -9 * time.Hour, []string{"perhaps mistimed light", "over the year they say -30 min"}},
		{"zurich-switzerland-2016-leap.epw", time.Hour, []string{"-55 min in all months", "GHI, DNI, DHI: 60 rows without a value in gaps of over 3 h", "29 Feb of the file is left out"}},
	} {
		y := readReal(t, r.name, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, r.zone), FillLongGaps: true, AirC: []float64{10}})
		for _, want := range r.want {
			if !strings.Contains(notesOf(y), want) {
				t.Errorf("%s: %s\n\twant %q", r.name, notesOf(y), want)
			}
		}
	}
	for name, zone := range map[string]time.Duration{"tucson-usa-tmy3.csv": -7, "tucson-usa-tmy3.epw": -7, "santiago-chile-tmyx.epw": -4} {
		if y := readReal(t, name, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, zone*time.Hour)}); len(y.Notes) > 0 {
			t.Errorf("%s: notes on a sound file: %s", name, notesOf(y))
		}
	}
}

// A PVGIS file of an older release does not say where its light stands.
func TestPVGISRefuses(t *testing.T) {
	text, err := io.ReadAll(openWeather(t, "po-valley-italy-pvgis.csv"))
	if err != nil {
		t.Fatal(err)
	}
	whole := string(text)
	js := pvgisAsJSON(t, "po-valley-italy-pvgis.csv")
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	for _, r := range []struct{ what, text, want string }{
		{"no place", strings.Replace(whole, "Elevation (m): 250.0", "x", 1), "w:18: header: no line \"Elevation (m):\""},
		{"bad number", strings.Replace(whole, "Longitude (decimal degrees): 8.000", "Longitude (decimal degrees): x", 1), "w:2: longitude (decimal degrees): \" x\" is not a number"},
		{"offset of hours", strings.Replace(whole, "0.1761", "9", 1), "w:18: irradiance time offset: is 9 h; want -1 to 1"},
		{"no G(h)", strings.Replace(whole, ",G(h),", ",G(i),", 1), "w:18: columns: no \"G(h)\" among 10"},
		{"a date of dots", strings.Replace(whole, "20180101:0300", "2018.01.01 03", 1), "w:22: time: \"2018.01.01 03\"; want year, month, day and time as 20180101:0000"},
		{"30 Feb", strings.Replace(whole, "20180101:0300", "20180230:0300", 1), "w:22: date: is 2018-02-30; want a day of the calendar"},
		{"doubled", strings.Replace(whole, "20180101:0300", "20180101:0200", 1), "w:22: row: is 1 Jan 2018 02:00; want one after 1 Jan 2018 02:00 of line 21"},
		{"half a year", whole[:strings.Index(whole, "20110701:0000")], "w:4362: rows: 4416 of the year are not in the file, from 1 Jul 00:00 to 31 Dec 23:00; want a whole year"},
		{"json cut", js[:len(js)/2], "w:4"},
		{"json without rows", `{"inputs": {"location": {}}, "outputs": {}}`, "w:1: outputs.tmy_hourly: is not there"},
		{"json with rows first", `{"outputs": {"tmy_hourly": []}, "inputs": {}}`, "w:1: inputs.location: does not stand before the rows"},
		{"json without latitude", `{"inputs": {"location": {}}, "outputs": {"tmy_hourly": []}}`, "w:1: inputs.location: lacks latitude"},
		{"json number", `{"inputs": 3}`, "w:1: json: 3 stands where '{' should"},
		{"json text", `{"inputs": {"location": "x"}}`, "w:1: json: cannot unmarshal string"},
		{"json array", `{[`, "w:1: invalid character"},
	} {
		_, err := Read(strings.NewReader(r.text), "w", ReadOptions{Axis: axis})
		if err == nil || !strings.HasPrefix(err.Error(), r.want) {
			t.Errorf("%s: %v\n\twant %s", r.what, err, r.want)
		}
	}
	old := strings.Replace(whole, "Irradiance Time Offset (h): 0.1761\n", "", 1)
	y, err := Read(strings.NewReader(old), "w", ReadOptions{Axis: axis})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"does not say where in the hour its light stands", "+10 min in all months"} {
		if !strings.Contains(notesOf(y), want) {
			t.Errorf("an old file: %s\n\twant %q", notesOf(y), want)
		}
	}
}

func TestPSMRefuses(t *testing.T) {
	whole := textOf(t, psmYears(2017, 2017))
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	at := func(old, new string) string { return strings.Replace(whole, old, new, 1) }
	for _, r := range []struct{ what, text, want string }{
		{"no latitude", at(",Latitude,", ",x,"), `p:2: latitude: "" is not a number`},
		{"no zone", at(",Time Zone,", ",x,"), `p:2: time zone: is ""; want hours ahead of UTC`},
		{"unit", at("500,1,w/m2", "500,1,MJ/m2"), `p:3: columns: GHI is in "MJ/m2"; want w/m2`},
		{"no minute", at(",Minute,", ",x,"), `p:3: columns: no "Minute" among 10`},
		{"no light", at(",GHI,DNI,", ",x,y,"), `p:3: columns: no "GHI" and no "DNI" among 10; want light`},
		{"twice", at(",DNI,DHI", ",DNI,dni"), `p:3: columns: "dni" stands twice, 7 and 8; want it once`},
		{"hour 24", at("2017,1,1,1,0,", "2017,1,1,24,0,"), "p:6: time: is 24:00; want hour 0 to 23 and minute 0 to 59"},
		{"text", at("2017,1,1,1,0,0", "2017,1,1,1,0,n/a"), `p:6: GHI: "n/a" is not a number`},
		{"short row", at("2017,1,1,1,0,0,0,0,27,1", "2017,1,1,1,0,0"), "p:6: row: has 6 fields; want DNI in field 7"},
		{"30 February", at("2017,1,1,1,0,", "2017,2,30,1,0,"), "p:6: date: is 2017-02-30; want a day of the calendar"},
		{"year 17", at("2017,1,1,1,0,", "17,1,1,1,0,"), "p:6: year: is 17; want 1800 to 2200"},
		{"other minutes", at("2017,1,1,1,0,", "2017,1,1,1,10,"), "p:6: time: is 01:10; want every 30 min, as in the first rows"},
		{"header alone", whole[:strings.Index(whole, "2017")], "p:1: rows: found 0; want a year of them"},
	} {
		_, err := Read(strings.NewReader(r.text), "p", ReadOptions{Axis: axis})
		if err == nil || !strings.HasPrefix(err.Error(), r.want) {
			t.Errorf("%s: %v\n\twant %s", r.what, err, r.want)
		}
	}
}
