package answer

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// latin draws n points of the unit cube of some inputs: [case][input], by [samplingWords]. Each input has its own stream of
// random numbers, and its pairing looks at those before it alone, so that a further input leaves them as they were.
func latin(n, inputs int, seed uint64) [][]float64 {
	columns, scores := make([][]float64, inputs), make([][]float64, inputs)
	for k := range inputs {
		random := rand.New(rand.NewPCG(seed, uint64(k)))
		for _, part := range random.Perm(n) {
			// McKay, Beckman and Conover, Technometrics 21 (1979) 239, section 2.
			columns[k] = append(columns[k], (float64(part)+random.Float64())/float64(n))
			scores[k] = append(scores[k], normalZ(float64(part+1)/float64(n+1)))
		}
	}
	for k := range inputs {
		if straighten(scores[:k+1]) {
			columns[k] = inOrderOf(columns[k], scores[k])
		}
	}
	points := make([][]float64, n)
	for i := range points {
		for k := range inputs {
			points[i] = append(points[i], columns[k][i])
		}
	}
	return points
}

// straighten takes off the last column what it has in common with each of those before, which are free of each other
// already: the pairing of Iman and Conover, Communications in Statistics B 11 (1982) 311, for no correlation at all, with
// the triangular factor by Gram and Schmidt. False where nothing is left of it, as with as many columns as rows.
func straighten(columns [][]float64) bool {
	last := columns[len(columns)-1]
	was := dot(last, last)
	for _, c := range columns[:len(columns)-1] {
		if square := dot(c, c); square > 0 {
			share := dot(c, last) / square
			for i := range last {
				last[i] -= share * c[i]
			}
		}
	}
	return dot(last, last) > 1e-6*was
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// inOrderOf gives the values in the order in which the scores rise and fall.
func inOrderOf(values, scores []float64) []float64 {
	sorted := slices.Sorted(slices.Values(values))
	out := make([]float64, len(values))
	for rank, i := range rising(scores) {
		out[i] = sorted[rank]
	}
	return out
}

// rising are the places of values from the least to the largest; of equal ones the first comes first.
func rising(v []float64) []int {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(v[a], v[b]) })
	return order
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
	order := rising(v)
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
