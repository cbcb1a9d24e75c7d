package replay

import (
	"context"
	"testing"
)

// The books are counted apart from the states: a kWh that appears in a vessel, or a kg, is seen.
func TestBooksSeeWhatIsWrong(t *testing.T) {
	for _, x := range []struct {
		what   string
		tamper func(*machine)
		mass   bool // shows in mass too
	}{
		{"a kWh in the vessel", func(m *machine) { m.stores[0].tank.(*flash).v.tC += 0.02 }, false},
		{"a kg in the vessel", func(m *machine) { m.stores[0].tank.(*flash).v.massKg++ }, true},
		{"a kWh under way in the field", func(m *machine) { m.fields[0].loopKWh++ }, false},
		{"a kWh in the header", func(m *machine) { m.mains[0].bandKWh++ }, true},
	} {
		p := yearPlant(2, 60)
		m, err := newMachine(&p, PlainRule{})
		if err != nil {
			t.Fatal(err)
		}
		if err := m.open(); err != nil {
			t.Fatal(err)
		}
		if err := m.over(context.Background(), 0, p.Steps); err != nil {
			t.Fatal(err)
		}
		x.tamper(m)
		out, err := m.finish()
		if err != nil {
			t.Fatal(err)
		}
		if !(out.Books.EnergyResidual > 1e-9) || x.mass != (out.Books.MassResidual > 1e-9) {
			t.Errorf("%s: residuals %.2g and %.2g; want it to show", x.what, out.Books.MassResidual, out.Books.EnergyResidual)
		}
	}
}

// What the year begins with is what its lead-in left, so that a year that repeats ends as it began.
func TestLeadIn(t *testing.T) {
	p := yearPlant(14, 60)
	warm := play(t, p, PlainRule{}, Options{})
	fresh := play(t, p, PlainRule{}, cold)
	if warm.Series.HeldKWh[0][0] == 0 || fresh.Series.HeldKWh[0][0] != 0 {
		t.Errorf("begins with %.1f kWh after a lead-in, %.1f without; want some, and none", warm.Series.HeldKWh[0][0], fresh.Series.HeldKWh[0][0])
	}
	near(t, "more within at the end, kWh", warm.ContentKWh, 0, 1)
}

// What is watched step by step is the same as by the hour.
func TestWatched(t *testing.T) {
	p := yearPlant(3, 60)
	const from = 32 * 60
	out := play(t, p, PlainRule{}, Options{WatchFrom: from, WatchSteps: 180})
	for h := range 3 {
		boiler, sun := 0.0, 0.0
		for i := range 60 {
			boiler += out.Watched.FuelKW[0][60*h+i] / 60
			sun += out.Watched.SunHeaderKW[0][60*h+i] / 60
		}
		near(t, "fuel of an hour", boiler, out.Series.FuelKW[0][from/60+h], 1e-9)
		near(t, "sun of an hour", sun, out.Series.SunHeaderKW[0][from/60+h], 1e-9)
		near(t, "store's temperature", out.Watched.StoreC[0][60*h], out.Series.StoreC[0][from/60+h], 0)
	}
	if _, err := Run(t.Context(), p, PlainRule{}, Options{WatchFrom: 4000, WatchSteps: 400}); err == nil || err.Error() != "watch: 400 steps from 4000; there are 4320" {
		t.Errorf("error %v; want one that says how many steps there are", err)
	}
}
