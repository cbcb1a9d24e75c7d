package storage

import "math"

// Ends is the form of the two dished ends, without their straight flange.
type Ends int

const (
	Ellipsoidal   Ends = iota // 2:1 semi-ellipsoidal, depth D/4
	Hemispherical             // depth D/2
	Flat                      // a disc
	Kloepper                  // torispherical, crown D, knuckle 0.1 D (DIN 28011)
	Korbbogen                 // torispherical, crown 0.8 D, knuckle 0.154 D (DIN 28013)
)

// String names the form as the trade does.
func (e Ends) String() string {
	return named(int(e), "2:1 ellipsoidal", "hemispherical", "flat", "Kloepper", "Korbbogen")
}

// end is one dished end of a vessel of inside diameter 1: depth in D, volume in D³, inner surface in D².
type end struct{ depth, volume, area float64 }

func (e Ends) shape() end {
	switch e {
	case Hemispherical:
		return end{0.5, math.Pi / 12, math.Pi / 2}
	case Flat:
		return end{0, 0, math.Pi / 4}
	case Kloepper:
		return torispherical(1, 0.1)
	case Korbbogen:
		return torispherical(0.8, 0.154)
	}
	// Oblate half-spheroid with half axes 1/2 and 1/4: eccentricity sqrt(3)/2.
	ecc := math.Sqrt(3) / 2
	return end{0.25, math.Pi / 24, math.Pi / 4 * (1 + (1-ecc*ecc)/ecc*math.Atanh(ecc))}
}

// torispherical is an end of crown radius r and knuckle radius a, both over the inside diameter.
func torispherical(r, a float64) end {
	c := 0.5 - a // from the axis to the centre of the knuckle
	h := r - math.Sqrt((r-a)*(r-a)-c*c)
	phi := math.Asin(c / (r - a)) // where crown and knuckle meet, from the axis
	volume := math.Pi / 3 * (2*h*r*r - (2*a*a+c*c+2*a*r)*(r-h) + 3*a*a*c*math.Asin((r-h)/(r-a)))
	crown := 2 * math.Pi * r * r * (1 - math.Cos(phi))
	knuckle := 2 * math.Pi * a * (c*(math.Pi/2-phi) + a*math.Cos(phi))
	return end{h, volume, crown + knuckle}
}

// body is a horizontal cylinder with two ends, all in units of the inside diameter D: similar vessels share it.
type body struct {
	ratio float64 // straight length over D
	end   end
	solid float64 // volume over D³
	skin  float64 // inner surface over D²
}

func bodyOf(ratio float64, e end) body {
	return body{
		ratio: ratio,
		end:   e,
		solid: math.Pi/4*ratio + 2*e.volume,
		skin:  math.Pi*ratio + 2*e.area,
	}
}

// diameterM is the inside diameter of a gross volume.
func (b body) diameterM(volumeM3 float64) float64 { return math.Cbrt(volumeM3 / b.solid) }

// filled is the share of the volume below the level x = h/D. Spheroids fill as 3x² - 2x³; a torispherical end
// is taken to fill like that too: the level moves by less than 0.0002 D (TestTorisphericalFill).
func (b body) filled(x float64) float64 {
	cylinder := math.Pi / 4 * b.ratio * segment(x)
	ends := 2 * b.end.volume * x * x * (3 - 2*x)
	return (cylinder + ends) / b.solid
}

// level is the h/D at which the share is filled.
func (b body) level(share float64) float64 {
	lo, hi := 0.0, 1.0
	for range 60 {
		if mid := (lo + hi) / 2; b.filled(mid) < share {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// waterSkin is the water surface at level x over D², in the cylinder alone: steam that rises in the ends is not counted on.
func (b body) waterSkin(x float64) float64 { return b.ratio * 2 * math.Sqrt(x*(1-x)) }

// segment is the share of a circle below the chord at height x of the diameter.
func segment(x float64) float64 {
	theta := 2 * math.Acos(1-2*x)
	return (theta - math.Sin(theta)) / (2 * math.Pi)
}
