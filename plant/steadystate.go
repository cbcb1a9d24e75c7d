package plant

import "math"

// The diffuse share of the light in which a steady-state efficiency is stated.
// ISO 9806:2017, from memory; it holds on a public ISO 9806 sheet (729.02 W from 0.739, Kd 0.91; 729 printed).
const steadyDiffuseFrac = 0.15

// SteadyEta0 is the peak efficiency on the hemisphere of light, as a steady-state test states it, of a collector with
// quasi-dynamic coefficients: eta0b (0.85 Kb(0°) + 0.15 Kd).
func (c *Collector) SteadyEta0() float64 { return c.Eta0b * c.steadyLight() }

// FromSteadyState sets the quasi-dynamic peak efficiency of a collector whose steady-state test states eta0 on global
// light; its modifiers and Kd must be set. Its a1 and a2 are the same in both sorts of test.
func (c *Collector) FromSteadyState(eta0 float64) { c.Eta0b = eta0 / c.steadyLight() }

func (c *Collector) steadyLight() float64 {
	return (1-steadyDiffuseFrac)*c.Modifier(Incidence{Cos: 1}) + steadyDiffuseFrac*c.Kd
}

// DiffuseModifier is the modifier of light that comes evenly from the whole half space before the aperture: what Kd is
// when a report has modifiers of the beam alone.
func (c *Collector) DiffuseModifier() float64 {
	const nTheta, nPhi = 360, 36
	sum, whole := 0., 0.
	for i := range nTheta {
		theta := (float64(i) + 0.5) * math.Pi / 2 / nTheta
		sin, cos := math.Sincos(theta)
		ring := 0.
		for j := range nPhi {
			// A quarter of the circle stands for all four: the tables know no sign.
			sinPhi, cosPhi := math.Sincos((float64(j) + 0.5) * math.Pi / 2 / nPhi)
			ring += c.Modifier(Incidence{Cos: cos, ThetaDeg: degrees(theta),
				LongDeg: degrees(math.Atan2(sin*cosPhi, cos)), TransDeg: degrees(math.Atan2(sin*sinPhi, cos))})
		}
		sum += ring / nPhi * sin * cos
		whole += sin * cos
	}
	return sum / whole
}
