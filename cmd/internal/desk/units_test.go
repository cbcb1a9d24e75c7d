package desk

import (
	"math"
	"testing"
)

func TestUnitsRead(t *testing.T) {
	for _, row := range []struct{ s, want string }{
		{"", "bar(g),kW,MWh"}, {"bar(a),kg/h,t", "bar(a),kg/h,t"}, {"t, bar(a)", "bar(a),kW,t"}, {"psi,<b>", "bar(g),kW,MWh"},
	} {
		u := parseUnits(row.s)
		if u.Name() != row.want || parseUnits(u.Name()) != u {
			t.Errorf("%q: got %s, want %s", row.s, u.Name(), row.want)
		}
	}
	if got := (units{}).With("kg/h").With("psi").Name(); got != "bar(g),kg/h,MWh" {
		t.Errorf("got %s", got)
	}
	for _, c := range parseUnits("bar(a)").Choices() {
		chosen := 0
		for _, o := range c.Options {
			if o.Chosen {
				chosen++
			}
			if u := parseUnits(o.Name); u.With(o.Unit) != u {
				t.Errorf("%s leads to %s", o.Unit, o.Name)
			}
		}
		if chosen != 1 || len(c.Options) != 2 {
			t.Errorf("%+v", c)
		}
	}
}

// TestSteamUnits goes by steam tables: at 7 bar(a) h_g = 2762.75 kJ/kg.
func TestSteamUnits(t *testing.T) {
	c, _ := starter(t, "winery", "feedwater: 150 degC", "feedwater: 100 degC")
	u := parseUnits("kg/h,t")
	// Feedwater of 100 degC at 7 bar(a): 419.5 kJ/kg. 100 kW are 360 000 kJ/h.
	const heatKJKg = 2762.75 - 419.5
	src := "IAPWS R7-97(2012), tables of regions 1 and 2; hand calculation"
	flow, energy := u.heatFlow(c, 0), u.energy(c, -1)
	if got, want := 100*flow.Times, 360000/heatKJKg; flow.Unit != "kg/h" || math.Abs(got-want) > 0.05 {
		t.Errorf("%s: 100 kW are %g %s, want %g", src, got, flow.Unit, want)
	}
	if got, want := 10*energy.Times, 36000/heatKJKg; energy.Unit != "t" || math.Abs(got-want) > 0.005 {
		t.Errorf("%s: 10 MWh are %g %s, want %g", src, got, energy.Unit, want)
	}
	if got := flow.Text(100); got != "154\u00a0kg/h" {
		t.Errorf("got %q", got)
	}
	if s := (units{}).heatFlow(c, 0); s != (scale{Unit: "kW", Times: 1}) {
		t.Errorf("got %+v", s)
	}
}

func TestNoSteamUnits(t *testing.T) {
	c, _ := starter(t, "dyehouse")
	u := parseUnits("kg/h,t")
	two := c
	two.Headers = append(two.Headers, c.Headers[0])
	want := scale{"kW", 1, "2 headers, whose steam differs: heat of the whole plant stays in kW and MWh"}
	if got := u.heatFlow(two, -1); got != want {
		t.Errorf("got %+v", got)
	}
	water := c
	water.Headers = append(water.Headers[:0:0], c.Headers...)
	water.Headers[0].HeatKJKg = 0 // as of a medium
	if got := u.energy(water, 0); got != (scale{"MWh", 1, "header main carries no steam: its heat stays in kW and MWh"}) {
		t.Errorf("got %+v", got)
	}
}

func TestNumberTexts(t *testing.T) {
	for _, row := range []struct {
		v    float64
		want string
	}{{0, "0"}, {0.1234, "0.123"}, {12.345, "12.3"}, {123.4, "123"}, {43120.4, "43\u202f120"}, {-7.5, "−7.50"}} {
		if got := numberText(row.v); got != row.want {
			t.Errorf("%g: got %q, want %q", row.v, got, row.want)
		}
	}
	if got := parseUnits("").pressureText(7.01325, 1.01325); got != "6\u00a0bar(g)" {
		t.Errorf("got %q", got)
	}
	if got := parseUnits("bar(a)").pressureText(7.01325, 1.01325); got != "7.01\u00a0bar(a)" {
		t.Errorf("got %q", got)
	}
}
