package optimize

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"
)

// twoBoilers is B1 of 100 kW at 0.1 and B2 of 100 kW at 0.2 for a flat demand, three steps.
func twoBoilers(demand float64) Problem {
	p := simple(flat(3, demand), flat(3, 0.1))
	p.Boilers = append(p.Boilers, Boiler{Name: "B2", Pieces: []Piece{{100, 1}}, FuelPrice: flat(3, 0.2)})
	return p
}

var linkTests = []struct {
	name, src, engine string
	build             func() Problem
	want              float64
}{
	{"limit leaves the cheap one first", "by hand: 80 at 0.1 and 40 at 0.2, 3 steps; the limit of 150 is slack", EngineOneStore, func() Problem {
		p := twoBoilers(120)
		p.Boilers[0].Pieces[0].CapacityKW = 80
		p.Limits = []Limit{{Name: "flue", Boilers: []int{0, 1}, MostKW: flat(3, 150)}}
		return p
	}, 3 * (8 + 8)},
	{"limit sends the rest to a third", "by hand: of 120, 90 through the flue at 0.1, 30 at 0.5, 3 steps", EngineOneStore, func() Problem {
		p := twoBoilers(120)
		p.Boilers = append(p.Boilers, Boiler{Name: "B3", Pieces: []Piece{{100, 1}}, FuelPrice: flat(3, 0.5)})
		p.Limits = []Limit{{Name: "flue", Boilers: []int{0, 1}, MostKW: flat(3, 90)}}
		return p
	}, 3 * (9 + 15)},
	{"limit of fuel", "by hand: 100 kW of gas line at 1.25 kWh a kWh are 80 kW of heat, the other 40 at 0.5 from power, 3 steps: 80·1.25·0.1 + 20", EngineOneStore, func() Problem {
		p := twoBoilers(120)
		p.Boilers[0].Pieces[0].FuelPerHeat = 1.25
		p.Boilers[1].FuelPrice = flat(3, 0.5)
		p.Limits = []Limit{{Name: "gas line", Boilers: []int{0}, MostKW: flat(3, 100), OfFuel: true}}
		return p
	}, 3 * (10 + 20)},
	{"limits that share a boiler", "by hand: B1 and B2 under 100, B2 and B3 under 30: 100 at 0.1, 20 at 0.5, 3 steps", EngineClp, func() Problem {
		p := twoBoilers(120)
		p.Boilers = append(p.Boilers, Boiler{Name: "B3", Pieces: []Piece{{100, 1}}, FuelPrice: flat(3, 0.5)})
		p.Limits = []Limit{{Name: "flue", Boilers: []int{0, 1}, MostKW: flat(3, 100)}, {Name: "hall", Boilers: []int{1, 2}, MostKW: flat(3, 30)}}
		return p
	}, 3 * (10 + 10)},
	{"a store goes round a limit", "by hand: 60 kW may be made in each step and 90, 30, 60 are asked; the sun of step 3 (30) is kept for step 1: 150 bought at 0.1", EngineOneStore, func() Problem {
		p := simple([]float64{90, 30, 60}, flat(3, 0.1))
		p.Fields = []Field{one("dishes", nil, []float64{0, 0, 30})}
		p.Stores = []Store{lossless(3, 50)}
		p.Limits = []Limit{{Name: "flue", Boilers: []int{0}, MostKW: flat(3, 60)}}
		return p
	}, 15},
	{"take that does not bind", "by hand: 300 kWh at 0.1; 250 are asked to be taken", EngineOneStore, func() Problem {
		p := simple(flat(3, 100), flat(3, 0.1))
		p.Takes = []Take{{Name: "gas", Boilers: []int{0}, LeastKWh: 250, Price: 0.1}}
		return p
	}, 30},
	{"take or pay", "by hand: 500 are paid for at 0.1, 300 burnt", EngineClp, func() Problem {
		p := simple(flat(3, 100), flat(3, 0.1))
		p.Takes = []Take{{Name: "gas", Boilers: []int{0}, LeastKWh: 500, Price: 0.1}}
		return p
	}, 50},
	{"take turns the order round", "by hand: B2 at 0.2 is paid for up to 150 kWh, burnt or not: it burns 150 (30), B1 the other 150 (15)", EngineClp, func() Problem {
		p := twoBoilers(100)
		p.Takes = []Take{{Name: "oil", Boilers: []int{1}, LeastKWh: 150, Price: 0.2}}
		return p
	}, 45},
	{"fixed cost", "by hand: 3·100·0.1 and 7 of standing charge", EngineOneStore, func() Problem {
		p := simple(flat(3, 100), flat(3, 0.1))
		p.FixedCost = 7
		return p
	}, 37},
}

func TestLimitsAndTakesByHand(t *testing.T) {
	for _, c := range linkTests {
		t.Run(c.name, func(t *testing.T) {
			p := c.build()
			eng, name, why, err := choose(p, "")
			if err != nil {
				if c.engine == EngineClp && !haveClp {
					t.Skip("needs Clp, which is not in this program: " + err.Error())
				}
				t.Fatal(err)
			}
			eng.close()
			if name != c.engine {
				t.Errorf("engine %s, %s; want %s", name, why, c.engine)
			}
			s, proof, err := Plan(context.Background(), p, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if off(s.Cost, c.want) || off(proof.LowerBound, c.want) {
				t.Errorf("cost %.12g, bound %.12g; want %g (%s)", s.Cost, proof.LowerBound, c.want, c.src)
			}
		})
	}
}

func TestLimitFaults(t *testing.T) {
	for _, c := range []struct {
		spoil func(*Problem)
		want  string
	}{
		{func(p *Problem) { p.Limits = []Limit{{Name: "flue", MostKW: flat(3, 1)}} }, `limit "flue": has no boiler; want at least one`},
		{func(p *Problem) { p.Limits = []Limit{{Name: "flue", Boilers: []int{2}, MostKW: flat(3, 1)}} }, `limit "flue": has boiler 2; there are 2`},
		{func(p *Problem) { p.Limits = []Limit{{Name: "flue", Boilers: []int{1, 1}, MostKW: flat(3, 1)}} }, `limit "flue": has boiler 1 twice`},
		{func(p *Problem) { p.Limits = []Limit{{Name: "flue", Boilers: []int{0}, MostKW: flat(3, -1)}} }, `limit "flue": most: step 0 is -1; want 0 or more`},
		{func(p *Problem) { p.Takes = []Take{{Name: "gas", Boilers: []int{0}, LeastKWh: -1}} }, `take "gas": least: is -1 kWh; want 0 or more`},
		{func(p *Problem) { p.Takes = []Take{{Boilers: []int{0}}} }, `take 0: has no name`},
	} {
		p := twoBoilers(10)
		c.spoil(&p)
		if err := p.Check(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v; want %q", err, c.want)
		}
	}
}

// Where a limit can be folded, the one-store engine must agree with Clp at any mix of prices and limits.
func TestLimitsFoldAsClp(t *testing.T) {
	if !haveClp {
		t.Skip("needs Clp, which is not in this program")
	}
	for i := range 60 {
		rng := rand.New(rand.NewPCG(randomSeed, 1000+uint64(i)))
		p := plantYear{days: 3, stepsPerDay: 24, seed: uint64(i)}.problem()
		p.Headers[0].UnmetPrice = 0.4
		n := p.N()
		for j := range 3 {
			price, most := make([]float64, n), make([]float64, n)
			for t := range price {
				price[t], most[t] = 0.03+0.05*rng.Float64(), 100+500*rng.Float64()
			}
			p.Boilers = append(p.Boilers, Boiler{Name: string(rune('X' + j)), Pieces: []Piece{{200 * rng.Float64(), 1.1}, {100, 1.3}}, FuelPrice: price})
			if j < 2 {
				p.Limits = append(p.Limits, Limit{Name: string(rune('a' + j)), Boilers: []int{2 * j, 2*j + 1}[:2-j], MostKW: most})
			}
		}
		one, _, err := Plan(context.Background(), p, Options{Engine: EngineOneStore})
		if err != nil {
			t.Fatal(i, err)
		}
		clp, _, err := Plan(context.Background(), p, Options{Engine: EngineClp})
		if err != nil {
			t.Fatal(i, err)
		}
		closeTo(t, "cost by both engines", one.Cost, clp.Cost, 1e-9*clp.Cost)
	}
}
