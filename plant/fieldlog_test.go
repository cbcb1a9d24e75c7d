package plant

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

func readLog(t testing.TB, file string) FieldLog {
	t.Helper()
	log, err := ReadFieldLog(strings.NewReader(file), "f.csv", 2*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func TestReadFieldLogMessages(t *testing.T) {
	t.Parallel()
	const head = "start,DNI W/m2,air degC,wind m/s,inlet degC,outlet degC,heat kW\n"
	const want = "want a header line such as start,DNI W/m2,air degC,wind m/s,inlet degC,outlet degC,heat kW"
	row := func(at string) string { return at + ",800,20,3,150,180,1200\n" }
	for _, c := range []struct{ file, want string }{
		{"", "f.csv:1: is empty; " + want},
		{"time,DNI W/m2\n", `f.csv:1: column "time" does not say which end of its row a time is; name it start or end`},
		{"DNI W/m2,air degC\n", `f.csv:1: first column is "DNI W/m2"; want start or end, the time of each row, in a header line such as start,DNI W/m2,air degC,wind m/s,inlet degC,outlet degC,heat kW`},
		{"start,DNI\n", `f.csv:1: column "DNI" has no unit; want W/m2 or kW/m2`},
		{"start,DNI W\n", `f.csv:1: column "DNI" has the unit "W"; want W/m2 or kW/m2`},
		{"start,beam W/m2\n", `f.csv:1: column "beam W/m2" is not known; want one of DNI W/m2, GHI W/m2, DHI W/m2, plane W/m2, air degC, wind m/s, inlet degC, outlet degC, fluid degC, warming K/h, heat kW, flow kg/h, aside`},
		{"start,air degC,air degC\n", `f.csv:1: column "air" stands there twice; keep one`},
		{head, "f.csv:1: has no rows; want at least one hour"},
		{head + "2026-07-01 10:00,800\n", `f.csv:2: has 2 cells parted by ","; want 7, as in the header`},
		{head + row("1 July"), `f.csv:2: time "1 July" is not known; want it as 2026-01-31 18:00`},
		{head + row("1926-07-01 10:00"), `f.csv:2: time "1926-07-01 10:00" lies in the year 1926; want 1950 to 2100`},
		{head + row("2026-07-01 10:00") + row("2026-07-01 10:00"), `f.csv:3: time "2026-07-01 10:00" is not after that of line 2; want rows in order of time, each once`},
		{head + row("2026-07-01 10:00") + row("2026-07-01 10:45"), "f.csv:3: rows stand 45m0s apart; want 1 to 60 min, a whole part of an hour"},
		{head + row("2026-07-01 10:00") + row("2026-07-01 10:15") + row("2026-07-01 10:50"), "f.csv:4: time does not fall on the rows' step of 15m0s; want rows that part each hour evenly"},
		{head + "2026-07-01 10:00,800,20,3,150,180,much\n", `f.csv:2: heat "much" is no number; want one with a decimal point, or an empty cell for none`},
		{head + "2026-07-01 10:00,800,20,NaN,150,180,5\n", `f.csv:2: wind "NaN" is no number; want one with a decimal point, or an empty cell for none`},
		{head + "2026-07-01 10:00,-9999,20,3,150,180,5\n", "f.csv:2: DNI is -9999 W/m2; want -50 to 2000, or an empty cell where nothing was measured"},
		{head + strings.Repeat("x", 3000), "f.csv:2: is longer than 2048 bytes; want a row of measurements"},
	} {
		_, err := ReadFieldLog(strings.NewReader(c.file), "f.csv", 0)
		if err == nil || err.Error() != c.want {
			t.Errorf("%.60q:\ngot  %v\nwant %s", c.file, err, c.want)
		}
	}
}

// The same hours from rows of 10 min and of an hour, labelled at either end, in other units.
func TestFieldLogHours(t *testing.T) {
	t.Parallel()
	var ten, ends, units strings.Builder
	ten.WriteString("start,DNI W/m2,air degC,wind m/s,fluid degC,heat kW\n")
	ends.WriteString("end,heat kW,DNI W/m2,air degC,wind m/s,fluid degC\n")
	units.WriteString("\ufeffstart;DNI kW/m²;air [°C];wind km/h;fluid (degC);heat MW\n")
	from := time.Date(2026, 7, 1, 10, 0, 0, 0, time.UTC)
	for i := range 12 {
		at := from.Add(time.Duration(i) * 10 * time.Minute)
		dni, fluid, heat := 700+10*float64(i), 170+0.5*float64(i), 1000+float64(i)
		fmt.Fprintf(&ten, "%s,%g,20,3.6,%g,%g\n", at.Format("2006-01-02 15:04"), dni, fluid, heat)
		fmt.Fprintf(&ends, "%s,%g,%g,20,3.6,%g\n", at.Add(10*time.Minute).Format("2006-01-02T15:04"), heat, dni, fluid)
		fmt.Fprintf(&units, "%s+02:00;%g;20;12.96;%g;%g\n", at.Format("2006-01-02 15:04"), dni/1000, fluid, heat/1000)
	}
	for what, file := range map[string]string{"start": ten.String(), "end": ends.String(), "units": units.String()} {
		log := readLog(t, file)
		hours := log.Hours()
		if len(hours) != 2 || log.Rows != 12 || log.StepH != 1./6 || log.StepAssumed {
			t.Fatalf("%s: %d hours of %d rows, step %g h", what, len(hours), log.Rows, log.StepH)
		}
		for i, h := range hours {
			const src = "means of the rows, by hand"
			if got := h.Start.UTC().Format("15:04"); got != []string{"08:00", "09:00"}[i] || h.Lacks != "" {
				t.Errorf("%s: hour %d starts at %s UTC, lacks %q", what, i, got, h.Lacks)
			}
			near(t, what+" DNI", h.DNIWM2, []float64{725, 785}[i], 1e-9, src)
			near(t, what+" fluid", h.FluidC, []float64{171.25, 174.25}[i], 1e-9, src)
			near(t, what+" warming", h.WarmingKH, 3, 1e-9, "0.5 K in 10 min")
			near(t, what+" heat", h.HeatKW, []float64{1002.5, 1008.5}[i], 1e-9, src)
			near(t, what+" wind", h.WindMS, 3.6, 1e-9, src)
		}
	}
}

// What an hour lacks is told, and how fast the fluid changes comes from the hours beside it.
func TestFieldLogGaps(t *testing.T) {
	t.Parallel()
	log := readLog(t, `start,DNI W/m2,air degC,inlet degC,outlet degC,heat kW,aside
2026-07-01 10:00,800,20,150,180,1200,
2026-07-01 11:00,,20,152,182,1200,
2026-07-01 12:00,800,20,154,,1200,store full
2026-07-01 15:00,-3,20,154,184,,
`)
	hours := log.Hours()
	want := []struct {
		lacks, aside string
		warming      float64
	}{{"", "", 2}, {"no value of DNI", "", math.NaN()}, {"no value of fluid temperature", "store full", math.NaN()}, {"no value of heat", "", math.NaN()}}
	if len(hours) != len(want) {
		t.Fatalf("%d hours", len(hours))
	}
	for i, w := range want {
		if h := hours[i]; h.Lacks != w.lacks || h.Aside != w.aside || !(math.Abs(h.WarmingKH-w.warming) < 1e-9 || math.IsNaN(h.WarmingKH) && math.IsNaN(w.warming)) {
			t.Errorf("hour %d: lacks %q, aside %q, warming %g; want %+v", i, h.Lacks, h.Aside, h.WarmingKH, w)
		}
	}
	near(t, "a sensor's zero at night", hours[3].DNIWM2, 0, 0, "light is not below 0")
	ten := readLog(t, "start,air degC,fluid degC,heat kW\n2026-07-01 10:10,20,150,5\n2026-07-01 10:20,20,150,5\n").Hours()
	if len(ten) != 1 || ten[0].Lacks != "2 of 6 rows of the hour" {
		t.Errorf("part of an hour: %+v", ten)
	}
	if one := readLog(t, "start,air degC,warming K/h,fluid degC,heat kW\n2026-07-01 10:30,20,1.5,150,5\n"); !one.StepAssumed || one.Hours()[0].WarmingKH != 1.5 {
		t.Errorf("one hour alone: %+v", one)
	}
}

// The heat of a flow of water, and hours of a place half an hour off the full one.
func TestFieldLogFlow(t *testing.T) {
	t.Parallel()
	h := readLog(t, "start,air degC,inlet degC,outlet degC,flow t/h\n2026-07-01 10:00,20,150,180,10\n").Hours()[0]
	near(t, "10 t/h of water", h.HeatKW, 10000*(763.19-632.575)/3600, 0.15, "IF97 by another library: 763.19 kJ/kg at 180 °C boiling, 632.575 at 150 °C and 10 bar(a)")
	log, err := ReadFieldLog(strings.NewReader("start,air degC,fluid degC,heat kW\n2026-07-01 10:00,20,150,1\n2026-07-01 10:30,20,150,3\n"), "f.csv", 5*time.Hour+30*time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	if hours := log.Hours(); len(hours) != 1 || hours[0].HeatKW != 2 {
		t.Errorf("a full hour of UTC+5:30 is %+v", hours)
	}
}

func FuzzReadFieldLog(f *testing.F) {
	for _, s := range []string{"", "start,DNI W/m2,air degC,wind m/s,inlet degC,outlet degC,heat kW\n2026-07-01 10:00,800,20,3,150,180,1200\n2026-07-01 11:00,810,20,3,150,180,1200\n",
		"end;GHI W/m²;plane kW/m2;fluid °C;flow kg/s;aside\n2026-07-01T10:10:00Z;5;.5;90;;x\n2026-07-01T10:20:00Z;5;.5;90;2;\n",
		"\ufeffstart,air degC,inlet degC,outlet degC,flow t/h,warming K/h\n\n\"2026-07-01 10:30\",\"-5\",300,-5,1e7,-1000\n", "start\n2100-12-31 23:59\n", "end,aside\n1950-01-01 00:00,\n"} {
		f.Add(s)
	}
	dish := clean(kind(f, "dish"))
	k := checkerOf(f, dish, loose(BeamAlone))
	f.Fuzz(func(t *testing.T, file string) {
		log, err := ReadFieldLog(strings.NewReader(file), "f.csv", 2*time.Hour)
		if err != nil {
			for line := range strings.Lines(err.Error()) {
				if !strings.HasPrefix(line, "f.csv:") {
					t.Fatalf("%q has no place", line)
				}
			}
			return
		}
		hours := log.Hours()
		if len(hours) == 0 || len(hours) > log.Rows || log.StepH <= 0 || log.StepH > 1 {
			t.Fatalf("%d hours of %d rows, step %g h", len(hours), log.Rows, log.StepH)
		}
		for i, h := range hours {
			if i > 0 && h.Start.Before(hours[i-1].Start.Add(time.Hour)) {
				t.Fatalf("hour %v comes after %v", h.Start, hours[i-1].Start)
			}
			v := k.Judge(h)
			if v.Valid() && (math.IsNaN(v.ExpectedKW) || math.IsInf(v.ExpectedKW, 0) || math.IsNaN(h.HeatKW)) {
				t.Fatalf("a valid hour without a figure: %+v %+v", h, v)
			}
		}
	})
}
