package plant

import (
	"fmt"
	"math"
	"slices"
)

// HorizonPoint is one point of the line of hills, trees and roofs about a field: how high it stands over the level,
// seen from the collectors' middle.
type HorizonPoint struct {
	AzimuthDeg float64 // from north, clockwise
	HeightDeg  float64
}

// Horizon is the line round the whole sky, straight in azimuth and height between its points and from the last on to the
// first. The zero value is the level. Make one with NewHorizon.
type Horizon struct {
	points          []HorizonPoint // by rising azimuth
	lowest, highest float64
}

// NewHorizon makes the line from its points, in any order. No points are the level, one is the same height all round.
func NewHorizon(points []HorizonPoint) (Horizon, error) {
	f := newFaults("horizon", "")
	h := Horizon{points: slices.Clone(points)}
	slices.SortStableFunc(h.points, func(a, b HorizonPoint) int {
		switch {
		case a.AzimuthDeg < b.AzimuthDeg:
			return -1
		case a.AzimuthDeg > b.AzimuthDeg:
			return 1
		}
		return 0
	})
	h.lowest = math.Inf(1)
	for i, p := range h.points {
		f.require(p.AzimuthDeg >= 0 && p.AzimuthDeg < 360, "azimuth", "is %g°; want 0 to below 360, from north clockwise", p.AzimuthDeg)
		f.require(p.HeightDeg >= 0 && p.HeightDeg < 90, "height", "is %g° at azimuth %g°; want 0 (level) to below 90",
			p.HeightDeg, p.AzimuthDeg)
		f.require(i == 0 || p.AzimuthDeg != h.points[i-1].AzimuthDeg, "azimuth", "of %g° stands twice; want one height there",
			p.AzimuthDeg)
		h.lowest, h.highest = min(h.lowest, p.HeightDeg), max(h.highest, p.HeightDeg)
	}
	if err := f.err(); err != nil {
		return Horizon{}, err
	}
	return h, nil
}

// Level tells whether nothing stands over the level anywhere.
func (h *Horizon) Level() bool { return h == nil || h.highest == 0 }

// HeightDeg is the height of the line at an azimuth.
func (h *Horizon) HeightDeg(azimuthDeg float64) float64 {
	if h.Level() {
		return 0
	}
	a := math.Mod(azimuthDeg, 360)
	if a < 0 {
		a += 360
	}
	n := len(h.points)
	next := 0
	for next < n && h.points[next].AzimuthDeg <= a {
		next++
	}
	from, to := h.points[(next+n-1)%n], h.points[next%n]
	gap := to.AzimuthDeg - from.AzimuthDeg
	if gap <= 0 {
		gap += 360
	}
	along := a - from.AzimuthDeg
	if along < 0 {
		along += 360
	}
	return from.HeightDeg + (to.HeightDeg-from.HeightDeg)*along/gap
}

// String lists the points.
func (h *Horizon) String() string {
	if h.Level() {
		return "level"
	}
	return fmt.Sprintf("%d points, from %.4g° to %.4g° high", len(h.points), h.lowest, h.highest)
}

// SkyFrac is the view factor from a plane to the part of an isotropic sky over the line: (1 + cos slope)/2 where that is
// level. The plane looks to azimuthDeg and stands slopeDeg from level.
func (h *Horizon) SkyFrac(slopeDeg, azimuthDeg float64) float64 {
	m := mountOf(&Collector{Tracking: Fixed, SlopeDeg: slopeDeg, AzimuthDeg: azimuthDeg})
	return h.skyFrac(m.normal)
}

// skySteps of the sum over azimuth: half degrees, over which a line straight between points is a smooth function.
const skySteps = 720

func (h *Horizon) skyFrac(normal ray) float64 {
	sum := 0.0
	for k := range skySteps {
		azimuth := (float64(k) + 0.5) * (360. / skySteps)
		sin, cos := math.Sincos(radians(azimuth))
		sum += wedge(normal.east*sin+normal.north*cos, normal.up, radians(h.HeightDeg(azimuth)))
	}
	// The sum of (2π/n)/π times the wedges.
	return sum * 2 / skySteps
}

// wedge is the integral over height from low to the zenith of max(0, a cos h + b sin h) cos h: the light that a plane takes
// from one azimuth of an even sky, where a and b are its normal's parts towards that azimuth and up.
func wedge(a, b, low float64) float64 {
	if a < 0 {
		low = max(low, math.Atan2(-a, b)) // below that the sky is behind the plane
	}
	sin, cos := math.Sincos(low)
	return a*(math.Pi/4-low/2-sin*cos/2) + b*cos*cos/2
}

// pathParts of a step in which the sun may cross the line.
const pathParts = 16

// open gives the share of a step's sun that stands over the line, and the sun in the middle of that share. s is the sun at
// the middle of the step, lit and up what sunlit made of it: the share is of that part of the step.
func (h *Horizon) open(p site, s, lit ray, halfDeg float64) (ray, float64) {
	height := degrees(math.Asin(min(1, lit.up)))
	// The sun climbs by no more than its hour angle turns.
	switch {
	case height-halfDeg >= h.highest:
		return lit, 1
	case height+halfDeg <= h.lowest:
		return lit, 0
	}
	path := p.pathOf(s)
	from, to := path.part(halfDeg)
	step := (to - from) / pathParts
	before := h.over(path.at(from))
	share, middle := 0.0, 0.0
	for k := 1; k <= pathParts; k++ {
		hour := from + float64(k)*step
		after := h.over(path.at(hour))
		a, b := crossing(before, after)
		share += b - a
		middle += (b - a) * (hour - step + step*(a+b)/2)
		before = after
	}
	if share == 0 {
		return lit, 0
	}
	return path.at(middle / share), share / pathParts
}

// over is how many degrees the sun stands over the line.
func (h *Horizon) over(s ray) float64 {
	return degrees(math.Asin(max(-1, min(1, s.up)))) - h.HeightDeg(degrees(math.Atan2(s.east, s.north)))
}

// crossing gives the part of a straight line from one value to the next on which it is above 0.
func crossing(before, after float64) (from, to float64) {
	switch {
	case before > 0 && after > 0:
		return 0, 1
	case before <= 0 && after <= 0:
		return 0, 0
	}
	cut := before / (before - after)
	if before > 0 {
		return 0, cut
	}
	return cut, 1
}
