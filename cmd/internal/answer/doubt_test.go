package answer

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// Each of an input's parts of equal probability is drawn once, whatever the pairing; the ranks of two inputs hardly
// correlate; a further input leaves those before it as they were.
func TestLatin(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		n, inputs int
		seed      uint64
		rho       float64 // the most that two ranks may correlate; paired at random they would by 1/sqrt(n-1), a standard deviation
	}{{10, 1, 1, 0}, {10, 15, 3, 1}, {20, 4, 2, 0.2}, {200, 7, 1, 0.05}, {1000, 3, 9, 0.02}} {
		points := latin(tt.n, tt.inputs, tt.seed)
		more := latin(tt.n, tt.inputs+1, tt.seed)
		columns := make([][]float64, tt.inputs)
		for k := range tt.inputs {
			seen := make([]bool, tt.n)
			for i := range points {
				x := points[i][k]
				if !(x >= 0 && x < 1) || seen[int(x*float64(tt.n))] {
					t.Fatalf("%+v: input %d case %d is %g: outside 0 to 1, or its part is drawn twice", tt, k, i, x)
				}
				seen[int(x*float64(tt.n))] = true
				if more[i][k] != x {
					t.Fatalf("%+v: input %d case %d is %g, and with one input more %g", tt, k, i, x, more[i][k])
				}
				columns[k] = append(columns[k], x)
			}
			for before := range k {
				if rho, ok := rankCorrelation(columns[before], columns[k]); !ok || math.Abs(rho) > tt.rho {
					t.Errorf("%+v: inputs %d and %d correlate by %g", tt, before, k, rho)
				}
			}
		}
	}
	if slices.Equal(latin(50, 1, 1)[0], latin(50, 1, 2)[0]) {
		t.Error("two seeds draw the same")
	}
}

// P10, P50 and P90 of known distributions are recovered. The k-th of n lies in the k-th part, so that a quantile of one input
// lies between those of the parts beside it; of a sum of two, within what 200 cases leave.
func TestKnownQuantiles(t *testing.T) {
	t.Parallel()
	const n = 200
	for _, u := range []scenarios.Unsure{{Shape: scenarios.Uniform, Low: 0.8, High: 1.2}, {Shape: scenarios.Triangular, Low: 0.5, High: 2, Mode: 1.8}, {Shape: scenarios.Normal, Low: 0.9, High: 1.1}} {
		for seed := range uint64(20) {
			var v []float64
			for _, point := range latin(n, 2, seed) {
				v = append(v, u.At(point[1]))
			}
			s := spreadOf(v)
			for _, q := range []struct{ got, p float64 }{{*s.P90, 0.1}, {*s.P50, 0.5}, {*s.P10, 0.9}} { // closed forms: TestUnsureShapes
				if lo, hi := u.At(q.p-2./n), u.At(q.p+2./n); !(q.got >= lo && q.got <= hi) {
					t.Errorf("%s, seed %d: the value that %g lies under is %g; want %g to %g", u.Shape, seed, q.p, q.got, lo, hi)
				}
			}
		}
	}
	// The sum of two uniform inputs is triangular on 0 to 2: 10 % lie under sqrt(0.2).
	var sums []float64
	for _, point := range latin(n, 2, 1) {
		sums = append(sums, point[0]+point[1])
	}
	s := spreadOf(sums)
	for _, q := range []struct{ got, want float64 }{{*s.P90, math.Sqrt(0.2)}, {*s.P50, 1}, {*s.P10, 2 - math.Sqrt(0.2)}} {
		if math.Abs(q.got-q.want) > 0.05 {
			t.Errorf("of a sum of two: %g; want %g", q.got, q.want)
		}
	}
}

func TestRankCorrelation(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		x, y []float64
		want float64
		src  string
	}{
		{[]float64{1, 2, 3, 4}, []float64{1, 8, 27, 64}, 1, "a rising function, whatever its bend"},
		{[]float64{1, 2, 3, 4}, []float64{9, 5, 2, -8}, -1, "a falling one"},
		{[]float64{10, 20, 30, 40, 50}, []float64{2, 1, 4, 3, 5}, 0.8, "1 - 6·(1+1+1+1+0)/(5·24), Spearman's formula without ties"},
		{[]float64{1, 2, 2, 3}, []float64{1, 2, 3, 4}, 4.5 / math.Sqrt(22.5), "ranks 1, 2.5, 2.5, 4 with 1, 2, 3, 4: sums 4.5, 4.5 and 5"},
	} {
		if got, ok := rankCorrelation(tt.x, tt.y); !ok || math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%v with %v: %.9g, %v; want %.9g (%s)", tt.x, tt.y, got, ok, tt.want, tt.src)
		}
	}
	if _, ok := rankCorrelation([]float64{1, 1, 1}, []float64{1, 2, 3}); ok {
		t.Error("what never moves correlates")
	}
}

// Least regret on a table of three choices in three cases, by hand.
//
//	earned      A    B    C    best     regret   A    B    C
//	case 1     20   12    6     20               0    8   14
//	case 2     10   11    9     11               1    0    2
//	case 3    -10    4    6      6              16    2    0
//	                          largest           16    8   14
//	                          mean             17/3 10/3 16/3
//
// The best of the worst earnings would be C (6), that of the best A (20); least regret takes B.
func TestLeastRegret(t *testing.T) {
	t.Parallel()
	got := regrets([][]float64{{20, 12, 6}, {10, 11, 9}, {-10, 4, 6}})
	for j, want := range []regretOf{
		{best: 1. / 3, near: 1. / 3, mean: 17. / 3, tenth: 16, most: 16, worst: 2},
		{best: 1. / 3, near: 1. / 3, mean: 10. / 3, tenth: 8, most: 8, worst: 0},
		{best: 1. / 3, near: 1. / 3, mean: 16. / 3, tenth: 14, most: 14, worst: 0},
	} {
		g := got[j]
		if g.best != want.best || g.near != want.near || math.Abs(g.mean-want.mean) > 1e-12 || g.tenth != want.tenth || g.most != want.most || g.worst != want.worst {
			t.Errorf("choice %c: %+v; want %+v (by hand)", 'A'+j, g, want)
		}
	}
	// Two as good as each other: the first is the best, both are near it. 99 of 100 is near, 98.9 is not.
	got = regrets([][]float64{{100, 100, 99, 98.9}})
	if got[0].best != 1 || got[1].best != 0 || got[1].near != 1 || got[2].near != 1 || got[3].near != 0 {
		t.Errorf("%+v", got)
	}
}

const doubtSection = `
doubt:
  - {what: demand, times: 90..110 %, shape: triangular}
  - {what: fuel price, times: 70..130 %}
  - {what: boiler efficiency, times: 97..103 %, shape: normal}
  - {what: store cost, times: 80..120 %}
  - {what: weather, years: 3}
`

// The whole on the dyehouse: its middle is the scenario, the ends go the way that they must, the spread is that of the
// cases, and the same seed gives the same bytes on one and on four workers.
func TestDoubtful(t *testing.T) {
	if testing.Short() || underRace {
		t.Skip("whole years")
	}
	c := dyehouse(t, doubtSection)
	solve := func(workers int, opt DoubtOptions) Doubt {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(workers))
		d, err := Doubtful(context.Background(), c, opt)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	opt := DoubtOptions{Cases: 12, Seed: 5, VolumeM3: 41}
	d := solve(1, opt)
	one, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	if four, err := json.Marshal(solve(4, opt)); err != nil || !bytes.Equal(one, four) {
		t.Errorf("four workers give other bytes than one (%v)", err)
	}
	checkDoubt(t, c, d)
	for _, in := range d.Inputs {
		up := in.AtHigh.SavingsVsBoilersOnly - in.AtLow.SavingsVsBoilersOnly
		want := map[string]float64{"demand": 1, "fuel price": 1, "boiler efficiency": -1, "store cost": 0, "weather": 1}[in.Name]
		if up*want < 0 || want == 0 != (up == 0) || math.Abs(up) != in.Swing {
			t.Errorf("%s from low to high moves savings by %g; want the sign of %g", in.Name, up, want)
		}
	}
	if first := d.Inputs[0]; first.Name != "fuel price" || *first.RankCorrelation < 0.9 {
		t.Errorf("first stands %s, with a rank correlation of %v; want the fuel price, which decides", first.Name, first.RankCorrelation)
	}
	// Savings of fuel go with its price, and so does what is saved with all else in its middle: from 70 to 130 % by power alone.
	fuel := d.Inputs[0]
	if ratio := (fuel.AtHigh.BoilersOnlyCost - fuel.AtLow.BoilersOnlyCost) / d.Middle.BoilersOnlyCost; math.Abs(ratio-0.6) > 1e-9 {
		t.Errorf("boilers alone cost %g of the middle more at 130 than at 70 %% of the price; want 0.6", ratio)
	}
}

func checkDoubt(t *testing.T, c scenarios.Case, d Doubt) {
	t.Helper()
	a, err := Make(context.Background(), c, Options{StepM3: 41, ToM3: 82})
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(a.Points, func(p Point) bool { return p.VolumeM3 == 41 })
	for what, f := range map[string]DoubtFigures{"as written": d.AsWritten, "the middle": d.Middle} {
		if p := a.Points[at]; math.Abs(f.SavingsVsBoilersOnly-p.SavingsVsBoilersOnly) > 1e-6 || math.Abs(f.SavingsVsNoStorage-p.SavingsVsNoStorage) > 1e-6 || math.Abs(f.FuelKWh-p.FuelKWh) > 1e-3 {
			t.Errorf("%s: %+v; by the curve %+v", what, f, p)
		}
	}
	var saved []float64
	weather := map[string]int{}
	for i, x := range d.Cases {
		saved = append(saved, x.SavingsVsBoilersOnly)
		weather[x.Weather]++
		best := 0
		for j, v := range d.Volumes {
			if x.Savings[j]-*x.StorePerM3*v.VolumeM3 > x.Savings[best]-*x.StorePerM3*d.Volumes[best].VolumeM3 {
				best = j
			}
			if v.MostRegret < 0 || v.NearBestFrac < v.BestFrac || v.MeanRegret > v.MostRegret {
				t.Errorf("%g m3: %+v", v.VolumeM3, v)
			}
		}
		if x.Case != i+1 || *x.BestVolumeM3 != d.Volumes[best].VolumeM3 || len(x.Times) != len(d.Inputs) {
			t.Errorf("case %d: %+v; best by its own figures %g m3", i, x.DoubtFigures, d.Volumes[best].VolumeM3)
		}
	}
	if s := spreadOf(saved); *s.P90 != *d.Spread.SavingsVsBoilersOnly.P90 || s.Mean != d.Spread.SavingsVsBoilersOnly.Mean {
		t.Errorf("spread %+v; by the cases %+v", d.Spread.SavingsVsBoilersOnly, s)
	}
	if want := map[string]int{"seed 7": 4, "seed 1": 4, "seed 2": 4}; len(weather) != 3 || weather["seed 7"] != want["seed 7"] || weather["seed 1"] != want["seed 1"] {
		t.Errorf("weather %v; want %v", weather, want)
	}
	at = slices.IndexFunc(d.Volumes, func(v DoubtVolume) bool { return v.VolumeM3 == *d.LeastRegretM3 })
	for _, v := range d.Volumes {
		if v.MostRegret < d.Volumes[at].MostRegret {
			t.Errorf("%g m3 has less regret than %g", v.VolumeM3, *d.LeastRegretM3)
		}
	}
	if d.Rule != RulePays || d.Proof.DualityGap > 1e-6 || d.Assumed || d.Engine == "" {
		t.Errorf("rule %s, proof %+v", d.Rule, d.Proof)
	}
}

// What cannot be had says which input or case it is of; counts out of range and volumes of no store are refused.
func TestDoubtfulFaults(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	c := dyehouse(t, "\ndoubt:\n  - {what: demand, times: 90..160 %}\n")
	_, err := Doubtful(ctx, c, DoubtOptions{Cases: 10})
	var short *optimize.NoPlan
	if !errors.As(err, &short) || !strings.HasPrefix(err.Error(), "demand at 160 %: ") {
		t.Errorf("too much demand: %v", err)
	}
	stopped, stop := context.WithCancel(ctx)
	stop()
	if _, err := Doubtful(stopped, c, DoubtOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupted: %v", err)
	}
	for _, tt := range []struct {
		opt  DoubtOptions
		want string
	}{
		{DoubtOptions{Cases: 9}, "doubt: cases: are 9; want 10 to 10000"},
		{DoubtOptions{Cases: 10001}, "doubt: cases: are 10001; want 10 to 10000"},
		{DoubtOptions{ToM3: 1e9}, "dyehouse.yaml: the largest volume is 1e+09 m³; want more than 0, up to 100000"},
	} {
		if _, err := Doubtful(ctx, c, tt.opt); err == nil || err.Error() != tt.want {
			t.Errorf("%+v: %v\nwant %s", tt.opt, err, tt.want)
		}
	}
}

// Measured weather draws from each whole year of its files; of one year there is nothing to draw.
func TestDoubtfulMeasured(t *testing.T) {
	t.Parallel()
	if testing.Short() || underRace {
		t.Skip("whole years")
	}
	measured := func(years map[int]uint64) scenarios.Case {
		c, err := measuredCase(t, measuredText(t, years, map[int]int{2013: 5000}))
		if err != nil {
			t.Fatal(err)
		}
		c.Unsure = []scenarios.Unsure{{What: scenarios.UnsureWeather}}
		return c
	}
	d, err := Doubtful(context.Background(), measured(map[int]uint64{2011: 2, 2012: 3, 2013: 4}), DoubtOptions{Cases: 10})
	if err != nil {
		t.Fatal(err)
	}
	drawn := map[string]int{}
	for _, x := range d.Cases {
		drawn[x.Weather]++
	}
	in := d.Inputs[0]
	if len(drawn) != 2 || drawn["2011"] != 5 || drawn["2012"] != 5 || in.Says != "each year of the weather files" || in.AtLow.Weather == in.AtHigh.Weather || in.Swing <= 0 {
		t.Errorf("drawn %v, input %+v; want 2011 and 2012 alike", drawn, in)
	}
	if len(d.LeftOut) != 1 || !strings.HasPrefix(d.LeftOut[0], "2013: ") || math.Abs(*in.RankCorrelation-1) > 1e-12 {
		t.Errorf("left out %q, rank correlation %g; want 2013, and 1 where weather alone moves", d.LeftOut, *in.RankCorrelation)
	}
	if _, err := Doubtful(context.Background(), measured(map[int]uint64{2012: 3}), DoubtOptions{}); err == nil ||
		err.Error() != "site.yaml: doubt: weather: the files have one whole year, and there is nothing to draw; want more files, or take weather out of the list" {
		t.Errorf("one year: %v", err)
	}
}

// 200 cases of the dyehouse, as the command draws them; cases/s is of this machine's cores.
func BenchmarkDoubtful(b *testing.B) {
	c := dyehouse(b, "")
	for b.Loop() {
		if _, err := Doubtful(context.Background(), c, DoubtOptions{Cases: 200, Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(200*float64(b.N)/b.Elapsed().Seconds(), "cases/s")
}
