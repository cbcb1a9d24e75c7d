package sky_test

import (
	"fmt"
	"strings"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
)

// A year from twelve means: what the sun gives a plant that has no weather file.
func Example() {
	site := sky.Place{LatDeg: 38.7, LonDeg: 29.1, ElevationM: 470, UTCOffset: 3 * time.Hour}
	axis, err := clock.NewYear(2026, time.Hour, site.UTCOffset)
	if err != nil {
		fmt.Println(err)
		return
	}
	year, err := sky.FromMonthly(sky.Monthly{
		GHIKWhM2Day: [12]float64{1.9, 2.7, 3.9, 5.0, 6.1, 7.0, 7.1, 6.3, 5.1, 3.5, 2.3, 1.7},
		AirC:        [12]float64{4, 5, 9, 13, 18, 23, 26, 26, 21, 15, 10, 5},
		WindMS:      [12]float64{2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2},
		AirSwingK:   12,
	}, site, axis, 7)
	if err != nil {
		fmt.Println(err)
		return
	}
	ghi := 0.
	for _, w := range year.GHI {
		ghi += w / 1000
	}
	fmt.Printf("%d hours, %.1f kWh/m² on the horizontal\n%s\n", len(year.DNI), ghi, year.Source)
	// Output:
	// 8760 hours, 1603.1 kWh/m² on the horizontal
	// generated from monthly means, seed 7
}

// The worked example of NREL/TP-560-34302, whose true zenith angle is 50.128 and azimuth 194.340 deg.
func ExampleSunAt() {
	golden := sky.Place{LatDeg: 39.742476, LonDeg: -105.1786, ElevationM: 1830.14, UTCOffset: -7 * time.Hour}
	s := sky.SunAt(golden, time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC))
	fmt.Printf("zenith %.3f deg, azimuth %.3f deg, %.2f min ahead of mean time\n", s.ZenithDeg, s.AzimuthDeg, s.EquationOfTimeMin)
	// Output: zenith 50.128 deg, azimuth 194.340 deg, 14.64 min ahead of mean time
}

// A file that is no weather file is told so, with its line.
func ExampleRead() {
	axis, _ := clock.NewYear(2026, time.Hour, time.Hour)
	_, err := sky.Read(strings.NewReader("month;sun\n1;2.3\n"), "sun.csv", sky.ReadOptions{Axis: axis})
	fmt.Println(err)
	// Output: sun.csv:1: format: the first line is "month;sun"; want an EPW (LOCATION,...), a TMY3 csv (station,name,state,...), a PVGIS typical year, an NSRDB PSM csv, a BSRN station-to-archive file (*C0001), or a plain CSV whose columns are named
}

// Checks-sun.md 3.3: 1000 W/m² at a zenith angle of 10 deg on 1 January 2019.
func ExampleSplitGHI() {
	const cosZenith, outside = 0.98481, 1413.98
	l := sky.SplitGHI(1000, cosZenith, outside)
	fmt.Printf("beam %.0f, diffuse %.0f W/m²\n", l.DNI, l.DHI)
	// Output: beam 794, diffuse 218 W/m²
}

// A unit must be one that is known; a near one is told.
func ExampleParseUnit() {
	u, err := sky.ParseUnit("ghi", "kWh/m2")
	fmt.Println(u, err)
	_, err = sky.ParseUnit("ghi", "W/m²")
	fmt.Println(err)
	// Output:
	// kWh/m2 <nil>
	// "W/m²" is not known; write "W/m2"
}

// The limits of Long and Dutton with the sun 60 deg from overhead (checks-sun.md 6.5).
func ExampleLimitsAt() {
	possible, rare := sky.LimitsAt(0.5, 1361)
	fmt.Printf("global %.1f possible, %.1f rare; diffuse %.1f and %.1f\n", possible.GHI, rare.GHI, possible.DHI, rare.DHI)
	// Output: global 988.6 possible, 760.9 rare; diffuse 612.8 and 474.3
}

// A file of several years, one after another on the study's axis.
func ExampleReadYears() {
	axis, err := clock.NewYear(2026, time.Hour, time.Hour)
	if err != nil {
		fmt.Println(err)
		return
	}
	form := &sky.Plain{Time: []string{"time"}, Label: sky.LabelStart, GHI: sky.Column{Name: "sun"}}
	for _, err := range sky.ReadYears([]sky.Input{{Name: "sun.csv", R: strings.NewReader("time,sun\n")}}, sky.ReadOptions{Axis: axis, Plain: form}) {
		fmt.Println(err)
	}
	form.GHI.Unit, _ = sky.ParseUnit("ghi", "W/m2")
	for _, err := range sky.ReadYears([]sky.Input{{Name: "sun.csv", R: strings.NewReader("time,sun\n2017-01-01 00:00,0\n")}}, sky.ReadOptions{Axis: axis, Plain: form}) {
		fmt.Println(err)
	}
	// Output:
	// columns: ghi has no unit
	// sun.csv:2: rows: found 1; want a year of them
}
