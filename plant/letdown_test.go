package plant

import (
	"math"
	"strings"
	"testing"

	"noonkeep/plant/steam"
)

func TestLetDown(t *testing.T) {
	t.Parallel()
	at := func(bar, feedC float64) Header {
		return Header{Name: "x", Pressure: steam.BarAbs(bar), FeedwaterC: feedC}
	}
	for _, c := range []struct {
		name          string
		from, to      Header
		spray, tol    float64
		superheat, by float64
		dry           float64
		src           string
	}{
		{"18 to 7 bar(a)", at(18, 85), at(7, 85), (2795.99 - 2762.75) / (2762.75 - 356.4), 2e-5, 13.5, 0.6, 1,
			"h'' 2795.99 and 2762.75 kJ/kg, checks-heat 1.2; h 356.4 of water at 85 degC and 7 bar(a) (table); superheat by cp 2.46 kJ/kgK near saturation, from memory"},
		{"20 to 6 bar(a)", at(20, 80), at(6, 80), (2798.38 - 2756.14) / (2756.14 - 335.4), 2e-5, 17.8, 0.8, 1,
			"h'' 2798.38 and 2756.14, checks-heat 1.2; h 335.4 at 80 degC; cp 2.4 from memory"},
		{"40 to 32 bar(a)", at(40, 100), at(32, 100), 0, 0, 0, 0, 1 - (2803.24-2800.90)/1777.79,
			"h'' 2800.90 under 2803.24: wet; r 1777.79, checks-heat 1.2"},
	} {
		got, err := c.from.LetDownTo(c.to)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.SprayKgKg-c.spray) > c.tol || math.Abs(got.SuperheatK-c.superheat) > c.by || math.Abs(got.DryFrac-c.dry) > 1e-5 {
			t.Errorf("%s: %+v; want spray %.5f, superheat %.1f, dry %.5f (%s)", c.name, got, c.spray, c.superheat, c.dry, c.src)
		}
		if math.Abs(got.HeatFrac-1) > 6e-4 { // at one temperature, water has v dp more at the higher pressure, 1.2 kJ/kg in 11 bar
			t.Errorf("%s: a kWh counts %.6f; want 1 with one feedwater", c.name, got.HeatFrac)
		}
		if got.SuperheatK > 0 { // the valve keeps the enthalpy
			sat, err := steam.SaturatedUnder(c.from.Pressure)
			p, err2 := steam.Vapour(c.to.Pressure, got.TC)
			if err != nil || err2 != nil || math.Abs(p.HKJKg-sat.Vapour.HKJKg) > 1e-6 {
				t.Errorf("%s: %g kJ/kg after the valve, %g before", c.name, p.HKJKg, sat.Vapour.HKJKg)
			}
		}
	}
	// Balance of mass and heat about the desuperheater, with feedwater of its own for each header.
	from, to := at(16, 105), at(4, 70)
	got, err := from.LetDownTo(to)
	if err != nil {
		t.Fatal(err)
	}
	upper, _ := from.HeatKJKg()
	lower, _ := to.HeatKJKg()
	if kWh := (1 + got.SprayKgKg) * lower / upper; math.Abs(kWh-got.HeatFrac) > 1e-12 {
		t.Errorf("a kg gives %g of its heat by mass, %g by HeatFrac", kWh, got.HeatFrac)
	}
	if _, err := to.LetDownTo(from); err == nil || !strings.Contains(err.Error(), "steam is let down, not up") {
		t.Error(err)
	}
}

func TestMedium(t *testing.T) {
	t.Parallel()
	water := Medium{HotWater, 140, 110, 5}
	if err := water.Check(); err != nil || water.MeanC() != 125 || water.String() != "hot water" {
		t.Error(err, water.MeanC())
	}
	for what, yes := range map[string]bool{
		"steam of 145":  water.HeatedBySteam(145),
		"steam of 144":  !water.HeatedBySteam(144.9),
		"oil 280/240":   water.HeatedBy(Medium{ThermalOil, 280, 240, 10}),
		"oil 160/114":   !water.HeatedBy(Medium{ThermalOil, 160, 114, 10}),
		"oil 144.9/130": !water.HeatedBy(Medium{ThermalOil, 144.9, 130, 10}),
	} {
		if !yes {
			t.Error(what)
		}
	}
	for want, m := range map[string]Medium{
		"supply: is 230 degC; want above 0 and at most 220 degC for hot water":   {HotWater, 230, 110, 5},
		"return: is 140 degC; want above 0 and below the supply's 140 degC":      {ThermalOil, 140, 140, 5},
		"approach: is -1 K; want 0 or more":                                      {HotAir, 140, 110, -1},
		"supply: is NaN degC; want above 0 and at most 400 degC for hot air":     {HotAir, math.NaN(), 110, 5},
		"return: is NaN degC; want above 0 and below the supply's 140 degC":      {HotAir, 140, math.NaN(), 5},
		"supply: is 401 degC; want above 0 and at most 400 degC for thermal oil": {ThermalOil, 401, 110, 5},
	} {
		if err := m.Check(); err == nil || err.Error() != want {
			t.Errorf("%v; want %s", err, want)
		}
	}
}
