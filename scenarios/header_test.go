package scenarios

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"noonkeep/optimize"
	"noonkeep/plant/steam"
)

// cascade is a plant of three pressures and a hot-water main, with the boilers on top and no sun.
const cascade = `noonkeep: 1
name: cascade
site: {latitude: 37 deg, longitude: 31 deg, elevation: 0 m, utc_offset: +2 h}
weather:
  monthly:
    ghi: [3, 4, 5, 6, 7, 8, 8, 7, 6, 5, 4, 3 kWh/m2d]
    air: [0, 2, 6, 12, 17, 21, 25, 25, 20, 14, 7, 2 degC]
headers:
  - {name: wash, medium: {kind: hot water, supply: 140 degC, return: 110 degC}}
  - {name: mid, pressure: 6 bar(g)}
  - {name: high, pressure: 17 bar(g), condensate: {return: 80 %, flash_to: mid, blowdown: 0 %}}
  - {name: low, pressure: 3 bar(g)}
loads:
  - {name: presses, header: high, heat: 1000 kW, when: "Mon-Fri 06:00-22:00"}
  - {name: kiers, header: mid, heat: 500 kW, when: "Mon-Sat 06:00-22:00"}
  - {name: washing, header: wash, heat: 200 kW}
  - {name: tracing, header: low, heat: 50 kW}
fuels:
  - {name: natural gas, price: 0.05 EUR/kWh, price_basis: net}
boilers:
  - {name: B1, header: high, capacity: 3 MW, efficiency: 0.85}
`

func changed(t *testing.T, s string, pairs ...string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if strings.Count(s, pairs[i]) != 1 {
			t.Fatalf("%q stands %d times", pairs[i], strings.Count(s, pairs[i]))
		}
		s = strings.Replace(s, pairs[i], pairs[i+1], 1)
	}
	return s
}

// planOrSkip plans a problem of several headers, where the program has Clp.
func planOrSkip(t *testing.T, p optimize.Problem) (optimize.Schedule, error) {
	t.Helper()
	s, _, err := optimize.Plan(context.Background(), p, optimize.Options{})
	if missing := (*optimize.NeedsClp)(nil); errors.As(err, &missing) {
		t.Skip("this program was built without Clp")
	}
	return s, err
}

func headerNamed(t *testing.T, c Case, name string) Header {
	t.Helper()
	for _, h := range c.Headers {
		if h.Name == name {
			return h
		}
	}
	t.Fatalf("no header %s", name)
	return Header{}
}

func TestCascade(t *testing.T) {
	t.Parallel()
	c := parsed(t, cascade)
	var links []string
	for _, h := range c.Headers {
		from := "-"
		if h.Above >= 0 {
			from = c.Headers[h.Above].Name
		}
		links = append(links, h.Name+" from "+from)
	}
	// low has 143.6 degC and the water 140 degC, too near for the approach of 5 K: it is heated by mid.
	if got := strings.Join(links, ", "); got != "high from -, mid from high, low from mid, wash from mid" {
		t.Error(got)
	}
	p, err := c.Problem()
	if err != nil {
		t.Fatal(err)
	}
	s, err := planOrSkip(t, p)
	if err != nil {
		t.Fatal(err)
	}
	demand := 0.0
	for _, h := range p.Headers {
		for _, kW := range h.DemandKW {
			demand += kW
		}
	}
	if got := s.Cost; math.Abs(got-demand*0.05/0.85) > 1e-6*got {
		t.Errorf("cost %g; all heat comes of one boiler through valves, %g", got, demand*0.05/0.85)
	}
}

// Flash steam of the high header's condensate: of each kg, 80 % come back and 11.37 % of that flash from 17 to 6 bar(g)...
func TestFlashSteamIntoTheLowerHeader(t *testing.T) {
	t.Parallel()
	c := parsed(t, cascade)
	high, mid := headerNamed(t, c, "high"), headerNamed(t, c, "mid")
	x, err := steam.FlashFraction(steam.BarGauge(17, 1.01325), steam.BarGauge(6, 1.01325))
	if err != nil {
		t.Fatal(err)
	}
	// By hand: h' 884.7 (18.01 bar(a)) and 697.5, r 2065.3 kJ/kg, checks-heat 1.2 and 2.1.10.
	if want := (884.7 - 697.5) / 2065.3; math.Abs(x-want) > 2e-4 {
		t.Errorf("flash share %g, want %g", x, want)
	}
	kgPerKW := 3600 / high.HeatKJKg
	want := 0.8 * x * kgPerKW * mid.HeatKJKg / 3600 * 1000
	noon, sunday := 12+24*4, 12+24*3 // Mon 5 Jan and Sun 4 Jan 2026, 12:00
	if c.Axis.At(noon).Weekday().String() != "Monday" || c.Axis.At(sunday).Weekday().String() != "Sunday" {
		t.Fatal(c.Axis.At(noon), c.Axis.At(sunday))
	}
	if math.Abs(mid.FlashKW[noon]-want) > 1e-9 || math.Abs(mid.DemandKW[noon]-(500-want)) > 1e-9 || mid.DemandKW[sunday] != 0 || mid.FlashVentedKWh != 0 {
		t.Errorf("%g kW of flash steam, want %g; asks %g", mid.FlashKW[noon], want, mid.DemandKW[noon])
	}
	// It is in the house's balance too, and not lost there.
	h := high.House
	if math.Abs(h.FlashTakenKgH-0.8*x) > 1e-12 || h.FlashLostKgH != 0 {
		t.Errorf("house %+v", h.HouseBalance)
	}
	in, out := 0.0, 0.0
	for _, s := range h.Streams {
		if s.Out {
			out += s.KgH
		} else {
			in += s.KgH
		}
	}
	if math.Abs(in-out) > 1e-9 {
		t.Errorf("%g kg in, %g kg out", in, out)
	}
	// With a load smaller than the flash steam the rest is vented, never below nothing.
	small := parsed(t, changed(t, cascade, "heat: 500 kW", "heat: 5 kW"))
	m := headerNamed(t, small, "mid")
	if m.DemandKW[noon] != 0 || m.FlashVentedKWh <= 0 {
		t.Errorf("asks %g kW, vents %g kWh", m.DemandKW[noon], m.FlashVentedKWh)
	}
	found := false
	for _, w := range small.Warnings {
		found = found || strings.Contains(w.Text, "of flash steam a year its loads have no use for")
	}
	if !found {
		t.Errorf("nothing is said of vented steam: %v", small.Warnings)
	}
	// Each kWh of it spares the boiler a kWh, and no other change is made to the loads.
	plain := parsed(t, changed(t, cascade, "flash_to: mid, ", ""))
	a, _ := plain.Problem()
	b, _ := c.Problem()
	sum := func(p optimize.Problem) (kWh float64) {
		for _, h := range p.Headers {
			for _, kW := range h.DemandKW {
				kWh += kW
			}
		}
		return kWh
	}
	own := (headerNamed(t, plain, "high").House.OwnUseFrac - h.OwnUseFrac) * 1000 // of the open tank without blowdown: none
	if got := sum(a) - sum(b); math.Abs(got-mid.FlashKW.EnergyKWh(1)) > 1e-6*got || own != 0 {
		t.Errorf("spares %g kWh, flash steam %g", got, mid.FlashKW.EnergyKWh(1))
	}
}

// A valve that passes too little leaves the lower header short: 1000 kg/h at 18 bar(a) is 678 kW.
func TestValveLimit(t *testing.T) {
	t.Parallel()
	unraced(t)
	text := changed(t, cascade, "{name: mid, pressure: 6 bar(g)}", "{name: mid, pressure: 6 bar(g), valve: {most: 1000 kg/h, desuperheater: yes}}", "heat: 500 kW", "heat: 900 kW")
	c := parsed(t, text)
	mid, high := headerNamed(t, c, "mid"), headerNamed(t, c, "high")
	if want := 1000 * high.HeatKJKg / 3600; math.Abs(mid.ValveKW-want) > 1e-9 || !mid.Spray {
		t.Errorf("%g kW, want %g", mid.ValveKW, want)
	}
	p, err := c.Problem()
	if err != nil || p.Valves[0].CapacityKW != mid.ValveKW {
		t.Fatal(err, p.Valves)
	}
	if _, err := planOrSkip(t, p); err == nil || !strings.Contains(err.Error(), `header "mid"`) && !strings.Contains(err.Error(), "short of heat") {
		t.Errorf("%v; want mid short of heat", err)
	}
	wide := parsed(t, strings.Replace(text, "most: 1000 kg/h", "most: 2 MW", 1))
	if p, err = wide.Problem(); err != nil || p.Valves[0].CapacityKW != 2000 {
		t.Fatal(err)
	}
	if _, err := planOrSkip(t, p); err != nil {
		t.Error(err)
	}
}

func TestMedia(t *testing.T) {
	t.Parallel()
	unraced(t)
	const sun = `fields:
  - {name: dishes, header: wash, collector: {kind: dish}, count: 4, aperture: 90 m2}
stores:
  - {name: tank, vessel: thermocline, header: wash, volume: 20 m3, steps: 0..60 m3, working_pressure: 15 bar(g)}
`
	c := parsed(t, cascade+sun)
	wash := headerNamed(t, c, "wash")
	if wash.FieldC() != 125 || wash.SteamC != 140 || wash.HeatKJKg != 0 {
		t.Errorf("%+v", wash)
	}
	f := c.Fields[0]
	want, err := f.Field.Yield(c.Weather, 125)
	if err != nil || want.DeliveredKWhM2 != f.ToHeader.DeliveredKWhM2 {
		t.Errorf("the field gives %g, at 125 degC %g", f.ToHeader.DeliveredKWhM2, want.DeliveredKWhM2)
	}
	s := c.Stores[0].Spec
	if s.SupplyC != 140 || s.ReturnC != 110 || s.ApproachK != 5 || s.ThermoclineFrac != 0.1 || s.WallM != 0.016 || s.LimitKW != 200 {
		t.Errorf("%+v", s)
	}
	// Mixed water is empty at supply and approach, 145 degC; layered at 115 degC but for the layer.
	mixed := parsed(t, cascade+strings.Replace(sun, "thermocline", "exchanger", 1))
	if got := mixed.Store.FloorC(); got != 145 {
		t.Errorf("mixed floor %g", got)
	}
	if got := c.Store.HeatKWhM3() / mixed.Store.HeatKWhM3(); got < 1.3 || got > 1.5 { // 0.9 (201 - 115) over (200 - 145)
		t.Errorf("layered over mixed %g", got)
	}
	// A load of hot water on steam: the store of its header need not be hotter.
	own := parsed(t, changed(t, cascade, "{name: kiers, header: mid,", "{name: kiers, header: mid, medium: {kind: hot water, supply: 95 degC, return: 70 degC},")+
		"stores: [{name: tank, vessel: thermocline, header: mid, volume: 20 m3, steps: 0..60 m3, working_pressure: 15 bar(g), charged_from: high}]\n")
	if s := own.Stores[0].Spec; s.SupplyC != 95 || s.ReturnC != 70 {
		t.Errorf("%+v", s)
	}
}

// On steam the tank's water boils the feedwater at the pinch, and then warms it.
func TestThermoclineOnSteam(t *testing.T) {
	t.Parallel()
	c := parsed(t, cascade+"stores: [{name: tank, vessel: thermocline, header: mid, volume: 20 m3, steps: 0..60 m3, working_pressure: 25 bar(g), margin: 0 bar, charged_from: high}]\n")
	s, mid := c.Stores[0].Spec, headerNamed(t, c, "mid")
	hotC := c.Store.HotC() // steam of the high header less the approach
	if high := headerNamed(t, c, "high"); math.Abs(hotC-(high.SteamC-5)) > 1e-9 {
		t.Errorf("hot %g, steam %g", hotC, high.SteamC)
	}
	// w kg of water at 4.4 kJ/kgK for a kg of steam: boiling takes 2065.3 kJ/kg, all 2406.4; by hand.
	w := 2065.3 / (hotC - mid.SteamC - 5)
	if want := hotC - 2406.4/w - 5; math.Abs(s.ReturnC-want) > 0.1 {
		t.Errorf("return %g, want %g", s.ReturnC, want)
	}
}

func TestAgedInsulation(t *testing.T) {
	t.Parallel()
	unraced(t)
	loss := func(extra string) float64 {
		c := parsed(t, with(t, "steps: 0..120 m3", "steps: 0..120 m3\n  insulation: {conductivity: 0.05 W/mK"+extra+"}"))
		return c.Store.Spec.InsulationWMK
	}
	for extra, want := range map[string]float64{
		"": 0.05, ", age: 15 a, worsening: 2 %/a": 0.05 * 1.3, ", age: 10 a": 0.05 * 1.1, ", age: 30 d, worsening: 10 %/a": 0.05 * (1 + 0.1*30/365),
	} {
		if got := loss(extra); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %g, want %g by hand", extra, got, want)
		}
	}
}

func TestWrongHeaders(t *testing.T) {
	t.Parallel()
	const noSteam = `and header "wash" carries hot water; want heat, such as "600 kW"`
	for _, c := range []struct{ name, input, want string }{
		{"neither pressure nor medium", changed(t, cascade, "{name: low, pressure: 3 bar(g)}", "{name: low}"),
			`12: headers[low].pressure: is missing; write for example "pressure: 6 bar(g)"`},
		{"both", changed(t, cascade, "{name: wash, medium", "{name: wash, pressure: 1 bar(g), medium"),
			`9: headers[wash].pressure: is of steam, and the header carries a medium; want one of the two`},
		{"return over supply", changed(t, cascade, "return: 110 degC", "return: 150 degC"),
			`9: headers[wash].medium.return: return: is 150 degC; want above 0 and below the supply's 140 degC`},
		{"water too hot", changed(t, cascade, "supply: 140 degC", "supply: 240 degC"),
			`9: headers[wash].medium.supply: supply: is 240 degC; want above 0 and at most 220 degC for hot water`},
		{"steam of a medium", changed(t, cascade, "header: wash, heat: 200 kW", "header: wash, steam: 200 kg/h"),
			`16: loads[washing].steam: is of steam, ` + noSteam},
		{"start-up steam of a medium", changed(t, cascade, "header: wash, heat: 200 kW", "header: wash, heat: 200 kW, when: 'Mon-Fri 06:00-14:00', start_up: {lasts: 1 h, steam: 90 kg/h}"),
			`16: loads[washing].start_up.steam: is of steam, ` + noSteam},
		{"movable steam of a medium", changed(t, cascade, "header: wash, heat: 200 kW", "header: wash, movable: {steam: 900 kg, within: daily 06:00-18:00, most: 400 kW}"),
			`16: loads[washing].movable.steam: is of steam, ` + noSteam},
		{"a boiler in kg/h", changed(t, cascade, "header: high, capacity: 3 MW", "header: wash, capacity: 3000 kg/h"),
			`21: boilers[B1].capacity: is a flow of steam, ` + noSteam},
		{"nothing hot enough", changed(t, cascade, "supply: 140 degC, return: 110 degC}", "supply: 205 degC, return: 110 degC}, from_above: yes"),
			`9: headers[wash].from_above: no header is hot enough to heat "wash": want steam of 210 degC, or a medium an approach hotter at both ends`},
		{"flash upward", changed(t, cascade, "flash_to: mid", "flash_to: high"),
			`11: headers[high].condensate.flash_to: header "high" is at 18.01 bar(a), not under the 18.01 bar(a) of the condensate; want a lower one`},
		{"flash into water", changed(t, cascade, "flash_to: mid", "flash_to: wash"),
			`11: headers[high].condensate.flash_to: header "wash" carries no steam`},
		{"flash twice", changed(t, cascade, "flash_to: mid", "flash_to: mid, flash_at: 1 bar(g)"),
			`11: headers[high].condensate.flash_to: stands beside flash_at; want one of the two`},
		{"flash into nothing", changed(t, cascade, "flash_to: mid", "flash_to: mdi"),
			`11: headers[high].condensate.flash_to: no header is called "mdi"; nearest is "mid"`},
		{"a load hotter than its header", changed(t, cascade, "{name: tracing, header: low,", "{name: tracing, header: low, medium: {kind: hot air, supply: 140 degC, return: 20 degC},"),
			`17: loads[tracing].medium.supply: header "low" has 143.7 degC, and hot air of 140 to 20 degC needs an approach of 5 K more`},
		{"a flash vessel on water", cascade + "store: {vessel: flash, header: wash, working_pressure: 15 bar(g)}\n",
			`22: store.vessel: gives steam, and header "wash" carries hot water; want exchanger or thermocline`},
		{"return unknown", cascade + "store: {vessel: thermocline, header: mid, supply: 120 degC, working_pressure: 15 bar(g)}\n",
			`22: store.return: is missing; the header's steam temperature is not what the store supplies, so that its loads' return is not known`},
		{"too cold a tank", cascade + "store: {vessel: thermocline, header: wash, working_pressure: 2.5 bar(g)}\n",
			`22: store.working_pressure: is 3.51325 bar(a) less 0.5 bar of margin, 133.7 °C; want no less than the 145.0 °C of supply and approach`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			_, err := Parse("two.yaml", []byte(c.input), nil)
			if err == nil {
				t.Fatalf("no error; want %s", c.want)
			}
			if got := strings.ReplaceAll(err.Error(), "two.yaml:", ""); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

// A series in kg/h and a meter of steam are refused on a medium, not counted as nothing.
func TestSteamSeriesOnAMedium(t *testing.T) {
	t.Parallel()
	folder := files{"kgh.csv": "time,kg/h\n2026-01-01 00:00,500\n2026-01-01 01:00,500\n", "log.csv": "time;t/h\n2026-01-01 00:00;0.5\n2026-01-01 01:00;0.5\n"}
	for load, want := range map[string]string{
		"series: kgh.csv": `two.yaml:16: loads[washing].series: "kgh.csv" counts steam, and header "wash" carries hot water; want kW`,
		"log: {file: log.csv, value: t/h, unit: t/h, gaps: fill anyway}": `two.yaml:16: loads[washing].log.unit: "t/h" is of steam, and header "wash" carries hot water; want heat`,
	} {
		_, err := Parse("two.yaml", []byte(changed(t, cascade, "header: wash, heat: 200 kW", "header: wash, "+load)), folder.open)
		if err == nil || err.Error() != want {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
}
