package sketch

import (
	"math"
	"strings"
	"testing"
)

// shift is four steps of six hours with round numbers.
func shift() Day {
	return Day{StartLabel: "Tue 4 Feb", StepH: 6, DemandKW: []float64{100, 400, 400, 100},
		SunKW: []float64{0, 300, 100, 0}, StoreKW: []float64{0, 0, 200, 50}, BoilerKW: []float64{100, 100, 50, 50}, UnmetKW: []float64{0, 0, 50, 0},
		SunToStoreKW: []float64{0, 250, 0, 0}, SpilledKW: []float64{0, 100, 0, 0},
		StoredKWh: []float64{0, 0, 1500, 300, 0}, CapacityKWh: 2000, HeatUnit: "kW", HeatTimes: 1, EnergyUnit: "MWh", EnergyTimes: 0.001}
}

func TestDayStacks(t *testing.T) {
	up, down := shift().stacks()
	for i, want := range [][]float64{{0, 0, 0, 0}, {0, 300, 100, 0}, {0, 300, 300, 50}, {100, 400, 350, 100}, {100, 400, 400, 100}} {
		for k := range want {
			if up[i][k] != want[k] {
				t.Errorf("layer %d is %v; want %v", i, up[i], want)
				break
			}
		}
	}
	if down[1][1] != -250 || down[2][1] != -350 {
		t.Errorf("below zero are %v; want -250, then -350", down)
	}
}

func TestDayPlaces(t *testing.T) {
	for _, narrow := range []bool{false, true} {
		d := shift()
		d.Narrow = narrow
		s, err := d.SVG()
		if err != nil {
			t.Fatal(err)
		}
		all := elements(t, s)
		grounds := of(all, "ground")
		if len(grounds) != 2 {
			t.Fatalf("has %d panels; want 2", len(grounds))
		}
		left, wide := number(t, grounds[0].attr["x"]), number(t, grounds[0].attr["width"])
		// From 12:00 to 18:00 the store stands on the sun: the demand's line has steps there.
		demand := of(all, "demand")[1].attr["d"]
		for _, share := range []float64{0, 0.25, 0.75, 1} {
			if x := num(left + share*wide); !strings.Contains(demand, x+" ") {
				t.Errorf("the demand %q has no step at %s", demand, x)
			}
		}
		top, tall := number(t, grounds[1].attr["y"]), number(t, grounds[1].attr["height"])
		// The panel reaches 6 % over the capacity of 2 MWh: 1.5 MWh stands at 1.5/2.12 of its height.
		if want := num(left+wide/2) + " " + num(top+tall*(1-1.5/2.12)); !strings.Contains(of(all, "stored")[0].attr["d"], want) {
			t.Errorf("the stored heat is %q; want it through %s", of(all, "stored")[0].attr["d"], want)
		}
		for _, class := range []string{"sun", "store", "boiler", "lack", "into", "spilled"} {
			if n := len(of(all, class)); n != 2 { // in the legend and in the plot
				t.Errorf("class %s is there %d times; want 2", class, n)
			}
		}
	}
}

func TestDaySaysWhatItShows(t *testing.T) {
	d := shift()
	all := elements(t, must(t, d))
	const title = "Tue 4 Feb: 6 MWh asked for; sun 2.4 MWh, store 1.5 MWh, boilers 1.8 MWh; 0.3 MWh not met"
	if all[1].text != title {
		t.Errorf("title is %q; want %q", all[1].text, title)
	}
	const desc = "Heat hour by hour in kW, stacked from zero up: sun, store, boilers, and what is not met; the demand is a stepped line. " +
		"Below zero: 1.5 MWh of sun into the store, 0.6 MWh let go. " +
		"Lower panel: the heat in the store lies between 0 and 1.5 MWh, highest at 12:00; full is 2 MWh."
	if got := strings.TrimSpace(all[2].text); got != desc {
		t.Errorf("desc is\n%s\nwant\n%s", got, desc)
	}
	d.HeatUnit, d.HeatTimes, d.EnergyUnit, d.EnergyTimes = "kg/h", 1.5, "t", 0.0015
	if got := elements(t, must(t, d))[1].text; !strings.HasPrefix(got, "Tue 4 Feb: 9 t asked for; sun 3.6 t") {
		t.Errorf("title in t is %q", got)
	}
	idle := Day{StartLabel: nasty, StepH: 1, DemandKW: make([]float64, 24), HeatUnit: "kW", HeatTimes: 1, EnergyUnit: "MWh", EnergyTimes: 0.001}
	if got := elements(t, must(t, idle))[1].text; !strings.HasSuffix(got, ": no heat is asked for") {
		t.Errorf("title of an idle day is %q", got)
	}
}

func must(t *testing.T, d Day) string {
	t.Helper()
	s, err := d.SVG()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestDayRefuses(t *testing.T) {
	for _, row := range []struct {
		change func(*Day)
		want   string
	}{
		{func(d *Day) { d.SunKW = d.SunKW[:3] }, "day: sun: are 3 values; want 4"},
		{func(d *Day) { d.BoilerKW[1] = math.NaN() }, "day: boilers: value 2 is NaN; want a number within ±1e15"},
		{func(d *Day) { d.StoreKW[0] = -3 }, "day: store: value 1 is -3; want 0 or more"},
		{func(d *Day) { d.StoredKWh = d.StoredKWh[:4] }, "day: stored heat: are 4 values; want 5"},
		{func(d *Day) { d.StepH = math.NaN() }, "day: step: is NaN h; want more than 0, up to 24"},
		{func(d *Day) { d.HeatTimes = 0 }, "day: heat in kW: is 0 of a kW; want more than 0"},
		{func(d *Day) { d.EnergyTimes = math.NaN() }, "day: energy in MWh: is NaN of a kWh; want more than 0"},
		{func(d *Day) { d.EnergyUnit = "" }, `day: units: are "kW" and ""; want a name each`},
		{func(d *Day) { *d = Day{StepH: 1, HeatUnit: "kW", HeatTimes: 1, EnergyUnit: "t", EnergyTimes: 1} }, "day: demand: are 0 values; want 1 to 2000"},
	} {
		d := shift()
		row.change(&d)
		_, err := d.SVG()
		wantError(t, err, row.want)
	}
}

func TestClockText(t *testing.T) {
	for _, row := range []struct {
		hour float64
		want string
	}{{0, "00:00"}, {6.5, "06:30"}, {24, "24:00"}, {25, "01:00"}, {48, "24:00"}, {7.75, "07:45"}} {
		if got := clockText(row.hour); got != row.want {
			t.Errorf("hour %g is %s; want %s", row.hour, got, row.want)
		}
	}
}
