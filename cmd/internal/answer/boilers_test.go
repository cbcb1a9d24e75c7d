package answer

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// house is a plant of two boilers with a small store; pairs are old and new texts.
func house(t testing.TB, pairs ...string) scenarios.Case {
	t.Helper()
	text := `noonkeep: 1
name: two boilers
site: {latitude: 38.7 deg, longitude: 29.1 deg, elevation: 470 m, utc_offset: +1 h}
weather: {monthly: {ghi: [2.2, 3.1, 4.4, 5.6, 6.8, 7.8, 8.0, 7.1, 5.7, 3.9, 2.6, 2.0 kWh/m2d], air: [4, 5, 8, 13, 18, 23, 26, 26, 21, 15, 9, 5 degC]}, seed: 7}
headers: [{name: main, pressure: 6 bar(g), feedwater: 85 degC}]
loads: [{name: works, steam: 1800 kg/h, when: "Mon-Sat 06:00-22:00"}, {name: night, steam: 300 kg/h, when: "Mon-Sat 22:00-06:00"}]
fuels:
  - {name: natural gas, price: 0.05 EUR/kWh, price_basis: net}
  - {name: gas oil, price: 0.09 EUR/kWh, price_basis: net}
boilers:
  - {name: B1, fuel: natural gas, capacity: 1500 kg/h, efficiency: 85 %}
  - {name: B2, fuel: gas oil, capacity: 1500 kg/h, efficiency: 85 %}
fields: [{name: dishes, collector: {kind: dish}, count: 10, aperture: 90 m2}]
electricity: {price: 0.1 EUR/kWh}
store: {vessel: flash, volume: 25 m3, working_pressure: 18 bar(g), steps: 0..60 m3}
`
	for i := 0; i < len(pairs); i += 2 {
		if strings.Count(text, pairs[i]) != 1 {
			t.Fatalf("%q stands %d times", pairs[i], strings.Count(text, pairs[i]))
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	c, err := scenarios.Parse("house.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestPlanOfBoilersOnAndOff(t *testing.T) {
	if underRace {
		t.Skip("runs in the pass without the race detector")
	}
	t.Parallel()
	free, err := PlanAt(context.Background(), house(t), -1, "")
	if err != nil {
		t.Fatal(err)
	}
	if free.OnOff != nil || len(free.Units) != 2 {
		t.Errorf("on and off %+v and %d units for boilers without a lowest fire", free.OnOff, len(free.Units))
	}
	c := house(t, "kg/h, efficiency: 85 %}\n  - {name: B2", "kg/h, efficiency: 85 %, minimum_fire: 30 %, start: {fuel: 100 kWh}}\n  - {name: B2")
	p, err := PlanAt(context.Background(), c, -1, "")
	if err != nil {
		t.Fatal(err)
	}
	o := p.OnOff
	if o == nil || o.AnnualCost == nil || math.Abs(o.LowerBound-free.AnnualCost) > 1e-6*free.AnnualCost {
		t.Fatalf("on and off %+v; want the free plan's %g as the bound", o, free.AnnualCost)
	}
	if p.AnnualCost != *o.AnnualCost || p.AnnualCost < o.LowerBound || *o.GapFrac > 0.05 || o.VolumeM3 != 25 {
		t.Errorf("cost %g over %g; want within 5 %%", p.AnnualCost, o.LowerBound)
	}
	sumCost, fires := 0.0, 0.0
	for step, x := range p.StepCost {
		sumCost += x
		kW := p.Units[0].Values[step]
		on := o.Boilers[0].fires[step]
		fires += on
		if on == 0 && kW != 0 || on == 1 && kW < o.Boilers[0].LeastKW-1e-6 {
			t.Fatalf("step %d: B1 gives %g kW, fires %g", step, kW, on)
		}
		in := p.SunToHeaderKW[step] + p.StoreOutKW[step] + p.BoilerKW[step] + p.UnmetKW[step]
		out := p.DemandKW[step] + p.KeepWarmKW[step] + p.BoilersToStoreKW[step] + p.VentedKW[step]
		if math.Abs(in-out) > 1e-6*(1+out) {
			t.Fatalf("step %d: %g kW in, %g out", step, in, out)
		}
	}
	if math.Abs(sumCost-p.AnnualCost) > 1e-6*p.AnnualCost || fires != o.Boilers[0].FiresH {
		t.Errorf("steps cost %g, the year %g; fires %g h of %g", sumCost, p.AnnualCost, o.Boilers[0].FiresH, fires)
	}
	a, err := Make(context.Background(), c, Options{StepM3: 30, GapFrac: 1, OnOff: true})
	if err != nil {
		t.Fatal(err)
	}
	if a.OnOff == nil || *a.OnOff.AnnualCost != p.AnnualCost {
		t.Errorf("the curve's on and off %+v; want the plan's %g", a.OnOff, p.AnnualCost)
	}
}

// Oil that is paid for costs what it costs less the gas that it spares, for as much as is not burnt unasked: exactly so
// where no sun and store may take their turns with it.
func TestTakeOrPay(t *testing.T) {
	t.Parallel()
	const least = 2e6
	bare := func(pairs ...string) scenarios.Case {
		return house(t, append(pairs, "fields: [{name: dishes, collector: {kind: dish}, count: 10, aperture: 90 m2}]\n", "",
			"store: {vessel: flash, volume: 25 m3, working_pressure: 18 bar(g), steps: 0..60 m3}\n", "")...)
	}
	plan := func(c scenarios.Case) (optimize.Problem, optimize.Schedule) {
		p, err := c.Problem()
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := optimize.Plan(context.Background(), p, optimize.Options{})
		if needs := (*optimize.NeedsClp)(nil); errors.As(err, &needs) {
			t.Skip(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		return p, s
	}
	_, free := plan(bare())
	_, taken := plan(bare("price: 0.09 EUR/kWh, price_basis: net", "price: 0.09 EUR/kWh, price_basis: net, minimum_take: 2000 MWh/a, standing_charge: 500 EUR/a"))
	unasked := sum(free.FuelKW[1])
	if want := free.Cost + (least-unasked)*(0.09-0.05) + 500; unasked > 0.7*least || math.Abs(taken.Cost-want) > 1e-6*want {
		t.Errorf("with the take the year costs %g; want %g, %g kWh being burnt unasked", taken.Cost, want, unasked)
	}
	if got := sum(taken.FuelKW[1]); math.Abs(got-least) > 1 {
		t.Errorf("%g kWh of oil are burnt; want all that is paid for, %g", got, least)
	}
	_, slack := plan(bare("price: 0.09 EUR/kWh, price_basis: net", "price: 0.09 EUR/kWh, price_basis: net, minimum_take: 20 MWh/a"))
	if math.Abs(slack.Cost-free.Cost) > 1e-9*free.Cost {
		t.Errorf("a take that does not bind costs %g; want %g", slack.Cost, free.Cost)
	}
}

// The CO2 of electricity is that of boilers, drives and pumps, and is counted where it is given.
func TestCO2OfPower(t *testing.T) {
	t.Parallel()
	make := func(pairs ...string) Answer {
		a, err := Make(context.Background(), house(t, pairs...), Options{ToM3: 20, StepM3: 20, GapFrac: 1})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	none, with := make(), make("electricity: {price: 0.1 EUR/kWh}", "electricity: {price: 0.1 EUR/kWh, co2: 500 g/kWh}")
	if none.Baseline.BoilersOnlyCO2Kg != with.Baseline.BoilersOnlyCO2Kg {
		t.Error("boilers alone take no power, and their CO2 changes with it")
	}
	c := house(t)
	last := len(none.Points) - 1
	p := none.Points[last]
	power := c.PowerKWh([]float64{p.SunToHeaderKWh + p.SunToStoreKWh})
	if got, want := with.Points[last].CO2Kg-p.CO2Kg, 0.5*power; power <= 0 || math.Abs(got-want) > 1e-6*want {
		t.Errorf("power adds %g kg; want %g of %g kWh", got, want, power)
	}
	if with.Points[last].AnnualCost != p.AnnualCost {
		t.Error("the CO2 of power changes the cost")
	}
}

func TestBoilersAreDescribed(t *testing.T) {
	t.Parallel()
	u, err := Understand(house(t, "capacity: 1500 kg/h, efficiency: 85 %}\n  - {name: B2", "capacity: 1500 kg/h, efficiency: 85 %, standing_loss: 1 %, hot_standby: 1 %, start: {fuel: 90 kWh, time: 1 h}, ramp: 300 kW/h}\n  - {name: B2",
		"electricity: {price: 0.1 EUR/kWh}", "electricity: {price: 0.1 EUR/kWh, standing_charge: 80 EUR/a}\nlimits: [{name: gas line, boilers: [B1], most: 900 kW, of: fuel}]"))
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for _, s := range u.Sections {
		for _, r := range s.Rows {
			text.WriteString(r.Name + ": " + r.Text + "\n")
		}
	}
	for _, want := range []string{
		"the program's fuel, its convex hull, lies at most 11.8 kW under it, just above no load", // 1 % of 1002.6/0.85
		"starts from cold with 90 kWh of fuel in 60 min; stands by hot with 11.8 kW of fuel; changes its heat by at most 300 kW in an hour",
		"order by cost: B1 0.0588, B2 0.1059 EUR a kWh at full load",
		"limit gas line: B1 together at most 900 kW of fuel",
		"standing charge: 80 EUR a year for electricity",
	} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("check does not say %q:\n%s", want, text.String())
		}
	}
}
