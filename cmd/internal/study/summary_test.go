package study

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"noonkeep/cmd/internal/study/table"
)

func TestQuantiles(t *testing.T) {
	t.Parallel()
	const source = "by hand, Hyndman and Fan 1996, definition 6: the k-th of n stands at k/(n+1)"
	tens := func(n int) (v []float64) {
		for i := range n {
			v = append(v, 10*float64(i+1))
		}
		return v
	}
	for _, tt := range []struct {
		values []float64
		p      float64
		want   float64
		why    string
	}{
		{tens(10), 0.1, 11, "0.1·11 = 1.1: 10 + 0.1·10"},
		{tens(10), 0.5, 55, "0.5·11 = 5.5"},
		{tens(10), 0.9, 99, "0.9·11 = 9.9: 90 + 0.9·10"},
		{tens(19), 0.1, 20, "0.1·20 = 2: the second"},
		{tens(19), 0.9, 180, "0.9·20 = 18"},
		{tens(4), 0.5, 25, "0.5·5 = 2.5"},
		{tens(4), 0.1, 10, "0.1·5 = 0.5: before the first"},
		{tens(4), 0.9, 40, "0.9·5 = 4.5: after the last"},
		{[]float64{7}, 0.5, 7, "one value"},
		{[]float64{3, math.Inf(1), math.Inf(1)}, 0.5, math.Inf(1), "0.5·4 = 2: the second, without end"},
		{[]float64{3, 5, math.Inf(1)}, 0.5, 5, "0.5·4 = 2: exactly the second"},
	} {
		if got := quantile(tt.values, tt.p); !(math.Abs(got-tt.want) < 1e-12 || got == tt.want) {
			t.Errorf("p %g of %v: %g; want %g (%s; %s)", tt.p, tt.values, got, tt.want, source, tt.why)
		}
	}
}

// twoPlants is 12 cases of one plant and 8 of another, with a key that moves the savings up in the first and down in the second.
func twoPlants() outline {
	return outline{keys: []string{"fuel", "kind"}, scenarios: []stretch{{"dyehouse", 0, 12}, {"cannery", 12, 8}}}
}

func rowOf(n int64) table.Row {
	r := table.Blank(n)
	r.Weather, r.Currency = fmt.Sprint("seed ", n), "EUR"
	k := float64(n + 1)
	sign := 1.0
	r.Scenario = "dyehouse"
	if n >= 12 {
		k, sign, r.Scenario, r.Currency = float64(n-11), -1, "cannery", "CHF"
	}
	r.Inputs = []string{fmt.Sprintf("%g EUR/kWh", k), []string{"on", "off"}[n&1]}
	r.NoStorageCost, r.BoilersOnlyCost, r.SavingsVsNoStorage, r.SavingsVsBoilersOnly = 1000, 2000, 100+sign*k, 300+sign*k
	r.BestVolumeM3, r.BestAtEdge = 10*k, float64(n%2)
	r.NPV, r.ReplayArrived = 5*k, 0.9
	if k < 5 {
		r.PaybackA = k
	}
	r.Curve = []table.Point{{}, {VolumeM3: 20, SavingsVsNoStorage: 10 * k}, {VolumeM3: 40 + k, SavingsVsNoStorage: 10*k + 20 + k}}
	return r
}

func rowsOf(numbers []int64) iter.Seq2[table.Row, error] {
	return func(yield func(table.Row, error) bool) {
		for _, n := range numbers {
			if !yield(rowOf(n), nil) {
				return
			}
		}
	}
}

func upTo(n int64) (list []int64) {
	for i := range n {
		list = append(list, i)
	}
	return list
}

func TestSummary(t *testing.T) {
	t.Parallel()
	s, err := summarise(t.Context(), twoPlants(), rowsOf(upTo(20)))
	if err != nil {
		t.Fatal(err)
	}
	first, second := s.Scenarios[0], s.Scenarios[1]
	// Savings 101 to 112: P90 at 0.1·13 = 1.3, 101.3; P50 at 6.5, 106.5; P10 at 11.7, 111.7.
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"P90", *first.SavingsVsNoStorage.P90, 101.3}, {"P50", *first.SavingsVsNoStorage.P50, 106.5}, {"P10", *first.SavingsVsNoStorage.P10, 111.7},
		{"share", *first.SavingsFrac.P50, 0.1065}, {"least", *first.SavingsVsNoStorage.Least, 101}, {"most", *first.SavingsVsNoStorage.Most, 112},
		{"best", *first.BestVolumeM3.P50, 65}, {"at edge", first.BestAtEdgeFrac, 0.5}, {"never pays", first.PaybackA.NeverFrac, 8. / 12},
		{"arrived", *first.ReplayArrived.P50, 0.9}, {"correlation", *first.Moves[0].Correlation, 1}, {"the second's", *second.Moves[0].Correlation, -1},
		{"of both", *s.Moves[0].Correlation, (12. - 8) / 20}, {"size", *s.Moves[0].Size, 1},
		{"the second's P50", *second.SavingsVsNoStorage.P50, 95.5}, {"its lowest", second.SavingsVsNoStorage.Low(), 92},
		{"all", *s.All.SavingsFrac.P50, 0.1025}, // of 92 to 99 and 101 to 112 per 1000 at 0.5·21 = 10.5, between 102 and 103
		// At the volume that all reach, 41 m³, from 20 m³ on case k has 10k + (20+k)·21/(20+k) = 10k + 21; of 1 to 12, P50 is 86.
		{"curve's end", first.Curve.VolumesM3[curveSteps], 41}, {"curve", first.Curve.Savings.P50[curveSteps], 86}, {"curve in shares", first.Curve.Frac.P50[curveSteps], 0.086},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s: %.15g; want %g", c.what, c.got, c.want)
		}
	}
	if second.SavingsVsNoStorage.P90 != nil || !second.SavingsVsNoStorage.Extremes() || first.PaybackA.P50 != nil || !s.Moves[1].Worded || s.Moves[1].Correlation != nil ||
		first.Currency != "EUR" || second.BestRule != BestPays || s.Done != 20 || s.SetAside != 0 || s.Sample != "" || second.Curve.Extremes == first.Curve.Extremes {
		t.Errorf("got %+v", s)
	}
}

// The best volume shows whether a m³ costs: the next m³ saves its price there.
func TestBestRule(t *testing.T) {
	t.Parallel()
	curve := []table.Point{{MarginalSavingsPerM3: 100}, {VolumeM3: 40, MarginalSavingsPerM3: 20}, {VolumeM3: 80, MarginalSavingsPerM3: -20}}
	for _, tt := range []struct {
		best, edge, npv float64
		want            string
	}{
		{60, 0, math.NaN(), BestSaves}, // between 40 and 80 the slope falls from 20 to -20
		{50, 0, math.NaN(), BestPays},  // where a m³ costs 10
		{80, 1, math.NaN(), ""}, {0, 0, math.NaN(), ""}, {80, 1, 7, BestPays}, {65, 0, math.NaN(), ""},
	} {
		r := table.Blank(0)
		r.Curve, r.BestVolumeM3, r.BestAtEdge, r.NPV = curve, tt.best, tt.edge, tt.npv
		g := newGathered(1, 1, wanted{})
		g.take(&r)
		if got := g.rule(); got != tt.want {
			t.Errorf("%g m³: %q; want %q", tt.best, got, tt.want)
		}
	}
}

func TestSetAside(t *testing.T) {
	t.Parallel()
	texts := []string{"header \"7 bar\": 212 h short of heat, worst 310 kW on 4 Feb 06:00", "header \"7 bar\": 9 h short of heat, worst 1.2e+03 kW on 28 Dec 19:30", "no sun"}
	rows := func(yield func(table.Row, error) bool) {
		for i := int64(11); i >= 0; i-- {
			r := rowOf(i)
			if i >= 3 {
				r = table.Blank(i)
				r.Scenario, r.Weather, r.Inputs, r.Error = "dyehouse", "2011", rowOf(i).Inputs, texts[i%3]
			}
			if !yield(r, nil) {
				return
			}
		}
	}
	s, err := summarise(t.Context(), twoPlants(), rows)
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Reasons) != 2 || s.Reasons[0].Cases != 6 || s.Reasons[0].Case != 3 || s.Reasons[0].Text != texts[0] || s.Reasons[0].Inputs[0] != (Input{"fuel", "4 EUR/kWh"}) {
		t.Errorf("reasons: %+v", s.Reasons)
	}
	if s.SetAside != 9 || s.Scenarios[0].SavingsVsNoStorage.Cases != 3 || s.Scenarios[1].SavingsVsNoStorage != nil || s.Scenarios[1].Cases != 8 || s.Scenarios[1].Done != 0 {
		t.Errorf("got %+v", s)
	}
}

// Whatever the order, the summary is the same to the last bit, also where cases are drawn.
func TestOrderDoesNotMatter(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 9))
	for _, o := range []outline{twoPlants(), manyCases(3, 14_000), manyCases(60, 9)} {
		numbers := upTo(o.end())
		var want []byte
		for range 3 {
			s, err := summarise(t.Context(), o, made(numbers, o))
			if err != nil {
				t.Fatal(err)
			}
			got, err := json.Marshal(s)
			if err != nil {
				t.Fatal(err)
			}
			if want == nil {
				want = got
			}
			if !bytes.Equal(got, want) {
				t.Fatalf("%d cases: another order gives another summary", o.end())
			}
			rng.Shuffle(len(numbers), func(i, j int) { numbers[i], numbers[j] = numbers[j], numbers[i] })
		}
	}
}

// The sample is the lowest hashes, whichever come first, and all while they are few.
func TestSample(t *testing.T) {
	t.Parallel()
	draw := func(numbers []int64) []hashed[int64] {
		s := sample[int64]{most: 100}
		for _, n := range numbers {
			if h := scattered(uint64(n)); s.wants(h) {
				s.add(h, n)
			}
		}
		all := s.all()
		slices.SortFunc(all, func(a, b hashed[int64]) int { return cmp.Compare(a.item, b.item) })
		return all
	}
	numbers := upTo(5000)
	first := draw(numbers)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(numbers), func(i, j int) { numbers[i], numbers[j] = numbers[j], numbers[i] })
	if second := draw(numbers); len(first) != 100 || fmt.Sprint(first) != fmt.Sprint(second) {
		t.Errorf("drew %d, %v and %v", len(first), first, second)
	}
	mean := 0.0
	for _, h := range first {
		mean += float64(h.item) / 100
	}
	// 100 of 0..4999, each alike: mean 2500 with a standard error of 5000/sqrt(12·100) = 144.
	if math.Abs(mean-2500) > 3*144 || len(draw(upTo(60))) != 60 {
		t.Errorf("mean %g of the sample; want 2500", mean)
	}
}

func TestStrangeRows(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		numbers []int64
		want    string
	}{
		{[]int64{0, 20}, "case 20: is not of this study, which has 20 cases; want its own rows"},
		{[]int64{-1}, "case -1: is not of this study, which has 20 cases; want its own rows"},
		{[]int64{4, 5, 4}, "case 4: comes twice; want each case once"},
	} {
		if _, err := summarise(t.Context(), twoPlants(), rowsOf(tt.numbers)); err == nil || err.Error() != tt.want {
			t.Errorf("%v: %v; want %s", tt.numbers, err, tt.want)
		}
	}
	broken := errors.New("the file is cut")
	if _, err := summarise(t.Context(), twoPlants(), func(yield func(table.Row, error) bool) { yield(table.Row{}, broken) }); !errors.Is(err, broken) {
		t.Errorf("got %v, want the rows' own error", err)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := summarise(ctx, twoPlants(), rowsOf(upTo(20))); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want %v", err, context.Canceled)
	}
}

func TestQuantity(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{"0.045 EUR/kWh": "0.045|EUR/kWh", "12": "12|", "85 %": "85|%", "85%": "85|%", "18 bar(g)": "18|bar(g)",
		"yes": "NaN|yes", "": "NaN|", "-3e2 K": "-300|K"} {
		if v, unit := quantity(text); fmt.Sprintf("%g|%s", v, unit) != want {
			t.Errorf("%q: %g|%s; want %s", text, v, unit, want)
		}
	}
}

func TestKinds(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"worst 310 kW on 4 Feb 06:00":     "worst # kW on # # #",
		"duality gap 3.1e-04 exceeds 2.":  "duality gap # exceeds #.",
		"Marble Sunday":                   "Marble Sunday",
		strings.Repeat("ä", 300):          strings.Repeat("ä", 100),
		"dyehouse.yaml:14: store.cost: x": "dyehouse.yaml:#: store.cost: x",
	} {
		if got := reasonKind(text); got != want {
			t.Errorf("%q gave %q, want %q", text, got, want)
		}
	}
}

func manyCases(scenarios int, each int64) outline {
	o := outline{keys: []string{"fuels[gas].price", "fields[dishes].count"}}
	for i := range scenarios {
		o.scenarios = append(o.scenarios, stretch{fmt.Sprint("plant ", i), int64(i) * each, each})
	}
	return o
}

// made are rows by formulas, with curves of 30 points.
func made(numbers []int64, o outline) iter.Seq2[table.Row, error] {
	return func(yield func(table.Row, error) bool) {
		r := table.Blank(0)
		r.Currency, r.Inputs, r.Curve = "EUR", []string{"0.045 EUR/kWh", "7"}, make([]table.Point, 30)
		var bend [30]float64
		for i := range bend {
			bend[i] = 1 - math.Exp(-float64(i)/8)
		}
		near := 0
		for _, n := range numbers {
			near = o.scenarioOf(n, near)
			x := float64(scattered(uint64(n))>>11) / (1 << 53)
			r.Case, r.Scenario, r.Error = n, o.scenarios[near].name, ""
			if x > 0.99 {
				r.Error = "header \"7 bar\": 212 h short of heat, worst 310 kW on 4 Feb 06:00"
			}
			r.NoStorageCost, r.BoilersOnlyCost = 100_000, 150_000
			r.SavingsVsNoStorage, r.SavingsVsBoilersOnly, r.SolarFraction, r.BestVolumeM3 = 8000*x, 50_000+8000*x, 0.5*x, 40+100*x
			r.NPV, r.PaybackA, r.ReplayArrived, r.BestAtEdge = 1e5*x, 5+3*x, 0.9+0.1*x, 0
			for i := range r.Curve {
				r.Curve[i] = table.Point{VolumeM3: 4 * float64(i), SavingsVsNoStorage: 9000 * x * bend[i]}
			}
			if n%2 == 0 {
				r.Inputs[0] = "0.06 EUR/kWh"
			} else {
				r.Inputs[0] = "0.045 EUR/kWh"
			}
			if !yield(r, nil) {
				return
			}
		}
	}
}

// BenchmarkSummarise takes five million rows: of one scenario, of some, and of as many as there may be. MB is the most that the
// heap held.
func BenchmarkSummarise(b *testing.B) {
	const n = 5_000_000
	for _, scenarios := range []int{1, 40, 10_000} {
		b.Run(fmt.Sprint("scenarios=", scenarios), func(b *testing.B) {
			o := manyCases(scenarios, n/int64(scenarios))
			numbers := upTo(n)
			runtime.GC()
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			before, most := m.HeapAlloc, uint64(0)
			for b.Loop() {
				rows := func(yield func(table.Row, error) bool) {
					for r, err := range made(numbers, o) {
						if r.Case%250_000 == 0 {
							runtime.ReadMemStats(&m)
							most = max(most, m.HeapAlloc-min(before, m.HeapAlloc))
						}
						if !yield(r, err) {
							return
						}
					}
				}
				if _, err := summarise(b.Context(), o, rows); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(most)/1e6, "MB")
			b.ReportMetric(float64(b.N)*n/b.Elapsed().Seconds(), "rows/s")
		})
	}
}
