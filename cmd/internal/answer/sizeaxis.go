package answer

import "math"

// A map's axes have leastSpans to mostSpans steps.
const leastSpans, mostSpans = 24, 60

// roundAxis goes from 0 to end in equal round steps; where none divides end, the last step is shorter.
// Whole wants whole numbers, of an end that has room for them.
func roundAxis(end float64, whole bool) []float64 {
	step := 0.0
	power := math.Pow(10, math.Floor(math.Log10(end/leastSpans)))
search:
	for _, p := range []float64{power, power / 10} {
		for _, digit := range []float64{8, 6, 5, 4, 3, 2.5, 2, 1.5, 1.2, 1} {
			s := digit * p
			if n := end / s; n < leastSpans*(1-1e-9) || n > mostSpans || whole && s != math.Trunc(s) {
				continue
			}
			if step == 0 {
				step = s
			}
			if n := end / s; math.Abs(n-math.Round(n)) < 1e-9 {
				step = s
				break search
			}
		}
	}
	n := int(math.Ceil(end/step - 1e-9))
	axis := make([]float64, n+1)
	for i := range axis {
		axis[i] = min(math.Round(float64(i)*step*1e9)/1e9, end) // 3·0.1 is 0.3
	}
	return axis
}
