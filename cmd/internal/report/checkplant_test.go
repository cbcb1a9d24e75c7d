package report

import (
	"math"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
)

func minutes(at map[int]float64) (months [12]*float64) {
	for m := range months {
		v := at[m+1]
		if !math.IsNaN(v) {
			months[m] = &v
		}
	}
	return months
}

func TestLightVerdict(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		light    answer.SkyWay
		want     string
		doubtful bool
	}{
		{answer.SkyWay{ClearDaysMin: minutes(map[int]float64{3: 19.9, 4: math.NaN()})}, "It follows the sun; no light stands where the sun is down.", false},
		{answer.SkyWay{ClearDaysMin: minutes(map[int]float64{1: -58.6, 7: -61.2})},
			"In Jan and Jul it is off the sun's noon by -61 to -59 min: look at weather.svg (--out), and under DOUBTFUL; no light stands where the sun is down.", true},
		{answer.SkyWay{ClearDaysMin: minutes(map[int]float64{5: 30.2}), DarkDNI: 0.0115, DarkGHI: 0.00363},
			"In May it is off the sun's noon by +30 min: look at weather.svg (--out), and under DOUBTFUL; 1.15 % of the direct and 0.36 % of the global light stand where the sun is down.", true},
		{answer.SkyWay{ClearDaysMin: minutes(map[int]float64{1: 40, 2: 40, 3: 40, 4: 40, 5: 40, 6: 40, 7: 40, 8: 40, 9: 40, 10: 40, 11: 40, 12: 40}), DarkGHI: 1e-4, DarkDNI: 1e-5},
			"In every month it is off the sun's noon by +40 min: look at weather.svg (--out), and under DOUBTFUL; under 0.01 % of the direct and 0.01 % of the global light stand where the sun is down.", true},
		{answer.SkyWay{DarkDNI: 0.002}, "It follows the sun; 0.20 % of the direct and 0 % of the global light stand where the sun is down.", true},
	} {
		if got := lightVerdict(tt.light); got != tt.want || lightDoubtful(tt.light) != tt.doubtful {
			t.Errorf("got %q, doubtful %v; want %q, %v", got, lightDoubtful(tt.light), tt.want, tt.doubtful)
		}
	}
}

func TestPlantFigures(t *testing.T) {
	t.Parallel()
	u := answer.Understood{Scenario: "s", Plant: answer.Scheme{
		Headers: []answer.SchemeHeader{{Name: "high", BarG: 10, TempC: 184.1, FeedwaterC: 80}, {Name: "low", BarG: 2.5, TempC: 139, FeedwaterC: 80, PeakKW: 334, PeakKgH: 500, FromAbove: true}},
		Fields:  []answer.SchemeField{{Name: "f", Count: 3, Collectors: 30, AreaM2: 1234, PeakKW: 99, KWh: 5000, Headers: []int{0}, WarmsFromC: 20, WarmsToC: 95}},
		Stores:  []answer.SchemeStore{{Name: "a", Header: 1, From: 0, VolumeM3: 12.5, WorkingBarG: 9, HotC: 177, FloorC: 145, CapacityKWh: 379, DischargeKW: 3676, FromHeaderKW: 300}, {Name: "b", FromHeaderKW: 20}},
		Boilers: []answer.SchemeBoiler{{Name: "2 more boilers", Count: 2, CapacityKW: 1500, NetEff: 0.855}},
		Loads:   []answer.SchemeLoad{{Name: "l", KWh: 12345678, PeakKW: 1000}},
	}}
	d := plantChart(u)
	if err := d.Check(); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		got  []string
		want string
	}{
		{d.Headers[0].Figures, "10 bar(g)|184 °C|feedwater 80 °C"},
		{d.Headers[1].Figures, "2.5 bar(g)|139 °C|feedwater 80 °C|loads at most 334 kW, 500 kg/h"},
		{d.Headers[1].Valve, "10 to 2.5 bar(g)"},
		{d.Fields[0].Figures, "30 collectors, 1 234 m²|warms feedwater, 20 to 95 °C|at most 99 kW, 5.0 MWh/a"},
		{d.Stores[0].Figures, "12.5 m³, 379 kWh|9 bar(g), 177 to 145 °C|gives at most 3 676 kW|charged from high too, at most 300 kW"},
		{d.Stores[1].Figures[3:], "charged by boilers too, at most 20 kW"},
		{d.Boilers[0].Figures, "1 500 kW|85.5 %"},
		{d.Loads[0].Figures, "at most 1 000 kW|12 346 MWh/a"},
	} {
		if got := strings.Join(tt.got, "|"); got != tt.want {
			t.Errorf("figures are %q; want %q", got, tt.want)
		}
	}
}
