package answer

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// twoBoilers is the built-in dyehouse with a gas boiler too small for its day shifts and an oil boiler,
// whose heat is dearer, for the rest.
func twoBoilers(t *testing.T) scenarios.Case {
	t.Helper()
	text, err := scenarios.Source("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	s := strings.Replace(string(text), "capacity: 2500 kg/h", "capacity: 1300 kg/h", 1)
	s = strings.Replace(s, "\nboilers:\n", "\n  - {name: furnace oil, price: 690 EUR/t}\n\nboilers:\n"+
		"  - {name: B2, header: main, fuel: furnace oil, capacity: 1300 kg/h, efficiency: 84 %, efficiency_basis: net}\n", 1)
	c, err := scenarios.Parse("two.yaml", []byte(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestGuideOfTwoBoilers(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("a whole year")
	}
	p, err := PlanAt(context.Background(), twoBoilers(t), 40, "")
	if err != nil {
		t.Fatal(err)
	}
	g := p.Guide
	if g.Why != "" || len(g.HoldKWh) != p.Axis.N || len(g.Advice) == 0 {
		t.Fatalf("guide %q with %d levels and %d pieces of advice; want one for each of %d steps, and some", g.Why, len(g.HoldKWh), len(g.Advice), p.Axis.N)
	}
	cheap, dear := math.Inf(1), 0.0
	for i, hold := range g.HoldKWh {
		if !(hold >= 0 && hold <= p.CapacityKWh) {
			t.Fatalf("step %d: level %g; want 0 to %g", i, hold, p.CapacityKWh)
		}
		cheap, dear = math.Min(cheap, g.BoilerPrice[i]), math.Max(dear, g.BoilerPrice[i])
		// The plan itself goes by the guide: it draws no further than the level.
		if end := p.StoredKWh[i+1]; p.StoreOutKW[i] > 0 && end < hold-1e-6*p.CapacityKWh && p.StoredHeatPrice[i] < g.BoilerPrice[i]*(1-1e-9) {
			t.Fatalf("step %d: the plan draws to %g kWh, below the level %g", i, end, hold)
		}
	}
	for i, hold := range g.HoldKWh {
		if hold > 0 && g.BoilerPrice[i] > cheap*(1+1e-9) {
			t.Fatalf("step %d: %g kWh held back while the dearest heat burns; no later hour can be dearer", i, hold)
		}
	}
	if dear < cheap*1.05 {
		t.Errorf("boilers' prices run from %g to %g; the case should have two", cheap, dear)
	}
	for m := range g.Hours {
		for h, c := range g.Hours[m] {
			if !(c.HoldFrac >= 0 && c.HoldFrac <= 1 && c.GivesFrac >= 0 && c.GivesFrac <= 1 && c.ShortFrac == 0) ||
				!(c.BoilerPrice >= cheap*(1-1e-9) && c.BoilerPrice <= dear*(1+1e-9)) {
				t.Errorf("month %d, %d h: %+v", m+1, h, c)
			}
			if top := g.Gauge[5]; c.Hold.TempC < g.Gauge[0].TempC-1e-9 || c.Hold.TempC > top.TempC+1e-9 || c.Hold.BarG > top.BarG+1e-9 {
				t.Errorf("month %d, %d h: gauges %+v; want them between empty and full", m+1, h, c.Hold)
			}
		}
	}
}

func TestGuideOfOneBoiler(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("a whole year")
	}
	c, err := scenarios.Load("dyehouse")
	if err != nil {
		t.Fatal(err)
	}
	p, err := PlanAt(context.Background(), c, 40, "")
	if err != nil {
		t.Fatal(err)
	}
	if p.Guide.Why != "" || p.Guide.MostHoldFrac() != 0 || len(p.Guide.Advice) != 0 {
		t.Errorf("with one boiler and one price, up to %g of full is held back; want nothing: no later kWh is dearer than this one", p.Guide.MostHoldFrac())
	}
	p, err = PlanAt(context.Background(), c, 0, "")
	if err != nil {
		t.Fatal(err)
	}
	if p.Guide.Why == "" || p.Guide.HoldKWh != nil {
		t.Errorf("without a volume: guide %+v; want none and why", p.Guide)
	}
}

// The table is the plain mean over a month's steps of an hour.
func TestByHour(t *testing.T) {
	t.Parallel()
	axis, err := clock.NewYear(2026, 30*time.Minute, 0)
	if err != nil {
		t.Fatal(err)
	}
	a := Plan{Axis: axis, StoreOutKW: make(clock.KW, axis.N), StoredHeatPrice: make([]float64, axis.N)}
	g := Guide{FullKWh: 200, HoldKWh: make([]float64, axis.N), BoilerPrice: make([]float64, axis.N)}
	for i := range axis.N {
		at := axis.At(i)
		g.BoilerPrice[i] = 0.05
		if at.Month() == time.February && at.Hour() == 17 {
			g.HoldKWh[i] = float64(10 * at.Day()) // of 28 days, each twice: mean 145
			a.StoredHeatPrice[i] = 0.04
			if at.Minute() == 30 {
				a.StoreOutKW[i] = 3
			}
			if at.Day() > 21 {
				g.BoilerPrice[i] = math.Inf(1)
			}
		}
	}
	g.byHour(&a, func(frac float64) Gauge { return Gauge{Frac: frac} })
	got := g.Hours[1][17]
	want := GuideHour{HoldKWh: 145, HoldFrac: 0.725, Hold: Gauge{Frac: 0.725}, GivesFrac: 0.5, StorePrice: 0.04, BoilerPrice: 0.05, ShortFrac: 0.25}
	for _, v := range [][2]float64{{got.HoldKWh, want.HoldKWh}, {got.HoldFrac, want.HoldFrac}, {got.Hold.Frac, want.Hold.Frac}, {got.GivesFrac, want.GivesFrac},
		{got.StorePrice, want.StorePrice}, {got.BoilerPrice, want.BoilerPrice}, {got.ShortFrac, want.ShortFrac}} {
		if math.Abs(v[0]-v[1]) > 1e-12 {
			t.Fatalf("February 17:00: %+v, want %+v (by hand: 10·(1 + ... + 28)/28 = 145 of 200; every other step; 7 of 28 days short)", got, want)
		}
	}
	if other := g.Hours[1][16]; other.HoldKWh != 0 || other.BoilerPrice == 0 {
		t.Errorf("February 16:00: %+v; want nothing held", other)
	}
}
