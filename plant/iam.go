package plant

import "math"

// IAMPoint is one row of an incidence-modifier table: the modifier K, without the cosine, at an angle of incidence.
type IAMPoint struct{ ThetaDeg, K float64 }

// Modifier is Kb at an incidence: the share of the peak optical efficiency that is left, cosine NOT included (the
// beam on the aperture carries it). A published K that has the cosine in it is given as IAMPoly, or divided by cos θ
// before it goes into a table. Forms, of which a collector has one:
//
//   - IAM: straight lines between the points, 1 before the first if it is above 0°, to 0 at 90°. With IAMT the
//     product of both tables: IAM at the angle along the collector, IAMT at the angle across. Tables with the cosine in
//     them (IAMWithCosine) are divided by it.
//   - B0: 1 - b0 (1/cos θ - 1), not below 0.
//   - IAMPoly: (cos θ + p₁ θ + p₂ θ²)/cos θ, θ in degrees, not below 0: the published trough form K with its cosine
//     taken out.
//   - none of them: 1.
func (c *Collector) Modifier(in Incidence) float64 {
	if in.Cos <= 0 {
		return 0
	}
	switch {
	case len(c.IAMT) > 0:
		// Product form of ISO 9806 for collectors with two planes: K(θL, 0) K(0, θT).
		k := tableK(c.IAM, in.LongDeg) * tableK(c.IAMT, in.TransDeg)
		if c.IAMWithCosine {
			k /= in.Cos
		}
		return k
	case len(c.IAM) > 0:
		return tableK(c.IAM, in.ThetaDeg)
	case c.B0 != 0:
		return max(0, 1-c.B0*(1/in.Cos-1))
	case c.IAMPoly != [2]float64{}:
		return max(0, 1+in.ThetaDeg*(c.IAMPoly[0]+c.IAMPoly[1]*in.ThetaDeg)/in.Cos)
	}
	return 1
}

// tableK reads a table at thetaDeg. An empty table is 1 throughout.
func tableK(table []IAMPoint, thetaDeg float64) float64 {
	if len(table) == 0 {
		return 1
	}
	low := IAMPoint{0, 1}
	for _, high := range table {
		if thetaDeg <= high.ThetaDeg {
			return between(low, high, thetaDeg)
		}
		low = high
	}
	return between(low, IAMPoint{90, 0}, thetaDeg)
}

func between(low, high IAMPoint, thetaDeg float64) float64 {
	if high.ThetaDeg <= low.ThetaDeg {
		return high.K
	}
	return low.K + (high.K-low.K)*(thetaDeg-low.ThetaDeg)/(high.ThetaDeg-low.ThetaDeg)
}

// checkTable notes what is wrong with a modifier table.
func checkTable(f *faults, key string, table []IAMPoint) {
	last := math.Inf(-1)
	for _, p := range table {
		f.require(p.ThetaDeg >= 0 && p.ThetaDeg <= 90 && p.ThetaDeg > last, key,
			"has an angle of %g° after %g°; want rising angles from 0 to 90", p.ThetaDeg, last)
		f.require(p.K >= 0 && p.K <= 3, key, "is %g at %g°; want 0 to 3", p.K, p.ThetaDeg)
		f.require(p.ThetaDeg < 90 || p.K == 0, key, "is %g at 90°; want 0, no beam enters along the aperture", p.K)
		last = p.ThetaDeg
	}
}
