package steam

import "math"

// Saturation holds both phases of water that boils.
type Saturation struct {
	P              Pressure
	TC             float64 // °C
	Liquid, Vapour Props
}

// EvaporationKJKg is the heat of evaporation h” - h', kJ/kg.
func (s Saturation) EvaporationKJKg() float64 { return s.Vapour.HKJKg - s.Liquid.HKJKg }

// SatTemp returns the boiling temperature in °C, from 0.00611 bar(a) (0 °C) to the critical 220.64 bar(a).
func SatTemp(p Pressure) (tC float64, err error) {
	pMPa := p.mPa()
	if !(pMPa >= leastMPa*(1-1e-6) && pMPa <= critMPa) {
		return 0, badPressure("pressure of saturation", p, leastMPa, critMPa)
	}
	return satK(pMPa) - zeroC, nil
}

// SatPressure returns the pressure at which water boils at tC, from 0 °C to the critical 373.946 °C.
func SatPressure(tC float64) (Pressure, error) {
	tK := tC + zeroC
	if !(tK >= zeroC && tK <= critK) {
		return Pressure{}, badTemp("temperature of saturation", tC, zeroC, critK)
	}
	return Pressure{satMPa(tK) * barPerMPa}, nil
}

// SaturatedAt returns both phases at a boiling temperature of 0 to 350 °C.
func SaturatedAt(tC float64) (Saturation, error) {
	tK := tC + zeroC
	if !(tK >= zeroC && tK <= topSatK) {
		return Saturation{}, badTemp("temperature of both phases", tC, zeroC, topSatK)
	}
	return both(satMPa(tK), tK), nil
}

// SaturatedUnder returns both phases at a pressure of 0.00611 to 165.29 bar(a) (0 to 350 °C).
func SaturatedUnder(p Pressure) (Saturation, error) {
	pMPa := p.mPa()
	if !(pMPa >= leastMPa*(1-1e-6) && pMPa <= satMPa(topSatK)) {
		return Saturation{}, badPressure("pressure of both phases", p, leastMPa, satMPa(topSatK))
	}
	return both(pMPa, satK(pMPa)), nil
}

func both(pMPa, tK float64) Saturation {
	return Saturation{
		P:      Pressure{pMPa * barPerMPa},
		TC:     tK - zeroC,
		Liquid: liquid(pMPa, tK),
		Vapour: vapour(pMPa, tK),
	}
}

// R7-97(2012) eq. (30)
func satMPa(tK float64) float64 {
	theta := tK + sat9/(tK-sat10)
	a := (theta+sat1)*theta + sat2
	b := (sat3*theta+sat4)*theta + sat5
	c := (sat6*theta+sat7)*theta + sat8
	q := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	q *= q
	return q * q
}

// R7-97(2012) eq. (31)
func satK(pMPa float64) float64 {
	beta := math.Sqrt(math.Sqrt(pMPa))
	e := (beta+sat3)*beta + sat6
	f := (sat1*beta+sat4)*beta + sat7
	g := (sat2*beta+sat5)*beta + sat8
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	return (sat10 + d - math.Sqrt((sat10+d)*(sat10+d)-4*(sat9+sat10*d))) / 2
}
