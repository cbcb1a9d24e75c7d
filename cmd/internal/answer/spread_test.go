package answer

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestQuantile(t *testing.T) {
	t.Parallel()
	to := func(n int) (v []float64) {
		for i := range n {
			v = append(v, float64(i+1))
		}
		return v
	}
	for _, tt := range []struct {
		name string
		v    []float64
		p    float64
		want float64
		src  string
	}{
		{"k-th of 99 is k %", to(99), 0.10, 10, "R documentation of a type-6 quantile: with 99 observations the k % quantile is the k-th smallest"},
		{"k-th of 99 is k %", to(99), 0.37, 37, "the same"},
		{"nine years", to(9), 0.1, 1, "Hyndman and Fan 1996, definition 6: p(k) = k/(n+1)"},
		{"19 years", to(19), 0.1, 2, "the same"},
		{"straight between", to(10), 0.1, 1.1, "the same, by hand: 0.1·11 = 1.1"},
		{"straight between", to(30), 0.9, 27.9, "by hand: 0.9·31 = 27.9"},
		{"median of even", to(4), 0.5, 2.5, "the usual median"},
		{"below the first", to(4), 0.1, 1, "the first, there is no other"},
		{"above the last", to(4), 0.9, 4, "the last"},
		{"one", []float64{7}, 0.5, 7, "by hand"},
	} {
		if got := quantile(tt.v, tt.p); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%s, p %g of %d: %g, want %g (%s)", tt.name, tt.p, len(tt.v), got, tt.want, tt.src)
		}
	}
}

func TestNormalZ(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ percent, want float64 }{{50, 0}, {75, -0.6745}, {84, -0.9945}, {90, -1.2816}, {95, -1.6449}, {99, -2.3263}} {
		if got := normalZ(exceeded(tt.percent)); math.Abs(got-tt.want) > 5e-5+1e-12 {
			t.Errorf("P%g: mean %+.5f sigma, want %+.4f (checks-sun.md 6.7)", tt.percent, got, tt.want)
		}
	}
}

func TestCautious(t *testing.T) {
	t.Parallel()
	share := func(v float64) *float64 { return &v }
	for _, tt := range []struct {
		name            string
		between, unsure float64
		years           int
		wantOne, wantOf float64
		src             string
	}{
		{"8 % in all", 0.08, 0, 0, 0.89748, 0, "checks-sun.md 6.7: mean 1, sigma 8 %"},
		{"8 % in all, of the data", 0, 0.08, 10, 0.89748, 0.89748, "the same: what data are off does not fall with the years"},
		{"5, 4 and 3 %", 0.05, 0.05, 1, 1 - 1.28155*0.070711, 1 - 1.28155*0.070711, "checks-sun.md 6.7: 5, 4, 3 % give 7.0711 %; 4 and 3 % are 5 %"},
		{"ten years", 0.06, 0.05, 10, 1 - 1.28155*math.Sqrt(0.0025+0.0036), 0.931464, "checks-sun.md 6.7: 6 % yearly, 5 % systematic"},
	} {
		c := cautiousOf(Spread{Mean: 1, CoeffVar: share(tt.between)}, tt.unsure, tt.years)
		if math.Abs(c.OneYear-tt.wantOne) > 1e-5 || math.Abs(c.MeanOfYears-tt.wantOf) > 1e-5 {
			t.Errorf("%s: %.6f and %.6f, want %.6f and %.6f (%s)", tt.name, c.OneYear, c.MeanOfYears, tt.wantOne, tt.wantOf, tt.src)
		}
	}
}

// P50 and P90 of many draws of a known distribution are that distribution's, by both estimators where it is normal.
func TestSpreadOfKnownDistributions(t *testing.T) {
	t.Parallel()
	const n = 20000
	for _, tt := range []struct {
		name          string
		draw          func(r *rand.Rand) float64
		p10, p50, p90 float64
		normal        bool
		src           string
	}{
		{"normal", func(r *rand.Rand) float64 { return 100 + 6*r.NormFloat64() }, 107.689, 100, 92.311, true, "mean ± 1.2816 sigma"},
		{"uniform", func(r *rand.Rand) float64 { return r.Float64() }, 0.9, 0.5, 0.1, false, "closed form"},
		{"exponential", func(r *rand.Rand) float64 { return r.ExpFloat64() }, math.Log(10), math.Ln2, -math.Log(0.9), false, "closed form: -ln of what is exceeded"},
	} {
		r := rand.New(rand.NewPCG(5, 8))
		v := make([]float64, n)
		for i := range v {
			v[i] = tt.draw(r)
		}
		s := spreadOf(v)
		tol := 4 * s.StdDev * 1.8 / math.Sqrt(n) // four times a quantile's standard error, at most some 1.8 sigma/sqrt(n) here
		for _, q := range []struct {
			what      string
			got, want float64
		}{{"P10", *s.P10, tt.p10}, {"P50", *s.P50, tt.p50}, {"P90", *s.P90, tt.p90}} {
			if math.Abs(q.got-q.want) > tol {
				t.Errorf("%s: %s %.5f, want %.5f ± %.5f (%s)", tt.name, q.what, q.got, q.want, tol, tt.src)
			}
		}
		if off := math.Abs(*s.P90Normal - tt.p90); (off < tol) != tt.normal {
			t.Errorf("%s: P90 by a normal distribution %.5f, of the distribution %.5f", tt.name, *s.P90Normal, tt.p90)
		}
	}
}

// Of samples of 10 years, the next year exceeds P90 by definition 6 in 90 % of cases, whatever the distribution.
func TestP90Kept(t *testing.T) {
	t.Parallel()
	for _, years := range []int{19, 29} { // 0.1·(n+1) is whole: there it is exact
		r := rand.New(rand.NewPCG(11, uint64(years)))
		const trials = 20000
		kept := 0.0
		v := make([]float64, years)
		for range trials {
			for i := range v {
				v[i] = r.ExpFloat64()
			}
			if r.ExpFloat64() > *spreadOf(v).P90 {
				kept++
			}
		}
		if got := kept / trials; math.Abs(got-0.9) > 4*math.Sqrt(0.09/trials) {
			t.Errorf("%d years: the next exceeds P90 in %.4f of cases, want 0.9 (E F(X(k)) = k/(n+1))", years, got)
		}
	}
}

func TestSpread(t *testing.T) {
	t.Parallel()
	v := []float64{12, 10, 11, 15, 9, 14, 13, 8, 7, 6}
	s := spreadOf(v)
	// By hand: the numbers 6 to 15; sum of squares about 10.5 is 82.5.
	for _, q := range []struct {
		what      string
		got, want float64
	}{{"mean", s.Mean, 10.5}, {"standard deviation", s.StdDev, math.Sqrt(82.5 / 9)}, {"error of the mean", s.StdErr, math.Sqrt(82.5 / 90)},
		{"least", s.Least, 6}, {"most", s.Most, 15}, {"P90", *s.P90, 6.1}, {"P50", *s.P50, 10.5}, {"P10", *s.P10, 14.9},
		{"share", *s.CoeffVar, math.Sqrt(82.5/9) / 10.5}, {"low", s.Low(), 6.1}, {"high", s.High(), 14.9}} {
		if math.Abs(q.got-q.want) > 1e-12 {
			t.Errorf("%s: %g, want %g (by hand)", q.what, q.got, q.want)
		}
	}
	slices.Sort(v)
	a, _ := json.Marshal(s)
	b, _ := json.Marshal(spreadOf(v))
	if string(a) != string(b) {
		t.Errorf("the order of the years changes the spread: %s and %s", a, b)
	}
	nine := spreadOf(v[:9])
	if nine.P90 != nil || nine.P10 != nil || nine.P90Normal == nil || nine.Low() != *nine.P90Normal {
		t.Errorf("of nine years: %+v; want no quantile P90, and the normal one", nine)
	}
	two := spreadOf(v[:2])
	if two.P90Normal != nil || two.Low() != v[0] || two.High() != v[1] {
		t.Errorf("of two years: %+v; want no P90 at all", two)
	}
	same := spreadOf([]float64{0.1, 0.1, 0.1})
	if same.StdDev != 0 || same.Least != same.Most {
		t.Errorf("of three equal years: %+v; want no spread", same)
	}
}
