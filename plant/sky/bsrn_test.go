package sky

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"
)

// minuteLight is what a made station says of one minute.
type minuteLight struct{ ghi, dni, dhi, air float64 }

// bsrnText writes station-to-archive text minute by minute, as a stream. The layout is that of GCOS-174 table A1.
type bsrnText struct {
	at, end time.Time
	light   func(time.Time) (minuteLight, bool)
	left    []byte
}

func (b *bsrnText) Read(p []byte) (int, error) {
	if len(b.left) == 0 {
		if !b.at.Before(b.end) {
			return 0, io.EOF
		}
		var s strings.Builder
		rows := 0
		if b.at.Day() == 1 && b.at.Hour() == 0 && b.at.Minute() == 0 {
			fmt.Fprintf(&s, "*C0001\n 99 %2d %4d  1\n        2        3        4        5\n*U0003\nXXX\n*C0004\n -1 -1 -1\n 11  2\nTesthof\n"+
				"+00                  +00\n0.0.0.0         someone\n 137.000 188.000  500 XXXXX\n -1 -1 -1\n   0  0  90  2\n*C0100\n", b.at.Month(), b.at.Year())
		}
		for ; s.Len() < 4096 && b.at.Before(b.end); b.at = b.at.Add(time.Minute) {
			if b.at.Day() == 1 && b.at.Hour() == 0 && b.at.Minute() == 0 && rows > 0 {
				break // a new month begins with its head
			}
			rows++
			v, there := b.light(b.at)
			if !there {
				continue
			}
			fmt.Fprintf(&s, " %2d %4d   %4.0f %5.1f %4d %4d   %4.0f %5.1f %4d %4d\n           %4.0f %5.1f %4d %4d   %4d %5.1f %4d %4d    %5.1f %5.1f %4d\n",
				b.at.Day(), b.at.Hour()*60+b.at.Minute(), v.ghi, 1., 0, 0, v.dni, 1., -999, -999, v.dhi, -99.9, 0, 0, 300, 0., 300, 300, v.air, 50., 950)
		}
		if b.at.Before(b.end) && b.at.Day() == 1 && b.at.Hour() == 0 && b.at.Minute() == 0 {
			s.WriteString("*U0300\n 1 0   -999 -99.9 -999 -999\n")
		}
		b.left = []byte(s.String())
	}
	n := copy(p, b.left)
	b.left = b.left[n:]
	return n, nil
}

// clearMinutes is a clear sky over the made station, whole W/m², by its sun in the middle of each minute.
func clearMinutes(year int) func(time.Time) (minuteLight, bool) {
	axis := clockAxis(year)
	all := make([]minuteLight, axis.N)
	for i, s := range Suns(testhof, axis, 0) {
		if s.ZenithDeg < 92 {
			l := ClearSkyAt(testhof, s, 3)
			all[i] = minuteLight{math.Round(l.GHI), math.Round(l.DNI), math.Round(l.DHI), 10}
		}
	}
	return func(at time.Time) (minuteLight, bool) { return all[int(at.Sub(axis.Start)/time.Minute)], true }
}

func TestBSRN(t *testing.T) {
	unraced(t)
	if testing.Short() {
		t.Skip("a year by the minute")
	}
	start := time.Date(2017, 1, 1, 0, 0, 0, 0, time.UTC)
	clear := clearMinutes(2017)
	noon := time.Date(2017, 6, 21, 11, 20, 0, 0, time.UTC)
	light := func(at time.Time) (minuteLight, bool) {
		v, _ := clear(at)
		v.air = float64(at.Hour()) + float64(at.Minute())/60
		switch since := at.Sub(noon); {
		case since >= 0 && since < 20*time.Minute: // without any value
			v = minuteLight{-999, -999, -999, -99.9}
		case since >= 30*time.Minute && since < 40*time.Minute: // not in the file
			return v, false
		case at.Hour() == 1 && at.Minute() == 0:
			v.ghi = -3 // a cold instrument at night
		}
		return v, true
	}
	year := func() io.Reader { return &bsrnText{at: start, end: start.AddDate(1, 0, 0), light: light} }
	y, err := Read(year(), "tes.dat", ReadOptions{Axis: yearAxis(t, 2026, time.Hour, time.Hour)})
	if err != nil {
		t.Fatal(err)
	}
	if y.Measured != 2017 || y.Place.LatDeg != 47 || y.Place.LonDeg != 8 || y.Place.ElevationM != 500 || y.LightOffset != 0 {
		t.Errorf("measured %d, place %+v, light %v; want 2017, 47 N 8 E 500 m (137 from the South Pole, 188 from 180 W), 0", y.Measured, y.Place, y.LightOffset)
	}
	for _, hour := range []int{24*100 + 8, 24*200 + 12} { // by the study's clock, UTC+1
		var want minuteLight
		for m := range 60 {
			v, _ := light(start.Add(time.Duration(hour-1)*time.Hour + time.Duration(m)*time.Minute))
			want.ghi, want.dni, want.dhi, want.air = want.ghi+v.ghi/60, want.dni+v.dni/60, want.dhi+v.dhi/60, want.air+v.air/60
		}
		const src = "by hand: the mean of the 60 rows"
		near(t, "GHI", y.GHI[hour], want.ghi, 1e-9, src)
		near(t, "DNI", y.DNI[hour], want.dni, 1e-9, src)
		near(t, "DHI", y.DHI[hour], want.dhi, 1e-9, src)
		near(t, "air", y.AirC[hour], want.air, 1e-9, src)
	}
	notes := notesOf(y)
	for _, want := range []string{
		"10 rows of the year are not in the file and count as missing", "GHI, DNI, DHI: 30 rows without a value in short gaps",
		"dry bulb: 30 rows without a value in short gaps, filled from their neighbours along a straight line",
		"a little below 0 in 365 rows", "extremely rare, GHI in 365 rows", "60 rows of the file make one step", "has no wind",
	} {
		if !strings.Contains(notes, want) {
			t.Errorf("notes %s\n\twant %q", notes, want)
		}
	}
	if strings.Contains(notes, "mistimed") || strings.Contains(notes, "contradict") || strings.Contains(notes, "differ by") {
		t.Errorf("a sound station: %s", notes)
	}
	clearNoon, _ := clear(noon.Add(5 * time.Minute))
	fine, err := Read(year(), "tes.dat", ReadOptions{Axis: yearAxis(t, 2026, time.Minute, time.Hour)})
	if err != nil {
		t.Fatal(err)
	}
	i := int(noon.Sub(start)/time.Minute) + 60 + 5
	near(t, "a filled minute", fine.DNI[i], clearNoon.dni, 2, "theorem: the clear-sky index fills a clear day")
	near(t, "a minute's air", fine.AirC[60], 0, 1e-9, "the row of 0:00 UTC")
	measured(t, fine, func(i int) (float64, bool) {
		if i < 60 { // by the study's clock, UTC+1: of the year before
			return 0, false
		}
		v, there := light(start.Add(time.Duration(i-60) * time.Minute))
		return v.dni, there && v.dni >= 0
	})
}

// Months in files of their own follow each other row by row; a note of a row names its file.
func TestBSRNMonths(t *testing.T) {
	start := time.Date(2016, 1, 1, 0, 0, 0, 0, time.UTC)
	light := func(at time.Time) (minuteLight, bool) {
		return minuteLight{ghi: float64(at.Hour()), dni: float64(at.Day()), dhi: float64(at.Month()), air: float64(at.Minute())}, true
	}
	var months []Input
	for m := range 3 {
		from := start.AddDate(0, m, 0)
		months = append(months, Input{fmt.Sprintf("tes%02d16.dat", m+1), &bsrnText{at: from, end: from.AddDate(0, 0, 31), light: light}})
	}
	months[1].R.(*bsrnText).end = start.AddDate(0, 2, 0)
	months[2].R.(*bsrnText).end = start.AddDate(0, 2, 1)
	y, err := open(months, ReadOptions{}).next()
	if err != nil {
		t.Fatal(err)
	}
	n := (31 + 29 + 1) * 1440
	for i := range n {
		at := start.Add(time.Duration(i) * time.Minute)
		got := [4]float64{y.columns[ghi][i], y.columns[dni][i], y.columns[dhi][i], y.columns[air][i]}
		if want := [4]float64{float64(at.Hour()), float64(at.Day()), float64(at.Month()), float64(at.Minute())}; got != want {
			t.Fatalf("%v: %v; want %v", at, got, want)
		}
	}
	if len(y.absent) != 1 || y.absent[0].from != n || !y.leap || y.year != 2016 {
		t.Errorf("absent %v, leap %v, year %d; want all from row %d on, a leap year, 2016", y.absent, y.leap, y.year, n)
	}
	y.noteRow(40*1440, "x")
	if at := y.notes[len(y.notes)-1]; at.File != "tes0216.dat" || at.Line != 16+9*2*1440 {
		t.Errorf("the row of 10 Feb 0:00 is %+v; want tes0216.dat, after 15 lines of head and 9 days", at)
	}
	if _, err := y.onAxis(ReadOptions{Axis: yearAxis(t, 2028, time.Hour, 0)}); err == nil || !strings.HasPrefix(err.Error(), "tes0316.dat:") {
		t.Errorf("a part of a year: %v", err)
	}
}

func TestBSRNRefuses(t *testing.T) {
	head := "*C0001\n 99  1 2017  1\n*C0004\n -1 -1 -1\n 11  2\nTesthof\n+00\n0.0.0.0\n 137.000 188.000  500 XXXXX\n -1 -1 -1\n"
	row := "  1    0      0   0.0    0    0      0   0.0    0    0\n                0   0.0    0    0    300   0.0  300  300      5.0  50.0  950\n"
	next := strings.Replace(row, "    0 ", "    1 ", 1)
	for _, r := range []struct{ what, text, want string }{
		{"no month", "*C0001\n 99 13 2017 1\n", `b:2: record 0001: " 99 13 2017 1"; want station, month, year and version`},
		{"no rows", head, "b:10: records: no *C0100; want the minutes of logical record 0100"},
		{"rows before the month", "*C0100\n", "b:1: record 0100: no record 0001 before it; want the month"},
		{"short station", "*C0001\n 99  1 2017  1\n*C0004\n -1 -1 -1\n*C0100\n", "b:5: record 0004: ends with 1 lines; want latitude, longitude and altitude in line 6"},
		{"degrees from the equator", strings.Replace(head, "137.000", "-47.000", 1), `b:9: record 0004: " -47.000 188.000  500 XXXXX"; want latitude 0 to 180 deg from the South Pole`},
		{"short row", head + "*C0100\n 1 0 5\n", "b:12: row: has 3 fields; want 10"},
		{"half a minute", head + "*C0100\n" + row[:strings.Index(row, "\n")+1], "b:12: file: ends before the second line of a minute"},
		{"minute 1440", head + "*C0100\n" + strings.Replace(row, "  1    0", "  1 1440", 1), `b:12: row: day "1", minute "1440"; want`},
		{"31 days", head + "*C0100\n" + strings.Replace(row, "  1    0", " 32    0", 1), "b:12: date: is 2017-01-32; want a day of the calendar"},
		{"text", head + "*C0100\n" + strings.Replace(row, "300", "3x0", 1) + strings.Replace(next, "     5.0", "     x.0", 1), `b:15: air temperature: "x.0" is not a number`},
		{"two minutes", head + "*C0100\n" + row + next, "b:14: rows: 525598 of 2017 are not in the file, from 1 Jan 00:02 to 31 Dec 23:59; want a whole year"},
		{"doubled", head + "*C0100\n" + row + next + next, "b:16: row: is 1 Jan 2017 00:01; want one after 1 Jan 2017 00:01 of line 14"},
	} {
		_, err := Read(strings.NewReader(r.text), "b", ReadOptions{Axis: yearAxis(t, 2026, time.Hour, time.Hour)})
		if err == nil || !strings.HasPrefix(err.Error(), r.want) {
			t.Errorf("%s: %v\n\twant %s", r.what, err, r.want)
		}
	}
}
