package sky

import (
	"cmp"
	"math"
	"slices"
	"time"

	"noonkeep/plant/clock"
)

// SunDay is the sun's way over a place in one day, in hours of the clock from that day's midnight: below 0 or over 24
// where the clock is far off the sun. Where the sun does not rise and set, RiseH and SetH are NaN.
type SunDay struct {
	RiseH, NoonH, SetH float64
	AlwaysUp           bool // it does not set
}

// horizonDeg is the height of the sun's middle when its upper rim is seen on a level horizon: 34' of refraction and
// 16' of radius, as almanacs count.
const horizonDeg = -0.8333

// SunDays gives the way of each day of an axis, by the axis' clock, to a few seconds away from the poles.
func SunDays(p Place, a clock.Axis) []SunDay {
	days := make([]SunDay, int(math.Ceil(a.End().Sub(a.Start).Hours()/24)))
	zoneH := zoneOf(a.Start).Hours()
	sinLat, cosLat := math.Sincos(rad(p.LatDeg))
	for d := range days {
		midnight := a.Start.AddDate(0, 0, d)
		at := func(h float64) Sun { return SunAt(p, midnight.Add(time.Duration(h*float64(time.Hour)))) }
		noonAt := func(s Sun) float64 { return 12 - (4*p.LonDeg+s.EquationOfTimeMin)/60 + zoneH }
		noon := noonAt(at(12))
		day := SunDay{NoonH: noon}
		meet := func(side float64) float64 { // -1 the rise, 1 the set
			h := noon + side*6
			for range 3 {
				s := at(h)
				sinD, cosD := math.Sincos(rad(s.DeclinationDeg))
				// Duffie & Beckman eq. 1.6.10 with the rim on the horizon
				c := (math.Sin(rad(horizonDeg)) - sinLat*sinD) / (cosLat * cosD)
				if math.Abs(c) > 1 {
					day.AlwaysUp = c < -1
					return math.NaN()
				}
				h = noonAt(s) + side*deg(math.Acos(c))/15
			}
			return h
		}
		day.RiseH, day.SetH = meet(-1), meet(1)
		if math.IsNaN(day.RiseH) || math.IsNaN(day.SetH) { // the day between both kinds has neither
			day.RiseH, day.SetH = math.NaN(), math.NaN()
		}
		days[d] = day
	}
	return days
}

// up tells whether the sun is up at any time between two hours of the day.
func (d SunDay) up(fromH, toH float64) bool {
	if math.IsNaN(d.RiseH) {
		return d.AlwaysUp
	}
	for _, turn := range []float64{-24, 0, 24} {
		if fromH < d.SetH+turn && toH > d.RiseH+turn {
			return true
		}
	}
	return false
}

// Timing is how the light of a year lies to the sun's computed way.
type Timing struct {
	// ClearDaysMin is how many minutes after the sun's noon the middle of the light of each month's clearest fifth of days
	// falls; NaN where that says nothing. Weather scatters it by some 10 min; an hour is the clock's fault.
	ClearDaysMin [12]float64
	// DarkGHI and DarkDNI are the shares of the year's light in steps in which the sun is down from end to end.
	DarkGHI, DarkDNI float64
}

// TimingOf compares the light of a year with the sun's way over its place.
func TimingOf(y Year, days []SunDay) Timing {
	var t Timing
	stepH, offsetH := y.Axis.StepH(), y.LightOffset.Hours()
	perDay := int(math.Round(24 / stepH))
	var all, dark [2]float64
	for i := range y.GHI {
		midH := (float64(i%perDay)+0.5)*stepH + offsetH
		down := !days[i/perDay].up(midH-stepH/2, midH+stepH/2)
		for q, light := range [2]float64{y.GHI[i], y.DNI[i]} {
			all[q] += light
			if down {
				dark[q] += light
			}
		}
	}
	share := func(q int) float64 {
		if all[q] == 0 {
			return 0
		}
		return dark[q] / all[q]
	}
	t.DarkGHI, t.DarkDNI = share(0), share(1)
	t.ClearDaysMin = y.clearDaysMin(days, perDay)
	return t
}

// clearDaysMin weighs each day's light about the sun's noon, in a day around that noon and not around the clock's.
func (y Year) clearDaysMin(days []SunDay, perDay int) [12]float64 {
	type light struct{ clearness, atMin float64 }
	var byMonth [12][]light
	stepH, n := y.Axis.StepH(), len(y.GHI)
	for d, day := range days {
		first := d*perDay + int(math.Round((day.NoonH-y.LightOffset.Hours())/stepH)) - perDay/2
		sum, moment, outside := 0.0, 0.0, 0.0
		for k := first; k < first+perDay; k++ {
			i := ((k % n) + n) % n
			afterH := (float64(k-d*perDay)+0.5)*stepH + y.LightOffset.Hours() - day.NoonH
			sum += y.GHI[i]
			moment += y.GHI[i] * afterH
			s := y.Suns[i]
			outside += ExtraterrestrialWM2(s.DistanceAU) * max(0, s.CosZenith())
		}
		if outside*stepH > leastDaySumWh && sum > 0 {
			m := y.Axis.At(d*perDay).Month() - 1
			byMonth[m] = append(byMonth[m], light{sum / outside, 60 * moment / sum})
		}
	}
	var at [12]float64
	for m, all := range byMonth {
		slices.SortStableFunc(all, func(a, b light) int { return cmp.Compare(b.clearness, a.clearness) })
		fifth := len(all) / 5
		if fifth < 3 {
			at[m] = math.NaN()
			continue
		}
		for _, l := range all[:fifth] {
			at[m] += l.atMin / float64(fifth)
		}
	}
	return at
}
