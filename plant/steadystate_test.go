package plant

import (
	"math"
	"testing"
)

func TestSteadyState(t *testing.T) {
	c := kind(t, "flat plate")
	near(t, "eta0 on global light", 1000*c.SteadyEta0(), 729, 0.5, sheet+": 729 W/m² printed at no temperature difference")
	c.FromSteadyState(0.7290)
	near(t, "and back", c.Eta0b, 0.739, 5e-4, sheet)
	x := c.SteadyEta0()
	near(t, "there and back again", x, 0.7290, 1e-15, "one inverts the other")

	near(t, "Kd from the modifiers of the sheet", c.DiffuseModifier(), 0.91, 0.0075, sheet+"; its Kd is fitted, not integrated")
	flat := Collector{Tracking: Fixed, Eta0b: 0.7}
	near(t, "no modifier", flat.DiffuseModifier(), 1, 1e-12, "by definition")
	ashrae := Collector{Tracking: Fixed, Eta0b: 0.7, B0: 0.1}
	// 2 ∫ (1 - b0 (1/cos - 1)) sin cos dθ = 1 - b0, and b0²/(1 + b0) where it is clipped, from cos = b0/(1 + b0) on.
	near(t, "b0 0.1", ashrae.DiffuseModifier(), 1/1.1, 1e-5, "closed form: 1/(1 + b0)")
	tubes := kind(t, "evacuated tube")
	tubes.IAMT = []IAMPoint{{89.999, 1}}
	along := tubes
	along.IAMT = nil
	if two, one := tubes.DiffuseModifier(), along.DiffuseModifier(); !(two > one) {
		t.Errorf("Kd %g of light that is dimmed along alone, %g dimmed all round; want more", two, one)
	}
	// The printed table of the sheet, by its steady-state form.
	for _, row := range []struct{ dT, want float64 }{{0, 729}, {10, 692}, {30, 608}, {50, 511}, {70, 400}, {83, 321}} {
		got := 1000*0.72902 - c.A1*row.dT - c.A2*row.dT*row.dT
		near(t, "printed table", got, row.want, 0.6, sheet)
	}
}

func TestStagnation(t *testing.T) {
	closed := func(eta0, a1, a2 float64) float64 {
		return 30 + (-a1+math.Sqrt(a1*a1+4*a2*eta0*1000))/(2*a2)
	}
	c := kind(t, "flat plate")
	got := c.StagnationC(StagnationWM2, StagnationAirC)
	near(t, "sheet's own curve", got, 158.155, 0.01, "checks-sun 5.2: 729.02 = 3.51 x + 0.017 x² at 128.155 K")
	near(t, "closed form", got, closed(c.SteadyEta0(), 3.51, 0.017), 1e-6, "ta + (-a1 + sqrt(a1² + 4 a2 eta0 G))/(2 a2)")
	if !(got < 189.4) {
		t.Errorf("the curve gives %.1f °C; want less than the 189.4 °C that the sheet prints as tested (%s)", got, sheet)
	}
	second := Collector{Tracking: Fixed, Eta0b: 0.795, Kd: 1, A1: 3.627, A2: 0.011}
	near(t, "second sheet", second.StagnationC(1000, 30), closed(0.795, 3.627, 0.011), 1e-6, "closed form; coefficients of a second public sheet")
	radiating := Collector{Tracking: Fixed, Eta0b: 0.6, Kd: 1, A8: 1e-8}
	near(t, "radiation alone", radiating.StagnationC(1000, 30), 30+math.Pow(600/1e-8, 0.25), 1e-6, "closed form (eta0 G/a8)^(1/4)")
	lossless := Collector{Tracking: Fixed, Eta0b: 0.6}
	if x := lossless.StagnationC(1000, 30); !math.IsInf(x, 1) {
		t.Errorf("a collector that loses nothing stands still at %g °C; want never", x)
	}
	tube := kind(t, "evacuated tube")
	if x, y := tube.StagnationC(1000, 30), tube.StagnationC(800, 30); !(x > y && x > got) {
		t.Errorf("tubes: %g °C at 1000 W/m², %g °C at 800; want more with more light, and more than a flat plate's %g °C", x, y, got)
	}
}
