package answer

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// latin draws n points of the unit cube of some inputs: [case][input], by [samplingWords]. Each input has its own stream of
// random numbers, so that a further input leaves those before it as they were.
func latin(n, inputs int, seed uint64) [][]float64 {
	points := make([][]float64, n)
	for i := range points {
		points[i] = make([]float64, inputs)
	}
	for k := range inputs {
		random := rand.New(rand.NewPCG(seed, uint64(k)))
		for i, part := range random.Perm(n) {
			// McKay, Beckman and Conover, Technometrics 21 (1979) 239, section 2.
			points[i][k] = (float64(part) + random.Float64()) / float64(n)
		}
	}
	return points
}

// rankCorrelation is Spearman's (American Journal of Psychology 15, 1904): the correlation of the ranks, with equal values at
// their mean rank. False where one of the two is the same throughout.
func rankCorrelation(x, y []float64) (float64, bool) {
	rx, ry := ranks(x), ranks(y)
	mean := float64(len(x)+1) / 2
	xy, xx, yy := 0.0, 0.0, 0.0
	for i := range rx {
		a, b := rx[i]-mean, ry[i]-mean
		xy, xx, yy = xy+a*b, xx+a*a, yy+b*b
	}
	if xx == 0 || yy == 0 {
		return 0, false
	}
	return xy / math.Sqrt(xx*yy), true
}

// ranks counts from 1; equal values share the mean of theirs.
func ranks(v []float64) []float64 {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(v[a], v[b]) })
	out := make([]float64, len(v))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && v[order[to]] == v[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			out[i] = float64(from+to+1) / 2
		}
		from = to
	}
	return out
}
