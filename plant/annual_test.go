package plant

import (
	"math"
	"testing"
)

// meinelWM2 is a clear-sky beam: Meinel's attenuation over Kasten and Young's air mass, on the textbook
// extraterrestrial beam. It is the model of the table below, not one of the product.
func meinelWM2(dayOfYear int, zenithDeg float64) float64 {
	const solarConstant = 1367
	out := solarConstant * (1 + 0.033*math.Cos(radians(360*float64(dayOfYear)/365)))
	airMass := 1 / (math.Cos(radians(zenithDeg)) + 0.50572*math.Pow(96.07995-zenithDeg, -1.6364))
	return out * math.Pow(0.7, math.Pow(airMass, 0.678))
}

// sums are a year's or a day's beam, kWh/m² or for a constant beam kWh per kW/m².
type sums struct{ two, ns, ew, level float64 }

func (a *sums) add(lat float64, day int, beam func(day int, zenithDeg float64) float64) {
	const stepDeg, degPerHour = 0.25, 15
	ns, ew := Collector{Tracking: AxisNorthSouth}, Collector{Tracking: AxisEastWest}
	level := Collector{Tracking: Fixed}
	dec := 23.45 * math.Sin(radians(360*float64(284+day)/365))
	for hour := -180 + stepDeg/2; hour < 180; hour += stepDeg {
		z, az := sunOf(lat, dec, hour)
		if z >= 90 {
			continue
		}
		kWh := beam(day, z) / 1000 * stepDeg / degPerHour
		a.two += kWh
		a.ns += kWh * ns.Aim(z, az).Cos
		a.ew += kWh * ew.Aim(z, az).Cos
		a.level += kWh * level.Aim(z, az).Cos
	}
}

func TestAnnualRatios(t *testing.T) {
	unraced(t)
	const src = "table of yearly ratios to two-axis tracking, evaluated in double precision with numpy (Cooper, 0.25° steps)"
	constant := func(int, float64) float64 { return 1000 }
	for i, row := range []struct{ lat, ns, ew, level, clearTwo, clearNS, clearEW, clearLevel float64 }{
		{35, 0.8822, 0.6893, 0.5109, 3074.5, 0.8756, 0.7565, 0.5924},
		{0, 0.9586, 0.6893, 0.6102, 3328.3, 0.9589, 0.7577, 0.6942},
		{20, 0.9325, 0.6893, 0.5768, 3246.9, 0.9293, 0.7580, 0.6590},
		{50, 0.8141, 0.6893, 0.4176, 2767.4, 0.8105, 0.7485, 0.5037},
		{60, 0.7654, 0.6893, 0.3477, 2462.3, 0.7807, 0.7308, 0.4452},
	} {
		if testing.Short() && i > 0 {
			break
		}
		var geo, clear sums
		for day := 1; day <= 365; day++ {
			geo.add(row.lat, day, constant)
			clear.add(row.lat, day, meinelWM2)
		}
		near(t, "constant beam, two-axis", geo.two, 4380, 1, src)
		near(t, "constant beam, north-south", geo.ns/geo.two, row.ns, 1e-3, src)
		near(t, "constant beam, east-west", geo.ew/geo.two, row.ew, 1e-3, src)
		near(t, "constant beam, level", geo.level/geo.two, row.level, 1e-3, src)
		near(t, "clear, two-axis", clear.two, row.clearTwo, 1e-3*row.clearTwo, src)
		near(t, "clear, north-south", clear.ns/clear.two, row.clearNS, 1e-3, src)
		near(t, "clear, east-west", clear.ew/clear.two, row.clearEW, 1e-3, src)
		near(t, "clear, level", clear.level/clear.two, row.clearLevel, 1e-3, src)
	}
}

func TestClearDaysAt35(t *testing.T) {
	const src = "clear-day sums at latitude 35, evaluated in double precision with numpy"
	for _, row := range []struct {
		day                int
		two, ns, ew, level float64
	}{
		{172, 10.480, 10.308, 7.717, 7.333},
		{80, 8.629, 7.694, 6.307, 5.131},
		{355, 5.975, 3.798, 5.139, 2.348},
	} {
		var day sums
		day.add(35, row.day, meinelWM2)
		near(t, "two-axis", day.two, row.two, 6e-4, src)
		near(t, "north-south", day.ns, row.ns, 6e-4, src)
		near(t, "east-west", day.ew, row.ew, 6e-4, src)
		near(t, "level", day.level, row.level, 6e-4, src)
	}
}
