package study

import (
	"math"
	"math/rand/v2"
	"strconv"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"
)

// hypercube draws a Latin hypercube of McKay, Beckman and Conover (1979): each side of the unit cube in as many equal parts
// as there are points, each part drawn once. The same seed gives the same points on every machine.
func hypercube(points, sides int, seed uint64) [][]float64 {
	src := rand.NewPCG(seed, 0)
	batch := mat.NewDense(points, sides, nil)
	samplemv.LatinHypercube{Q: distmv.NewUnitUniform(sides, src), Src: src}.Sample(batch)
	out := make([][]float64, points)
	for i := range out {
		out[i] = batch.RawRowView(i)
	}
	return out
}

// part is the place among n equal parts of the unit length.
func part(u float64, n int) int { return min(int(u*float64(n)), n-1) }

// at is the key's value at a place from 0 to 1: of a list one of equal parts, of a range any value, to six digits.
func (k Key) at(u float64) string {
	switch {
	case !k.Range:
		return k.Values[part(u, len(k.Values))]
	case k.Whole:
		return k.text(k.From + float64(part(u, int(k.To-k.From)+1)))
	}
	return k.text(k.From + u*(k.To-k.From))
}

// text writes a value of a range as one writes it in a scenario.
func (k Key) text(v float64) string {
	const digits = 6
	s := strconv.FormatFloat(v, 'g', digits, 64)
	if math.Abs(v) >= 1e-4 || v == 0 {
		rounded, _ := strconv.ParseFloat(s, 64) // of our own text
		s = strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	if k.Unit == "" {
		return s
	}
	return s + " " + k.Unit
}

// grid takes count values evenly from the range.
func (k Key) grid(count int) []string {
	var values []string
	for i := range count {
		v := k.From + (k.To-k.From)*float64(i)/float64(count-1)
		if k.Whole {
			v = math.Round(v)
		}
		values = append(values, k.text(v))
	}
	return values
}
