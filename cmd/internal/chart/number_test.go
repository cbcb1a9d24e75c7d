package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

const iso80000 = "ISO 80000-1:2009, 7.3.1: groups of three from the decimal sign, a small space, a point as decimal sign"

func TestThousands(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		v           float64
		decimals    int
		want, plain string
		src         string
	}{
		{0, 0, "0", "0", iso80000},
		{999, 0, "999", "999", iso80000},
		{1000, 0, "1\u202f000", "1 000", iso80000},
		{12500, 0, "12\u202f500", "12 500", iso80000},
		{1234567.891, 2, "1\u202f234\u202f567.89", "1 234 567.89", iso80000},
		{-1250.5, 1, "\u22121\u202f250.5", "-1 250.5", iso80000},
		{-0.2, 0, "0", "0", "by hand: nothing printed is below zero, so no sign"},
		{999.6, 0, "1\u202f000", "1 000", "by hand: rounding comes before grouping"},
		{3, -2, "3", "3", "by hand: fewer than no decimals is none"},
		{math.NaN(), 1, "NaN", "NaN", "doc comment"},
		{math.Inf(-1), 1, "\u2212∞", "-Inf", "doc comment"},
	} {
		if got := Thousands(tt.v, tt.decimals); got != tt.want {
			t.Errorf("Thousands(%g, %d) is %q, want %q (%s)", tt.v, tt.decimals, got, tt.want, tt.src)
		}
		if got := ThousandsPlain(tt.v, tt.decimals); got != tt.plain {
			t.Errorf("ThousandsPlain(%g, %d) is %q, want %q (%s)", tt.v, tt.decimals, got, tt.plain, tt.src)
		}
	}
}

func TestTicks(t *testing.T) {
	t.Parallel()
	const rule = "by hand: the finest step of 1, 2, 2.5, 5 times a power of ten that needs no more intervals"
	for _, tt := range []struct {
		lo, hi float64
		atMost int
		want   []float64
		src    string
	}{
		{0, 120, 12, []float64{0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120}, rule},
		{0, 120, 6, []float64{0, 20, 40, 60, 80, 100, 120}, rule},
		{0, 17547, 4, []float64{0, 5000, 10000, 15000, 20000}, rule},
		{0, 9.9, 4, []float64{0, 2.5, 5, 7.5, 10}, rule},
		{0, 0.3, 3, []float64{0, 0.1, 0.2, 0.3}, rule},
		{-2840, 400, 7, []float64{-3000, -2500, -2000, -1500, -1000, -500, 0, 500}, rule},
		{-1, 1, 1, []float64{-1, 0, 1}, "by hand: zero is a tick, so two intervals are the fewest over it"},
		{5, 5, 5, []float64{0, 1, 2, 3, 4, 5}, "by hand: stretched to zero"},
		{-5, -5, 1, []float64{-5, 0}, "by hand: stretched to zero"},
		{0, 0, 2, []float64{0, 0.5, 1}, "by hand: stretched to 0..1"},
		{math.NaN(), 1, 5, nil, "doc comment"},
		{2, 1, 5, nil, "doc comment"},
		{0, math.Inf(1), 5, nil, "doc comment"},
	} {
		if got := Ticks(tt.lo, tt.hi, tt.atMost); !slices.Equal(got, tt.want) {
			t.Errorf("Ticks(%g, %g, %d) is %v, want %v (%s)", tt.lo, tt.hi, tt.atMost, got, tt.want, tt.src)
		}
	}
}

// TestTicksHold checks the promise of the doc comment over many ranges.
func TestTicksHold(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	for range 5000 {
		a, b := rng.NormFloat64()*math.Pow(10, rng.Float64()*16-6), rng.NormFloat64()*math.Pow(10, rng.Float64()*16-6)
		lo, hi, atMost := min(a, b), max(a, b), 2+rng.IntN(10)
		ticks := Ticks(lo, hi, atMost)
		if len(ticks) < 2 || len(ticks) > atMost+1 || ticks[0] > lo+1e-9*math.Abs(lo) || ticks[len(ticks)-1] < hi-1e-9*math.Abs(hi) {
			t.Fatalf("Ticks(%g, %g, %d) is %v: want 2 to %d over the range", lo, hi, atMost, ticks, atMost+1)
		}
		step := ticks[1] - ticks[0]
		mantissa := step / math.Pow(10, math.Floor(math.Log10(step*(1+1e-9))))
		round := false
		for _, m := range []float64{1, 2, 2.5, 5} {
			round = round || math.Abs(mantissa-m) < 1e-6
		}
		if !round {
			t.Fatalf("Ticks(%g, %g, %d): step %g is not round", lo, hi, atMost, step)
		}
	}
}

func TestAmount(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		v         float64
		want, src string
	}{
		{12300, "12\u202f300", "doc comment"}, {85.2, "85", "doc comment"}, {7.42, "7.4", "doc comment"},
		{5, "5", "doc comment"}, {0.618, "0.62", "doc comment"}, {40, "40", "by hand"}, {0, "0", "by hand"},
		{19.97, "20", "by hand: rounds up"}, {0.9999, "1", "by hand: rounds up"},
	} {
		if got := amount(tt.v); got != tt.want {
			t.Errorf("amount(%g) is %q, want %q (%s)", tt.v, got, tt.want, tt.src)
		}
	}
}

func ExampleThousands() {
	fmt.Println(Thousands(12500, 0), "EUR per year")
	// Output: 12 500 EUR per year
}

func ExampleTicks() {
	fmt.Println(Ticks(0, 17547, 4))
	// Output: [0 5000 10000 15000 20000]
}
