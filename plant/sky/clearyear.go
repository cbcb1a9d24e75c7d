package sky

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// ClearSky is a year without clouds on the axis and at the place of a real one: light by Ineichen and Perez 2002, with the
// turbidity of each month's clearest steps ([FitLinke]), as means over the steps. Temperature, wind and suns are the year's own
// (shared, not copied). It says in its Notes how it was fitted.
func ClearSky(y Year) (Year, error) {
	if err := y.check(); err != nil {
		return Year{}, err
	}
	return y.clearSky(FitLinke(y)), nil
}

// ClearSkyOf is [ClearSky] with given turbidities, January first: those that [FitLinke] found in the hourly year, say, for its
// minutes.
func ClearSkyOf(y Year, linke [12]float64) (Year, error) {
	for m, tl := range linke {
		if !(tl >= leastLinke && tl <= mostLinke) {
			return Year{}, fmt.Errorf("turbidity of %s: is %g; want %g to %g", time.Month(m+1), tl, leastLinke, mostLinke)
		}
	}
	if err := y.check(); err != nil {
		return Year{}, err
	}
	return y.clearSky(linke), nil
}

// A longer step is looked at once in so many minutes.
const clearSampleMin = 5

func (y Year) clearSky(linke [12]float64) Year {
	c := y
	c.Source = "clear sky of " + y.Source
	c.Notes = nil
	n := max(1, int(y.Axis.Step.Minutes()/clearSampleMin))
	looked := y.Axis
	looked.Step, looked.N = y.Axis.Step/time.Duration(n), y.Axis.N*n
	suns := y.Suns
	if n > 1 {
		suns = Suns(y.Place, looked, y.LightOffset)
	}
	c.GHI, c.DNI, c.DHI = make([]float64, y.Axis.N), make([]float64, y.Axis.N), make([]float64, y.Axis.N)
	for i, m := range monthsOf(y.Axis) {
		for _, s := range suns[i*n : (i+1)*n] {
			if s.ZenithDeg >= 90 {
				continue
			}
			l := ClearSkyAt(y.Place, s, linke[m])
			c.GHI[i] += l.GHI / float64(n)
			c.DNI[i] += l.DNI / float64(n)
			c.DHI[i] += l.DHI / float64(n)
		}
	}
	said := make([]string, 12)
	for m, tl := range linke {
		said[m] = fmt.Sprintf("%.1f", tl)
	}
	c.note(0, "clear sky by Ineichen and Perez 2002; its Linke turbidity is that of each month's clearest tenth of beam: %s (January to December)", strings.Join(said, " "))
	return c
}

const (
	leastLinke, mostLinke = 1., 12.
	clearestFrac          = 0.10 // the share of a month's steps that are clearer than its turbidity
	fitHeightDeg          = 10.  // of the sun, for the fit
	fitLowDeg             = 3.   // where a month has no higher sun
	leastFitted           = 10   // steps of a month, or its neighbours stand for it
)

// FitLinke gives the Linke turbidity of each month, January first, that the beam of the year's own clearest steps has.
//
// Each step's turbidity is the one with which the clear beam equals its DNI, by Ineichen and Perez 2002 (their air-mass
// independent form); of a month's steps with the sun over 10 deg (3 where it never stands so high) it is that which a tenth
// undershoot. A month with under 10 such steps, or with no clear one, takes the straight line between its neighbours; a
// year without any takes 3.
func FitLinke(y Year) [12]float64 {
	var high, low [12][]float64
	ground := Air{ElevationM: y.Place.ElevationM}
	bar := AirPressureBarA(y.Place.ElevationM)
	for i, m := range monthsOf(y.Axis) {
		height := 90 - y.Suns[i].ZenithDeg
		if height <= fitLowDeg {
			continue
		}
		absolute := AirMass(ApparentZenithDeg(y.Suns[i].ZenithDeg, bar, 10)) * bar / 1.01325
		tl := ground.linkeOf(y.DNI[i], absolute, ExtraterrestrialWM2(y.Suns[i].DistanceAU))
		low[m] = append(low[m], tl)
		if height > fitHeightDeg {
			high[m] = append(high[m], tl)
		}
	}
	var fitted [12]float64
	for m := range fitted {
		steps := high[m]
		if len(steps) < leastFitted {
			steps = low[m]
		}
		fitted[m] = math.NaN()
		if len(steps) < leastFitted {
			continue
		}
		slices.Sort(steps)
		if tl := steps[int(clearestFrac*float64(len(steps)))]; tl <= mostLinke {
			fitted[m] = max(leastLinke, tl)
		}
	}
	return bridged(fitted)
}

// linkeOf is the turbidity at which the clear beam is the given one; +Inf without beam.
// Ineichen and Perez, Solar Energy 73 (2002) 151-157: Ib = b I0 exp(-0.09 AM (TL - 1)), b = 0.664 + 0.163/fh1.
func (a Air) linkeOf(dniWM2, absoluteAirMass, normalWM2 float64) float64 {
	b := 0.664 + 0.163/math.Exp(-a.ElevationM/8000)
	return 1 + math.Log(b*normalWM2/dniWM2)/(0.09*absoluteAirMass)
}

// bridged fills months without a value along straight lines around the year.
func bridged(v [12]float64) [12]float64 {
	out := v
	for m := range v {
		if !math.IsNaN(v[m]) {
			continue
		}
		before, after := 1, 1
		for before < 12 && math.IsNaN(v[(m+12-before)%12]) {
			before++
		}
		for after < 12 && math.IsNaN(v[(m+after)%12]) {
			after++
		}
		if before == 12 {
			if out[m] = v[m]; math.IsNaN(out[m]) {
				out[m] = ordinaryLinke
			}
			continue
		}
		a, b := v[(m+12-before)%12], v[(m+after)%12]
		out[m] = a + (b-a)*float64(before)/float64(before+after)
	}
	return out
}
