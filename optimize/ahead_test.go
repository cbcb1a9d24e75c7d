package optimize

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// Three hours, one boiler of 60 kW at 0.1 a kWh, heat missing at 1 a kWh. The store holds 50 of 100 kWh, loses
// nothing, and gives at most 40 kW. Demand 20, 80, 20 kW.
//
// The second hour lacks 20 kW that only the store gives, at 1 a kWh spared. Its other 30 kWh spare 0.1 each now, or are
// left, worth 0.3 for the first 10 kWh and 0.05 for the next: so 10 are left and 20 used besides. The boiler gives
// 120 - 40 = 80 kWh: 8.0, less 10·0.3 = 3.0.
func TestAheadByHand(t *testing.T) {
	t.Parallel()
	p := Problem{StepH: 1, Headers: []Header{{Name: "main", DemandKW: []float64{20, 80, 20}, UnmetPrice: 1}},
		Boilers: []Boiler{{Name: "B", Pieces: []Piece{{60, 1}}, FuelPrice: []float64{0.1, 0.1, 0.1}}},
		Stores: []Store{{Name: "S", VolumeM3: 1, CapacityKWh: 100, Keep: []float64{1, 1, 1}, StandingKW: []float64{0, 0, 0},
			ChargeKW: 10, DischargeKW: 40}}}
	o := Outlook{Problem: p, HeldKWh: []float64{50}, Left: [][]Worth{{{0.3, 10}, {0.05, 100}}}}
	c, err := new(Ahead).Plan(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	if end := c.StoredKWh[0][3]; math.Abs(end-10) > 1e-9 || math.Abs(c.Value-5) > 1e-9 || c.UnmetKW[0][1] != 0 {
		t.Errorf("ends with %g kWh at %g, %g kW missing; want 10 kWh at 5, none", end, c.Value, c.UnmetKW[0][1])
	}
	// Before the peak, 20 kWh that spare missing heat and the 10 kWh that are worth 0.3 at the end are worth more than the
	// boiler's heat; in the peak nothing is worth more than missing heat.
	if want := []float64{30, 0, 10}; !near(c.HoldKWh, want, 1e-9) {
		t.Errorf("holds back %v; want %v", c.HoldKWh, want)
	}
	// Against the boiler's own heat the peak's end holds back what is worth more when left. There is one boiler.
	if want := []float64{30, 10, 10}; !near(c.SpareKWh, want, 1e-9) || !slices.Equal(c.Sole, []bool{true, true, true}) {
		t.Errorf("spares over %v, sole %v; want over %v, all sole", c.SpareKWh, c.Sole, want)
	}
}

func near(a, b []float64, tol float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) <= tol })
}

// With what heat is truly worth at the end, plans of two days made anew every three hours cost what the year's plan costs.
func TestAheadWithTrueWorthIsTheYear(t *testing.T) {
	t.Parallel()
	const every, length = 3, 48
	p := plantYear{60, 24, 7}.problem()
	year, _, err := Plan(context.Background(), p, Options{Engine: EngineOneStore})
	if err != nil {
		t.Fatal(err)
	}
	worths, err := Worths(context.Background(), p, every)
	if err != nil {
		t.Fatal(err)
	}
	n, held, cost := p.N(), year.StoredKWh[0][0], 0.0
	var a Ahead
	for from := 0; from < n; from += every {
		to := min(from+length, n)
		c, err := a.Plan(context.Background(), Outlook{p.span(from, to), []float64{held}, [][]Worth{worths[to/every%len(worths)]}})
		if err != nil {
			t.Fatal(err)
		}
		cost += sum(c.StepCost[:every])
		held = c.StoredKWh[0][every]
	}
	want := year.Cost - year.FixedCost
	// Where plans are equally good the contents may differ, so the end may lie elsewhere and is settled by its worth.
	cost -= worthOf(worths[0], held) - worthOf(worths[0], year.StoredKWh[0][0])
	if math.Abs(cost-want) > 1e-6*want {
		t.Errorf("costs %.6f; want %.6f", cost, want)
	}
}

// outlookOf is a random outlook of a random plant.
func outlookOf(p Problem, rng *rand.Rand) Outlook {
	p.Takes = nil
	o := Outlook{Problem: p, Left: make([][]Worth, len(p.Stores))}
	for k, s := range p.Stores {
		o.HeldKWh = append(o.HeldKWh, s.CapacityKWh*rng.Float64())
		price := 0.2 * rng.Float64()
		for range rng.IntN(4) {
			o.Left[k] = append(o.Left[k], Worth{price, 0.5 * s.CapacityKWh * rng.Float64()})
			price *= rng.Float64()
		}
	}
	return o
}

// Clp and the exact engine find the same value of an outlook, and no plan's flows break a row.
func TestAheadEnginesAgree(t *testing.T) {
	forRandom(t, func(t *testing.T, p Problem, rng *rand.Rand) { agreeAhead(t, outlookOf(p, rng)) })
}

// The same for plants that the exact engine takes.
func TestAheadEnginesAgreeOnOneStore(t *testing.T) {
	t.Parallel()
	both := 0
	for i := range 400 {
		rng := rand.New(rand.NewPCG(randomSeed, uint64(i)))
		p := oddProblem(rng)
		if misfit(p) != "" || len(p.Stores) == 0 || p.N() < 2 {
			continue
		}
		both++
		agreeAhead(t, outlookOf(p, rng))
		if t.Failed() {
			t.Fatalf("plant %d of seed %d", i, randomSeed)
		}
	}
	if both < 100 {
		t.Errorf("only %d outlooks went to both", both)
	}
}

func agreeAhead(t *testing.T, o Outlook) {
	p := o.Problem
	if !haveClp && (misfit(p) != "" || len(p.Stores) != 1) {
		t.Skip("needs Clp, which is not in this program")
	}
	c, err := new(Ahead).Plan(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	w := newWork(o.Problem)
	check := checker{work: w, s: &c.Schedule}
	check.headers()
	check.fields()
	check.boilers()
	check.limits()
	for k, s := range o.Problem.Stores {
		for step := range w.n {
			in := c.HeaderChargeKW[k][step] + c.KeepWarmKW[k][step] - c.DischargeKW[k][step] - s.StandingKW[step]
			for i := range p.Fields {
				in += c.SunStoreKW[i][k][step]
			}
			check.note(math.Abs(c.StoredKWh[k][step+1]-s.Keep[step]*c.StoredKWh[k][step]-w.dt*in), "store", s.Name, step)
		}
		check.note(math.Abs(c.StoredKWh[k][0]-o.HeldKWh[k]), "start of store", s.Name, 0)
	}
	if check.worst > 1e-6*w.peakKW {
		t.Fatalf("%g kW off: %s", check.worst, check.where)
	}
	if c.HoldKWh == nil || !haveClp {
		return
	}
	other, err := clpAhead(context.Background(), w, o)
	if err != nil {
		t.Fatal(err)
	}
	d := Course{Schedule: *other}
	d.finish(w, newPrices(w.p))
	value := w.value(&d.Schedule)
	for k, left := range o.Left {
		value -= worthOf(left, w.endKWh(&d.Schedule, k))
	}
	if scale := max(w.costScale(c.Cost), math.Abs(value)); math.Abs(value-c.Value) > 1e-6*scale {
		t.Fatalf("onestore finds %.9g, clp %.9g", c.Value, value)
	}
}

// Clp's plan of an outlook is no better than the proven plan of the stretch closed into a year by two steps: in the first
// the store sells what is left, in the second, which keeps nothing, it is filled to what it began with.
func TestAheadAgainstClosedYear(t *testing.T) {
	t.Parallel()
	for i := range 100 {
		rng := rand.New(rand.NewPCG(randomSeed, uint64(i)))
		p := plantYear{2, 24, uint64(i)}.problem()
		p.Headers[0].UnmetPrice = 1
		p.Stores[0].ChargeKW, p.Stores[0].DischargeKW = 2000, 2000 // within which the two steps below can do their work
		o := outlookOf(p, rng)
		c, err := new(Ahead).Plan(context.Background(), o)
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := Plan(context.Background(), closed(o), Options{})
		if err != nil {
			t.Fatal(err)
		}
		all := o.HeldKWh[0] * p.Fields[0].HeatCost // what fills it has its pumps to pay
		for _, v := range leftTo(o.Left[0], p.Stores[0].CapacityKWh) {
			all += v.KWh * v.PricePerKWh
		}
		if got := s.Cost - s.FixedCost - all; math.Abs(got-c.Value) > 1e-6*math.Abs(s.Cost) {
			t.Fatalf("outlook %d: value %.9g; closed into a year %.9g", i, c.Value, got)
		}
	}
}

// closed makes a year of an outlook of one store.
func closed(o Outlook) Problem {
	p, s := o.Problem, o.Problem.Stores[0]
	more := func(v []float64, x ...float64) []float64 { return append(slices.Clone(v), x...) }
	s.Keep, s.StandingKW = more(s.Keep, 1, 0), more(s.StandingKW, 0, 0)
	p.Stores = []Store{s}
	h := p.Headers[0]
	h.DemandKW = more(h.DemandKW, s.CapacityKWh/p.StepH, 0)
	p.Headers = []Header{h}
	fields := slices.Clone(p.Fields)
	for i := range fields {
		fields[i].HeaderKWM2, fields[i].StoreKWM2 = [][]float64{more(fields[i].HeaderKWM2[0], 0, 0)}, [][]float64{more(fields[i].StoreKWM2[0], 0, 0)}
	}
	start := make([]float64, o.Problem.N()+2)
	start[len(start)-1] = o.HeldKWh[0] / p.StepH
	p.Fields = append(fields, Field{Name: "start", AreaM2: 1, HeatCost: fields[0].HeatCost, HeaderKWM2: [][]float64{nil}, StoreKWM2: [][]float64{start}})
	off := make([]float64, o.Problem.N()+2)
	for t := range o.Problem.N() {
		off[t] = 1
	}
	boilers := slices.Clone(p.Boilers)
	for i := range boilers {
		boilers[i].FuelPrice, boilers[i].Available = more(boilers[i].FuelPrice, 0, 0), off
	}
	sale, one := make([]float64, len(off)), make([]float64, len(off))
	sale[o.Problem.N()] = 1
	for t := range one {
		one[t] = 1
	}
	b := Boiler{Name: "left", FuelPrice: one, Available: sale}
	left := leftTo(o.Left[0], s.CapacityKWh)
	slices.Reverse(left) // the cheapest is bought first
	for _, v := range left {
		b.Pieces = append(b.Pieces, Piece{v.KWh / p.StepH, max(v.PricePerKWh, 1e-12)})
	}
	p.Boilers = append(boilers, b)
	return p
}

func TestAheadRefuses(t *testing.T) {
	t.Parallel()
	good := func() Outlook {
		p := plantYear{2, 24, 1}.problem()
		return Outlook{Problem: p, HeldKWh: []float64{10}, Left: [][]Worth{{{0.1, 5}, {0.05, 5}}}}
	}
	for _, test := range []struct {
		name, want string
		break_     func(o *Outlook)
	}{
		{"too full", `outlook: store "vessel" holds 2000 kWh; want 0 to 1040`, func(o *Outlook) { o.HeldKWh[0] = 2000 }},
		{"no number", `outlook: store "vessel" holds NaN kWh; want 0 to 1040`, func(o *Outlook) { o.HeldKWh[0] = math.NaN() }},
		{"none held", "outlook: what 0 stores hold is given; want 1", func(o *Outlook) { o.HeldKWh = nil }},
		{"rising worth", `outlook: 5 kWh left in store "vessel" are worth 0.2 each; want 0 or more of both, the dearest first`,
			func(o *Outlook) { o.Left[0][1].PricePerKWh = 0.2 }},
		{"a take", "outlook: has a least take of a whole period; want none", func(o *Outlook) {
			o.Problem.Takes = []Take{{Name: "gas", Boilers: []int{0}, LeastKWh: 1}}
		}},
		{"problem", `problem: `, func(o *Outlook) { o.Problem.StepH = 0 }},
	} {
		o := good()
		test.break_(&o)
		if _, err := new(Ahead).Plan(context.Background(), o); err == nil || !strings.HasPrefix(err.Error(), test.want) {
			t.Errorf("%s: says %v; want %s", test.name, err, test.want)
		}
	}
	if _, err := Worths(context.Background(), plantYear{2, 24, 1}.problem(), 0); err == nil {
		t.Error("worths of every 0 steps are given")
	}
	p := plantYear{2, 24, 1}.problem()
	p.Stores, p.Fields = nil, nil
	if _, err := Worths(context.Background(), p, 3); !errors.As(err, new(*NoGuide)) {
		t.Errorf("says %v", err)
	}
}

// A year of outlooks: 2920 of 48 h.
func BenchmarkAhead(b *testing.B) {
	p := hourlyYear()
	worths, err := Worths(context.Background(), p, 3)
	if err != nil {
		b.Fatal(err)
	}
	var a Ahead
	for b.Loop() {
		held := 300.0
		for from := 0; from+48 <= p.N(); from += 3 {
			c, err := a.Plan(context.Background(), Outlook{p.span(from, from+48), []float64{held}, [][]Worth{worths[(from+48)/3%len(worths)]}})
			if err != nil {
				b.Fatal(err)
			}
			held = c.StoredKWh[0][3]
		}
	}
}
