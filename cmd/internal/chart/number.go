package chart

import (
	"math"
	"strconv"
	"strings"
)

const (
	narrowSpace = "\u202f" // narrow no-break space: never torn apart at a line's end
	trueMinus   = "\u2212"
)

// Thousands prints v with the given number of decimals and groups of three digits
// marked by a narrow no-break space (U+202F), the sign a true minus (U+2212):
// 12 500, −1 250.5. NaN and infinities print as "NaN", "∞" and "−∞".
func Thousands(v float64, decimals int) string {
	s := grouped(v, decimals, narrowSpace)
	s = strings.Replace(s, "Inf", "∞", 1)
	return strings.Replace(s, "-", trueMinus, 1)
}

// ThousandsPlain is [Thousands] in ASCII: a plain space between groups and a hyphen
// for minus, for terminals and tables of text.
func ThousandsPlain(v float64, decimals int) string {
	return grouped(v, decimals, " ")
}

func grouped(v float64, decimals int, mark string) string {
	if math.IsNaN(v) {
		return "NaN"
	}
	if math.IsInf(v, 0) {
		return strings.TrimPrefix(strconv.FormatFloat(v, 'f', 0, 64), "+")
	}
	digits := strconv.FormatFloat(math.Abs(v), 'f', max(decimals, 0), 64)
	whole, frac, _ := strings.Cut(digits, ".")
	var b strings.Builder
	if v < 0 && strings.Trim(digits, "0.") != "" { // no "-0"
		b.WriteByte('-')
	}
	head := len(whole) % 3
	b.WriteString(whole[:head])
	for i := head; i < len(whole); i += 3 {
		if i > 0 {
			b.WriteString(mark)
		}
		b.WriteString(whole[i : i+3])
	}
	if frac != "" {
		b.WriteString("." + frac)
	}
	return b.String()
}

// Ticks gives round values, in steps of 1, 2, 2.5 or 5 times a power of ten, that
// reach over lo..hi: the first is lo or less, the last hi or more. There are at most
// atMost+1 of them, where atMost counts as 1 or more, and as 2 or more when zero lies
// inside. When lo equals hi the range is stretched to zero, or to 0..1 if both are
// zero. It is nil for NaN, infinities, values beyond ±1e15 and lo above hi.
func Ticks(lo, hi float64, atMost int) []float64 {
	if !(math.Abs(lo) <= limit && math.Abs(hi) <= limit && lo <= hi) {
		return nil
	}
	if lo == hi {
		lo, hi = min(lo, 0), max(hi, 0)
		if lo == hi {
			hi = 1
		}
	}
	atMost = max(atMost, 1)
	if lo < 0 && hi > 0 {
		atMost = max(atMost, 2) // zero is a tick of every step
	}
	// Two powers below the exact step is surely too fine, so the walk only goes up.
	power := int(math.Floor(math.Log10((hi-lo)/float64(atMost)))) - 1
	for ; ; power++ {
		for _, m := range []float64{1, 2, 2.5, 5} {
			first, last := math.Floor(inSteps(lo, m, power)), math.Ceil(inSteps(hi, m, power))
			if last-first > float64(atMost) {
				continue
			}
			return series(first, last, m, power)
		}
	}
}

// limit is the largest size of a value that is drawn; it keeps sums far from overflow.
const limit = 1e15

// inSteps is v in units of m*10^power, with a value within rounding of a whole
// number put on it, so that 0.3 is three steps of 0.1 and not 2.9999.
func inSteps(v, m float64, power int) float64 {
	x := v / m / math.Pow10(power)
	if r := math.Round(x); math.Abs(x-r) < 1e-9*math.Abs(r) {
		return r
	}
	return x
}

// series multiplies before it divides, so that a tick prints as the short decimal it is.
func series(first, last, m float64, power int) []float64 {
	t := make([]float64, 0, int(last-first)+1)
	for k := first; k <= last; k++ {
		if power < 0 {
			t = append(t, k*m/math.Pow10(-power)+0) // +0 turns -0 into 0
		} else {
			t = append(t, k*m*math.Pow10(power)+0)
		}
	}
	return t
}

// tickDecimals is the least number of decimals that shows all ticks exactly.
func tickDecimals(ticks []float64) int {
	d := 0
	for _, t := range ticks {
		s := strconv.FormatFloat(math.Abs(t), 'f', -1, 64)
		if _, frac, found := strings.Cut(s, "."); found {
			d = max(d, len(frac))
		}
	}
	return d
}

// tickLabels prints all ticks of an axis with the same number of decimals.
func tickLabels(ticks []float64) []string {
	labels := make([]string, len(ticks))
	for i, t := range ticks {
		labels[i] = Thousands(t, tickDecimals(ticks))
	}
	return labels
}

// amount prints v with two or three digits and no idle zeros: 12 300, 85, 7.4, 5, 0.62.
func amount(v float64) string {
	return Thousands(v, amountDecimals(v))
}

func amountDecimals(v float64) int {
	most := 4
	switch a := math.Abs(v); {
	case a >= 19.95:
		most = 0
	case a >= 0.9995:
		most = 1
	case a >= 0.0995:
		most = 2
	}
	digits := strings.TrimRight(strconv.FormatFloat(math.Abs(v), 'f', most, 64), "0")
	_, frac, _ := strings.Cut(digits, ".")
	if most == 0 {
		return 0
	}
	return len(frac)
}
