package plant

import "math"

// Rows are a field's collectors in straight parallel rows on level ground, one behind the other, all turned alike: one-axis
// collectors with their rows along the axis, or fixed ones with their rows square to the azimuth that they look to. The
// front row is shaded by nobody.
type Rows struct {
	SpacingM float64 // from row to row, middle to middle
	WidthM   float64 // of the aperture across the row: up the slope of a fixed collector
	Count    int     // of rows
	LengthM  float64 // of each row; 0 for rows so long that light round their ends does not count
}

// Check returns everything that is wrong with rows of such a collector.
func (r Rows) Check(c Collector) error {
	f := newFaults("rows", "")
	r.check(&f, &c)
	return f.err()
}

func (r *Rows) check(f *faults, c *Collector) {
	f.require(c.Tracking != TwoAxis, "rows", "are given for a %v collector; want a grid for it", c.Tracking)
	f.require(r.Count >= 1, "rows", "are %d; want 1 or more", r.Count)
	f.require(r.WidthM > 0 && r.WidthM < math.Inf(1), "row width", "is %g m; want more than 0, the aperture across the row", r.WidthM)
	f.require(r.LengthM >= 0 && r.LengthM < math.Inf(1), "row length", "is %g m; want 0 (long) or more", r.LengthM)
	if c.Tracking == Fixed {
		foot := r.WidthM * math.Cos(radians(c.SlopeDeg))
		f.require(r.SpacingM >= foot && r.SpacingM < math.Inf(1), "row spacing",
			"is %.4g m; want at least the %.4g m that a row covers on the ground", r.SpacingM, foot)
		return
	}
	f.require(r.SpacingM >= r.WidthM && r.SpacingM < math.Inf(1), "row spacing",
		"is %.4g m; want at least the row's width of %.4g m, or rows that lie level touch", r.SpacingM, r.WidthM)
}

// Shaded is the share of the beam on the field's apertures that other rows take, mean over the rows, with the sun at the
// given true zenith angle and azimuth. 0 with the sun down or behind.
func (r Rows) Shaded(c Collector, zenithDeg, azimuthDeg float64) float64 {
	m := mountOf(&c)
	s := rayTo(zenithDeg, azimuthDeg)
	cos, slopeCos := m.meet(s)
	return r.shaded(&m, s, cos, slopeCos)
}

// shaded takes the sun and how the aperture meets it: cosine of incidence, cosine of the aperture's slope.
//
// Cut square to the rows, a row's shadow on the ground is w cosθ/up wide where rows stand spacing apart; what it is wider
// falls on the next row. For a one-axis tracker that is the textbook 1 - (spacing/w) cos(rotation), since up/cosθ is the
// cosine of its rotation; for a fixed row it is 1 - spacing sin(p)/(w sin(slope + p)) with the profile angle p. Along the
// rows the shadow slips by the slant of the beam, and its end misses. The row after next shades nothing that the next does not.
func (r *Rows) shaded(m *mount, s ray, cos, slopeCos float64) float64 {
	if !(cos > 0) || s.up <= 0 || r.Count < 2 {
		return 0
	}
	across := 1 - r.SpacingM/r.WidthM*s.up/cos
	if across <= 0 {
		return 0
	}
	along := 1.
	if r.LengthM > 0 {
		sinSlope := math.Sqrt(max(0, 1-slopeCos*slopeCos))
		along = max(0, 1-r.SpacingM*sinSlope/cos*math.Abs(m.alongRows(s))/r.LengthM)
	}
	return across * along * float64(r.Count-1) / float64(r.Count)
}

// alongRows is the part of the beam along the rows: along the axis, or level along a fixed collector.
func (m *mount) alongRows(s ray) float64 {
	switch m.tracking {
	case AxisNorthSouth:
		return s.north
	case AxisEastWest:
		return s.east
	}
	return m.cross.dot(s)
}

// views gives the view factors from a row to the sky and to the ground, mean over the rows: of a single row (1 + cos slope)/2
// and (1 - cos slope)/2, of one behind another what that leaves by crossed strings, for even light and long rows.
func (r *Rows) views(slopeCos float64) (sky, ground float64) {
	open := [2]float64{(1 + slopeCos) / 2, (1 - slopeCos) / 2}
	p, w := r.SpacingM, r.WidthM
	// Hottel's strings between the row (foot to top) and the gap from top to top (the sky), or from foot to foot.
	toTop := math.Sqrt(max(0, p*p-2*p*w*slopeCos+w*w))
	toFoot := math.Sqrt(p*p + 2*p*w*slopeCos + w*w)
	// (w + p - string)/(2w), written so that rows far apart lose no digits.
	behind := [2]float64{0.5 + (2*p*slopeCos-w)/(2*(p+toTop)), max(0, 0.5-(2*p*slopeCos+w)/(2*(p+toFoot)))}
	front := 1 / float64(r.Count)
	return front*open[0] + (1-front)*behind[0], front*open[1] + (1-front)*behind[1]
}

// groundLit is the share of the ground between rows that the beam reaches.
func (r *Rows) groundLit(cosNormal, up float64) float64 {
	if up <= 0 {
		return 1
	}
	return max(0, 1-r.WidthM*math.Abs(cosNormal)/(up*r.SpacingM))
}
