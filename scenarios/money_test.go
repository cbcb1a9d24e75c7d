package scenarios

import (
	"math"
	"testing"
)

func TestRecovery(t *testing.T) {
	t.Parallel()
	const tables = "engineering-economy tables, A/P; checks-heat.md 8.1.1 to 8.1.4"
	for _, c := range []struct {
		discount, years, want, tol float64
		src                        string
	}{
		{0.08, 10, 0.1490, 5e-5, tables},
		{0.09, 10, 0.1558, 5e-5, tables},
		{0.15, 5, 0.2983, 5e-5, tables},
		{0.15, 10, 0.1993, 5e-5, tables},
		{0.0025, 20, 0.05132, 5e-6, tables},
		{0.08, 20, 0.10185221, 5e-9, "the closed form, computed apart: checks-heat.md 8.1"},
		{0.03, 30, 0.05101926, 5e-9, "the closed form, computed apart: checks-heat.md 8.1"},
		{0, 20, 0.05, 1e-15, "without interest each year pays an equal part"},
		{1e-9, 20, 0.05, 1e-9, "the limit of no interest"},
	} {
		if got := recovery(c.discount, c.years); math.Abs(got-c.want) > c.tol {
			t.Errorf("%g over %g a: %.9g, want %.9g (%s)", c.discount, c.years, got, c.want, c.src)
		}
	}
}

func TestStorePerM3(t *testing.T) {
	t.Parallel()
	m := Money{LifeH: 20 * 8760, DiscountFrac: 0.08, VesselPerM3: 1500, VesselUpkeepFrac: 0.01}
	got, has := m.StorePerM3()
	if want := 1500 * (0.10185221 + 0.01); !has || math.Abs(got-want) > 1e-4 { // checks-heat.md 8.1
		t.Errorf("a m3 costs %g a year, %v; want %g", got, has, want)
	}
	for _, m := range []Money{{}, {VesselPerM3: 1500}, {LifeH: 8760}} {
		if _, has := m.StorePerM3(); has {
			t.Errorf("%+v has a yearly price", m)
		}
	}
}
