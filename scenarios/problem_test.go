package scenarios

import (
	"math"
	"testing"

	"noonkeep/optimize"
)

func problemOf(t testing.TB, input string) (Case, optimize.Problem) {
	t.Helper()
	c, err := Parse("my.yaml", []byte(input), nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	return c, p
}

// Prices of the program, each by hand.
func TestProblemPrices(t *testing.T) {
	t.Parallel()
	c, p := problemOf(t, with(t, "steps: 0..120 m3", "steps: 0..120 m3\nelectricity: {price: 0.2 EUR/kWh}\nmoney: {carbon_price: 50 EUR/t}",
		"aperture: 90 m2", "aperture: 90 m2, pump_power: 2 %"))
	field := c.Fields[0]
	for _, v := range []struct {
		what           string
		got, want, tol float64
		src            string
	}{
		{"fuel with carbon, per kWh", p.Boilers[0].FuelPrice[17], 0.05 + 0.20196*0.05, 1e-9, "0.05 EUR and 0.20196 kg (checks-heat.md 5.1.10) at 0.05 EUR/kg"},
		{"pumps, per kWh", p.Fields[0].HeatCost, 0.02 * 0.2, 1e-12, "2 % at 0.2 EUR/kWh"},
		{"drives, per year", p.Fields[0].FixedCost, field.ToHeader.DriveKWhM2 * 720 * 0.2, 1e-9, "drive energy of the yield by area and price"},
		{"fuel per heat", p.Boilers[0].Pieces[0].FuelPerHeat, 1 / 0.85, 1e-12, "definition"},
		{"area", p.Fields[0].AreaM2, 720, 0, "8 by 90"},
	} {
		if v.src == "" {
			t.Errorf("%s: no source", v.what)
		}
		if math.Abs(v.got-v.want) > v.tol {
			t.Errorf("%s: got %v, want %v (%s)", v.what, v.got, v.want, v.src)
		}
	}
	if field.ToHeader.DriveKWhM2 <= 0 {
		t.Error("the drives take no power, so their price is not tested")
	}
}

// The store's law: nothing at 0, heat in proportion to volume, the loss of the vessel's own UA.
func TestStoreLaw(t *testing.T) {
	t.Parallel()
	c, p := problemOf(t, plain)
	law := c.StoreLaw()
	none, err := law(0)
	if err != nil || none.CapacityKWh != 0 || none.DischargeKW != 0 || none.StandingKW[0] != 0 {
		t.Errorf("0 m3: %g kWh, %g kW, %g kW standing, %v", none.CapacityKWh, none.DischargeKW, none.StandingKW[0], err)
	}
	small, err1 := law(40)
	large, err2 := law(80)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if math.Abs(large.CapacityKWh-2*small.CapacityKWh) > 1e-6 {
		t.Errorf("80 m3 hold %g kWh, 40 m3 hold %g", large.CapacityKWh, small.CapacityKWh)
	}
	limits, err := c.Store.Limits(40)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: dE/dt = -UA (T - Tair), T straight from floor to hot, over one hour.
	ua := limits.UAWK / 1000
	if want := math.Exp(-ua * (limits.HotC - limits.FloorC) / limits.CapacityKWh); math.Abs(small.Keep[5]-want) > 1e-12 {
		t.Errorf("keeps %g, want %g", small.Keep[5], want)
	}
	if want := ua * (limits.FloorC - c.Weather.AirC[5]); math.Abs(small.StandingKW[5]-want) > 1e-9 {
		t.Errorf("stands at %g kW, want %g", small.StandingKW[5], want)
	}
	if want := c.Fields[0].ToStore.PeakKWM2 * 720; math.Abs(small.ChargeKW-want) > 1e-9 {
		t.Errorf("charges with %g kW, want the field's peak %g", small.ChargeKW, want)
	}
	if p.Stores[0].VolumeM3 != 40 || p.Stores[0].CapacityKWh != small.CapacityKWh {
		t.Errorf("the problem's store has %g m3", p.Stores[0].VolumeM3)
	}
	if _, err := law(-1); err == nil {
		t.Error("-1 m3 is taken")
	}
}

// A vessel indoors loses to the hall, not to the weather.
func TestStoreIndoors(t *testing.T) {
	t.Parallel()
	c, p := problemOf(t, with(t, "volume: 40 m3", "volume: 40 m3\n  ambient: 20 degC\n  charge_rate: 500 kW\n  boilers_may_charge: 300 kg/h"))
	limits, err := c.Store.Limits(40)
	if err != nil {
		t.Fatal(err)
	}
	s := p.Stores[0]
	if want := limits.UAWK / 1000 * (limits.FloorC - 20); math.Abs(s.StandingKW[0]-want) > 1e-9 || s.StandingKW[0] != s.StandingKW[4000] {
		t.Errorf("stands at %g and %g kW, want %g", s.StandingKW[0], s.StandingKW[4000], want)
	}
	if want := 300 * c.Headers[0].HeatKJKg / 3600; s.ChargeKW != 500 || math.Abs(s.HeaderChargeKW-want) > 1e-9 {
		t.Errorf("charges with %g and %g kW, want 500 and %g", s.ChargeKW, s.HeaderChargeKW, want)
	}
}

func TestNoStoreNoField(t *testing.T) {
	t.Parallel()
	store := plain[indexOf(t, "store:"):]
	c, p := problemOf(t, with(t, store, ""))
	if c.StoreLaw() != nil || len(p.Stores) != 0 || len(p.Fields) != 1 || len(p.Fields[0].StoreKWM2) != 0 {
		t.Errorf("no store: %d stores, %d store yields", len(p.Stores), len(p.Fields[0].StoreKWM2))
	}
	fields := plain[indexOf(t, "fields:"):indexOf(t, "store:")]
	_, p = problemOf(t, with(t, fields, ""))
	if len(p.Fields) != 0 || len(p.Stores) != 1 || p.Stores[0].ChargeKW != 0 {
		t.Errorf("no field: %d fields, %d stores", len(p.Fields), len(p.Stores))
	}
}

func indexOf(t testing.TB, s string) int {
	t.Helper()
	for i := range plain {
		if len(plain[i:]) >= len(s) && plain[i:i+len(s)] == s && (i == 0 || plain[i-1] == '\n') {
			return i
		}
	}
	t.Fatalf("the plain scenario has no %q", s)
	return 0
}

// Doubling every load, boiler, collector and cubic metre doubles every kW of the problem.
func TestDoublePlantDoubles(t *testing.T) {
	t.Parallel()
	_, one := problemOf(t, plain)
	_, two := problemOf(t, with(t, "900 kg/h", "1800 kg/h", "2000 kg/h", "4000 kg/h", "count: 8", "count: 16", "volume: 40 m3", "volume: 80 m3"))
	for what, pair := range map[string][2]float64{
		"demand":   {one.Headers[0].DemandKW[10], two.Headers[0].DemandKW[10]},
		"boiler":   {one.Boilers[0].Pieces[0].CapacityKW, two.Boilers[0].Pieces[0].CapacityKW},
		"area":     {one.Fields[0].AreaM2, two.Fields[0].AreaM2},
		"capacity": {one.Stores[0].CapacityKWh, two.Stores[0].CapacityKWh},
		"charge":   {one.Stores[0].ChargeKW, two.Stores[0].ChargeKW},
	} {
		if !(pair[0] > 0) || math.Abs(pair[1]-2*pair[0]) > 1e-9*pair[1] {
			t.Errorf("%s: %g and %g", what, pair[0], pair[1])
		}
	}
}

func TestRelaxationsAreNamed(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, r := range Relaxations() {
		if r.Name == "" || len(r.Text) < 20 || seen[r.Name] {
			t.Errorf("%+v", r)
		}
		seen[r.Name] = true
	}
}

func BenchmarkLoad(b *testing.B) {
	data, err := Source("dyehouse")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Parse("dyehouse.yaml", data, nil); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDecode(b *testing.B) {
	data, err := Source("dyehouse")
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, d := read("dyehouse.yaml", data); d.err() != nil {
			b.Fatal(d.err())
		}
	}
}

func BenchmarkProblem(b *testing.B) {
	c, err := Load("dyehouse")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.Problem(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStoreLaw(b *testing.B) {
	c, err := Load("dyehouse")
	if err != nil {
		b.Fatal(err)
	}
	law := c.StoreLaw()
	for b.Loop() {
		if _, err := law(40); err != nil {
			b.Fatal(err)
		}
	}
}
