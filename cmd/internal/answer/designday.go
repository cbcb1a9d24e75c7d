package answer

import (
	"fmt"
	"math"
	"slices"
	"time"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/scenarios"
)

// DesignDay is the energy balance of one day, kWh unless another unit is named. Nothing is solved for it: sun serves the
// loads of its header as it comes, what is left passes down the reducing valves, and boilers carry the rest.
//
// Heat at the header = direct + surplus, and demand = direct + boilers; Residual is what is missing in the worse of the
// two, as a fraction of the day's heat.
type DesignDay struct {
	Which   string `json:"which"` // "sunniest day"
	Date    string `json:"date"`  // 2006-01-02
	Weekday string `json:"weekday"`
	Working bool   `json:"working"` // see [DesignDays]

	DNIKWhM2         float64 `json:"direct_normal_kWh_m2"`
	GHIKWhM2         float64 `json:"global_horizontal_kWh_m2"`
	SunKWh           float64 `json:"sun_on_aperture_kWh"`
	HeaderKWh        float64 `json:"heat_at_header_kWh"`
	StoreKWh         float64 `json:"heat_at_store_kWh"` // all of it at the hottest of the store that it charges best; nothing from fields that charge none
	DemandKWh        float64 `json:"demand_kWh"`
	DirectKWh        float64 `json:"direct_kWh"`
	SurplusKWh       float64 `json:"surplus_kWh"`          // at the header's temperature
	SurplusStoreKWh  float64 `json:"surplus_at_store_kWh"` // the same collectors, at the store's, as far as its charge rate goes
	StoreM3          float64 `json:"store_m3"`             // of vessel that this fills, from empty to full and without loss
	BoilersKWh       float64 `json:"boilers_kWh"`          // without a store
	BoilersPeakKW    float64 `json:"boilers_peak_kW"`
	BoilersAtBestKWh float64 `json:"boilers_with_store_kWh"` // if a store takes all of that surplus and gives it back without loss
	Residual         float64 `json:"residual"`
}

// workingShare is the share of the busiest day's heat from which a day counts as a working day; common practice, no source.
const workingShare = 0.5

// DesignDays gives the days that size a plant: the sunniest, the sunniest working day where that is another, the dullest
// working day, and the day of the highest demand. A working day asks for at least half of the busiest day's heat. The
// sun is direct normal where any field tracks it, else global. Without fields there is the highest demand alone, without
// demand none that ask for work.
func DesignDays(c scenarios.Case) ([]DesignDay, error) {
	perDay := int(math.Round(24 / c.Axis.StepH()))
	n := c.Axis.N / perDay
	light := c.Weather.GHI
	if slices.ContainsFunc(c.Fields, func(f scenarios.Field) bool { return f.Collector.Tracks() }) {
		light = c.Weather.DNI
	}
	asks, byHeader := make(clock.KW, c.Axis.N), make([]clock.KW, len(c.Headers))
	for i, h := range c.Headers {
		byHeader[i] = h.PlannedKW()
		addTo(asks, byHeader[i])
	}
	sun, heat := make([]float64, n), make([]float64, n)
	for d := range n {
		sun[d], heat[d] = sum(light[d*perDay:(d+1)*perDay]), sum(asks[d*perDay:(d+1)*perDay])
	}
	working := func(d int) bool { return heat[d] > 0 && heat[d] >= workingShare*slices.Max(heat) }
	out := []DesignDay{}
	for _, x := range chosenDays(c, asks, sun, working) {
		day, err := balanceOf(c, byHeader, x.day*perDay, perDay)
		if err != nil {
			return nil, err
		}
		day.Which, day.Working = x.which, working(x.day)
		out = append(out, day)
	}
	return out, nil
}

// chosen is a day by its number, with the reason for it.
type chosen struct {
	which string
	day   int
}

// chosenDays picks the design days by each day's sun; asks is the heat of all loads.
func chosenDays(c scenarios.Case, asks clock.KW, sun []float64, working func(d int) bool) []chosen {
	var days []chosen
	pick := func(which string, sign float64, fits func(d int) bool) {
		at := -1
		for d := range sun {
			if fits(d) && (at < 0 || sign*sun[d] > sign*sun[at]) {
				at = d
			}
		}
		if at >= 0 {
			days = append(days, chosen{which, at})
		}
	}
	if len(c.Fields) > 0 {
		if pick("sunniest day", 1, func(int) bool { return true }); !working(days[0].day) {
			pick("sunniest working day", 1, working)
		}
		pick("dullest working day", -1, working)
	}
	if peak, at := asks.Peak(); peak > 0 {
		days = append(days, chosen{"highest demand", at * len(sun) / c.Axis.N})
	}
	return days
}

// closing is the residual above which a balance is a fault of this program.
const closing = 1e-9

// balanceOf works out the day of n steps from the step from; asks is by header.
func balanceOf(c scenarios.Case, asks []clock.KW, from, n int) (DesignDay, error) {
	at := c.Axis.At(from)
	stepH := c.Axis.StepH()
	day := DesignDay{Date: at.Format(time.DateOnly), Weekday: at.Weekday().String()}
	day.DNIKWhM2 = sum(c.Weather.DNI[from:from+n]) * stepH / 1000
	day.GHIKWhM2 = sum(c.Weather.GHI[from:from+n]) * stepH / 1000
	for _, f := range c.Fields {
		y, err := f.Field.Yield(oneDay(c.Weather, from, n), useC(c, f))
		if err != nil {
			return DesignDay{}, fmt.Errorf("%s: field %q on %s: %w", c.File, f.Name, day.Date, err)
		}
		day.SunKWh += (y.BeamKWhM2 + y.DiffuseKWhM2) * f.AreaM2()
	}
	used, left := 0.0, 0.0 // of the fields' heat, counted field by field
	for t := from; t < from+n; t++ {
		h := hourOf(c, asks, t)
		day.HeaderKWh += h.sunKW * stepH
		day.StoreKWh += h.storeKW * stepH
		day.DemandKWh += h.asksKW * stepH
		day.DirectKWh += h.directKW * stepH
		day.BoilersKWh += h.boilersKW * stepH
		day.BoilersPeakKW = max(day.BoilersPeakKW, h.boilersKW)
		day.SurplusStoreKWh += h.chargeKW * stepH
		day.StoreM3 += h.fillsM3PerH * stepH
		used += h.usedKW * stepH
		left += h.leftKW * stepH
	}
	day.SurplusKWh = left
	day.BoilersAtBestKWh = max(0, day.BoilersKWh-day.SurplusStoreKWh)
	scale := max(day.HeaderKWh, day.DemandKWh, 1)
	day.Residual = max(math.Abs(day.HeaderKWh-day.DirectKWh-left), math.Abs(day.DemandKWh-used-day.BoilersKWh)) / scale
	if day.Residual > closing {
		return DesignDay{}, fmt.Errorf("%s: the heat balance of %s does not close by %.1e; want %.0e (a fault of this program)", c.File, day.Date, day.Residual, closing)
	}
	return day, nil
}

// useC is the temperature that a field's heat is wanted at.
func useC(c scenarios.Case, f scenarios.Field) float64 {
	if len(headersOf(f)) == 0 {
		return c.Stores[chargesOf(f)[0]].HotC()
	}
	return f.AtC
}

// oneDay is the weather of one day.
func oneDay(y sky.Year, from, n int) sky.Year {
	day := y
	day.Axis = clock.Axis{Start: y.Axis.At(from), Step: y.Axis.Step, N: n}
	to := from + n
	day.GHI, day.DNI, day.DHI = y.GHI[from:to], y.DNI[from:to], y.DHI[from:to]
	day.AirC, day.WindMS, day.Suns = y.AirC[from:to], y.WindMS[from:to], y.Suns[from:to]
	day.Notes = nil
	return day
}

// hour is the balance of one step, kW.
type hour struct {
	sunKW, storeKW, asksKW float64
	directKW, boilersKW    float64 // counted header by header
	usedKW, leftKW         float64 // counted field by field
	chargeKW, fillsM3PerH  float64
}

// hourOf serves each header with what preheats its feedwater, then with its own fields' heat and what is left of the one
// over it, from the top down, and then gives each field the share of its heat that nobody needed.
func hourOf(c scenarios.Case, byHeader []clock.KW, t int) hour {
	var o hour
	own, warmed := make([]float64, len(c.Headers)), make([]float64, len(c.Headers)) // kW
	for _, f := range c.Fields {
		heat := heatKW(f, t)
		switch {
		case f.Preheat != nil: // it can go nowhere else, so it goes first
			asks := byHeader[f.Header][t]
			given := max(0, min(heat, f.Preheat.ShareFrac*asks, asks-warmed[f.Header]))
			warmed[f.Header] += given
			o.sunKW, o.usedKW, o.leftKW = o.sunKW+heat, o.usedKW+given, o.leftKW+heat-given
		case heat > 0:
			own[f.Header] += heat
		}
	}
	spare := o.serve(c, byHeader, t, own, warmed)
	into := make([]float64, len(c.Stores))
	for _, f := range c.Fields {
		share := 1.0
		if len(headersOf(f)) > 0 && f.Preheat == nil {
			heat := heatKW(f, t)
			share = spare[f.Header]
			o.sunKW, o.usedKW, o.leftKW = o.sunKW+heat, o.usedKW+(1-share)*heat, o.leftKW+share*heat
		}
		if k, kWM2 := coolest(f, t); k >= 0 {
			o.storeKW += kWM2 * f.AreaM2()
			into[k] += share * kWM2 * f.AreaM2()
		}
	}
	for k, st := range c.Stores {
		if st.ChargeKW > 0 {
			into[k] = min(into[k], st.ChargeKW)
		}
		o.chargeKW += into[k]
		o.fillsM3PerH += into[k] / st.HeatKWhM3()
	}
	return o
}

// coolest gives the store to which a field can give the most heat, and that heat; -1 if it charges none.
func coolest(f scenarios.Field, t int) (k int, kWM2 float64) {
	k = -1
	for _, to := range chargesOf(f) {
		if heat := f.ToStores[to].KWM2[t]; k < 0 || heat > kWM2 {
			k, kWM2 = to, heat
		}
	}
	return k, kWM2
}

// heatKW is what a field can give to its header or its feedwater.
func heatKW(f scenarios.Field, t int) float64 {
	if len(headersOf(f)) == 0 {
		return 0
	}
	return f.ToHeader.KWM2[t] * f.AreaM2()
}

// serve goes down the headers, and returns by header the share of its own heat that in the end nobody needs.
func (o *hour) serve(c scenarios.Case, byHeader []clock.KW, t int, own, warmed []float64) []float64 {
	spare := make([]float64, len(c.Headers))
	passed := 0.0
	for h, header := range c.Headers {
		if h == 0 || header.Above != h-1 {
			passed = 0
		}
		asks, has := byHeader[h][t], own[h]+passed
		o.asksKW += asks
		asks -= warmed[h]
		o.directKW += warmed[h] + min(asks, has)
		o.boilersKW += max(0, asks-has)
		passed = max(0, has-asks)
		if spare[h] = 1; has > 0 {
			spare[h] = passed / has
		}
	}
	for h := len(spare) - 2; h >= 0; h-- { // of what is passed on, the next leaves its share
		if c.Headers[h+1].Above == h {
			spare[h] *= spare[h+1]
		}
	}
	return spare
}
