package scenarios_test

import (
	"fmt"

	"noonkeep/scenarios"
)

// A scenario becomes a case, the case a problem for package optimize.
func Example() {
	c, err := scenarios.Load("dyehouse")
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := c.Problem()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %d steps of %g h\n", c.Name, p.N(), p.StepH)
	fmt.Printf("header %s at %.2f bar(a), %.1f degC\n", p.Headers[0].Name, c.Headers[0].Pressure.BarAbs(), c.Headers[0].SteamC)
	fmt.Printf("%g m2 of %s, store %g m3\n", p.Fields[0].AreaM2, p.Fields[0].Name, p.Stores[0].VolumeM3)
	// Output:
	// dyehouse at Kuruova: 8760 steps of 1 h
	// header main at 6.90 bar(a), 164.4 degC
	// 2700 m2 of dishes, store 40 m3
}

// What is wrong comes with its line and what to write instead.
func ExampleParse() {
	_, err := scenarios.Parse("my.yaml", []byte(`noonkeep: 1
name: my plant
site: {latitude: 95 deg, longitude: 31 deg, utc_offset: +2 h}
weather: {file: year.epw}
headers: [{name: main, presure: 6 bar(g)}]
loads: []
`), scenarios.Beside("."))
	fmt.Println(err)
	// Output:
	// my.yaml:3: site.latitude: "95 deg" is out of range; want -90 to 90 deg
	// my.yaml:5: headers[main].pressure: is missing; write for example "pressure: 6 bar(g)"
	// my.yaml:5: headers[main].presure: is not a key of a scenario here; nearest is "pressure"
}

func ExampleStarters() {
	for _, s := range scenarios.Starters() {
		fmt.Println(s.Name)
	}
	// Output:
	// dyehouse
	// cannery
	// winery
}

func ExampleVolume() {
	fmt.Println(scenarios.Volume("40 m3"))
	fmt.Println(scenarios.Volume("40"))
	fmt.Println(scenarios.Volume("40 kg"))
	// Output:
	// 40 <nil>
	// 40 <nil>
	// 0 "40 kg" is not a volume or a number; write for example "40 m3" or "3"
}

// Another year of the same monthly means, for the spread between years.
func ExampleCase_WithSeed() {
	c, err := scenarios.Load("dyehouse")
	if err != nil {
		fmt.Println(err)
		return
	}
	for seed := range uint64(3) {
		year, err := c.WithSeed(seed + 1)
		if err != nil {
			fmt.Println(err)
			return
		}
		light, beam := 0.0, 0.0
		for t := range year.Weather.GHI {
			light, beam = light+year.Weather.GHI[t]/1000, beam+year.Weather.DNI[t]/1000
		}
		fmt.Printf("%s: %.1f kWh/m2 on the level, %.0f of beam\n", year.Variant, light, beam)
	}
	// Output:
	// seed 1: 1934.6 kWh/m2 on the level, 2296 of beam
	// seed 2: 1934.6 kWh/m2 on the level, 2292 of beam
	// seed 3: 1934.6 kWh/m2 on the level, 2283 of beam
}

// A value is changed where it stands; the comment keeps its column.
func ExampleRewrite() {
	text := `loads:
  - name: dye machines     # both shifts
    steam: 900 kg/h
    when: Mon-Fri 06:00-22:00   # from the shift plan
`
	out, err := scenarios.Rewrite("my.yaml", []byte(text),
		scenarios.Setting{Key: "loads[dye machines].when", Value: "Mon-Fri 06:00-22:00; Sat 06:00-14:00"},
		scenarios.Setting{Key: "loads[dye machines].header", Value: "main"})
	fmt.Print(string(out), err)
	// Output:
	// loads:
	//   - name: dye machines     # both shifts
	//     header: main
	//     steam: 900 kg/h
	//     when: Mon-Fri 06:00-22:00; Sat 06:00-14:00  # from the shift plan
	// <nil>
}
