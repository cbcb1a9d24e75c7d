package scenarios

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// priced is plain with another line of fuels, and what else is put after it.
func priced(t testing.TB, fuel, after string) string {
	return with(t, "  - {name: natural gas, price: 0.05 EUR/kWh, price_basis: net}", "  - {name: natural gas, "+fuel+"}") + after
}

// hourOf is the step of an hour of 2026 in standard time.
func hourOf(month time.Month, day, hour int) int {
	return int(time.Date(2026, month, day, hour, 0, 0, 0, time.UTC).Sub(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)).Hours())
}

// marketYear is a CSV of the study's hours in which the price is that of the hour of the day, in EUR/MWh, and -5 at 13:00.
func marketYear() string {
	var b strings.Builder
	b.WriteString("time,EUR/MWh\n")
	for i := range 8760 {
		at := time.Date(2026, 1, 1, i, 0, 0, 0, time.UTC)
		price := at.Hour()
		if price == 13 {
			price = -5
		}
		fmt.Fprintf(&b, "%s,%d\n", at.Format("2006-01-02 15:04"), price)
	}
	return b.String()
}

func TestPricesByTheClock(t *testing.T) {
	t.Parallel()
	unraced(t)
	const gross = 1.11 // of natural gas, plant.FuelKinds
	for _, c := range []struct {
		name, fuel, time string
		at               map[int]float64 // by step, per kWh net
		src              string
	}{
		{"months", "price: [52, 51, 50, 45, 42, 40, 40, 41, 43, 46, 50, 53 EUR/MWh], price_basis: net", "",
			map[int]float64{0: 0.052, hourOf(1, 31, 23): 0.052, hourOf(2, 1, 0): 0.051, hourOf(7, 15, 12): 0.040, 8759: 0.053}, "as written, MWh to kWh"},
		{"months, gross", "price: [52, 51, 50, 45, 42, 40, 40, 41, 43, 46, 50, 53 EUR/MWh], price_basis: gross", "",
			map[int]float64{0: 0.052 * gross, hourOf(7, 15, 12): 0.040 * gross}, "a kWh of net heat is 1.11 of gross"},
		{"months by volume", "price: [5, 5, 5, 4, 4, 4, 4, 4, 4, 5, 5, 5 EUR/m3], net_calorific_value: 10 kWh/m3", "",
			map[int]float64{0: 0.5, hourOf(7, 15, 12): 0.4}, "10 kWh in each m3"},
		{"a tariff over a price", `price: 0.04 EUR/kWh, price_basis: net, tariff: [{when: "Mon-Fri 06:00-22:00", price: 0.06 EUR/kWh}, {when: "Sat 08:00-12:30", price: 0.05 EUR/kWh}]`, "",
			map[int]float64{hourOf(1, 5, 5): 0.04, hourOf(1, 5, 6): 0.06, hourOf(1, 5, 21): 0.06, hourOf(1, 5, 22): 0.04, hourOf(1, 10, 12): 0.045, hourOf(1, 11, 12): 0.04},
			"5 Jan 2026 is a Monday; half of Saturday 12:00 to 13:00 at 0.05"},
		{"a tariff over months", `price: [52, 51, 50, 45, 42, 40, 40, 41, 43, 46, 50, 53 EUR/MWh], price_basis: net, tariff: [{when: "Sun 00:00-24:00", price: 0.01 EUR/kWh}]`, "",
			map[int]float64{hourOf(1, 4, 12): 0.01, hourOf(1, 5, 12): 0.052, hourOf(7, 6, 12): 0.040}, "4 Jan 2026 is a Sunday"},
		{"a tariff that covers the year", `price_basis: net, tariff: [{when: "daily 06:00-22:00", price: 0.06 EUR/kWh}, {when: "daily 22:00-06:00", price: 0.03 EUR/kWh}]`, "",
			map[int]float64{0: 0.03, 5: 0.03, 6: 0.06, 8759: 0.03}, "as written; the first hours belong to the evening before"},
		{"a season", `price: 0.04 EUR/kWh, price_basis: net, tariff: [{when: "daily 00:00-24:00", season: 1 Nov..31 Mar, price: 0.06 EUR/kWh}]`, "",
			map[int]float64{0: 0.06, hourOf(3, 31, 23): 0.06, hourOf(4, 1, 0): 0.04, hourOf(11, 1, 0): 0.06}, "as written"},
		{"the clock on the wall", `price: 0.04 EUR/kWh, price_basis: net, tariff: [{when: "daily 06:00-22:00", price: 0.06 EUR/kWh}]`, `, summer_time: "last Sun Mar 02:00..last Sun Oct 03:00"`,
			map[int]float64{hourOf(1, 5, 5): 0.04, hourOf(1, 5, 6): 0.06, hourOf(7, 6, 5): 0.06, hourOf(7, 6, 21): 0.04}, "06:00 in July is 05:00 of standard time"},
		{"holidays", `price: 0.04 EUR/kWh, price_basis: net, tariff: [{when: "Mon-Fri 06:00-22:00; holidays 10:00-11:00", price: 0.06 EUR/kWh}]`, `, holidays: [1 Jan], shutdown: [2026-01-05..2026-01-11]`,
			map[int]float64{hourOf(1, 1, 7): 0.04, hourOf(1, 1, 10): 0.06, hourOf(1, 2, 7): 0.06, hourOf(1, 5, 7): 0.06}, "1 Jan is a holiday; the works' shutdown is none of the supplier's"},
		{"a file", "price_series: market.csv, price_basis: net", "",
			map[int]float64{0: 0, 7: 0.007, hourOf(7, 6, 13): -0.005, 8759: 0.023}, "as written, MWh to kWh"},
		{"a file, gross", "price_series: market.csv, price_basis: gross", "", map[int]float64{7: 0.007 * gross}, "a kWh of net heat is 1.11 of gross"},
	} {
		text := strings.Replace(priced(t, c.fuel, ""), "step: 60 min}", "step: 60 min"+c.time+"}", 1)
		made, err := Parse("p.yaml", []byte(text), files{"market.csv": marketYear()}.open)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		p, err := made.Problem()
		if err != nil {
			t.Fatal(c.name, err)
		}
		mean := 0.0
		for step, want := range c.at {
			if got := p.Boilers[0].FuelPrice[step]; math.Abs(got-want) > 1e-12 {
				t.Errorf("%s: %s costs %g; want %g (%s)", c.name, made.Axis.Label(step), got, want, c.src)
			}
		}
		for _, x := range p.Boilers[0].FuelPrice {
			mean += x / float64(len(p.Boilers[0].FuelPrice))
		}
		if got := made.Fuels[0].PricePerKWh; math.Abs(got-mean) > 1e-12 {
			t.Errorf("%s: mean price %g; want %g", c.name, got, mean)
		}
	}
}

// One price in whatever way it is written is the same problem.
func TestPricesWrittenAlike(t *testing.T) {
	t.Parallel()
	_, flat := problemOf(t, plain)
	for _, fuel := range []string{
		"price: [50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50 EUR/MWh], price_basis: net",
		`price_basis: net, tariff: [{when: "daily 00:00-24:00", price: 50 EUR/MWh}]`,
		`price: 7 EUR/kWh, price_basis: net, tariff: [{when: "daily 00:00-12:00", price: 50 EUR/MWh}, {when: "daily 12:00-24:00", price: 0.05 EUR/kWh}]`,
	} {
		_, p := problemOf(t, priced(t, fuel, ""))
		for step, x := range p.Boilers[0].FuelPrice {
			if math.Abs(x-flat.Boilers[0].FuelPrice[step]) > 1e-15 {
				t.Fatalf("%s: step %d costs %g; want %g", fuel, step, x, flat.Boilers[0].FuelPrice[step])
			}
		}
	}
}

func TestChargesAndTakes(t *testing.T) {
	t.Parallel()
	c, p := problemOf(t, priced(t, "price: 0.05 EUR/kWh, price_basis: gross, standing_charge: 1200 EUR/a, minimum_take: 500 MWh/a", "electricity: {price: 0.1 EUR/kWh, standing_charge: 300 EUR/a}\n"))
	if len(c.Charges) != 2 || p.FixedCost != 1500 {
		t.Errorf("charges %v and a fixed cost of %g; want 1200 and 300", c.Charges, p.FixedCost)
	}
	if len(p.Takes) != 1 || math.Abs(p.Takes[0].LeastKWh-500e3/1.11) > 1e-6 || math.Abs(p.Takes[0].Price-0.05*1.11) > 1e-12 || fmt.Sprint(p.Takes[0].Boilers) != "[0]" {
		t.Errorf("takes %+v; want 500 MWh of gross heat, 450.45 of net, at 0.0555", p.Takes)
	}
}

// Pumps and drives pay the price of the sun's hours, an electrode boiler that of each hour; only fuel pays for its carbon.
func TestPowerByTheClock(t *testing.T) {
	t.Parallel()
	text := with(t, "efficiency: 0.85}", "efficiency: 0.85}\n  - {name: E1, fuel: electricity, capacity: 500 kW, efficiency: 99 %}") +
		"electricity: {price: 0.05 EUR/kWh, tariff: [{when: \"daily 06:00-20:00\", price: 0.15 EUR/kWh}], co2: 400 g/kWh}\nmoney: {carbon_price: 100 EUR/t}\n"
	c, p := problemOf(t, text)
	if math.Abs(p.Boilers[1].FuelPrice[0]-0.05) > 1e-12 || math.Abs(p.Boilers[1].FuelPrice[12]-0.15) > 1e-12 {
		t.Errorf("power at night %g and at noon %g; want 0.05 and 0.15, no carbon on it", p.Boilers[1].FuelPrice[0], p.Boilers[1].FuelPrice[12])
	}
	if want := 0.05 + 0.20196*0.1; math.Abs(p.Boilers[0].FuelPrice[0]-want) > 1e-9 {
		t.Errorf("gas %g; want %g with 100 EUR/t on 201.96 g/kWh", p.Boilers[0].FuelPrice[0], want)
	}
	if c.PowerPerKWh < 0.149 || c.PowerPerKWh > 0.15 {
		t.Errorf("pumps pay %g; want nearly the day's 0.15", c.PowerPerKWh)
	}
	if p.Boilers[1].Pieces[0].FuelPerHeat != 1/0.99 || c.Boilers[1].Fuel.CO2KgPerKWh != 0.4 {
		t.Errorf("electrode boiler %+v", c.Boilers[1])
	}
	yields := c.Fields[0].Yield()
	if got, want := c.PowerKWh([]float64{1000}), yields.DriveKWhM2*c.Fields[0].AreaM2()+yields.IdleKWhM2*c.Fields[0].AreaM2()+10; math.Abs(got-want) > 1e-9 {
		t.Errorf("fields take %g kWh; want drives and 1 %% of 1000 kWh, %g", got, want)
	}
}

func TestWrongPrices(t *testing.T) {
	t.Parallel()
	folder := files{"market.csv": marketYear(), "francs.csv": strings.Replace(marketYear(), "EUR", "CHF", 1), "short.csv": "time,EUR/MWh\n2026-01-01 00:00,5\n2026-01-01 01:00,5\n"}
	const bad = "[natural gas]."
	for _, c := range []struct{ name, text, want string }{
		{"no price", priced(t, "price_basis: net", ""), "14: fuels" + bad + `price: is missing; write for example "price: 0.045 EUR/kWh"`},
		{"eleven months", priced(t, "price: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11 EUR/MWh]", ""), "14: fuels" + bad + "price: has 11 values; want 12"},
		{"a mapping", priced(t, "price: {winter: 3 EUR/MWh}", ""), "14: fuels" + bad + "price: is a mapping; want one value such as 0.045 EUR/kWh, or a list such as [52, 52, 50, 45, 42, 40, 40, 41, 43, 46, 50, 52 EUR/MWh]"},
		{"uncovered", priced(t, `price_basis: net, tariff: [{when: "Mon-Fri 06:00-22:00", price: 0.06 EUR/kWh}]`, ""),
			"14: fuels" + bad + "tariff[1]: and the other windows leave out 1 Jan 00:00; cover it, on holidays by hours for holidays, or write a price for all other hours"},
		{"twice", priced(t, `price: 0.04 EUR/kWh, price_basis: net, tariff: [{when: "Mon-Fri 06:00-22:00", price: 0.06 EUR/kWh}, {when: "Fri 20:00-23:00", price: 0.05 EUR/kWh}]`, ""),
			"14: fuels" + bad + "tariff[2]: holds on 2 Jan 20:00, and so does the window of line 14; want no hour twice"},
		{"no pattern", priced(t, `price: 0.04 EUR/kWh, price_basis: net, tariff: [{when: "Mon-Fry 06:00-22:00", price: 0.06 EUR/kWh}]`, ""),
			"14: fuels" + bad + `tariff[1].when: "Fry" does not fit; want a day such as Mon, Mon-Fri, daily or holidays, or always; did you mean Fri?`},
		{"beside", priced(t, "price: 0.04 EUR/kWh, price_basis: net, price_series: market.csv", ""), "14: fuels" + bad + "price_series: stands beside a price or a tariff; want one of the two"},
		{"no file", priced(t, "price_series: none.csv, price_basis: net", ""), "14: fuels" + bad + `price_series: "none.csv": file does not exist`},
		{"francs", priced(t, "price_series: francs.csv, price_basis: net", "electricity: {price: 0.1 EUR/kWh}\n"), "14: fuels" + bad + "price_series: francs.csv counts in CHF, and the scenario in EUR; want one currency"},
		{"short", priced(t, "price_series: short.csv, price_basis: net", ""),
			"14: fuels" + bad + "price_series: short.csv:3: 2 rows of 60 min run 2026-01-01 00:00 to 2026-01-01 02:00, standard time; want 2026-01-01 00:00 to 2027-01-01 00:00"},
		{"a take at many prices", priced(t, "price: [50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 51 EUR/MWh], price_basis: net, minimum_take: 5 MWh/a", ""),
			"14: fuels" + bad + "minimum_take: needs one price all year, at which what is not burnt is paid for; take it out, or the prices by month, hour or file"},
		{"a take without its year", priced(t, "price: 50 EUR/MWh, price_basis: net, minimum_take: 5 MWh", ""), "14: fuels" + bad + `minimum_take: "5 MWh" is not an amount of heat per year; want it in kWh/a, MWh/a, GWh/a, GJ/a or TJ/a`},
		{"CO2 of power by mass", plain + "electricity: {price: 0.1 EUR/kWh, co2: 3 kg/kg}\n", `24: electricity.co2: "3 kg/kg" is not per energy; write for example "400 g/kWh"`},
		{"below 0 with a start", strings.Replace(priced(t, "price_series: market.csv, price_basis: net", ""), "efficiency: 0.85}", "efficiency: 0.85, start: {fuel: 10 kWh}}", 1),
			"16: boilers[B1].fuel: has a price below 0 at times, at which burning more would pay, and the boiler's efficiency by load, standing loss or start would then err to the good side; want one efficiency, or prices of 0 or more"},
	} {
		_, err := Parse("w.yaml", []byte(c.text), folder.open)
		if err == nil {
			t.Errorf("%s: is taken; want %s", c.name, c.want)
			continue
		}
		if got := strings.ReplaceAll(err.Error(), "w.yaml:", ""); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}
