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

// meanFocalM is the mean distance from mirror to focal line, over the aperture.
func (e *Ends) meanFocalM() float64 {
	// Distance f + x²/(4f) at x across a parabola, mean over the width: Rabl, Active Solar Collectors and their Applications
	// (1985), from memory.
	return e.FocalM + e.WidthM*e.WidthM/(48*e.FocalM)
}

// LossFrac is the share of the light on the mirror that no receiver takes, at an angle of incidence along the axis.
func (e Ends) LossFrac(thetaDeg float64) float64 {
	return e.lossFrac(math.Cos(radians(thetaDeg)))
}

func (e *Ends) lossFrac(cos float64) float64 {
	if e.LengthM == 0 {
		return 0
	}
	if !(cos > 0) {
		return 1
	}
	// Rabl (1985): (f/L) tan θ.
	slip := e.meanFocalM() * math.Sqrt(max(0, 1-cos*cos)) / cos
	lost := min(1, slip/e.LengthM)
	if e.InRow > 1 {
		// What passes a mirror's end and then the gap falls on the next receiver, as long as that reaches.
		past := (slip - e.GapM) / e.LengthM
		next := float64(e.InRow-1) / float64(e.InRow)
		lost -= next * min(lost, max(0, 1-math.Abs(past-1)))
	}
	return max(0, lost)
}
