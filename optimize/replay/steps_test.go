package replay

import (
	"testing"

	"noonkeep/storage"
)

// Steps of any length and vessels of any size are played, and close: a vessel of 50 litres is filled and emptied in one step
// of an hour.
func TestAnyStepAnyVessel(t *testing.T) {
	unraced(t)
	mixed, layers := exchangerSpec(), thermoclineSpec()
	for _, stepS := range []int{10, 60, 600, 3600} {
		for _, m3 := range []float64{0.05, 2, 500} {
			for _, spec := range []storage.Spec{flashSpec(storage.WhileDischarging), flashSpec(storage.WhileCharging), mixed, layers} {
				p := yearPlant(2, stepS)
				p.Stores[0].VolumeM3, p.Stores[0].Spec = m3, spec
				out := play(t, p, PlainRule{}, Options{LeadH: 24})
				if !(out.StoreOutKWh > 0 && out.StoreOutKWh <= out.StoreInKWh+out.KeepWarmKWh) {
					t.Errorf("%d s, %g m³ of %v: gave %g kWh of %g", stepS, m3, spec.Discharge, out.StoreOutKWh, out.StoreInKWh)
				}
			}
		}
	}
}
