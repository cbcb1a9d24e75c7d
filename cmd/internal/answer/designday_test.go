package answer_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"noonkeep/cmd/internal/answer"
	"noonkeep/plant"
	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

// twoHeaders is a day of sun that is known by heart: 24 equal hours on two headers, the fields' heat given per m².
const twoHeaders = `
noonkeep: 1
name: two headers
site: {latitude: 38 deg, longitude: 30 deg, utc_offset: +2 h}
weather: {monthly: {ghi: [2, 3, 4, 5, 6, 7, 7, 6, 5, 4, 3, 2 kWh/m2d], air: [5, 5, 8, 12, 16, 20, 23, 22, 18, 13, 9, 6 degC]}}
time: {year: 2026}
headers: [{name: high, pressure: 8 bar(g)}, {name: low, pressure: 2 bar(g)}]
loads:
  - {name: press, header: high, heat: 60 kW, when: "Mon-Fri 00:00-24:00"}
  - {name: wash, header: low, heat: 70 kW, when: "Mon-Fri 00:00-24:00"}
fuels: [{name: natural gas, price: 0.05 EUR/kWh}]
boilers: [{name: B1, header: high, capacity: 500 kW, efficiency: 0.85}]
fields:
  - {name: dishes, header: high, collector: {kind: dish}, count: 1, aperture: 100 m2, cleanliness: 95 %, availability: 97 %}
  - {name: tubes, header: low, collector: {kind: evacuated tube}, count: 1, aperture: 100 m2, cleanliness: 95 %, availability: 97 %, charges_store: no}
store: {vessel: flash, header: low, volume: 20 m3, steps: 0..60 m3, working_pressure: 16 bar(g), margin: 0.5 bar, line_drop: 0.2 bar, fill: 90 %,
  feed: while discharging, insulation: {thickness: 150 mm, conductivity: 0.05 W/mK}}
money: {currency: EUR}
electricity: {price: 0.2 EUR/kWh}
`

func parsed(t *testing.T, text string) scenarios.Case {
	t.Helper()
	c, err := scenarios.Parse("case.yaml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func level(n int, kWM2 float64) plant.YieldYear {
	y := plant.YieldYear{KWM2: make(clock.KW, n)}
	for i := range y.KWM2 {
		y.KWM2[i] = kWM2
	}
	return y
}

// TestDesignDayByHand: the dishes give 100 kW, at the store's heat 90, the tubes 50. The high header takes 60 of its
// 100 kW and passes 40 down; the low one takes 70 of 40 + 50 and leaves 20: 2/9 of what came to it. So the dishes have
// 40 × 2/9 = 80/9 kW left, the tubes 50 × 2/9 = 100/9. Only the dishes charge the store, with 90 × (80/9)/100 = 8 kW.
func TestDesignDayByHand(t *testing.T) {
	t.Parallel()
	c := parsed(t, twoHeaders)
	n := c.Axis.N
	c.Fields[0].ToHeader, c.Fields[0].ToStores[0], c.Fields[1].ToHeader = level(n, 1), level(n, 0.9), level(n, 0.5)
	const src = "hand calculation above"
	check := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*max(1, want) {
			t.Errorf("%s: %.10g; want %.10g (%s)", what, got, want, src)
		}
	}
	balance := func(which string) answer.DesignDay {
		t.Helper()
		days, err := answer.DesignDays(c)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range days {
			if d.Which == which {
				return d
			}
		}
		t.Fatalf("no %s among %v", which, days)
		return answer.DesignDay{}
	}
	d := balance("dullest working day")
	check("heat at the header", d.HeaderKWh, 24*150)
	check("heat at the store", d.StoreKWh, 24*90)
	check("demand", d.DemandKWh, 24*130)
	check("direct", d.DirectKWh, 24*130)
	check("surplus", d.SurplusKWh, 24*20)
	check("surplus at the store", d.SurplusStoreKWh, 24*8)
	check("store", d.StoreM3, 24*8/c.Store.HeatKWhM3())
	check("boilers", d.BoilersKWh, 0)

	c.Store.ChargeKW = 4
	d = balance("dullest working day")
	check("surplus at a store that takes 4 kW", d.SurplusStoreKWh, 24*4)
	check("its volume", d.StoreM3, 24*4/c.Store.HeatKWhM3())

	// With the valve shut the high header leaves 40 kW and boilers carry 20 on the low one.
	c.Headers[1].FromAbove, c.Headers[1].Above = false, -1
	c.Store.ChargeKW = 0
	d = balance("dullest working day")
	check("direct with the valve shut", d.DirectKWh, 24*(60+50))
	check("surplus", d.SurplusKWh, 24*40)
	check("surplus at the store", d.SurplusStoreKWh, 24*36)
	check("boilers", d.BoilersKWh, 24*20)
	check("boilers at most", d.BoilersPeakKW, 20)
	check("boilers with a store", d.BoilersAtBestKWh, 0)
}

// TestDesignDayOtherFeeds: a field on the feedwater goes first and is cut at its share; one that feeds stores alone has
// no heat at a header; of two stores the one that it heats best takes it, up to that store's rate.
func TestDesignDayOtherFeeds(t *testing.T) {
	t.Parallel()
	c := parsed(t, strings.Replace(twoHeaders, "store: {", "stores:\n  - {name: cool, vessel: flash, header: low, volume: 9 m3, steps: 0..60 m3, working_pressure: 9 bar(g), margin: 0.5 bar, line_drop: 0.2 bar,\n"+
		"    fill: 90 %, feed: while discharging, charge_rate: 30 kW, insulation: {thickness: 150 mm, conductivity: 0.05 W/mK}}\n  - {name: hot, ", 1))
	n := c.Axis.N
	c.Fields[0].Feeds, c.Fields[0].ToHeader = scenarios.ToStoreAlone, plant.YieldYear{}
	c.Fields[0].ToStores = []plant.YieldYear{level(n, 0.8), level(n, 0.7)}
	c.Fields[1].Feeds, c.Fields[1].ToHeader = scenarios.ToFeedwater, level(n, 0.5)
	c.Fields[1].Preheat = &scenarios.Preheat{FromC: 60, ToC: 90, ShareFrac: 0.1}
	days, err := answer.DesignDays(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range days {
		if !d.Working {
			continue
		}
		for _, row := range []struct {
			what      string
			got, want float64
			src       string
		}{
			{"heat at the header", d.HeaderKWh, 24 * 50, "100 m² of 0.5 kW; the dishes feed none"},
			{"direct", d.DirectKWh, 24 * 7, "a tenth of the low header's 70 kW"},
			{"surplus", d.SurplusKWh, 24 * 43, "50 - 7 kW, which nothing else can use"},
			{"boilers", d.BoilersKWh, 24 * (130 - 7), "the rest"},
			{"heat at the store", d.StoreKWh, 24 * 80, "the cooler store's 0.8 kW/m²"},
			{"surplus at the store", d.SurplusStoreKWh, 24 * 30, "its charge_rate"},
			{"store", d.StoreM3, 24 * 30 / c.Stores[0].HeatKWhM3(), "the cooler store's heat in a m³"},
		} {
			if math.Abs(row.got-row.want) > 1e-9*row.want {
				t.Errorf("%s, %s: %.10g; want %.10g (%s)", d.Which, row.what, row.got, row.want, row.src)
			}
		}
	}
}

func TestDesignDaysChosen(t *testing.T) {
	t.Parallel()
	c := parsed(t, twoHeaders)
	days, err := answer.DesignDays(c)
	if err != nil {
		t.Fatal(err)
	}
	perDay := func(v []float64, d int) float64 {
		sum := 0.0
		for _, x := range v[24*d : 24*d+24] {
			sum += x
		}
		return sum / 1000
	}
	for _, d := range days {
		for day := range 365 {
			weekend := c.Axis.At(24*day).Weekday()%6 == 0
			sun := perDay(c.Weather.DNI, day)
			switch {
			case d.Which == "sunniest day" && sun > d.DNIKWhM2+1e-9, d.Which == "sunniest working day" && !weekend && sun > d.DNIKWhM2+1e-9:
				t.Errorf("%s %s has %g kWh/m²; day %d has %g", d.Which, d.Date, d.DNIKWhM2, day, sun)
			case d.Which == "dullest working day" && !weekend && sun < d.DNIKWhM2-1e-9:
				t.Errorf("%s %s has %g kWh/m²; day %d has %g", d.Which, d.Date, d.DNIKWhM2, day, sun)
			}
		}
		if d.Which != "sunniest day" && (!d.Working || d.Weekday == "Saturday" || d.Weekday == "Sunday") {
			t.Errorf("%s is %s: the loads rest at weekends", d.Which, d.Weekday)
		}
	}
	without := parsed(t, twoShifts)
	if days, err = answer.DesignDays(without); err != nil || len(days) != 1 || days[0].Which != "highest demand" || days[0].BoilersKWh != days[0].DemandKWh {
		t.Errorf("without fields: %+v, %v; want the highest demand alone, all of it by boilers", days, err)
	}
	idle := parsed(t, strings.NewReplacer("heat: 300 kW", "heat: 0 kW", "heat: 100 kW", "heat: 0 kW").Replace(twoShifts))
	if days, err = answer.DesignDays(idle); err != nil || len(days) != 0 {
		t.Errorf("without fields and demand: %+v, %v; want none", days, err)
	}
}

// TestDesignDayAgainstTheProgram: with no store the best plan serves from the sun what it can, hour by hour, which is
// what the balance says without solving anything.
func TestDesignDayAgainstTheProgram(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"dyehouse", "cannery", "winery"} {
		c, err := scenarios.Load(name)
		if err != nil {
			t.Fatal(err)
		}
		days, err := answer.DesignDays(c)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := answer.PlanAt(context.Background(), c, 0, "")
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, d := range days {
			if d.Residual > 1e-9 {
				t.Errorf("%s, %s: does not close by %g", name, d.Which, d.Residual)
			}
			direct := 0.0
			for i := range c.Axis.N {
				if c.Axis.At(i).Format("2006-01-02") == d.Date {
					direct += plan.SunToHeaderKW[i] * c.Axis.StepH()
				}
			}
			if plan.MovedKW == nil && math.Abs(direct-d.DirectKWh) > 1e-6*max(1, direct) {
				t.Errorf("%s, %s: sun serves %.6f kWh; the solved plan without a store %.6f", name, d.Which, d.DirectKWh, direct)
			}
			if d.SunKWh < d.HeaderKWh || d.HeaderKWh < d.StoreKWh-1e-9 {
				t.Errorf("%s, %s: sun %g, heat at the header %g, at the store %g kWh; want them falling", name, d.Which, d.SunKWh, d.HeaderKWh, d.StoreKWh)
			}
		}
	}
}
