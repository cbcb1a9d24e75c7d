package answer

import (
	"context"
	"flag"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"noonkeep/optimize/replay"
	"noonkeep/plant"
	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/scenarios"
)

var replayCount = flag.Int("replays", 200, "how many random plants are played")

// source is a year by the hour and in steps of five minutes, from which stretches are cut.
type source struct{ hourly, fine, usual scenarios.Case }

func sourceOf(t *testing.T) source {
	c := house(t)
	axis := clock.Axis{Start: c.Axis.Start, Step: 5 * time.Minute, N: 12 * c.Axis.N}
	year, err := sky.Minutes(c.Weather, axis, 7)
	if err != nil {
		t.Fatal(err)
	}
	fine, err := c.AtStep(year)
	if err != nil {
		t.Fatal(err)
	}
	usual, err := c.WithSeed(8)
	if err != nil {
		t.Fatal(err)
	}
	return source{c, fine, usual}
}

// cutCase is a case of days alone, every series of it; the rest is shared with the whole.
func cutCase(c scenarios.Case, day, days int) scenarios.Case {
	perDay := int(24 * time.Hour / c.Axis.Step)
	from, to := day*perDay, (day+days)*perDay
	c.Axis = clock.Axis{Start: c.Axis.At(from), Step: c.Axis.Step, N: to - from}
	w := &c.Weather
	w.Axis, w.Suns = c.Axis, w.Suns[from:to]
	for _, v := range []*[]float64{&w.GHI, &w.DNI, &w.DHI, &w.AirC, &w.WindMS} {
		*v = (*v)[from:to]
	}
	c.Headers = slices.Clone(c.Headers)
	for l := range c.Headers {
		c.Headers[l].DemandKW = c.Headers[l].DemandKW[from:to]
	}
	c.Loads = slices.Clone(c.Loads)
	for i := range c.Loads {
		c.Loads[i].KW = c.Loads[i].KW[from:to]
	}
	cut := func(y plant.YieldYear) plant.YieldYear {
		if y.KWM2 != nil {
			y.KWM2 = y.KWM2[from:to]
		}
		return y
	}
	c.Fields = slices.Clone(c.Fields)
	for i := range c.Fields {
		f := &c.Fields[i]
		f.ToHeader, f.ToStore, f.ToStores = cut(f.ToHeader), cut(f.ToStore), []plant.YieldYear{cut(f.ToStores[0])}
	}
	s := *c.Store
	s.AmbientC = s.AmbientC[from:to]
	c.Stores, c.Store = []*scenarios.Store{&s}, &s
	return c
}

// change is a random plant: sizes, prices and what keeps boilers from doing as they like.
type change struct {
	day, days            int
	area, load, volume   float64
	price                [2]float64
	minFire, standby     float64
	startKWh, startH     float64
	oneBoiler, dearUnmet bool
}

func randomChange(rng *rand.Rand) change {
	maybe := func(share, most float64) float64 {
		if rng.Float64() > share {
			return 0
		}
		return most * rng.Float64()
	}
	ch := change{day: rng.IntN(350), days: 8, area: 0.3 + 2*rng.Float64(), load: 0.4 + 0.8*rng.Float64(), volume: 5 + 60*rng.Float64(),
		price: [2]float64{0.03 + 0.05*rng.Float64(), 0.03 + 0.12*rng.Float64()}, minFire: maybe(0.5, 0.4), oneBoiler: rng.IntN(3) == 0,
		startKWh: maybe(0.5, 150), dearUnmet: rng.IntN(2) == 0}
	if ch.startKWh > 0 {
		ch.startH, ch.standby = maybe(0.7, 1), maybe(0.5, 0.02)
	}
	return ch
}

func (ch change) of(c scenarios.Case) scenarios.Case {
	c = cutCase(c, ch.day, ch.days)
	for l := range c.Headers {
		v := slices.Clone(c.Headers[l].DemandKW)
		for t := range v {
			v[t] *= ch.load
		}
		c.Headers[l].DemandKW = v
		c.Headers[l].UnmetPerKWh = 0.3
		if ch.dearUnmet {
			c.Headers[l].UnmetPerKWh = 3
		}
	}
	for i := range c.Fields {
		c.Fields[i].ApertureM2 *= ch.area
	}
	c.Boilers = slices.Clone(c.Boilers)
	for i := range c.Boilers {
		b := &c.Boilers[i]
		b.Fuel.PricePerKWh = ch.price[i]
		b.MinFireFrac, b.StartKWh, b.StartH, b.StandbyFrac = ch.minFire, ch.startKWh, ch.startH, ch.standby
	}
	if ch.oneBoiler {
		c.Boilers = c.Boilers[:1]
		c.Boilers[0].CapacityKW *= 2
	}
	c.Store.VolumeM3 = ch.volume
	return c
}

// stageAt is a stage of a random plant.
func (src source) stageAt(ch change) (*stage, error) {
	s := &stage{c: ch.of(src.hourly), usual: ch.of(src.usual)}
	s.m = &machine{hourly: s.c, fine: ch.of(src.fine)}
	err := s.m.build()
	if err == nil {
		s.p, err = problemOf(s.c)
	}
	if err == nil {
		s.usualP, err = problemOf(s.usual)
	}
	if err == nil {
		s.t = tariffOf(s.p, s.c.PowerPerKWh)
		s.f, err = s.forecast()
	}
	return s, err
}

// No way costs less than perfect sight's bound, and none saves less than no store but where the answer says so in words.
func TestReplayOrderOfRandomPlants(t *testing.T) {
	yearLong(t)
	t.Parallel()
	src := sourceOf(t)
	told, better := make([]int, *replayCount), make([]bool, *replayCount)
	err := each(*replayCount, func(i int) error {
		ch := randomChange(rand.New(rand.NewPCG(20261125, uint64(i))))
		s, err := src.stageAt(ch)
		if err != nil {
			return err
		}
		x, err := s.ready(context.Background(), ch.volume, false)
		if err != nil {
			return err
		}
		bound, err := s.m.bound(context.Background(), x.p, &s.t, "")
		if err != nil {
			return err
		}
		bare, err := replay.Run(context.Background(), s.m.at(0), replay.PlainRule{}, replay.Options{})
		if err != nil {
			return err
		}
		r := Replay{Bound: bound, Baseline: PlayedBaseline{NoStorageCost: s.t.cost(&bare, s.m.merit, true)}}
		cost := map[string]float64{"no store": r.Baseline.NoStorageCost}
		for _, name := range []string{WayPlan, WayRule, WayGuide, WayRolling} {
			out, err := s.play(context.Background(), name, x)
			if err != nil {
				return err
			}
			cost[name] = out.cost
			r.Ways = append(r.Ways, Way{Name: name, AnnualCost: out.cost})
			if out.Books.MassResidual > 1e-9 || out.Books.EnergyResidual > 1e-9 {
				t.Errorf("plant %d, %s: residuals %g and %g", i, name, out.Books.MassResidual, out.Books.EnergyResidual)
			}
			if bound > out.cost*(1+1e-9) {
				t.Errorf("plant %d %+v: %s costs %.4f, under the bound of %.4f", i, ch, name, out.cost, bound)
			}
		}
		r.Ways = append(r.Ways, Way{Name: WaySight, AnnualCost: bound})
		r.order(s.c.Cycles() != nil)
		told[i] = len(r.Order)
		better[i] = cost[WayRolling] <= cost[WayRule]*(1+orderFrac)
		for _, name := range []string{WayPlan, WayRule, WayGuide, WayRolling} {
			if cost[name] > cost["no store"]*(1+orderFrac) && !slices.ContainsFunc(r.Order, func(s string) bool {
				return len(s) > len(name) && s[:len(name)] == name
			}) {
				t.Errorf("plant %d: %s costs more than no store, and no word of it", i, name)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	n, rolls := 0, 0
	for i := range told {
		if told[i] > 0 {
			n++
		}
		if better[i] {
			rolls++
		}
	}
	t.Logf("of %d plants the order is as one would think in %d; the rolling plan costs no more than the plain rule in %d", len(told), len(told)-n, rolls)
	if rolls < len(told)*2/3 {
		t.Error("the rolling plan is seldom better than the rule")
	}
}
