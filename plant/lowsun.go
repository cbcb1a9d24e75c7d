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
	path := p.pathOf(s)
	from, to := path.part(halfDeg)
	if !(to > from) {
		return s, 0
	}
	return path.at((from + to) / 2), (to - from) / (2 * radians(halfDeg))
}

// path is the sun's way over the place on one day, whose declination it keeps for the length of a step.
type path struct {
	site
	sinDec, cosDec float64
	hour           float64 // hour angle of the sun that it was made of, radians
}

func (p site) pathOf(s ray) path {
	// The triangle pole, zenith, sun (Duffie & Beckman eq. 1.6.5), read backwards from the sun's direction.
	sinDec := s.north*p.cosLat + s.up*p.sinLat
	return path{site: p, sinDec: sinDec, cosDec: math.Sqrt(max(0, 1-sinDec*sinDec)),
		hour: math.Atan2(-s.east, s.up*p.cosLat-s.north*p.sinLat)}
}

// part gives the hour angles between which the sun is up, within halfDeg of the path's own.
func (p *path) part(halfDeg float64) (from, to float64) {
	sunset := sunsetHour(p.sinLat*p.sinDec, p.cosLat*p.cosDec)
	half := radians(halfDeg)
	return max(p.hour-half, -sunset), min(p.hour+half, sunset)
}

// at is the sun at an hour angle in radians.
func (p *path) at(hour float64) ray {
	sinW, cosW := math.Sincos(hour)
	return ray{
		east:  -p.cosDec * sinW,
		north: p.sinDec*p.cosLat - p.cosDec*cosW*p.sinLat,
		up:    p.sinDec*p.sinLat + p.cosDec*cosW*p.cosLat,
	}
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
