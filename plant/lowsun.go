package plant

import "math"

// site is the place's latitude, as low sun needs it.
type site struct{ sinLat, cosLat float64 }

func siteAt(latDeg float64) site {
	sin, cos := math.Sincos(radians(latDeg))
	return site{sin, cos}
}

// sunlit moves the sun of a step to the middle of that part of the step in which it is up, and gives the share
// of the step that this is (0: not up at all). halfDeg is the hour angle of half a step.
// Without it the hours of sunrise and sunset count angles of a sun that is down: Duffie & Beckman example 2.14.1,
// where the middle of the hour gives a beam ratio ten times too big.
// True horizon, no refraction, which costs 4 minutes at either end of the day, with next to no beam in them.
func (p site) sunlit(s ray, halfDeg float64) (ray, float64) {
	// The sun climbs by no more than its hour angle turns.
	reach := math.Sin(radians(min(halfDeg, 90)))
	if s.up >= reach {
		return s, 1
	}
	if s.up <= -reach {
		return s, 0
	}
	// The triangle pole, zenith, sun (Duffie & Beckman eq. 1.6.5), read backwards from the sun's direction.
	sinDec := s.north*p.cosLat + s.up*p.sinLat
	hour := math.Atan2(-s.east, s.up*p.cosLat-s.north*p.sinLat)
	cosDec := math.Sqrt(max(0, 1-sinDec*sinDec))
	sunset := sunsetHour(p.sinLat*sinDec, p.cosLat*cosDec)
	half := radians(halfDeg)
	from, to := max(hour-half, -sunset), min(hour+half, sunset)
	if !(to > from) {
		return s, 0
	}
	sinW, cosW := math.Sincos((from + to) / 2)
	lit := ray{
		east:  -cosDec * sinW,
		north: sinDec*p.cosLat - cosDec*cosW*p.sinLat,
		up:    sinDec*p.sinLat + cosDec*cosW*p.cosLat,
	}
	return lit, (to - from) / (2 * half)
}

// sunsetHour is the hour angle at which a + b cos(hour) falls to 0, in radians: 0 when the sun never rises, and
// beyond any step when it never sets.
// Duffie & Beckman eq. 1.6.10.
func sunsetHour(a, b float64) float64 {
	switch {
	case a <= -b:
		return 0
	case a >= b:
		return 2 * math.Pi
	}
	return math.Acos(-a / b)
}
