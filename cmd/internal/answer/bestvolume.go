package answer

// bestVolumes sets each case's best volume, all by one rule.
func (c *Comparison) bestVolumes() {
	c.Rule = RulePays
	for _, x := range c.Cases {
		if len(x.Curve) > 0 && x.StorePerM3 == nil {
			c.Rule = RuleSaves
		}
	}
	for i := range c.Cases {
		x := &c.Cases[i]
		if len(x.Curve) == 0 {
			continue
		}
		price := 0.0
		if c.Rule == RulePays {
			price = *x.StorePerM3
		}
		best, edge := bestVolume(x.Curve, price)
		x.BestVolumeM3, x.BestAtEdge = &best, edge
	}
}

// bestVolume is where a curve saves most when each m³ costs a price a year, and whether that lies at the curve's end.
// The best of the points is proven; from there the volume is read off the slopes, straight between the points:
// where the next m³ saves just its price.
func bestVolume(points []Point, pricePerM3 float64) (m3 float64, atEdge bool) {
	best := 0
	net := func(i int) float64 { return points[i].SavingsVsNoStorage - pricePerM3*points[i].VolumeM3 }
	for i := range points {
		if net(i) > net(best) {
			best = i
		}
	}
	last := len(points) - 1
	slope := func(i int) float64 { return points[i].MarginalSavingsPerM3 - pricePerM3 }
	from := best // the interval whose slope falls through nothing
	if slope(best) <= 0 {
		from--
	}
	switch {
	case best == 0:
		return 0, false
	case best == last && slope(last) > 0:
		return points[last].VolumeM3, true
	case from == 0 || !(slope(from) > 0 && slope(from+1) <= 0): // the slope at no store is a mean, and no kink's is sure
		return points[best].VolumeM3, false
	}
	a, b := points[from], points[from+1]
	return a.VolumeM3 + slope(from)/(slope(from)-slope(from+1))*(b.VolumeM3-a.VolumeM3), false
}
