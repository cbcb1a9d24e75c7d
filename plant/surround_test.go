package plant

import (
	"math"
	"testing"
	"time"
)

// A still year under each thing that can stand about a field, by hand.
func TestSurroundByHand(t *testing.T) {
	const src = "hand calculation beside the row"
	dish := Collector{Tracking: TwoAxis, Eta0b: 0.8, StowWindMS: math.Inf(1)}
	trough := Collector{Tracking: AxisNorthSouth, Eta0b: 0.7}
	flat := Collector{Tracking: Fixed, SlopeDeg: 60, AzimuthDeg: 180, Eta0b: 0.7, Kd: 0.9}
	cos30 := math.Sqrt(3) / 2
	for _, row := range []struct {
		what         string
		c            Collector
		set          func(*Field)
		zenith, from float64
		wantW        float64
	}{
		// The sun stands 60° high, all year, whatever its hour.
		{"hill lower than the sun", dish, func(f *Field) { f.Horizon = horizonOf(t, HorizonPoint{0, 40}) }, 30, 180, 640},
		{"hill higher", dish, func(f *Field) { f.Horizon = horizonOf(t, HorizonPoint{0, 80}) }, 30, 180, 0},
		// Due west at 75°: 1 - 3 cos 75° of 7 rows in 8.
		{"rows of troughs", trough, func(f *Field) { f.Rows = &Rows{SpacingM: 15, WidthM: 5, Count: 8} }, 75, 270,
			0.7 * 800 * (1 - 7./8*(1-3*math.Cos(radians(75))))},
		// 30° off the axis' normal: f/L tan 30°.
		{"ends", trough, func(f *Field) { f.Ends = Ends{LengthM: 12, FocalM: 1.7} }, 30, 180, 0.7 * 800 * cos30 * (1 - 1.7/12/math.Sqrt(3))},
		// Two dishes 10 m apart by 10 m across, the sun in the east at 30°: their circles stand half a diameter apart.
		{"dishes", dish, func(f *Field) { f.Grid = &Grid{EastM: 10, NorthM: 10, Columns: 2, Count: 2, DiameterM: 10} }, 60, 90,
			640 * (1 - 0.3910022/2)},
		// Beam 800 cos 30°, none of it shaded; sky and ground by crossed strings for one row in two, ground in the sun for a third:
		// up = cos 30°, so a row of 2 m shades 2 cos 30°/cos 30° = 2 of 3 m.
		{"fixed rows", flat, func(f *Field) { f.Rows = &Rows{SpacingM: 3, WidthM: 2, Count: 2} }, 30, 180,
			0.7 * (800*cos30 + 0.9*(100*(0.75+(5-math.Sqrt(7))/4)/2+792.8/3*0.2*(0.25+(5-math.Sqrt(19))/4)/2))},
	} {
		y := stillYear(t, time.Hour)
		for i := range y.Suns {
			y.Suns[i].ZenithDeg, y.Suns[i].AzimuthDeg = row.zenith, row.from
			if row.c.Kd > 0 {
				y.DHI[i], y.GHI[i] = 100, 792.8
			}
		}
		f := clean(row.c)
		row.set(&f)
		out := mustYield(t, f, y, 20)
		near(t, row.what, 1000*out.KWM2[17], row.wantW, 2e-5, src)
		near(t, row.what+" books", out.BeamKWhM2-out.HorizonKWhM2-out.ShadedKWhM2-out.EndsKWhM2-
			(out.GrossKWhM2/row.c.Eta0b-0.9*out.DiffuseKWhM2*bit(row.c.Kd > 0)), 0, 1e-6, "each kWh of light is booked once")
	}
}

func bit(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// Over a rough year: more distance never gives less, no end of it is as if alone, and heat never comes of shade.
func TestCloserNeverMore(t *testing.T) {
	grid := func(by float64) func(*Field) {
		return func(f *Field) {
			f.Grid = &Grid{EastM: 12 * by, NorthM: 11 * by, Staggered: true, Columns: 5, Count: 23, DiameterM: 10.7}
		}
	}
	rows := func(by float64) func(*Field) {
		return func(f *Field) { f.Rows = &Rows{SpacingM: 6 * by, WidthM: 5.77, Count: 6, LengthM: 60} }
	}
	for _, row := range []struct {
		kind string
		set  func(by float64) func(*Field)
	}{{"dish", grid}, {"trough", rows}, {"evacuated tube", rows}, {"flat plate", rows}} {
		c := kind(t, row.kind)
		for k, lat := range []float64{38, -33} {
			if c.Tracking == Fixed {
				c.AzimuthDeg = []float64{180, 0}[k]
			}
			y := roughYear(t, lat, time.Hour, 3)
			alone := mustYield(t, clean(c), y, 80)
			last := YieldYear{}
			for _, by := range []float64{1, 1.1, 1.3, 1.7, 2.5, 5, 1e6} {
				f := clean(c)
				row.set(by)(&f)
				out := mustYield(t, f, y, 80)
				if out.DeliveredKWhM2 < last.DeliveredKWhM2-1e-9 || out.DeliveredKWhM2 > alone.DeliveredKWhM2+1e-9 {
					t.Errorf("%s, %g times as far apart: %g kWh/m²; want %g to %g", row.kind, by, out.DeliveredKWhM2,
						last.DeliveredKWhM2, alone.DeliveredKWhM2)
				}
				last = out
				near(t, "beam before all", out.BeamKWhM2, alone.BeamKWhM2, 1e-9, "shade is booked apart")
			}
			near(t, row.kind+" far apart", last.DeliveredKWhM2, alone.DeliveredKWhM2, 1e-3, "nothing shades from a thousand kilometres")
		}
	}
}

// A horizon takes heat in each step or none; a level one changes no bit.
func TestHorizonYear(t *testing.T) {
	for _, name := range []string{"dish", "trough", "evacuated tube"} {
		f, y := clean(kind(t, name)), roughYear(t, 46, time.Hour, 4)
		f.Collector.HeatCapacityKJM2K, f.Collector.A5 = 0, 0 // no step hands anything to the next
		alone := mustYield(t, f, y, 80)
		f.Horizon = horizonOf(t, HorizonPoint{0, 0})
		for i, v := range mustYield(t, f, y, 80).KWM2 {
			if v != alone.KWM2[i] {
				t.Fatalf("%s: a level line changes step %d from %g to %g", name, i, alone.KWM2[i], v)
			}
		}
		f.Horizon = horizonOf(t, HorizonPoint{60, 12}, HorizonPoint{120, 20}, HorizonPoint{200, 0}, HorizonPoint{280, 15})
		out := mustYield(t, f, y, 80)
		for i, v := range out.KWM2 {
			if v > alone.KWM2[i]*1.2+1e-3 { // the sun of a step that it crosses stands higher, and is met better
				t.Fatalf("%s: step %s gives %g behind hills, %g without", name, y.Axis.Label(i), v, alone.KWM2[i])
			}
		}
		if share := out.DeliveredKWhM2 / alone.DeliveredKWhM2; share > 0.97 || share < 0.6 {
			t.Errorf("%s: hills of 12° to 20° leave %.3f of the year; want some loss", name, share)
		}
	}
}

// Full rectangles and rows are mirror images of themselves, and so are a day's morning and evening.
func TestMorningAndEvening(t *testing.T) {
	for _, name := range []string{"dish", "trough"} {
		y := roughYear(t, 38, time.Hour, 1)
		f := clean(kind(t, name))
		f.Collector.HeatCapacityKJM2K = 0
		if name == "dish" {
			f.Grid = &Grid{EastM: 13, NorthM: 12, Columns: 4, Count: 12, DiameterM: 10.7}
		} else {
			f.Rows = &Rows{SpacingM: 10, WidthM: 5.77, Count: 5}
		}
		for i := range y.DNI {
			y.DNI[i], y.WindMS[i], y.AirC[i] = 800, 0, 20
			if y.Suns[i].ZenithDeg > 90 {
				y.DNI[i] = 0
			}
		}
		out := mustYield(t, f, y, 150)
		if out.ShadedKWhM2 < 10 {
			t.Errorf("%s: %g kWh/m² shaded; want enough to compare", name, out.ShadedKWhM2)
		}
		for day := range 365 {
			for h := range 12 {
				near(t, name, out.KWM2[day*24+h], out.KWM2[day*24+23-h], 1e-9, "mirror image")
			}
		}
	}
}

func TestShadeAllocatesNothing(t *testing.T) {
	y := roughYear(t, 38, time.Hour, 1)
	dish, trough := clean(kind(t, "dish")), clean(kind(t, "trough"))
	dish.Grid = &Grid{EastM: 13, NorthM: 12, Columns: 6, Count: 24, DiameterM: 10.7}
	dish.Horizon = horizonOf(t, HorizonPoint{90, 10}, HorizonPoint{200, 3})
	trough.Rows = &Rows{SpacingM: 10, WidthM: 5.77, Count: 5}
	for _, f := range []Field{dish, trough} {
		r := newRun(&f, &y, 160)
		for i := range y.DNI {
			r.step(i) // its lists grow to the longest
		}
		i := 0
		if n := testing.AllocsPerRun(2000, func() { r.step(i % len(y.DNI)); i++ }); n != 0 {
			t.Errorf("%s: %g allocations a step; want none", f.Collector.Name, n)
		}
	}
}

// BenchmarkShadedYear gives a year with its neighbours beside the year alone, for a roof of dishes and for a large field.
func BenchmarkShadedYear(b *testing.B) {
	y := roughYear(b, 38, time.Hour, 1)
	f := clean(kind(b, "dish"))
	for _, row := range []struct {
		name  string
		count int
	}{{"alone", 0}, {"24", 24}, {"300", 300}, {"2000", 2000}} {
		b.Run("dishes="+row.name, func(b *testing.B) {
			f.Grid = nil
			if row.count > 0 {
				f.Grid = &Grid{EastM: 18, NorthM: 15, Columns: int(math.Sqrt(float64(row.count))), Count: row.count, DiameterM: 10.7}
			}
			for b.Loop() {
				if _, err := f.Yield(y, 160); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
