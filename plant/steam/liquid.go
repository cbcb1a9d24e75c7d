package steam

// Reducing quantities of region 1, R7-97(2012) section 5.
const (
	pStar1MPa = 16.53
	tStar1K   = 1386.0
	topI1     = 32 // exponents of 7.1 - pi run from 0 to 32
	lowJ1     = 41 // exponents of tau - 1.222 run from -41
	topJ1     = 17 // to 17
)

// Liquid returns the properties of liquid water at a pressure from saturation to 1000 bar(a) and 0 to 350 °C.
// Water that would boil is a [*RangeError] that names the boiling temperature.
func Liquid(p Pressure, tC float64) (Props, error) {
	const what = "temperature of liquid water"
	pMPa, tK := p.mPa(), tC+zeroC
	if !(pMPa >= leastMPa*(1-1e-6) && pMPa <= topMPa) {
		return Props{}, badPressure("pressure of liquid water", p, leastMPa, topMPa)
	}
	if !(tK >= zeroC && tK <= topSatK) {
		return Props{}, badTemp(what, tC, zeroC, topSatK)
	}
	if pMPa < satMPa(tK)*(1-slackFrac) {
		return Props{}, badTemp(what+" under "+p.String(), tC, zeroC, satK(pMPa))
	}
	return liquid(pMPa, tK), nil
}

// R7-97(2012) eq. (7) and table 4
func liquid(pMPa, tK float64) Props {
	x := 7.1 - pMPa/pStar1MPa
	y := tStar1K/tK - 1.222
	var xs, ys [64]float64 // ys[j+41] = y^j
	powers(xs[:topI1+1], 1, x)
	powers(ys[lowJ1:lowJ1+topJ1+1], 1, y)
	inv := 1 / y
	inv2 := inv * inv
	ys[lowJ1-1] = inv
	for k := lowJ1 - 2; k >= 0; k-- {
		ys[k] = ys[k+2] * inv2
	}
	var s sums
	for k := range region1 {
		t := &region1[k]
		s.add(t, xs[int(t.i)&63], ys[(int(t.j)+lowJ1)&63])
	}
	invX := 1 / x
	// x falls as pi rises, so odd derivatives by pi change sign.
	return gibbs{
		g: s.z,
		p: -s.i * invX, pp: s.ii * invX * invX,
		t: s.j * inv, tt: s.jj * inv2,
		pt: -s.ij * invX * inv,
	}.props(pMPa, tK, pStar1MPa, tStar1K)
}
