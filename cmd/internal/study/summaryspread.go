package study

import (
	"math"
	"slices"
)

// Spread is how a figure lies over cases. P10, P50 and P90 are the quantiles that are exceeded in 10, 50 and 90 % of cases, so P90
// is the low one, by definition 6 of Hyndman and Fan (The American Statistician 50, 1996); of fewer than 10 cases there are no P10
// and P90, and what a normal distribution would have in their place is not given either. A quantile that is without end, such as
// a payback that never comes, is null.
type Spread struct {
	Cases     int64    `json:"cases"` // that have the figure
	P90       *float64 `json:"p90"`
	P50       *float64 `json:"p50"`
	P10       *float64 `json:"p10"`
	Least     *float64 `json:"least"` // of all cases
	Most      *float64 `json:"most"`
	NeverFrac float64  `json:"never_share"` // of the cases, in which it is without end: a payback that does not come
}

// LeastCases is how many cases there must be for P10 and P90; common practice, and definition 6 needs nine.
const LeastCases = 10

// Extremes tells whether there are too few cases for P90 and P10, so that [Spread.Low] and [Spread.High] are the lowest and the highest.
func (s Spread) Extremes() bool { return s.Cases < LeastCases }

// Low is P90, or of few cases the lowest; High is P10, or the highest. What is without end is infinite.
func (s Spread) Low() float64  { return s.orEnd(s.P90, s.Least) }
func (s Spread) High() float64 { return s.orEnd(s.P10, s.Most) }

// Mid is P50, infinite where that is without end.
func (s Spread) Mid() float64 { return orInfinite(s.P50) }

func (s Spread) orEnd(quantile, extreme *float64) float64 {
	if s.Extremes() {
		return orInfinite(extreme)
	}
	return orInfinite(quantile)
}

func orInfinite(v *float64) float64 {
	if v == nil {
		return math.Inf(1)
	}
	return *v
}

// spread describes figure k of the cases gathered; nil where none has it.
func (g *gathered) spread(k int) *Spread {
	if g.counts[k] == 0 {
		return nil
	}
	var v []float64
	never := 0
	for _, h := range g.figures.all() {
		if x := h.item[k]; !math.IsNaN(x) {
			v = append(v, x)
			if math.IsInf(x, 1) {
				never++
			}
		}
	}
	s := &Spread{Cases: g.counts[k], Least: finite(g.least[k]), Most: finite(g.most[k])}
	if len(v) == 0 { // its few cases are none of the sample
		return s
	}
	slices.Sort(v)
	s.NeverFrac = float64(never) / float64(len(v))
	low, mid, high := threeOf(v)
	s.P50 = finite(mid)
	if !s.Extremes() {
		s.P90, s.P10 = finite(low), finite(high)
	}
	return s
}

// threeOf are what 90, 50 and 10 % of the values, sorted, exceed.
func threeOf(sorted []float64) (p90, p50, p10 float64) {
	return quantile(sorted, 0.1), quantile(sorted, 0.5), quantile(sorted, 0.9)
}

// quantile is definition 6 of Hyndman and Fan 1996: the k-th lowest of n is undershot with k/(n+1), straight between, and the
// first or last beyond.
func quantile(sorted []float64, p float64) float64 {
	n := len(sorted)
	at := p * float64(n+1)
	k := int(math.Floor(at + 1e-9)) // 0.1·(19+1) is 2
	switch {
	case k < 1:
		return sorted[0]
	case k >= n:
		return sorted[n-1]
	case sorted[k-1] == sorted[k]: // two without end among them
		return sorted[k]
	}
	if part := max(0, at-float64(k)); part > 1e-9 {
		return sorted[k-1] + part*(sorted[k]-sorted[k-1])
	}
	return sorted[k-1]
}

func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}
