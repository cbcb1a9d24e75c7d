package answer

import (
	"math"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
	"noonkeep/scenarios"
)

// SkyWay is the year's light beside the sun's computed way: what lets a person see a mistimed weather file.
type SkyWay struct {
	// ClearDaysMin is by month how many minutes after the sun's noon the middle of clear days' light falls; nil: unknown.
	ClearDaysMin [12]*float64 `json:"clear_days_after_noon_min"`
	// DarkGHI and DarkDNI are the shares of the light in steps in which the sun is down from end to end.
	DarkGHI float64 `json:"global_while_sun_is_down"`
	DarkDNI float64 `json:"direct_while_sun_is_down"`

	Source             string     `json:"source"`
	DNIKWhM2           float64    `json:"direct_normal_kWh_m2"`
	GHIKWhM2           float64    `json:"global_horizontal_kWh_m2"`
	Axis               clock.Axis `json:"-"`
	DNI, GHI           []float64  `json:"-"` // W/m², by step
	RiseH, NoonH, SetH []float64  `json:"-"` // by day, at the hour of the steps that they belong to; NaN: none
}

// SkyWayOf compares a case's weather with the sun over its place.
func SkyWayOf(c scenarios.Case) SkyWay {
	y := c.Weather
	days := sky.SunDays(y.Place, y.Axis)
	timing := sky.TimingOf(y, days)
	h := y.Axis.StepH() / 1000
	w := SkyWay{
		DarkGHI: timing.DarkGHI, DarkDNI: timing.DarkDNI, Source: y.Source, Axis: y.Axis, DNI: y.DNI, GHI: y.GHI,
		DNIKWhM2: sum(y.DNI) * h, GHIKWhM2: sum(y.GHI) * h,
	}
	for m, v := range timing.ClearDaysMin {
		if !math.IsNaN(v) {
			w.ClearDaysMin[m] = &v
		}
	}
	off := y.LightOffset.Hours() // a step's light stands this much after its middle
	for _, d := range days {
		w.RiseH, w.NoonH, w.SetH = append(w.RiseH, d.RiseH-off), append(w.NoonH, d.NoonH-off), append(w.SetH, d.SetH-off)
	}
	return w
}
