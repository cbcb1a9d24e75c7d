package plant

import (
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/sky"
)

// Every factor of a step in a still year, by hand.
func TestStepByHand(t *testing.T) {
	const src = "hand calculation beside the row"
	plainDish := Collector{Tracking: TwoAxis, Eta0b: 0.8, A1: 0.5, StowWindMS: math.Inf(1)}
	south := Collector{Tracking: Fixed, SlopeDeg: 60, AzimuthDeg: 180, Eta0b: 0.7, Kd: 0.9, A1: 2}
	for _, row := range []struct {
		what   string
		f      Field
		change func(*sky.Year)
		fluidC float64
		wantW  float64
	}{
		{"dish", clean(plainDish), nil, 120, 0.8*800 - 0.5*100}, // 590
		{"dirty", func() Field { f := clean(plainDish); f.Cleanliness = 0.9; return f }(), nil, 120, 0.72*800 - 50},
		{"partly out", func() Field { f := clean(plainDish); f.Availability = 0.97; return f }(), nil, 120, 0.97 * 590},
		{"approach", func() Field { f := clean(plainDish); f.ApproachK = 10; return f }(), nil, 110, 590},
		// 590 - 0.2 × 100 = 570 W/m² after the UA, 5 % of that lost.
		{"pipes", func() Field { f := clean(plainDish); f.PipeUAWM2K = 0.2; f.PipeLossFrac = 0.05; return f }(), nil, 120, 541.5},
		// The coefficients are per gross m²: 590 W on 0.9 m² of aperture.
		{"gross basis", clean(func() Collector { c := plainDish; c.ApertureShare = 0.9; return c }()), nil, 120, 590 / 0.9},
		{"north-south axis, sun in the south at 30°", clean(Collector{Tracking: AxisNorthSouth, Eta0b: 0.7}), nil, 120,
			0.7 * 800 * math.Sqrt(3) / 2},
		{"east-west axis, sun in the south", clean(Collector{Tracking: AxisEastWest, Eta0b: 0.7}), nil, 120, 560},
		{"b0", clean(Collector{Tracking: AxisNorthSouth, Eta0b: 0.7, B0: 0.1}), nil, 120,
			0.7 * 800 * math.Sqrt(3) / 2 * (1 - 0.1*(2/math.Sqrt(3)-1))},
		// Beam 800 cos 30°; sky 100 × (1 + cos 60°)/2 = 75; ground 792.8 × 0.2 × (1 - cos 60°)/2 = 39.64.
		{"fixed, 60° south", clean(south), func(y *sky.Year) {
			for i := range y.DHI {
				y.DHI[i], y.GHI[i] = 100, 792.8
			}
		}, 70, 0.7*(800*math.Sqrt(3)/2+0.9*(75+39.64)) - 2*50},
		{"long-wave at -100 W/m²", clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, A4: 0.4}), nil, 120, 640 - 40},
		{"just stowed", clean(Collector{Tracking: TwoAxis, Eta0b: 0.8}), func(y *sky.Year) {
			for i := range y.WindMS {
				y.WindMS[i] = 12.6
			}
		}, 120, 0},
		{"just not stowed", clean(Collector{Tracking: TwoAxis, Eta0b: 0.8}), func(y *sky.Year) {
			for i := range y.WindMS {
				y.WindMS[i] = 12.5
			}
		}, 120, 640},
		{"stowed by gusts of 1.5 × 9 m/s", clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, GustFactor: 1.5}), func(y *sky.Year) {
			for i := range y.WindMS {
				y.WindMS[i] = 9
			}
		}, 120, 0},
		{"below the least DNI", clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, LeastDNIWM2: 801}), nil, 120, 0},
		{"hot", clean(plainDish), nil, 399, 800*0.8 - 0.5*379},
		{"nothing left", clean(Collector{Tracking: TwoAxis, Eta0b: 0.3, A1: 3}), nil, 200, 0},
	} {
		y := stillYear(t, time.Hour)
		if row.change != nil {
			row.change(&y)
		}
		got := mustYield(t, row.f, y, row.fluidC).KWM2[17]
		near(t, row.what, 1000*got, row.wantW, 1e-9, src)
	}
}

// 10 hours of sun, 14 of night: each morning takes back what the night's exponential has let go.
func TestWarmupClosedForm(t *testing.T) {
	const (
		src    = "closed form C (T - Ta) (1 - exp(-14 h/τ)), each day of the year"
		tau    = 6.
		cKJ    = 9.
		fluidC = 180.
	)
	for _, step := range []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute} {
		y := stillYear(t, step)
		for i := range y.DNI {
			if h := y.Axis.At(i).Hour(); h < 7 || h >= 17 {
				y.DNI[i] = 0
				y.Suns[i].ZenithDeg = 120
			}
		}
		c := Collector{Tracking: TwoAxis, Eta0b: 0.8, HeatCapacityKJM2K: cKJ, CoolingTimeH: tau}
		out := mustYield(t, clean(c), y, fluidC)
		short := cKJ / 3600 * (fluidC - 20) * (1 - math.Exp(-14/tau)) // kWh/m²
		near(t, "warm-up of the year", out.WarmupKWhM2, 365*short, 1e-9, src)
		near(t, "delivered", out.DeliveredKWhM2, 365*(6.4-short), 1e-8, src+", of 10 h × 640 W/m²")
		// The year follows itself: its first morning is like all others.
		first, later := out.KWM2[int(7/y.Axis.StepH())], out.KWM2[int((100*24+7)/y.Axis.StepH())]
		near(t, "first morning", first, later, 1e-12, "a year follows itself")
		near(t, "cold start of a year that is one cold wait", mustYield(t, clean(c), stillYear(t, step), fluidC).WarmupKWhM2, 0, 1e-12,
			"sun all year, so the lead-in has warmed all up")
	}
}

// A cloud that lasts cools, and the sun after it warms again.
func TestCloudCools(t *testing.T) {
	y := stillYear(t, time.Hour)
	y.DNI[1000], y.DNI[1001] = 0, 0
	c := Collector{Tracking: TwoAxis, Eta0b: 0.8, HeatCapacityKJM2K: 9, CoolingTimeH: 6}
	out := mustYield(t, clean(c), y, 180)
	want := 9.0 / 3600 * 160 * (1 - math.Exp(-2./6)) * 1000
	near(t, "heat missing after two hours of cloud, W", 640-1000*out.KWM2[1002], want, 1e-9, "C (T - Ta) (1 - exp(-2 h/τ))")
	near(t, "second hour after it", 1000*out.KWM2[1003], 640, 1e-9, "warm again")
}

// Gross = delivered + pipes + warm-up + clipped; hours add up; nothing is made of nothing.
func TestBooksClose(t *testing.T) {
	for _, k := range Kinds() {
		for seed := uint64(1); seed <= 3; seed++ {
			step := []time.Duration{time.Hour, 30 * time.Minute, 15 * time.Minute}[seed-1]
			y := roughYear(t, []float64{-33, 12, 52}[seed-1], step, seed)
			f := Field{Collector: k.Collector, Count: 4, ApertureM2: 90, Cleanliness: 0.94, Availability: 0.97,
				PipeUAWM2K: 0.1, PipeLossFrac: 0.02, ApproachK: 5}
			for _, fluidC := range []float64{60, 120, 200} {
				out := mustYield(t, f, y, fluidC)
				const src = "each kWh is booked once"
				near(t, k.Name+" heat", out.GrossKWhM2,
					out.DeliveredKWhM2+out.PipeLossKWhM2+out.WarmupKWhM2+out.ClippedKWhM2, 1e-9, src)
				near(t, k.Name+" series", out.KWM2.EnergyKWh(y.Axis.StepH()), out.DeliveredKWhM2, 1e-9, src)
				near(t, k.Name+" hours", out.SunUpH, out.TrackedH+out.StowedH+out.BelowDNIH, 1e-9, src)
				near(t, k.Name+" sun up", out.SunUpH, 4380, 10, "half the year, outside the polar circles; whole-day declinations")
				if light := out.BeamKWhM2 + out.DiffuseKWhM2; out.GrossKWhM2 > light || out.BeamKWhM2 > out.DNIKWhM2 {
					t.Errorf("%s: gross %g of light %g, beam %g of DNI %g", k.Name, out.GrossKWhM2, light, out.BeamKWhM2, out.DNIKWhM2)
				}
				for i, v := range out.KWM2 {
					if v != 0 && v < leastHeatWM2/1000 {
						t.Fatalf("%s: step %d gives %g kW/m²; want none under 0.1 W/m²", k.Name, i, v)
					}
				}
			}
		}
	}
}

// In each step of any year: hotter is never more, dirtier never more, more capacity never more over the year's run.
func TestHotterNeverMore(t *testing.T) {
	collectors := []Collector{{Name: "odd", Tracking: AxisEastWest, Eta0b: 0.75, Kd: 0.3, A1: 1, A2: 0.01, A3: 0.3, A4: 0.2, A6: 0.01,
		A7: 0.01, A8: 1e-9, OpticalFallPerK: 2e-4, B0: 0.15, HeatCapacityKJM2K: 30, CoolingTimeH: 2, ApertureShare: 0.9}}
	for _, k := range Kinds() {
		collectors = append(collectors, k.Collector)
	}
	for seed, c := range collectors {
		y := roughYear(t, 38, 30*time.Minute, uint64(seed))
		f := clean(c)
		f.PipeUAWM2K, f.PipeLossFrac = 0.3, 0.03
		cooler := mustYield(t, f, y, 1)
		for _, fluidC := range []float64{1.5, 10, 25, 40, 41, 90, 160, 161, 200, 300, 400} {
			hotter := mustYield(t, f, y, fluidC)
			for i, v := range hotter.KWM2 {
				if v > cooler.KWM2[i]+1e-15 {
					t.Fatalf("%s, seed %d, step %s: %g kW/m² at %g °C, %g when cooler", c.Name, seed, y.Axis.Label(i), v, fluidC, cooler.KWM2[i])
				}
			}
			cooler = hotter
		}
	}
}

// A year of half hours that repeat each hour's weather gives that year again, when no state is carried.
func TestStepLengthDoesNotMatter(t *testing.T) {
	c := kind(t, "trough")
	c.HeatCapacityKJM2K = 0
	hourly, halves := roughYear(t, 38, time.Hour, 5), stillYear(t, 30*time.Minute)
	for i := range halves.DNI {
		halves.DNI[i], halves.AirC[i], halves.WindMS[i] = hourly.DNI[i/2], hourly.AirC[i/2], hourly.WindMS[i/2]
		halves.Suns[i] = sky.Sun{ZenithDeg: 40, AzimuthDeg: 180}
	}
	for i := range hourly.Suns {
		hourly.Suns[i] = sky.Sun{ZenithDeg: 40, AzimuthDeg: 180}
	}
	a, b := mustYield(t, clean(c), hourly, 160), mustYield(t, clean(c), halves, 160)
	near(t, "delivered", b.DeliveredKWhM2, a.DeliveredKWhM2, 1e-9, "same weather, shorter steps")
	near(t, "drives", b.DriveKWhM2, a.DriveKWhM2, 1e-9, "same weather, shorter steps")
}

func TestDriveAndStowBooks(t *testing.T) {
	y := stillYear(t, time.Hour)
	for i := range 100 {
		y.WindMS[i] = 15
		y.DNI[200+i] = 100
	}
	c := Collector{Tracking: TwoAxis, Eta0b: 0.8, LeastDNIWM2: 200, DriveWM2: 0.5}
	f := clean(c)
	f.Availability = 0.9
	out := mustYield(t, f, y, 120)
	const src = "8760 h, 100 of them stowed under 800 W/m², 100 under 100 W/m²"
	near(t, "stowed h", out.StowedH, 100, 1e-9, src)
	near(t, "below h", out.BelowDNIH, 100, 1e-9, src)
	near(t, "tracked h", out.TrackedH, 8560, 1e-9, src)
	near(t, "stowed beam", out.StowedKWhM2, 80, 1e-9, src)
	near(t, "beam below", out.BelowKWhM2, 10, 1e-9, src)
	near(t, "beam", out.BeamKWhM2, 8560*0.8+90, 1e-8, src)
	near(t, "drives", out.DriveKWhM2, 0.9*0.5*8.66, 1e-9, src+"; drives run under cloud too")
	near(t, "peak", out.PeakKWM2, 0.9*0.64, 1e-12, src)
	near(t, "hours with heat", out.DeliveringH, 8560, 1e-9, src)
}

func TestStepAllocatesNothing(t *testing.T) {
	for _, k := range Kinds() {
		f := clean(k.Collector)
		y := roughYear(t, 38, time.Hour, 1)
		r := newRun(&f, &y, 160)
		i := 0
		if n := testing.AllocsPerRun(2000, func() { r.step(i % len(y.DNI)); i++ }); n != 0 {
			t.Errorf("%s: %g allocations a step; want none", k.Name, n)
		}
	}
}

func TestYieldFaults(t *testing.T) {
	for _, row := range []struct {
		fluidC float64
		field  func(*Field)
		year   func(*sky.Year)
		want   string
	}{
		{math.NaN(), nil, nil, "fluid: is NaN °C; want 0 to 400 °C"},
		{450, nil, nil, "fluid: is 450 °C"},
		{120, func(f *Field) { f.Cleanliness = 0 }, nil, `field "test": cleanliness: is 0; want more than 0`},
		{120, func(f *Field) { f.Availability = math.NaN() }, nil, "availability: is NaN"},
		{120, func(f *Field) { f.ApertureM2 = -3 }, nil, "aperture: is -3 m² each"},
		{120, func(f *Field) { f.PipeLossFrac = 1 }, nil, "pipe loss: is a share of 1; want 0 to below 1"},
		{120, func(f *Field) { f.Collector.Tracking = 0 }, nil, "tracking: is not given"},
		{120, func(f *Field) { f.Collector.A1 = -1 }, nil, "a1: is -1; want 0 or more"},
		{120, func(f *Field) { f.Collector.A3 = 1 }, nil, "a3: is 1 with a1 0.15; want at most a third of a1"},
		{120, func(f *Field) { f.Collector.CoolingTimeH = 0 }, nil, "cooling time: is 0 h; want more than 0"},
		{120, func(f *Field) { f.Collector.B0 = 0.1; f.Collector.IAM = flatModifier() }, nil, "given in 2 forms"},
		{120, func(f *Field) { f.Collector.IAM = []IAMPoint{{50, 0.9}, {40, 0.9}} }, nil, "angle of 40° after 50°"},
		{120, func(f *Field) { f.Collector.IAMT = []IAMPoint{{50, 0.9}} }, nil, "want it for fixed and linear Fresnel collectors only"},
		{120, func(f *Field) { f.Collector.Tracking = Fixed }, nil, "least DNI: is 200 W/m²; want none for a fixed collector"},
		{120, func(f *Field) { f.Collector.Receiver.Concentration = 0.5 }, nil, "receiver concentration: is 0.5"},
		{120, nil, func(y *sky.Year) { y.DNI[77] = math.NaN() }, "weather: 4 Jan 05:00: DNI NaN W/m²"},
		{120, nil, func(y *sky.Year) { y.WindMS[0] = -1 }, "wind -1 m/s"},
		{120, nil, func(y *sky.Year) { y.AirC = y.AirC[1:] }, "8759 air"},
		{120, nil, func(y *sky.Year) { y.DNI = nil }, "has 0 DNI"},
	} {
		f, y := clean(kind(t, "dish")), stillYear(t, time.Hour)
		if row.field != nil {
			row.field(&f)
		}
		if row.year != nil {
			row.year(&y)
		}
		if _, err := f.Yield(y, row.fluidC); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
}

func TestNotes(t *testing.T) {
	c := Collector{Tracking: TwoAxis, Eta0b: 0.3, A1: 3, A4: 0.1}
	out := mustYield(t, clean(c), stillYear(t, time.Hour), 200)
	if len(out.Notes) != 2 || !strings.Contains(out.Notes[0], "-100 W/m²") || !strings.Contains(out.Notes[1], "200 °C") {
		t.Errorf("notes are %q; want one on long-wave and one on 200 °C", out.Notes)
	}
}
