package plant

import (
	"math"
	"testing"
	"time"

	"noonkeep/plant/sky"
)

// nights takes the sun from 17:00 to 07:00 and gives those hours airC.
func nights(y sky.Year, airC float64) sky.Year {
	for i := range y.DNI {
		if h := y.Axis.At(i).Hour(); h < 7 || h >= 17 {
			y.DNI[i], y.AirC[i] = 0, airC
			y.Suns[i].ZenithDeg = 120
		}
	}
	return y
}

// Receivers and pipes cool each in its own time, and each morning gives back what both have lost.
func TestPipesCoolInTheirOwnTime(t *testing.T) {
	const src = "closed form: sum of C (T - Ta) (1 - exp(-14 h/τ)), each day of the year"
	f := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, HeatCapacityKJM2K: 2, CoolingTimeH: 3})
	f.Pipes = Pipes{LengthM: 300, WaterKg: 60, SteelKg: 200, CoolingTimeH: 20}
	pipesKJK := 60*4.3 + 200*0.49 // 356 kJ/K on 100 m²
	near(t, "capacity", f.Pipes.CapacityKJK(), pipesKJK, 1e-9, "water at 150 °C and steel")
	short := 160 * (2*(1-math.Exp(-14./3)) + pipesKJK/100*(1-math.Exp(-14./20))) / 3600 // kWh/m²
	for _, step := range []time.Duration{time.Hour, 15 * time.Minute} {
		out := mustYield(t, f, nights(stillYear(t, step), 20), 180)
		near(t, "warm-up of the year", out.WarmupKWhM2, 365*short, 1e-8, src)
		near(t, "delivered", out.DeliveredKWhM2, 365*(6.4-short), 1e-8, src+", of 10 h × 640 W/m²")
	}
	// The same heat capacity with the same time constant is the same field, wherever it is written.
	one := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, HeatCapacityKJM2K: 3.56, CoolingTimeH: 20})
	f.Collector.HeatCapacityKJM2K = 0
	f.Collector.CoolingTimeH = 0
	y := roughYear(t, 38, time.Hour, 3)
	near(t, "written as pipes", mustYield(t, f, y, 180).DeliveredKWhM2, mustYield(t, one, y, 180).DeliveredKWhM2, 1e-9, "one capacity, two ways to write it")
}

// With a loss per m, the cooling time follows: τ = C/(UA).
func TestPipesLossSetsCooling(t *testing.T) {
	p := Pipes{LengthM: 300, WaterKg: 600, SteelKg: 2000, LossWMK: 0.3}
	near(t, "cooling time", p.coolingTimeH(), (600*4.3+2000*0.49)*1000/3600/90, 1e-9, "3560 kJ/K over 90 W/K")
	f := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8})
	f.Pipes = p
	y := stillYear(t, time.Hour)
	// 90 W/K over 100 m², 100 K: 90 W/m², while the sun never sets.
	near(t, "running", 1000*mustYield(t, f, y, 120).KWM2[4000], 640-90, 1e-9, "hand calculation")
}

// What nights take is what mornings give: over the year warm-up is the heat that left receivers and pipes.
func TestCapacityCloses(t *testing.T) {
	f := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, A1: 0.5, HeatCapacityKJM2K: 9, CoolingTimeH: 5, LeastDNIWM2: 200, StowWindMS: math.Inf(1)})
	f.Pipes = Pipes{WaterKg: 300, CoolingTimeH: 30}
	f.Freeze = Freeze{On: true, BelowC: 4, KeepC: 8}
	y := roughYear(t, 45, time.Hour, 9)
	r := newRun(&f, &y, 170)
	lost, warmed, held := 0., 0., 0.
	start := r.receiver.shortWhM2 + r.pipes.shortWhM2 + r.owedWhM2
	for i := range y.DNI {
		before := [2]mass{r.receiver, r.pipes}
		o := r.step(i)
		warmed += o.warmup * r.stepH
		held += o.held * r.stepH
		if o.warmup == 0 && o.delivered == 0 {
			for m, now := range [2]mass{r.receiver, r.pipes} {
				lost += now.shortWhM2 - before[m].shortWhM2 // cooled, net of what held it
			}
		}
	}
	if held == 0 {
		t.Fatal("no frost in this year; want some")
	}
	end := r.receiver.shortWhM2 + r.pipes.shortWhM2 + r.owedWhM2
	near(t, "warm-up, Wh/m²", warmed, start+lost+held-end, 1e-6, "energy: what cooled and what held it, less what is still short")
}

// A night under frost by hand: falls freely to the temperature that is kept, then is held there.
func TestFrostByHand(t *testing.T) {
	const (
		src = "closed form: falls in τ ln((T - Ta)/(Tkeep - Ta)), then C/τ (Tkeep - Ta)"
		tau = 4.
		c   = 9 / 3.6 // Wh/(m² K)
	)
	y := nights(stillYear(t, time.Hour), -10)
	f := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, HeatCapacityKJM2K: 9, CoolingTimeH: tau})
	f.Freeze = Freeze{On: true, BelowC: 2, KeepC: 5, PumpW: 500}
	f.IdlePumpW = 200
	out := mustYield(t, f, y, 180)
	free := tau * math.Log(190/15.) // 10.16 h of 14
	night := c / tau * 15 * (14 - free) / 1000
	near(t, "heat against frost", out.FrostKWhM2, 365*night, 1e-8, src)
	near(t, "hours", out.FrostH, 365*14, 1e-9, "all of each night")
	near(t, "warm-up", out.WarmupKWhM2, 365*(c*175/1000+night), 1e-8, "from 5 °C to 180 °C, and what held it there given back")
	near(t, "electricity", out.IdleKWhM2, (5*365*14+2*(8760-out.DeliveringH))/1000, 1e-9, "500 W and 200 W on 100 m²")

	f.Freeze.Electric = true
	byPower := mustYield(t, f, y, 180)
	near(t, "warm-up with electric heat", byPower.WarmupKWhM2, 365*c*175/1000, 1e-8, "from 5 °C to 180 °C")
	near(t, "electricity with its heat", byPower.IdleKWhM2, out.IdleKWhM2+365*night, 1e-8, "the same heat by wire")

	f.Freeze = Freeze{On: true, BelowC: 2, Drain: true}
	drained := mustYield(t, f, y, 180)
	f.Freeze = Freeze{}
	bare := mustYield(t, f, y, 180)
	near(t, "drained", drained.DeliveredKWhM2, bare.DeliveredKWhM2, 0, "water that is out costs nothing but its cooling")

	// No heat capacity: it loses at once a1 (Tkeep - Ta), and more by its pipes.
	f = clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, A1: 2})
	f.PipeUAWM2K = 0.5
	f.Freeze = Freeze{On: true, BelowC: 2, KeepC: 5}
	near(t, "without capacity", mustYield(t, f, y, 100).FrostKWhM2, 365*14*2.5*15/1000, 1e-8, "2.5 W/(m² K) × 15 K × 14 h")
}

// Protection that never comes changes no digit.
func TestNoFrostNoChange(t *testing.T) {
	y := roughYear(t, 30, time.Hour, 2)
	f := clean(kind(t, "trough"))
	bare := mustYield(t, f, y, 160)
	f.Freeze = Freeze{On: true, BelowC: -49, KeepC: 5, Electric: true}
	kept := mustYield(t, f, y, 160)
	for i, v := range bare.KWM2 {
		if kept.KWM2[i] != v {
			t.Fatalf("step %d: %v, without protection %v", i, kept.KWM2[i], v)
		}
	}
}

// Hotter is never more, step by step, with pipes, frost and dirt too.
func TestHotterNeverMoreWithCare(t *testing.T) {
	for seed, name := range []string{"dish", "linear fresnel", "flat plate", "evacuated tube"} {
		y := roughYear(t, 48, time.Hour, uint64(seed))
		for i := range y.AirC {
			y.AirC[i] -= 12
		}
		f := clean(kind(t, name))
		f.Pipes = Pipes{LengthM: 50, WaterKg: 200, SteelKg: 500, LossWMK: 0.3}
		f.Freeze = Freeze{On: true, BelowC: 2, KeepC: 6}
		f.Soiling = Soiling{PerDay: 0.004, EveryDays: 14}
		cooler := mustYield(t, f, y, 1)
		for _, fluidC := range []float64{1.5, 4, 6, 6.5, 25, 60, 90, 160, 161, 250} {
			hotter := mustYield(t, f, y, fluidC)
			for i, v := range hotter.KWM2 {
				if v > cooler.KWM2[i]+1e-12 {
					t.Fatalf("%s, step %s: %g kW/m² at %g °C, %g when cooler", name, y.Axis.Label(i), v, fluidC, cooler.KWM2[i])
				}
			}
			cooler = hotter
		}
	}
}
