package scenarios

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"noonkeep/plant/clock"
)

// batchOf is the plain scenario with its load a batch of these keys, each on a line from 14 on.
func batchOf(t testing.TB, keys ...string) string {
	t.Helper()
	s := "  - name: works\n    batch:\n      " + strings.Join(keys, "\n      ") + "\n"
	return with(t, "  - {name: works, header: main, steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"}\n", s)
}

// What a scenario's batches come to, by hand and by published arithmetic.
func TestBatchLoads(t *testing.T) {
	t.Parallel()
	unraced(t)
	for _, c := range []struct {
		name string
		keys []string
		kWh  float64 // in the year
		tol  float64
		says string
		part string // of the first part's text
		src  string
	}{
		{"dye bath", []string{"mass: 1000 kg", "liquor_ratio: 10", "specific_heat: 4.19 kJ/kgK", "goods_specific_heat: 0 kJ/kgK", "from: 15 degC", "to: 98 degC",
			"heat_up: {gradient: 2 K/min}", "starts: daily 06:00"}, 365 * 966.03, 365 * 0.005,
			"365 batches of 42 min, 966 kWh and at most 1397 kW, begun daily 06:00", "a batch has 966 kWh: 966 warm the liquor",
			"checks-heat.md 7.8 by the kg of textile; 10 000 kg by 4.19 by 2 K/min is 1396.7 kW"},
		{"cleaning tank", []string{"volume: 5 m3", "density: 998 kg/m3", "specific_heat: 4.186 kJ/kgK", "from: 15 degC", "to: 80 degC",
			"heat_up: {power: 200 kW}", "starts: Mon-Fri 06:00, 18:00"}, 522 * 377.15, 522 * 0.005,
			"522 batches of 1 h 53 min, 377.1 kWh and at most 200 kW, begun Mon-Fri 06:00, 18:00", "", "checks-heat.md 7.9; 261 weekdays"},
		{"water by the steam tables", []string{"volume: 5 m3", "from: 20 degC", "to: 80 degC", "heat_up: {power: 200 kW}", "starts: daily 06:00"},
			365 * 5 * 998.161 * (334.95 - 83.92) / 3600, 365 * 0.1, "", "", "checks-heat.md 1.3, rows 20 and 80 degC; along the boiling line h' grows with pressure too"},
		{"wool in a machine", []string{"mass: 300 kg", "liquor_ratio: 10", "goods: wool", "machine: {mass: 900 kg, material: stainless steel}", "from: 20 degC", "to: 60 degC",
			"heat_up: {power: 500 kW}", "starts: daily 06:00"}, 365 * (3000*4.18 + 300*1.36 + 900*0.5) * 40 / 3600, 365 * 0.3, "", "warm the liquor and 9.533 warm goods and machine",
			"by hand; water 4.18 kJ/kgK between 20 and 60 degC, checks-heat.md 1.3: (251.15 - 83.92)/40"},
		{"loss while held", []string{"mass: 1 t", "specific_heat: 3.6 kJ/kgK", "from: 20 degC", "to: 80 degC", "hold: 90 min", "loss: 5 kW", "heat_up: {power: 125 kW}", "starts: daily 06:00"},
			365 * (125*0.5 + 5*1.5), 1e-6, "365 batches of 2 h, 70 kWh and at most 125 kW, begun daily 06:00", "a batch has 70 kWh: 60 warm the liquor and 10 are lost", "by hand: 1 kWh/K at 120 kW net"},
		{"surface", []string{"mass: 1 t", "specific_heat: 3.6 kJ/kgK", "from: 80 degC", "to: 80 degC", "hold: 2 h", "surface: 5 m2", "loss_coefficient: 10 W/m2K", "heat_up: {power: 125 kW}", "starts: daily 06:00"},
			365 * 2 * 3, 1e-6, "", "a batch has 6 kWh: 6 are lost", "by hand: 50 W/K over 60 K"},
		{"refills", []string{"mass: 1 t", "specific_heat: 3.6 kJ/kgK", "from: 20 degC", "to: 80 degC", "refills: 2", "heat_up: {power: 100 kW}", "starts: daily 06:00"},
			365 * 180, 1e-6, "", "", "by hand: three baths of 60 kWh"},
		{"in turn", []string{"mass: 1 t", "specific_heat: 3.6 kJ/kgK", "from: 20 degC", "to: 80 degC", "heat_up: {power: 60 kW}", "every: 90 min", "machines: 2"},
			2 * 5840 * 60, 1e-6, "11680 batches of 1 h, 60 kWh and at most 60 kW, one every 1 h 30 min, always; 2 machines that begin at once", "", "8760 h / 1.5 h, each machine"},
		{"stages", []string{"mass: 1 t", "specific_heat: 3.6 kJ/kgK", "stages:", "  - {from: 20 degC, to: 50 degC, gradient: 1 K/min, hold: 20 min}", "  - {to: 90 degC, hold: 10 min}", "  - {to: 70 degC, gradient: 2 K/min}",
			"  - {wait: 10 min, from: 40 degC, to: 60 degC}", "heat_up: {power: 120 kW}", "starts: daily 06:00"},
			365 * 90, 1e-6, "365 batches of 1 h 50 min, 90 kWh and at most 120 kW, begun daily 06:00", "", "by hand: 30 + 40 + 20 kWh; 30 + 20 + 20 + 10 + 10 + 10 + 10 min"},
	} {
		got, err := Parse("my.yaml", []byte(batchOf(t, c.keys...)), nil)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		load := got.Loads[0]
		parts := 0.0
		for _, p := range load.Parts {
			parts += p.KWh
		}
		if sum := load.KW.EnergyKWh(1); math.Abs(sum-c.kWh) > c.tol || math.Abs(parts-sum) > 1e-9*sum {
			t.Errorf("%s: %.4f kWh, its parts %.4f; want %.4f (%s)", c.name, sum, parts, c.kWh, c.src)
		}
		if c.says != "" && load.Says != c.says {
			t.Errorf("%s:\nsays %s\nwant %s", c.name, load.Says, c.says)
		}
		if !strings.Contains(load.Parts[0].Text, c.part) {
			t.Errorf("%s: its part tells %q; want %q", c.name, load.Parts[0].Text, c.part)
		}
	}
}

// What stagger does stands beside what it would be without.
func TestBatchStagger(t *testing.T) {
	t.Parallel()
	c, err := Parse("my.yaml", []byte(batchOf(t, "mass: 1 t", "specific_heat: 3.6 kJ/kgK", "from: 20 degC", "to: 80 degC", "heat_up: {power: 60 kW}",
		"starts: Mon-Fri 06:00", "machines: 4", "stagger: 30 min")), nil)
	if err != nil {
		t.Fatal(err)
	}
	// An hour of 60 kW each, half an hour apart: two overlap at any time.
	want := "1044 batches of 1 h, 60 kWh and at most 60 kW, begun Mon-Fri 06:00; 4 machines, each 30 min after the last: 120 kW at most by the step, 240 kW if they began at once"
	if got := c.Loads[0].Says; got != want {
		t.Errorf("\n got %s\nwant %s", got, want)
	}
	if day := c.Loads[0].KW[24+6 : 24+9]; math.Abs(day[0]-90) > 1e-9 || math.Abs(day[1]-120) > 1e-9 || math.Abs(day[2]-30) > 1e-9 {
		t.Errorf("got %v from six, want 90, 120, 30 (by hand)", day)
	}
	var zero clock.When
	if !c.Loads[0].When.Equal(zero) {
		t.Errorf("a load with starts has hours: %v", c.Loads[0].When)
	}
}

// Every key of a batch with what it fills in.
func TestBatchAssumes(t *testing.T) {
	t.Parallel()
	c, err := Parse("my.yaml", []byte(batchOf(t, "mass: 300 kg", "liquor_ratio: 10", "machine: {mass: 900 kg}", "from: 20 degC", "to: 60 degC",
		"heat_up: {coil: 6 m2, coefficient: 800 W/m2K, pressure: 3 bar(g)}", "starts: daily 06:00")), nil)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, a := range c.Assumptions {
		if key, ok := strings.CutPrefix(a.Key, "loads[works].batch."); ok {
			got = append(got, key+": "+a.Value+", "+a.Text)
		}
	}
	want := `machines: 1, Vessels that all work like this (one vessel)
loss: 0 kW, the vessel loses no heat
specific_heat: 4.181 kJ/kgK, water, 20 to 60 degC (IAPWS R7-97(2012), boiling liquid)
goods_specific_heat: 1.3 kJ/kgK, textile, 20 to 60 degC (Morton and Hearle, Physical Properties of Textile Fibres, table 6.1, dry fibre: 1.03 to 1.59, about the middle)
machine.specific_heat: 0.49 kJ/kgK, steel, 20 to 60 degC (engineeringtoolbox.com, specific heats of metals, carbon steel)`
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("\n got %s\nwant %s", s, want)
	}
}

// The schema takes the case of batches, and refuses a wrong unit in it.
func TestSchemaTakesBatches(t *testing.T) {
	t.Parallel()
	schema := map[string]any{}
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile("testdata/cases/batch.txt")
	if err != nil {
		t.Fatal(err)
	}
	above, _, _ := strings.Cut(string(data), "\n----\n")
	for _, fault := range holds(t, schema, asJSON(t, []byte(above)), "batch") {
		t.Error(fault)
	}
	for _, pair := range [][2]string{{"2 K/min", "2 K"}, {"1500 W/m2K", "1500"}, {"300 kg", "300"}, {"starts: Mon", "start: Mon"}} {
		if faults := holds(t, schema, asJSON(t, []byte(strings.Replace(above, pair[0], pair[1], 1))), "batch"); len(faults) == 0 {
			t.Errorf("%q in place of %q is taken", pair[1], pair[0])
		}
	}
}
