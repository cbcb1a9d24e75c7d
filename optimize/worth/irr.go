package worth

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// IRR is the internal rate of return: the discount rate at which flows are worth nothing. There is one, none or several.
type IRR struct {
	Roots  []float64 // all rates above -100 %, rising
	IsRate bool      // there is one root, and the flows are worth less at higher rates: it is a return
	Why    string    // why there is none; empty where IsRate
}

// Rate is the return; NaN where there is none to give.
func (r IRR) Rate() float64 {
	if !r.IsRate {
		return math.NaN()
	}
	return r.Roots[0]
}

// InternalRate finds all rates at which flows in years 0, 1, ... are worth nothing. Where several are, none is chosen.
func InternalRate(flows []float64) IRR {
	f := slices.Clone(flows)
	small := 1e-13 * largest(f)
	for i, x := range f {
		if math.Abs(x) <= small {
			f[i] = 0
		}
	}
	plus, minus := slices.ContainsFunc(f, func(x float64) bool { return x > 0 }), slices.ContainsFunc(f, func(x float64) bool { return x < 0 })
	switch {
	case !plus && !minus:
		return IRR{Why: "there is no flow"}
	case !minus:
		return IRR{Why: "nothing is put in"}
	case !plus:
		return IRR{Why: "nothing comes back"}
	}
	r := IRR{Roots: rates(f)}
	switch n := len(r.Roots); {
	case n == 0:
		r.Why = "at no rate are the flows worth nothing"
	case n > 1:
		var all []string
		for _, root := range r.Roots {
			all = append(all, fmt.Sprintf("%.4g %%", 100*root))
		}
		r.Why = fmt.Sprintf("the flows change sign more than once and are worth nothing at %d rates: %s", n, strings.Join(all, ", "))
	default:
		near := 1e-4 * (1 + r.Roots[0])
		below, above := NPV(r.Roots[0]-near, f), NPV(r.Roots[0]+near, f)
		switch {
		case below > 0 && above < 0:
			r.IsRate = true
		case below < 0 && above > 0:
			r.Why = fmt.Sprintf("money comes first and goes later: %.4g %% is a rate paid, not a return", 100*r.Roots[0])
		default:
			r.Why = fmt.Sprintf("the flows' worth touches nothing at %.4g %% and does not cross it", 100*r.Roots[0])
		}
	}
	return r
}

// rates are all r > -1 with sum f_t/(1+r)^t = 0. Rates from 0 up are the roots of sum f_t x^t at x = 1/(1+r) in (0, 1], those below
// are the roots of the mirrored sum at y = 1+r in (0, 1).
func rates(f []float64) []float64 {
	some := func(x float64) bool { return x != 0 }
	f = f[slices.IndexFunc(f, some):]
	for f[len(f)-1] == 0 {
		f = f[:len(f)-1]
	}
	var out []float64
	for _, x := range unitRoots(f) {
		out = append(out, 1/x-1)
	}
	back := slices.Clone(f)
	slices.Reverse(back)
	for _, y := range unitRoots(back) {
		out = append(out, y-1)
	}
	slices.Sort(out)
	// A root at the seam of the two, r = 0, is found from both sides.
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(a-b) < sameRoot*(1+math.Abs(a)) })
}

// unitRoots are the roots in [0, 1] of a polynomial with coefficients c[0] + c[1] x + ... By Descartes' rule in Bernstein form: the
// number of sign changes of the coefficients bounds the number of roots of an interval, and is it where it is 0 or 1; else the
// interval is halved (de Casteljau). Neither end coefficient may be 0.
func unitRoots(c []float64) []float64 {
	n := len(c) - 1
	// b_j = sum_i (j over i)/(n over i) c_i
	b := make([]float64, n+1)
	for j := range b {
		ratio := 1.0
		for i := range j + 1 {
			b[j] += ratio * c[i]
			ratio *= float64(j-i) / math.Max(1, float64(n-i))
		}
	}
	var out []float64
	bernstein(b, 0, 1, 1e-14*largest(b), &out)
	if math.Abs(b[n]) <= 1e-13*largest(c) {
		out = append(out, 1)
	}
	return out
}

// sameRoot is how near two roots are told as one, of 1 + the rate.
const sameRoot = 1e-6

// leastWidth of an interval that is still halved.
const leastWidth = 1e-10

func bernstein(b []float64, lo, hi, small float64, out *[]float64) {
	switch changes := signChanges(b, small); {
	case largest(b) <= small:
		*out = append(*out, (lo+hi)/2)
		return
	case changes == 0:
		return
	case changes == 1 && b[0]*b[len(b)-1] < 0:
		*out = append(*out, bisect(b, lo, hi))
		return
	case hi-lo < leastWidth:
		*out = append(*out, (lo+hi)/2)
		return
	}
	left, right := halves(b)
	mid := (lo + hi) / 2
	bernstein(left, lo, mid, small, out)
	if math.Abs(right[0]) <= small {
		*out = append(*out, mid)
	}
	bernstein(right, mid, hi, small, out)
}

func signChanges(b []float64, small float64) int {
	n, last := 0, 0.0
	for _, x := range b {
		if math.Abs(x) <= small {
			continue
		}
		if last*x < 0 {
			n++
		}
		last = math.Copysign(1, x)
	}
	return n
}

// halves are the Bernstein coefficients of the two halves of an interval.
func halves(b []float64) (left, right []float64) {
	n := len(b)
	left, right = make([]float64, n), slices.Clone(b)
	for k := range n {
		left[k] = right[0]
		for i := 0; i < n-1-k; i++ {
			right[i] = (right[i] + right[i+1]) / 2
		}
	}
	return left, right
}

// bisect finds the one root between values of opposite sign.
func bisect(b []float64, lo, hi float64) float64 {
	sign := math.Copysign(1, b[0])
	from, to := 0.0, 1.0
	for range 60 {
		mid := (from + to) / 2
		if v := value(b, mid); v*sign > 0 {
			from = mid
		} else {
			to = mid
		}
	}
	return lo + (hi-lo)*(from+to)/2
}

// value is a Bernstein polynomial by de Casteljau.
func value(b []float64, x float64) float64 {
	v := slices.Clone(b)
	for k := len(v) - 1; k > 0; k-- {
		for i := range k {
			v[i] += x * (v[i+1] - v[i])
		}
	}
	return v[0]
}
