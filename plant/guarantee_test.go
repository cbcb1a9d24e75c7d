package plant

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
)

var checkPlace = sky.Place{LatDeg: 38, LonDeg: 30, ElevationM: 500, UTCOffset: 2 * time.Hour}

// goodHour is an hour that breaks no usual limit: noon in July, the fluid steady.
func goodHour() FieldHour {
	return FieldHour{Start: time.Date(2026, 7, 1, 11, 30, 0, 0, time.FixedZone("", 7200)), DNIWM2: 800, GHIWM2: math.NaN(), DHIWM2: math.NaN(),
		PlaneWM2: math.NaN(), AirC: 20, WindMS: 3, FluidC: 180, HeatKW: 40}
}

// loose is a guarantee without factors.
func loose(m Formula) Guarantee {
	g := UsualGuarantee(m)
	g.PipeFactor, g.UncertaintyFactor, g.OtherFactor = 1, 1, 1
	return g
}

func checkerOf(t testing.TB, f Field, g Guarantee) *Checker {
	t.Helper()
	k, err := NewChecker(f, g, checkPlace, 0)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// facing turns a fixed collector square to the sun in the middle of an hour.
func facing(c Collector, h FieldHour) Collector {
	sun := sky.SunAt(checkPlace, h.Start.Add(30*time.Minute))
	c.Tracking, c.SlopeDeg, c.AzimuthDeg = Fixed, sun.ZenithDeg, sun.AzimuthDeg
	return c
}

func TestGuaranteeByHand(t *testing.T) {
	t.Parallel()
	h := goodHour()
	h.WarmingKH, h.PlaneWM2 = 4, 950
	flat := Collector{Eta0b: 0.7, Kd: 0.9, A1: 3, A2: 0.01, A5: 9000, CoolingTimeH: 1}
	low := h
	low.FluidC = 70
	const src = "hand arithmetic beside the row, of the formula from memory"
	for _, row := range []struct {
		what string
		c    Collector
		m    Formula
		h    FieldHour
		want float64 // kW of 100 m² with f_safe 0.9 x 0.95 x 0.98 = 0.8379
	}{
		// 0.7 x 800 = 560; 0.5 x 160 = 80; 1e-9 x 160⁴ = 0.65536; 7.2 kJ/(m² K) x 4 K/h = 8 W/m²: 471.34464 W/m².
		{"beam", Collector{Tracking: TwoAxis, Eta0b: 0.7, A1: 0.5, A8: 1e-9, HeatCapacityKJM2K: 7.2, CoolingTimeH: 6}, BeamAlone, h, 47.134464 * 0.8379},
		// 0.7 (800 + 0.9 x 150) = 654.5; 3 x 50 = 150; 0.01 x 2500 = 25; 9000 x 4/3600 = 10: 469.5 W/m².
		{"beam and diffuse", facing(flat, h), BeamAndDiffuse, low, 46.95 * 0.8379},
		// 0.7 (0.85 + 0.15 x 0.9) = 0.6895; x 950 = 655.025; less 185: 470.025 W/m².
		{"hemispheric", facing(flat, h), Hemispheric, low, 47.0025 * 0.8379},
		// Per gross m²: 469.5 / 0.9 = 521.6667 W/m² of aperture, but for the capacity 10/0.9, which is in it.
		{"per gross m²", func() Collector { c := facing(flat, h); c.ApertureShare = 0.9; return c }(), BeamAndDiffuse, low, 46.95 / 0.9 * 0.8379},
	} {
		g := loose(row.m)
		g.PipeFactor, g.UncertaintyFactor, g.OtherFactor = 0.9, 0.95, 0.98
		v := checkerOf(t, clean(row.c), g).Judge(row.h)
		if !v.Valid() {
			t.Errorf("%s: %v", row.what, v.Broken)
		}
		near(t, row.what, v.ExpectedKW, row.want, 2e-6, src)
	}
}

// In a steady state the formula is what Yield gives, hour by hour, whatever stands about the field.
func TestGuaranteeAgreesWithYield(t *testing.T) {
	t.Parallel()
	unraced(t)
	axis, err := clock.NewYear(2026, time.Hour, checkPlace.UTCOffset)
	if err != nil {
		t.Fatal(err)
	}
	y, err := sky.FromMonthly(sky.Monthly{GHIKWhM2Day: [12]float64{2, 3, 4, 5, 6, 7, 7, 6.5, 5, 4, 2.5, 2},
		AirC: [12]float64{2, 4, 8, 12, 17, 22, 25, 25, 20, 14, 8, 4}, WindMS: [12]float64{3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3}, AirSwingK: 12}, checkPlace, axis, 7)
	if err != nil {
		t.Fatal(err)
	}
	dishes := Grid{EastM: 18, NorthM: 15, Columns: 4, Count: 16, DiameterM: 10.7}
	for _, row := range []struct {
		kind   string
		fluidC float64
		set    func(*Field)
	}{
		{"dish", 180, func(f *Field) { f.Grid = &dishes }},
		{"trough", 150, func(f *Field) {
			f.Rows, f.Ends = &Rows{SpacingM: 12, WidthM: 5, Count: 6}, Ends{LengthM: 12, FocalM: 1.7}
		}},
		{"vacuum trough", 250, func(f *Field) { f.Horizon = horizonOf(t, HorizonPoint{90, 20}, HorizonPoint{180, 5}) }},
		{"linear fresnel", 180, func(*Field) {}},
		{"evacuated tube", 90, func(f *Field) { f.Rows = &Rows{SpacingM: 4, WidthM: 2, Count: 9} }},
		{"flat plate", 60, func(*Field) {}},
	} {
		c := kind(t, row.kind)
		c.A5, c.HeatCapacityKJM2K, c.CoolingTimeH = 0, 0, 0
		f := clean(c)
		f.PipeLossFrac = 0.06
		row.set(&f)
		out := mustYield(t, f, y, row.fluidC)
		g := loose(FormulaFor(c))
		g.PipeFactor = f.PipeFactor(row.fluidC)
		k := checkerOf(t, f, g)
		hours := 0
		for i, kW := range out.KWM2 {
			if !(kW > 0.001) {
				continue
			}
			hours++
			v := k.Judge(FieldHour{Start: axis.At(i), DNIWM2: y.DNI[i], GHIWM2: y.GHI[i], DHIWM2: y.DHI[i], PlaneWM2: math.NaN(), AirC: y.AirC[i],
				WindMS: y.WindMS[i], FluidC: row.fluidC})
			if want := kW * f.AreaM2(); math.Abs(v.ExpectedKW-want) > 1e-6*want+1e-6 {
				t.Fatalf("%s, %s: formula %.6f kW, Yield %.6f kW", row.kind, axis.Label(i), v.ExpectedKW, want)
			}
		}
		if hours < 500 {
			t.Errorf("%s: %d hours compared; want a year's", row.kind, hours)
		}
	}
}

// The factors multiply, each by itself, and the whole goes with the area.
func TestGuaranteeFactorsMultiply(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(24194, 1))
	f := clean(kind(t, "dish"))
	plain := checkerOf(t, f, loose(BeamAlone)).Judge(goodHour()).ExpectedKW
	for range 200 {
		g := loose(BeamAlone)
		g.PipeFactor, g.UncertaintyFactor, g.OtherFactor = 1-rnd.Float64(), 1-rnd.Float64(), 1-rnd.Float64()
		n := 1 + rnd.IntN(50)
		f.Count = n
		v := checkerOf(t, f, g).Judge(goodHour())
		want := plain * g.PipeFactor * g.UncertaintyFactor * g.OtherFactor * float64(n)
		near(t, "f_P f_U f_O", v.ExpectedKW, want, 1e-9*want, "the formula's own form")
		near(t, "formula", v.FormulaKW*g.SafeFactor(), v.ExpectedKW, 1e-9*want, "the formula's own form")
	}
}

// Each limit holds at its bound, and alone throws out the hour that lies past it.
func TestGuaranteeLimits(t *testing.T) {
	t.Parallel()
	dish := clean(kind(t, "dish"))
	flat := clean(Collector{Tracking: Fixed, SlopeDeg: 20, AzimuthDeg: 180, Eta0b: 0.7, Kd: 0.9, A1: 3})
	const memory = "limits of the method, from memory"
	for _, row := range []struct {
		what string
		f    Field
		m    Formula
		set  func(*FieldHour)
		want string // every limit that is broken, joined
		src  string
	}{
		{"a good hour", dish, BeamAlone, func(*FieldHour) {}, "", memory},
		{"at the bound of sun", dish, BeamAlone, func(h *FieldHour) { h.DNIWM2 = 600 }, "", memory},
		{"too little sun", dish, BeamAlone, func(h *FieldHour) { h.DNIWM2 = 599.4 }, "sun: 599 W/m² on the aperture, below 600", memory},
		{"at the bound of wind", dish, BeamAlone, func(h *FieldHour) { h.WindMS = 10 }, "", memory},
		{"windy", dish, BeamAlone, func(h *FieldHour) { h.WindMS = 10.2 }, "wind: wind 10.2 m/s, above 10", memory},
		{"stowed", dish, BeamAlone, func(h *FieldHour) { h.WindMS = 13 }, "wind: wind 13.0 m/s, above 10|stowed: wind 13.0 m/s, stowed above 12.5", "and the collector's own"},
		{"at the bound of air", dish, BeamAlone, func(h *FieldHour) { h.AirC = 5 }, "", memory},
		{"cold", dish, BeamAlone, func(h *FieldHour) { h.AirC = 4.8 }, "air: air 4.8 °C, below 5", memory},
		{"warming", dish, BeamAlone, func(h *FieldHour) { h.WarmingKH = 5.5 }, "warming: fluid changes by 5.5 K/h, more than 5", memory},
		{"cooling", dish, BeamAlone, func(h *FieldHour) { h.WarmingKH = -5.5 }, "warming: fluid changes by -5.5 K/h, more than 5", memory},
		{"warming unknown", dish, BeamAlone, func(h *FieldHour) { h.WarmingKH = math.NaN() }, "warming: no neighbouring hour tells how fast the fluid changes", memory},
		{"night", dish, BeamAlone, func(h *FieldHour) { h.Start = h.Start.Add(12 * time.Hour) }, "sun down: the sun is down", "geometry"},
		{"no wind measured", dish, BeamAlone, func(h *FieldHour) { h.WindMS = math.NaN() }, "data missing: no value for the limit of wind", "what is not known does not count"},
		{"no air measured", dish, BeamAlone, func(h *FieldHour) { h.AirC = math.NaN() },
			"data missing: a value that the formula needs was not measured|data missing: no value for the limit of air", "what is not known does not count"},
		{"set aside", dish, BeamAlone, func(h *FieldHour) { h.Aside = "store full" }, "set aside: store full", "the parties' own"},
		{"not whole", dish, BeamAlone, func(h *FieldHour) { h.Lacks = "5 of 6 rows of the hour" }, "data missing: 5 of 6 rows of the hour", "an hour is an hour"},
		{"global light enough", flat, Hemispheric, func(h *FieldHour) { h.FluidC, h.PlaneWM2 = 60, 800 }, "", memory},
		{"global light too little", flat, Hemispheric, func(h *FieldHour) { h.FluidC, h.PlaneWM2 = 60, 790 }, "sun: 790 W/m² on the aperture, below 800", memory},
		// The middle of this hour is 08:30.
		{"slanting", flat, Hemispheric, func(h *FieldHour) {
			h.FluidC, h.PlaneWM2, h.Start = 60, 900, h.Start.Add(-3*time.Hour-30*time.Minute)
		},
			"incidence: incidence 50.1°, above 30°", "Duffie & Beckman eq. 1.6.7a with Spencer's declination and equation of time: 49.96°, which is good to 0.2°"},
		{"slanting, with beam apart", flat, BeamAndDiffuse, func(h *FieldHour) {
			h.FluidC, h.PlaneWM2, h.DNIWM2, h.Start = 60, 900, 1200, h.Start.Add(-3*time.Hour-30*time.Minute)
		}, "", "no limit of incidence with formula (2), from memory"},
	} {
		h := goodHour()
		row.set(&h)
		v := checkerOf(t, row.f, loose(row.m)).Judge(h)
		var got []string
		for _, b := range v.Broken {
			got = append(got, b.Limit.String()+": "+b.Text)
		}
		if s := strings.Join(got, "|"); s != row.want {
			t.Errorf("%s: breaks %q, want %q (%s)", row.what, s, row.want, row.src)
		}
		if v.Valid() != (row.want == "") {
			t.Errorf("%s: valid %v", row.what, v.Valid())
		}
	}
}

// Limits that are switched off throw nothing out, and shade counts where rows, dishes or hills give it.
func TestGuaranteeLimitsOffAndShade(t *testing.T) {
	t.Parallel()
	g := loose(BeamAlone)
	g.LeastSunWM2, g.MostWindMS, g.LeastAirC, g.MostWarmingKH = 0, math.Inf(1), math.Inf(-1), math.Inf(1)
	h := goodHour()
	h.DNIWM2, h.WindMS, h.AirC, h.WarmingKH = 50, math.NaN(), -30, math.NaN()
	if v := checkerOf(t, clean(kind(t, "dish")), g).Judge(h); !v.Valid() || math.IsNaN(v.ExpectedKW) {
		t.Errorf("without limits: %v, %g kW", v.Broken, v.ExpectedKW)
	}
	winter := goodHour()
	winter.Start = time.Date(2026, 12, 21, 8, 0, 0, 0, time.FixedZone("", 7200))
	for what, set := range map[string]func(*Field){
		"dishes": func(f *Field) { f.Grid = &Grid{EastM: 14, NorthM: 14, Columns: 4, Count: 16, DiameterM: 10.7} },
		"hill":   func(f *Field) { f.Horizon = horizonOf(t, HorizonPoint{0, 30}) },
	} {
		f := clean(kind(t, "dish"))
		set(&f)
		v := checkerOf(t, f, loose(BeamAlone)).Judge(winter)
		if len(v.Broken) == 0 || v.Broken[0].Limit != LimitShade && v.Broken[0].Limit != LimitSun || v.ShadeFrac <= 0 {
			t.Errorf("%s: shade %g, breaks %v", what, v.ShadeFrac, v.Broken)
		}
		if v := checkerOf(t, f, loose(BeamAlone)).Judge(goodHour()); !v.Valid() {
			t.Errorf("%s, at noon in July: %v", what, v.Broken)
		}
	}
}

func TestPipeFactor(t *testing.T) {
	t.Parallel()
	f := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, A1: 0.5})
	f.PipeLossFrac = 0.04
	near(t, "a share alone", f.PipeFactor(180), 0.96, 1e-12, "1 - 0.04")
	// 0.8 x 800 - 0.5 x 160 = 560 W/m²; 0.1 x 160 = 16 W/m²: 0.96 (1 - 16/560) = 0.93257.
	f.PipeUAWM2K = 0.1
	near(t, "by temperature too", f.PipeFactor(180), 0.933, 1e-12, "hand arithmetic, rounded")
	f.Pipes = Pipes{LengthM: 200, LossWMK: 0.05} // 10 W/K on 100 m²: another 0.1
	near(t, "and by pipes of their own", f.PipeFactor(180), 0.905, 1e-12, "0.96 (1 - 32/560) = 0.90514")
	f.Collector.A1 = 5
	near(t, "no heat left", f.PipeFactor(180), 0, 0, "800 W/m² of loss")
}

func TestGuaranteeCheckMessages(t *testing.T) {
	t.Parallel()
	dish, flat := kind(t, "dish"), kind(t, "flat plate")
	for _, row := range []struct {
		c    Collector
		set  func(*Guarantee)
		want string
	}{
		{dish, func(g *Guarantee) { g.Formula = 0 }, "guarantee: formula: is not given; want beam, beam and diffuse, hemispheric\nguarantee: formula: is formula 0 for a collector whose Kd is 0; want beam"},
		{dish, func(g *Guarantee) { g.Formula = BeamAndDiffuse }, "guarantee: formula: is beam and diffuse for a collector whose Kd is 0; want beam"},
		{flat, func(g *Guarantee) {}, "guarantee: formula: is beam for a collector whose Kd is 0.91; want beam and diffuse or hemispheric"},
		{dish, func(g *Guarantee) { g.PipeFactor = 1.01 }, "guarantee: pipe factor: is 1.01; want more than 0, at most 1"},
		{dish, func(g *Guarantee) { g.UncertaintyFactor = 0 }, "guarantee: uncertainty factor: is 0; want more than 0, at most 1"},
		{dish, func(g *Guarantee) { g.OtherFactor = math.NaN() }, "guarantee: other factor: is NaN; want more than 0, at most 1"},
		{dish, func(g *Guarantee) { g.LeastSunWM2 = 1400 }, "guarantee: least sun: is 1400 W/m²; want 0 to 1400"},
		{dish, func(g *Guarantee) { g.MostIncidenceDeg = 91 }, "guarantee: most incidence: is 91°; want more than 0, at most 90"},
		{dish, func(g *Guarantee) { g.MostWindMS = 0 }, "guarantee: most wind: is 0 m/s; want more than 0"},
		{dish, func(g *Guarantee) { g.LeastAirC = 60 }, "guarantee: least air: is 60 °C; want below 60"},
		{dish, func(g *Guarantee) { g.MostWarmingKH = -1 }, "guarantee: most warming: is -1 K/h; want more than 0"},
		{dish, func(g *Guarantee) { g.MostShadeFrac = 1 }, "guarantee: most shade: is a share of 1; want 0 to below 1"},
		{dish, func(g *Guarantee) { g.LeastHours = 0 }, "guarantee: least hours: are 0; want 1 or more"},
	} {
		g := loose(BeamAlone)
		row.set(&g)
		err := g.Check(row.c)
		if err == nil || err.Error() != row.want {
			t.Errorf("got  %v\nwant %s", err, row.want)
		}
		if _, err := NewChecker(clean(row.c), g, checkPlace, 0); err == nil {
			t.Errorf("a checker of %s was made", row.want)
		}
	}
	if _, err := ParseFormula("sun"); err == nil || err.Error() != `formula: is "sun"; want beam, beam and diffuse, hemispheric` {
		t.Error(err)
	}
	for m := BeamAlone; m <= Hemispheric; m++ {
		if back, err := ParseFormula(m.String()); err != nil || back != m {
			t.Errorf("%v reads as %v, %v", m, back, err)
		}
	}
}
