package desk

import (
	"math"

	"noonkeep/cmd/internal/answer"
)

// roundTop is a round number about twice a value, where a slider ends; of no value it is the fallback.
func roundTop(v, fallback float64) float64 {
	if !(v > 0) {
		return fallback
	}
	step := answer.RoundStep(2 * v / 10)
	return tidy(math.Ceil(2*v/step-1e-9) * step)
}

// tidy drops the dust of a product of round numbers.
func tidy(v float64) float64 { return math.Round(v*1e9) / 1e9 }

// The steps of a slider: not so few that the hand jumps, nor so many that an arrow key does nothing.
const (
	fewSteps  = 60
	mostSteps = 2000
)

// roundStepFor is the widest round step that makes a slider of some sixty places or more on which the value lies; where
// none of up to two thousand does, the finest. It is 1 where there is nothing to slide over.
func roundStepFor(v, top float64) float64 {
	if !(top > 0) || math.IsInf(top, 1) {
		return 1
	}
	step := answer.RoundStep(top / fewSteps)
	if step > top/fewSteps*(1+1e-9) {
		step = nextFiner(step)
	}
	for range 6 { // from sixty to two thousand places there are no more of 1, 2 and 5
		if onStep(v, step) || nextFiner(step) < top/mostSteps {
			break
		}
		step = nextFiner(step)
	}
	return step
}

// nextFiner is the round step below one of 1, 2, 5 and their tenfolds and tenths.
func nextFiner(step float64) float64 {
	return tidyStep(answer.RoundStep(step * 0.4))
}

// tidyStep makes a power of ten's multiple the decimal that it is.
func tidyStep(v float64) float64 {
	digits := math.Pow(10, 2-math.Floor(math.Log10(v)))
	return math.Round(v*digits) / digits
}

func onStep(v, step float64) bool {
	n := v / step
	return math.Abs(n-math.Round(n)) < 1e-6
}
