package steam

import "math"

// Reducing quantities of region 2, R7-97(2012) section 6.
const (
	pStar2MPa = 1.0
	tStar2K   = 540.0
	topI2     = 24 // exponents of pi run from 0 to 24
	topJ2     = 58 // exponents of tau - 0.5 run from 0 to 58
	lowJ2     = 5  // exponents of tau in the ideal-gas part run from -5 to 3
)

// Vapour returns the properties of steam, dry saturated or superheated, at 0 to 800 °C and any pressure
// up to saturation; above 350 °C up to the boundary with region 3, at most 1000 bar(a).
// Steam that would condense is a [*RangeError] that names the highest pressure.
func Vapour(p Pressure, tC float64) (Props, error) {
	pMPa, tK := p.mPa(), tC+zeroC
	if !(tK >= zeroC && tK <= topVapK) {
		return Props{}, badTemp("temperature of steam", tC, zeroC, topVapK)
	}
	if high := topVapourMPa(tK); !(pMPa > 0 && pMPa <= high*(1+slackFrac)) {
		return Props{}, badPressure("pressure of steam at this temperature", p, 0, high)
	}
	return vapour(pMPa, tK), nil
}

// topVapourMPa is the upper edge of region 2.
func topVapourMPa(tK float64) float64 {
	switch {
	case tK <= topSatK:
		return satMPa(tK)
	case tK <= endB23K:
		return math.Min(b23MPa(tK), topMPa)
	}
	return topMPa
}

// R7-97(2012) eq. (5), the boundary of regions 2 and 3
func b23MPa(tK float64) float64 { return b23n1 + (b23n2+b23n3*tK)*tK }

// R7-97(2012) eq. (15), (16), (17) and tables 13, 14
func vapour(pMPa, tK float64) Props {
	pi, tau := pMPa/pStar2MPa, tStar2K/tK
	y := tau - 0.5
	var xs [32]float64
	var ys [64]float64
	powers(xs[:topI2+1], 1, pi)
	powers(ys[:topJ2+1], 1, y)
	var r sums
	for k := range region2residual {
		t := &region2residual[k]
		r.add(t, xs[int(t.i)&31], ys[int(t.j)&63])
	}
	var zs [16]float64 // zs[j+5] = tau^j
	it := 1 / tau
	powers(zs[:lowJ2+4], it*it*it*it*it, tau)
	var o sums
	for k := range region2ideal {
		t := &region2ideal[k]
		o.add(t, 1, zs[(int(t.j)+lowJ2)&15])
	}
	ip, iy := 1/pi, 1/y
	return gibbs{
		g: math.Log(pi) + o.z + r.z,
		p: ip + r.i*ip, pp: (r.ii - 1) * ip * ip,
		t: o.j*it + r.j*iy, tt: o.jj*it*it + r.jj*iy*iy,
		pt: r.ij * ip * iy,
	}.props(pMPa, tK, pStar2MPa, tStar2K)
}
