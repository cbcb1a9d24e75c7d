package sky

import (
	"errors"
	"fmt"
	"math"
	"time"

	"noonkeep/plant/clock"
)

// Monthly is what is known of a place without an hourly file: twelve means, January first.
type Monthly struct {
	GHIKWhM2Day [12]float64 // mean daily sum of global light on the horizontal
	AirC        [12]float64 // mean temperature
	WindMS      [12]float64 // mean wind; 0 for none
	// AirSwingK is the mean day's warmest less its coldest hour. 0 takes 25.8 K times the month's clearness less 5.2 K.
	AirSwingK float64
	// BetweenYearsFrac is how much a year's light differs from that of other years: the standard deviation of its sum over
	// the mean, up to 0.3. The means above are then those of many years; each seed's year has its own, all higher or
	// lower by one share. 0 gives every year the means exactly.
	BetweenYearsFrac float64
}

// The sums of light that a month may have, as shares of those outside the air.
const (
	leastClearness, mostClearness = 0.03, 0.85
	leastMonthWhM2                = 1 // a month with less light outside the air in all is polar night
	mostBetweenYears              = 0.3
)

func (m Monthly) check() error {
	var faults []error
	require := func(ok bool, what string, month int, format string, a ...any) {
		if !ok {
			faults = append(faults, fmt.Errorf("%s of %s: %s", what, time.Month(month+1), fmt.Sprintf(format, a...)))
		}
	}
	for i := range 12 {
		g, c, w := m.GHIKWhM2Day[i], m.AirC[i], m.WindMS[i]
		require(g >= 0 && g < 12, "GHI", i, "is %g kWh/m² a day; want 0 to 12", g)
		require(c > -60 && c < 60, "temperature", i, "is %g °C; want -60 to 60", c)
		require(w >= 0 && w < 30, "wind", i, "is %g m/s; want 0 to 30", w)
	}
	if s := m.AirSwingK; !(s >= 0 && s < 40) {
		faults = append(faults, fmt.Errorf("temperature swing: is %g K; want 0 to 40", s))
	}
	if s := m.BetweenYearsFrac; !(s >= 0 && s <= mostBetweenYears) {
		faults = append(faults, fmt.Errorf("spread between years: is %g; want 0 to %g", s, mostBetweenYears))
	}
	return errors.Join(faults...)
}

// FromMonthly makes a year of weather from monthly means; the same seed gives the same year, bit for bit.
//
// Daily clearness comes from the Markov matrices of Aguiar et al. 1988, hourly clearness from the TAG model of
// Aguiar and Collares-Pereira 1992, beam from Erbs' hourly curve with the clear sky's beam (Linke 2) as a bound. Each
// month's mean of GHI is met to 1e-9; no hour exceeds TAG's clear bound; there is no light at night. Temperature follows
// the months' means and Erbs' mean day, with its peak at 15 h by the sun; wind is Rayleigh with an hour's correlation of 0.85,
// each month's mean met. Light, temperature and wind are independent of each other but for the season.
// Finer steps than an hour share the hour's light out as [Read] does.
func FromMonthly(m Monthly, place Place, axis clock.Axis, seed uint64) (Year, error) {
	if err := errors.Join(ReadOptions{Axis: axis, Place: &place}.check(), m.check()); err != nil {
		return Year{}, err
	}
	g := newGenerator(place, axis)
	factor := yearFactor(m.BetweenYearsFrac, seed)
	held, err := g.days(m, factor, newDice(seed, streamLight))
	if err != nil {
		return Year{}, err
	}
	g.hours(newDice(seed, streamLight+1))
	y := Year{Place: place, Axis: axis, RowStep: time.Hour, Source: fmt.Sprintf("generated from monthly means, seed %d", seed)}
	y.note(0, "this year is generated, not measured: days and hours are like real ones in their spread and order, none of them was")
	if m.BetweenYearsFrac > 0 {
		y.note(0, "its sun is %+.1f %% off the given means, drawn for years that differ by %.3g %%", 100*(factor-1), 100*m.BetweenYearsFrac)
	}
	if held > 0 {
		y.note(0, "in %d months that is more, or less, than the sky allows there: they stand at that bound", held)
	}
	g.light(&y)
	y.Suns = Suns(place, axis, 0)
	y.AirC = airOf(m, g.monthClearness, y)
	y.WindMS = windOf(m.WindMS, axis, newDice(seed, streamWind))
	if m.WindMS == [12]float64{} {
		y.note(0, "no wind is given: 0 m/s is taken, so nothing will be stowed")
	}
	return y, nil
}

// yearFactor is a year's light over that of the mean year: normal, as the sums of years are mostly taken to be, and at most
// three standard deviations from 1.
func yearFactor(spreadFrac float64, seed uint64) float64 {
	const widest = 3
	if spreadFrac == 0 {
		return 1
	}
	for d := newDice(seed, streamYear); ; {
		if z := d.normal(); math.Abs(z) <= widest {
			return 1 + spreadFrac*z
		}
	}
}

// light puts the generated hours on the axis.
func (g *generator) light(y *Year) {
	parts := int(time.Hour / y.Axis.Step)
	if parts == 1 {
		y.GHI, y.DNI, y.DHI = make([]float64, len(g.hour)), make([]float64, len(g.hour)), make([]float64, len(g.hour))
		for i, h := range g.hour {
			y.GHI[i], y.DNI[i], y.DHI[i] = h.light.GHI, h.light.DNI, h.light.DHI
		}
		return
	}
	s := newSpreader(y.Place, y.Axis, 0, parts)
	for i, h := range g.hour {
		s.put(i*parts, h.light)
	}
	y.GHI, y.DNI, y.DHI = s.out[ghi], s.out[dni], s.out[dhi]
	y.note(0, "%s", saySpread("hour", parts))
}

// generator holds the hours of the axis outside the air, and what is drawn for them.
type generator struct {
	place          Place
	hour           []skyHour
	day            []skyDay
	monthClearness [12]float64
}

type skyHour struct {
	outsideWM2 float64 // mean on the horizontal outside the air
	cosLit     float64 // mean cosine of the zenith angle while the sun is up
	litShare   float64 // of the hour
	mostWM2    float64 // TAG's clear bound
	normalWM2  float64
	light      Light
}

type skyDay struct {
	month             int // 0 to 11
	outsideWh, mostWh float64
	clearness         float64
}

const skySamples = 12 // an hour, every 5 min

func newGenerator(p Place, a clock.Axis) *generator {
	n := int(a.End().Sub(a.Start) / time.Hour)
	g := &generator{place: p, hour: make([]skyHour, n), day: make([]skyDay, n/24)}
	e, o := newEphemeris(julianDay(a.Start), julianDay(a.End())), newObserver(p)
	start := julianDay(a.Start)
	for i := range g.hour {
		h := &g.hour[i]
		mid := start + (float64(i)+0.5)/24
		sun := e.at(mid)
		lit := 0
		for k := range skySamples {
			jd := start + (float64(i)+(float64(k)+0.5)/skySamples)/24
			if c := o.cosZenith(jd, sun); c > 0 {
				h.cosLit += c
				lit++
			}
		}
		if lit == 0 {
			continue
		}
		h.cosLit /= float64(lit)
		h.litShare = float64(lit) / skySamples
		h.normalWM2 = ExtraterrestrialWM2(sun.distAU)
		h.outsideWM2 = h.normalWM2 * h.cosLit * h.litShare
		hourRad := rad(math.Remainder(siderealDeg(mid)+sun.eqeqDeg+o.lonDeg-sun.raDeg, 360))
		h.mostWM2 = clearBound(hourRad*12/math.Pi) * h.outsideWM2
	}
	for d := range g.day {
		g.day[d].month = int(a.Start.AddDate(0, 0, d).Month()) - 1
		for _, h := range g.hour[d*24 : d*24+24] {
			g.day[d].outsideWh += h.outsideWM2
			g.day[d].mostWh += h.mostWM2
		}
	}
	return g
}
