package optimize

import (
	"context"
	"math"
	"strings"
	"testing"
)

// whole is a problem with every part, all of it in order.
func whole() Problem {
	p := simple(flat(3, 10), flat(3, 0.1))
	p.Headers = append(p.Headers, Header{Name: "low", DemandKW: flat(3, 5)})
	p.Boilers[0].Pieces = append(p.Boilers[0].Pieces, Piece{10, 1.2})
	p.Boilers[0].Available = flat(3, 1)
	p.Valves = []Valve{{0, 1, 20}}
	p.Stores = []Store{lossless(3, 10)}
	p.Fields = []Field{{Name: "dishes", AreaM2: 10, HeaderKWM2: [][]float64{flat(3, 0.5), nil}, StoreKWM2: [][]float64{flat(3, 0.4)}}}
	return p
}

func TestCheck(t *testing.T) {
	if err := whole().Check(); err != nil {
		t.Fatal(err)
	}
	faults := []struct {
		says  string
		spoil func(*Problem)
	}{
		{"step: is 0 h", func(p *Problem) { p.StepH = 0 }},
		{"step: is NaN h", func(p *Problem) { p.StepH = math.NaN() }},
		{"there is no header", func(p *Problem) { p.Headers = nil }},
		{`header "low": demand: has 2 values; want 3`, func(p *Problem) { p.Headers[1].DemandKW = flat(2, 1) }},
		{`header "main": demand: step 1 is NaN`, func(p *Problem) { p.Headers[0].DemandKW[1] = math.NaN() }},
		{`header "main": demand: step 2 is -1; want 0 or more`, func(p *Problem) { p.Headers[0].DemandKW[2] = -1 }},
		{`header "main": unmet price: is -1`, func(p *Problem) { p.Headers[0].UnmetPrice = -1 }},
		{`header "main": the name is used twice`, func(p *Problem) { p.Headers[1].Name = "main" }},
		{`header 1: has no name`, func(p *Problem) { p.Headers[1].Name = "" }},
		{`field "dishes": area: is -2 m²`, func(p *Problem) { p.Fields[0].AreaM2 = -2 }},
		{`yields for 3 headers; there are 2`, func(p *Problem) { p.Fields[0].HeaderKWM2 = make([][]float64, 3) }},
		{`yields for 2 stores; there are 1`, func(p *Problem) { p.Fields[0].StoreKWM2 = make([][]float64, 2) }},
		{`yield to header 0: step 0 is +Inf`, func(p *Problem) { p.Fields[0].HeaderKWM2[0][0] = math.Inf(1) }},
		{`yield to store 0: has 1 values`, func(p *Problem) { p.Fields[0].StoreKWM2[0] = flat(1, 1) }},
		{`heat cost: is -1`, func(p *Problem) { p.Fields[0].HeatCost = -1 }},
		{`fixed cost: is NaN`, func(p *Problem) { p.Fields[0].FixedCost = math.NaN() }},
		{`feeds header 2; there are 2`, func(p *Problem) { p.Boilers[0].Header = 2 }},
		{`has no piece`, func(p *Problem) { p.Boilers[0].Pieces = nil }},
		{`less than the 1 before it; want the convex hull`, func(p *Problem) { p.Boilers[0].Pieces[1].FuelPerHeat = 0.9 }},
		{`fuel per heat: is 0`, func(p *Problem) { p.Boilers[0].Pieces[0].FuelPerHeat = 0 }},
		{`piece 1: capacity: is -1 kW`, func(p *Problem) { p.Boilers[0].Pieces[1].CapacityKW = -1 }},
		{`available: step 1 is 1.5; want 0 to 1`, func(p *Problem) { p.Boilers[0].Available[1] = 1.5 }},
		{`fuel price: has 4 values`, func(p *Problem) { p.Boilers[0].FuelPrice = flat(4, 1) }},
		{`valve 0: leads from header 1 to 0`, func(p *Problem) { p.Valves[0] = Valve{1, 0, 1} }},
		{`store "tank": keep: step 0 is 1.01; want 0 to 1`, func(p *Problem) { p.Stores[0].Keep[0] = 1.01 }},
		{`store "tank": serves header 7`, func(p *Problem) { p.Stores[0].Header = 7 }},
		{`standing loss: step 0 is -1`, func(p *Problem) { p.Stores[0].StandingKW[0] = -1 }},
	}
	for _, f := range faults {
		p := whole()
		f.spoil(&p)
		err := p.Check()
		if err == nil || !strings.Contains(err.Error(), f.says) {
			t.Errorf("error %v; want one that says %q", err, f.says)
		}
		if _, _, err := Plan(context.Background(), p, Options{}); err == nil {
			t.Errorf("%s: Plan takes it", f.says)
		}
	}
	p := whole()
	p.StepH, p.Headers[0].DemandKW[0], p.Fields[0].AreaM2 = 1, -1, -1
	if err := p.Check(); strings.Count(err.Error(), "\n") != 1 {
		t.Errorf("two faults are said as %q", err)
	}
}
