package plant

import (
	"math"
	"testing"
	"time"

	"noonkeep/plant/sky"
)

// The same weather by the minute gives the same light, and about the same heat: what an hour's mean hides is told here, and small.
func TestMinutesAgainstHours(t *testing.T) {
	hours := generatedYear(t, 38, 60)
	smooth, cloudy := minutesOf(t, hours, 0), minutesOf(t, hours, 1)
	for _, k := range Kinds() {
		f := clean(k.Collector)
		fluidC := 160.
		if k.Name == "flat plate" {
			fluidC = 60 // it never gives heat at 160
		}
		byHour, still, moved := mustYield(t, f, hours, fluidC), mustYield(t, f, smooth, fluidC), mustYield(t, f, cloudy, fluidC)
		near(t, k.Name+" DNI", still.DNIKWhM2, byHour.DNIKWhM2, 1e-9, "each hour's energy is kept")
		near(t, k.Name+" DNI under clouds", moved.DNIKWhM2, byHour.DNIKWhM2, 1e-9, "each hour's energy is kept")
		near(t, k.Name+" beam", still.BeamKWhM2/byHour.BeamKWhM2, 1, 0.005, "the cosine is the same but at the ends of the day")
		near(t, k.Name+" sun up", still.SunUpH, byHour.SunUpH, 0.5, "the sun is the same")
		near(t, k.Name+" heat", still.DeliveredKWhM2/byHour.DeliveredKWhM2, 1, 0.04, "plausible, no source: an hour that begins dark is not all lost")
		near(t, k.Name+" heat under clouds", moved.DeliveredKWhM2/byHour.DeliveredKWhM2, 1, 0.06, "plausible, no source")
		t.Logf("%s: %.1f kWh/m² by the hour, %.1f by smooth minutes, %.1f under clouds; warm-up %.1f, %.1f, %.1f", k.Name,
			byHour.DeliveredKWhM2, still.DeliveredKWhM2, moved.DeliveredKWhM2, byHour.WarmupKWhM2, still.WarmupKWhM2, moved.WarmupKWhM2)
	}
}

// Minute by minute: the books close, nothing is given with the sun down, in wind, or under the least beam; hotter is never more.
func TestMinuteRules(t *testing.T) {
	y := minutesOf(t, generatedYear(t, 45, 20), 3)
	for i := range y.WindMS {
		if i%1440 >= 700 && i%1440 < 730 {
			y.WindMS[i] = 25
		}
	}
	for _, k := range Kinds() {
		f := Field{Name: "x", Collector: k.Collector, Count: 4, ApertureM2: 90, Cleanliness: 0.94, Availability: 0.97, PipeUAWM2K: 0.1,
			PipeLossFrac: 0.02, Pipes: Pipes{WaterKg: 300, SteelKg: 500, CoolingTimeH: 3}}
		cooler := mustYield(t, f, y, 120)
		out := mustYield(t, f, y, 170)
		near(t, k.Name+" heat", out.GrossKWhM2, out.DeliveredKWhM2+out.PipeLossKWhM2+out.WarmupKWhM2+out.ClippedKWhM2, 1e-9, "each kWh is booked once")
		near(t, k.Name+" hours", out.SunUpH, out.TrackedH+out.StowedH+out.BelowDNIH, 1e-9, "each minute is booked once")
		for i, v := range out.KWM2 {
			still := y.Suns[i].ZenithDeg > 90.2 || y.WindMS[i] > k.Collector.stowWindMS() || y.DNI[i] < k.Collector.LeastDNIWM2
			if still && v > 0 || v > cooler.KWM2[i]+1e-15 {
				t.Fatalf("%s: %s: %g kW/m² at 170 °C, %g at 120; sun at %.1f deg, wind %.1f m/s, DNI %.0f", k.Name, y.Axis.Label(i), v, cooler.KWM2[i],
					y.Suns[i].ZenithDeg, y.WindMS[i], y.DNI[i])
			}
		}
	}
}

// By the minute the morning's warm-up has a length: the heat owed over the heat that comes.
func TestMinuteWarmup(t *testing.T) {
	y := stillYear(t, time.Minute)
	for i := range y.DNI {
		if h := y.Axis.At(i).Hour(); h < 7 || h >= 17 {
			y.DNI[i], y.Suns[i] = 0, sky.Sun{ZenithDeg: 120, AzimuthDeg: 180}
		}
	}
	c := Collector{Tracking: TwoAxis, Eta0b: 0.8, HeatCapacityKJM2K: 9, CoolingTimeH: 6}
	out := mustYield(t, clean(c), y, 180)
	shortWh := 9 / 3.6 * 160 * (1 - math.Exp(-14./6))
	minutes := shortWh / 640 * 60
	first := 100*1440 + 7*60
	for i := range int(minutes) {
		near(t, "minute of warm-up", out.KWM2[first+i], 0, 0, "closed form C (T - Ta) (1 - exp(-14 h/τ)) over 640 W/m²: 33.9 min")
	}
	near(t, "the minute it ends in", out.KWM2[first+int(minutes)], 0.640*(1-minutes+math.Floor(minutes)), 1e-9, "same")
	near(t, "the next", out.KWM2[first+int(minutes)+1], 0.640, 1e-12, "same")
	// A cloud of five minutes.
	cloud := first + 300
	for i := range 5 {
		y.DNI[cloud+i] = 0
	}
	out = mustYield(t, clean(c), y, 180)
	lostWh := 9 / 3.6 * 160 * (1 - math.Exp(-5./60/6))
	near(t, "after five minutes of cloud", out.KWM2[cloud+5], 0.640-lostWh*60/1000, 1e-9, "C (T - Ta) (1 - exp(-5 min/τ)) = 5.5 Wh/m², of a minute's 10.7")
}
