package report

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
)

func plantOf(change func(*answer.Compared)) answer.Compared {
	best := 60.0
	c := answer.Compared{Name: "x", AnnualCost: 200_000, FuelKWh: 3.6e6, CO2Kg: 730_000, SolarFraction: 0.45, SpilledSunKWh: 900e3,
		DemandKWh: 6e6, SunToHeaderKWh: 2.4e6, StoreOutKWh: 500e3, BestVolumeM3: &best, Curve: []answer.Point{{}, {VolumeM3: 120}}}
	if change != nil {
		change(&c)
	}
	return c
}

// told gives the sentences of b beside a.
func told(t testing.TB, a, b answer.Compared) []string {
	t.Helper()
	c := answer.Comparison{Cases: []answer.Compared{a, b}, Currency: "EUR"}
	c.SetDifferences()
	return WithSentences(c).Cases[1].Sentences
}

func TestSentences(t *testing.T) {
	t.Parallel()
	volume := func(v float64) func(*answer.Compared) {
		return func(c *answer.Compared) { c.BestVolumeM3 = &v }
	}
	for name, v := range map[string]struct {
		a, b func(*answer.Compared)
		want []string
	}{
		"nothing": {nil, nil, []string{"Nothing worth telling changes."}},
		"too little to tell": {nil, func(c *answer.Compared) { c.FuelKWh *= 1.004; c.AnnualCost *= 0.996; *c.BestVolumeM3 += 1.9 },
			[]string{"Nothing worth telling changes."}},
		"all falls": {nil, func(c *answer.Compared) {
			c.SunToHeaderKWh += 212.4e3
			c.StoreOutKWh -= 60e3
			c.SpilledSunKWh -= 150e3
			c.FuelKWh -= 360e3
			c.CO2Kg -= 73_000
			c.AnnualCost -= 12_345
			c.SolarFraction += 0.03
			volume(45)(c)
		}, []string{"The plant uses 212 MWh more of the sun directly, draws 60 MWh less from the tank and leaves 150 MWh less sun unused.",
			"Fuel falls by 360 MWh (10 %) and CO2 by 73 t.", "The year costs 12 300 EUR less (6.2 %).",
			"The tank's best volume falls from 60 m³ to 45 m³.", "Nothing else worth telling changes."}},
		"another load": {nil, func(c *answer.Compared) { c.DemandKWh /= 2; c.FuelKWh /= 2; c.CO2Kg /= 2; c.AnnualCost /= 2 },
			[]string{"The loads ask for 3 000 MWh less heat a year (50 %).", "Fuel falls by 1 800 MWh (50 %) and CO2 by 365 t.",
				"The year costs 100 000 EUR less (50 %); a MWh of heat still costs 33.3 EUR.", "Nothing else worth telling changes."}},
		"another fuel": {nil, func(c *answer.Compared) { c.FuelKWh *= 1.1; c.CO2Kg *= 0.7 },
			[]string{"Fuel rises by 360 MWh (10 %), yet CO2 falls by 219 t (30 %).", "Nothing else worth telling changes."}},
		"CO2 alone": {nil, func(c *answer.Compared) { c.CO2Kg *= 1.2 },
			[]string{"CO2 rises by 146 t (20 %).", "Nothing else worth telling changes."}},
		"fuel alone": {nil, func(c *answer.Compared) { c.FuelKWh *= 0.9 },
			[]string{"Fuel falls by 360 MWh (10 %).", "Nothing else worth telling changes."}},
		"heat not met": {nil, func(c *answer.Compared) { c.UnmetKWh = 12.34e3 },
			[]string{"12 MWh more of the heat is not met.", "Nothing else worth telling changes."}},
		"no tank":       {nil, func(c *answer.Compared) { c.BestVolumeM3 = nil; c.Curve = nil }, []string{"It has no tank; the first plant's best volume is 60 m³.", "Nothing else worth telling changes."}},
		"no tank first": {func(c *answer.Compared) { c.BestVolumeM3 = nil }, nil, []string{"Its tank's best volume is 60 m³; the first plant has none.", "Nothing else worth telling changes."}},
		"no tanks": {func(c *answer.Compared) { c.BestVolumeM3 = nil }, func(c *answer.Compared) { c.BestVolumeM3 = nil; c.AnnualCost = 210_000 },
			[]string{"The year costs 10 000 EUR more (5.0 %).", "Nothing else worth telling changes."}},
		"to the edge":  {nil, func(c *answer.Compared) { volume(120)(c); c.BestAtEdge = true }, []string{"The tank's best volume rises from 60 m³ to 120 m³ or more.", "Nothing else worth telling changes."}},
		"none pays":    {nil, volume(0), []string{"The tank's best volume falls from 60 m³ to none.", "Nothing else worth telling changes."}},
		"from nothing": {func(c *answer.Compared) { c.FuelKWh, c.CO2Kg = 0, 0 }, nil, []string{"Fuel rises by 3 600 MWh and CO2 by 730 t.", "Nothing else worth telling changes."}},
		"a small sum":  {func(c *answer.Compared) { c.AnnualCost = 8 }, func(c *answer.Compared) { c.AnnualCost = 5.26 }, []string{"The year costs 2.7 EUR less (34 %).", "Nothing else worth telling changes."}},
	} {
		got := told(t, plantOf(v.a), plantOf(v.b))
		if strings.Join(got, "\n") != strings.Join(v.want, "\n") {
			t.Errorf("%s:\n got %q\nwant %q", name, got, v.want)
		}
	}
}

// Whatever the figures: what is told has the sign and, to three digits, the size that the figures have, and what is not told is
// under its threshold.
func TestSentencesAreTrue(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(5, 3))
	for range 2000 {
		a, b := plantOf(nil), plantOf(func(c *answer.Compared) {
			c.FuelKWh *= 1 + 0.05*rng.NormFloat64()
			c.AnnualCost *= 1 + 0.02*rng.NormFloat64()
			c.SunToHeaderKWh *= 1 + 0.03*rng.NormFloat64()
			*c.BestVolumeM3 *= 1 + 0.2*rng.NormFloat64()
		})
		text := strings.Join(told(t, a, b), " ")
		for _, v := range []struct {
			was, is, least float64
			say            func(change float64) string
		}{
			{a.FuelKWh, b.FuelKWh, 0.005 * a.FuelKWh, func(d float64) string { return fmt.Sprintf("Fuel %s by %s MWh", riseFall(d), mwh(d)) }},
			{a.AnnualCost, b.AnnualCost, 0.005 * a.AnnualCost, func(d float64) string { return fmt.Sprintf("costs %s EUR %s", roughly(d), moreLess(d)) }},
			{a.SunToHeaderKWh, b.SunToHeaderKWh, 0.005 * a.DemandKWh, func(d float64) string {
				return fmt.Sprintf("uses %s MWh %s of the sun directly", mwh(d), moreLess(d))
			}},
			{*a.BestVolumeM3, *b.BestVolumeM3, 3, func(d float64) string {
				return fmt.Sprintf("best volume %s from 60 m³ to %s", riseFall(d), bestText(b))
			}},
		} {
			change := v.is - v.was
			tell := change >= v.least || change <= -v.least
			if strings.Contains(text, v.say(change)) != tell {
				t.Fatalf("from %g to %g (told from %g on), but it says: %s", v.was, v.is, v.least, text)
			}
		}
	}
}

func TestRoughly(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		v    float64
		want string
	}{{0.04, "0.0"}, {7.25, "7.2"}, {9.99, "10.0"}, {12.6, "13"}, {212.4, "212"}, {999.6, "1 000"}, {1234, "1 230"}, {-56_789, "56 800"}, {999_600, "1 000 000"}} {
		if got := roughly(c.v); got != c.want {
			t.Errorf("%g: %s, want %s", c.v, got, c.want)
		}
	}
}
