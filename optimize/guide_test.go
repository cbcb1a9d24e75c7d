package optimize

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
)

// afternoon is six steps of four hours from midnight: one boiler whose fuel is dear in the evening, sun
// about noon, a tank without limits that loses nothing but in the night's first step, where all is lost.
func afternoon(evening float64) Problem {
	p := simple([]float64{5, 5, 10, 10, 10, 5}, []float64{0.05, 0.05, 0.05, 0.05, evening, 0.05})
	p.StepH = 4
	p.Fields = []Field{one("dishes", []float64{0, 0, 20, 16, 0, 0}, []float64{0, 0, 20, 16, 0, 0})}
	p.Stores = []Store{lossless(6, 100)}
	p.Stores[0].Keep = []float64{0, 1, 1, 1, 1, 1}
	return p
}

var guideTests = []struct {
	name, src string
	build     func() Problem
	want      []float64
}{
	{"dear evening", "by hand: the evening's 40 kWh spare the boiler 0.09 each, later ones 0.05. Before the afternoon none is wanted, as " +
		"its 64 kWh of sun can all go into the store while the boiler serves the header at 0.05",
		func() Problem { return afternoon(0.09) }, []float64{0, 0, 0, 40, 0, 0}},
	{"dull afternoon", "by hand: as above, but the afternoon brings 12 kWh of sun and the forenoon 20: 40, 28 and 8 are still to come", func() Problem {
		p := afternoon(0.09)
		sun := []float64{0, 0, 5, 3, 0, 0}
		p.Fields[0] = one("dishes", sun, sun)
		return p
	}, []float64{8, 8, 28, 40, 0, 0}},
	{"one price", "by hand: no hour's boiler heat is dearer than another's", func() Problem { return afternoon(0.05) }, make([]float64, 6)},
	{"no sun, one price", "by hand: as above, and no sun", func() Problem {
		p := afternoon(0.05)
		p.Fields = nil
		return p
	}, make([]float64, 6)},
	{"cheap evening", "by hand: only before a dearer hour may heat be held back, and the night is one: 20 kWh at 0.05 over 0.03", func() Problem {
		return afternoon(0.03)
	}, []float64{0, 0, 0, 0, 20, 0}},
	{"small tank", "by hand: the tank is all wanted in the evening; spare sun fills it", func() Problem {
		p := afternoon(0.09)
		p.Stores[0].CapacityKWh = 12
		return p
	}, []float64{0, 0, 0, 12, 0, 0}},
	{"boilers fall short", "by hand: in the evening 10 kW are asked for and the boiler gives 7: 4 h of 3 kW, " +
		"for which before the afternoon its sun is still to come", func() Problem {
		p := afternoon(0.05)
		p.Boilers[0].Pieces[0].CapacityKW = 7
		return p
	}, []float64{0, 0, 0, 12, 0, 0}},
	{"no volume", "by hand: nothing can be held", func() Problem {
		p := afternoon(0.09)
		p.Stores[0].CapacityKWh = 0
		return p
	}, make([]float64, 6)},
}

func TestGuideByHand(t *testing.T) {
	t.Parallel()
	for _, tt := range guideTests {
		g, err := Guide(context.Background(), tt.build())
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		for i, want := range tt.want {
			if math.Abs(g.HoldKWh[i]-want) > 1e-6 {
				t.Errorf("%s: hold back %v, want %v (%s)", tt.name, g.HoldKWh, tt.want, tt.src)
				break
			}
		}
	}
	p := afternoon(0.05)
	p.Boilers[0].Pieces[0].CapacityKW = 7
	g, err := Guide(context.Background(), p)
	if err != nil || !math.IsInf(g.BoilerPrice[4], 1) || g.BoilerPrice[3] != 0.05 {
		t.Errorf("boiler prices %v, %v; want 0.05 and, in the evening, none that would do", g.BoilerPrice, err)
	}
}

func TestNoGuide(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		spoil     func(p *Problem)
		want, src string
	}{
		{func(p *Problem) { p.Stores, p.Fields = nil, nil }, "there is no store", "nothing to hold back"},
		{func(p *Problem) { p.Boilers[0].RampKW = 5 }, `boiler "B1" has a ramp`, "a ramp couples the hours too"},
	} {
		p := afternoon(0.09)
		tt.spoil(&p)
		_, err := Guide(context.Background(), p)
		if no := (*NoGuide)(nil); !errors.As(err, &no) || !strings.Contains(no.Why, tt.want) {
			t.Errorf("error %v; want a NoGuide with %q (%s)", err, tt.want, tt.src)
		}
	}
	p := afternoon(0.09)
	p.Boilers = nil
	if _, err := Guide(context.Background(), p); !errors.As(err, new(*NoPlan)) {
		t.Errorf("without a boiler: error %v; want a NoPlan", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Guide(ctx, afternoon(0.09)); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: error %v", err)
	}
}
