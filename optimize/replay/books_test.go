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
