package replay

import (
	"context"
	"errors"
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

func thermoclineSpec() storage.Spec {
	s := exchangerSpec()
	s.Discharge, s.ReturnC, s.ThermoclineFrac, s.WallM = storage.Thermocline, 110, 0.1, 0.015
	return s
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

// unraced leaves a test to the pass without the race detector, which `make test` makes of this package too: a run has one
// goroutine, and shorter ones show that.
func unraced(t *testing.T) {
	t.Helper()
	if raced {
		t.Skip("runs in the pass without the race detector")
	}
}

// A year of minutes: all there is of physics at once, and its books close.
func TestYear(t *testing.T) {
	unraced(t)
	if testing.Short() {
		t.Skip("a year of minutes; run without -short")
	}
	out := play(t, yearPlant(365, 60), PlainRule{}, Options{})
	if out.UnmetKWh > 1e-4*out.DemandKWh || out.VentKWh > 1e-3*out.DemandKWh {
		t.Errorf("%.0f kWh are missing and %.0f vented of %.0f; want a boiler that is large enough to keep to its header", out.UnmetKWh, out.VentKWh, out.DemandKWh)
	}
	near(t, "loss by the store's own books", out.StoreInKWh+out.KeepWarmKWh-out.StoreOutKWh-out.StoredKWh[0], out.LossKWh, 1)
	t.Logf("residuals of mass %.2g and energy %.2g of %.4g kWh", out.Books.MassResidual, out.Books.EnergyResidual, out.Books.InKWh+out.Books.OutKWh)
}

// A minute or ten seconds: sun and load are the same, the physics is exact in the step, so what differs is when a controller
// acts, by up to a minute each time. Fuel keeps to 0.3 % of itself, lightings to one in twelve.
func TestTenSeconds(t *testing.T) {
	unraced(t)
	minute := play(t, yearPlant(14, 60), PlainRule{}, Options{LeadH: 24})
	p := yearPlant(14, 60)
	p.StepS, p.Steps = 10, p.Steps*6
	ten := play(t, p, PlainRule{}, Options{LeadH: 24})
	t.Logf("fuel %.0f and %.0f kWh, lightings %d and %d, vented %.0f and %.0f, unmet %.2f and %.2f",
		minute.FuelKWh, ten.FuelKWh, minute.Lights[0], ten.Lights[0], minute.VentKWh, ten.VentKWh, minute.UnmetKWh, ten.UnmetKWh)
	near(t, "fuel, kWh", minute.FuelKWh, ten.FuelKWh, 3e-3*ten.FuelKWh)
	near(t, "sun used, kWh", minute.SunHeaderKWh+minute.SunStoreKWh, ten.SunHeaderKWh+ten.SunStoreKWh, 3e-3*ten.FuelKWh)
	near(t, "lightings", float64(minute.Lights[0]), float64(ten.Lights[0]), float64(ten.Lights[0])/12)
}

// With a boiler that burns as it likes, more field, a less leaky plant and less load never take more fuel; a larger vessel saves
// until its shell loses more than it brings.
func TestMoreIsLess(t *testing.T) {
	unraced(t)
	base := func() Plant {
		p := yearPlant(7, 60)
		p.Boilers = []Boiler{gas("B", 1700)}
		return p
	}
	fuelOf := func(change func(*Plant)) float64 {
		p := base()
		change(&p)
		return play(t, p, PlainRule{}, Options{LeadH: 48}).FuelKWh
	}
	falls := func(what string, fuels ...float64) {
		t.Helper()
		for i := 1; i < len(fuels); i++ {
			if !(fuels[i] <= fuels[i-1]*(1+1e-9)) {
				t.Errorf("%s: fuel %.1f kWh; want it to fall", what, fuels)
			}
		}
	}
	area := func(m2 float64) float64 { return fuelOf(func(p *Plant) { p.Fields[0].AreaM2 = m2 }) }
	falls("more field", area(0), area(500), area(1500), area(3000))
	volume := func(m3 float64) float64 { return fuelOf(func(p *Plant) { p.Stores[0].VolumeM3 = m3 }) }
	falls("more volume", volume(0), volume(5), volume(15), volume(30))
	load := func(kW float64) float64 { return fuelOf(func(p *Plant) { p.Headers[0].DemandKW = []float64{kW} }) }
	falls("less load", load(900), load(600), load(300), load(0))
	lag := func(s float64) float64 { return fuelOf(func(p *Plant) { p.Fields[0].LagS = s }) }
	near(t, "a lag moves heat and loses little", lag(300), lag(0), 0.01*lag(0))
}

// The loop allocates nothing: a plant of twice the days takes as many allocations.
func TestNoAllocationInTheLoop(t *testing.T) {
	unraced(t)
	allocs := func(days int) float64 {
		p := yearPlant(days, 60)
		return testing.AllocsPerRun(2, func() { play(t, p, PlainRule{}, Options{LeadH: -1}) })
	}
	if two, four := allocs(2), allocs(4); four > two+20 {
		t.Errorf("4 days take %.0f allocations, 2 days %.0f; want as many, within what else the program does", four, two)
	}
}

func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	stop := orders(func(seen *Seen, _ *Orders) {
		if seen.Step == 9000 {
			cancel()
		}
	})
	if _, err := Run(ctx, yearPlant(14, 60), stop, Options{LeadH: -1}); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v; want %v", err, context.Canceled)
	}
}

func BenchmarkYear(b *testing.B) {
	p := yearPlant(365, 60)
	b.ReportAllocs()
	for b.Loop() {
		play(b, p, PlainRule{}, Options{})
	}
}

func BenchmarkYearOfThermocline(b *testing.B) {
	p := yearPlant(365, 60)
	p.Stores[0].Spec = thermoclineSpec()
	for b.Loop() {
		play(b, p, PlainRule{}, Options{})
	}
}
