package scenarios

import (
	"math"
	"strings"
	"testing"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// twoPressures is a plant with an accumulator between two headers and a tank beside it.
const twoPressures = `noonkeep: 1
name: two pressures
site: {latitude: 37 deg, longitude: 31 deg, elevation: 0 m, utc_offset: +2 h}
weather:
  monthly:
    ghi: [3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]
    air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]
headers:
  - {name: low, pressure: 6 bar(g)}
  - {name: high, pressure: 18 bar(g)}
loads:
  - {name: presses, header: high, steam: 300 kg/h, when: "Mon-Fri 06:00-22:00"}
  - {name: kiers, header: low, steam: 900 kg/h, when: "Mon-Sat 06:00-22:00"}
fuels:
  - {name: natural gas, price: 0.05 EUR/kWh, price_basis: net}
boilers:
  - {name: B1, header: high, capacity: 2000 kg/h, efficiency: 0.85}
fields:
  - {name: dishes, header: low, collector: {kind: dish}, count: 8, aperture: 90 m2}
stores:
  - {name: tank, vessel: exchanger, header: low, volume: 20 m3, working_pressure: 25 bar(g), supply: 150 degC, cost: {per_m3: 2000 EUR/m3}}
  - {name: accumulator, vessel: flash, header: low, charged_from: high, working_pressure: 18 bar(g), margin: 0 bar, line_drop: 0.3 bar, volume: 10 m3, steps: 0..40 m3, cost: {per_m3: 1500 EUR/m3}}
`

func parsed(t *testing.T, s string) Case {
	t.Helper()
	c, err := Parse("two.yaml", []byte(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestSeveralStores(t *testing.T) {
	t.Parallel()
	c := parsed(t, twoPressures)
	tank, acc := c.Stores[0], c.Stores[1]
	if c.Store != acc || c.StoreAt() != 1 || tank.Name != "tank" || tank.VolumeM3 != 20 || acc.ToM3 != 40 {
		t.Fatalf("varied %v", c.Store.Name)
	}
	if c.Headers[acc.From].Name != "high" || c.Headers[acc.Header].Name != "low" || tank.From != tank.Header {
		t.Errorf("headers %+v", c.Headers)
	}
	// The water gets as hot as steam of 18 bar(g) less 0.3 bar of line, and feeds back what it gave.
	want, err := steam.SatTemp(steam.BarGauge(17.7, c.AirBarA))
	if err != nil || math.Abs(acc.HotC()-want) > 1e-9 || acc.Spec.Feed != storage.WhileCharging {
		t.Errorf("hot %g, want %g; feed %v", acc.HotC(), want, acc.Spec.Feed)
	}
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	s := p.Stores[1]
	if len(p.Stores) != 2 || s.ChargedFrom == nil || *s.ChargedFrom != 0 || s.Header != 1 || p.Stores[0].ChargedFrom != nil {
		t.Errorf("stores %+v", p.Stores)
	}
	if boiler := c.Boilers[0].CapacityKW; s.HeaderChargeKW != boiler || s.ChargeKW < boiler {
		t.Errorf("charged with %g of %g kW; want the boiler's %g", s.HeaderChargeKW, s.ChargeKW, boiler)
	}
	if y := p.Fields[0].StoreKWM2; len(y) != 2 || &y[0][0] != &c.Fields[0].ToStores[0].KWM2[0] {
		t.Errorf("the field's yields are not those of the stores")
	}
	if c.Money.VesselPerM3 != 1500 {
		t.Errorf("a m3 costs %g; want that of the varied store", c.Money.VesselPerM3)
	}
	other, err := c.Varying("tank")
	if err != nil || other.Store != tank || other.Money.VesselPerM3 != 2000 || other.StoreAt() != 0 || c.Store != acc {
		t.Errorf("varying the tank: %v, %+v", err, other.Money)
	}
	if _, err := c.Varying("tnak"); err == nil || err.Error() != `two.yaml: no store is called "tnak"; want tank or accumulator` {
		t.Error(err)
	}
}

// A store of the list is that of the single key: the same numbers, but for its name.
func TestOneOfAListIsTheOne(t *testing.T) {
	t.Parallel()
	one := parsed(t, plain)
	list := parsed(t, strings.Replace(with(t, "  vessel: flash", "- name: store\n  vessel: flash"), "\nstore:", "\nstores:", 1))
	a, errA := one.Problem()
	b, errB := list.Problem()
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	if a.Stores[0].CapacityKWh != b.Stores[0].CapacityKWh || a.Stores[0].Keep[7] != b.Stores[0].Keep[7] || a.Stores[0].ChargeKW != b.Stores[0].ChargeKW || a.Stores[0].Name != b.Stores[0].Name {
		t.Errorf("%+v\n%+v", a.Stores[0].Name, b.Stores[0].Name)
	}
}

func TestWrongStores(t *testing.T) {
	t.Parallel()
	change := func(pairs ...string) string {
		s := twoPressures
		for i := 0; i < len(pairs); i += 2 {
			if strings.Count(s, pairs[i]) != 1 {
				t.Fatalf("%q stands %d times", pairs[i], strings.Count(s, pairs[i]))
			}
			s = strings.Replace(s, pairs[i], pairs[i+1], 1)
		}
		return s
	}
	for _, c := range []struct{ name, input, want string }{
		{"both keys", twoPressures + "store: {vessel: flash, working_pressure: 18 bar(g)}\n",
			`23: store: stands beside stores; want one of the two`},
		{"no name", change("name: tank, ", ""),
			`21: stores[1].name: is missing; write for example "name: accumulator"`},
		{"a name twice", change("name: tank", "name: accumulator"),
			`22: stores[accumulator].name: a second store is called "accumulator", the first in line 21; give each its own name`},
		{"no volume", change("volume: 20 m3, ", ""),
			`21: stores[tank].volume: is missing; the curve varies another store, so that this one needs its volume`},
		{"charged from below", change("header: low, charged_from: high", "header: high, charged_from: low"),
			`22: stores[accumulator].working_pressure: "18 bar(g)" is not above the 19.01 bar(a) of header "high"; want more, or no steam flows into it`},
		{"charged from a lower pressure", change("header: low, charged_from: high, working_pressure: 18", "header: high, charged_from: low, working_pressure: 22"),
			`22: stores[accumulator].charged_from: header "low" is at 7.013 bar(a), under the 19.01 bar(a) of "high", which the store serves; want a higher one`},
		{"no such header", change("charged_from: high", "charged_from: hgih"),
			`22: stores[accumulator].charged_from: no header is called "hgih"; nearest is "high"`},
		{"steam no hotter than the floor", change("{name: high, pressure: 18 bar(g)}", "{name: high, pressure: 6.3 bar(g)}"),
			`22: stores[accumulator].charged_from: makes water of 165.0 °C; want more than the 166.7 °C of the empty vessel`},
		{"a store that is not there", change("count: 8,", "count: 8, charges: [tanks],"),
			`19: fields[dishes].charges[1]: no store is called "tanks"; nearest is "tank"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := Parse("two.yaml", []byte(c.input), nil)
			if err == nil {
				t.Fatalf("no error; want %s", c.want)
			}
			if got := strings.ReplaceAll(err.Error(), "two.yaml:", ""); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

// A field charges the stores that it names.
func TestChargesNamedStores(t *testing.T) {
	t.Parallel()
	c := parsed(t, strings.Replace(twoPressures, "count: 8,", "count: 8, charges: [tank],", 1))
	if y := c.Fields[0].ToStores; y[0].KWM2 == nil || y[1].KWM2 != nil {
		t.Error("the field charges another than the tank")
	}
	s, err := c.Problem()
	if err != nil || s.Fields[0].StoreKWM2[1] != nil {
		t.Error(err)
	}
}
