package scenarios

import (
	"math"
	"strings"
	"testing"
	"time"
)

// The header's demand is process steam and what the boiler house takes for it, hour by hour.
func TestHouseAddsOwnUse(t *testing.T) {
	t.Parallel()
	c, err := Parse("my.yaml", []byte(scenarioOf(t, "house.txt")), nil)
	if err != nil {
		t.Fatal(err)
	}
	main, low := c.Headers[0], c.Headers[1]
	least, most := math.Inf(1), 0.0
	for i, kW := range c.Loads[0].KW {
		if kW == 0 {
			continue
		}
		k := main.House.ByStep[i]
		least, most = min(least, k), max(most, k)
		if want := 1000 * main.HeatKJKg / 3600 * (1 + k); math.Abs(kW-want) > 1e-12*want {
			t.Fatalf("%s: %g kW, want %g", c.Axis.Label(i), kW, want)
		}
	}
	if !(least < main.House.OwnUseFrac && main.House.OwnUseFrac < most) || main.House.Coldest >= main.House.Warmest {
		t.Errorf("own use %g to %g, in the mean %g; make-up %g to %g degC", least, most, main.House.OwnUseFrac, main.House.Coldest, main.House.Warmest)
	}
	for _, row := range []struct {
		what           string
		got, want, tol float64
		src            string
	}{
		{"deaerator's feedwater, degC", main.FeedwaterC, 105.1, 0.05, "saturation at 1.2133 bar(a), between 104.8 at 1.2 and 111.35 at 1.5 of checks-heat.md 1.2"},
		{"open tank's feedwater, degC", low.FeedwaterC, (0.6*80 + 15*(1/(1-80./3500)-0.6)) * (1 - 80./3500), 0.15, "weighted by mass, with one heat capacity"},
		{"low's boiler, kW for 1000 kg/h", 1000 * low.House.BoilerKW, (2738.2-222.5)/3.6 + 1000*80./3420*(605.2-222.5)/3600, 0.6,
			"h'' and h' at 4.01 bar(a) of checks-heat.md 1.2, 53.1 degC by 4.19 kJ/kgK; blowdown 80/(3500 - 80) of the steam"},
		{"low's heat of steam", low.HeatKJKg, 1000 * 3.6 * low.House.BoilerKW / (1 + low.House.OwnUseFrac), 1e-9, "definition of own use"},
		{"store and sun: one feedwater", main.House.FeedwaterC, main.FeedwaterC, 0, "definition"},
	} {
		if row.src == "" || math.Abs(row.got-row.want) > row.tol {
			t.Errorf("%s: %.9g, want %.9g (%s)", row.what, row.got, row.want, row.src)
		}
	}
	for _, l := range c.Loads {
		sum, _, own := partsOfLoad(l)
		if got := l.KW.EnergyKWh(1); math.Abs(sum-got) > 1e-9*got || own <= 0 {
			t.Errorf("load %s: %g kWh, parts %g, own use %g", l.Name, got, sum, own)
		}
	}
}

// A store on a header with a boiler house flashes down to the same feedwater.
func TestHouseFeedsTheStore(t *testing.T) {
	t.Parallel()
	c, err := Parse("my.yaml", []byte(with(t, "feedwater: 85 degC", "condensate: {return: 70 %, deaerator: 0.2 bar(g)}")), nil)
	if err != nil {
		t.Fatal(err)
	}
	if c.Store.Spec.FeedwaterC != c.Headers[0].FeedwaterC || c.Headers[0].FeedwaterC < 104 {
		t.Errorf("store is fed with %g degC, header %g", c.Store.Spec.FeedwaterC, c.Headers[0].FeedwaterC)
	}
	for _, a := range c.Assumptions {
		if strings.HasSuffix(a.Key, ".feedwater") {
			t.Errorf("assumed %v beside condensate", a)
		}
	}
	if _, err := c.Problem(); err != nil {
		t.Error(err)
	}
}

// Work whose hours the plan chooses carries its own use along, in its heat and in its powers.
func TestHouseOfMovableWork(t *testing.T) {
	t.Parallel()
	work := []string{"steam: 900 kg/h, when: \"Mon-Sat 06:00-22:00\"", "movable: {heat: 900 kWh, within: \"daily 06:00-18:00\", most: 300 kW, least: 10 kW}"}
	given, err := Parse("my.yaml", []byte(with(t, work...)), nil)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Parse("my.yaml", []byte(with(t, append(work, "feedwater: 85 degC", "condensate: {return: 70 %, make_up: season, deaerator: 0.2 bar(g)}")...)), nil)
	if err != nil {
		t.Fatal(err)
	}
	k := c.Headers[0].House.OwnUseFrac
	a, b := given.Loads[0], c.Loads[0]
	for _, row := range []struct {
		what     string
		got, was float64
	}{
		{"heat in a window", b.Moved.Windows[7].HeatKWh, a.Moved.Windows[7].HeatKWh},
		{"most power", b.Moved.MostKW, a.Moved.MostKW},
		{"least power", b.Moved.LeastKW, a.Moved.LeastKW},
		{"heat of the year", b.KW.EnergyKWh(1), a.KW.EnergyKWh(1)},
	} {
		if want := row.was * (1 + k); k <= 0 || math.Abs(row.got-want) > 1e-9*want {
			t.Errorf("%s: %g, want %g by 1 and %g", row.what, row.got, row.was, k)
		}
	}
	if _, err := c.Problem(); err != nil {
		t.Error(err)
	}
}

// A boiler's metered fuel holds the boiler house's own use; steam metered at the header does not.
func TestHouseOfMeteredLoads(t *testing.T) {
	t.Parallel()
	unraced(t)
	folder := files{"m.csv": meterLog(func(time.Time) string { return "1,5" }, nil)}
	house := []string{"feedwater: 85 degC", "condensate: {return: 70 %, deaerator: 0.2 bar(g)}"}
	for _, row := range []struct {
		keys string
		want func(c Case) float64
		src  string
	}{
		{"unit: MWh, counts: interval, meters: fuel, basis: net", func(Case) float64 { return 1500 * 0.85 }, "fuel by efficiency"},
		{"unit: t/h", func(c Case) float64 {
			return 1500 * c.Headers[0].HeatKJKg / 3600 * (1 + c.Headers[0].House.OwnUseFrac)
		}, "steam by the header's heat, and own use"},
	} {
		c, err := Parse("my.yaml", []byte(withLog(t, row.keys, house...)), folder.open)
		if err != nil {
			t.Fatal(err)
		}
		kW, want := c.Loads[0].KW[4000], row.want(c)
		sum, _, own := partsOfLoad(c.Loads[0])
		k := c.Headers[0].House.OwnUseFrac
		if math.Abs(kW-want) > 1e-9*want || math.Abs(sum-8760*want) > 1e-6*want || math.Abs(own-sum*k/(1+k)) > 1e-9*sum {
			t.Errorf("%s: %g kW, want %g (%s); parts %g, own use %g", row.keys, kW, want, row.src, sum, own)
		}
	}
}
