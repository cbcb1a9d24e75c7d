package replay

import (
	"testing"

	"noonkeep/storage"
)

// twoBoilers is a plant whose first boiler stands by and whose second has to be started, with loads in shifts that the first
// alone does not carry.
func twoBoilers(days int) Plant {
	p := yearPlant(days, 60)
	a, b := gas("A", 900), gas("B", 600)
	a.MinFireFrac, a.StartH, a.StartKWh, a.StandbyFrac = 0.3, 0.5, 150, 0.02
	b.MinFireFrac, b.StartH, b.StartKWh = 0.3, 1.0/3, 100
	p.Boilers = []Boiler{a, b}
	p.Headers[0].SlackKWh = Slack(1500, header7C)
	return p
}

// Nothing is missing in any way of running, whatever is held: stores keep what the second boiler's start needs, though they
// give before the first. Each boiler starts a few times a day at most.
func TestNothingMissingAndNoFlapping(t *testing.T) {
	unraced(t)
	ways := map[string]Way{
		"plain rule": PlainRule{},
		"held by turns": orders(func(seen *Seen, o *Orders) {
			o.Stores[0].HoldKWh = 0
			if seen.Hour/5%2 == 0 {
				o.Stores[0].HoldKWh = 1e6
			}
		}),
		"held on a slope": orders(func(seen *Seen, o *Orders) { o.Stores[0].HoldKWh = float64(seen.Hour % 24 * 40) }),
		"boilers rest":    orders(func(_ *Seen, o *Orders) { o.Boilers[0].Want, o.Boilers[1].Want = Rest, Rest }),
	}
	for name, w := range ways {
		for _, m3 := range []float64{15, 40, 120} {
			for _, feed := range []storage.FeedChoice{storage.WhileDischarging, storage.WhileCharging} {
				p := twoBoilers(10)
				p.Stores[0].VolumeM3, p.Stores[0].Spec = m3, flashSpec(feed)
				out := play(t, p, w, Options{})
				most := 1.0
				if name == "boilers rest" { // then a cloud may find them cold: half an hour of a part of the load
					most = 2e-3 * out.DemandKWh
				}
				if out.UnmetKWh > most {
					t.Errorf("%s, %g m³, feed %v: %.1f kWh are missing", name, m3, feed, out.UnmetKWh)
				}
				if most := 5 * 10; out.Starts[0] > most || out.Starts[1] > most {
					t.Errorf("%s, %g m³, feed %v: %v starts in ten days; want %d at most", name, m3, feed, out.Starts, most)
				}
			}
		}
	}
}

// A boiler that stands by and waits for low pressure is there: the next one is not started for it.
func TestHotBoilerCounts(t *testing.T) {
	p := bare(48, 100)
	p.Headers[0].SlackKWh = 10
	a, b := gas("A", 900), gas("B", 600)
	a.MinFireFrac, a.StartH, a.StartKWh, a.StandbyFrac = 0.3, 0.5, 150, 0.02
	b.MinFireFrac, b.StartH, b.StartKWh, b.StandbyFrac = 0.3, 0.25, 100, 0.02
	p.Boilers = []Boiler{a, b}
	out := play(t, p, PlainRule{}, Options{LeadH: 4})
	if out.Starts[0] != 0 || out.Starts[1] != 0 || out.UnmetKWh > 0 || out.Lights[0] < 48 {
		t.Errorf("%v starts, %v lightings, %.2f kWh missing; want the first to go on and off by its pressure, and nothing else", out.Starts, out.Lights, out.UnmetKWh)
	}
}

// What keeps a store warm starts no boiler with a lowest fire: over a weekend the store cools below its floor, and is brought back
// when a boiler burns.
func TestKeptWarmWhileABoilerBurns(t *testing.T) {
	demand := append(make([]float64, 48), repeat(24, 500)...)
	p := bare(72, demand...)
	p.Headers[0].SlackKWh = 10
	b := gas("B", 900)
	b.MinFireFrac, b.StartH, b.StartKWh = 0.3, 0.5, 100
	p.Boilers = []Boiler{b}
	p.Stores = []Store{{Spec: exchangerSpec(), VolumeM3: 40, AmbientC: []float64{15}}}
	out := play(t, p, PlainRule{}, cold)
	if out.Starts[0] != 1 || out.UnmetKWh > 0 {
		t.Errorf("%d starts and %.2f kWh missing; want one, before the shift", out.Starts[0], out.UnmetKWh)
	}
	if low, last := out.Series.HeldKWh[0][48], out.Series.HeldKWh[0][71]; !(low < -100 && last > low+0.9*24*standing(40)) {
		t.Errorf("stands at %.0f kWh after the weekend and %.0f a day later; want it cooled, and coming back", low, last)
	}
}
