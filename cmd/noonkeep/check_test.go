package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// TestCheckShowsMistimedFile: the light of a real file that stands an hour off for nine months falls outside the
// computed sunrise and sunset and off noon; that of a sound one does neither (weather/INDEX.md).
func TestCheckShowsMistimedFile(t *testing.T) {
	t.Parallel()
	const dir = "../../../shared/weather"
	for _, tt := range []struct {
		file, site     string
		mistimed       bool
		months         int // off noon by 20 min and more
		leastDNI, most float64
		src            string
	}{
		{"honolulu-usa-tmy3.csv", "{latitude: 21.317 deg, longitude: -157.933 deg, utc_offset: -10 h}", true, 9, 0.01, 0.02, "INDEX.md: a whole hour off in nine months"},
		{"tucson-usa-tmy3.csv", "{latitude: 32.167 deg, longitude: -110.883 deg, elevation: 809 m, utc_offset: -7 h}", false, 0, 0, 1e-6, "INDEX.md: sound"},
	} {
		path, err := filepath.Abs(filepath.Join(dir, tt.file))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := os.Stat(path); err != nil {
			t.Skipf("real weather files are not here: %v", err)
		}
		text := `
noonkeep: 1
name: laundry
site: ` + tt.site + `
weather: {file: ` + path + `}
headers: [{name: main, pressure: 6 bar(g)}]
loads: [{name: press, heat: 300 kW}]
fuels: [{name: natural gas, price: 0.05 EUR/kWh}]
boilers: [{name: B1, capacity: 500 kW, efficiency: 0.85}]
money: {currency: EUR}
`
		scenario := filepath.Join(t.TempDir(), "laundry.yaml")
		if err := os.WriteFile(scenario, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		var got struct {
			Light struct {
				Months [12]*float64 `json:"clear_days_after_noon_min"`
				GHI    float64      `json:"global_while_sun_is_down"`
				DNI    float64      `json:"direct_while_sun_is_down"`
			} `json:"light"`
			Plant struct {
				Loads []struct {
					PeakKW float64 `json:"peak_kW"`
				} `json:"loads"`
			} `json:"plant"`
		}
		if err := json.Unmarshal([]byte(must(t, "check", "--json", scenario)), &got); err != nil {
			t.Fatal(err)
		}
		off := 0
		for m, v := range got.Light.Months {
			switch {
			case v == nil:
				t.Errorf("%s: month %d has no middle of light", tt.file, m+1)
			case math.Abs(*v) >= 20:
				off++
			}
		}
		if off != tt.months || got.Light.DNI < tt.leastDNI || got.Light.DNI > tt.most || tt.mistimed != (got.Light.GHI > 1e-3) {
			t.Errorf("%s: %d months off noon, %.2e of DNI and %.2e of GHI while the sun is down; want %d, %.0e to %.0e (%s)",
				tt.file, off, got.Light.DNI, got.Light.GHI, tt.months, tt.leastDNI, tt.most, tt.src)
		}
		if len(got.Plant.Loads) != 1 || got.Plant.Loads[0].PeakKW != 300 {
			t.Errorf("%s: loads are %+v; want one of 300 kW", tt.file, got.Plant.Loads)
		}
	}
}
