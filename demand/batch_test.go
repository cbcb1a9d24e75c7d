package demand

import (
	"math"
	"math/rand/v2"
	"testing"

	"noonkeep/plant/steam"
)

func at(tC float64) *float64 { return &tC }

// kettle is a vessel of one liquid and one stage, without loss.
func kettle(kg, kJKgK, fromC, toC float64, h HeatUp) Batch {
	return Batch{Liquor: Charge{Kg: kg, Of: PlainMaterial("liquid", kJKgK, 0)}, HeatUp: h, Header: steam.BarAbs(7), FeedwaterC: 85,
		Stages: []Stage{{FromC: at(fromC), ToC: toC}}}
}

func mustRun(t *testing.T, b Batch) Cycle {
	t.Helper()
	c, err := b.Run()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const (
	lbKg   = 0.45359237
	btuKWh = 1.05505585262 / 3600
)

// Heat of whole batches against published arithmetic.
func TestBatchHeat(t *testing.T) {
	t.Parallel()
	byPower := HeatUp{Way: ByPower, KW: 500}
	f := func(degF float64) float64 { return (degF - 32) / 1.8 }
	milk := kettle(1500*lbKg, 0.90*4.1868, f(80), f(212), byPower)
	milk.Stages[0].HoldH, milk.Stages[0].BoilOffFrac = 1, 0.25
	hot := kettle(5*998, 4.186, 15, 80, byPower)
	for _, c := range []struct {
		what     string
		b        Batch
		kWh, tol float64
		src      string
	}{
		{"milk pasteuriser, an hour's flow", kettle(10_000*1.03, 3.93, 4, 72, HeatUp{Way: ByGradient, KPerMin: 68. / 60}), 764.60, 0.005, "checks-heat.md 7.2"},
		{"the same after regeneration", kettle(10_000*1.03, 3.93, 65, 72, HeatUp{Way: ByGradient, KPerMin: 7. / 60}), 78.71, 0.005, "checks-heat.md 7.2"},
		{"milk kettle", milk, 542_063 * btuKWh, 542_063 * btuKWh * 1e-3, "checks-heat.md 7.4, energy-management handbook; 0.1 % as there, its 970.3 Btu/lb is an older steam table's"},
		{"dye bath by the kg of textile", kettle(10, 4.19, 15, 98, byPower), 0.96603, 5e-6, "checks-heat.md 7.8"},
		{"cleaning tank", hot, 377.15, 0.005, "checks-heat.md 7.9"},
	} {
		got := mustRun(t, c.b)
		if math.Abs(got.KWh-c.kWh) > c.tol {
			t.Errorf("%s: %.5f kWh, want %.5f (%s)", c.what, got.KWh, c.kWh, c.src)
		}
	}
	got := mustRun(t, milk)
	// 15 psig steam gives 945 Btu/lb as it condenses.
	if lb := got.KWh / btuKWh / 945; math.Abs(lb-574) > 0.6 {
		t.Errorf("milk kettle takes %.1f lb of steam, want 574 (checks-heat.md 7.4)", lb)
	}
	if math.Abs(got.LiquorKWh-178_200*btuKWh) > 0.005 || math.Abs(got.BoilKWh-363_863*btuKWh) > 363_863*btuKWh*1e-3 {
		t.Errorf("milk kettle: %.2f kWh to boiling and %.2f boiled off (178 200 and 363 863 Btu, checks-heat.md 7.4)", got.LiquorKWh, got.BoilKWh)
	}
}

// The coil's closed form against a worked textbook problem, and against the log mean difference.
func TestCoilAgainstTextbook(t *testing.T) {
	t.Parallel()
	// 2.5 m2 of 400 W/m2K with steam at 393 K, and 40 m2 of 5 W/m2K to air of the vessel's first temperature: 1800 s from 293
	// to 373 K, 2700 s from 278 K.
	hours := func(kJK, fromC, airC float64) float64 {
		b := kettle(kJK, 1, fromC, 373-273.15, HeatUp{Way: ByCoil, AreaM2: 2.5, WM2K: 400})
		var err error
		if b.HeatUp.Pressure, err = steam.SatPressure(393 - 273.15); err != nil {
			t.Fatal(err)
		}
		b.Loss = BathLoss{AreaM2: 40, WM2K: 5, AirC: airC}
		return mustRun(t, b).H
	}
	// The first time gives the heat capacity by the book's own formula, 1800 s = C/(a + b) ln(100 a/(20 a - 80 b)), a = 1, b = 0.2 kW/K.
	kJK := 1800 * 1.2 / math.Log(100/(20-80*0.2))
	if got := 3600 * hours(kJK, 293-273.15, 293-273.15); math.Abs(got-1800) > 0.01 {
		t.Errorf("heats up in %.3f s, want 1800 (Coulson and Richardson, Heat Transfer, problem on a coil in a tank)", got)
	}
	// b is found there by trial, "about 5 W/m2K": to one digit, worth 2 % of the second time.
	if got := 3600 * hours(kJK, 278-273.15, 278-273.15); math.Abs(got-2700) > 54 {
		t.Errorf("heats up in %.0f s, want about 2700 (Coulson and Richardson, the same problem)", got)
	}

	b := kettle(5000, 4.19, 15, 90, HeatUp{Way: ByCoil, AreaM2: 6, WM2K: 800})
	c := mustRun(t, b)
	steamC, err := steam.SatTemp(b.Header)
	if err != nil {
		t.Fatal(err)
	}
	ua := 6 * 0.8
	wantH := 5000 * 4.19 / 3600 / ua * math.Log((steamC-15)/(steamC-90)) // textbook, t = M c/UA ln(...)
	lmtd := (90 - 15) / math.Log((steamC-15)/(steamC-90))
	if math.Abs(c.H-wantH) > 1e-12 || math.Abs(c.KWh-ua*lmtd*c.H) > 1e-9 {
		t.Errorf("got %v h and %v kWh, want %v h and UA LMTD t = %v kWh", c.H, c.KWh, wantH, ua*lmtd*c.H)
	}
	if c.PeakKW != c.Legs[0].At(0) || math.Abs(c.PeakKW-ua*(steamC-15)) > 1e-9 {
		t.Errorf("peak %v kW, want UA (Ts - t0) = %v", c.PeakKW, ua*(steamC-15))
	}
}

// Live steam against a worked example and the enthalpy balance.
func TestLiveSteam(t *testing.T) {
	t.Parallel()
	b := Batch{Liquor: Charge{Kg: 100, Of: materials[0]}, HeatUp: HeatUp{Way: ByLiveSteam, KgH: 127}, Header: steam.BarAbs(2.2), FeedwaterC: 85,
		Stages: []Stage{{FromC: at(20), ToC: 80}}}
	c := mustRun(t, b)
	for _, v := range []struct {
		what           string
		got, want, tol float64
		src            string
	}{
		{"minutes", c.H * 60, 5, 0.05, "engineeringtoolbox.com d_1058: 100 kg from 20 to 80 degC in 5 min by 127 kg/h of 2.2 bar(a); it counts 4.2 kJ/kgK and two digits of kg/s"},
		{"kg of steam", c.SteamKg, 10.5, 0.11, "the same page, 0.035 kg/s rounded over 300 s"},
		{"kg gained", c.GainedKg, c.SteamKg, 1e-12, "the water stays"},
	} {
		if math.Abs(v.got-v.want) > v.tol {
			t.Errorf("%s: got %v, want %v (%s)", v.what, v.got, v.want, v.src)
		}
	}
	h := func(tC float64) float64 {
		s, err := steam.SaturatedAt(tC)
		if err != nil {
			t.Fatal(err)
		}
		return s.Liquid.HKJKg
	}
	g, _ := steam.SaturatedUnder(b.Header)
	want := 100 * (h(80) - h(20)) / (g.Vapour.HKJKg - h(80)) // m h(20) + s h_g = (m + s) h(80)
	if math.Abs(c.SteamKg-want) > 2e-4*want {
		t.Errorf("%v kg of steam, want %v by the enthalpies of IF97 (Simpson's mean of cp is good to 1e-4)", c.SteamKg, want)
	}
	feed, _ := steam.Liquid(b.Header, 85)
	if head := c.SteamKg * (g.Vapour.HKJKg - feed.HKJKg) / 3600; math.Abs(c.KWh-head) > 1e-9 {
		t.Errorf("%v kWh at the header, want %v: kg by h_g - h_fw, as SteamKW counts", c.KWh, head)
	}
}

// Every way, with loss and a machine, against a Runge-Kutta integration of the bath that knows no closed form.
func TestWaysAgainstIntegration(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(4, 1))
	for i := range 200 {
		b := kettle(500+4500*rng.Float64(), 3+1.5*rng.Float64(), 5+40*rng.Float64(), 60+38*rng.Float64(), HeatUp{})
		b.Machine = Charge{Kg: 900 * rng.Float64(), Of: PlainMaterial("steel", 0.49, 0)}
		b.Loss = BathLoss{KW: 5 * rng.Float64(), AreaM2: 10 * rng.Float64(), WM2K: 12, AirC: 25}
		b.HeatUp = []HeatUp{{Way: ByPower, KW: 100 + 500*rng.Float64()}, {Way: ByCoil, AreaM2: 3, WM2K: 900}, {Way: ByLiveSteam, KgH: 300 + 900*rng.Float64()},
			{Way: ByGradient, KPerMin: 0.5 + 2*rng.Float64()}}[i%4]
		c := mustRun(t, b)
		leg := c.Legs[0]
		tC, kWh := integrate(t, b, leg.H)
		if math.Abs(tC-leg.ToC) > 1e-6 || math.Abs(kWh-leg.KWh()) > 1e-6*kWh {
			t.Fatalf("run %d, way %d: after %v h %v degC and %v kWh, want %v degC and %v kWh (Runge-Kutta)", i, b.HeatUp.Way, leg.H, leg.ToC, leg.KWh(), tC, kWh)
		}
	}
}

// integrate follows a bath's first heating for H hours.
func integrate(t *testing.T, b Batch, hours float64) (tC, kWh float64) {
	t.Helper()
	s := b.Stages[0]
	tC, toC := *s.FromC, s.ToC
	cp, err := b.Liquor.Of.KJKgK(tC, toC)
	if err != nil {
		t.Fatal(err)
	}
	capacity := (b.Liquor.Kg*cp + b.Machine.Kg*0.49) / 3600
	steamC, _ := steam.SatTemp(b.Header)
	sat, _ := steam.SaturatedUnder(b.Header)
	end, _ := steam.SaturatedAt(toC)
	feed, _ := steam.Liquid(b.Header, b.FeedwaterC)
	water, _ := materials[0].KJKgK(tC, toC)
	h := b.HeatUp
	// rate is dT/dt and the heat at the header at the time x with the bath at y.
	rate := func(x, y float64) (kH, kW float64) {
		loss := b.Loss.KW + b.Loss.AreaM2*b.Loss.WM2K/1000*(y-b.Loss.AirC)
		switch h.Way {
		case ByPower:
			return (h.KW - loss) / capacity, h.KW
		case ByCoil:
			q := h.AreaM2 * h.WM2K / 1000 * (steamC - y)
			return (q - loss) / capacity, q
		case ByLiveSteam:
			hw := end.Liquid.HKJKg + water*(y-toC)
			return (h.KgH*(sat.Vapour.HKJKg-hw)/3600 - loss) / (capacity + h.KgH*x*water/3600), h.KgH * (sat.Vapour.HKJKg - feed.HKJKg) / 3600
		}
		return h.KPerMin * 60, capacity*h.KPerMin*60 + loss
	}
	const n = 2000
	d := hours / n
	for i := range n {
		x := float64(i) * d
		k1, q1 := rate(x, tC)
		k2, q2 := rate(x+d/2, tC+d/2*k1)
		k3, q3 := rate(x+d/2, tC+d/2*k2)
		k4, q4 := rate(x+d, tC+d*k3)
		tC += d / 6 * (k1 + 2*k2 + 2*k3 + k4)
		kWh += d / 6 * (q1 + 2*q2 + 2*q3 + q4)
	}
	return tC, kWh
}

// What goes in at the header is what baths, loss and vapour have, whatever the recipe.
func TestBatchBalanceCloses(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(4, 2))
	for i := range 300 {
		b := randomBatch(rng, i)
		c := mustRun(t, b)
		sum := c.LiquorKWh + c.SolidsKWh + c.LossKWh + c.BoilKWh + c.WaterKWh
		legs := 0.0
		for _, l := range c.Legs {
			legs += l.KWh()
		}
		if math.Abs(sum-c.KWh) > 1e-9*c.KWh || math.Abs(legs-c.KWh) > 1e-9*c.KWh || c.PeakKW*c.H < c.KWh*(1-1e-9) {
			t.Fatalf("batch %d: %v kWh at the header, %v by the balance, %v by the legs, peak %v kW over %v h", i, c.KWh, sum, legs, c.PeakKW, c.H)
		}
	}
}

func randomBatch(rng *rand.Rand, i int) Batch {
	wool, _ := MaterialNamed("wool")
	steel, _ := MaterialNamed("steel")
	b := Batch{Liquor: Charge{Kg: 500 + 4500*rng.Float64(), Of: materials[i%5]}, Header: steam.BarAbs(7), FeedwaterC: 85,
		Goods: Charge{Kg: 300 * rng.Float64(), Of: wool}, Machine: Charge{Kg: 900 * rng.Float64(), Of: steel, StartC: at(40)},
		Loss: BathLoss{KW: 5 * rng.Float64(), AreaM2: 10 * rng.Float64(), WM2K: 12, AirC: 25}}
	b.HeatUp = []HeatUp{{Way: ByPower, KW: 300 + 500*rng.Float64()}, {Way: ByCoil, AreaM2: 6, WM2K: 900}, {Way: ByLiveSteam, KgH: 600 + 900*rng.Float64()},
		{Way: ByGradient, KPerMin: 0.5 + 2*rng.Float64()}}[i%4]
	b.Stages = []Stage{{FromC: at(15), ToC: 60, HoldH: 0.3, WaitH: 0.2}, {ToC: 98, HoldH: 4, BoilOffFrac: 0.05 * rng.Float64()},
		{ToC: 70, KPerMin: 2}, {FromC: at(15 + 30*rng.Float64()), ToC: 60, HoldH: 0.4, WaitH: 0.3}}
	return b
}

// A second bath takes over what goods and machine have.
func TestRefillMixes(t *testing.T) {
	t.Parallel()
	b := kettle(1000, 4, 20, 80, HeatUp{Way: ByPower, KW: 400})
	b.Machine = Charge{Kg: 2000, Of: PlainMaterial("steel", 0.5, 0)}
	b.Stages = append(b.Stages, b.Stages[0])
	c := mustRun(t, b)
	// The machine's 1000 kJ/K of 80 degC with the bath's 4000 kJ/K of 20 degC: (4000*20 + 1000*80)/5000 = 32 degC.
	if math.Abs(c.Legs[1].FromC-32) > 1e-9 || math.Abs(c.KWh-5000*(60+48)/3600.) > 1e-9 {
		t.Errorf("second bath from %v degC, %v kWh in all; want 32 and %v (mixture by hand)", c.Legs[1].FromC, c.KWh, 5000*(60+48)/3600.)
	}
}
