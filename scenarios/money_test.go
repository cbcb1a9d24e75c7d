package scenarios

import (
	"math"
	"testing"
)

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
