package answer

// bestVolumes sets each case's best volume, all by one rule.
func (c *Comparison) bestVolumes() {
	c.Rule = RulePays
	for _, x := range c.Cases {
		if len(x.Curve) > 0 && x.yearly == nil {
			c.Rule = RuleSaves
		}
	}
	for i := range c.Cases {
		x := &c.Cases[i]
		if len(x.Curve) == 0 {
			continue
		}
		var price storeYearly
		if c.Rule == RulePays {
			price = x.yearly
		}
		best, edge := bestPaying(x.Curve, price)
		x.BestVolumeM3, x.BestAtEdge = &best, edge
	}
}

// storeYearly is what a store of a volume, and one more m³ of it, has to save in a year to pay; nil for nothing.
type storeYearly func(m3 float64) (whole, next float64)

// bestPaying is where a curve saves most when the store costs so much a year, and whether that lies at the curve's end.
func bestPaying(points []Point, price storeYearly) (m3 float64, atEdge bool) {
	net, slope := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		net[i], slope[i] = p.SavingsVsNoStorage, p.MarginalSavingsPerM3
		if price != nil {
			whole, next := price(p.VolumeM3)
			net[i], slope[i] = net[i]-whole, slope[i]-next
		}
	}
	return bestAt(points, net, slope)
}

// bestVolume is that where each m³ costs the same.
func bestVolume(points []Point, pricePerM3 float64) (m3 float64, atEdge bool) {
	return bestPaying(points, func(m3 float64) (whole, next float64) { return pricePerM3 * m3, pricePerM3 })
}

// bestAt is where a curve is highest, given its height and slope at its points, and whether that lies at the curve's end.
// The best of the points is proven; from there the volume is read off the slopes, straight between the points:
// where the next m³ saves just its price.
func bestAt(points []Point, net, slope []float64) (m3 float64, atEdge bool) {
	best := 0
	for i := range points {
		if net[i] > net[best] {
			best = i
		}
	}
	last := len(points) - 1
	from := best // the interval whose slope falls through nothing
	if slope[best] <= 0 {
		from--
	}
	switch {
	case best == 0:
		return 0, false
	case best == last && slope[last] > 0:
		return points[last].VolumeM3, true
	case from == 0 || !(slope[from] > 0 && slope[from+1] <= 0): // the slope at no store is a mean, and no kink's is sure
		return points[best].VolumeM3, false
	}
	a, b := points[from], points[from+1]
	return a.VolumeM3 + slope[from]/(slope[from]-slope[from+1])*(b.VolumeM3-a.VolumeM3), false
}
