package sky

import "math"

// ErbsHourly is the diffuse share of an hour's global light at a clearness index kt, 0 to 1.
// Erbs, Klein and Duffie, Solar Energy 28 (1982) 293-302.
func ErbsHourly(kt float64) float64 {
	switch {
	case !(kt > 0):
		return 1
	case kt <= 0.22:
		return 1 - 0.09*kt
	case kt <= 0.80:
		return polynomial(kt, 0.9511, -0.1604, 4.388, -16.638, 12.336)
	}
	return 0.165
}

// ErbsDaily is the diffuse share of a day's global light at a clearness index k and sunset hour angle, 0 to 1.
// The same paper; Duffie and Beckman eq. 2.11.1.
func ErbsDaily(k, sunsetDeg float64) float64 {
	share := 0.
	switch {
	case sunsetDeg <= 81.4 && k < 0.715:
		share = polynomial(k, 1, -0.2727, 2.4495, -11.9514, 9.3879)
	case sunsetDeg <= 81.4:
		share = 0.143
	case k < 0.722:
		share = polynomial(k, 1, 0.2832, -2.5557, 0.8448)
	default:
		share = 0.175
	}
	return math.Max(0, math.Min(1, share))
}

// ErbsMonthly is the diffuse share of a month's mean day at a clearness index of 0.3 to 0.8; outside it the nearer end
// is taken. The same paper; Duffie and Beckman eq. 2.12.1.
func ErbsMonthly(k, sunsetDeg float64) float64 {
	k = math.Max(0.3, math.Min(0.8, k))
	if sunsetDeg <= 81.4 {
		return polynomial(k, 1.391, -3.560, 4.189, -2.137)
	}
	return polynomial(k, 1.311, -3.022, 3.427, -1.821)
}

// lowestBeamDeg is the sun's least height for a split: lower, all light counts as diffuse, since dividing by the cosine
// of so flat a sun makes beam out of rounding.
const lowestBeamDeg = 3

// SplitGHI parts global light into beam and diffuse by the hour's clearness (Erbs), so that GHI = DHI + DNI cos z.
// Beam never exceeds the clear sky's bound normalWM2, the sun's irradiance outside the air: what is over is diffuse.
func SplitGHI(ghiWM2, cosZenith, normalWM2 float64) Light {
	if !(ghiWM2 > 0) {
		return Light{}
	}
	if !(cosZenith > math.Sin(rad(lowestBeamDeg))) {
		return Light{GHI: ghiWM2, DHI: ghiWM2}
	}
	kt := ghiWM2 / (normalWM2 * cosZenith)
	dni := math.Min(normalWM2, ghiWM2*(1-ErbsHourly(kt))/cosZenith)
	return Light{GHI: ghiWM2, DNI: dni, DHI: ghiWM2 - dni*cosZenith}
}
