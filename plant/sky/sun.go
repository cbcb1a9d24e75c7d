package sky

import (
	"math"
	"time"

	"noonkeep/plant/clock"
)

// Sun is where the sun stands, seen from a place at an instant: true (without refraction) and topocentric.
type Sun struct {
	ZenithDeg         float64 // 0 overhead, over 90 below the horizon
	AzimuthDeg        float64 // from north clockwise: 90 east, 180 south; 0 to 360
	DeclinationDeg    float64 // geocentric, apparent
	EquationOfTimeMin float64 // apparent less mean solar time
	DistanceAU        float64
}

// SunAt gives the sun's position by the algorithm of Reda and Andreas, NREL/TP-560-34302 (rev. 2008), to 0.0005 deg from
// 1950 to 2100. UTC stands for UT1 (at most 0.9 s off, 0.004 deg) and Delta-T comes from a polynomial.
// For many instants [Suns] is some seven times faster.
func SunAt(p Place, t time.Time) Sun {
	jd := julianDay(t)
	return newObserver(p).see(jd, geocentricAt(jd, deltaTS(jd)))
}

// Suns gives the sun of each step of an axis, at its middle plus offset. The slow parts are worked out once a day and
// interpolated, which moves no angle by 1e-5 deg.
func Suns(p Place, a clock.Axis, offset time.Duration) []Sun {
	if a.N == 0 {
		return nil
	}
	first, stepD := julianDay(a.Mid(0).Add(offset)), a.Step.Hours()/24
	e := newEphemeris(first, first+stepD*float64(a.N))
	o := newObserver(p)
	suns := make([]Sun, a.N)
	for i := range suns {
		jd := first + stepD*float64(i)
		suns[i] = o.see(jd, e.at(jd))
	}
	return suns
}

// CosZenith is the cosine of the sun's true zenith angle; below 0 the sun is down.
func (s Sun) CosZenith() float64 { return math.Cos(rad(s.ZenithDeg)) }

// observer holds what a place's latitude and height do to the sun's position.
type observer struct {
	sinLat, cosLat, lonDeg float64
	x, y                   float64 // distance from the Earth's axis and from the equator's plane, in equatorial radii
}

func newObserver(p Place) observer {
	const (
		flattening = 0.99664719 // polar over equatorial radius
		radiusM    = 6378140
	)
	sinLat, cosLat := math.Sincos(rad(p.LatDeg))
	// TP-560-34302 eqs. (34) to (36); atan2 keeps the poles finite
	sinU, cosU := math.Sincos(math.Atan2(flattening*sinLat, cosLat))
	return observer{
		sinLat: sinLat, cosLat: cosLat, lonDeg: p.LonDeg,
		x: cosU + p.ElevationM/radiusM*cosLat,
		y: flattening*sinU + p.ElevationM/radiusM*sinLat,
	}
}

// see turns the geocentric sun into the topocentric one. The parallax of eqs. (37) to (41) is taken off the sun's
// vector before it is turned to the horizon, which is the same rotation with fewer angles.
func (o observer) see(jd float64, g geocentric) Sun {
	sinXi := math.Sin(rad(8.794 / (3600 * g.distAU)))                                // eq. (33)
	sinH, cosH := math.Sincos(rad(siderealDeg(jd) + g.eqeqDeg + o.lonDeg - g.raDeg)) // eq. (32)
	sinD, cosD := math.Sincos(rad(g.decDeg))

	vx, vy, vz := cosD*cosH-o.x*sinXi, cosD*sinH, sinD-o.y*sinXi
	up := vx*o.cosLat + vz*o.sinLat
	north := vz*o.cosLat - vx*o.sinLat
	east := -vy
	azimuth := deg(math.Atan2(east, north))
	if azimuth < 0 {
		azimuth += 360
	}
	return Sun{
		ZenithDeg:      deg(math.Atan2(math.Hypot(north, east), up)),
		AzimuthDeg:     azimuth,
		DeclinationDeg: g.decDeg,
		// eqs. (A1) and (A2)
		EquationOfTimeMin: 4 * math.Remainder(meanLongitudeDeg(g.jme)-0.0057183-g.raDeg+g.eqeqDeg, 360),
		DistanceAU:        g.distAU,
	}
}
