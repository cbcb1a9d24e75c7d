package sky

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"noonkeep/plant/clock"
)

// hourLight is what a synthetic file says of one hour.
type hourLight struct{ ghi, dni, dhi, air, wind float64 }

const (
	epwHeader = "LOCATION,Testhof,-,-,invented,999,47.0,8.0,1,500\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n" +
		"HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\nCOMMENTS 2,\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
	tmy3Header = "999999,\"TESTHOF, UPPER\",XX,1.0,47.000,8.000,500\n" +
		"Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),GHI (W/m^2),GHI source,DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),Wspd (m/s)\n"
)

var testhof = Place{LatDeg: 47, LonDeg: 8, ElevationM: 500, UTCOffset: time.Hour}

// stamps lists the hours of a year.
func stamps(leap bool) []stamp {
	var all []stamp
	for m := 1; m <= 12; m++ {
		n := monthDays(m)
		if m == 2 && !leap {
			n = 28
		}
		for d := 1; d <= n; d++ {
			for h := 1; h <= 24; h++ {
				all = append(all, stamp{m, d, h, 1})
			}
		}
	}
	return all
}

func epwRow(s stamp, v hourLight) string {
	g := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	return fmt.Sprintf("2001,%d,%d,%d,0,?9?9,%s,5,50,95000,0,0,300,%s,%s,%s,0,0,0,0,180,%s,5,5,9999,99999,9,999999999,10,0.1,0,88,0.2,0,0",
		s.month, s.day, s.hour, g(v.air), g(v.ghi), g(v.dni), g(v.dhi), g(v.wind))
}

func tmy3Row(s stamp, v hourLight) string {
	return fmt.Sprintf("%02d/%02d/1999,%02d:00,0,%g,1,%g,%g,%g,%g", s.month, s.day, s.hour, v.ghi, v.dni, v.dhi, v.air, v.wind)
}

// lightOf is a clear sky's light of each hour, with its middle where the rule puts it, moved by late.
func lightOf(leap bool, late time.Duration) []hourLight {
	t := table{place: testhof, perHour: 1, leap: leap, timing: timing{zone: testhof.UTCOffset}}
	suns := Suns(testhof, t.ownAxis(2001), late)
	all := make([]hourLight, len(suns))
	for i, s := range suns {
		l := ClearSkyAt(testhof, s, 3)
		all[i] = hourLight{math.Round(l.GHI*10) / 10, math.Round(l.DNI*10) / 10, math.Round(l.DHI*10) / 10, 10 + float64(i%24)/4, float64(i%7) + 0.5}
	}
	return all
}

// file writes a whole file and lets each line, counted from 1, be changed; an empty result drops the line.
func file(header string, row func(stamp, hourLight) string, light []hourLight, change func(line int, text string) string) string {
	lines := strings.Split(strings.TrimSuffix(header, "\n"), "\n")
	for i, s := range stamps(len(light) == 8784) {
		lines = append(lines, row(s, light[i]))
	}
	var b strings.Builder
	for i, l := range lines {
		if change != nil {
			l = change(i+1, l)
		}
		if l != "" {
			b.WriteString(l + "\n")
		}
	}
	return b.String()
}

// quarterFile is an EPW with four rows an hour.
func quarterFile(wh func(quarter int) float64) string {
	var b strings.Builder
	b.WriteString(strings.Replace(epwHeader, "PERIODS,1,1", "PERIODS,1,4", 1))
	for i, s := range stamps(false) {
		for q := range 4 {
			row := epwRow(s, hourLight{ghi: wh(4*i + q), air: 10, wind: 2})
			b.WriteString(strings.Replace(row, fmt.Sprintf(",%d,0,?9", s.hour), fmt.Sprintf(",%d,%d,?9", s.hour, (q+1)*15%60), 1) + "\n")
		}
	}
	return b.String()
}

// clockAxis is a year by the minute in UTC.
func clockAxis(year int) clock.Axis {
	a, err := clock.NewYear(year, time.Minute, 0)
	if err != nil {
		panic(err)
	}
	return a
}
