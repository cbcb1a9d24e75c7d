package plant

import "math"

// StagnationC is the temperature at which a collector without flow would give no more heat, by its efficiency curve, under
// irradianceWM2 of light, 15 % of it diffuse, in still air at airC. With a1 and a2 alone it is
// ta + (-a1 + sqrt(a1² + 4 a2 eta0 G))/(2 a2). +Inf when the curve has no such point below 2000 °C.
//
// The curve is measured far below: a real collector gets hotter (a public ISO 9806 sheet prints 189.4 °C where its own
// curve gives 158.2 °C at 1000 W/m² and 30 °C). It is a lower mark and never a design temperature.
func (c *Collector) StagnationC(irradianceWM2, airC float64) float64 {
	heat := func(tC float64) float64 {
		return c.HeatWM2(Conditions{
			BeamWM2: (1 - steadyDiffuseFrac) * irradianceWM2, Kb: c.Modifier(Incidence{Cos: 1}),
			DiffuseWM2: steadyDiffuseFrac * irradianceWM2, FluidC: tC, AirC: airC, NetLongwaveWM2: netLongwaveWM2,
		})
	}
	lo, hi := airC, 2000.
	if heat(hi) > 0 {
		return math.Inf(1)
	}
	for range 60 {
		if mid := (lo + hi) / 2; heat(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// What a test report's stagnation temperature is stated for.
// ISO 9806:2017, as printed on public sheets: G = 1000 W/m², 30 °C.
const (
	StagnationWM2  = 1000.
	StagnationAirC = 30.
)
