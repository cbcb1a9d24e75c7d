package sky

import (
	"fmt"
	"math"
	"time"

	"noonkeep/plant/clock"
)

// spreader shares the light of a longer interval out over the steps in it: beam and diffuse each in the proportions of
// a clear sky, global light as their sum. A step in which the sun is down gets none, and the interval's energy
// is kept in all three.
type spreader struct {
	axis    clock.Axis
	parts   int
	out     [3][]float64
	dark    int          // intervals with light but no sun
	weights [3][]float64 // of the interval in hand
	shared  [3][]float64
	cosZ    []float64 // mean of each step, 0 while the sun is down

	place    observer
	air      Air
	absolute float64 // pressure over the sea level's
	firstJD  float64 // of the axis' start plus offset
	sun      ephemeris
}

// samples a step, at which the clear sky is looked at.
const samples = 3

func newSpreader(p Place, a clock.Axis, offset time.Duration, parts int) *spreader {
	first := julianDay(a.Start.Add(offset))
	s := &spreader{
		axis: a, parts: parts, cosZ: make([]float64, parts),
		place: newObserver(p), air: Air{ElevationM: p.ElevationM, Linke: ordinaryLinke},
		absolute: AirPressureBarA(p.ElevationM) / AirPressureBarA(0),
		firstJD:  first, sun: newEphemeris(first-1, first+float64(a.N)*a.StepH()/24+1),
	}
	for q := range s.out {
		s.out[q] = make([]float64, a.N)
		s.weights[q], s.shared[q] = make([]float64, parts), make([]float64, parts)
	}
	return s
}

// saySpread tells what was done to the light of each row or hour.
func saySpread(what string, parts int) string {
	said := fmt.Sprintf("each %s's light is spread over %d steps along the clear sky's shape; its energy is kept", what, parts)
	if parts > smoothParts {
		said += ", but no cloud comes or goes within it, and air and wind are as smooth"
	}
	return said
}

// smoothParts: over more, one might take the steps for measured ones.
const smoothParts = 4

// put shares out the mean light of the interval that begins with step from; steps outside the axis are left out.
// Global light goes where beam and diffuse have gone, so that the parts keep their sum in each step.
func (s *spreader) put(from int, l Light) {
	if l == (Light{}) {
		return
	}
	highest := s.weigh(from)
	isDark := s.share(dni, l.DNI, highest)
	isDark = s.share(dhi, l.DHI, highest) || isDark
	if l.DNI > 0 || l.DHI > 0 {
		for k := range s.parts {
			s.weights[ghi][k] = s.shared[dhi][k] + s.shared[dni][k]*s.cosZ[k]
		}
	}
	isDark = s.share(ghi, l.GHI, highest) || isDark
	if isDark {
		s.dark++
	}
	for q := range s.out {
		for k, v := range s.shared[q] {
			if x := from + k; x >= 0 && x < s.axis.N {
				s.out[q][x] = v
			}
		}
	}
}

// share parts a mean by the weights. Without any, all goes to the step of the highest sun, and true is returned.
func (s *spreader) share(q int, mean float64, highest int) (isDark bool) {
	total := 0.
	for _, w := range s.weights[q] {
		total += w
	}
	for k, w := range s.weights[q] {
		s.shared[q][k] = 0
		if total > 0 {
			s.shared[q][k] = mean * float64(s.parts) * w / total
		}
	}
	if total > 0 || mean == 0 {
		return false
	}
	s.shared[q][highest] = mean * float64(s.parts)
	return true
}

// weigh sets the clear sky's light of each step, and returns the step in which the sun stands highest.
func (s *spreader) weigh(from int) (highest int) {
	top := math.Inf(-1)
	for k := range s.parts {
		var sum Light
		s.cosZ[k] = 0
		for j := range samples {
			at := float64(from+k) + (float64(j)+0.5)/samples
			jd := s.firstJD + at*s.axis.StepH()/24
			g := s.sun.at(jd)
			cosZ := s.place.cosZenith(jd, g)
			if cosZ > top {
				top, highest = cosZ, k
			}
			if cosZ <= 0 {
				continue
			}
			s.cosZ[k] += cosZ / samples
			z := deg(math.Acos(math.Min(1, cosZ)))
			c := s.air.ClearSky(z, AirMass(z)*s.absolute, ExtraterrestrialWM2(g.distAU))
			sum.GHI += c.GHI
			sum.DNI += c.DNI
			sum.DHI += c.DHI
		}
		s.weights[ghi][k], s.weights[dni][k], s.weights[dhi][k] = sum.GHI, sum.DNI, sum.DHI
	}
	return highest
}

// cosZenith is the cosine of the geocentric zenith angle: parallax, at most 0.0025 deg, is left out.
func (o observer) cosZenith(jd float64, g geocentric) float64 {
	cosH := math.Cos(rad(siderealDeg(jd) + g.eqeqDeg + o.lonDeg - g.raDeg))
	sinD, cosD := math.Sincos(rad(g.decDeg))
	return o.sinLat*sinD + o.cosLat*cosD*cosH
}
