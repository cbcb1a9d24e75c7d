package sky

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"
)

// fuzzed are whole files of each format that a line may be put into. Kinds over the last are free text of two lines.
func fuzzed(tb testing.TB) []string {
	light := lightOf(false, 0)
	utc := stamps(false)
	var pvgis, js strings.Builder
	pvgis.WriteString("Latitude (decimal degrees): 47\nLongitude (decimal degrees): 8\nElevation (m): 500\nIrradiance Time Offset (h): 0.1\ntime(UTC),T2m,G(h),Gb(n),Gd(h),WS10m\n")
	js.WriteString("{\"inputs\": {\"location\": {\"latitude\": 47, \"longitude\": 8, \"irradiance_time_offset\": 0.1, \"elevation\": 500}}, \"outputs\": {\"tmy_hourly\": [\n")
	for i, h := range light {
		at := utc[i]
		label := fmt.Sprintf("2010%02d%02d:%02d00", at.month, at.day, at.hour-1)
		fmt.Fprintf(&pvgis, "%s,%g,%g,%g,%g,%g\n", label, h.air, h.ghi, h.dni, h.dhi, h.wind)
		comma := ","
		if i == 0 {
			comma = ""
		}
		fmt.Fprintf(&js, "%s{\"time(UTC)\": %q, \"T2m\": %g, \"G(h)\": %g, \"Gb(n)\": %g, \"Gd(h)\": %g, \"WS10m\": %g}\n", comma, label, h.air, h.ghi, h.dni, h.dhi, h.wind)
	}
	js.WriteString("]}}\n")
	psm := psmYears(2017, 2017)
	psm.skip = func(at time.Time) bool { return at.Minute() == 30 }
	plain := plainText("time,ghi,air,dni,wind", ",", "2006-01-02 15:04", 60, 60, func(i int) string {
		return fmt.Sprintf("%g,%g,%g,%g", light[i].ghi, light[i].air, light[i].dni, light[i].wind)
	})
	return []string{file(epwHeader, epwRow, light, nil), file(tmy3Header, tmy3Row, light, nil), pvgis.String(), js.String(), textOf(tb, psm), plain}
}

const fuzzPlain = 5

// FuzzRead puts any two lines into a sound file of each format, or makes a file of two texts. What is refused names file and
// line; what is read is whole, finite and bounded, and reads the same when written out again.
func FuzzRead(f *testing.F) {
	whole := fuzzed(f)
	epwLine := epwRow(stamp{1, 1, 12, 1}, hourLight{9999, -999, 30, 99.9, 999})
	seed := func(kind uint8, first, line string, at uint16) { f.Add(kind, first, line, at) }
	seed(0, "LOCATION,a,b,c,d,e,47,8,1,500", epwLine, 20)
	seed(0, "\xef\xbb\xbfLocation,\"a,b\",c,d,e,f,-47.5,-8.25,-1,0\r", strings.Replace(epwLine, "9999", "12.5e1", 1), 20)
	seed(0, "LOCATION,a,b,c,d,e,47,8,1,500", "DATA PERIODS,1,4,Data,Sunday,1/1,12/31", 8)
	seed(0, "LOCATION,a,b,c,d,e,47,8,1,500", "COMMENTS 2,Irradiance Time Offset (h):-0.8239", 7)
	seed(1, "1,a,b,1,47,8,500", tmy3Row(stamp{1, 1, 18, 1}, hourLight{-9900, 1, 2, -3, 4}), 20)
	seed(1, "1,a,b,5.75,27.7,85.3,1300,,,", "Date,Time,GHI (W/m^2),Dry-bulb (C)", 2)
	seed(2, "Latitude (decimal degrees): 47", "20100101:0600,1,2,-0.0,3,4", 12)
	seed(2, "Latitude (decimal degrees): -47", "Irradiance Time Offset (h): -1", 4)
	seed(3, whole[3][:strings.Index(whole[3], "\n")], ",{\"time(UTC)\": \"20100101:0100\", \"T2m\": null, \"G(h)\": 1e3}", 3)
	seed(3, "{\"outputs\": {\"tmy_hourly\": [", "]}, \"inputs\": [[[{}]]]}", 3)
	seed(4, "Source,Location ID,Latitude,Longitude,Time Zone,Elevation,Local Time Zone", "NSRDB,1,47,8,0,500,1", 2)
	seed(4, whole[4][:strings.Index(whole[4], "\n")], "2017,1,1,5,0,-1,1e2,,30,-999,,,", 9)
	seed(5, "time,ghi,air,dni,wind", "2026-01-01 06:00,\"1,5\",2,-99,4", 7)
	seed(5, "wind;dni;air;ghi;time", "1;2;3;4,5;1.1.2026 7:00 PM", 2)
	seed(9, "*C0001\n 99  1 2017  1\n*C0004\n -1 -1 -1\n 11  2\nx\n+0\n0\n 137.000 188.000  500 XXXXX\n*C0100",
		"  1    0      0   0.0    0    0      0   0.0    0    0\n      0   0.0    0    0    300   0.0  300  300      5.0  50.0  950\n  1  1   9 9 9 9 9 9 9 9\n  -999 1 1 1 1 1 1 1 -99.9", 2)
	seed(9, "*U0001\n 99  2 2016  1", "*U0004\n*U0100\n 29 1439 1 1 1 1 1 1 1 1\n1 1 1 1 1 1 1 1 1", 2)
	hasLine := regexp.MustCompile(`^fuzz\.csv:\d+: `)
	axis := yearAxis(f, 2026, time.Hour, time.Hour)
	form := &Plain{Time: []string{"time"}, Label: LabelEnd, GHI: Column{"ghi", unitOf(f, "ghi", "W/m2")}, Air: Column{"air", unitOf(f, "air", "degC")},
		DNI: Column{"dni", unitOf(f, "dni", "W/m2")}, Wind: Column{"wind", unitOf(f, "wind", "m/s")}}
	f.Fuzz(func(t *testing.T, kind uint8, first, line string, at uint16) {
		lines := []string{first, line}
		if int(kind) < len(whole) {
			lines = strings.Split(whole[kind], "\n")
			lines[0] = first
			if int(at) < len(lines) && at > 1 {
				lines[at-1] = line
			}
		}
		opt := ReadOptions{Axis: axis, FillLongGaps: int(kind) < len(whole), Place: &testhof, AirC: []float64{10}}
		if kind == fuzzPlain {
			opt.Plain = form
		}
		y, err := Read(strings.NewReader(strings.Join(lines, "\n")), "fuzz.csv", opt)
		if err != nil {
			if !hasLine.MatchString(err.Error()) || len(err.Error()) > 4000 {
				t.Fatalf("the error has no line or no end: %v", err)
			}
			return
		}
		checkWhole(t, y)
		again, err := Read(strings.NewReader(asEPW(y)), "again.epw", ReadOptions{Axis: axis})
		if err != nil {
			t.Fatalf("written out again: %v", err)
		}
		for i := range y.GHI {
			if y.GHI[i] != again.GHI[i] || y.DNI[i] != again.DNI[i] || y.DHI[i] != again.DHI[i] || y.WindMS[i] != again.WindMS[i] {
				t.Fatalf("step %d reads otherwise again", i)
			}
		}
	})
}

func checkWhole(t *testing.T, y Year) {
	t.Helper()
	if err := y.Place.Check(); err != nil {
		t.Fatal(err)
	}
	for q, v := range [quantities][]float64{y.GHI, y.DNI, y.DHI, y.AirC, y.WindMS} {
		if len(v) != y.Axis.N || len(y.Suns) != y.Axis.N {
			t.Fatalf("%s: %d values, %d suns on %d steps", known[q].name, len(v), len(y.Suns), y.Axis.N)
		}
		for i, x := range v {
			if !(x >= known[q].lowest && x <= max(known[q].above, aboveMinute)) {
				t.Fatalf("%s of step %d is %g", known[q].name, i, x)
			}
		}
	}
	for i, s := range y.Suns {
		if !(s.ZenithDeg >= 0 && s.ZenithDeg <= 180) || !(s.AzimuthDeg >= 0 && s.AzimuthDeg <= 360) {
			t.Fatalf("sun of step %d: %+v", i, s)
		}
	}
	for _, n := range y.Notes {
		if n.Text == "" || strings.Contains(n.Text, "%!") || strings.Contains(n.Text, "\n") {
			t.Fatalf("note %q", n.Text)
		}
	}
}

// asEPW writes an hourly year as a file of a place whose clock is that of the axis.
func asEPW(y Year) string {
	light := make([]hourLight, len(y.GHI))
	for i := range light {
		light[i] = hourLight{y.GHI[i], y.DNI[i], y.DHI[i], math.Round(y.AirC[i]), y.WindMS[i]}
	}
	return file(epwHeader, epwRow, light, nil)
}

// Units that are read are of the column's kind and turn a number into a finite one; what is not is told on one line.
func FuzzParseUnit(f *testing.F) {
	for _, s := range []string{"W/m2", "kWh/m²", "degC", "K", "mph", "W m^-2", "", "J/cm2", "°F", "k m/h"} {
		f.Add("ghi", s)
		f.Add("air", s)
		f.Add("wind", s)
	}
	f.Fuzz(func(t *testing.T, column, s string) {
		u, err := ParseUnit(column, s)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\r\x1b") {
				t.Fatalf("%q: poor error %q", s, err)
			}
			return
		}
		if again, err := ParseUnit(column, u.String()); err != nil || again != u || math.IsInf(u.value(1e300, 1), 0) || (column == "air") != (u.of == ofAir) {
			t.Fatalf("%q of %q is %+v, which reads as %+v, %v", s, column, u, again, err)
		}
	})
}

// Two files of a record that goes on, of any text: each year that comes out is whole, and what ends the reading names a file.
func FuzzReadYears(f *testing.F) {
	whole := fuzzed(f)
	for _, text := range whole {
		first, rest, _ := strings.Cut(text, "\n")
		f.Add(first+"\n"+rest[:min(len(rest), 2000)], rest[len(rest)/2:len(rest)/2+200])
	}
	head := textOf(f, &bsrnText{at: time.Date(2017, 1, 1, 0, 0, 0, 0, time.UTC), end: time.Date(2017, 1, 1, 0, 20, 0, 0, time.UTC), light: clearMinutes(2017)})
	f.Add(head, "*C0001\n 99  2 2017  1\n")
	f.Add(head, head)
	axis := yearAxis(f, 2026, time.Hour, time.Hour)
	hasLine := regexp.MustCompile(`^(weather|[ab]\.csv):(\d+:)? `)
	f.Fuzz(func(t *testing.T, a, b string) {
		if len(a)+len(b) > 1<<16 {
			return
		}
		n := 0
		for y, err := range ReadYears([]Input{{"a.csv", strings.NewReader(a)}, {"b.csv", strings.NewReader(b)}}, ReadOptions{Axis: axis, Place: &testhof, AirC: []float64{10}}) {
			if n++; n > len(a)+len(b) {
				t.Fatal("there is no end of years")
			}
			if err == nil {
				checkWhole(t, y)
				continue
			}
			for line := range strings.SplitSeq(err.Error(), "\n") {
				if !hasLine.MatchString(line) || len(line) > 4000 {
					t.Fatalf("the error has no line or no end: %q", line)
				}
			}
		}
	})
}
