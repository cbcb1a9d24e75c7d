package sky

import (
	"math"
	"time"
)

// geocentric is the apparent sun seen from the Earth's centre.
type geocentric struct {
	jme            float64 // Julian ephemeris millennia from J2000
	raDeg, decDeg  float64
	distAU         float64
	eqeqDeg        float64 // equation of the equinoxes: nutation in right ascension
	lambdaDeg      float64 // apparent longitude
	psiDeg, epsDeg float64 // nutation in longitude; true obliquity
}

func julianDay(t time.Time) float64 {
	return float64(t.Unix())/86400 + float64(t.Nanosecond())/86400e9 + 2440587.5
}

// geocentricAt follows NREL/TP-560-34302, sections 3.2 to 3.10, at a Julian day of UT1.
func geocentricAt(jd, deltaTS float64) geocentric {
	jce := (jd + deltaTS/86400 - 2451545) / 36525
	jme := jce / 10
	theta := deg(series(earthLongitude, jme)) + 180 // eqs. (9) to (13)
	beta := -series(earthLatitude, jme)             // eq. (14), radians
	r := series(earthDistance, jme)
	psi, dEps := nutation(jce)
	eps := meanObliquityArcsec(jme/10)/3600 + dEps // eq. (25)
	lambda := theta + psi - 20.4898/(3600*r)       // eqs. (26), (27)

	sinL, cosL := math.Sincos(rad(lambda))
	sinE, cosE := math.Sincos(rad(eps))
	sinB, cosB := math.Sincos(beta)
	return geocentric{
		jme:       jme,
		raDeg:     wrap360(deg(math.Atan2(sinL*cosE-sinB/cosB*sinE, cosL))), // eq. (30)
		decDeg:    deg(math.Asin(sinB*cosE + cosB*sinE*sinL)),               // eq. (31)
		distAU:    r,
		eqeqDeg:   psi * cosE, // eq. (29)
		lambdaDeg: wrap360(lambda), psiDeg: psi, epsDeg: eps,
	}
}

// series sums a VSOP87 series, in radians or astronomical units. The highest power goes first (Horner).
func series(powers [][]term, jme float64) float64 {
	sum := 0.
	for n := len(powers) - 1; n >= 0; n-- {
		sum = sum*jme + sumTerms(powers[n], jme)
	}
	return sum / 1e8
}

func sumTerms(terms []term, jme float64) float64 {
	sum := 0.
	for _, t := range terms {
		sum += t.a * math.Cos(t.b+t.c*jme)
	}
	return sum
}

// nutation is in longitude and obliquity, degrees. TP-560-34302 eqs. (15) to (23)
func nutation(jce float64) (psiDeg, epsDeg float64) {
	var x [5]float64
	for i, c := range nutationArguments {
		x[i] = rad(c[0] + jce*(c[1]+jce*(c[2]+jce*c[3])))
	}
	for _, t := range nutationTerms {
		arg := 0.
		for i := range x {
			arg += x[i] * t.y[i]
		}
		sin, cos := math.Sincos(arg)
		psiDeg += (t.psi + t.psiT*jce) * sin
		epsDeg += (t.epsil + t.epsT*jce) * cos
	}
	return psiDeg / 36e6, epsDeg / 36e6
}

// meanObliquityArcsec takes u in ten thousand Julian years. TP-560-34302 eq. (24)
func meanObliquityArcsec(u float64) float64 {
	return polynomial(u, 84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45)
}

// siderealDeg is the mean sidereal time at Greenwich. TP-560-34302 eq. (28)
func siderealDeg(jd float64) float64 {
	d := jd - 2451545
	jc := d / 36525
	return wrap360(280.46061837 + 360.98564736629*d + jc*jc*(0.000387933-jc/38710000))
}

// meanLongitudeDeg is the sun's mean longitude. TP-560-34302 eq. (A2)
func meanLongitudeDeg(jme float64) float64 {
	return polynomial(jme, 280.4664567, 360007.6982779, 0.03032028, 1./49931, -1./15300, -1./2000000)
}

// deltaTS is terrestrial less universal time, seconds, by the polynomials of Espenak and Meeus, NASA/TP-2006-214141,
// section 2.7. From 2005 they are a forecast (6 s too much in 2025); 10 s move the sun by 0.0001 deg.
func deltaTS(jd float64) float64 {
	y := 2000 + (jd-2451544.5)/365.2425
	switch {
	case y < 1900, y >= 2150:
		return polynomial((y-1820)/100, -20, 0, 32)
	case y < 1920:
		return polynomial(y-1900, -2.79, 1.494119, -0.0598939, 0.0061966, -0.000197)
	case y < 1941:
		return polynomial(y-1920, 21.20, 0.84493, -0.076100, 0.0020936)
	case y < 1961:
		return polynomial(y-1950, 29.07, 0.407, -1./233, 1./2547)
	case y < 1986:
		return polynomial(y-1975, 45.45, 1.067, -1./260, -1./718)
	case y < 2005:
		return polynomial(y-2000, 63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599)
	case y < 2050:
		return polynomial(y-2000, 62.92, 0.32217, 0.005589)
	}
	return polynomial((y-1820)/100, -20, 0, 32) - 0.5628*(2150-y)
}

// polynomial is c[0] + c[1] x + ..., by Horner.
func polynomial(x float64, c ...float64) float64 {
	sum := 0.
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}

func wrap360(deg float64) float64 {
	d := math.Mod(deg, 360)
	if d < 0 {
		d += 360
	}
	return d
}

// ephemeris holds the geocentric sun once a day, right ascension unwound, for interpolation between.
type ephemeris struct {
	from  float64 // Julian day of nodes[0]
	nodes []geocentric
}

// newEphemeris covers fromJD to toJD with one node to spare on the left and two on the right.
func newEphemeris(fromJD, toJD float64) ephemeris {
	e := ephemeris{from: math.Floor(fromJD) - 1}
	for jd := e.from; jd <= toJD+2; jd++ {
		g := geocentricAt(jd, deltaTS(jd))
		if n := len(e.nodes); n > 0 {
			g.raDeg += 360 * math.Round((e.nodes[n-1].raDeg-g.raDeg)/360)
		}
		e.nodes = append(e.nodes, g)
	}
	return e
}

// at interpolates by Lagrange's formula on four nodes.
func (e ephemeris) at(jd float64) geocentric {
	k := int(jd - e.from)
	k = max(1, min(k, len(e.nodes)-3))
	s := jd - e.from - float64(k)
	n := e.nodes[k-1 : k+3]
	w0, w1 := -s*(s-1)*(s-2)/6, (s+1)*(s-1)*(s-2)/2
	w2, w3 := -(s+1)*s*(s-2)/2, (s+1)*s*(s-1)/6
	mix := func(a, b, c, d float64) float64 { return w0*a + w1*b + w2*c + w3*d }
	return geocentric{
		jme:     mix(n[0].jme, n[1].jme, n[2].jme, n[3].jme),
		raDeg:   mix(n[0].raDeg, n[1].raDeg, n[2].raDeg, n[3].raDeg),
		decDeg:  mix(n[0].decDeg, n[1].decDeg, n[2].decDeg, n[3].decDeg),
		distAU:  mix(n[0].distAU, n[1].distAU, n[2].distAU, n[3].distAU),
		eqeqDeg: mix(n[0].eqeqDeg, n[1].eqeqDeg, n[2].eqeqDeg, n[3].eqeqDeg),
	}
}
