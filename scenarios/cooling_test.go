package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"noonkeep/demand"
)

// chilled is a plant whose one load is what is given, with an exchanger store.
func chilled(load, store string) string {
	return `noonkeep: 1
name: cellar
site: {latitude: 39.2 deg, longitude: -3.4 deg, elevation: 660 m, utc_offset: +1 h}
weather:
  monthly:
    ghi: [2.2, 3.2, 4.7, 5.7, 6.8, 7.9, 8.1, 7.1, 5.5, 3.7, 2.5, 1.9 kWh/m2d]
    air: [5, 7, 10, 13, 17, 23, 26, 26, 21, 15, 9, 6 degC]
headers: [{name: main, pressure: 8 bar(a), feedwater: 150 degC}]
loads:
  - ` + load + `
fuels: [{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}]
boilers: [{name: B1, capacity: 1 MW, efficiency: 90 %}]
fields: [{name: troughs, collector: {kind: vacuum trough, tracking: east-west axis}, count: 4, aperture: 60 m2}]
store: {vessel: exchanger, working_pressure: 20 bar(g), steps: 0..40 m3` + store + `}
`
}

func mustParse(t *testing.T, text string, open Open) Case {
	t.Helper()
	c, err := Parse("my.yaml", []byte(text), open)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// partsSum checks that a load's parts make up its heat, and gives it in kWh.
func partsSum(t *testing.T, c Case, load int) float64 {
	t.Helper()
	l := c.Loads[load]
	heat, parts := l.KW.EnergyKWh(c.Axis.StepH()), 0.0
	for _, p := range l.Parts {
		parts += p.KWh
		if p.Name == "" || p.Text == "" {
			t.Errorf("%s: a part says nothing: %+v", l.Name, p)
		}
	}
	if math.Abs(parts-heat) > 1e-9*heat || heat == 0 {
		t.Errorf("%s: parts %g kWh, heat %g", l.Name, parts, heat)
	}
	return heat
}

// The heat of a steady cold is its cold over the COP: that of the rating where the header is hot enough (8 bar(a),
// 170.4 degC), that of the store's supply where it is less.
func TestChillerHeat(t *testing.T) {
	t.Parallel()
	const hours = 8760
	for _, r := range []struct {
		name, cold, chiller, store string
		wantKW, floorC             float64
		src                        string
	}{
		{"single effect at full load", "power: 350 kW", "{kind: single effect, capacity: 350 kW, generator: 115 degC}", ", supply: 120 degC", 500, 125,
			"checks-heat.md 6.7: 350 kW at 0.70; floor: supply and 5 K by hand"},
		{"double effect at full load", "power: 350 kW", "{kind: double effect, capacity: 350 kW}", ", supply: 165 degC", 350 / 1.2, 170,
			"checks-heat.md 6.7: 350 kW at 1.20"},
		{"tons of refrigeration", "power: 100 TR", "{kind: double effect, capacity: 100 TR}", ", supply: 165 degC", 100 * 3.51685 / 1.2, 170,
			"checks-heat.md 6.8: 3.51685 kW a ton"},
		{"the store's floor is the generator's", "power: 262.5 kW", "{kind: double effect, capacity: 350 kW}", "", 262.5 / (1.2 * 0.75 / (0.07 + 0.93*0.75)), 155,
			"by hand: 75 % of the capacity at 150 degC, COP of the two straight lines there; floor 150 and 5 K"},
		{"its own least generator", "power: 300 kW", "{kind: double effect, capacity: 300 kW, least_generator: 140 degC, least_capacity: 100 %}", "", 250, 145,
			"by hand: nothing is lost at 140 degC"},
		{"half load by a table", "power: 100 kW", "{kind: double effect, capacity: 200 kW, part_load: [{load: 50 %, cop: 80 %}, {load: 1, cop: 1}]}", ", supply: 165 degC", 100 / 0.96, 170,
			"by hand: 80 % of 1.2"},
	} {
		t.Run(r.name, func(t *testing.T) {
			t.Parallel()
			c := mustParse(t, chilled("{name: cellar, cooling: {"+r.cold+", chiller: "+r.chiller+"}}", r.store), nil)
			if got := partsSum(t, c, 0) / hours; math.Abs(got-r.wantKW) > 1e-5*r.wantKW {
				t.Errorf("%g kW, want %g (%s)", got, r.wantKW, r.src)
			}
			if got := c.Store.FloorC(); math.Abs(got-r.floorC) > 1e-9 {
				t.Errorf("floor %g degC, want %g (%s)", got, r.floorC, r.src)
			}
			if c.Headers[0].DemandKW[0] != c.Loads[0].KW[0] || !strings.Contains(c.Loads[0].Says, "effect chiller") {
				t.Errorf("header takes %g kW, load %g; says %q", c.Headers[0].DemandKW[0], c.Loads[0].KW[0], c.Loads[0].Says)
			}
		})
	}
}

// The cold by the outdoor air is recomputed hour by hour from the case's own weather and the chiller.
func TestChillerByAir(t *testing.T) {
	t.Parallel()
	c := mustParse(t, chilled(`{name: cellar, when: "daily 08:00-20:00", season: 1 May..30 Sep, cooling: {
      design: {cooling: 300 kW, at: 34 degC, balance: 16 degC, base: 40 kW}, chiller: {kind: double effect, capacity: 500 kW}}}`, ", supply: 165 degC"), nil)
	partsSum(t, c, 0)
	if n := len(c.Loads[0].Parts); n != 2 {
		t.Errorf("%d parts, want the base and the air's", n)
	}
	chiller := demand.Chiller{Effect: demand.DoubleEffect, CapacityKW: 500, COP: 1.2, GeneratorC: 165, LeastC: 150, LeastFrac: 0.75, CoolingC: 29.4, ChilledC: 6.7}
	on := 0
	for i, got := range c.Loads[0].KW {
		at, want := c.Axis.At(i), 0.0
		if at.Month() >= time.May && at.Month() <= time.September && at.Hour() >= 8 && at.Hour() < 20 {
			cold := 40 + 260./18*max(c.Weather.AirC[i]-16, 0)
			want = cold / chiller.COPAt(165, cold/500)
			on++
		}
		if math.Abs(got-want) > 1e-9*want {
			t.Fatalf("%s: %g kW, want %g", c.Axis.Label(i), got, want)
		}
	}
	if on != 153*12 {
		t.Errorf("it runs %d h, want 153 days of 12", on)
	}
}

// A measured series of cold.
func TestChillerSeries(t *testing.T) {
	t.Parallel()
	series := func(unit string, rows int) string {
		b := strings.Builder{}
		b.WriteString("time," + unit + "\n")
		for i := range rows {
			fmt.Fprintf(&b, "%s,60\n", time.Date(2026, 1, 1, i, 0, 0, 0, time.UTC).Format("2006-01-02 15:04"))
		}
		return b.String()
	}
	folder := files{"cold.csv": series("kW", 8760), "steam.csv": series("kg/h", 8760), "short.csv": series("kW", 100)}
	load := func(name string) string {
		return chilled("{name: cellar, cooling: {series: "+name+", chiller: {kind: double effect, capacity: 60 kW}}}", ", supply: 165 degC")
	}
	c := mustParse(t, load("cold.csv"), folder.open)
	if got := partsSum(t, c, 0) / 8760; math.Abs(got-50) > 1e-9 {
		t.Errorf("%g kW, want 60/1.2", got)
	}
	for name, want := range map[string]string{
		"steam.csv": `my.yaml:10: loads[cellar].cooling.series: steam.csv: is in kg/h; want kW of cold`,
		"none.csv":  `my.yaml:10: loads[cellar].cooling.series: "none.csv": file does not exist`,
		"short.csv": `my.yaml:10: loads[cellar].cooling.series: short.csv:101: 100 rows of 60 min run 2026-01-01 00:00 to 2026-01-05 04:00; want 8760 rows, 2026-01-01 00:00 to 2027-01-01 00:00`,
	} {
		if _, err := Parse("my.yaml", []byte(load(name)), folder.open); err == nil || err.Error() != want {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
	if _, err := Parse("my.yaml", []byte(strings.Replace(load("cold.csv"), "name: cellar, ", "name: cellar, when: always, ", 1)), folder.open); err == nil ||
		!strings.Contains(err.Error(), "has hours or a season beside a series") {
		t.Error(err)
	}
}

// What goes with steam by the shift alone is refused, and hours that change by the week are not.
func TestChillerHours(t *testing.T) {
	t.Parallel()
	load := `{name: cellar, rota: ["Mon-Fri 06:00-14:00", "Mon-Fri 14:00-22:00"], rota_from: 2026-01-05, seasons: [1 Jun..30 Jun, 1 Sep..30 Sep], cooling: {power: 120 kW, chiller: {kind: double effect, capacity: 120 kW}}}`
	c := mustParse(t, chilled(load, ", supply: 165 degC"), nil)
	if got, want := partsSum(t, c, 0), 100*8.*(22+22); math.Abs(got-want) > 1e-9*want {
		t.Errorf("%g kWh, want %g: 44 working days of June and September 2026, 8 h of 100 kW", got, want)
	}
	_, err := Parse("my.yaml", []byte(chilled(`{name: taps, ramp: 1 h, hot_water: {draw: 12 m3/d, to: 60 degC}}`, "")), nil)
	if err == nil || err.Error() != "my.yaml:10: loads[taps].ramp: goes with steam or heat by the hours of a week; a load by hot_water has no such thing" {
		t.Error(err)
	}
}

// A flash vessel and a store on another header leave the chiller its header's steam.
func TestChillerWithoutItsStore(t *testing.T) {
	t.Parallel()
	load := "{name: cellar, cooling: {power: 350 kW, chiller: {kind: double effect, capacity: 350 kW}}}"
	flash := strings.Replace(chilled(load, ""), "exchanger", "flash", 1)
	other := strings.Replace(chilled(load, ", header: low, exchanger_rating: 100 kW"), "150 degC}]", "150 degC}, {name: low, pressure: 2 bar(g)}]", 1)
	for _, text := range []string{flash, other} {
		c := mustParse(t, text, nil)
		if got := c.Loads[0].KW[0]; math.Abs(got-350/1.2) > 1e-5*350 {
			t.Errorf("%g kW, want the rated COP", got)
		}
	}
	// Alone on its header the store's floor is its steam temperature, as ever.
	c := mustParse(t, other, nil)
	if !slices.ContainsFunc(c.Assumptions, func(a Assumption) bool {
		return a.Key == "store.supply" && strings.Contains(a.Text, "steam temperature of header low")
	}) {
		t.Errorf("supply: %+v", c.Assumptions)
	}
}

// A variant whose store gives colder heat works its chiller out anew.
func TestChillerInVariant(t *testing.T) {
	t.Parallel()
	c := mustParse(t, chilled("{name: cellar, cooling: {power: 200 kW, chiller: {kind: double effect, capacity: 350 kW}}}", ", supply: 165 degC")+
		"variants: [{name: lower, change: {store: {remove: [supply]}}}]\n", nil)
	lower, err := c.Vary("lower")
	if err != nil {
		t.Fatal(err)
	}
	// By hand: 150 degC leaves 262.5 kW and, of the rated COP, 0.75/(0.07 + 0.93*0.75).
	want := 200 / (1.2 * 0.75 / (0.07 + 0.93*0.75) * demand.UsualPartLoad(200/262.5))
	if got := lower.Loads[0].KW[0]; math.Abs(got-want) > 1e-9*want || got == c.Loads[0].KW[0] {
		t.Errorf("%g kW, want %g; at 165 degC %g", got, want, c.Loads[0].KW[0])
	}
	if got := lower.Store.FloorC(); got != 155 {
		t.Errorf("floor %g degC, want 155", got)
	}
}
