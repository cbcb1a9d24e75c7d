package optimize

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// straight is a boiler of capacity kW with a lowest load, at one efficiency and with a loss while it fires: its
// pieces and its cycle.
func straight(name string, header int, least, most, perHeat, lossKW float64, price []float64) (Boiler, Cycle) {
	c := Cycle{Curve: []Load{{least, lossKW + perHeat*least}, {most, lossKW + perHeat*most}}}
	b := Boiler{Name: name, Header: header, FuelPrice: price, Pieces: []Piece{{most, c.most().FuelKW / most}}}
	return b, c
}

// pair is two boilers on one header for a day's demand: B1 cheap with a high lowest fire, B2 dear with a low one.
func pair(demand []float64) (Problem, []Cycle) {
	n := len(demand)
	p := Problem{Start: day1, StepH: 1, Headers: []Header{{Name: "main", DemandKW: demand}}}
	b1, c1 := straight("B1", 0, 40, 100, 1, 0, flat(n, 0.10))
	b2, c2 := straight("B2", 0, 10, 60, 1, 0, flat(n, 0.15))
	p.Boilers = []Boiler{b1, b2}
	return p, []Cycle{c1, c2}
}

// day is 24 hours: night's until 6 and from 22, day's between.
func day(night, noon float64) []float64 {
	v := flat(24, noon)
	for t := range v {
		if t < 6 || t >= 22 {
			v[t] = night
		}
	}
	return v
}

var repairDays = []struct {
	name, src     string
	build         func() (Problem, []Cycle)
	bound, repair float64
	starts        []int
}{
	{"nothing binds", "by hand: 24·50·0.1", func() (Problem, []Cycle) { return pair(flat(24, 50)) }, 120, 120, []int{0, 0}},
	{"night under the lowest fire", "by hand: 8 h of 20 kW; B1 at 40 costs 4 an hour, B2 at 20 costs 3: 24, and 16·80·0.1 by day; bound 8·2 + 128",
		func() (Problem, []Cycle) { return pair(day(20, 80)) }, 16 + 128, 24 + 128, []int{1, 1}},
	{"night under both", "by hand: 8 h of 5 kW; B2 at 10 costs 1.5 an hour: 12, and 128; bound 8·0.5 + 128",
		func() (Problem, []Cycle) { return pair(day(5, 80)) }, 4 + 128, 12 + 128, []int{1, 1}},
	{"a start that is dear", "by hand: B1 stays on at 40 kW, 8·4 = 32, since 8·3 = 24 and a start of 60 kWh at 0.15 and one at 0.1 are 39",
		func() (Problem, []Cycle) {
			p, c := pair(day(20, 80))
			c[0].StartKWh, c[1].StartKWh = 60, 60
			return p, c
		}, 16 + 128, 32 + 128, []int{0, 0}},
	{"hot standby", "by hand: B2 at night, 8·3 = 24; B1 stands by with 1 kW, 8·0.1, not for a start of 60 kWh at 0.1; B2 by day, 16·1 kW·0.15 = 2.4, not for a start at 9",
		func() (Problem, []Cycle) {
			p, c := pair(day(20, 80))
			c[0].StartKWh, c[1].StartKWh, c[0].StandbyKW, c[1].StandbyKW = 60, 60, 1, 1
			return p, c
		}, 16 + 128, 24 + 0.8 + 2.4 + 128, []int{0, 0}},
	{"both for the peak", "by hand: 130 kW by day: B1 100, B2 30: 16·(10 + 4.5); at night 20 kW by B2: 24, which so never stops",
		func() (Problem, []Cycle) { return pair(day(20, 130)) }, 16 + 16*14.5, 24 + 16*14.5, []int{1, 0}},
	{"B1 gives way to B2's lowest fire", "by hand: 105 kW by day: B2 at its 10, B1 95: 16·(9.5 + 1.5); bound 16·(10 + 0.75); 8 h of nothing",
		func() (Problem, []Cycle) { return pair(day(0, 105)) }, 16 * 10.75, 16 * 11, []int{1, 1}},
	{"a start takes longer than the night", "by hand: B1 cannot be off for 8 h where a start takes 9: 8·4 at night; B2 is off all day",
		func() (Problem, []Cycle) {
			p, c := pair(day(20, 80))
			c[0].StartSteps = 9
			return p, c
		}, 16 + 128, 32 + 128, []int{0, 0}},
	{"out of service by day", "by hand: B1 is out by day, B2 gives 50 and cannot be missed: 16·7.5; at night 20 kW by B2: 24",
		func() (Problem, []Cycle) {
			p, c := pair(day(20, 50))
			p.Boilers[0].Available = day(1, 0)
			return p, c
		}, 16 + 120, 24 + 120, []int{0, 0}},
	{"a store takes the night", "by hand: sun of 160 kWh at noon is kept for the 8 h of 20 kW, in which no boiler runs; by day B1 at 80, 16·8. Unrepaired it could serve any hour",
		func() (Problem, []Cycle) {
			p, c := pair(day(20, 80))
			p.Fields = []Field{one("dishes", nil, flat(24, 0))}
			p.Fields[0].StoreKWM2[0][12] = 160
			p.Stores = []Store{lossless(24, 160)}
			return p, c
		}, 128, 128, []int{1, 0}},
	{"efficiency by load", "by hand: one boiler of 100 kW, 30 kW for 45 of fuel, 60 for 72, 100 for 125; 16 h of 60, 8 h of 30: 0.1·(16·72 + 8·45); its hull is 1.2 a kWh up to 60",
		func() (Problem, []Cycle) {
			p := Problem{Start: day1, StepH: 1, Headers: []Header{{Name: "main", DemandKW: day(30, 60)}}}
			p.Boilers = []Boiler{{Name: "B1", FuelPrice: flat(24, 0.1), Pieces: []Piece{{60, 1.2}, {40, 53. / 40}}}}
			return p, []Cycle{{Curve: []Load{{30, 45}, {60, 72}, {100, 125}}}}
		}, 0.1 * 1.2 * (16*60 + 8*30), 0.1 * (16*72 + 8*45), []int{0}},
	{"a joint limit", "by hand: 110 kW by day through a flue of 110: B1 100 and B2 10; at night B2 20: 16·11.5 + 24",
		func() (Problem, []Cycle) {
			p, c := pair(day(20, 110))
			p.Limits = []Limit{{Name: "flue", Boilers: []int{0, 1}, MostKW: flat(24, 110)}}
			return p, c
		}, 16*11.5 + 16, 16*11.5 + 24, []int{1, 0}},
}

func TestRepairByHand(t *testing.T) {
	for _, d := range repairDays {
		t.Run(d.name, func(t *testing.T) {
			p, cycles := d.build()
			needsClp(t, p)
			r := repaired(t, p, cycles)
			closeTo(t, "bound, "+d.src, r.Bound, d.bound, 1e-6)
			closeTo(t, "repaired cost, "+d.src, r.Cost, d.repair, 1e-6)
			if !slices.Equal(r.Starts, d.starts) {
				t.Errorf("starts %v; want %v (%s)", r.Starts, d.starts, d.src)
			}
		})
	}
}

// repaired plans and repairs, and checks the plan against the rules of on and off.
func repaired(t *testing.T, p Problem, cycles []Cycle) Repaired {
	t.Helper()
	s, proof, err := Plan(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := Repair(context.Background(), p, cycles, s, proof.LowerBound, Options{})
	if err != nil {
		t.Fatal(err)
	}
	keepsCycles(t, p, cycles, r)
	return r
}

// keepsCycles reckons a repaired plan again from its on and off alone.
func keepsCycles(t *testing.T, p Problem, cycles []Cycle, r Repaired) {
	t.Helper()
	n, sum := p.N(), r.Schedule.FixedCost+r.Schedule.TakeCost
	for i, c := range cycles {
		starts, off := 0, 0
		for s := range 2 * n { // twice round, so that every stretch off is seen whole
			t0 := s % n
			heat, fuel, on := r.Schedule.BoilerKW[i][t0], r.Schedule.FuelKW[i][t0], true
			want := 0.0
			for j, piece := range p.Boilers[i].Pieces {
				want += piece.FuelPerHeat * r.Schedule.PieceKW[i][j][t0]
			}
			if c.Curve != nil {
				on, want = r.On[i][t0], 0
				before := (t0 + n - 1) % n
				if on && (heat < c.least().HeatKW-1e-6 || heat > p.share(i, t0)*c.most().HeatKW+1e-6) || !on && heat != 0 || on && r.Hot[i][t0] {
					t.Fatalf("boiler %d, step %d: on %v, hot %v, gives %g kW", i, t0, on, r.Hot[i][t0], heat)
				}
				if on {
					want = c.fuel(heat)
				}
				if r.Hot[i][t0] {
					want = c.StandbyKW
					if c.StandbyKW == 0 || p.share(i, t0) == 0 {
						t.Fatalf("boiler %d stands by in step %d and cannot", i, t0)
					}
				}
				if on && !r.On[i][before] && !r.Hot[i][before] {
					want += c.StartKWh / p.StepH
					if s >= n {
						starts++
						if off < c.StartSteps {
							t.Fatalf("boiler %d starts in step %d after %d steps off; a start takes %d", i, t0, off, c.StartSteps)
						}
					}
				}
				if off++; on || r.Hot[i][t0] {
					off = 0
				}
			}
			if math.Abs(fuel-want) > 1e-6*(1+want) {
				t.Fatalf("boiler %d, step %d: %g kW of fuel for %g kW of heat; want %g", i, t0, fuel, heat, want)
			}
			if s < n {
				sum += p.StepH * p.Boilers[i].FuelPrice[t0] * want
			}
		}
		if c.Curve != nil && starts != r.Starts[i] {
			t.Errorf("boiler %d: %d starts are counted, there are %d", i, r.Starts[i], starts)
		}
	}
	for l, h := range p.Headers {
		for t := range n {
			sum += p.StepH * h.UnmetPrice * r.Schedule.UnmetKW[l][t]
		}
	}
	for i, f := range p.Fields {
		for _, flow := range slices.Concat(r.Schedule.SunHeaderKW[i], r.Schedule.SunStoreKW[i]) {
			for _, kW := range flow {
				sum += p.StepH * f.HeatCost * kW
			}
		}
	}
	closeTo(t, "cost of the plan, reckoned again", r.Cost, sum, 1e-6*(1+math.Abs(sum)))
	if r.Cost < r.Bound-1e-6*(1+math.Abs(r.Bound)) {
		t.Errorf("cost %g lies under the bound %g", r.Cost, r.Bound)
	}
}

func (p Problem) share(i, t int) float64 { return (&repair{p: p}).share(i, t) }

// cheapest is the best on and off of a plant without a store, by looking at every one and filling each step by hand:
// lowest fires first, then the cheapest further heat. It shares no line with the program.
func cheapest(p Problem, cycles []Cycle) float64 {
	n, best := p.N(), math.Inf(1)
	states := 1
	for range n * len(cycles) {
		states *= 3 // off, on, hot
	}
	do := make([][]int, len(cycles))
	for i := range do {
		do[i] = make([]int, n)
	}
	for s := range states {
		x := s
		for i := range do {
			for t := range n {
				do[i][t] = x % 3
				x /= 3
			}
		}
		best = min(best, costOf(p, cycles, do))
	}
	return best
}

func costOf(p Problem, cycles []Cycle, do [][]int) float64 {
	n, cost := p.N(), 0.0
	for t := range n {
		left, room := p.Headers[0].DemandKW[t], [][3]float64{}
		for i, c := range cycles {
			price, before := p.Boilers[i].FuelPrice[t], do[i][(t+n-1)%n]
			switch do[i][t] {
			case 1:
				left -= c.Curve[0].HeatKW
				cost += price * c.Curve[0].FuelKW
				if before == 0 {
					cost += price * c.StartKWh
				}
				perHeat := (c.Curve[1].FuelKW - c.Curve[0].FuelKW) / (c.Curve[1].HeatKW - c.Curve[0].HeatKW)
				room = append(room, [3]float64{price * perHeat, c.Curve[1].HeatKW - c.Curve[0].HeatKW})
			case 2:
				if c.StandbyKW == 0 || before == 0 { // from cold it would have to start
					return math.Inf(1)
				}
				cost += price * c.StandbyKW
			}
		}
		slices.SortFunc(room, func(a, b [3]float64) int { return int(math.Copysign(1, a[0]-b[0])) })
		for _, x := range room {
			kW := max(0, min(left, x[1]))
			cost += kW * x[0]
			left -= kW
		}
		cost += p.Headers[0].UnmetPrice * max(0, left)
	}
	return cost
}

func TestRepairAgainstEveryOnAndOff(t *testing.T) {
	exact, worst := 0, 0.0
	const count = 150
	for i := range count {
		rng := rand.New(rand.NewPCG(randomSeed, 5000+uint64(i)))
		n := 3 + rng.IntN(3)
		series := func(lo, hi float64) []float64 {
			v := make([]float64, n)
			for t := range v {
				v[t] = lo + (hi-lo)*rng.Float64()
			}
			return v
		}
		p := Problem{Start: day1, StepH: 1, Headers: []Header{{Name: "main", DemandKW: series(0, 150), UnmetPrice: 1}}}
		var cycles []Cycle
		for j := range 2 {
			most := 50 + 70*rng.Float64()
			b, c := straight(fmt.Sprintf("B%d", j), 0, most*(0.1+0.5*rng.Float64()), most, 1+0.3*rng.Float64(), 5*rng.Float64()*float64(rng.IntN(2)), series(0.03, 0.1))
			if rng.IntN(2) == 0 {
				c.StartKWh = 60 * rng.Float64()
				if rng.IntN(2) == 0 {
					c.StandbyKW = 6 * rng.Float64()
				}
			}
			p.Boilers, cycles = append(p.Boilers, b), append(cycles, c)
		}
		r := repaired(t, p, cycles)
		best := cheapest(p, cycles)
		if tol := 1e-7 * (1 + best); r.Bound > best+tol || best > r.Cost+tol {
			t.Errorf("problem %d of seed %d: bound %.9g, best of all %.9g, repaired %.9g", i, randomSeed, r.Bound, best, r.Cost)
		}
		if r.Cost <= best*(1+1e-9) {
			exact++
		}
		worst = math.Max(worst, r.Cost/best-1)
	}
	t.Logf("the repaired plan is the best of all in %d of %d, and at worst %.3g %% over it", exact, count, 100*worst)
	if exact < count*9/10 {
		t.Errorf("only %d of %d are the best of all", exact, count)
	}
}

// With a store every on and off is a program of its own; those of a small problem can all be solved.
func TestRepairWithStoreAgainstEveryOnAndOff(t *testing.T) {
	unraced(t)
	exact, worst := 0, 0.0
	const count = 40
	for i := range count {
		rng := rand.New(rand.NewPCG(randomSeed, 7000+uint64(i)))
		const n = 5
		p := Problem{Start: day1, StepH: 1, Headers: []Header{{Name: "main", DemandKW: make([]float64, n), UnmetPrice: 1}}}
		sun := make([]float64, n)
		for t := range n {
			p.Headers[0].DemandKW[t], sun[t] = 100*rng.Float64(), 80*rng.Float64()*float64(rng.IntN(2))
		}
		p.Fields = []Field{one("dishes", sun, sun)}
		s := lossless(n, 150*rng.Float64())
		s.StandingKW, s.HeaderChargeKW = flat(n, rng.Float64()), 40*float64(rng.IntN(2))
		p.Stores = []Store{s}
		b1, c1 := straight("B1", 0, 40, 100, 1, 3, flat(n, 0.1))
		b2, c2 := straight("B2", 0, 15, 50, 1.2, 0, flat(n, 0.1))
		c1.StartKWh = 30 * float64(rng.IntN(2))
		p.Boilers = []Boiler{b1, b2}
		cycles := []Cycle{c1, c2}
		needsClp(t, p)
		r := repaired(t, p, cycles)
		all := &repair{ctx: context.Background(), p: p, w: newWork(p), cycles: cycles}
		all.prepare()
		for s := range 1 << (2 * n) {
			on := [][]bool{make([]bool, n), make([]bool, n)}
			for k := range 2 * n {
				on[k/n][k%n] = s&(1<<k) != 0
			}
			if _, err := all.try(on); err != nil {
				t.Fatal(err)
			}
		}
		best := all.best.Cost
		if tol := 1e-7 * (1 + best); r.Bound > best+tol || best > r.Cost+tol {
			t.Errorf("problem %d of seed %d: bound %.9g, best of all %.9g, repaired %.9g", i, randomSeed, r.Bound, best, r.Cost)
		}
		if r.Cost <= best*(1+1e-9) {
			exact++
		}
		worst = math.Max(worst, (r.Cost-best)/math.Max(best, 1))
	}
	t.Logf("the repaired plan is the best of all in %d of %d, and at worst %.3g %% over it", exact, count, 100*worst)
	if exact < count/3 {
		t.Errorf("only %d of %d are the best of all", exact, count)
	}
}

// Plants of every feature: two headers, several stores, ramps, joint limits, takes. What is found keeps every row of the
// problem and every rule of on and off, and lies over the bound.
func TestRepairOfRandomPlants(t *testing.T) {
	found, asked := 0, 0
	for i := range 80 {
		p := randomProblem(rand.New(rand.NewPCG(randomSeed, uint64(i))))
		rng := rand.New(rand.NewPCG(randomSeed, 9000+uint64(i)))
		needs := misfit(p) != ""
		if needs && !haveClp {
			continue
		}
		var cycles []Cycle
		for j := range p.Boilers {
			b := &p.Boilers[j]
			for t := range b.Available {
				b.Available[t] = math.Ceil(b.Available[t] - 0.6)
			}
			paid := slices.Min(b.FuelPrice) < 0 // then burning more would pay, and the hull would be no bound
			for m := range p.Takes {
				p.Takes[m].Price = min(p.Takes[m].Price, max(0, slices.Min(b.FuelPrice)))
			}
			first, whole := b.Pieces[0].CapacityKW, b.Pieces[0].CapacityKW+b.Pieces[1].CapacityKW
			least, loss := 0.4*first*rng.Float64(), 0.0
			c := Cycle{StartSteps: rng.IntN(3)}
			if !paid {
				loss, c.StartKWh, c.StandbyKW = 2*rng.Float64(), 20*rng.Float64(), rng.Float64()
			}
			c.Curve = []Load{{least, 1.1*least + loss}, {first, 1.1*first + loss}, {whole, 1.1*first + 1.3*(whole-first) + loss}}
			if b.RampKW > 0 {
				b.RampKW += least
			}
			cycles = append(cycles, c)
		}
		s, proof, err := Plan(context.Background(), p, Options{})
		if errors.As(err, new(*NeedsClp)) {
			continue
		}
		if err != nil {
			t.Fatal(i, err)
		}
		asked++
		r, err := Repair(context.Background(), p, cycles, s, proof.LowerBound, Options{})
		if errors.Is(err, ErrNoRepair) {
			continue
		}
		if err != nil {
			t.Fatal(i, err)
		}
		found++
		t.Run(fmt.Sprint(i), func(t *testing.T) { keepsCycles(t, p, cycles, r) })
	}
	t.Logf("%d of %d repaired", found, asked)
	if found < asked*9/10 {
		t.Errorf("%d of %d are repaired; shortage has a price in them, so that nearly all can be", found, asked)
	}
}

func TestRepairFaults(t *testing.T) {
	p, cycles := pair(flat(3, 50))
	s, proof, err := Plan(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		spoil func([]Cycle) []Cycle
		want  string
	}{
		{func(c []Cycle) []Cycle { return c[:1] }, "cycles: there are 1; want one for each of 2 boilers"},
		{func(c []Cycle) []Cycle { c[0].Curve = []Load{{40, 40}, {40, 50}}; return c }, `problem: boiler "B1": load 1: want more heat and more fuel than at the one before`},
		{func(c []Cycle) []Cycle { p.Boilers[0].FuelPrice = flat(3, -0.1); c[0].StartKWh = 5; return c }, `problem: boiler "B1": burning more would pay at times, at a price below 0 or below that of its take; want neither with starts, standby or losses`},
		{func(c []Cycle) []Cycle {
			p.Boilers[0].FuelPrice, p.Boilers[0].Available = flat(3, 0.1), flat(3, 0.5)
			return c
		}, `problem: boiler "B1": is available in part; want all or nothing of a boiler that is on or off`},
		{func(c []Cycle) []Cycle { p.Boilers[0].Available = nil; c[1].StartKWh = -1; return c }, `problem: boiler "B2": start: is -1 kWh; want 0 or more`},
		{func(c []Cycle) []Cycle { c[1] = Cycle{StandbyKW: 1}; return c }, `problem: boiler "B2": has starts or standby and no curve`},
	} {
		_, err := Repair(context.Background(), p, c.spoil(slices.Clone(cycles)), s, proof.LowerBound, Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v; want %s", err, c.want)
		}
	}
	p.Limits = []Limit{{Name: "flue", Boilers: []int{0, 1}, MostKW: flat(3, 30)}} // B1's lowest fire does not pass
	p.Headers[0].DemandKW = flat(3, 28)
	cycles[1].Curve = []Load{{29.5, 30}, {60, 61}}
	p.Limits[0].MostKW = flat(3, 29)
	if _, err := Repair(context.Background(), p, cycles, s, 0, Options{}); !errors.Is(err, ErrNoRepair) {
		t.Errorf("got %v; want %v", err, ErrNoRepair)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Repair(ctx, p, cycles, s, 0, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v; want the context's error", err)
	}
}

// Boilers without lowest fire, start and standby: the relaxed plan is one that keeps to on and off.
func TestRepairOfNothing(t *testing.T) {
	p := plantYear{days: 7, stepsPerDay: 24, seed: 3}.problem()
	r := repaired(t, p, []Cycle{{}})
	closeTo(t, "cost", r.Cost, r.Bound, 1e-9*r.Bound)
	free := p.Boilers[0].Pieces
	r = repaired(t, p, []Cycle{{Curve: []Load{{0, 0}, {free[0].CapacityKW, free[0].CapacityKW * free[0].FuelPerHeat},
		{free[0].CapacityKW + free[1].CapacityKW, free[0].CapacityKW*free[0].FuelPerHeat + free[1].CapacityKW*free[1].FuelPerHeat}}}})
	closeTo(t, "cost with a lowest fire of nothing", r.Cost, r.Bound, 1e-9*r.Bound)
}

func TestRepairYear(t *testing.T) {
	unraced(t)
	if testing.Short() {
		t.Skip("a year of hours")
	}
	p := hourlyYear()
	n := p.N()
	var cycles []Cycle
	p.Boilers = nil
	for j, share := range []float64{600, 450} {
		b, c := straight(fmt.Sprintf("B%d", j+1), 0, 0.25*share, share, 1.1+0.05*float64(j), 0.01*share, flat(n, 0.05))
		c.StartKWh, c.StandbyKW = 120, 0.01*share
		p.Boilers, cycles = append(p.Boilers, b), append(cycles, c)
	}
	r := repaired(t, p, cycles)
	t.Logf("bound %.0f, repaired %.0f (%.3f %% over), %d programs, starts %v", r.Bound, r.Cost, 100*r.GapFrac(), r.Solves, r.Starts)
	if r.GapFrac() > 0.05 {
		t.Errorf("the repaired plan lies %.2f %% over the bound; want less than 5 %%", 100*r.GapFrac())
	}
}

func BenchmarkRepairYear(b *testing.B) {
	p := hourlyYear()
	boiler, c := straight("B1", 0, 250, 1050, 1.15, 10, flat(p.N(), 0.05))
	p.Boilers, c.StartKWh = []Boiler{boiler}, 120
	s, proof, err := Plan(context.Background(), p, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		r, err := Repair(context.Background(), p, []Cycle{c}, s, proof.LowerBound, Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(r.Solves), "solves/op")
		b.ReportMetric(100*r.GapFrac(), "gap-%")
	}
}
