package study

import (
	"math"
	"slices"

	"noonkeep/cmd/internal/study/table"
)

// CurveSpread is how the curves of cases lie at the volumes that all of them reach, straight between a curve's points. Of fewer
// than [LeastCases] cases P90 and P10 are the lowest and the highest.
type CurveSpread struct {
	Cases     int       `json:"cases"` // looked at
	Extremes  bool      `json:"lowest_and_highest"`
	VolumesM3 []float64 `json:"volumes_m3"`
	Savings   *Band     `json:"savings_vs_no_storage"` // null where currencies differ
	Frac      *Band     `json:"savings_share_of_no_storage_cost"`
}

// Band is three quantiles of each volume.
type Band struct {
	P90 []float64 `json:"p90"`
	P50 []float64 `json:"p50"`
	P10 []float64 `json:"p10"`
}

// curveSteps are how many steps of volume a spread of curves has.
const curveSteps = 24

// curve describes the curves gathered; nil where there are none, or none of them have a volume in common. withMoney says that
// all are of one currency.
func (g *gathered) curve(withMoney bool) *CurveSpread {
	var kept []*detail
	from, to := 0.0, math.Inf(1)
	for _, h := range g.details.all() {
		if c := h.item.curve; len(c) >= 2 && h.item.cost > 0 {
			kept = append(kept, h.item)
			from, to = max(from, c[0].VolumeM3), min(to, c[len(c)-1].VolumeM3)
		}
	}
	if len(kept) == 0 || from >= to {
		return nil
	}
	out := &CurveSpread{Cases: len(kept), Extremes: len(kept) < LeastCases, Frac: &Band{}}
	if withMoney {
		out.Savings = &Band{}
	}
	money, frac := make([]float64, len(kept)), make([]float64, len(kept))
	saved := func(p table.Point) float64 { return p.SavingsVsNoStorage }
	for i := range curveSteps + 1 {
		v := from + (to-from)*float64(i)/curveSteps
		out.VolumesM3 = append(out.VolumesM3, v)
		for k, d := range kept {
			money[k] = along(d.curve, v, saved)
			frac[k] = money[k] / d.cost
		}
		out.Frac.add(frac)
		if withMoney {
			out.Savings.add(money)
		}
	}
	return out
}

// add sorts the values.
func (b *Band) add(values []float64) {
	slices.Sort(values)
	low, mid, high := threeOf(values)
	if n := len(values); n < LeastCases {
		low, high = values[0], values[n-1]
	}
	b.P90, b.P50, b.P10 = append(b.P90, low), append(b.P50, mid), append(b.P10, high)
}

// along is what a curve has at a volume that it reaches, straight between its points.
func along(c []table.Point, m3 float64, of func(table.Point) float64) float64 {
	i, _ := slices.BinarySearchFunc(c, m3, func(p table.Point, m3 float64) int {
		if p.VolumeM3 < m3 {
			return -1
		}
		return 1
	})
	i = min(max(i, 1), len(c)-1)
	a, b := c[i-1], c[i]
	if b.VolumeM3 <= a.VolumeM3 {
		return of(b)
	}
	part := min(max((m3-a.VolumeM3)/(b.VolumeM3-a.VolumeM3), 0), 1)
	return of(a) + part*(of(b)-of(a))
}

// MidFracAt is the middle in shares at other volumes within the curve's, straight between its own.
func (c *CurveSpread) MidFracAt(volumesM3 []float64) []float64 {
	out := make([]float64, len(volumesM3))
	for i, v := range volumesM3 {
		out[i] = straight(c.VolumesM3, c.Frac.P50, v)
	}
	return out
}

// straight is what a line through points by rising x has at one; at and beyond its ends it is that of the end.
func straight(x, y []float64, at float64) float64 {
	i, _ := slices.BinarySearch(x, at)
	switch {
	case i == 0:
		return y[0]
	case i == len(x):
		return y[i-1]
	}
	return y[i-1] + (at-x[i-1])/(x[i]-x[i-1])*(y[i]-y[i-1])
}
