package steam

import "math"

// Props are the properties of one phase.
type Props struct {
	TC      float64 // temperature, °C
	VM3Kg   float64 // specific volume, m³/kg
	HKJKg   float64 // enthalpy, kJ/kg, zero-point of the release: u = s = 0 in the liquid at the triple point
	UKJKg   float64 // internal energy, kJ/kg
	SKJKgK  float64 // entropy, kJ/(kg K)
	CpKJKgK float64 // isobaric heat capacity, kJ/(kg K)
	SoundMS float64 // speed of sound, m/s
}

// gibbs is the dimensionless Gibbs energy gamma(pi, tau) and its derivatives by pi (p) and tau (t).
type gibbs struct{ g, p, pp, t, tt, pt float64 }

// props turns the derivatives into properties; R7-97(2012) tables 3 and 12 give the same relations
// for both regions. pStar and tStar are the reducing quantities of the region.
func (a gibbs) props(pMPa, tK, pStarMPa, tStarK float64) Props {
	tau := tStarK / tK
	v := rKJKgK * tK * a.p / (pStarMPa * kPaPerMPa)
	h := rKJKgK * tStarK * a.t
	d := a.p - tau*a.pt
	w2 := rKJKgK * kPaPerMPa * tK * a.p * a.p / (d*d/(tau*tau*a.tt) - a.pp)
	return Props{
		TC:      tK - zeroC,
		VM3Kg:   v,
		HKJKg:   h,
		UKJKg:   h - pMPa*kPaPerMPa*v,
		SKJKgK:  rKJKgK * (tau*a.t - a.g),
		CpKJKgK: -rKJKgK * tau * tau * a.tt,
		SoundMS: math.Sqrt(w2),
	}
}

// sums collects one pass over the terms z = n x^i y^j, each weighed for one derivative. The division by x and y
// waits until after the loop: no term needs its own power of a derivative.
type sums struct{ z, i, ii, j, jj, ij float64 }

func (s *sums) add(t *term, xi, yj float64) {
	z := t.n * xi * yj
	zi, zj := z*t.i, z*t.j
	s.z += z
	s.i += zi
	s.j += zj
	s.ii += zi * (t.i - 1)
	s.jj += zj * (t.j - 1)
	s.ij += zi * t.j
}

// powers fills dst[k] = first * x^k. Two interleaved chains halve the wait for each product.
func powers(dst []float64, first, x float64) {
	if len(dst) < 2 {
		return
	}
	x2 := x * x
	dst[0], dst[1] = first, first*x
	for k := 2; k < len(dst); k++ {
		dst[k] = dst[k-2] * x2
	}
}
