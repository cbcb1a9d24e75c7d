package report

import (
	"math"
	"strconv"

	"noonkeep/cmd/internal/chart"
)

// Whole prints a number without decimals, thousands apart: "43 120". A value that
// rounds to nothing is "0", never "-0".
func Whole(v float64) string { return spaced(v, 0) }

// Tenths prints one decimal.
func Tenths(v float64) string { return spaced(v, 1) }

// Share prints a fraction as a percentage with one decimal, without the sign.
func Share(frac float64) string { return Tenths(100 * frac) }

// Tiny prints a residual or a gap: "2.7e-09", and "0" for none. What is mere rounding, under 1e-9, is given as the next
// power of ten, "1e-13": its digits are others on another processor.
func Tiny(v float64) string {
	if v == 0 {
		return "0"
	}
	for limit := 1e-20; limit < 1e-9; limit *= 10 {
		if v > 0 && v <= limit {
			return strconv.FormatFloat(limit, 'e', 0, 64)
		}
	}
	return strconv.FormatFloat(v, 'e', 1, 64)
}

// Volume prints cubic metres as short as they are: "40", "2.5".
func Volume(m3 float64) string {
	return strconv.FormatFloat(math.Round(m3*1000)/1000, 'f', -1, 64)
}

func spaced(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "none"
	}
	return chart.ThousandsPlain(v, decimals)
}
