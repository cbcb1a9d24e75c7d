package main

import (
	"testing"

	"noonkeep/scenarios"
)

// Plausibility, not proof: what people of the trade expect to see. Source of every row here:
// common practice, no source.

func TestTradeHotWaterTemperatures(t *testing.T) {
	t.Parallel()
	// Process-heat stores hold pressurised water up to about 180 to 200 °C; the dyehouse's 18 bar(g) lies just above.
	for _, name := range []string{"dyehouse", "cannery", "winery"} {
		c, err := scenarios.Load(name)
		if err != nil {
			t.Fatal(err)
		}
		if hot := c.Store.HotC(); hot < 160 || hot > 215 {
			t.Errorf("%s: the hottest water is %.1f °C, want 160 to 215", name, hot)
		}
	}
}

func TestTradeSmallLoadOnASunnyDay(t *testing.T) {
	t.Parallel()
	// With a store, a small load on a good sunny day is served nearly wholly by the sun.
	path := scenario(t, "dyehouse", "steam: 1250 kg/h", "steam: 150 kg/h", "steam: 500 kg/h", "steam: 150 kg/h",
		"steam: 400 kg/h", "steam: 0 kg/h", "heat: 90 kW", "heat: 0 kW")
	_, v := scheduleCSV(t, path, "--volume", "120")
	var bestSun, boiler, demand float64
	for day := 1; day < 365; day++ {
		var sun, b, d float64
		for i := 24 * day; i < 24*day+24; i++ {
			sun += v["sun_to_header_kW"][i] + v["sun_to_store_kW"][i] + v["spilled_sun_kW"][i]
			b += v["boiler_kW"][i]
			d += v["demand_kW"][i]
		}
		if d > 0 && sun > bestSun {
			bestSun, boiler, demand = sun, b, d
		}
	}
	if share := 1 - boiler/demand; share < 0.95 {
		t.Errorf("on the sunniest working day the boilers still carry %.1f %% of the load", 100*(1-share))
	}
}
