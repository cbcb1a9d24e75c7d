package onestore

import (
	"math"
	"testing"
)

// tank is a store without loss.
func tank(n int, capacity float64) *Store {
	return &Store{Capacity: capacity, Keep: flat(n, 1), Standing: flat(n, 0), Charge: 1e3, Discharge: 1e3}
}

// burner is a plant with one source of 100 kWh a step at a cost.
func burner(demand, cost []float64) Plant {
	return Plant{Demand: demand, UnmetCost: 50, Sources: []Source{{flat(len(cost), 100), cost}}}
}

// handTests are small enough for paper: one way of heat each.
var handTests = []struct {
	name, src string
	build     func() (Plant, *Store)
	cost      float64
	worth     float64 // of a kWh of capacity; NaN where it is not the same on both sides
}{
	{"straight", "by hand: 10 kWh that only the store can take serve step 1, less 2 for want of capacity, which cost 3", func() (Plant, *Store) {
		p := burner([]float64{0, 10}, flat(2, 3))
		p.Fields = []Field{{Store: []float64{10, 0}}}
		return p, tank(2, 8)
	}, 2 * 3, 3},
	{"kept warm", "by hand: each step the source gives 5 to the header and 2 to the empty store", func() (Plant, *Store) {
		p, s := burner(flat(2, 5), flat(2, 1)), tank(2, 10)
		s.Standing = flat(2, 2)
		return p, s
	}, 2 * 7, 0},
	{"kept warm by the sun of the step before", "by hand: of 9 kWh of sun 2 go into step 0's own standing loss, 2 into step 1's and 5 to step 1's header", func() (Plant, *Store) {
		p, s := burner([]float64{0, 6}, flat(2, 1)), tank(2, 10)
		s.Standing = flat(2, 2)
		p.Fields = []Field{{Store: []float64{9, 0}}}
		return p, s
	}, 1, 0},
	{"from the header", "by hand: step 0 buys 5 + 4 at 1, the limit; step 1 buys 6 of its 10 at 3", func() (Plant, *Store) {
		p, s := burner([]float64{5, 10}, []float64{1, 3}), tank(2, 50)
		s.FromHeader = 4
		return p, s
	}, 9 + 18, 0},
	{"from the header under the charging limit", "by hand: the limit of 6 takes the free 5 of the field and 1 at 1; step 1 buys 4 at 3", func() (Plant, *Store) {
		p, s := burner([]float64{0, 10}, []float64{1, 3}), tank(2, 50)
		s.FromHeader, s.Charge = 4, 6
		p.Fields = []Field{{Store: []float64{5, 0}}}
		return p, s
	}, 1 + 12, 0},
	{"field of ratio below 1", "by hand: the field's 10 at the header are 8 in the store, worth 3 each, and cost 1 each to replace: 10 + 2·3", func() (Plant, *Store) {
		p := burner(flat(2, 10), []float64{1, 3})
		p.Fields = []Field{{Header: []float64{10, 0}, Store: []float64{8, 0}}}
		return p, tank(2, 50)
	}, 10 + 2*3, 0},
	{"ratio below 1, not worth it", "by hand: 8·1.2 saved for 10·1 is a loss: the field serves the header", func() (Plant, *Store) {
		p := burner(flat(2, 10), []float64{1, 1.2})
		p.Fields = []Field{{Header: []float64{10, 0}, Store: []float64{8, 0}}}
		return p, tank(2, 50)
	}, 12, 0},
	{"ratio of 1", "by hand: 10 bought at 1 in place of 10 at 3", func() (Plant, *Store) {
		p := burner(flat(2, 10), []float64{1, 3})
		p.Fields = []Field{{Header: []float64{10, 0}, Store: []float64{10, 0}}}
		return p, tank(2, 50)
	}, 10, 0},
	{"ratio above 1", "by hand: 8 at the header, or 10 through the store, which gives them back in the same step at 1; step 1 buys 10 at 0.9", func() (Plant, *Store) {
		p := burner(flat(2, 10), []float64{1, 0.9})
		p.Fields = []Field{{Header: []float64{8, 0}, Store: []float64{10, 0}}}
		return p, tank(2, 50)
	}, 9, 0},
	{"two ratios under the charging limit", "by hand: the field of ratio 2 fills the 6 of room for 3 at the header; its other 2 and the " +
		"poor field's 5 serve the header: 20 − 7 at 1, then 4 of 10 at 3", func() (Plant, *Store) {
		p, s := burner([]float64{20, 10}, []float64{1, 3}), tank(2, 50)
		s.Charge = 6
		p.Fields = []Field{{Header: []float64{5, 0}, Store: []float64{4, 0}}, {Header: []float64{5, 0}, Store: []float64{10, 0}}}
		return p, s
	}, 13 + 12, 0},
	{"store-only field comes first", "by hand: the limit of 6 takes the 4 that are good for nothing else and 2 of the field of ratio 1: 10 − 3 at 1, 4 at 3", func() (Plant, *Store) {
		p, s := burner([]float64{10, 10}, []float64{1, 3}), tank(2, 50)
		s.Charge = 6
		p.Fields = []Field{{Header: []float64{5, 0}, Store: []float64{5, 0}}, {Store: []float64{4, 0}}}
		return p, s
	}, 7 + 12, 0},
	{"full to the charging limit with nothing at the header", "by hand, found as problem 93582 of TestTwoEnginesAgree: nothing is asked in step 0, the fields fill the limit " +
		"of 6, so that no flow says what a kWh at the header is worth at least, and ratio 0.6 what it is worth at most", func() (Plant, *Store) {
		p, s := burner([]float64{0, 10}, flat(2, 3)), tank(2, 50)
		s.Charge = 6
		p.Fields = []Field{{Header: []float64{5, 0}, Store: []float64{3, 0}}, {Store: []float64{3, 0}}}
		return p, s
	}, 12, 0},
	{"pumps cost", "by hand: 8 kWh pass the pumps at 0.5, none is bought; the other 2 stay unused", func() (Plant, *Store) {
		p := burner([]float64{0, 8}, flat(2, 3))
		p.Fields, p.HeatCost = []Field{{Store: []float64{10, 0}}}, 0.5
		return p, tank(2, 50)
	}, 4, 0},
	{"a source cheaper than the pumps", "by hand: step 0's 5 come from the source at 0.25; the sun's 10 into the store at 0.5 save 3 each", func() (Plant, *Store) {
		p := burner([]float64{5, 10}, []float64{0.25, 3})
		p.Fields, p.HeatCost = []Field{{Header: []float64{10, 0}, Store: []float64{10, 0}}}, 0.5
		return p, tank(2, 50)
	}, 5*0.25 + 10*0.5, 0},
	{"vents", "by hand: burn 100 at −0.1, 5 of it asked, 6 stored, 89 let go; buy 2 of 8 at 0.1", func() (Plant, *Store) {
		p, s := burner([]float64{5, 8}, []float64{-0.1, 0.1}), tank(2, 50)
		p.Vents, s.FromHeader = true, 6
		return p, s
	}, -10 + 0.2, 0},
	{"a full store lets go", "by hand: the store must lose the 4 that step 1 brings above its 3, or the field idles: free either way; 3 are saved at 2", func() (Plant, *Store) {
		p, s := burner([]float64{0, 0, 5}, []float64{-1, -1, 2}), tank(3, 3)
		p.Vents = true
		p.Fields = []Field{{Store: []float64{3, 4, 0}}}
		return p, s
	}, -200 + 4, 2},
	{"keep 0", "by hand: nothing is left a step later: 10 at 3 as without a store", func() (Plant, *Store) {
		p, s := burner([]float64{0, 10}, flat(2, 3)), tank(2, 50)
		s.Keep = flat(2, 0)
		p.Fields = []Field{{Store: []float64{10, 0}}}
		return p, s
	}, 30, 0},
	{"keep 1, never full", "by hand: 6 of the 10 asked come from the sun of a year that repeats, whatever the store held before", func() (Plant, *Store) {
		p := burner([]float64{0, 10}, flat(2, 1))
		p.Fields = []Field{{Store: []float64{6, 0}}}
		return p, tank(2, 1e4)
	}, 4, 0},
	{"keep 1, two prices, never full", "by hand: 7 kWh of sun, the 5 asked at 3 first, then 2 of the 5 at 1", func() (Plant, *Store) {
		p := burner([]float64{5, 0, 5}, []float64{1, 1, 3})
		p.Fields = []Field{{Store: []float64{0, 7, 0}}}
		return p, tank(3, 1e4)
	}, 3, 0},
	{"keep a half, never empty", "by hand: 4 of the 10 may be drawn in step 1. Sun of 20 halves to 10 and the rest to less: 6 at 1 are bought, however full the store", func() (Plant, *Store) {
		p, s := burner([]float64{0, 10}, flat(2, 1)), tank(2, 1e4)
		s.Keep, s.Discharge = flat(2, 0.5), 4
		p.Fields = []Field{{Store: []float64{20, 0}}}
		return p, s
	}, 6, 0},
	{"keep a half, many steps", "by hand, found as plant 2200 of TestRandomPlantsAreProven, where rounding doubled in each of a hundred steps: 4.1 kWh of sun " +
		"are 2.05 a step later, of the 10 asked at 1: 7.95 in each of 100 pairs", func() (Plant, *Store) {
		p, s := burner(nil, flat(200, 1)), tank(200, 8.6)
		s.Keep = flat(200, 0.5)
		var f Field
		for range 100 {
			p.Demand, f.Store = append(p.Demand, 0, 10), append(f.Store, 4.1, 0)
		}
		p.Fields = []Field{f}
		return p, s
	}, 795, 0},
	{"more unmet than can be", "by hand: 5 of each 10 are missing at 50", func() (Plant, *Store) {
		p := burner(flat(2, 10), flat(2, 1))
		p.Sources[0].Cap = flat(2, 5)
		return p, tank(2, 5)
	}, 2 * (5 + 250), 0},
	{"no capacity", "by hand: a store that can hold nothing is none: 10 at 3", func() (Plant, *Store) {
		p := burner([]float64{0, 10}, flat(2, 3))
		p.Fields = []Field{{Store: []float64{10, 0}}}
		return p, tank(2, 0)
	}, 30, 3},
	{"one step", "by hand: what is bought to be stored in a step that repeats is lost in part, for nothing", func() (Plant, *Store) {
		p, s := burner([]float64{10}, []float64{1}), tank(1, 50)
		s.Keep, s.FromHeader = []float64{0.9}, 5
		return p, s
	}, 10, 0},
}

func TestByHand(t *testing.T) {
	t.Parallel()
	for _, tt := range handTests {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("no source")
			}
			p, store := tt.build()
			a := must(t, p, store)
			if math.Abs(a.cost-tt.cost) > 1e-9 {
				t.Errorf("costs %.12g; want %.12g (%s)", a.cost, tt.cost, tt.src)
			}
			if worth := capacityWorth(store, a.Plan); !math.IsNaN(tt.worth) && math.Abs(worth-tt.worth) > 1e-9 {
				t.Errorf("a kWh of capacity is worth %.12g; want %.12g (%s)", worth, tt.worth, tt.src)
			}
		})
	}
}

// A store that is neither full nor empty in the year, or loses nothing, leaves the year's end in what is worth
// holding: the year is then opened.
func TestYearsThatMustBeOpened(t *testing.T) {
	t.Parallel()
	opened := map[string]bool{"keep 1, never full": true, "keep 1, two prices, never full": true, "keep a half, never empty": true,
		"straight": false, "keep 0": false}
	for _, tt := range handTests {
		want, asked := opened[tt.name]
		if !asked {
			continue
		}
		p, store := tt.build()
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Solve(t.Context(), store); err != nil {
			t.Fatal(err)
		}
		if s.opened() != want {
			t.Errorf("%s: the year was opened: %t; want %t", tt.name, s.opened(), want)
		}
	}
}
