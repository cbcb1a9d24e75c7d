package scenarios

import (
	"math"
	"strings"
	"testing"
)

// works is the plain scenario's load, which these tests replace.
const works = `  - {name: works, header: main, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}`

// Work that may be moved asks for its heat in each window, is no demand of its header, and done as soon as it
// may be it is what the load shows.
func TestMovableLoadInTheProblem(t *testing.T) {
	t.Parallel()
	unraced(t)
	for _, tt := range []struct {
		step, load string
		moves      int
		kWh        float64 // 0 where it is steam
		src        string
	}{
		{"60 min", `{name: bath, movable: {heat: 900 kWh, within: "Mon-Fri 06:00-18:00", most: 400 kW}}`, 1, 261 * 900, "calendar: 261 days from Monday to Friday in 2026"},
		{"60 min", `{name: bath, movable: {heat: 3.24 GJ, within: "Mon-Fri 06:00-18:00", most: 0.4 MW, least: 10 kW}, season: 1 Jun..30 Jun}`, 1, 22 * 900, "calendar: 22 such days in June 2026; 3.24 GJ are 900 kWh"},
		{"60 min", `{name: bath, movable: {heat: 900 kWh, within: "daily 06:20-12:20, 12:20-18:00", most: 400 kW}}`, 2, 730 * 900, "two windows share the step at 12:00 and are two works"},
		{"15 min", `{name: bath, movable: {heat: 900 kWh, within: "daily 06:20-12:20, 12:20-18:00", most: 400 kW}}`, 2, 730 * 900, "and the quarter of an hour at 12:15"},
		{"30 min", `{name: bath, movable: {steam: 1.5 t, within: "daily 22:00-06:00", most: 600 kg/h}}`, 1, 0, "365 nights of 1500 kg"},
	} {
		c, err := Parse("plain.yaml", []byte(with(t, works, works+"\n  - "+tt.load, "step: 60 min", "step: "+tt.step)), nil)
		if err != nil {
			t.Errorf("%s: %v", tt.load, err)
			continue
		}
		p, err := c.Problem()
		if err != nil {
			t.Errorf("%s: %v", tt.load, err)
			continue
		}
		want := tt.kWh
		if want == 0 {
			want = 365 * 1500 * c.Headers[0].HeatKJKg / 3600
		}
		heat, shown := 0.0, make([]float64, c.Axis.N)
		for _, m := range p.Moves {
			for _, w := range m.Windows {
				heat += w.HeatKWh
			}
			for step, kW := range m.SoonestKW(p.StepH) {
				shown[step] += kW
			}
		}
		if len(p.Moves) != tt.moves || p.Moves[0].Name != "bath" || math.Abs(heat-want) > 1e-9*want {
			t.Errorf("%s: %d works of %.10g kWh; want %d of %.10g (%s)", tt.load, len(p.Moves), heat, tt.moves, want, tt.src)
		}
		load, parts := c.Loads[1], 0.0
		for _, part := range load.Parts {
			parts += part.KWh
		}
		if math.Abs(parts-want) > 1e-9*want {
			t.Errorf("%s: parts of %.10g kWh; want %.10g", tt.load, parts, want)
		}
		fixed := p.AtSoonest().Headers[0].DemandKW
		planned := c.Headers[0].PlannedKW()
		for step, kW := range load.KW {
			if math.Abs(kW-shown[step]) > 1e-9 || c.Headers[0].DemandKW[step] != c.Loads[0].KW[step] || math.Abs(fixed[step]-planned[step]) > 1e-9 {
				t.Fatalf("%s: step %d: shown %g kW, as soon as may be %g; demand %g of %g; planned %g, fixed %g",
					tt.load, step, kW, shown[step], c.Headers[0].DemandKW[step], c.Loads[0].KW[step], planned[step], fixed[step])
			}
		}
	}
}

// Windows that the year's ends cut are told of, and their heat stands apart.
func TestMovableLoadCutByTheYear(t *testing.T) {
	t.Parallel()
	c, err := Parse("plain.yaml", []byte(with(t, works, `  - {name: bath, movable: {heat: 800 kWh, within: "daily 22:00-06:00", most: 400 kW}}`)), nil)
	if err != nil {
		t.Fatal(err)
	}
	load := c.Loads[0]
	if want := "800 kWh in each window of daily 22:00-06:00, at the hours that the plan chooses; 2 cut by the year's ends, with its share of the heat"; load.Says != want {
		t.Errorf("says %q; want %q", load.Says, want)
	}
	if len(load.Parts) != 2 || math.Abs(load.Parts[0].KWh-364*800) > 1e-6 || math.Abs(load.Parts[1].KWh-800) > 1e-9 {
		t.Fatalf("parts %+v", load.Parts)
	}
	want := "the window of 31 Dec 2025 22:00 lies with 6 of its 8 h in the year and gets that share, 600 kWh; " +
		"the window of 31 Dec 2026 22:00 lies with 2 of its 8 h in the year and gets that share, 200 kWh"
	if load.Parts[1].Text != want {
		t.Errorf("says %q; want %q", load.Parts[1].Text, want)
	}
}

// A store's exchanger passes what its header may take at most: the work that may be moved at its most power too.
func TestMovableLoadRatesTheExchanger(t *testing.T) {
	t.Parallel()
	c, err := Parse("plain.yaml", []byte(with(t, works, `  - {name: press, heat: 100 kW}
  - {name: bath, movable: {heat: 800 kWh, within: "daily 06:00-18:00", most: 400 kW}}
  - {name: dip, movable: {heat: 30 kWh, within: "daily 06:00-18:00", most: 300 kW}}`, "vessel: flash", "vessel: exchanger")), nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := c.Store.Spec.LimitKW; math.Abs(got-(100+400+30)) > 1e-9 {
		t.Errorf("%g kW; want 100 + 400, and 30 since the dip has no more for an hour", got)
	}
}

// The boilers' doubt counts work that may be moved by its windows, not by an hour that it need not take.
func TestDoubtOfMovableLoads(t *testing.T) {
	t.Parallel()
	unraced(t)
	const bath = `  - {name: bath, movable: {heat: 900 kWh, within: "Mon-Fri 06:00-18:00", most: 400 kW}}`
	const dip = "\n" + `  - {name: dip, movable: {heat: 500 kWh, within: "Mon-Fri 08:00-14:00", most: 400 kW}}`
	for _, tt := range []struct {
		boiler, loads, says string
	}{
		{"100 kW", bath, ""}, // 12 h of 100 kW are more than 900 kWh, though as soon as may be it takes 400 kW
		{"70 kW", bath, `boilers have 840 kWh to spare beside the other loads for load "bath" in its window of 1 Jan 06:00 to 1 Jan 18:00, and it takes 900 kWh`},
		{"100 kW", bath + dip, `boilers have 700 kWh to spare beside the other loads and other work that may be moved for load "bath" in its window of 1 Jan 06:00 to 1 Jan 18:00, and it takes 900 kWh`},
		{"120 kW", bath + dip, ""},
		{"120 kW", bath + dip + "\n  - {name: press, heat: 121 kW}", "boilers give 120 kW and the loads take 121 kW on 1 Jan 00:00; without"},
		{"150 kW", bath + dip + "\n  - {name: press, heat: 80 kW}", `boilers have 840 kWh to spare beside the other loads for load "bath"`},
	} {
		c, err := Parse("plain.yaml", []byte(with(t, works, tt.loads, "capacity: 2000 kg/h", "capacity: "+tt.boiler)), nil)
		if err != nil {
			t.Errorf("%s: %v", tt.loads, err)
			continue
		}
		var said []string
		for _, w := range c.Warnings {
			if strings.Contains(w.Text, "boilers ") {
				said = append(said, w.Text)
			}
		}
		all := strings.Join(said, "\n")
		if tt.says == "" && all != "" || !strings.Contains(all, tt.says) {
			t.Errorf("%s with boilers of %s: %q; want %q", tt.loads, tt.boiler, all, tt.says)
		}
	}
}

func TestWrongMovableLoads(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ load, says string }{
		{`movable: {heat: 900 kWh, steam: 900 kg, within: "daily 06:00-18:00", most: 400 kW}`, "loads[bath].movable: has heat and steam; want one of the two"},
		{`movable: {within: "daily 06:00-18:00", most: 400 kW}`, "loads[bath].movable: says not how much; write heat or steam"},
		{`movable: {heat: 900 kWh, most: 400 kW}`, `loads[bath].movable.within: is missing`},
		{`movable: {heat: 900 kWh, within: "daily 06:00-18:00"}`, `loads[bath].movable.most: is missing`},
		{`movable: {heat: 900 kW, within: "daily 06:00-18:00", most: 400 kW}`, `loads[bath].movable.heat: "900 kW" `},
		{`movable: {steam: 900 kg/h, within: "daily 06:00-18:00", most: 400 kW}`, `loads[bath].movable.steam: "900 kg/h" `},
		{`movable: {heat: 900 kWh, within: "Mo-Fr 06:00-18:00", most: 400 kW}`, `loads[bath].movable.within: `},
		{`movable: {heat: 900 kWh, with: "daily 06:00-18:00", most: 400 kW}`, `within`},
		{`movable: {heat: 900 kWh, within: "daily 06:00-18:00", most: 40 kW, least: 50 kW}`, "loads[bath].movable.least: 50 kW is more than the most, 40 kW; want less"},
		{`movable: {heat: 900 kWh, within: "daily 06:00-08:00", most: 400 kW}`,
			"loads[bath].movable: window of 1 Jan 06:00 to 1 Jan 08:00: 900 kWh do not fit in; 2 h at 400 kW are 800; raise the most or lengthen the window"},
		{`movable: {heat: 900 kWh, within: "daily 06:00-18:00", most: 400 kW, least: 80 kW}`,
			"loads[bath].movable: window of 1 Jan 06:00 to 1 Jan 18:00: takes 960 kWh at its least, 80 kW for 12 h, and is to take 900; lower the least or shorten the window"},
		{`when: "daily 06:00-18:00", movable: {heat: 900 kWh, within: "daily 06:00-18:00", most: 400 kW}`,
			"loads[bath].when: stands beside movable, whose hours are its key within; want one of the two"},
		{`season: 2027-01-01..2027-02-01, movable: {heat: 900 kWh, within: "daily 06:00-18:00", most: 400 kW}`,
			"loads[bath].season: 2027-01-01..2027-02-01 has no day from 2026-01-01 to 2026-12-31; want days of the study"},
		{`heat: 90 kW, movable: {heat: 900 kWh, within: "daily 06:00-18:00", most: 400 kW}`, "; want one"},
		{`movable: 900 kWh`, "loads[bath].movable: is "},
	} {
		_, err := Parse("plain.yaml", []byte(with(t, works, "  - {name: bath, "+tt.load+"}")), nil)
		if err == nil || !strings.HasPrefix(err.Error(), "plain.yaml:12: ") || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s:\n%v\nwant %q", tt.load, err, tt.says)
		}
	}
}
