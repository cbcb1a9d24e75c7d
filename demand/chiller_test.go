package demand

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

func usualChiller(e Effect, capacityKW float64) Chiller {
	c := Chiller{Effect: e, CapacityKW: capacityKW, COP: e.UsualCOP(), LeastFrac: e.UsualLeastFrac(), GeneratorC: 90, LeastC: 75, CoolingC: 29.4, ChilledC: 6.7}
	if e == DoubleEffect {
		c.GeneratorC, c.LeastC = 165, 150
	}
	return c
}

func TestReversibleCOP(t *testing.T) {
	for _, r := range []struct {
		tg, t0, te, want float64
		src              string
	}{
		{90, 30, 7, 2.01246, "checks-heat.md 6.10, second law"},
		{85, 32, 7, 1.65829, "checks-heat.md 6.10, second law"},
		{170, 30, 7, 3.84804, "checks-heat.md 6.10, second law"},
	} {
		needSource(t, r.src)
		if got, err := ReversibleCOP(r.tg, r.t0, r.te); err != nil || math.Abs(got-r.want) > 1e-5 {
			t.Errorf("%g, %g, %g degC: %g, %v; want %g (%s)", r.tg, r.t0, r.te, got, err, r.want, r.src)
		}
	}
	if _, err := ReversibleCOP(20, 30, 7); err == nil {
		t.Error("a generator colder than the surroundings is taken")
	}
}

// Heat for 350 kW of cold at full load.
func TestHeatOfChiller(t *testing.T) {
	a := clock.Axis{Start: time.Date(2026, 7, 1, 0, 0, 0, 0, time.FixedZone("", 0)), Step: time.Hour, N: 1}
	for _, r := range []struct {
		effect  Effect
		wantKW  float64
		tol     float64
		src     string
		perTonH float64 // kg/h of steam of 2200 kJ/kg per ton of refrigeration, 0 for none
	}{
		{SingleEffect, 500, 1e-9, "checks-heat.md 6.7: COP 0.70", 8.221},
		{DoubleEffect, 291.67, 0.005, "checks-heat.md 6.7: COP 1.20", 0},
	} {
		needSource(t, r.src)
		heat, err := usualChiller(r.effect, 350).Heat(clock.KW{350}, 170, a)
		if err != nil || math.Abs(heat[0]-r.wantKW) > r.tol {
			t.Errorf("%v: %v kW, %v; want %g (%s)", r.effect, heat, err, r.wantKW, r.src)
			continue
		}
		// checks-heat.md 6.8: a ton is 12 000 Btu/h, 3.51685 kW; 6.9: 8.221 kg/h per ton
		const tonKW = 3.51685
		if perTon := heat[0] / 350 * tonKW / 2200 * 3600; r.perTonH > 0 && math.Abs(perTon-r.perTonH) > 5e-4 {
			t.Errorf("%.4f kg/h per ton, want %.3f (checks-heat.md 6.9)", perTon, r.perTonH)
		}
	}
}

// The default curve against what is said of absorption chillers.
func TestUsualChillers(t *testing.T) {
	iplv := 0.01*UsualPartLoad(1) + 0.42*UsualPartLoad(0.75) + 0.45*UsualPartLoad(0.5) + 0.12*UsualPartLoad(0.25)
	single, double := usualChiller(SingleEffect, 100), usualChiller(DoubleEffect, 100)
	cold := single // its 95 to 80 degC
	cold.GeneratorC, cold.LeastC = 95, 80
	for _, r := range []struct {
		what      string
		got, a, b float64
		src       string
		memory    bool // a plausibility band, no gate
	}{
		{"heat's share at half load", 0.5 / UsualPartLoad(0.5), 0.44606, 0.44608, "EnergyPlus Engineering Reference, BLAST absorber: 0.03303 + 0.3426 + 0.07045, over 1.00003, by hand", false},
		{"COP at full load", UsualPartLoad(1), 1, 1, "definition", false},
		{"COP on and off under 15 %", UsualPartLoad(0.02) / UsualPartLoad(0.15), 1, 1, "definition", false},
		{"IPLV over full COP, weights of AHRI 560", iplv, 1.0, 1.2, "ASHRAE 90.1: double effect 1.00 and IPLV at least 1.05 (value from memory)", true},
		{"single effect, COP", single.COP, 0.65, 0.80, "checks-heat.md 6.11 (value from memory), 6.3: about 0.7", true},
		{"double effect, COP", double.COP, 1.0, 1.35, "checks-heat.md 6.12 (value from memory)", true},
		{"capacity left from 95 to 80 degC", cold.CapacityAt(80) / 100, 0.4, 0.6, "checks-heat.md 6.14: about half, common practice, no source", true},
		{"COP left from 95 to 80 degC", cold.COPAt(80, 1) / cold.COP, 0.9, 1, "checks-heat.md 6.14: hardly falls, common practice, no source", true},
	} {
		needSource(t, r.src)
		if !(r.got >= r.a-1e-12 && r.got <= r.b+1e-12) {
			report := t.Errorf
			if r.memory {
				report = t.Logf
			}
			report("%s: %g, want %g to %g (%s)", r.what, r.got, r.a, r.b, r.src)
		}
	}
}

// No chiller that passes its check makes more cold than the second law allows, at any load or generator temperature;
// hotter heat never takes capacity or COP away; less cold never takes more heat.
func TestChillerProperties(t *testing.T) {
	const seed = 11
	rnd := rand.New(rand.NewPCG(seed, 0))
	passed := 0
	for trial := range 2000 {
		c := Chiller{Effect: SingleEffect, CapacityKW: 50 + 500*rnd.Float64(), COP: 2.5 * rnd.Float64(),
			GeneratorC: 60 + 140*rnd.Float64(), LeastFrac: rnd.Float64(), CoolingC: 20 + 15*rnd.Float64(), ChilledC: 15 * rnd.Float64()}
		c.LeastC = c.GeneratorC - 30*rnd.Float64()
		if rnd.IntN(2) == 0 {
			c.PartLoad = []LoadPoint{{0.3, 0.8 + 0.4*rnd.Float64()}, {0.6, 0.9 + 0.3*rnd.Float64()}, {1, 1}}
		}
		if c.Check() != nil {
			continue
		}
		passed++
		capacity, cop := 0.0, 0.0
		for k := range 31 {
			feed := c.LeastC + float64(k)
			top, err := ReversibleCOP(feed, c.CoolingC, c.ChilledC)
			if err != nil {
				t.Fatal(err)
			}
			if c.CapacityAt(feed) < capacity || c.COPAt(feed, 1) < cop {
				t.Fatalf("seed %d, trial %d: hotter heat of %g degC makes it worse: %+v", seed, trial, feed, c)
			}
			capacity, cop = c.CapacityAt(feed), c.COPAt(feed, 1)
			heat := 0.0
			for load := 0.005; load <= 1; load += 0.005 {
				if got := c.COPAt(feed, load); got > top*(1+1e-9) {
					t.Fatalf("seed %d, trial %d: COP %g at %g degC and load %g, the second law allows %g: %+v", seed, trial, got, feed, load, top, c)
				}
				if c.PartLoad == nil {
					if now := load / c.COPAt(feed, load); now < heat {
						t.Fatalf("seed %d, trial %d: more cold takes less heat at a load of %g", seed, trial, load)
					} else {
						heat = now
					}
				}
			}
		}
		if c.CapacityAt(c.LeastC-0.01) != 0 || c.COPAt(c.LeastC-0.01, 1) != 0 {
			t.Fatalf("seed %d, trial %d: it works with heat that is too cold", seed, trial)
		}
	}
	if passed < 500 {
		t.Errorf("only %d of 2000 chillers pass their check", passed)
	}
}

// The part-load table is straight between its points, by hand.
func TestPartLoadTable(t *testing.T) {
	c := usualChiller(DoubleEffect, 100)
	c.PartLoad = []LoadPoint{{0.2, 0.8}, {0.6, 1.2}, {1, 1}}
	if err := c.Check(); err != nil {
		t.Fatal(err)
	}
	for load, want := range map[float64]float64{0.1: 0.8, 0.2: 0.8, 0.4: 1, 0.6: 1.2, 0.8: 1.1, 1: 1} {
		if got := c.COPAt(165, load) / c.COP; math.Abs(got-want) > 1e-12 {
			t.Errorf("load %g: %g of the COP, want %g", load, got, want)
		}
	}
}

func TestChillerRefuses(t *testing.T) {
	with := func(change func(*Chiller)) Chiller {
		c := usualChiller(DoubleEffect, 100)
		change(&c)
		return c
	}
	for _, r := range []struct {
		c    Chiller
		want string
	}{
		{with(func(c *Chiller) { c.Effect = 0 }), "kind: is missing; want single effect or double effect"},
		{with(func(c *Chiller) { c.CapacityKW = math.NaN() }), "capacity: is NaN kW; want more than 0"},
		{with(func(c *Chiller) { c.LeastC = 170 }), "least generator: is 170 degC; want at most the 165 of the generator"},
		{with(func(c *Chiller) { c.LeastFrac = 0 }), "least capacity: is 0; want more than 0 and at most 1"},
		{with(func(c *Chiller) { c.COP = 0 }), "COP: is 0; want more than 0 and less than 10"},
		{with(func(c *Chiller) { c.COP = 3.5 }), "COP: comes to 3.89 with the generator at 150 degC; the second law allows 3.51 between it, cooling water of 29.4 and chilled water of 6.7 degC"},
		{with(func(c *Chiller) { c.ChilledC = 35 }), "temperatures: generator 150, cooling water 29.4, chilled water 35 degC; want each colder than the one before"},
		{with(func(c *Chiller) { c.PartLoad = []LoadPoint{{0.5, 1.1}, {0.5, 1}} }), "part load: point 2 is at a load of 0.5; want them rising, from above 0 to 1"},
		{with(func(c *Chiller) { c.PartLoad = []LoadPoint{{0.5, 1.1}} }), "part load: ends with 1.1 at a load of 0.5; want 1 at 1"},
	} {
		if err := r.c.Check(); err == nil || err.Error() != r.want {
			t.Errorf("%v\nwant %s", err, r.want)
		}
	}
	a := clock.Axis{Start: time.Date(2026, 7, 1, 0, 0, 0, 0, time.FixedZone("", 0)), Step: time.Hour, N: 4}
	c := usualChiller(DoubleEffect, 100)
	_, err := c.Heat(clock.KW{80, 101, 140, 120}, 165, a)
	var over *OverCapacity
	if !errors.As(err, &over) || over.Hours != 3 ||
		err.Error() != "cooling asks more than the chiller's 100 kW in 3 h, first on 1 Jul 01:00, worst 140 kW on 1 Jul 02:00; raise its capacity or write less cooling" {
		t.Error(err)
	}
	if _, err := c.Heat(clock.KW{80, 80, 80, 80}, 150, a); err == nil ||
		err.Error() != "cooling asks more than the chiller's 75 kW in 4 h, first on 1 Jul 00:00, worst 80 kW on 1 Jul 00:00; its generator gets 150 degC, hotter heat would give 100 kW" {
		t.Error(err)
	}
	if _, err := c.Heat(make(clock.KW, 4), 149, a); err == nil || err.Error() != "generator: gets 149 degC; want the 150 that it needs at least" {
		t.Error(err)
	}
}

// The line goes through its points, and sums over the published degree-hours of a cosine day: with 2 kW per K over 15 degC and a day of
// 10 + 6 cos turned over (20 - ...), the same area above the balance as below it there.
func TestCoolingLine(t *testing.T) {
	l := CoolingLine{BaseKW: 40, DesignKW: 300, DesignC: 34, BalanceC: 16}
	kW, err := l.KW([]float64{-5, 16, 25, 34, 38})
	if err != nil {
		t.Fatal(err)
	}
	// by hand: 260 kW over 18 K
	for i, want := range []float64{40, 40, 40 + 260*9./18, 300, 40 + 260*22./18} {
		if math.Abs(kW[i]-want) > 1e-9 {
			t.Errorf("point %d: %g kW, want %g", i, kW[i], want)
		}
	}
	// checks-heat.md 7.14: 122.9656 K h a day over the base, mirrored: T = 20 + 6 cos, base 15, minus the day's excess.
	const src, want = "checks-heat.md 7.14, degree-hours in closed form", 122.9656
	needSource(t, src)
	n := 24 * 60
	air := make([]float64, n)
	for i := range air {
		air[i] = 20 + 6*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n))
	}
	kW, err = CoolingLine{DesignKW: 10, DesignC: 20, BalanceC: 15}.KW(air) // 2 kW per K
	if err != nil {
		t.Fatal(err)
	}
	if got := kW.EnergyKWh(1./60) / 2; math.Abs(got-want) > 1e-3 {
		t.Errorf("%g K h over the balance point, want %g (%s)", got, want, src)
	}
	for _, r := range []struct {
		l    CoolingLine
		want string
	}{
		{CoolingLine{BaseKW: 5, DesignKW: 3, DesignC: 30, BalanceC: 16}, "design: is 3 kW; want at least the base of 5"},
		{CoolingLine{DesignKW: 3, DesignC: 16, BalanceC: 16}, "design: is at 16 degC; want more than the balance point of 16"},
		{CoolingLine{BaseKW: -1, DesignKW: 3, DesignC: 30, BalanceC: 16}, "base: is -1 kW; want 0 or more"},
	} {
		if err := r.l.Check(); err == nil || err.Error() != r.want {
			t.Errorf("%v, want %s", err, r.want)
		}
	}
	if _, err := l.KW(slices.Repeat([]float64{math.NaN()}, 2)); err == nil {
		t.Error("air of NaN degC is taken")
	}
}
