package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// sampleCompares are drawn by hand formulas: no figure here is a result.
func sampleCompares() map[string]Compare {
	line := func(i int, most float64) Line {
		l := Line{Name: fmt.Sprintf("plant %d", i+1), Note: "costs 212\u202f935 EUR/a; best 63 m³", MarkM3: 40 + 4*float64(i)}
		for v := 0.0; v <= 120; v += 5 {
			l.VolumesM3, l.Savings = append(l.VolumesM3, v), append(l.Savings, most*(1-math.Exp(-v/50)))
		}
		return l
	}
	make := func(n int, spread float64) Compare {
		c := Compare{Title: "The tank that pays has 63 m³ as it is, and 58 to 71 m³ otherwise", Subtitle: "made up", Currency: "EUR",
			SavingsName: "Savings against the same plant without a store", MarkName: "the tank that pays"}
		for i := range n {
			c.Lines = append(c.Lines, line(i, 40000-spread*float64(i)))
		}
		return c
	}
	apart := make(5, 4000)
	apart.Lines[1].Name = "two shifts instead of three, with the dryers by night and a name that is far too long"
	short := make(2, 3000)
	short.Lines[1].VolumesM3, short.Lines[1].Savings, short.Lines[1].MarkM3 = []float64{0, 60}, []float64{0, -4000}, 0
	return map[string]Compare{"compare": apart, "compare-tight": make(8, 200), "compare-many": make(20, 900), "compare-short": short, "compare-one": make(1, 0)}
}

// The places that names take: in order, far enough apart, inside, and no nearer to their lines' ends to be had.
func TestApart(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(8, 1))
	for range 300 {
		n := 1 + rng.IntN(8)
		want := make([]vg.Length, n)
		for i := range want {
			want[i] = vg.Length(40 * rng.NormFloat64())
		}
		slices.SortFunc(want, func(a, b vg.Length) int { return int(math.Copysign(1, float64(b-a))) })
		const gap, lo, hi = 30, -300, 300
		got := apart(slices.Clone(want), gap, lo, hi)
		off := 0.0
		for i, y := range got {
			off += math.Pow(float64(y-want[i]), 2)
			if y < lo-1e-9 || y > hi+1e-9 || i > 0 && got[i-1]-y < gap-1e-9 {
				t.Fatalf("%v lie at %v: too near to each other, or outside", want, got)
			}
		}
		// No small move of a run of names that keeps all apart brings them nearer.
		for from := range n {
			for to := from + 1; to <= n; to++ {
				for _, by := range []vg.Length{-0.5, 0.5} {
					moved, sum, ok := slices.Clone(got), 0.0, true
					for i := from; i < to; i++ {
						moved[i] += by
					}
					for i, y := range moved {
						sum += math.Pow(float64(y-want[i]), 2)
						ok = ok && y >= lo && y <= hi && (i == 0 || moved[i-1]-y >= gap)
					}
					if ok && sum < off-1e-6 {
						t.Fatalf("%v lie at %v, but %v is nearer", want, got, moved)
					}
				}
			}
		}
	}
	if got := apart([]vg.Length{5, 5, 5}, 30, 0, 20); got[0] > 20+1e-9 || got[2] < -1e-9 || got[0]-got[1] < 10-1e-9 {
		t.Errorf("without room for all: %v, want them evenly from 20 to 0", got)
	}
}

func TestCompareCheck(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(*Compare)
		want   string
	}{
		"no lines":      {func(c *Compare) { c.Lines = nil }, "lines: there are none"},
		"no currency":   {func(c *Compare) { c.Currency = "" }, "currency"},
		"one point":     {func(c *Compare) { c.Lines[0].VolumesM3 = []float64{0} }, "has 1 volumes"},
		"lengths":       {func(c *Compare) { c.Lines[0].Savings = c.Lines[0].Savings[1:] }, "has 24 values; want 25"},
		"not a number":  {func(c *Compare) { c.Lines[0].Savings[3] = math.NaN() }, "NaN"},
		"mark off":      {func(c *Compare) { c.Lines[0].MarkM3 = 130 }, "its mark is at 130 m³; want 0 to 120"},
		"falling":       {func(c *Compare) { c.Lines[0].VolumesM3[2] = 1 }, "rising"},
		"nothing wrong": {func(*Compare) {}, ""},
	} {
		fig := sampleCompares()["compare"]
		c.change(&fig)
		err := fig.Check()
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

// Lines past the named ones are listed under the picture, none is lost.
func TestCompareListsTheRest(t *testing.T) {
	t.Parallel()
	svg := string(mustSVG(t, sampleCompares()["compare-many"]))
	for i := range 20 {
		if !strings.Contains(svg, fmt.Sprintf("plant %d", i+1)) {
			t.Errorf("plant %d is not named", i+1)
		}
	}
}
