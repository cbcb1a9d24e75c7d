package plant

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestSiegert(t *testing.T) {
	t.Parallel()
	const ordinance = "checks-heat 5.4.8 and 5.4.9, constants of the German small-furnace ordinance from memory"
	for _, c := range []struct {
		what, kind string
		f          Flue
		wantPct    float64
		tol        float64
		src        string
	}{
		{"gas by oxygen", "natural gas", Flue{GasC: 180, AirC: 20, O2Frac: 0.045}, 7.84, 0.005, ordinance},
		{"oil by oxygen", "gas oil", Flue{GasC: 200, AirC: 20, O2Frac: 0.03}, 8.06, 0.005, ordinance},
		{"gas by carbon dioxide", "natural gas", Flue{GasC: 180, AirC: 20, CO2Frac: 0.094}, 7.74, 0.005, ordinance},
		{"dry gas alone", "natural gas", Flue{GasC: 180, AirC: 20, O2Frac: 0.045}, 6.40 + 160*0.009, 0.005,
			"checks-heat 5.4.10: 0.66 · 160/16.5 = 6.40 % and B; tools.gera.services says about 6.5 %"},
	} {
		l, err := Siegert(c.kind, c.f, 0)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.what+", %", 100*l.List[0].Frac, c.wantPct, c.tol, c.src)
		near(t, c.what+", efficiency", l.Efficiency(), 1-c.wantPct/100, c.tol/100, "what the loss leaves")
	}
	const manual = "IMR 2800-A p. 42: q = a CO/(CO + CO2), a = 32 gas, 48 fuel oil; by hand 32 · 0.1/9.5 and 48 · 0.1/12.1 %"
	gas, _ := Siegert("natural gas", Flue{GasC: 180, AirC: 20, CO2Frac: 0.094, COFrac: 0.001}, 0.01)
	near(t, "monoxide of gas, %", 100*gas.List[1].Frac, 3.2/9.5, 1e-9, manual)
	near(t, "all of gas, %", 100*gas.Efficiency(), 100-7.7379-3.2/9.5-1, 1e-3, "sum of the three")
	oil, _ := Siegert("gas oil", Flue{GasC: 180, AirC: 20, CO2Frac: 0.12, COFrac: 0.001}, 0)
	near(t, "monoxide of oil, %", 100*oil.List[1].Frac, 4.8/12.1, 1e-9, manual)
}

// The furnace-oil example of the public energy-auditor guide, row by row.
func TestLossesByAnalysis(t *testing.T) {
	t.Parallel()
	const src = "checks-heat 5.4.1 to 5.4.7: energy-auditor guide's furnace-oil example, inputs from memory"
	oil := Analysis{Carbon: 0.84, Hydrogen: 0.12, Sulphur: 0.03, Oxygen: 0.01, GrossKJKg: 10200 * 4.1868}
	f := Flue{GasC: 220, AirC: 27, O2Frac: 0.07, AirKgKg: 0.018}
	near(t, "theoretical air", oil.AirKgKg(), 14.007, 0.0007, src)
	near(t, "excess air", f.ExcessAir(), 0.5, 1e-12, src)
	air := 1.5 * oil.AirKgKg()
	near(t, "air", air, 21.01, 0.005, src)
	near(t, "dry flue gas", oil.DryGasKgKg(air), 20.929, 0.0007, src)
	l, err := oil.Losses(f, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{9.108, 7.103, 0.322, 2} {
		near(t, l.List[i].Name+", %", 100*l.List[i].Frac, want, 6e-4, src)
	}
	near(t, "efficiency, gross, %", 100*l.Efficiency(), 81.47, 0.005, src)
	if !l.Gross {
		t.Error("the losses are said to be of net heat")
	}
	// The same furnace by both roads: oil's net efficiency by analysis against Siegert's light oil.
	light := Analysis{Carbon: 0.863, Hydrogen: 0.134, Sulphur: 0.003, GrossKJKg: 45.5e3}
	gross, _ := light.Losses(Flue{GasC: 200, AirC: 20, O2Frac: 0.03}, 0)
	siegert, _ := Siegert("gas oil", Flue{GasC: 200, AirC: 20, O2Frac: 0.03}, 0)
	near(t, "net efficiency by both", gross.Efficiency()*45.5/42.7, siegert.Efficiency(), 0.015, "two methods, light oil's analysis from memory: 1.5 points")
}

func TestLossFaults(t *testing.T) {
	t.Parallel()
	good := Flue{GasC: 180, AirC: 20, O2Frac: 0.045}
	for _, c := range []struct {
		kind string
		f    func(*Flue)
		rad  float64
		want string
	}{
		{"natural gas", func(f *Flue) { f.GasC = 10 }, 0, "flue gas: flue: is 10 degC, the air 20 degC; want more than the air and at most 1200"},
		{"natural gas", func(f *Flue) { f.O2Frac = 0.21 }, 0, "flue gas: oxygen: is 21 %; want 0 to less than 20 % of the dry flue gas"},
		{"natural gas", func(f *Flue) { f.O2Frac = math.NaN() }, 0, "flue gas: oxygen: is NaN %; want 0 to less than 20 % of the dry flue gas"},
		{"natural gas", func(*Flue) {}, 0.5, "losses: radiation is 50 %; want 0 to less than 50 %"},
		{"natural gas", func(f *Flue) { f.GasC, f.O2Frac = 1200, 0.19 }, 0, "losses: they come to 400 % of the fuel; want less than all of it"},
		{"coal", func(*Flue) {}, 0, `losses: no constants of Siegert's formula are known for "coal"; want one of: natural gas, gas oil, liquefied petroleum gas, or the fuel's analysis`},
	} {
		f := good
		c.f(&f)
		if _, err := Siegert(c.kind, f, c.rad); err == nil || err.Error() != c.want {
			t.Errorf("got %v; want %s", err, c.want)
		}
	}
	a := Analysis{Carbon: 0.9, Hydrogen: 0.2, GrossKJKg: 4e4}
	if _, err := a.Losses(good, 0); err == nil || !strings.Contains(err.Error(), "analysis: sum: is 110 %; want at most 100 %") {
		t.Errorf("got %v", err)
	}
}

func ExampleSiegert() {
	losses, err := Siegert("natural gas", Flue{GasC: 180, AirC: 20, O2Frac: 0.045}, 0.01)
	for _, l := range losses.List {
		fmt.Printf("%s %.2f %%\n", l.Name, 100*l.Frac)
	}
	fmt.Printf("efficiency %.2f %% net, %v\n", 100*losses.Efficiency(), err)
	// Output:
	// flue gas 7.84 %
	// radiation and convection 1.00 %
	// efficiency 91.16 % net, <nil>
}
