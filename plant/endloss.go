package plant

import "math"

// Ends are the two ends of a one-axis mirror with its receiver on the focal line: the beam comes in at a slant along the
// axis, so light from the mirror's far end passes the receiver's end, and the receiver's near end stays dark. The zero value
// is a mirror without end.
type Ends struct {
	LengthM float64 // of one collector's mirror; 0 takes nothing at the ends
	FocalM  float64 // focal length
	WidthM  float64 // of the aperture; 0 takes each part of the mirror as far from the focal line as its middle
	InRow   int     // collectors end to end in a row: what passes one's end may fall on the next receiver; 0 is 1
	GapM    float64 // from one collector to the next in the row
}

// Set tells whether there is anything to lose.
func (e Ends) Set() bool { return e.LengthM > 0 }

// Check returns everything that is wrong with the ends of such a collector.
func (e Ends) Check(c Collector) error {
	f := newFaults("ends", "")
	e.check(&f, &c)
	return f.err()
}

func (e *Ends) check(f *faults, c *Collector) {
	if *e == (Ends{}) {
		return
	}
	f.require(c.Tracking == AxisNorthSouth || c.Tracking == AxisEastWest, "ends",
		"are given for a %v collector; want them for one that turns about one axis", c.Tracking)
	f.require(e.LengthM > 0 && e.LengthM < math.Inf(1), "length", "is %g m; want more than 0", e.LengthM)
	f.require(e.FocalM > 0 && e.FocalM < math.Inf(1), "focal length", "is %g m; want more than 0", e.FocalM)
	f.require(e.WidthM >= 0 && e.WidthM <= 8*e.FocalM, "width", "is %g m with a focal length of %g m; want 0 to 8 times it",
		e.WidthM, e.FocalM)
	f.require(e.InRow >= 0, "collectors in a row", "are %d; want 1 or more", e.InRow)
	f.require(e.GapM >= 0 && e.GapM < math.Inf(1), "gap", "is %g m; want 0 or more", e.GapM)
}

// LossFrac is the share of the light on the mirror that no receiver takes, at an angle of incidence along the axis.
func (e Ends) LossFrac(thetaDeg float64) float64 {
	return e.lossFrac(math.Cos(radians(thetaDeg)))
}

// gauss are the points of a five-point rule across half the aperture (symmetry), as shares of it, with their weights.
var gauss = [3][2]float64{{0, 0.28444444444444444}, {0.5384693101056831, 0.47862867049936647}, {0.9061798459386640, 0.23692688505618908}}

func (e *Ends) lossFrac(cos float64) float64 {
	if e.LengthM == 0 {
		return 0
	}
	if !(cos > 0) {
		return 1
	}
	tan := math.Sqrt(max(0, 1-cos*cos)) / cos
	caught := 0.
	for _, g := range gauss {
		// A strip x off the middle of a parabola lies f + x²/(4f) from its focal line, which the beam's slant slips past it:
		// (f/L) tan θ of Rabl, Active Solar Collectors and their Applications (1985; from memory), strip by strip.
		x := g[0] * e.WidthM / 2
		caught += g[1] * e.caught((e.FocalM+x*x/(4*e.FocalM))*tan)
	}
	return max(0, 1-caught)
}

// caught is the share of a strip's light that falls on a receiver when it slips by so much: on its own or, where mirrors
// stand end to end, on one further on in the row.
func (e *Ends) caught(slipM float64) float64 {
	sum := max(0, 1-slipM/e.LengthM)
	for k := 1; k < e.InRow; k++ {
		off := math.Abs(slipM-float64(k)*(e.LengthM+e.GapM)) / e.LengthM
		if off >= 1 && slipM < float64(k)*(e.LengthM+e.GapM) {
			break
		}
		sum += max(0, 1-off) * float64(e.InRow-k) / float64(e.InRow)
	}
	return sum
}
