package scenarios

import (
	"math"
	"strings"
	"testing"

	"noonkeep/demand"
)

// The heat of a year's hot water, by every way of giving the make-up.
func TestHotWaterHeat(t *testing.T) {
	t.Parallel()
	for _, r := range []struct {
		name, water string
		wantKWh     float64
		tol         float64
		src         string
	}{
		{"one temperature", "{draw: 5 m3/d, to: 80 degC, make_up: 15 degC}", 365 * 377.15, 1.5e-3, "checks-heat.md 7.9 for 5 m3, with constant properties: 0.15 %"},
		{"by the hour", "{draw: 1000 l/h, to: 60 degC, make_up: 10 degC}", 8760 * 999.8 * (251.15 - 42.02) / 3600, 1e-3, "checks-heat.md 1.3, h' by hand; 4 bar(a) here: 0.1 %"},
		{"by the month", "{draw: 2 m3/d, to: 60 degC, make_up_months: [10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10 degC]}", 365 * 2 * 999.8 * (251.15 - 42.02) / 3600, 1e-3, "the same"},
		{"a tank and its loss", "{draw: 5 m3/d, to: 80 degC, make_up: 15 degC, tank: {volume: 5 m3, heater: 60 kW, loss: 12 kWh/d}}", 365 * (377.15 + 12), 1.5e-3, "the same and the loss"},
	} {
		t.Run(r.name, func(t *testing.T) {
			t.Parallel()
			c := mustParse(t, chilled("{name: taps, hot_water: "+r.water+"}", ""), nil)
			if got := partsSum(t, c, 0); math.Abs(got-r.wantKWh) > r.tol*r.wantKWh {
				t.Errorf("%g kWh, want %g (%s)", got, r.wantKWh, r.src)
			}
			if len(c.Warnings) > 0 && strings.Contains(c.Warnings[0].Text, "tank") {
				t.Errorf("%+v", c.Warnings)
			}
		})
	}
}

// The season comes from the study's own weather and hemisphere: the mirrored place with the months half a year off
// takes the same heat, and its least in the other half of the year.
func TestHotWaterHemispheres(t *testing.T) {
	t.Parallel()
	unraced(t)
	for _, makeUp := range []string{"", ", make_up_ground: {depth: 1.5 m}"} {
		north := chilled("{name: taps, hot_water: {draw: 12 m3/d, to: 60 degC"+makeUp+"}}", "")
		south := strings.NewReplacer("latitude: 39.2", "latitude: -39.2", "ghi: [2.2, 3.2, 4.7, 5.7, 6.8, 7.9, 8.1, 7.1, 5.5, 3.7, 2.5, 1.9", "ghi: [8.1, 7.1, 5.5, 3.7, 2.5, 1.9, 2.2, 3.2, 4.7, 5.7, 6.8, 7.9",
			"air: [5, 7, 10, 13, 17, 23, 26, 26, 21, 15, 9, 6", "air: [26, 26, 21, 15, 9, 6, 5, 7, 10, 13, 17, 23").Replace(north)
		n, s := mustParse(t, north, nil), mustParse(t, south, nil)
		a, b := partsSum(t, n, 0), partsSum(t, s, 0)
		// Why 4e-3: the halves of a year differ by three days, and so does the mean of the same months turned round.
		if math.Abs(a-b) > 4e-3*a {
			t.Errorf("%q: north %g kWh, south %g", makeUp, a, b)
		}
		feb, aug := 40*24, 225*24
		if !(n.Loads[0].KW[feb] > n.Loads[0].KW[aug] && s.Loads[0].KW[feb] < s.Loads[0].KW[aug]) {
			t.Errorf("%q: north %g and %g kW in February and August, south %g and %g", makeUp, n.Loads[0].KW[feb], n.Loads[0].KW[aug], s.Loads[0].KW[feb], s.Loads[0].KW[aug])
		}
	}
}

// A tank's heater is all that the header sees, and what it cannot give is said.
func TestHotWaterTank(t *testing.T) {
	t.Parallel()
	load := `{name: cleaning, when: "Mon-Fri 14:00-14:30", hot_water: {draw: 6 m3/d, to: 75 degC, make_up: 12 degC, tank: {volume: VOLUME, heater: 40 kW}}}`
	c := mustParse(t, chilled(strings.Replace(load, "VOLUME", "7 m3", 1), ""), nil)
	partsSum(t, c, 0)
	if peak, _ := c.Loads[0].KW.Peak(); peak != 40 {
		t.Errorf("peak %g kW, want the heater's 40", peak)
	}
	// Half an hour of a smaller tank: it holds less than the draw, so some is not met, every time.
	c = mustParse(t, chilled(strings.Replace(load, "VOLUME", "3 m3", 1), ""), nil)
	heat := partsSum(t, c, 0)
	found := ""
	for _, w := range c.Warnings {
		if strings.Contains(w.Text, "hot_water.tank: runs empty") {
			found = w.Text
		}
	}
	if !strings.HasPrefix(found, "loads[cleaning].hot_water.tank: runs empty: in 261 h the taps get") {
		t.Errorf("%q, %+v", found, c.Warnings)
	}
	// By hand: what 261 draws take, less what they could: the tank and the heater's hour of 40 kWh.
	water := demand.HotWater{ToC: 75, MakeUpC: []float64{12}}
	tank, err := water.TankKWhM3()
	if err != nil {
		t.Fatal(err)
	}
	if want := 261 * (3*tank[0] + 40); math.Abs(heat-want) > 1e-9*want {
		t.Errorf("%g kWh, want %g: 261 times a whole tank and an hour of the heater", heat, want)
	}
}
