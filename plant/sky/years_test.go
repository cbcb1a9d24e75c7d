package sky

import (
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"
)

// psmText writes an NSRDB PSM csv of half hours as a stream, at the made place in UTC+1, with 29 February only if asked for.
type psmText struct {
	at, end time.Time
	leap    bool
	skip    func(time.Time) bool
	left    []byte
	begun   bool
}

func (p *psmText) Read(into []byte) (int, error) {
	if len(p.left) == 0 {
		if !p.at.Before(p.end) {
			return 0, io.EOF
		}
		buf := p.left[:0]
		if !p.begun {
			p.begun = true
			buf = append(buf, "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone,GHI Units\nNSRDB,7,-,-,-,47.0,8.0,1,500,1,w/m2\n"+
				"Year,Month,Day,Hour,Minute,GHI,DNI,DHI,Temperature,Wind Speed\n"...)
		}
		for ; len(buf) < 8000 && p.at.Before(p.end); p.at = p.at.Add(30 * time.Minute) {
			if !p.leap && p.at.Month() == 2 && p.at.Day() == 29 || p.skip != nil && p.skip(p.at) {
				continue
			}
			h := float64(p.at.Hour()) + float64(p.at.Minute())/60
			sun := math.Max(0, math.Sin((h-6)/12*math.Pi))
			buf = fmt.Appendf(buf, "%d,%d,%d,%d,%d,%.0f,%.0f,%.0f,%d,%d\n", p.at.Year(), p.at.Month(), p.at.Day(), p.at.Hour(), p.at.Minute(), 500*sun, 400*sun, 200*sun, p.at.Year()-1990, p.at.Day()%9)
		}
		p.left = buf
	}
	n := copy(into, p.left)
	p.left = p.left[n:]
	return n, nil
}

func psmYears(from, to int) *psmText {
	return &psmText{at: time.Date(from, 1, 1, 0, 0, 0, 0, time.UTC), end: time.Date(to+1, 1, 1, 0, 0, 0, 0, time.UTC)}
}

func TestReadYears(t *testing.T) {
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	var got []int
	for y, err := range ReadYears([]Input{{"long.csv", psmYears(1998, 2003)}, {"more.csv", psmYears(2004, 2004)}}, ReadOptions{Axis: axis}) {
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, y.Measured)
		near(t, "air", mean(y.AirC), float64(y.Measured-1990), 1e-9, "the temperature tells the year")
		near(t, "GHI", y.GHI[12], (500+math.Round(500*math.Sin(6.5/12*math.Pi)))/2, 1e-9, "by hand: the mean of noon and half past")
	}
	if fmt.Sprint(got) != "[1998 1999 2000 2001 2002 2003 2004]" {
		t.Errorf("years %v", got)
	}
	y, err := Read(psmYears(1998, 2003), "long.csv", ReadOptions{Axis: axis, Year: 2001})
	if err != nil || y.Measured != 2001 || y.AirC[5] != 11 {
		t.Errorf("2001: %v, measured %d", err, y.Measured)
	}
	for want, opt := range map[string]ReadOptions{
		`long.csv:1: years: has rows of 1998 to 2003; want one picked, such as "year: 2003"`: {Axis: axis},
		"long.csv:1: years: has no rows of 2010; want one of 1998 to 2003":                   {Axis: axis, Year: 2010},
	} {
		if _, err := Read(psmYears(1998, 2003), "long.csv", opt); err == nil || err.Error() != want {
			t.Errorf("%v; want %s", err, want)
		}
	}
	// A year with a hole is told, and the next goes on; whoever has enough stops.
	holed := psmYears(1998, 2000)
	holed.skip = func(at time.Time) bool { return at.Year() == 1999 && at.Month() == 5 }
	var said []string
	for y, err := range ReadYears([]Input{{"long.csv", holed}}, ReadOptions{Axis: axis}) {
		var part *PartError
		said = append(said, fmt.Sprint(y.Measured, errors.As(err, &part)))
	}
	if strings.Join(said, ", ") != "1998 false, 1999 true, 2000 false" {
		t.Errorf("a hole in 1999: %v", said)
	}
	for range ReadYears([]Input{{"long.csv", psmYears(1998, 2000)}}, ReadOptions{Axis: axis}) {
		break
	}
}

// Leap days: left out by the file, or there.
func TestLeapOfYears(t *testing.T) {
	leapAxis := yearAxis(t, 2028, 30*time.Minute, time.Hour)
	with := psmYears(2020, 2020)
	with.leap = true
	feb29 := (31 + 28) * 48
	for _, r := range []struct {
		in   *psmText
		note string
		wind float64
	}{{with, "", 29 % 9}, {psmYears(2020, 2020), "29 Feb is not in the file: 28 Feb stands for it", 28 % 9}} {
		y, err := Read(r.in, "y.csv", ReadOptions{Axis: leapAxis})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "wind of 29 Feb", y.WindMS[feb29+10], r.wind, 0, "the wind tells the day")
		if !strings.Contains(notesOf(y), r.note) || r.note == "" && strings.Contains(notesOf(y), "29 Feb") {
			t.Errorf("notes %s; want %q", notesOf(y), r.note)
		}
	}
}

// A campaign from July to June is a year; one that lacks a month is not.
func TestOverNewYear(t *testing.T) {
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	campaign := func(from, to time.Time) *psmText { return &psmText{at: from, end: to, leap: true} }
	july, january := time.Date(2019, 7, 1, 0, 0, 0, 0, time.UTC), time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	y, err := Read(campaign(july, july.AddDate(1, 0, 0)), "c.csv", ReadOptions{Axis: axis})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "January", y.AirC[100], 30, 0, "of 2020")
	near(t, "December", y.AirC[8700], 29, 0, "of 2019")
	for _, want := range []string{"the rows run over new year: 1 Jan 00:00 to 30 Jun 23:30 are of 2020, the others of 2019", "29 Feb of the file is left out"} {
		if !strings.Contains(notesOf(y), want) {
			t.Errorf("notes %s; want %q", notesOf(y), want)
		}
	}
	_, err = Read(campaign(july, january.AddDate(0, 5, 0)), "c.csv", ReadOptions{Axis: axis})
	if err == nil || !strings.Contains(err.Error(), "are not in the file, from 1 Jun 00:00 to 30 Jun 23:30; want a whole year") {
		t.Errorf("without June: %v", err)
	}
	_, err = Read(campaign(july, july.AddDate(1, 1, 0)), "c.csv", ReadOptions{Axis: axis})
	if err == nil || !strings.HasPrefix(err.Error(), "c.csv:1: years: has rows of 2019, 2020; want one picked") {
		t.Errorf("thirteen months: %v", err)
	}
}

// Gaps are bridged up to the length that is told.
func TestMostGap(t *testing.T) {
	axis := yearAxis(t, 2026, 30*time.Minute, time.Hour)
	hole := func() *psmText {
		p := psmYears(2017, 2017)
		p.skip = func(at time.Time) bool { return at.Month() == 6 && at.Day() == 3 && at.Hour() >= 9 && at.Hour() < 14 }
		return p
	}
	_, err := Read(hole(), "g.csv", ReadOptions{Axis: axis})
	if err == nil || err.Error() != "g.csv:7365: rows: 10 of 2017 are not in the file, from 3 Jun 09:00 to 3 Jun 13:30; want a whole year" {
		t.Errorf("5 h at the usual 3: %v", err)
	}
	y, err := Read(hole(), "g.csv", ReadOptions{Axis: axis, MostGap: 6 * time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"10 rows of the year are not in the file", "GHI, DNI, DHI: 10 rows without a value in short gaps, filled from their neighbours by their clear-sky index"} {
		if !strings.Contains(notesOf(y), want) {
			t.Errorf("notes %s\n\twant %q", notesOf(y), want)
		}
	}
	noon := (31+28+31+30+31+2)*48 + 24
	if !(y.GHI[noon] > 200 && y.GHI[noon] < 1000) || y.AirC[noon] != 27 {
		t.Errorf("filled noon: %g W/m², %g °C", y.GHI[noon], y.AirC[noon])
	}
	for want, opt := range map[string]ReadOptions{
		"g.csv: most gap: is 49h0m0s; want 0 to 48h0m0s":                     {Axis: axis, MostGap: 49 * time.Hour},
		"g.csv: temperature: has 3 values; want twelve monthly means or one": {Axis: axis, AirC: []float64{1, 2, 3}},
		"g.csv: temperature: is 200 °C; want -90 to 70":                      {Axis: axis, AirC: []float64{200}},
	} {
		if _, err := Read(hole(), "g.csv", opt); err == nil || err.Error() != want {
			t.Errorf("%v; want %s", err, want)
		}
	}
}

func TestFilesAlike(t *testing.T) {
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	epw := func() io.Reader { return strings.NewReader(file(epwHeader, epwRow, lightOf(false, 0), nil)) }
	other := strings.Replace(textOf(t, psmYears(2018, 2018)), "47.0,8.0", "47.0,9.0", 1)
	for want, in := range map[string][]Input{
		"b.epw:1: format: is EPW, unlike the file before it; want files of one kind":    {{"a.csv", psmYears(2017, 2017)}, {"b.epw", epw()}},
		"b.csv: place: is 76 km from that of a.csv before it; want files of one place":  {{"a.csv", psmYears(2017, 2017)}, {"b.csv", strings.NewReader(other)}},
		"b.csv: columns: has other quantities than a.csv before it; want files alike":   {{"a.csv", psmYears(2017, 2017)}, {"b.csv", strings.NewReader(strings.Replace(textOf(t, psmYears(2018, 2018)), ",DNI,", ",x,", 1))}},
		`a.epw:1: years: has rows of 2001, 2001; want one picked, such as "year: 2001"`: {{"a.epw", epw()}, {"b.epw", epw()}},
	} {
		if _, err := ReadFiles(in, ReadOptions{Axis: axis}); err == nil || err.Error() != want {
			t.Errorf("%v; want %s", err, want)
		}
	}
}

func textOf(tb testing.TB, r io.Reader) string {
	tb.Helper()
	text, err := io.ReadAll(r)
	if err != nil {
		tb.Fatal(err)
	}
	return string(text)
}

// Thirty years of half hours, made as they are read; the heap after each year is what is held.
func BenchmarkThirtyYears(b *testing.B) {
	axis := yearAxis(b, 2026, time.Hour, time.Hour)
	for b.Loop() {
		peak, first, last := uint64(0), uint64(0), uint64(0)
		n := 0
		for _, err := range ReadYears([]Input{{"long.csv", psmYears(1991, 2020)}}, ReadOptions{Axis: axis}) {
			if err != nil {
				b.Fatal(err)
			}
			n++
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			peak = max(peak, m.HeapInuse)
			runtime.GC()
			runtime.ReadMemStats(&m)
			if last = m.HeapInuse; n == 2 {
				first = last
			}
		}
		if n != 30 {
			b.Fatalf("%d years", n)
		}
		b.ReportMetric(float64(peak)/1e6, "peak-heap-MB")
		b.ReportMetric(float64(first)/1e6, "held-year-2-MB")
		b.ReportMetric(float64(last)/1e6, "held-year-30-MB")
	}
}
