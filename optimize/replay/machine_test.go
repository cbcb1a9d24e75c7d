package replay

import (
	"context"
	"math"
	"testing"

	"noonkeep/plant"
	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// gas is a boiler of 90 % at every load that may burn as little as it likes.
func gas(name string, kW float64) Boiler {
	return Boiler{Boiler: plant.Boiler{Name: name, Fuel: plant.Fuel{Name: "gas"}, CapacityKW: kW, Efficiency: 0.9}, PurgeKWh: -1}
}

// flashSpec is a vessel from 19 bar(a) to a header of 7 bar(a).
func flashSpec(feed storage.FeedChoice) storage.Spec {
	return storage.Spec{
		Discharge: storage.Flash, Working: steam.BarAbs(20), MarginBar: 1, Header: steam.BarAbs(7), FeedwaterC: 85, Feed: feed,
		FillFrac: 0.9, LengthPerDiameter: 3, InsulationM: 0.15, InsulationWMK: 0.055, OutsideWM2K: 10,
	}
}

func exchangerSpec() storage.Spec {
	return storage.Spec{
		Discharge: storage.Exchanger, Working: steam.BarAbs(21), SupplyC: 165, ApproachK: 6, LimitKW: 800,
		FillFrac: 0.9, LengthPerDiameter: 3, InsulationM: 0.15, InsulationWMK: 0.055, OutsideWM2K: 10,
	}
}

const header7C = 164.953 // boiling at 7 bar(a), IAPWS R7-97

// dishes brings heat by day, some minutes of cloud in it.
func dishes(steps, perHour int) (header, floor, hot []float64) {
	for i := range steps {
		h := math.Mod(float64(i)/float64(perHour), 24)
		sun := math.Max(0, math.Sin((h-6)/12*math.Pi)) * 0.6
		if (i/perHour/24+i*7/perHour)%5 == 0 && i%11 < 4 {
			sun *= 0.1
		}
		header, floor, hot = append(header, sun), append(floor, sun*0.98), append(hot, sun*0.93)
	}
	return header, floor, hot
}

// yearPlant is a dyehouse's like: three shifts, dishes, a flash vessel, a boiler with lowest fire and a start.
func yearPlant(days, stepS int) Plant {
	perHour := 3600 / stepS
	n := days * 24 * perHour
	y, floor, hot := dishes(n, perHour)
	demand := make([]float64, days*24)
	for h := range demand {
		demand[h] = 400
		if x := h % 24; x >= 6 && x < 22 {
			demand[h] = 1100
		}
		if h/24%7 == 6 {
			demand[h] = 0
		}
	}
	b := gas("B1", 1700)
	b.MinFireFrac, b.StartH, b.StartKWh, b.StandbyFrac, b.PurgeKWh = 0.25, 0.5, 150, 0.02, 0
	return Plant{
		StepS: float64(stepS), Steps: n,
		Headers: []Header{{Name: "main", DemandKW: demand, SteamC: header7C, FeedwaterC: 85, SlackKWh: Slack(1700, header7C), Above: -1}},
		Fields:  []Field{{Name: "dishes", AreaM2: 2700, HeaderKWM2: y, Stores: []StoreYields{{floor, hot}}, LagS: 90}},
		Boilers: []Boiler{b},
		Stores:  []Store{{Name: "tank", Spec: flashSpec(storage.WhileDischarging), VolumeM3: 40, AmbientC: []float64{15}}},
	}
}

func play(t testing.TB, p Plant, w Way, opt Options) Played {
	t.Helper()
	out, err := Run(context.Background(), p, w, opt)
	if err != nil {
		t.Fatal(err)
	}
	if !(out.Books.MassResidual < 1e-9 && out.Books.EnergyResidual < 1e-9) {
		t.Errorf("residuals of mass %.2g and energy %.2g; want under 1e-9: %+v", out.Books.MassResidual, out.Books.EnergyResidual, out.Books)
	}
	return out
}

func TestYear(t *testing.T) {
	out := play(t, yearPlant(365, 60), PlainRule{}, Options{})
	out.Series = Series{}
	out.Refusals = nil
	t.Logf("%+v", out)
}

func BenchmarkYear(b *testing.B) {
	p := yearPlant(365, 60)
	b.ReportAllocs()
	for b.Loop() {
		play(b, p, PlainRule{}, Options{})
	}
}
