package replay

import (
	"math"
	"strings"
	"testing"

	"noonkeep/plant/steam"
	"noonkeep/storage"
)

// Each order here is one that physics does not carry out, and says why and how much.
func TestRefusals(t *testing.T) {
	filled := func(spec storage.Spec, m3 float64) Plant { // an hour of sun, then a load of 500 kW that no boiler meets
		p := bare(2, 0, 500)
		p.Fields = []Field{{AreaM2: 1000, Stores: []StoreYields{{[]float64{2, 0}, []float64{2, 0}}}}}
		p.Stores = []Store{{Spec: spec, VolumeM3: m3, AmbientC: []float64{15}, LetCool: true}}
		return p
	}
	nozzle := flashSpec(storage.WhileDischarging)
	nozzle.LimitKgH = 300
	surface := flashSpec(storage.WhileDischarging)
	surface.SteamKgHM2Bar = 2
	exchanger := exchangerSpec()
	exchanger.LimitKW = 200
	draw := func(kW float64) Way { return &Follow{Stores: []FollowStore{{DrawKW: []float64{0, kW}}}} }
	base := func(kW float64) Way { return &Follow{Boilers: [][]float64{{kW, kW}}} }
	boiler := func(change func(*Boiler)) Plant {
		p := bare(2, 500)
		b := gas("B", 600)
		change(&b)
		p.Boilers = []Boiler{b}
		return p
	}
	g, _ := steam.SaturatedAt(header7C)
	f, _ := steam.SaturatedAt(85)
	tests := []struct {
		name  string
		plant Plant
		way   Way
		what  string
		why   Why
		hour  int
		kWh   float64
		tol   float64
	}{
		// 300 kg/h of steam a little hotter than the header's: 0.6 % more heat than the header's own.
		{"nozzle", filled(nozzle, 40), draw(500), "store", ByNozzle, 1, 500 - 300*(g.Vapour.HKJKg-f.Liquid.HKJKg)/3600, 3},
		{"exchanger", filled(exchanger, 40), draw(500), "store", ByNozzle, 1, 300, 1e-6},
		{"surface", filled(surface, 40), draw(500), "store", BySurface, 1, 0, 500},
		// 5 m³ give 40 kWh/m³ or so, less than 500 kWh.
		{"floor", filled(flashSpec(storage.WhileDischarging), 5), draw(500), "store", ByFloor, 1, 0, 500},
		{"full", filled(flashSpec(storage.WhileDischarging), 5), &Follow{Stores: []FollowStore{{SunKW: []float64{1500, 0}}}}, "charge", ByFull, 0, 0, 1500},
		{"less sun", filled(exchangerSpec(), 60), &Follow{Stores: []FollowStore{{SunKW: []float64{2500, 0}}}}, "charge", BySun, 0, 500, 1e-6},
		{"charging rate", func() Plant {
			p := filled(exchangerSpec(), 60)
			p.Stores[0].ChargeKW = 600
			return p
		}(), &Follow{Stores: []FollowStore{{SunKW: []float64{900, 0}}}}, "charge", ByChargeKW, 0, 300, 1e-6},
		// Half an hour to start, 400 kW ordered: 200 kWh.
		{"start", boiler(func(b *Boiler) { b.StartH = 0.5 }), base(400), "boiler", ByStart, 0, 200, 1e-6},
		// 10 kW a minute up to 400: 40 minutes short of it by 390, 380, ... 0: 10 × 39 × 40/2 kW min = 130 kWh.
		{"ramp", boiler(func(b *Boiler) { b.RampKWH = 600 }), base(400), "boiler", ByRamp, 0, 130, 1e-6},
		{"lowest fire", boiler(func(b *Boiler) { b.MinFireFrac, b.StartKWh = 0.5, 10 }), base(100), "boiler", ByLeast, 0, 200, 1e-6},
		{"capacity", boiler(func(b *Boiler) { b.Available = []float64{0.5} }), base(400), "boiler", ByCapacity, 0, 100, 1e-6},
		{"joint limit", func() Plant {
			p := boiler(func(*Boiler) {})
			p.Limits = []Limit{{Name: "flue", Boilers: []int{0}, MostKW: 250}}
			return p
		}(), base(400), "boiler", ByLimit, 0, 150, 1e-6},
	}
	for _, x := range tests {
		out := play(t, x.plant, x.way, cold)
		found := false
		for _, r := range out.Refusals {
			if r.What != x.what || r.Why != x.why || r.Hour != x.hour {
				continue
			}
			found = true
			near(t, x.name+": kWh", r.KWh, x.kWh, x.tol)
			if !(r.KW >= r.KWh-1e-6) || !(r.Step/60 == r.Hour) {
				t.Errorf("%s: %+v; want kW at least the mean, in a step of its hour", x.name, r)
			}
			if !strings.HasSuffix(r.String(), x.why.String()) {
				t.Errorf("%s: reads %q; want its reason", x.name, r)
			}
		}
		if !found {
			t.Errorf("%s: refused %v; want %s by %v in hour %d", x.name, out.Refusals, x.what, x.why, x.hour)
		}
		sum := 0.0
		for _, r := range out.Refused {
			sum += r.KWh
		}
		for _, r := range out.Refusals {
			sum -= r.KWh
		}
		near(t, x.name+": sums by reason", sum, 0, 1e-6)
	}
}

// A plan that physics can carry out is followed to the kWh, hour by hour, through clouds within the hour.
func TestFollow(t *testing.T) {
	p := bare(4, 0, 400, 400, 400)
	minutes := make([]float64, 240) // sun of 500 kW in hour 1, in bursts
	for i := range 60 {
		if i%6 < 3 {
			minutes[i] = 1
		}
	}
	p.Fields = []Field{{AreaM2: 1000, HeaderKWM2: minutes, Stores: []StoreYields{{minutes, minutes}}}}
	p.Stores = []Store{{Spec: exchangerSpec(), VolumeM3: 30, AmbientC: []float64{15}, LetCool: true}}
	p.Boilers = []Boiler{gas("B", 600)}
	plan := &Follow{
		Stores:  []FollowStore{{DrawKW: []float64{0, 100, 250, 120}, SunKW: []float64{500, 0, 0, 0}}},
		Boilers: [][]float64{{0, 300, 150, 280}},
	}
	for range 2 { // a Follow may be used again
		out := play(t, p, plan, cold)
		for h, want := range plan.Stores[0].DrawKW {
			near(t, "draw", out.Series.DrawKW[0][h], want, 1e-6)
			near(t, "boiler", out.Series.BoilerKW[0][h], plan.Boilers[0][h], 1e-6)
		}
		near(t, "sun", out.SunStoreKWh, 500, 1e-6)
		for _, r := range out.Refusals {
			if r.Why != BySun {
				t.Errorf("refused %v; want nothing but sun behind clouds", r)
			}
		}
	}
	// Of less sun than planned the store has too little for the last hour: the boiler gives it, pressure comes first.
	p.Fields[0].AreaM2 = 800
	out := play(t, p, plan, cold)
	near(t, "unmet", out.UnmetKWh, 0, 1e-9)
	near(t, "boiler in place of sun", out.BoilerKWh, 1200-out.StoreOutKWh, 1e-6)
	if r := out.Refused; len(r) == 0 || out.StoreOutKWh > 401 || out.StoreOutKWh < 380 {
		t.Errorf("the store gave %.1f kWh, refused %v; want nearly 400, and the rest refused", out.StoreOutKWh, r)
	}
}

func TestWrongPlants(t *testing.T) {
	good := func() Plant { return yearPlant(1, 60) }
	tests := []struct {
		change func(*Plant)
		want   string
	}{
		{func(p *Plant) { p.StepS = 7 }, "step: is 7 s; want a whole fraction of an hour"},
		{func(p *Plant) { p.StepS = math.NaN() }, "step: is NaN s; want a whole fraction of an hour"},
		{func(p *Plant) { p.Steps = 90 }, "steps: are 90; want whole hours of them"},
		{func(p *Plant) { p.Headers = nil }, "headers: there is none; want at least one"},
		{func(p *Plant) { p.Headers[0].DemandKW = make([]float64, 7) }, "header main: demand: has 7 values for 1440 steps; want as many, or a whole fraction"},
		{func(p *Plant) { p.Headers[0].DemandKW = []float64{-1} }, "header main: demand: value 0 is -1; want 0 to +Inf"},
		{func(p *Plant) { p.Headers[0].SlackKWh = math.Inf(1) }, "header main: slack: is +Inf kWh; want 0 or more"},
		{func(p *Plant) { p.Headers[0].Above = 0 }, "header main: above: is header 0; want one that stands before it, or -1"},
		{func(p *Plant) { p.Headers[0].FeedwaterC = 170 }, "header main: steam: is 164.953 °C from feedwater of 170 °C; want it hotter than that, and that above 0"},
		{func(p *Plant) { p.Fields[0].Header = 3 }, "field dishes: header: is 3; there are 1"},
		{func(p *Plant) { p.Fields[0].LagS = -1 }, "field dishes: lag: is -1 s, cooling 0 h; want both 0 or more"},
		{func(p *Plant) { p.Fields[0].Stores[0].HotKWM2 = nil }, "field dishes: has one of a store's two yields; want both or neither"},
		{func(p *Plant) { p.Boilers[0].Available = []float64{2} }, "boiler B1: available: value 0 is 2; want 0 to 1"},
		{func(p *Plant) { p.Boilers[0].CapacityKW = 0 }, `boiler "B1": capacity: is 0 kW; want more than 0`},
		{func(p *Plant) { p.Limits = []Limit{{Name: "flue", Boilers: []int{4}}} }, "limit flue: has boiler 4; there are 1"},
		{func(p *Plant) { p.Stores[0].From = 9 }, "store tank: serves header 0, charged from 9; there are 1"},
		{func(p *Plant) { p.Stores[0].VolumeM3 = math.NaN() }, "store tank: volume: is NaN m³; want 0 or more"},
		{func(p *Plant) { p.Stores[0].Spec.FillFrac = 2 }, "store tank: vessel: fill: is 2; want 0.2 to 0.95, the rest is steam space"},
		{func(p *Plant) { p.Stores[0].Spec.Discharge = 9 }, "store tank: "},
	}
	for _, x := range tests {
		p := good()
		x.change(&p)
		_, err := Run(t.Context(), p, PlainRule{}, Options{})
		if err == nil || !strings.HasPrefix(err.Error(), x.want) {
			t.Errorf("error %v; want one that begins %q", err, x.want)
		}
	}
}
