//go:build cgo

package main

import (
	"encoding/json"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// bleaching makes of a part of the dyehouse's day shifts work that may be moved within them: 550 kg of steam for
// each hour of a window, at up to so many an hour.
func bleaching(t *testing.T, within, kg, mostKgH string) string {
	t.Helper()
	return scenario(t, "dyehouse", "steam: 1250 kg/h", "steam: 700 kg/h", "\nfuels:",
		"  - name: bleaching\n    movable: {steam: "+kg+" kg, within: \""+within+"\", most: "+mostKgH+" kg/h}\n\nfuels:")
}

// workDays of the dyehouse in 2026, by the calendar: 313 from Monday to Saturday, less 4 holidays that fall on
// such days, less two weeks of shutdown.
const workDays = 313 - 4 - 12

// oneLine is a text without its line breaks.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// movableJSON is the contract of the key movable, read back by its keys alone.
type movableJSON struct {
	Volume float64  `json:"volume_m3"`
	Heat   float64  `json:"heat_kWh"`
	Cost   *float64 `json:"annual_cost"`
	Fixed  *float64 `json:"fixed_annual_cost"`
	Worth  *float64 `json:"worth"`
	WhyNot string   `json:"why_not"`
}

func movableOf(t *testing.T, args ...string) (curveJSON, *movableJSON) {
	t.Helper()
	out := must(t, append([]string{"curve", "--json"}, args...)...)
	var c curveJSON
	var m struct {
		Movable *movableJSON `json:"movable"`
	}
	if err := json.Unmarshal([]byte(out), &c); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(out), &m); err != nil {
		t.Fatal(err)
	}
	return c, m.Movable
}

// Without slack the work is the dyehouse's own load: each point costs the same, and to choose its hours is worth
// nothing. With slack each point costs less.
func TestMovableCurve(t *testing.T) {
	unraced(t)
	t.Parallel()
	want, none := movableOf(t, "dyehouse", "--to", "80", "--step", "40")
	if none != nil {
		t.Errorf("the dyehouse has no work that may be moved, and yet %+v", none)
	}
	full, m := movableOf(t, bleaching(t, "Mon-Sat 06:00-22:00", "8800", "550"), "--to", "80", "--step", "40")
	for _, v := range []float64{0, 40, 80} {
		near(t, "cost without slack", full.at(t, v).Cost, want.at(t, v).Cost, 1e-9)
	}
	if m == nil || m.Worth == nil || math.Abs(*m.Worth) > 1e-9*want.at(t, 40).Cost || m.Volume != 40 {
		t.Fatalf("without slack %+v; want a worth of 0 at 40 m³", m)
	}
	free, m := movableOf(t, bleaching(t, "Mon-Sat 06:00-22:00", "8800", "1100"), "--to", "80", "--step", "40")
	for _, v := range []float64{0, 40, 80} {
		if got, most := free.at(t, v).Cost, want.at(t, v).Cost; got > most*(1-1e-3) {
			t.Errorf("at %g m³ %g with the choice, %g without", v, got, most)
		}
	}
	if free.Engine != "clp" || m.Cost == nil || m.Fixed == nil || *m.Worth != *m.Fixed-*m.Cost || *m.Worth <= 0 || *m.Cost != free.at(t, 40).Cost {
		t.Errorf("engine %s, %+v; want a worth above 0 from the cost of the curve", free.Engine, m)
	}
	heat := workDays * 8800 * 2406.0 / 3600 // 2406 kJ for a kg, as check says
	near(t, "heat", m.Heat, heat, 5e-4)
}

// demand_kW holds the work at the hours that the plan chose; moved_kW, the last column, holds it alone.
func TestMovableSchedule(t *testing.T) {
	unraced(t)
	t.Parallel()
	path := bleaching(t, "Mon-Sat 06:00-22:00", "8800", "1100")
	columns, values := scheduleCSV(t, path)
	first := []string{"time", "demand_kW", "sun_to_header_kW", "sun_to_store_kW", "store_out_kW", "boiler_kW", "keep_warm_kW",
		"unmet_kW", "spilled_sun_kW", "stored_kWh", "fuel_kW", "cost"}
	if !slices.Equal(columns[:12], first) || columns[len(columns)-1] != "moved_kW" {
		t.Fatalf("columns %v", columns)
	}
	_, fixed := scheduleCSV(t, scenario(t, "dyehouse", "steam: 1250 kg/h", "steam: 700 kg/h"))
	window := 0.0
	for _, kW := range values["moved_kW"] {
		window += kW / workDays
	}
	near(t, "a window", window, 8800*2406.0/3600, 5e-4)
	days := 0
	for day := range 365 {
		sum, in := 0.0, 0.0
		for t := day * 24; t < day*24+24; t++ {
			sum += values["moved_kW"][t]
			if h := t % 24; h >= 6 && h < 22 {
				in += values["moved_kW"][t]
			}
		}
		if math.Abs(sum-in) > 1e-9 || !(math.Abs(sum-window) < 1e-9*window || sum == 0) || sum > 0 && (day+3)%7 == 6 {
			t.Errorf("day %d: %g kWh, %g of them from 6 to 22 h; want %g, and none on a Sunday", day, sum, in, window)
		}
		if sum > 0 {
			days++
		}
	}
	if days != workDays {
		t.Errorf("work on %d days; want %d", days, workDays)
	}
	for step, kW := range values["demand_kW"] {
		if math.Abs(kW-values["moved_kW"][step]-fixed["demand_kW"][step]) > 1e-9 {
			t.Fatalf("step %d: %g kW with %g moved, %g else", step, kW, values["moved_kW"][step], fixed["demand_kW"][step])
		}
	}
	text := must(t, "schedule", path)
	for _, want := range []string{"  of it at hours that the plan chose", "MWh a year is work whose hours the plan chooses. At 40 m³ that is worth", "may be moved"} {
		if !strings.Contains(oneLine(text), strings.TrimSpace(want)) {
			t.Errorf("schedule does not say %q:\n%s", want, text)
		}
	}
	if text := must(t, "curve", path, "--to", "40", "--step", "40"); !strings.Contains(oneLine(text), "At 40 m³ that is worth") || !strings.Contains(text, `Engine clp: the work "bleaching" may be moved.`) {
		t.Errorf("curve says\n%s", text)
	}
	if js := must(t, "export", path, "--json", "-"); !strings.Contains(js, `"moves": [`) || !strings.Contains(js, `"name": "bleaching"`) {
		t.Error("the exported JSON has no moves")
	}
}

// Where boilers cannot do the work as soon as it may be, there is a plan all the same, and no worth.
func TestMovableThatCannotBeSooner(t *testing.T) {
	t.Parallel()
	path := bleaching(t, "Mon-Sat 06:00-22:00", "8800", "2500")
	_, m := movableOf(t, path, "--to", "40", "--step", "40")
	if m == nil || m.Cost == nil || m.Fixed != nil || m.Worth != nil || !strings.HasPrefix(m.WhyNot, `with all of it done as soon as it may be, header "main": `) {
		t.Errorf("%+v; want a cost, no worth and why", m)
	}
	if text := must(t, "schedule", path); !strings.Contains(oneLine(text), "At 40 m³ it cannot be said what that is worth: with all of it done as soon as it may be, header") {
		t.Errorf("schedule says\n%s", text)
	}
}

// Without Clp such a plant is refused in plain words, and nothing is written.
func TestMovableWithoutClp(t *testing.T) {
	t.Parallel()
	path := bleaching(t, "Mon-Sat 06:00-22:00", "8800", "1100")
	out, errOut, status := buildPlain(t).run(t, "curve", path, "--out", filepath.Join(t.TempDir(), "out"))
	if status != statusNoAnswer || out != "" || !strings.Contains(errOut, `engine clp: is not in this program, and is needed: the work "bleaching" may be moved; build with a C compiler`) {
		t.Errorf("exit status %d, %q, %s", status, out, errOut)
	}
}
