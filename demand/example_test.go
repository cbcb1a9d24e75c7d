package demand_test

import (
	"fmt"
	"strings"
	"time"

	"noonkeep/demand"
	"noonkeep/plant/clock"
	"noonkeep/plant/steam"
)

// 900 kg/h of steam at 6 bar(g) in two shifts, feedwater of 85 degC.
func Example() {
	kW, err := demand.SteamKW(900, steam.BarGauge(6, 1.01325), 85)
	if err != nil {
		fmt.Println(err)
		return
	}
	when, _ := clock.ParseWhen("Mon-Sat 06:00-22:00")
	dye := demand.Load{Name: "dye machines", KW: kW, When: when}
	year, _ := clock.NewYear(2026, time.Hour, 3*time.Hour)
	heat, err := dye.On(year, clock.Calendar{})
	fmt.Printf("%.1f kW, %.0f MWh a year, %v\n", kW, heat.EnergyKWh(year.StepH())/1000, err)
	// Output: 601.6 kW, 3013 MWh a year, <nil>
}

// A quarter-hourly log on hourly steps: the first hour's mean is (400 + 500 + 600 + 700)/4.
func ExampleReadSeries() {
	log := `time,kW
2026-03-02 06:00,400
2026-03-02 06:15,500
2026-03-02 06:30,600
2026-03-02 06:45,700
2026-03-02 07:00,800
2026-03-02 07:15,800
2026-03-02 07:30,0
2026-03-02 07:45,0
`
	series, err := demand.ReadSeries(strings.NewReader(log), "log.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	morning := clock.Axis{Start: time.Date(2026, 3, 2, 6, 0, 0, 0, time.FixedZone("", 3*3600)), Step: time.Hour, N: 2}
	fmt.Println(series.On(morning))
	// Output: [550 400] <nil>
}

// Nothing is guessed: the faults stand there with their lines.
func ExampleReadSeries_faults() {
	for _, log := range []string{
		"time,steam\n2026-03-02 06:00,400\n",
		"time,kW\n2026-03-02 06:00,400\n2026-03-02 07:00,-3\n2026-03-02 08:00,off\n",
		"time,kW\n2026-03-02 06:00,400\n2026-03-02 07:00,400\n2026-03-02 09:00,400\n",
	} {
		_, err := demand.ReadSeries(strings.NewReader(log), "log.csv")
		fmt.Println(err)
	}
	// Output:
	// log.csv:1: column "steam" has no unit that is known here; want kW or kg/h
	// log.csv:3: kW: is "-3"; want 0 to 1e+09
	// log.csv:4: kW: "off"; want a number of 0 or more
	// log.csv:4: time: 2026-03-02 09:00 is 2h0m0s after the row before; want 1h0m0s, the step of the first two rows: local standard time without summer time, one row a step
}

// A chiller's heat from June to September, half past seven to six.
func ExampleLoad_On() {
	when, _ := clock.ParseWhen("daily 07:30-18:00")
	season, _ := clock.ParseSpan("1 Jun..30 Sep")
	chiller := demand.Load{Name: "chiller", KW: 200, When: when, Seasons: []clock.Span{season}}
	year, _ := clock.NewYear(2026, time.Hour, 3*time.Hour)
	heat, err := chiller.On(year, clock.Calendar{})
	first := 151*24 + 7 // 1 June, 07:00
	fmt.Println(year.Label(first), heat[first], heat[first+1], heat.EnergyKWh(1), err)
	// Output: 1 Jun 07:00 100 200 256200 <nil>
}

func ExampleSteamKW() {
	kW, err := demand.SteamKW(900, steam.BarAbs(7), 85)
	fmt.Printf("%.1f kW, %v\n", kW, err)
	_, err = demand.SteamKW(900, steam.BarAbs(7), 170)
	fmt.Println(err != nil) // water of 170 degC boils at 7 bar(a)
	// Output:
	// 601.6 kW, <nil>
	// true
}

// A log in kg/h becomes heat by the header's pressure and the feedwater.
func ExampleSeries_Heat() {
	log := "time;kg/h\n2026-03-02T06:00;900\n2026-03-02T07:00;450\n"
	series, _ := demand.ReadSeries(strings.NewReader(log), "log.csv")
	heat, err := series.Heat(steam.BarAbs(7), 85)
	fmt.Printf("%.1f %s, %v\n", heat.Values, heat.Unit, err)
	// Output: [601.6 300.8] kW, <nil>
}

// A shift with an hour of start-up before it, a break, and cleaning after it.
func ExampleLoad_Heat() {
	when, _ := clock.ParseWhen("Mon-Fri 06:00-14:00")
	breaks, _ := clock.ParseWhen("daily 12:00-12:30")
	wash := demand.Load{Name: "wash", KW: 400, When: when, Breaks: breaks, BreakFrac: 0.3, Ramp: 30 * time.Minute,
		StartUp: demand.Extra{KW: 600, Lasts: time.Hour}, CleanUp: demand.Extra{KW: 200, Lasts: 45 * time.Minute}}
	monday := clock.Axis{Start: time.Date(2026, 3, 2, 5, 0, 0, 0, time.UTC), Step: time.Hour, N: 10}
	heat, parts, err := wash.Heat(monday, clock.Calendar{})
	fmt.Println(heat, err)
	for _, p := range parts {
		fmt.Printf("%g kWh %s, %q\n", p.KWh, p.Name, p.Text)
	}
	// Output:
	// [600 450 400 400 400 400 400 260 400 150] <nil>
	// 2800 kWh by the shift pattern, ""
	// 250 kWh ramp to full heat, "in 30 min from 600 kW"
	// 60 kWh breaks, "0.5 h at 30 % of the load"
	// 600 kWh start-up, "1 times 1 h at 600 kW"
	// 150 kWh cleaning, "1 times 45 min at 200 kW"
}
