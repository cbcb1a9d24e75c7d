package worth

import "math"

// Recovery is the share of a sum that each of the years pays back, with the interest on what is left.
// Years need not be whole.
func Recovery(rateFrac, years float64) float64 {
	if rateFrac == 0 {
		return 1 / years
	}
	// Uniform capital recovery factor i(1+i)^n/((1+i)^n - 1), Short, Packey and Holt, NREL/TP-462-5173 (1995).
	return rateFrac / -math.Expm1(-years*math.Log1p(rateFrac))
}

// PresentWorth is what payments at the ends of years 1 to n are worth at the start, the first of them 1 and each next one
// greater by the rise: PWF of Duffie and Beckman, as in Kalogirou, eq. 12.16 and 12.17; UPV* of NIST Handbook 135 times 1/(1+rise).
func PresentWorth(years int, riseFrac, discountFrac float64) float64 {
	sum, worth := 0.0, 1/(1+discountFrac)
	for range years {
		sum += worth
		worth *= (1 + riseFrac) / (1 + discountFrac)
	}
	return sum
}

// discounted is what a sum at a year's end is worth at the start.
func discounted(rateFrac float64, year int) float64 { return math.Pow(1+rateFrac, -float64(year)) }

// NPV is the worth at the start of flows in years 0, 1, ...
func NPV(rateFrac float64, flows []float64) float64 {
	sum := 0.0
	for t, x := range flows {
		sum += x * discounted(rateFrac, t)
	}
	return sum
}

// Payback is when the flows have paid back for good: the years after which their sum, straight within a year, stays at
// nothing or above. It is 0 where nothing is put in, and +Inf where the end is below nothing.
func Payback(flows []float64) float64 {
	sums := make([]float64, len(flows))
	total := 0.0
	for t, x := range flows {
		total += x
		sums[t] = total
	}
	t := len(sums) - 1
	small := 1e-12 * largest(flows)
	if t < 0 || sums[t] < -small {
		return math.Inf(1)
	}
	for t > 0 && sums[t-1] >= -small {
		t--
	}
	if t == 0 {
		return 0
	}
	return float64(t) - math.Max(sums[t], 0)/(math.Max(sums[t], 0)-sums[t-1])
}

func largest(v []float64) float64 {
	most := 0.0
	for _, x := range v {
		most = math.Max(most, math.Abs(x))
	}
	return most
}
