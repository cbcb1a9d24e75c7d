package sky

import (
	"math"
	"regexp"
	"strings"
	"testing"
	"time"
)

// FuzzRead puts any two lines into a sound file of either format. What is refused names file and line; what is read is whole,
// finite and bounded, and reads the same when written out again.
func FuzzRead(f *testing.F) {
	light := lightOf(false, 0)
	whole := map[bool]string{
		false: file(epwHeader, epwRow, light, nil),
		true:  file(tmy3Header, tmy3Row, light, nil),
	}
	epwLine := epwRow(stamp{1, 1, 12, 1}, hourLight{9999, -999, 30, 99.9, 999})
	f.Add(false, "LOCATION,a,b,c,d,e,47,8,1,500", epwLine, uint16(20))
	f.Add(false, "\xef\xbb\xbfLocation,\"a,b\",c,d,e,f,-47.5,-8.25,-1,0\r", strings.Replace(epwLine, "9999", "12.5e1", 1), uint16(20))
	f.Add(false, "LOCATION,a,b,c,d,e,47,8,1,500", "DATA PERIODS,1,4,Data,Sunday,1/1,12/31", uint16(8))
	f.Add(true, "1,a,b,1,47,8,500", tmy3Row(stamp{1, 1, 18, 1}, hourLight{-9900, 1, 2, -3, 4}), uint16(20))
	f.Add(true, "1,a,b,5.75,27.7,85.3,1300,,,", "Date,Time,GHI (W/m^2),Dry-bulb (C)", uint16(2))
	hasLine := regexp.MustCompile(`^fuzz\.csv:\d+: `)
	axis := yearAxis(f, 2026, time.Hour, time.Hour)
	f.Fuzz(func(t *testing.T, tmy bool, first, line string, at uint16) {
		lines := strings.Split(whole[tmy], "\n")
		lines[0] = first
		if int(at) < len(lines) && at > 1 {
			lines[at-1] = line
		}
		y, err := Read(strings.NewReader(strings.Join(lines, "\n")), "fuzz.csv", ReadOptions{Axis: axis, FillLongGaps: true})
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
			if !(x >= known[q].lowest && x <= known[q].above) {
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
