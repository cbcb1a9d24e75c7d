package sky

import (
	"fmt"
	"math"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// clockH is a time of day in hours.
func clockH(t *testing.T, s string) float64 {
	t.Helper()
	at, err := time.Parse("15:04:05", s)
	if err != nil {
		t.Fatal(err)
	}
	return float64(at.Hour()) + float64(at.Minute())/60 + float64(at.Second())/3600
}

func TestSunDays(t *testing.T) {
	t.Parallel()
	// The algorithm's rise and set belong to a day of UT: a sunset after 0:00 UT is that of the local day before.
	const golden, report = "public solar library's tests after the NREL SPA calculator (checks-sun.md 1.1)", "NREL/TP-560-34302 worked rise and set, read in a public solar library's tests (checks-sun.md 1.1)"
	for _, tt := range []struct {
		lat, lon        float64
		utc             int
		date            string
		rise, noon, set string // empty: not in the source
		tolS            float64
		src             string
	}{
		{39.742476, -105.1786, -7, "2003-10-17", "06:12:43", "11:46:05", "", 2, "NREL/TP-560-34302, the example's place and day (checks-sun.md 1.1)"},
		{39.742476, -105.1786, -7, "2003-10-16", "", "", "17:20:19", 2, "NREL/TP-560-34302, the example's sunset, 0:20:19 UT of 17 October (checks-sun.md 1.1)"},
		{39.742476, -105.1786, -7, "2015-01-02", "07:21:55", "12:04:45", "16:47:43", 2, golden},
		{39.742476, -105.1786, -7, "2015-08-02", "05:00:27", "12:06:58", "", 2, golden},
		{39.742476, -105.1786, -7, "2015-08-01", "", "", "19:13:58", 2, golden + ", 2:13:58 UT of 2 August"},
		{-35, 0, 0, "1996-07-05", "07:08:15", "", "17:01:04", 2, report},
		{-35, 0, 0, "2004-12-04", "04:38:57", "", "19:02:02", 2, report},
		{35, 0, 0, "1994-01-02", "07:08:12", "", "16:59:55", 2, report},
	} {
		start, err := time.ParseInLocation(time.DateOnly, tt.date, time.FixedZone("", tt.utc*3600))
		if err != nil {
			t.Fatal(err)
		}
		p := Place{LatDeg: tt.lat, LonDeg: tt.lon, UTCOffset: time.Duration(tt.utc) * time.Hour}
		days := SunDays(p, clock.Axis{Start: start, Step: time.Hour, N: 24})
		if len(days) != 1 {
			t.Fatalf("%s: %d days; want 1", tt.date, len(days))
		}
		for _, got := range []struct {
			what string
			h    float64
			want string
		}{{"rise", days[0].RiseH, tt.rise}, {"noon", days[0].NoonH, tt.noon}, {"set", days[0].SetH, tt.set}} {
			if got.want == "" {
				continue
			}
			if off := 3600 * (got.h - clockH(t, got.want)); math.Abs(off) > tt.tolS {
				t.Errorf("%s of %s at %g, %g: %.4f h, %.1f s off %s (%s)", got.what, tt.date, tt.lat, tt.lon, got.h, off, got.want, tt.src)
			}
		}
	}
}

// TestSunDaysAgree asks the sun's position itself: at rise and set it stands at the horizon, at noon it culminates.
func TestSunDaysAgree(t *testing.T) {
	t.Parallel()
	for _, p := range []Place{{LatDeg: 38, LonDeg: 29, UTCOffset: 3 * time.Hour}, {LatDeg: -33, LonDeg: -71, UTCOffset: -4 * time.Hour}, {LatDeg: 64.8, LonDeg: -147.7, UTCOffset: -9 * time.Hour}, {LatDeg: 1, LonDeg: 103, UTCOffset: 8 * time.Hour}} {
		a, err := clock.NewYear(2026, time.Hour, p.UTCOffset)
		if err != nil {
			t.Fatal(err)
		}
		for d, day := range SunDays(p, a) {
			at := func(h float64) Sun {
				return SunAt(p, a.Start.AddDate(0, 0, d).Add(time.Duration(h*float64(time.Hour))))
			}
			for _, h := range []float64{day.RiseH, day.SetH} {
				if z := at(h).ZenithDeg; math.Abs(z-90.8333) > 0.01 { // the table's 2 s are 0.008 deg
					t.Errorf("%+v day %d: zenith %.4f at %g h; want 90.8333", p, d, z, h)
				}
			}
			if z := at(day.NoonH).ZenithDeg; at(day.NoonH-0.2).ZenithDeg < z || at(day.NoonH+0.2).ZenithDeg < z {
				t.Errorf("%+v day %d: the sun is higher before or after %g h", p, d, day.NoonH)
			}
		}
	}
}

func TestSunDaysAtThePole(t *testing.T) {
	t.Parallel()
	p := Place{LatDeg: 78, LonDeg: 15, UTCOffset: time.Hour}
	a, err := clock.NewYear(2026, time.Hour, p.UTCOffset)
	if err != nil {
		t.Fatal(err)
	}
	days := SunDays(p, a)
	if june := days[171]; !june.AlwaysUp || !math.IsNaN(june.RiseH) || !june.up(0, 1) {
		t.Errorf("21 June at 78 N: %+v; want a sun that is always up", june)
	}
	if december := days[354]; december.AlwaysUp || !math.IsNaN(december.SetH) || december.up(12, 13) {
		t.Errorf("21 December at 78 N: %+v; want no sun", december)
	}
}

// TestWayOfRealFiles: the file whose light stands an hour off for nine months shows it in both figures, a sound one
// in neither (weather/INDEX.md, expected.json).
func TestWayOfRealFiles(t *testing.T) {
	for _, tt := range []struct {
		name      string
		early     [12]bool // by about an hour
		leastDark float64
		mostDark  float64
		within    float64 // min, of the other months
		src       string
	}{
		{"honolulu-usa-tmy3.csv", [12]bool{true, false, false, true, true, true, true, true, false, true, true, true}, 0.002, 1, 20, "INDEX.md: the light stands at the label -30 min in February, March and September, +30 in the others; all is read at -30"},
		{"tucson-usa-tmy3.csv", [12]bool{}, 0, 2e-5, 15, "INDEX.md: sound"},
		{"santiago-chile-tmyx.epw", [12]bool{}, 0, 1e-3, 25, "INDEX.md: sound"},
	} {
		y := readWay(t, tt.name)
		got := TimingOf(y, SunDays(y.Place, y.Axis))
		t.Logf("%s: %s; dark share GHI %.2e, DNI %.2e", tt.name, fmt.Sprint(got.ClearDaysMin), got.DarkGHI, got.DarkDNI)
		for m, early := range tt.early {
			want := 0.0
			if early {
				want = -60
			}
			if math.Abs(got.ClearDaysMin[m]-want) > tt.within {
				t.Errorf("%s month %d: the middle of clear days is %.0f min after noon; want %.0f within %.0f (%s)", tt.name, m+1, got.ClearDaysMin[m], want, tt.within, tt.src)
			}
		}
		if got.DarkGHI < tt.leastDark || got.DarkGHI > tt.mostDark {
			t.Errorf("%s: %.2e of the GHI falls while the sun is down; want %.0e to %.0e (%s)", tt.name, got.DarkGHI, tt.leastDark, tt.mostDark, tt.src)
		}
	}
}

func readWay(t *testing.T, name string) Year {
	t.Helper()
	f := openWeather(t, name)
	zone := map[string]time.Duration{"honolulu-usa-tmy3.csv": -10, "tucson-usa-tmy3.csv": -7, "santiago-chile-tmyx.epw": -4}[name] * time.Hour
	a, err := clock.NewYear(2026, time.Hour, zone)
	if err != nil {
		t.Fatal(err)
	}
	y, err := Read(f, name, ReadOptions{Axis: a})
	if err != nil {
		t.Fatal(err)
	}
	return y
}
