package demand

import (
	"errors"
	"fmt"

	"noonkeep/plant/clock"
	"noonkeep/plant/steam"
)

// Draw is hot water that is drawn: so much an hour while When runs, or so much on each of its days.
// The volume is what a meter in the cold make-up counts.
type Draw struct {
	M3H  float64 // m3 an hour in the hours of When; or
	M3D  float64 // m3 on each day on which a stretch of When begins, spread evenly over that day's stretches
	When clock.When
	// Profile spreads the day's M3D over the 24 hours of the clock on the wall instead, midnight first; only the
	// ratios count. When then only says on which days water is drawn.
	Profile []float64
	Seasons []clock.Span // days on which a stretch of When may begin; none is all year
}

// Check reports all that is wrong with the draw.
func (d Draw) Check() error {
	var faults []error
	require := func(holds bool, format string, args ...any) {
		if !holds {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	require(d.M3H >= 0 && d.M3H <= 1e5, "draw: is %g m3/h; want 0 to 1e5", d.M3H)
	require(d.M3D >= 0 && d.M3D <= 1e5, "draw: is %g m3/d; want 0 to 1e5", d.M3D)
	require(d.M3H == 0 || d.M3D == 0, "draw: is given by the hour and by the day; want one of the two")
	require(!d.When.IsZero(), `when: is missing; want hours such as "Mon-Fri 06:00-14:00", or "always"`)
	if d.Profile != nil {
		require(len(d.Profile) == 24, "profile: has %d values; want 24, one an hour", len(d.Profile))
		sum := 0.0
		for i, v := range d.Profile {
			require(v >= 0 && v <= 1e6, "profile: value %d is %g; want 0 or more", i+1, v)
			sum += v
		}
		require(sum > 0, "profile: is nothing in every hour; want a share in one at least")
		require(d.M3H == 0, "profile: shares out a day's draw, and the draw is given by the hour; write it in m3/d")
	}
	return errors.Join(faults...)
}

// On is the flow on the study's axis, mean m3/h over each step. Holidays, shutdowns and summer time act
// by the rules of [clock.When]. A day's draw is kept whole to rounding, even where part of its stretches lies outside the axis.
func (d Draw) On(a clock.Axis, c clock.Calendar) ([]float64, error) {
	if err := a.Check(); err != nil {
		return nil, err
	}
	if err := d.Check(); err != nil {
		return nil, err
	}
	list := d.When.Stretches(a, c, d.Seasons...)
	if d.M3D == 0 {
		flow := a.Shares(list)
		for i := range flow {
			flow[i] *= d.M3H
		}
		return flow, nil
	}
	flow := make([]float64, a.N)
	for len(list) > 0 {
		day := clock.DateOf(c.Wall(list[0].From))
		n := 1
		for n < len(list) && clock.DateOf(c.Wall(list[n].From)) == day {
			n++
		}
		if d.Profile != nil {
			d.share(flow, a, c, day)
		} else {
			addStretches(flow, a, list[:n], d.M3D)
		}
		list = list[n:]
	}
	return flow, nil
}

// addStretches spreads a day's m3 evenly over its stretches.
func addStretches(flow []float64, a clock.Axis, list []clock.Stretch, m3 float64) {
	hours := 0.0
	for _, s := range list {
		hours += s.H()
	}
	for _, s := range list {
		first := max(int(s.From.Sub(a.Start)/a.Step), 0)
		for i := first; i < a.N && a.At(i).Before(s.To); i++ {
			from, to := a.At(i), a.At(i+1)
			if from.Before(s.From) {
				from = s.From
			}
			if to.After(s.To) {
				to = s.To
			}
			if from.Before(to) {
				flow[i] += m3 / hours * float64(to.Sub(from)) / float64(a.Step)
			}
		}
	}
}

// share spreads a day's m3 over the hours of the clock on the wall by the profile. In the spring night the hour
// that is left out draws nothing and the others more, so that the day's draw is whole; the doubled hour of autumn is one long hour.
func (d Draw) share(flow []float64, a clock.Axis, c clock.Calendar, day clock.Date) {
	zone := a.Start.Location()
	var spans [24]clock.Stretch
	sum := 0.0
	for h := range spans {
		spans[h] = clock.Stretch{From: c.At(day, 60*h, zone), To: c.At(day, 60*(h+1), zone)}
		if spans[h].H() > 0 {
			sum += d.Profile[h]
		}
	}
	for h, s := range spans {
		if s.H() > 0 && d.Profile[h] > 0 {
			addStretches(flow, a, []clock.Stretch{s}, d.M3D*d.Profile[h]/sum)
		}
	}
}

// waterBarA is the pressure at which hot water is counted. Between 2 and 10 bar(a) its heat differs by 0.3 %.
const waterBarA = 4

// MostHotWaterC is the hottest water that is counted; at 4 bar(a) it would boil at 143.6 degC.
const MostHotWaterC = 140

// HotWater turns a flow into heat: the density of make-up water at makeUpC times h(to) - h(make-up), both at 4 bar(a).
type HotWater struct {
	ToC     float64   // of the hot water, up to [MostHotWaterC]
	MakeUpC []float64 // of the cold water, one value a step; see [AirYear], [MonthlyC]
}

// KWhM3 is the heat of each step's m3 of water, counted cold, kWh/m3: what a draw takes.
func (w HotWater) KWhM3() ([]float64, error) {
	return w.each(func(kJKg float64, hot, cold steam.Props) float64 { return kJKg / cold.VM3Kg / 3600 })
}

// TankKWhM3 is the heat that a m3 of tank holds while it is hot, over each step's make-up, kWh/m3.
func (w HotWater) TankKWhM3() ([]float64, error) {
	return w.each(func(kJKg float64, hot, cold steam.Props) float64 { return kJKg / hot.VM3Kg / 3600 })
}

// each works a value out for each step from the heat that a kg takes and both states.
func (w HotWater) each(value func(kJKg float64, hot, cold steam.Props) float64) ([]float64, error) {
	if !(w.ToC > 0 && w.ToC <= MostHotWaterC) {
		return nil, fmt.Errorf("to: is %g degC; want more than 0 and at most %d", w.ToC, MostHotWaterC)
	}
	p := steam.BarAbs(waterBarA)
	hot, err := steam.Liquid(p, w.ToC)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(w.MakeUpC))
	for i, tC := range w.MakeUpC {
		if i > 0 && tC == w.MakeUpC[i-1] {
			out[i] = out[i-1]
			continue
		}
		if !(tC >= 0 && tC <= w.ToC) {
			return nil, fmt.Errorf("make-up: is %.4g degC; want 0 to the %g of the hot water", tC, w.ToC)
		}
		cold, err := steam.Liquid(p, tC)
		if err != nil {
			return nil, err
		}
		out[i] = value(hot.HKJKg-cold.HKJKg, hot, cold)
	}
	return out, nil
}

// KW is the heat of a flow of m3/h, counted cold, mean over each step.
func (w HotWater) KW(flowM3H []float64) (clock.KW, error) {
	if len(flowM3H) != len(w.MakeUpC) {
		return nil, fmt.Errorf("draw: has %d steps, make-up %d; want the same", len(flowM3H), len(w.MakeUpC))
	}
	kW, err := w.KWhM3()
	if err != nil {
		return nil, err
	}
	for i := range kW {
		kW[i] *= flowM3H[i]
	}
	return kW, nil
}
