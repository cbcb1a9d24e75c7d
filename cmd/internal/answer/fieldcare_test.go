package answer

import (
	"context"
	"math"
	"strings"
	"testing"

	"noonkeep/plant"
	"noonkeep/scenarios"
)

const idlePlant = `noonkeep: 1
name: idle
site: {latitude: 37 deg, longitude: 31 deg, elevation: 0 m, utc_offset: +2 h}
weather:
  monthly:
    ghi: [3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]
    air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]
  seed: 2
headers: [{name: main, pressure: 1 bar(g), feedwater: 60 degC}]
loads: [{name: works, heat: 200 kW, when: "Mon-Fri 06:00-22:00"}]
fuels: [{name: natural gas, price: 0.05 EUR/kWh, price_basis: net}]
boilers: [{name: B1, capacity: 600 kW, efficiency: 0.85}]
electricity: {price: 0 EUR/kWh}
fields:
  - {name: tubes, collector: {kind: evacuated tube}, count: 100, aperture: 3 m2, freeze: {keep: 5 degC}}
  - {name: dishes, collector: {kind: dish}, count: 2, aperture: 90 m2}
`

// Sun that nobody takes: all of it at the weekend, and what is over on weekdays; a spill for each field by its own sort.
func TestIdleFields(t *testing.T) {
	t.Parallel()
	c, err := scenarios.Parse("idle.yaml", []byte(idlePlant), nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := PlanAt(context.Background(), c, -1, "onestore")
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Idle) != 2 {
		t.Fatalf("%+v: want both fields", p.Idle)
	}
	heat := 0.
	for i, f := range c.Fields {
		idle := p.Idle[i]
		weekend := 0.
		for step, kW := range f.ToHeader.KWM2 {
			if c.Headers[0].DemandKW[step] == 0 && kW > idleFrac*f.ToHeader.PeakKWM2 {
				weekend += c.Axis.StepH()
			}
		}
		if idle.Field != f.Name || idle.Stagnates != (f.Collector.Tracking == plant.Fixed) {
			t.Errorf("%+v of field %q", idle, f.Name)
		}
		// On weekdays one of the two may stand wholly while the other serves: which, no plan's cost decides.
		if idle.WholeH < weekend || idle.Hours < idle.WholeH || idle.KWh <= 0 {
			t.Errorf("%+v: want at least the %g h without load wholly", idle, weekend)
		}
		heat += idle.KWh
	}
	spilled := 0.
	for _, kW := range p.SpilledSunKW {
		spilled += kW * c.Axis.StepH()
	}
	if math.Abs(heat-spilled) > 1e-9*spilled {
		t.Errorf("fields leave %g kWh, the plan %g", heat, spilled)
	}
}

// What check says of a field's keeping.
func TestCareRows(t *testing.T) {
	t.Parallel()
	c, err := scenarios.Parse("idle.yaml", []byte(idlePlant), nil)
	if err != nil {
		t.Fatal(err)
	}
	var s Section
	for _, f := range c.Fields {
		s.care(f)
	}
	var all []string
	for _, r := range s.Rows {
		all = append(all, r.Text)
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{"kept at 5 °C for ", "which its next sun gives back", "without flow its curve ends at ", "take the stagnation temperature of the test report"} {
		if strings.Count(text, want) != 1 {
			t.Errorf("%q stands %d times in:\n%s", want, strings.Count(text, want), text)
		}
	}
	never := stagnation(plant.Collector{Tracking: plant.Fixed, Eta0b: 0.7})
	if !strings.Contains(never, "ask for the tested stagnation temperature") {
		t.Error(never)
	}
}
