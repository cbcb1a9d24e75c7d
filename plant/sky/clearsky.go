package sky

import "math"

// SolarConstantWM2 is the total solar irradiance at 1 AU (Gueymard 2018, value from memory; checks-sun.md 1.4).
// Older texts use 1367 or 1366.1; the choice moves a clearness index by 0.4 %.
const SolarConstantWM2 = 1361.1

// ExtraterrestrialWM2 is the sun's irradiance outside the air on a plane that faces it.
func ExtraterrestrialWM2(distanceAU float64) float64 {
	return SolarConstantWM2 / (distanceAU * distanceAU)
}

// AirMass is the relative optical air mass at an apparent (refracted) zenith angle: 1 overhead, 38 at the horizon, and
// infinite below it. Multiply by pressure over 1.01325 bar for the absolute one.
func AirMass(apparentZenithDeg float64) float64 {
	z := apparentZenithDeg
	if !(z <= 90) {
		return math.Inf(1)
	}
	// Kasten and Young 1989, Applied Optics 28, eq. (3)
	return 1 / (math.Cos(rad(z)) + 0.50572*math.Pow(96.07995-z, -1.6364))
}

// ApparentZenithDeg bends the true zenith angle by refraction at an air pressure (bar) and temperature (°C). Models
// agree within 0.005 deg above 6 deg of height and differ by up to 0.3 deg at the horizon.
func ApparentZenithDeg(zenithDeg, pressureBarA, airC float64) float64 {
	const sunRadiusDeg, atHorizonDeg = 0.26667, 0.5667
	e0 := 90 - zenithDeg
	if e0 < -(sunRadiusDeg + atHorizonDeg) {
		return zenithDeg
	}
	// NREL/TP-560-34302 eq. (42)
	bend := pressureBarA / 1.010 * (283 / (273 + airC)) * 1.02 / (60 * math.Tan(rad(e0+10.3/(e0+5.11))))
	return zenithDeg - bend
}

// ordinaryLinke is a turbidity between clean and dusty air, for shapes of the day.
const ordinaryLinke = 3

// Light is sunlight in its three usual parts, W/m²: global and diffuse on the horizontal, direct on a plane that faces the sun.
type Light struct{ GHI, DNI, DHI float64 }

// Air is what the clear-sky model of Ineichen and Perez needs.
type Air struct {
	ElevationM float64
	Linke      float64 // turbidity: 2 very clear and cold, 3 clean and warm, 5 moist or dusty, 7 polluted
}

// ClearSky is the cloudless sky's light of Ineichen and Perez, Solar Energy 73 (2002) 151-157, at an apparent zenith
// angle with an absolute (pressure-corrected) air mass and extraterrestrial normal irradiance. Below the horizon it is 0.
func (a Air) ClearSky(apparentZenithDeg, absoluteAirMass, normalWM2 float64) Light {
	cosZ := math.Cos(rad(apparentZenithDeg))
	if !(cosZ > 0) || math.IsInf(absoluteAirMass, 1) {
		return Light{}
	}
	h, tl := a.ElevationM, a.Linke
	fh1, fh2 := math.Exp(-h/8000), math.Exp(-h/1250)
	cg1, cg2 := 5.09e-5*h+0.868, 3.92e-5*h+0.0387
	ghi := cg1 * normalWM2 * cosZ * math.Exp(-cg2*absoluteAirMass*(fh1+fh2*(tl-1)))
	b := 0.664 + 0.163/fh1
	dni := b * normalWM2 * math.Exp(-0.09*absoluteAirMass*(tl-1))
	dni = math.Min(dni, ghi*math.Max(0, 1-(0.1-0.2*math.Exp(-tl))/(0.1+0.882/fh1))/cosZ)
	return Light{GHI: ghi, DNI: dni, DHI: ghi - dni*cosZ}
}

// ClearSkyAt is [Air.ClearSky] for a sun seen from a place, with the standard atmosphere's pressure, refraction at 10 °C
// and the air mass of Kasten and Young.
func ClearSkyAt(p Place, s Sun, linke float64) Light {
	bar := AirPressureBarA(p.ElevationM)
	z := ApparentZenithDeg(s.ZenithDeg, bar, 10)
	m := AirMass(z) * bar / 1.01325
	return Air{ElevationM: p.ElevationM, Linke: linke}.ClearSky(z, m, ExtraterrestrialWM2(s.DistanceAU))
}

// Haurwitz is the clear sky's global irradiance on the horizontal, W/m²: a formula of the zenith angle alone, for shapes.
func Haurwitz(zenithDeg float64) float64 {
	cosZ := math.Cos(rad(zenithDeg))
	if !(cosZ > 0) {
		return 0
	}
	// Haurwitz 1945, J. Meteorology 2, 154-166, in the form of checks-sun.md 2.2
	return 1098 * cosZ * math.Exp(-0.059/cosZ)
}
