package answer

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"noonkeep/scenarios"
)

// bidCase is a small plant; every figure of it is made up.
func bidCase(t *testing.T, pairs ...string) scenarios.Case {
	t.Helper()
	text := `noonkeep: 1
name: works
site: {latitude: 37.6 deg, longitude: 31.4 deg, elevation: 1010 m, utc_offset: +3 h}
weather: {monthly: {ghi: [2.6, 3.6, 4.9, 5.9, 7.0, 8.1, 8.3, 7.4, 6.1, 4.3, 3.0, 2.3 kWh/m2d], air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]}, seed: 7}
time: {shutdown: [2026-07-06..2026-07-19]}
headers: [{name: main, pressure: 6 bar(g), feedwater: 85 degC}]
loads: [{name: vats, header: main, steam: 1250 kg/h, when: "Mon-Sat 06:00-22:00"}]
fuels: [{name: natural gas, price: 0.052 EUR/kWh}]
boilers: [{name: B1, header: main, fuel: natural gas, capacity: 2500 kg/h, efficiency: 88 %}]
fields: [{name: dishes, collector: {kind: dish}, count: 30, aperture: 90 m2, header: main}]
store: {vessel: flash, header: main, volume: 40 m3, steps: 0..60 m3, working_pressure: 18 bar(g), cost: {per_m3: 3000 EUR/m3}}
money: {currency: EUR, life: 20 a, discount: 8 %}
`
	for i := 0; i+1 < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("the plant has no %q", pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	c, err := scenarios.Parse("works.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func bidAt(t *testing.T, c scenarios.Case) Bid {
	t.Helper()
	b, err := MakeBid(context.Background(), c, BidOptions{Seeds: -1, Cases: -1, Options: Options{StepM3: 10, GapFrac: 0.01}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The chosen volume is a point of the curve, between its neighbours, and the plan's own cost; months add up to the year.
func TestBidHoldsTogether(t *testing.T) {
	t.Parallel()
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
	for _, m3 := range []float64{40, 37.3, 90} { // one that is solved anyway, one between, one past the scenario's steps
		c, err := bidCase(t).WithVolume(m3)
		if err != nil {
			t.Fatal(err)
		}
		b := bidAt(t, c)
		if b.Chosen.VolumeM3 != m3 {
			t.Errorf("the bid is for %g m³; want %g", b.Chosen.VolumeM3, m3)
		}
		found := false
		for i, p := range b.Curve.Points {
			found = found || p.VolumeM3 == m3
			if i > 0 && p.VolumeM3 <= b.Curve.Points[i-1].VolumeM3 {
				t.Errorf("%g m³: the curve's volumes do not rise at %g m³", m3, p.VolumeM3)
			}
		}
		if !found {
			t.Errorf("%g m³ is no point of the curve", m3)
		}
		if near := math.Abs(b.Plan.AnnualCost - b.Chosen.AnnualCost); near > 1e-6*b.Chosen.AnnualCost {
			t.Errorf("%g m³: the plan costs %g and the point %g", m3, b.Plan.AnnualCost, b.Chosen.AnnualCost)
		}
		var demand, sun, fuel float64
		for _, m := range b.Months {
			demand, sun, fuel = demand+m.DemandKWh, sun+m.SunKWh, fuel+m.FuelKWh
			if in, out := m.SunKWh+m.StoreOutKWh+m.BoilerKWh+m.UnmetKWh, m.DemandKWh; in < out-1e-6*demand {
				t.Errorf("month %d: %g kWh come and %g are asked for", m.Month, in, out)
			}
		}
		for _, x := range []struct {
			what      string
			got, want float64
		}{{"demand", demand, b.Curve.DemandKWh}, {"sun", sun, b.Chosen.SunToHeaderKWh}, {"fuel", fuel, b.Chosen.FuelKWh}} {
			if math.Abs(x.got-x.want) > 1e-6*math.Max(1, b.Curve.DemandKWh) {
				t.Errorf("%g m³: the months' %s is %g; want %g", m3, x.what, x.got, x.want)
			}
		}
		if b.TankMoney == nil || math.Abs(b.TankMoney.Years[len(b.TankMoney.Years)-1].WorthSum-b.Chosen.Money.Tank.NPV) > 1e-6 {
			t.Errorf("%g m³: the table by year does not end at the net present value", m3)
		}
	}
}

// Weeks are of their season, by the side of the equator, whole, and not those of a shutdown.
func TestBidPicksWeeks(t *testing.T) {
	t.Parallel()
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
	for _, x := range []struct {
		latitude       string
		summer, winter []time.Month
	}{
		{"37.6 deg", []time.Month{6, 7, 8}, []time.Month{12, 1, 2}},
		{"-37.6 deg", []time.Month{12, 1, 2}, []time.Month{6, 7, 8}},
	} {
		pairs := []string{"latitude: 37.6 deg", "latitude: " + x.latitude}
		if x.latitude[0] == '-' { // the months of the other half of the year
			pairs = append(pairs, "[2.6, 3.6, 4.9, 5.9, 7.0, 8.1, 8.3, 7.4, 6.1, 4.3, 3.0, 2.3 ", "[8.3, 7.4, 6.1, 4.3, 3.0, 2.3, 2.6, 3.6, 4.9, 5.9, 7.0, 8.1 ")
		}
		b := bidAt(t, bidCase(t, pairs...))
		for name, w := range map[string]struct {
			week   PickedWeek
			months []time.Month
		}{"summer": {b.Summer, x.summer}, "winter": {b.Winter, x.winter}} {
			from := b.Plan.Axis.At(w.week.From)
			in := false
			for _, m := range w.months {
				in = in || from.Month() == m
			}
			if !in || from.Weekday() != time.Monday || w.week.To-w.week.From != 168 {
				t.Errorf("at %s the week of %s begins on %s with %d h", x.latitude, name, from.Format("Mon 2 Jan"), w.week.To-w.week.From)
			}
			if ask := sum(b.Plan.DemandKW[w.week.From:w.week.To]); ask < 1 {
				t.Errorf("at %s the week of %s, from %s, has no work in it", x.latitude, name, from.Format("2 Jan"))
			}
		}
	}
}

// A plant with its store at another volume is the plant that is written so.
func TestWithVolume(t *testing.T) {
	t.Parallel()
	c, err := bidCase(t).WithVolume(25)
	if err != nil {
		t.Fatal(err)
	}
	written := bidCase(t, "volume: 40 m3", "volume: 25 m3")
	if c.Store.VolumeM3 != 25 || c.Name != written.Name || c.Variant != "" {
		t.Errorf("%g m³, %q, variant %q", c.Store.VolumeM3, c.Name, c.Variant)
	}
	a, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	b, err := written.Problem()
	if err != nil {
		t.Fatal(err)
	}
	if a.Stores[0].CapacityKWh != b.Stores[0].CapacityKWh || a.Stores[0].Keep[0] != b.Stores[0].Keep[0] {
		t.Errorf("capacities %g and %g kWh", a.Stores[0].CapacityKWh, b.Stores[0].CapacityKWh)
	}
	if _, err := bidCase(t).WithVolume(-1); err == nil {
		t.Error("a store of -1 m³ is taken")
	}
}

// What was written is listed with its line, what was filled in with its reason, and each part's ground is told.
func TestBidInputs(t *testing.T) {
	t.Parallel()
	c := bidCase(t)
	has := func(key, value string, line int) {
		t.Helper()
		for _, in := range inputsOf(c) {
			if in.Key == key && in.Value == value && in.Line == line {
				return
			}
		}
		t.Errorf("no input %s: %s in line %d", key, value, line)
	}
	has("loads[vats].steam", "1250 kg/h", 7)
	has("weather.monthly.air", "0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC", 4)
	has("store.cost.per_m3", "3000 EUR/m3", 11)
	has("store.length_per_diameter", "3", 0)
	grounds := map[string]Ground{}
	for _, b := range basesOf(c) {
		grounds[b.Of+" "+b.Name] = b.Ground
	}
	for name, want := range map[string]Ground{"weather ": Generated, "load vats": Given, "field dishes": Assumption, "boiler B1": Given, "prices ": Given} {
		if grounds[name] != want {
			t.Errorf("%s is %q; want %q", name, grounds[name], want)
		}
	}
}
