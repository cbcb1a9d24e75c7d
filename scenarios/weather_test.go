package scenarios

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
)

// dayLight is a plain csv of hours in local standard time with a made sun: comma decimals, kWh and kelvin.
func dayLight(year int, header string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for at := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == year; at = at.Add(time.Hour) {
		ghi := 0.
		if h := at.Hour(); h >= 6 && h < 18 {
			ghi = 0.03 * float64(min(h-5, 18-h)*min(h-5, 18-h)) / 2
		}
		fmt.Fprintf(&b, "%s;%s;%s\n", at.Format("02.01.2006 15:04"), strings.Replace(fmt.Sprintf("%.3f", ghi), ".", ",", 1), "288,15")
	}
	return b.String()
}

// weatherIn puts a weather block into the plain scenario.
func weatherIn(t testing.TB, block string) string {
	t.Helper()
	from, to := strings.Index(plain, "  monthly:"), strings.Index(plain, "time: {")
	return with(t, plain[from:to], block)
}

const columns = "  columns:\n    time: Zeit\n    ghi: {column: Global, unit: kWh/m2}\n    air: {column: Luft, unit: K}\n"

func TestPlainWeather(t *testing.T) {
	t.Parallel()
	folder := files{"a.csv": dayLight(2017, "Zeit;Global;Luft"), "b.csv": dayLight(2018, "Zeit;Global;Luft")}
	for name, block := range map[string]string{
		"one file":      "  file: a.csv\n" + columns + "  times: start\n  clock: standard\n",
		"of two years":  "  files: [a.csv, b.csv]\n  year: 2018\n" + columns + "  times: start\n  clock: standard\n  decimal: comma\n  delimiter: semicolon\n  dates: day-month-year\n",
		"with most_gap": "  file: a.csv\n  most_gap: 6 h\n  missing: [nan]\n" + columns + "  times: start\n  clock: standard\n",
	} {
		c, err := Parse("my.yaml", []byte(weatherIn(t, block)), folder.open)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		// By hand: 11-12 h has 0.015 * 36 = 0.54 kWh/m2 in its hour; 288.15 K is 15 degC.
		if i := 100*24 + 11; c.Weather.GHI[i] != 540 || c.Weather.AirC[i] < 14.999 || c.Weather.AirC[i] > 15.001 {
			t.Errorf("%s: %g W/m², %g °C; want 540 and 15", name, c.Weather.GHI[i], c.Weather.AirC[i])
		}
		if told := "as no year comes first in it"; warned(c, told) == strings.Contains(block, "dates") {
			t.Errorf("%s: %v; want %q told where the order of dates is not written", name, c.Warnings, told)
		}
		want := 2017
		if strings.Contains(block, "2018") {
			want = 2018
		}
		if c.Weather.Measured != want {
			t.Errorf("%s: of %d; want %d", name, c.Weather.Measured, want)
		}
	}
}

func TestWrongWeather(t *testing.T) {
	t.Parallel()
	folder := files{"a.csv": dayLight(2017, "Zeit;Global;Luft"), "b.csv": dayLight(2018, "Zeit;Global;Luft"), "bare.csv": dayLight(2017, "Zeit;Global;x")}
	told := "  times: start\n  clock: standard\n"
	for _, c := range []struct{ name, block, want string }{
		{"file and files", "  file: a.csv\n  files: [b.csv]\n", "5: weather: has file and files; want one of the two"},
		{"files and months", "  files: [b.csv]\n  monthly: {ghi: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1 kWh/m2d], air: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1 degC]}\n", "5: weather: has a file and monthly means; want one of the two"},
		{"plain without columns", "  file: a.csv\n", `5: weather.file: a.csv:1: format: the first line is "Zeit;Global;Luft"; want an EPW (LOCATION,...), a TMY3 csv (station,name,state,...), a PVGIS typical year, an NSRDB PSM csv, a BSRN station-to-archive file (*C0001), or a plain CSV whose columns are named`},
		{"no times, no clock", "  file: a.csv\n" + columns,
			"5: weather.times: is missing, and the sun must be known to the minute; write times: start, end or middle of the interval that a row is the mean of, or times: instant\n" +
				"5: weather.clock: is missing; write clock: standard for the site's local standard time without summer time, or clock: UTC"},
		{"no unit", "  file: a.csv\n  columns: {time: Zeit, ghi: {column: Global}}\n" + told, `6: weather.columns.ghi.unit: is missing; write for example "unit: W/m2"`},
		{"unit in the name", "  file: a.csv\n  columns: {time: Zeit, ghi: {column: \"Global (kWh/m²)\"}}\n" + told, `6: weather.columns.ghi.unit: is missing; the column's name says "unit: kWh/m2"`},
		{"unknown unit", "  file: a.csv\n  columns: {time: Zeit, ghi: {column: Global, unit: kWh/m²}}\n" + told, `6: weather.columns.ghi.unit: "kWh/m²" is not known; write "kWh/m2"`},
		{"unit of another thing", "  file: a.csv\n  columns: {time: Zeit, ghi: {column: Global, unit: K}}\n" + told, `6: weather.columns.ghi.unit: "K" is a unit of temperature; want W/m2, kW/m2, Wh/m2, kWh/m2, kJ/m2, MJ/m2, J/m2 or J/cm2`},
		{"no column", "  file: a.csv\n  columns: {time: Zeit, ghi: {unit: W/m2}}\n" + told, `6: weather.columns.ghi.column: is missing; write for example "column: Global"`},
		{"no light", "  file: a.csv\n  columns: {time: Zeit, air: {column: Luft, unit: K}}\n" + told, `6: weather.columns: columns: no ghi and no dni; want at least one of them`},
		{"no time", "  file: a.csv\n  columns: {ghi: {column: Global, unit: W/m2}}\n" + told, `6: weather.columns.time: is missing; write the name of the column with date and time, or its number`},
		{"time twice", "  file: a.csv\n  columns: {time: Zeit, time_parts: [a, b, c], ghi: {column: Global, unit: W/m2}}\n" + told, `6: weather.columns.time: stands beside time_parts; want one of the two`},
		{"two parts", "  file: a.csv\n  columns: {time_parts: [a, b], ghi: {column: Global, unit: W/m2}}\n" + told, `6: weather.columns.time_parts[1]: stands with 2 columns; want year, month, day, and as far as there are such hour and minute`},
		{"no such column", "  file: a.csv\n  columns: {time: Zeit, ghi: {column: GHI, unit: kWh/m2}}\n" + told, `5: weather.file: a.csv:1: columns: ghi: no "GHI" among "Zeit", "Global", "Luft"`},
		{"no temperature", "  file: a.csv\n  columns: {time: Zeit, ghi: {column: Global, unit: kWh/m2}}\n" + told, `5: weather.file: a.csv:2: dry bulb: the file has no temperature; want it given beside the file, as twelve monthly means or one value`},
		{"three temperatures", "  file: a.csv\n  air: [1, 2, 3 degC]\n  columns: {time: Zeit, ghi: {column: Global, unit: kWh/m2}}\n" + told, `6: weather.air[1]: stands with 3 values; want twelve monthly means, or one`},
		{"two years", "  files: [a.csv, b.csv]\n" + columns + told, `5: weather.files[1]: a.csv:1: years: has rows of 2017, 2018; want one picked, such as "year: 2018"`},
		{"no such year", "  files: [a.csv, b.csv]\n  year: 2020\n" + columns + told, `5: weather.files[1]: a.csv:1: years: has no rows of 2020; want one of 2017, 2018`},
		{"no such file", "  files: [a.csv, c.csv]\n" + columns + told, `5: weather.files[2]: "c.csv": file does not exist`},
		{"other columns", "  files: [a.csv, bare.csv]\n" + columns + told, `5: weather.files[1]: bare.csv:1: columns: air: no "Luft" among "Zeit", "Global", "x"`},
		{"gap too wide", "  file: a.csv\n  most_gap: 3 d\n" + columns + told, `6: weather.most_gap: "3 d" is out of range; want more than 0 h and at most 48 h`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := Parse("my.yaml", []byte(weatherIn(t, c.block)), folder.open)
			if err == nil {
				t.Fatal("it is read without an error")
			}
			if got := strings.ReplaceAll("\n"+err.Error(), "\nmy.yaml:", "\n")[1:]; got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

// Keys without effect are told.
func TestIdleWeatherKeys(t *testing.T) {
	t.Parallel()
	c, err := Parse("my.yaml", []byte(with(t, "  monthly:\n", "  most_gap: 6 h\n  monthly:\n")), nil)
	if err != nil {
		t.Fatal(err)
	}
	if !warned(c, "year, most_gap, air and columns have no effect without a file") {
		t.Errorf("warnings %v", c.Warnings)
	}
	const folder = "../../shared/weather"
	if _, err := os.Stat(folder); err != nil {
		t.Skipf("no weather files in %s", folder)
	}
	input := strings.Replace(weatherIn(t, "  file: po-valley-italy-pvgis.csv\n  clock: UTC\n  seed: 3\n"),
		"{latitude: 37 deg, longitude: 31 deg, elevation: 0 m, utc_offset: +2 h}", "{latitude: 45 deg, longitude: 8 deg, elevation: 250 m, utc_offset: +1 h}", 1)
	c, err = Parse("my.yaml", []byte(input), Beside(folder))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"weather.clock: has no effect without columns", "weather.seed: has no effect on a weather file", "po-valley-italy-pvgis.csv: the file's clock is UTC+0 h, the study's UTC+1 h: its rows are moved by +60 min"} {
		if !warned(c, want) {
			t.Errorf("warnings %v\n\twant %s", c.Warnings, want)
		}
	}
}

func warned(c Case, text string) bool {
	for _, w := range c.Warnings {
		if strings.Contains(w.Text, text) {
			return true
		}
	}
	return false
}
