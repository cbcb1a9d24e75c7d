package sky

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// plainText writes a csv with the label of each slot of 2026, of steps of so many minutes, moved by label minutes.
func plainText(header, delimiter, layout string, stepMin, labelMin int, row func(i int) string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	at := time.Date(2026, 1, 1, 0, labelMin, 0, 0, time.UTC)
	for i := range 8760 * 60 / stepMin {
		b.WriteString(at.Add(time.Duration(i*stepMin)*time.Minute).Format(layout) + delimiter + row(i) + "\n")
	}
	return b.String()
}

func lightForm(tb testing.TB, label Label) *Plain {
	return &Plain{Time: []string{"time"}, Label: label, GHI: Column{"ghi", unitOf(tb, "ghi", "W/m2")}, Air: Column{"air", unitOf(tb, "air", "degC")}}
}

// Labels are what they are told to be: the same rows, labelled with start, end or middle, are the same year.
func TestPlainLabels(t *testing.T) {
	axis := yearAxis(t, 2026, 30*time.Minute, time.Hour)
	row := func(i int) string { return fmt.Sprintf("%d,%d", (i%48)*(i%7), i%30) }
	for label, minute := range map[Label]int{LabelStart: 0, LabelMiddle: 15, LabelEnd: 30} {
		text := plainText("time,ghi,air", ",", "2006-01-02T15:04", 30, minute, row)
		y, err := Read(strings.NewReader(text), "p.csv", ReadOptions{Axis: axis, Place: &testhof, Plain: lightForm(t, label)})
		if err != nil {
			t.Fatal(err)
		}
		for i := range y.GHI {
			if y.GHI[i] != float64((i%48)*(i%7)) || y.AirC[i] != float64(i%30) {
				t.Fatalf("label %d, step %d: %g %g; want the row's %d %d", label, i, y.GHI[i], y.AirC[i], (i%48)*(i%7), i%30)
			}
		}
		if y.LightOffset != 0 || y.Measured != 2026 {
			t.Errorf("label %d: light at %v, measured %d", label, y.LightOffset, y.Measured)
		}
	}
	utc := lightForm(t, LabelStart)
	utc.UTC = true
	y, err := Read(strings.NewReader(plainText("time,ghi,air", ",", "2006-01-02T15:04Z", 30, 0, row)), "p.csv", ReadOptions{Axis: axis, Place: &testhof, Plain: utc})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "in UTC", y.GHI[102], float64((100%48)*(100%7)), 0, "by hand: UTC+1 is two half hours on")
}

// A CSV by the minute is taken minute by minute.
func TestPlainMinutes(t *testing.T) {
	if testing.Short() {
		t.Skip("a year by the minute")
	}
	light := func(i int) int { return max(0, (i%1440-480)*(960-i%1440)/100) * (i % 7) / 7 }
	text := plainText("time,dni,ghi,air", ",", "2006-01-02T15:04", 1, 1, func(i int) string { return fmt.Sprintf("%d,%d,9", light(i), light(i)) })
	form := lightForm(t, LabelEnd)
	form.DNI = Column{"dni", form.GHI.Unit}
	y, err := Read(strings.NewReader(text), "p.csv", ReadOptions{Axis: yearAxis(t, 2026, time.Minute, time.Hour), Place: &testhof, Plain: form})
	if err != nil {
		t.Fatal(err)
	}
	measured(t, y, func(i int) (float64, bool) { return float64(light(i)), true })
}

// measured wants minutes as the file has them, also after [Minutes], and told so.
func measured(t *testing.T, y Year, row func(i int) (float64, bool)) {
	t.Helper()
	fine, err := Minutes(y, y.Axis, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i, got := range fine.DNI {
		if want, there := row(i); there && got != want {
			t.Fatalf("%s: DNI %g; want the row's %g", y.Axis.Label(i), got, want)
		}
	}
	if want := "its light is taken as it is, and nothing is spread"; y.RowStep != time.Minute || y.LightOffset != 0 || !strings.Contains(notesOf(fine), want) || strings.Contains(notesOf(y), want) {
		t.Errorf("rows of %v, light at %v, notes %s; want 1 min, 0, and once %q", y.RowStep, y.LightOffset, notesOf(fine), want)
	}
}

// A label may be written in many ways.
func TestPlainTimes(t *testing.T) {
	want := moment{2026, 3, 4, 17*60 + 30}
	for _, r := range []struct {
		text  string
		order DateOrder
		zone  time.Duration
		err   string
	}{
		{"2026-03-04 17:30", 0, 0, ""}, {"2026-03-04T17:30:00", 0, 0, ""}, {"2026-03-04T17:30:00.000Z", 0, 0, ""}, {"2026/3/4 17:30 UTC", 0, 0, ""},
		{"2026-03-04T17:30+01:00", 0, time.Hour, ""}, {"2026-03-04T17:30-0700", 0, -7 * time.Hour, ""}, {"2026-03-04T17:30+05:30", 0, 330 * time.Minute, ""},
		{"20260304:1730", 0, 0, ""}, {"20260304 17:30", 0, 0, ""}, {"202603041730", 0, 0, ""}, {"20260304173000", 0, 0, ""},
		{"4.3.2026 17:30", 0, 0, ""}, {"04/03/2026 17:30", DayMonthYear, 0, ""}, {"3/4/2026 5:30 PM", MonthDayYear, 0, ""}, {"3/4/2026 05:30:00 pm", MonthDayYear, 0, ""},
		{"04/03/2026 17:30", 0, 0, "may be day/month or month/day; want the order of dates told"},
		{"2026-03-04T17:30Z", 0, time.Hour, "says UTC+0 h, and the labels' clock is told to be UTC+1 h"},
		{"2026-03-04T17:30+02:00", 0, time.Hour, "says UTC+2 h, and"},
		{"4.3.26 17:30", 0, 0, "has a year of two figures; want four"}, {"2026-03-04 17:30:20", 0, 0, "has seconds; want whole minutes"},
		{"2026-03-04 24:30", 0, 0, "is 24:30; want 00:00 to 24:00"}, {"2026-03-04 17:75", 0, 0, "is 17:75; want"}, {"2026-13-04 17:30", 0, 0, "date: is 2026-13-04"},
		{"2026-03-04 13:30 PM x", 0, 0, "is no date and time"}, {"3/4/2026 17:30 PM", MonthDayYear, 0, "is no time of a clock of twelve hours"}, {"noon", 0, 0, "is no date and time"}, {"", 0, 0, "is no date and time"},
		{"2026-03", 0, 0, "is no date and time"}, {"1-2-3-4-5-6-7-8-9", 0, 0, "is no date and time"}, {"99999999999999999999-1-1 1:00", YearMonthDay, 0, "two figures"},
	} {
		f := &plain{Plain: Plain{Dates: r.order}, time: []int{0}, zone: r.zone}
		got, err := f.moment([][]byte{[]byte(r.text)})
		switch {
		case r.err == "" && (err != nil || got != want):
			t.Errorf("%q: %v, %v; want %v", r.text, got, err, want)
		case r.err != "" && (err == nil || !strings.Contains(err.Error(), r.err)):
			t.Errorf("%q: %v, %v; want %s", r.text, got, err, r.err)
		}
	}
	for _, cells := range [][]string{{"4.3.2026", "17:30"}, {"20260304", "1730"}, {"2026", "3", "4", "17", "30"}, {"2026", "03", "04", "17.0", "30"}} {
		f := &plain{}
		var row [][]byte
		for i, c := range cells {
			f.time, row = append(f.time, i), append(row, []byte(c))
		}
		if got, err := f.moment(row); err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", cells, got, err, want)
		}
	}
	midnight := &plain{time: []int{0}, Plain: Plain{Dates: MonthDayYear}}
	for text, minute := range map[string]int{"1/2/2026 12:00 AM": 0, "1/2/2026 12:30 PM": 750, "1/2/2026 24:00": 1440} {
		if got, err := midnight.moment([][]byte{[]byte(text)}); err != nil || got != (moment{2026, 1, 2, minute}) {
			t.Errorf("%q: %v, %v; want minute %d", text, got, err, minute)
		}
	}
}

func TestUnits(t *testing.T) {
	for _, r := range []struct {
		column, text string
		in, want     float64
		perHour      int
		src          string
	}{
		{"ghi", "W/m2", 800, 800, 2, "same"}, {"dni", "kW/m2", 0.8, 800, 2, "by hand"},
		{"ghi", "Wh/m2", 400, 800, 2, "by hand: 400 Wh in half an hour"}, {"ghi", "kWh/m2", 0.4, 800, 2, "by hand"},
		{"dhi", "MJ/m2", 2.88, 800, 1, "by hand: 2.88 MJ is 0.8 kWh"}, {"dhi", "kJ/m2", 48, 800, 60, "by hand: 48 kJ in a minute"},
		{"ghi", "J/cm2", 288, 800, 1, "by hand: 288 J/cm2 is 2.88 MJ/m2"}, {"ghi", "J/m2", 48000, 800, 60, "by hand"},
		{"air", "degC", 20, 20, 1, "same"}, {"air", "K", 293.15, 20, 1, "273.15 K is 0 °C"}, {"air", "degF", 68, 20, 1, "68 °F is 20 °C"},
		{"wind", "m/s", 5, 5, 1, "same"}, {"wind", "km/h", 18, 5, 1, "by hand"}, {"wind", "kn", 3600. / 1852 * 5, 5, 1, "a knot is 1852 m/h"}, {"wind", "mph", 5 / 0.44704, 5, 1, "a mile is 1609.344 m"},
	} {
		near(t, r.text, unitOf(t, r.column, r.text).value(r.in, r.perHour), r.want, 1e-9, r.src)
	}
	for _, r := range [][3]string{
		{"ghi", "W/m²", `"W/m²" is not known; write "W/m2"`}, {"ghi", "W m-2", `write "W/m2"`}, {"dni", "kwh/m^2", `write "kWh/m2"`},
		{"air", "°C", `"°C" is not known; write "degC"`}, {"air", "C", `write "degC"`}, {"wind", "m s⁻¹", `write "m/s"`}, {"wind", "knots", `write "kn"`},
		{"ghi", "degC", `"degC" is a unit of temperature; want W/m2, kW/m2, Wh/m2`}, {"air", "W/m2", `"W/m2" is a unit of light; want degC, K or degF`},
		{"wind", "bananas", `"bananas" is not known; want m/s, km/h, kn or mph`}, {"ghi", "", `"" is not known; want W/m2`},
	} {
		if _, err := ParseUnit(r[0], r[1]); err == nil || !strings.Contains(err.Error(), r[2]) {
			t.Errorf("%s %q: %v; want %s", r[0], r[1], err, r[2])
		}
	}
}

func TestPlainRefuses(t *testing.T) {
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	whole := plainText("about\n\ntime,ghi,air", ",", "2006-01-02 15:04", 60, 0, func(i int) string { return "5,10" })
	form := func(change func(*Plain)) *Plain {
		p := lightForm(t, LabelStart)
		if change != nil {
			change(p)
		}
		return p
	}
	at := func(old, new string) string { return strings.Replace(whole, old, new, 1) }
	for _, r := range []struct {
		what, text string
		plain      *Plain
		want       string
	}{
		{"no form", whole, &Plain{}, "p.csv: columns: the time has 0 columns; want 1, or 2"},
		{"no light", whole, form(func(p *Plain) { p.GHI = Column{} }), "p.csv: columns: no ghi and no dni; want at least one of them"},
		{"no unit", whole, form(func(p *Plain) { p.GHI.Unit = Unit{} }), "p.csv: columns: ghi has no unit"},
		{"energy of an instant", whole, form(func(p *Plain) { p.Label, p.GHI.Unit = LabelInstant, unitOf(t, "ghi", "MJ/m2") }), "p.csv: columns: ghi is in MJ/m2, an energy, which an instant has not"},
		{"one column twice", whole, form(func(p *Plain) { p.Air.Name = "ghi" }), `p.csv: columns: ghi and air are both "ghi"`},
		{"comma twice", whole, form(func(p *Plain) { p.Decimal, p.Delimiter = ',', ',' }), "p.csv: columns: ',' is both decimal sign and delimiter"},
		{"no such column", whole, form(func(p *Plain) { p.GHI.Name = "GHI" }), `p.csv:3: columns: ghi: no "GHI" among "time", "ghi", "air"`},
		{"column twice", at("time,ghi,air", "time,ghi,air,ghi"), form(nil), `p.csv:3: columns: ghi: "ghi" stands twice`},
		{"no header", at("time,ghi", "Time,ghi"), form(nil), `p.csv:100: header: no column "time" in 100 lines`},
		{"text", at("01:00,5", "01:00,high"), form(nil), `p.csv:5: ghi: "high" is not a number; want a plain decimal one, or its text listed as missing`},
		{"short row", at("01:00,5,10", "01:00,5"), form(nil), "p.csv:5: row: has 2 fields; want at least 3"},
		{"cold", at("01:00,5,10", "01:00,5,100"), form(func(p *Plain) { p.Air.Unit = unitOf(t, "air", "K") }), "p.csv:4: air: is 10 K; want a value there can be"},
		{"odd time", at("2026-05-01 07:00", "2026-05-01 07:10"), form(nil), "p.csv:2891: time: is 07:10; want every 60 min, as in the first rows"},
		{"3 h", "time,ghi,air\n2026-01-01 00:00,0,1\n2026-01-01 03:00,0,1\n2026-01-01 06:00,0,1\n", form(nil), "p.csv:2: step: the first rows are 180 min apart; want an hour"},
		{"one row", "time,ghi,air\n2026-01-01 00:00,0,1\n", form(nil), "p.csv:2: rows: found 1; want a year of them"},
		{"backwards", at("2026-05-01 07:00", "2026-04-01 07:00"), form(nil), "p.csv:2891: row: is 1 Apr 2026 07:00; want one after 1 May 2026 06:00 of line 2890"},
		{"too bright", at("01:00,5,", "01:00,5000,"), form(nil), "p.csv:5: GHI: is 5000 W/m²; want 0 to 1800"},
	} {
		_, err := Read(strings.NewReader(r.text), "p.csv", ReadOptions{Axis: axis, Place: &testhof, Plain: r.plain})
		if err == nil || !strings.HasPrefix(err.Error(), r.want) {
			t.Errorf("%s: %v\n\twant %s", r.what, err, r.want)
		}
	}
	_, err := Read(strings.NewReader(whole), "p.csv", ReadOptions{Axis: axis, Plain: form(nil)})
	if err == nil || err.Error() != "p.csv:1: place: the file has none; want it given" {
		t.Errorf("without a place: %v", err)
	}
}

// Columns by number, beam alone, missing texts, a bar between columns, quotes.
func TestPlainForms(t *testing.T) {
	axis := yearAxis(t, 2026, time.Hour, time.Hour)
	suns := Suns(testhof, axis, 0)
	beam := func(i int) float64 { return math.Round(ClearSkyAt(testhof, suns[i], 3).DNI) }
	text := plainText("# any words; here\n# more", "|", "\"02.01.2006\"|15:04", 60, 60, func(i int) string {
		if i == 170*24+11 {
			return "bad|\"10\""
		}
		return fmt.Sprintf("%g|\"%d\"", beam(i), 10)
	})
	form := &Plain{Time: []string{"1", "2"}, Label: LabelEnd, DNI: Column{"3", unitOf(t, "dni", "W/m2")}, Air: Column{"4", unitOf(t, "air", "degC")},
		Delimiter: '|', Missing: []string{"bad"}}
	y, err := Read(strings.NewReader(text), "p.csv", ReadOptions{Axis: axis, Place: &testhof, Plain: form})
	if err != nil {
		t.Fatal(err)
	}
	i := 180*24 + 12
	near(t, "DNI", y.DNI[i], beam(i), 0, "the row")
	near(t, "GHI", y.GHI[i], beam(i)*suns[i].CosZenith(), 1e-6, "theorem: global is DNI cos z where there is no diffuse light")
	near(t, "filled DNI", y.DNI[170*24+11], beam(170*24+11), 2, "theorem: the clear-sky index fills a clear day")
	for _, want := range []string{"beam only: diffuse light is taken as 0", "DNI: 1 rows without a value in short gaps"} {
		if !strings.Contains(notesOf(y), want) {
			t.Errorf("notes %s\n\twant %q", notesOf(y), want)
		}
	}
	late := 40 * time.Minute
	y, err = Read(strings.NewReader(text), "p.csv", ReadOptions{Axis: axis, Place: &testhof, Plain: form, LightOffset: &late})
	if err != nil || !strings.Contains(notesOf(y), "over the year they say -30 min") {
		t.Errorf("beam alone and mistimed: %v %s", err, notesOf(y))
	}
}
