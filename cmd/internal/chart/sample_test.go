package chart

import (
	"math"
	"math/rand/v2"
	"time"
)

// The samples have the shape of a dyehouse's answer but are drawn by hand formulas:
// no figure here is a result.

func sampleCurve() Curve {
	c := Curve{
		Title:       "The first 40 m³ of storage bring most of the saving; past 115 m³ a bigger tank costs fuel",
		Subtitle:    "Dyehouse, two shifts, 12 collectors of 90 m², furnace oil at 0.062 EUR/kWh; 60-minute steps, year 2026",
		Currency:    "EUR",
		SavingsName: "Savings against the same field without a tank",
		MarkM3:      42,
		CostM3:      96,
	}
	for v := 0.0; v <= 120; v += 5 {
		s := 18400*(1-math.Exp(-v/26)) - 3.2*v - 0.02*v*v
		c.VolumesM3 = append(c.VolumesM3, v)
		c.Savings = append(c.Savings, s)
		c.Upper = append(c.Upper, s+14)
		c.Marginal = append(c.Marginal, 18400/26*math.Exp(-(v+2.5)/26)-3.2-0.04*v)
	}
	return c
}

// sampleDays makes days of hourly flows: noonKW of sun at noon, two shifts but Sunday.
func sampleDays(start time.Time, days int, noonKW, cloud float64) Week {
	rng := rand.New(rand.NewPCG(7, 11))
	const capacity = 4200
	k := Week{Start: start, StepH: 1, CapacityKWh: capacity}
	stored := 900.0
	k.StoredKWh = []float64{stored}
	for d := range days {
		day := start.AddDate(0, 0, d)
		clear := 1 - cloud*rng.Float64()
		season := 0.62 - 0.38*math.Cos(2*math.Pi*float64(day.YearDay()-10)/365)
		for h := range 24 {
			sun := noonKW * clear * season * math.Max(0, math.Sin(math.Pi*(float64(h)-5.5)/13.5))
			if h < 6 || h > 18 {
				sun = 0
			}
			demand := 60.0
			if day.Weekday() != time.Sunday && h >= 6 && h < 22 {
				demand = 640 + 160*math.Sin(float64(h)*1.9)
			}
			toHeader := math.Min(sun, demand)
			into := math.Min(sun-toHeader, capacity-stored)
			out := math.Min(demand-toHeader, math.Min(stored, 520))
			if into > 0 {
				out = 0
			}
			stored = math.Max(0, stored*0.999+into-out)
			k.DemandKW = append(k.DemandKW, demand)
			k.SunKW = append(k.SunKW, toHeader)
			k.StoreKW = append(k.StoreKW, out)
			k.BoilerKW = append(k.BoilerKW, demand-toHeader-out)
			k.SunToStoreKW = append(k.SunToStoreKW, into)
			k.SpilledKW = append(k.SpilledKW, sun-toHeader-into)
			k.StoredKWh = append(k.StoredKWh, stored)
		}
	}
	return k
}

var east3 = time.FixedZone("UTC+3", 3*3600)

func sampleSummer() Week {
	k := sampleDays(time.Date(2026, 7, 6, 0, 0, 0, 0, east3), 7, 1500, 0.5)
	k.Title = "A summer week: the tank carries the evening shift, and Sunday's sun is spilled"
	k.Subtitle = "Dyehouse, 42 m³, week of least fuel cost; hourly means, local standard time"
	return k
}

func sampleWinter() Week {
	k := sampleDays(time.Date(2026, 1, 12, 0, 0, 0, 0, east3), 7, 1500, 1)
	k.Title = "A winter week: the boilers carry the plant"
	k.Subtitle = "Dyehouse, 42 m³, week of least fuel cost; hourly means, local standard time"
	return k
}

func sampleYear() YearMap {
	k := sampleDays(time.Date(2026, 1, 1, 0, 0, 0, 0, east3), 365, 1500, 0.9)
	return YearMap{
		Title:    "From April to September the boilers rest by day; in winter they run two shifts",
		Subtitle: "Dyehouse with 42 m³, hourly means of the year 2026, local standard time; hours of the day run upward",
		Start:    k.Start,
		StepH:    1,
		Maps: []Map{
			{Name: "Sun to the header, kW", Note: yearMWh(k.SunKW), Values: k.SunKW, Tone: SunTone},
			{Name: "Heat in the store, kWh", Note: "full at 4 200 kWh", Values: k.StoredKWh[:8760], Tone: StoreTone},
			{Name: "Boilers, kW", Note: yearMWh(k.BoilerKW), Values: k.BoilerKW, Tone: BoilerTone},
		},
	}
}

func yearMWh(kW []float64) string {
	sum := 0.0
	for _, v := range kW {
		sum += v / 1000
	}
	return Thousands(sum, 0) + " MWh in the year"
}
