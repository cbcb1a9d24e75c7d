package plant

// surround is what stands between a field's collectors and the sky, worked out step by step: the horizon, the other rows or
// dishes, and the ends of the mirrors.
type surround struct {
	horizon *Horizon // nil: level
	rows    *Rows    // nil: none
	dishes  *silhouette
	ends    Ends
	skyOver float64 // of an aperture that stays where it is: what the horizon leaves of the sky that it sees
}

func surroundOf(f *Field) surround {
	x := surround{rows: f.Rows, ends: f.Ends}
	if f.Grid != nil {
		x.dishes = newSilhouette(*f.Grid)
	}
	if !f.Horizon.Level() {
		x.horizon = f.Horizon
		if m := mountOf(&f.Collector); m.stays() {
			x.skyOver = x.skyShare(m.normal)
		}
	}
	return x
}

// shade books what horizon, neighbours and ends take of a step's beam, and gives the sun by which the rest is met, with its
// cosine of incidence. s is the sun in the middle of the step, lit that in the middle of the part of it with the sun up.
func (r *run) shade(o *flows, s, lit ray, cos, slopeCos float64) (ray, float64) {
	x := &r.around
	left := o.beam
	if x.horizon != nil {
		var share float64
		if lit, share = x.horizon.open(r.site, s, lit, r.halfDeg); share < 1 {
			cos, slopeCos = r.mount.meet(lit)
			left = min(o.beam, o.dni*share*cos)
			o.horizon = o.beam - left
		}
	}
	lost := 0.
	switch {
	case left == 0:
	case x.rows != nil:
		lost = x.rows.shaded(&r.mount, lit, cos, slopeCos)
	case x.dishes != nil:
		lost = x.dishes.shaded(lit)
	}
	o.shaded = left * lost
	o.ends = (left - o.shaded) * x.ends.lossFrac(cos)
	return lit, cos
}

// diffuse is the diffuse light on the aperture, W/m², from sky and ground.
func (r *run) diffuse(i int, s ray, cos, slopeCos float64) float64 {
	x := &r.around
	dhi, ghi := r.y.DHI[i], r.y.GHI[i]
	if x.rows == nil && x.horizon == nil {
		// Isotropic sky and ground, Duffie & Beckman eq. 2.15.1.
		return dhi*(1+slopeCos)/2 + ghi*r.albedo*(1-slopeCos)/2
	}
	sky, ground := (1+slopeCos)/2, (1-slopeCos)/2
	if x.rows != nil {
		sky, ground = x.rows.views(slopeCos)
		if x.rows.Count > 1 {
			ghi *= x.rows.groundLit(r.mount.normalTo(s, cos).dot(s), s.up)
		}
	}
	if x.horizon != nil {
		if r.mount.stays() {
			sky *= x.skyOver
		} else {
			sky *= x.skyShare(r.mount.normalTo(s, cos))
		}
	}
	return dhi*sky + ghi*r.albedo*ground
}

// skyShare is what the horizon leaves of the sky that a plane sees.
func (x *surround) skyShare(normal ray) float64 {
	whole := (1 + normal.up) / 2
	if whole == 0 {
		return 0
	}
	return min(1, x.horizon.skyFrac(normal)/whole)
}

// stays tells whether the aperture stays where it is: a fixed collector, or the level field of linear Fresnel mirrors.
func (m *mount) stays() bool { return m.normal != ray{} }

// normalTo is the normal of an aperture as the sun finds it.
func (m *mount) normalTo(s ray, cos float64) ray {
	switch {
	case m.stays():
		return m.normal
	case m.tracking == TwoAxis || !(cos > 0):
		return s
	case m.tracking == AxisNorthSouth:
		return ray{s.east / cos, 0, s.up / cos}
	}
	return ray{0, s.north / cos, s.up / cos}
}

// checkSurround notes what is wrong with a field's rows, grid and ends.
func (f *Field) checkSurround(bad *faults) {
	bad.require(f.Rows == nil || f.Grid == nil, "rows", "stand beside a grid; want one of the two")
	if f.Rows != nil {
		f.Rows.check(bad, &f.Collector)
	}
	if f.Grid != nil {
		f.Grid.check(bad, &f.Collector)
	}
	f.Ends.check(bad, &f.Collector)
}
