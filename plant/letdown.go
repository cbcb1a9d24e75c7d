package plant

import (
	"fmt"

	"noonkeep/plant/steam"
)

// LetDown is steam that a reducing valve lets from one header into another. The valve keeps the enthalpy, so that saturated
// steam comes out superheated, or a little wet where the pressures lie above that of the most enthalpy, 32 bar(a).
type LetDown struct {
	TC         float64 // after the valve
	SuperheatK float64 // over the lower header's saturation; 0 if wet
	DryFrac    float64 // 1 but for wet steam
	SprayKgKg  float64 // feedwater that brings a kg of it to dry saturation in a desuperheater; 0 if wet
	// HeatFrac is what a kWh of the upper header's heat counts at the lower one: 1 where both are fed with
	// water of one temperature, since spray adds mass and takes the heat for it from the steam.
	HeatFrac float64
}

// LetDownTo works out the steam between two headers.
//
// Valve: h = h_g(upper). Desuperheater: h_g(upper) + s h_fw = (1 + s) h_g(lower), so s = (h_g(upper) - h_g(lower))/(h_g(lower) - h_fw).
func (h Header) LetDownTo(low Header) (LetDown, error) {
	upper, err := h.HeatKJKg()
	if err != nil {
		return LetDown{}, err
	}
	lower, err := low.HeatKJKg()
	if err != nil {
		return LetDown{}, err
	}
	if low.Pressure.BarAbs() > h.Pressure.BarAbs() {
		return LetDown{}, fmt.Errorf("%s: %v is above the %v of %s; steam is let down, not up", low.place(), low.Pressure, h.Pressure, h.place())
	}
	from, err := steam.SaturatedUnder(h.Pressure)
	if err != nil {
		return LetDown{}, err
	}
	to, err := steam.SaturatedUnder(low.Pressure)
	if err != nil {
		return LetDown{}, err
	}
	hot := from.Vapour.HKJKg
	feedK := to.Vapour.HKJKg - lower // of the lower header's feedwater
	out := LetDown{TC: to.TC, DryFrac: 1, HeatFrac: (hot - feedK) / upper}
	if hot <= to.Vapour.HKJKg {
		out.DryFrac = (hot - to.Liquid.HKJKg) / to.EvaporationKJKg()
		return out, nil
	}
	out.SprayKgKg = (hot - to.Vapour.HKJKg) / lower
	lo, hi := to.TC, from.TC // the enthalpy rises with the temperature
	for range 60 {
		mid := (lo + hi) / 2
		p, err := steam.Vapour(low.Pressure, mid)
		if err != nil {
			return LetDown{}, err
		}
		if p.HKJKg < hot {
			lo = mid
		} else {
			hi = mid
		}
	}
	out.TC = (lo + hi) / 2
	out.SuperheatK = out.TC - to.TC
	return out, nil
}
