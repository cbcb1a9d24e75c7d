package storage

import "math"

// lagging is the insulation around the vessel. The one-dimensional forms are those of ISO 12241 and ASTM C680;
// the steel and the film inside are neglected.
type lagging struct{ thickM, wMK, outsideWM2K float64 }

// flatWM2K is the loss through a flat layer per m² and K.
func (l lagging) flatWM2K() float64 {
	if l.thickM == 0 {
		return l.outsideWM2K
	}
	return 1 / (l.thickM/l.wMK + 1/l.outsideWM2K)
}

// pipeWMK is the loss of a cylinder per m of length and K, d its diameter under the insulation.
func (l lagging) pipeWMK(d float64) float64 {
	r1 := d / 2
	r2 := r1 + l.thickM
	if l.thickM == 0 {
		return 2 * math.Pi * r1 * l.outsideWM2K
	}
	return 2 * math.Pi / (math.Log(r2/r1)/l.wMK + 1/(l.outsideWM2K*r2))
}

// uaWK is the loss of a body of diameter d per K: the shell as a cylinder, each end as a flat layer
// on its own form at the diameter of mid-insulation.
func (l lagging) uaWK(b body, d float64) float64 {
	mid := d + l.thickM
	return b.ratio*d*l.pipeWMK(d) + 2*b.end.area*mid*mid*l.flatWM2K()
}

// cooled is the temperature after hours of a lump of capacity capKJK that loses uaWK to ambientC.
func cooled(tC, ambientC, uaWK, capKJK, hours float64) float64 {
	return ambientC + (tC-ambientC)*math.Exp(-uaWK*hours*secondsPerHour/(capKJK*joulesPerKJ))
}

const (
	kJPerKWh       = 3600.0
	secondsPerHour = 3600.0
	joulesPerKJ    = 1000.0
	wattsPerKW     = 1000.0
)
