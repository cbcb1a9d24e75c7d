package replay

import (
	"math"
	"testing"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// blow is a vessel without loss that is filled by sun for a day and drawn down for another, through the whole machine.
func blow(p1, p2, fill, feedC float64, feed storage.FeedChoice) Plant {
	low, _ := steam.SatTemp(steam.BarAbs(p2))
	p := bare(48, append(make([]float64, 24), repeat(24, 40)...)...)
	p.Headers[0].SteamC, p.Headers[0].FeedwaterC = low, feedC
	sun := append(repeat(24, 0.02), make([]float64, 24)...)
	p.Fields = []Field{{AreaM2: 1000, Stores: []StoreYields{{sun, sun}}}}
	p.Stores = []Store{{VolumeM3: 1, AmbientC: []float64{15}, LetCool: true, Spec: storage.Spec{
		Discharge: storage.Flash, Working: steam.BarAbs(p1), Header: steam.BarAbs(p2), FeedwaterC: feedC, Feed: feed, FillFrac: fill,
		LengthPerDiameter: 3, InsulationM: 0.5, InsulationWMK: 1e-12, OutsideWM2K: 10, SteamKgHM2Bar: 1e6,
	}}}
	return p
}

func repeat(n int, x float64) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = x
	}
	return v
}

// The heat that a full vessel gives through the machine, against the independent integrations.
func TestBlowdownThroughTheMachine(t *testing.T) {
	tests := []struct {
		p1, p2, fill float64
		fallingKWh   float64 // per m³, made up while charging
		heldKWh      float64 // made up while discharging
		src          string
	}{
		{20, 6, 0.90, 58.3309, 50.5038, "checks-heat 3.1.1 and 3.3, DOP853 on python3-iapws"},
		{16, 5, 0.90, 53.6490, 47.0700, "checks-heat 3.1.2 and 3.3"},
		{12, 4, 0.90, 47.7181, 42.5156, "checks-heat 3.1.3 and 3.3"},
		{10, 7, 0.90, 16.9725, 14.5069, "checks-heat 3.1.4 and 3.3"},
		{40, 8, 0.90, 86.1199, 72.9353, "checks-heat 3.1.5 and 3.3"},
		{25, 3, 0.90, 91.9949, 83.5983, "checks-heat 3.1.6 and 3.3"},
		{20, 6, 0.75, 49.3260, 42.7073, "checks-heat 3.1.7 and 3.3"},
		{12, 4, 0.75, 40.1783, 35.7979, "checks-heat 3.1.8 and 3.3"},
	}
	const tol = 1e-4 // of the heat, as checks-heat 3.1 asks
	for _, x := range tests {
		for feed, wantKWh := range map[storage.FeedChoice]float64{storage.WhileCharging: x.fallingKWh, storage.WhileDischarging: x.heldKWh} {
			out := play(t, blow(x.p1, x.p2, x.fill, 80, feed), PlainRule{}, cold)
			near(t, x.src+": heat given, feed "+feed.String(), out.StoreOutKWh, wantKWh, tol*wantKWh)
			near(t, x.src+": heat taken", out.StoreInKWh, wantKWh, 3e-4*wantKWh) // the way back lies a little off the way down
			near(t, x.src+": °C after a day of sun", out.Series.StoreC[0][24], satC(t, x.p1), 1e-3)
		}
	}
}

func satC(t testing.TB, bar float64) float64 {
	t.Helper()
	tC, err := steam.SatTemp(steam.BarAbs(bar))
	if err != nil {
		t.Fatal(err)
	}
	return tC
}

// An accumulator between two headers, after the problem of Smith, Van Ness and Abbott: 6000 kg/h in the mean, 10 000 for 20
// min and 4000 for 40 min of each hour, boiler at 10 bar(a), plant at 7 bar(a). 1333 kg have to be stored, in 50.66 m³ at
// 26.32 kg/m³ (checks-heat 3.4.1). Steam flows into it ever slower as it nears the header's pressure, so the boiler's
// header here has 12 bar(a), and the vessel's hottest is that of 10.
func TestAccumulatorOfSmithVanNessAndAbbott(t *testing.T) {
	const hours = 12
	perKW := func(high, feedC float64) float64 { // kW of a kg/h
		s, _ := steam.SaturatedAt(high)
		f, _ := steam.SaturatedAt(feedC)
		return (s.Vapour.HKJKg - f.Liquid.HKJKg) / 3600
	}
	low, high := satC(t, 7), satC(t, 12)
	demand := make([]float64, hours*60)
	for i := range demand {
		demand[i] = 4000 * perKW(low, 80)
		if i%60 >= 40 {
			demand[i] = 10000 * perKW(low, 80)
		}
	}
	make := func(volumeM3 float64) Plant {
		return Plant{
			StepS: 60, Steps: hours * 60,
			Headers: []Header{
				{Name: "boiler", SteamC: high, FeedwaterC: 80, Above: -1, SlackKWh: 1},
				{Name: "plant", DemandKW: demand, SteamC: low, FeedwaterC: 80, Above: 0},
			},
			Boilers: []Boiler{gas("B", 6010*perKW(low, 80))},
			Stores: []Store{{Name: "accumulator", VolumeM3: volumeM3, Header: 1, From: 0, HeaderChargeKW: 2500 * perKW(high, 80), LetCool: true,
				AmbientC: []float64{15}, Spec: storage.Spec{
					Discharge: storage.Flash, Working: steam.BarAbs(10), Header: steam.BarAbs(7), FeedwaterC: 80, FillFrac: 0.95,
					LengthPerDiameter: 3, InsulationM: 0.5, InsulationWMK: 1e-12, OutsideWM2K: 10, SteamKgHM2Bar: 1e6,
				}}},
		}
	}
	out := play(t, make(50.66), PlainRule{}, Options{LeadH: hours})
	if out.UnmetKWh > 1e-3*out.DemandKWh {
		t.Errorf("50.66 m³: %.0f kWh are missing; want under a thousandth of %.0f", out.UnmetKWh, out.DemandKWh)
	}
	// The boiler gives 6010 kg/h, a little more than the mean: (10 000 - 6010)/3 kg in 20 min.
	near(t, "heat given in an hour", out.Series.DrawKW[0][6], (10000-6010)/3.0*perKW(low, 80), 2)
	if short := play(t, make(25), PlainRule{}, Options{LeadH: hours}); !(short.UnmetKWh > 0.02*out.DemandKWh) {
		t.Errorf("25 m³: %.0f kWh are missing; want much, the vessel is half as large as it must be", short.UnmetKWh)
	}
}

// A vessel gives faster hot than the plan's limit at its floor: by pressure, as the rating says, and by the surface of a
// lower level.
func TestSurfaceRating(t *testing.T) {
	p := bare(2, 1e5)
	p.Stores = []Store{{Spec: flashSpec(storage.WhileDischarging), VolumeM3: 40, AmbientC: []float64{15}, LetCool: true}}
	p.Fields = []Field{{AreaM2: 1000, Stores: []StoreYields{{[]float64{5, 0}, []float64{5, 0}}}}}
	p.Headers[0].DemandKW = []float64{0, 1e5}
	most := 0.0
	var atC, level float64
	play(t, p, orders(func(seen *Seen, _ *Orders) {
		if s := seen.Stores[0]; seen.Hour == 1 && most == 0 {
			most, atC, level = s.MostDrawKW, s.TC, s.LevelFrac
		}
	}), cold)
	v, _ := storage.New(flashSpec(storage.WhileDischarging))
	l, _ := v.Limits(40)
	s, _ := steam.SaturatedAt(atC)
	f, _ := steam.SaturatedAt(85)
	surface := l.WaterM2 * math.Sqrt(level*(1-level)) / math.Sqrt(0.9*0.1) // a chord's rough form, near enough between 0.8 and 0.9
	want := storage.DefaultSteamKgHM2Bar * s.P.BarAbs() * surface * (s.Vapour.HKJKg - f.Liquid.HKJKg) / 3600
	near(t, "kW at once when hot", most, want, 0.03*want)
	if !(most > 2*l.DischargeKW) {
		t.Errorf("gives %.0f kW at %.1f °C; want over twice the %.0f kW of its floor", most, atC, l.DischargeKW)
	}
}

// The chord of a circle by the share of its area: half full it is the diameter; at a share of 0.1955 the water stands a
// quarter of the diameter high, and the chord is sqrt(3)/2 (circular segment, geometry).
func TestChord(t *testing.T) {
	near(t, "half full", chord(0.5), 1, 1e-9)
	near(t, "a quarter high", chord(0.19550110947788532), math.Sqrt(3)/2, 1e-9)
	near(t, "three quarters high", chord(1-0.19550110947788532), math.Sqrt(3)/2, 1e-9)
}
