package worth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

const (
	checks   = "checks-heat.md 8.2, with the source named there"
	closed   = "closed form, shown"
	textbook = "Ross, Westerfield and Jaffe, Corporate Finance, problem on multiple rates of return (brainmass.com 39308)"
)

func TestInternalRate(t *testing.T) {
	t.Parallel()
	level := func(first, each float64, n int, last float64) []float64 {
		f := []float64{first}
		for range n {
			f = append(f, each)
		}
		f[n] += last
		return f
	}
	for _, c := range []struct {
		name   string
		flows  []float64
		want   []float64
		isRate bool
		tol    float64
		why    string
		src    string
	}{
		{"level", level(-3000, 800, 6, 0), []float64{0.153408}, true, 5e-7, "", checks + " 8.2.1"},
		{"salvage", level(-100e3, 35e3, 5, 20e3), []float64{0.253112}, true, 5e-7, "", checks + " 8.2.2"},
		{"ten years", level(-150e3, 30e3, 10, 0), []float64{0.150984}, true, 5e-7, "", checks + " 8.2.3"},
		{"salvage 2", level(-100e3, 33e3, 5, 21e3), []float64{0.229884}, true, 5e-7, "", checks + " 8.2.4"},
		{"low", level(-150e3, 20e3, 10, 0), []float64{0.056045}, true, 5e-7, "", checks + " 8.2.5"},
		{"masters 10", level(-1000, 200, 10, 0), []float64{0.150984}, true, 5e-7, "", "Masters, Renewable and Efficient Electric Power Systems, ch. 5: just over 15 %; digits computed, checks-heat.md 8.2.6"},
		{"masters 20", level(-1000, 200, 20, 0), []float64{0.194258}, true, 5e-7, "", "Masters, ch. 5: between 19 and 21 %; digits computed, checks-heat.md 8.2.6"},
		{"a page's 26 % is wrong", level(-23e6, 10e6, 10, 0), []float64{0.421914}, true, 5e-7, "", checks + " 8.2.7"},
		{"two", []float64{-100, 230, -132}, []float64{0.1, 0.2}, false, 1e-9,
			"the flows change sign more than once and are worth nothing at 2 rates: 10 %, 20 %", closed + ": (1.1 - x)(1.2 - x)"},
		{"four", []float64{-252, 1431, -3035, 2850, -1000}, []float64{0.25, 1. / 3, 3. / 7, 2. / 3}, false, 1e-6,
			"the flows change sign more than once and are worth nothing at 4 rates: 25 %, 33.33 %, 42.86 %, 66.67 %", textbook},
		{"oil pump", []float64{-1600, 10000, -10000}, []float64{0.25, 4}, false, 1e-9,
			"the flows change sign more than once and are worth nothing at 2 rates: 25 %, 400 %", closed + ": 10000 x^2 - 10000 x + 1600 = 0; the pump that gets the oil out a year sooner, after Lorie and Savage 1955 and Solomon 1956, figures from memory"},
		{"touches", []float64{-100, 220, -121}, []float64{0.1}, false, 1e-6, "the flows' worth touches nothing at 10 % and does not cross it", closed + ": -(10 - 11 x)^2"},
		{"none", []float64{100, -180, 100}, nil, false, 0, "at no rate are the flows worth nothing", closed + ": the discriminant is 32400 - 40000"},
		{"none either", []float64{-100, 100, -100}, nil, false, 0, "at no rate are the flows worth nothing", closed + ": the discriminant is 10000 - 40000"},
		{"loan taken", []float64{100, -110}, []float64{0.1}, false, 1e-12, "money comes first and goes later: 10 % is a rate paid, not a return", closed},
		{"loses", []float64{-100, 40, 40}, []float64{2/(math.Sqrt(11)-1) - 1}, true, 1e-12, "", closed + ": 40 x + 40 x^2 = 100"},
		{"half is lost", []float64{-100, 50}, []float64{-0.5}, true, 1e-12, "", closed},
		{"nothing won", []float64{-100, 60, 40}, []float64{0}, true, 1e-9, "", closed + ": the sum is nothing"},
		{"late", []float64{0, 0, -100, 121}, []float64{0.21}, true, 1e-9, "", closed},
		{"gift", []float64{0, 10, 10}, nil, false, 0, "nothing is put in", closed},
		{"pit", []float64{-5, -5}, nil, false, 0, "nothing comes back", closed},
		{"nothing", []float64{0, 0}, nil, false, 0, "there is no flow", closed},
		{"perpetual", level(-100, 1e4, 40, 0), []float64{100}, true, 1e-9, "", closed + ": 10000/100 for ever, within (1/101)^40"},
	} {
		got := InternalRate(c.flows)
		if got.IsRate != c.isRate || got.Why != c.why || len(got.Roots) != len(c.want) {
			t.Errorf("%s: %+v; want %v, %v, %q (%s)", c.name, got, c.want, c.isRate, c.why, c.src)
			continue
		}
		for i, w := range c.want {
			if math.Abs(got.Roots[i]-w) > c.tol {
				t.Errorf("%s: root %d is %.9g, want %.9g (%s)", c.name, i+1, got.Roots[i], w, c.src)
			}
		}
	}
}

// Flows made of known rates give just these back: product of (1 - (1+r) x), which is nothing at x = 1/(1+r).
func TestRatesAreFound(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(11, 11))
	for i := range 200 {
		var want []float64
		for len(want) < 1+r.IntN(5) {
			rate := math.Round((-0.6+2.6*r.Float64())*50) / 50 // apart by 2 % at least
			if !slices.Contains(want, rate) {
				want = append(want, rate)
			}
		}
		slices.Sort(want)
		flows := []float64{-1000}
		multiply := func(a, b float64) { // by a + b x
			next := make([]float64, len(flows)+1)
			for k, f := range flows {
				next[k] += a * f
				next[k+1] += b * f
			}
			flows = next
		}
		for _, rate := range want {
			multiply(1, -(1 + rate))
		}
		if i%2 == 0 { // 1 + x^2 has no rate
			multiply(1, 0)
			next := make([]float64, len(flows)+2)
			for k, f := range flows {
				next[k] += f
				next[k+2] += f
			}
			flows = next
		}
		got := InternalRate(flows)
		if len(got.Roots) != len(want) {
			t.Fatalf("case %d: rates %v, want %v: %v", i, got.Roots, want, flows)
		}
		for k := range want {
			if math.Abs(got.Roots[k]-want[k]) > 1e-6 {
				t.Errorf("case %d: rate %g, want %g of %v", i, got.Roots[k], want[k], want)
			}
		}
	}
}

func ExampleInternalRate() {
	fmt.Printf("%.2f %%\n", 100*InternalRate([]float64{-1000, 600, 600}).Rate())
	fmt.Println(InternalRate([]float64{-100, 230, -132}).Why)
	// Output:
	// 13.07 %
	// the flows change sign more than once and are worth nothing at 2 rates: 10 %, 20 %
}
