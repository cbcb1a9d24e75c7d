package replay

import (
	"math"
	"testing"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// bare is a header of 7 bar(a) with no slack, over some hours of minutes.
func bare(hours int, demandKW ...float64) Plant {
	return Plant{
		StepS: 60, Steps: 60 * hours,
		Headers: []Header{{Name: "main", DemandKW: demandKW, SteamC: header7C, FeedwaterC: 85, Above: -1}},
	}
}

var cold = Options{LeadH: -1} // begin with empty stores and cold boilers

// Each case is worked by hand in its comment. No lag, no slack, no purging where nothing is said; boilers of 90 %.
func TestByHand(t *testing.T) {
	const exact, loss = 1e-6, 0.01 // of the value; with a store its loss of a few kWh is left out of the hand's sum
	tests := []struct {
		name  string
		plant func() Plant
		way   Way
		wants []want
	}{
		{"sun alone falls short", func() Plant {
			// 500 m² × 0.4 kW/m² = 200 kW of 300 kW for 2 h: 400 kWh arrive, 100 kW are missing.
			p := bare(2, 300)
			p.Fields = []Field{{AreaM2: 500, HeaderKWM2: []float64{0.4}}}
			return p
		}, PlainRule{}, []want{{sunHeader, 400, exact}, {unmet, 200, exact}, {unmetH, 2, exact}, {worst, 100, exact}, {spilled, 0, exact}}},

		{"sun is turned away", func() Plant {
			// 500 m² × 0.8 = 400 kW for 300 kW: a quarter of the field is turned away, 100 kW for 2 h.
			p := bare(2, 300)
			p.Fields = []Field{{AreaM2: 500, HeaderKWM2: []float64{0.8}}}
			return p
		}, PlainRule{}, []want{{sunHeader, 600, exact}, {spilled, 200, exact}, {unmet, 0, exact}}},

		{"the store covers the second hour", func() Plant {
			// Hour 1: 1000 m² × 0.8 = 800 kW, of which 300 to the header. What is left of the field, 500/800, brings the
			// store 1000 × 0.72 × 5/8 = 450 kWh (at its floor; hotter, up to 3 % less). Hour 2: 300 kWh out of it, and a few lost.
			p := bare(2, 300)
			p.Fields = []Field{{AreaM2: 1000, HeaderKWM2: []float64{0.8, 0}, Stores: []StoreYields{{[]float64{0.72, 0}, []float64{0.70, 0}}}}}
			p.Stores = []Store{{Spec: exchangerSpec(), VolumeM3: 20, AmbientC: []float64{15}, LetCool: true}}
			return p
		}, PlainRule{}, []want{{sunStore, 450, 0.02}, {storeOut, 300, exact}, {unmet, 0, exact}, {content, 145, 0.05}}},

		{"a cold boiler at the year's first minute", func() Plant {
			// It takes half an hour and 60 kWh: 0.5 h × 200 kW missing, then 1.5 h × 200/0.9 of fuel.
			p := bare(2, 200)
			b := gas("B", 500)
			b.StartH, b.StartKWh = 0.5, 60
			p.Boilers = []Boiler{b}
			return p
		}, PlainRule{}, []want{{unmet, 100, exact}, {fuel, 60 + 300/0.9, exact}, {startFuel, 60, exact}, {starts, 1, exact}}},

		{"a cold boiler before a shift", func() Plant {
			// The shift begins with hour 2 and is known: the boiler is hot by then. It cannot stand by, so it is lit when it is
			// hot, and that is when it is needed.
			p := bare(3, 0, 200, 200)
			b := gas("B", 500)
			b.StartH, b.StartKWh = 0.5, 60
			p.Boilers = []Boiler{b}
			return p
		}, PlainRule{}, []want{{unmet, 0, exact}, {fuel, 60 + 400/0.9, exact}, {starts, 1, exact}}},

		{"ramp", func() Plant {
			// 600 kW/h is 10 kW a minute: the first hour brings 10 + 20 + ... + 600 = 10 × 60 × 61/2 kW min = 305 kWh of 600.
			p := bare(2, 600)
			b := gas("B", 600)
			b.RampKWH = 600
			p.Boilers = []Boiler{b}
			return p
		}, PlainRule{}, []want{{boilerHeat, 905, exact}, {unmet, 295, exact}, {worst, 590, exact}}},

		{"lowest fire with vent", func() Plant {
			// 25 % of 800 kW = 200 kW for a load of 100 kW: it may not go out, since a start takes fuel and it cannot stand by.
			p := bare(2, 100)
			b := gas("B", 800)
			b.MinFireFrac, b.StartKWh = 0.25, 50
			p.Boilers = []Boiler{b}
			return p
		}, PlainRule{}, []want{{vent, 200, exact}, {boilerHeat, 400, exact}, {fuel, 50 + 400/0.9, exact}, {starts, 1, exact}, {lights, 1, exact}}},

		{"lowest fire on the pressure switch", func() Plant {
			// With slack of 10 kWh each way, 100 kW over for the fire, 100 kW under without. Lit at once (the middle), it fills
			// 0.95 × 10 kWh in 6 minutes (5.7), goes out, falls to -5 kWh in 9 more, and so on: 15 min a cycle, so that in 2 h the
			// fire burns half of the time, +-1 minute a cycle, and nothing is vented. Purging takes 2 kWh each time.
			p := bare(2, 100)
			p.Headers[0].SlackKWh = 10
			b := gas("B", 800)
			b.MinFireFrac, b.PurgeKWh = 0.25, 2
			p.Boilers = []Boiler{b}
			return p
		}, PlainRule{}, []want{{vent, 0, exact}, {unmet, 0, exact}, {boilerHeat, 200, 0.05}, {lights, 8, 0.13}, {starts, 8, 0.13}}},

		{"merit and a joint flue", func() Plant {
			// 900 kW asked; the flue takes 700: the first boiler gives 500, the second 200.
			p := bare(1, 900)
			p.Boilers = []Boiler{gas("A", 500), gas("B", 500)}
			p.Limits = []Limit{{Name: "flue", Boilers: []int{0, 1}, MostKW: 700}}
			return p
		}, PlainRule{}, []want{{boilerHeat, 700, exact}, {unmet, 200, exact}, {firstBoiler, 500, exact}}},

		{"a joint fuel line", func() Plant {
			// 700 kW of fuel at 90 % is 630 kW of heat.
			p := bare(1, 900)
			p.Boilers = []Boiler{gas("A", 500), gas("B", 500)}
			p.Limits = []Limit{{Name: "gas", Boilers: []int{0, 1}, MostKW: 700, OfFuel: true}}
			return p
		}, PlainRule{}, []want{{boilerHeat, 630, exact}, {fuel, 700, exact}}},

		{"boilers' availability", func() Plant {
			// Half of it in hour 1, none in hour 2.
			p := bare(2, 400)
			b := gas("A", 500)
			b.Available = []float64{0.5, 0}
			p.Boilers = []Boiler{b}
			return p
		}, PlainRule{}, []want{{boilerHeat, 250, exact}, {unmet, 550, exact}}},

		{"held for later", func() Plant {
			// Sun fills the store in hour 1. In hour 2 it is held at what it has, so the boiler gives all 300 kWh; in hour 3 it gives.
			p := bare(3, 0, 300, 300)
			p.Fields = []Field{{AreaM2: 1000, Stores: []StoreYields{{[]float64{0.5, 0, 0}, []float64{0.5, 0, 0}}}}}
			p.Stores = []Store{{Spec: exchangerSpec(), VolumeM3: 20, AmbientC: []float64{15}, LetCool: true}}
			p.Boilers = []Boiler{gas("B", 500)}
			return p
		}, orders(func(seen *Seen, o *Orders) {
			o.Stores[0].HoldKWh = 1e6
			if seen.Hour == 2 {
				o.Stores[0].HoldKWh = 0
			}
		}), []want{{sunStore, 500, exact}, {boilerHeat, 300, exact}, {storeOut, 300, exact}, {unmet, 0, exact}}},

		{"held, but pressure comes first", func() Plant {
			// No boiler: what is held is given all the same.
			p := bare(2, 0, 300)
			p.Fields = []Field{{AreaM2: 1000, Stores: []StoreYields{{[]float64{0.5, 0}, []float64{0.5, 0}}}}}
			p.Stores = []Store{{Spec: exchangerSpec(), VolumeM3: 20, AmbientC: []float64{15}, LetCool: true}}
			return p
		}, orders(func(_ *Seen, o *Orders) { o.Stores[0].HoldKWh = 1e6 }), []want{{storeOut, 300, exact}, {unmet, 0, exact}}},

		{"sun to the store first", func() Plant {
			// 400 kW of sun for a load of 400 kW; 100 kW are ordered into the store, a quarter of the field at its own yield.
			p := bare(1, 400)
			p.Fields = []Field{{AreaM2: 1000, HeaderKWM2: []float64{0.4}, Stores: []StoreYields{{[]float64{0.4}, []float64{0.4}}}}}
			p.Stores = []Store{{Spec: exchangerSpec(), VolumeM3: 20, AmbientC: []float64{15}, LetCool: true}}
			p.Boilers = []Boiler{gas("B", 500)}
			return p
		}, orders(func(_ *Seen, o *Orders) { o.Stores[0].SunKW, o.Stores[0].HoldKWh = 100, 1e6 }),
			[]want{{sunStore, 100, exact}, {sunHeader, 300, exact}, {boilerHeat, 100, exact}}},

		{"an empty store is kept warm", func() Plant {
			// Its loss at the floor is UA (171 - 15); the header's boiler makes it good, one minute late.
			p := bare(24, 0)
			p.Stores = []Store{{Spec: exchangerSpec(), VolumeM3: 20, AmbientC: []float64{15}}}
			p.Boilers = []Boiler{gas("B", 500)}
			return p
		}, PlainRule{}, []want{{keepWarm, 24 * standing(20), loss}, {lossSum, 24 * standing(20), loss}, {boilerHeat, 24 * standing(20), loss}, {unmet, 0, exact}}},
	}
	for _, x := range tests {
		out := play(t, x.plant(), x.way, cold)
		for _, w := range x.wants {
			if got := w.what(&out); !(math.Abs(got-w.value) <= w.tol*math.Max(1, math.Abs(w.value))) {
				t.Errorf("%s: sum %s is %.8g; want %.8g within %g", x.name, nameOf(w.what), got, w.value, w.tol)
			}
		}
	}
}

type want struct {
	what       func(*Played) float64
	value, tol float64
}

func sunHeader(p *Played) float64   { return p.SunHeaderKWh }
func sunStore(p *Played) float64    { return p.SunStoreKWh }
func spilled(p *Played) float64     { return p.SpilledKWh }
func unmet(p *Played) float64       { return p.UnmetKWh }
func unmetH(p *Played) float64      { return p.UnmetH }
func worst(p *Played) float64       { return p.WorstUnmetKW }
func vent(p *Played) float64        { return p.VentKWh }
func fuel(p *Played) float64        { return p.FuelKWh }
func startFuel(p *Played) float64   { return p.StartFuelKWh }
func boilerHeat(p *Played) float64  { return p.BoilerKWh }
func firstBoiler(p *Played) float64 { return p.Series.BoilerKW[0][0] }
func storeOut(p *Played) float64    { return p.StoreOutKWh }
func content(p *Played) float64     { return p.ContentKWh }
func keepWarm(p *Played) float64    { return p.KeepWarmKWh }
func lossSum(p *Played) float64     { return p.LossKWh }
func starts(p *Played) float64      { return float64(p.Starts[0]) }
func lights(p *Played) float64      { return float64(p.Lights[0]) }

func nameOf(f func(*Played) float64) string {
	probe := Played{SunHeaderKWh: 1, SunStoreKWh: 2, SpilledKWh: 3, UnmetKWh: 4, UnmetH: 5, WorstUnmetKW: 6, VentKWh: 7, FuelKWh: 8, StartFuelKWh: 9,
		BoilerKWh: 10, StoreOutKWh: 11, ContentKWh: 12, KeepWarmKWh: 13, LossKWh: 14, Starts: []int{15}, Lights: []int{16}, Series: Series{BoilerKW: [][]float64{{17}}}}
	names := []string{"", "sun to header", "sun to store", "spilled", "unmet", "hours unmet", "worst unmet", "vent", "fuel", "start fuel",
		"boilers' heat", "store out", "content", "keep warm", "loss", "starts", "lights", "first boiler"}
	return names[int(f(&probe))]
}

// orders makes a way of a function.
type orders func(*Seen, *Orders)

func (f orders) Orders(seen *Seen, o *Orders) { f(seen, o) }

// standing is the loss of the exchanger vessel at its floor, kW.
func standing(volumeM3 float64) float64 {
	v, err := storage.New(exchangerSpec())
	if err != nil {
		panic(err)
	}
	l, err := v.Limits(volumeM3)
	if err != nil {
		panic(err)
	}
	return l.StandingKW(15)
}

// The sun rises at once for an hour on a loop of 10 min: in that hour P (T - τ (1 - e^(-T/τ))) arrives, and all in the end.
func TestLag(t *testing.T) {
	p := bare(6, 1000)
	p.Fields = []Field{{AreaM2: 500, HeaderKWM2: []float64{1, 0, 0, 0, 0, 0}, LagS: 600}}
	p.Boilers = []Boiler{gas("B", 1000)}
	out := play(t, p, PlainRule{}, cold)
	const tauH = 600.0 / 3600
	near(t, "heat of the first hour", out.Series.SunHeaderKW[0][0], 500*(1-tauH*(1-math.Exp(-1/tauH))), 1e-9)
	near(t, "heat of all hours", out.SunHeaderKWh, 500, 1e-6)
	near(t, "lost", out.LagLossKWh, 0, 1e-12)
}

// What is under way when nobody takes it is lost with CoolH, and counted.
func TestLagNobodyTakes(t *testing.T) {
	p := bare(12, append([]float64{1000}, make([]float64, 11)...)...)
	p.Fields = []Field{{AreaM2: 500, HeaderKWM2: append([]float64{1}, make([]float64, 11)...), LagS: 1200, CoolH: 1}}
	out := play(t, p, PlainRule{}, cold)
	const tauH = 1200.0 / 3600
	under := 500 * tauH * (1 - math.Exp(-1/tauH)) // left in the loop after the hour
	near(t, "heat that arrived", out.SunHeaderKWh, 500-under, 1e-6)
	near(t, "heat lost", out.LagLossKWh, under*(1-math.Exp(-11)), 1e-6)
}

// A header lets steam down to one with other feedwater: for 100 kW below, the upper gives
// 100 (h_g1 - h_fw1)/(h_g1 - h_fw2), since the valve keeps the enthalpy.
func TestLetDown(t *testing.T) {
	p := bare(1, 0)
	p.Headers = append(p.Headers, Header{Name: "low", DemandKW: []float64{100}, SteamC: 133.526, FeedwaterC: 40, Above: 0})
	p.Boilers = []Boiler{gas("B", 500)}
	out := play(t, p, PlainRule{}, cold)
	h := func(tC float64) (liquid, vapour float64) {
		s, err := steam.SaturatedAt(tC)
		if err != nil {
			t.Fatal(err)
		}
		return s.Liquid.HKJKg, s.Vapour.HKJKg
	}
	_, g := h(header7C)
	f1, _ := h(85)
	f2, _ := h(40)
	near(t, "heat of the upper header", out.BoilerKWh, 100*(g-f1)/(g-f2), 1e-6)
	near(t, "unmet", out.UnmetKWh, 0, 1e-9)
	p.Headers[1].ValveKW = 60
	out = play(t, p, PlainRule{}, cold)
	near(t, "unmet behind a valve of 60 kW", out.UnmetKWh, 40, 1e-6)
}
