package sky

import (
	"math"
	"slices"
	"time"
)

// How a file's clock is judged. Sound files close within 4 W/m² a month at the right offset and miss by 20 and more when
// half an hour off (expected.json of the test files); clear days' middles scatter by some 10 min a month.
const (
	offsetStep      = 5 * time.Minute
	lowestOffset    = -120 * time.Minute
	offsetsTried    = 49  // to +120 min
	leastMoved      = 10  // min: a smaller error in time is let pass
	disagreeWM2     = 15  // mean error at the best offset from which the parts of the light contradict each other
	leastLitRows    = 40  // a month with fewer rows of light says nothing
	leastMovedClear = 20  // min, by clear days, which are less sharp
	leastDaySumWh   = 500 // extraterrestrial: polar winter says nothing
	darkBeamWM2     = 5
)

// skyClock holds the sun's way at each label: cos z = a + b cos(h), with h moving 15 deg an hour.
type skyClock struct {
	a, b, hRad, eotMin, normal []float64
}

// checkTiming notes where the light looks mistimed. It shifts nothing.
func (t *table) checkTiming(year int, offset time.Duration) {
	measured := t.origin[ghi] && t.origin[dni] && t.origin[dhi]
	c := t.skyClock(year)
	var months [12]verdict
	for m := range months {
		months[m] = verdict{best: math.NaN(), clearDays: math.NaN()}
	}
	if measured {
		t.closures(c, offset, &months)
	}
	if t.origin[dni] {
		t.darkBeam(c, offset)
	}
	t.clearDays(c, &months)
	if !t.sayMistimed(months, offset) {
		t.sayClearDays(months, offset)
	}
	t.sayOpposed(months)
}

func (t *table) skyClock(year int) skyClock {
	a := t.ownAxis(year)
	e := newEphemeris(julianDay(a.Start), julianDay(a.End()))
	o := newObserver(t.place)
	n := a.N
	c := skyClock{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)}
	for i := range n {
		jd := julianDay(a.At(i).Add(t.label))
		g := e.at(jd)
		sinD, cosD := math.Sincos(rad(g.decDeg))
		c.a[i], c.b[i] = o.sinLat*sinD, o.cosLat*cosD
		c.hRad[i] = rad(math.Remainder(siderealDeg(jd)+g.eqeqDeg+o.lonDeg-g.raDeg, 360))
		c.eotMin[i] = 4 * math.Remainder(meanLongitudeDeg(g.jme)-0.0057183-g.raDeg+g.eqeqDeg, 360)
		c.normal[i] = ExtraterrestrialWM2(g.distAU)
	}
	return c
}

// cosZ is the cosine of the zenith angle some time after label i.
func (c skyClock) cosZ(i int, after time.Duration) float64 {
	return c.a[i] + c.b[i]*math.Cos(c.hRad[i]+after.Hours()*(math.Pi/12))
}

// monthOf is the month, 0 to 11, of row i.
func (t *table) monthOf(i int) int {
	day := i / (24 * t.perHour)
	for m := 1; ; m++ {
		n := monthDays(m)
		if m == 2 && !t.leap {
			n = 28
		}
		if day < n {
			return m - 1
		}
		day -= n
	}
}

// closures finds for each month the offset at which GHI = DHI + DNI cos z holds best.
func (t *table) closures(c skyClock, offset time.Duration, months *[12]verdict) {
	var sum [12][offsetsTried + 1]float64
	var rows [12]float64
	// cos(h + d) is taken apart, so that a year by the minute needs no 26 million cosines.
	var sinD, cosD [offsetsTried + 1]float64
	for k := range offsetsTried {
		sinD[k], cosD[k] = math.Sincos((lowestOffset + time.Duration(k)*offsetStep).Hours() * (math.Pi / 12))
	}
	sinD[offsetsTried], cosD[offsetsTried] = math.Sincos(offset.Hours() * (math.Pi / 12))
	for i, g := range t.columns[ghi] {
		if !(g > 0 || t.columns[dni][i] > 0) {
			continue
		}
		m := t.monthOf(i)
		rows[m]++
		sinH, cosH := math.Sincos(c.hRad[i])
		level, beam := g-t.columns[dhi][i], t.columns[dni][i]
		for k := range sum[m] {
			sum[m][k] += math.Abs(level - beam*math.Max(0, c.a[i]+c.b[i]*(cosH*cosD[k]-sinH*sinD[k])))
		}
	}
	for m := range months {
		if rows[m] < leastLitRows*float64(t.perHour) {
			continue
		}
		v := &months[m]
		best := 0
		for k := range offsetsTried {
			if sum[m][k] < sum[m][best] {
				best = k
			}
		}
		v.best = (lowestOffset + time.Duration(best)*offsetStep).Minutes()
		v.bestWM2, v.usedWM2 = sum[m][best]/rows[m], sum[m][offsetsTried]/rows[m]
		v.mistimed = math.Abs(v.best-offset.Minutes()) >= leastMoved && v.usedWM2 > 2.5*v.bestWM2+1.5
		v.opposed = v.bestWM2 > disagreeWM2
	}
}

// clearDays finds for each month where the middles of its clearest fifth of days put the light: at the sun's noon.
func (t *table) clearDays(c skyClock, months *[12]verdict) {
	type dayLight struct{ clearness, atMin float64 }
	perDay, step := 24*t.perHour, t.step().Minutes()
	zone, label := t.zone.Minutes(), t.label.Minutes()
	light := t.columns[ghi]
	if !t.origin[ghi] {
		light = t.columns[dni]
	}
	n := len(t.lines)
	byMonth := [12][]dayLight{}
	for from := 0; from < n; from += perDay {
		noonMin := 720 - 4*t.place.LonDeg + zone - c.eotMin[from+perDay/2] // by the file's clock, from its midnight
		first := int(math.Round(noonMin/step)) - perDay/2                  // a day around the sun's noon, not the clock's
		sum, moment, outside := 0., 0., 0.
		for k := first; k < first+perDay; k++ {
			i := ((from+k)%n + n) % n
			g := light[i]
			sum += g
			moment += g * (float64(k)*step + label)
			outside += c.normal[i] * math.Max(0, c.cosZ(i, 0))
		}
		if outside/float64(t.perHour) > leastDaySumWh && sum > 0 {
			m := t.monthOf(from)
			byMonth[m] = append(byMonth[m], dayLight{sum / outside, noonMin - moment/sum})
		}
	}
	for m, days := range byMonth {
		slices.SortStableFunc(days, func(a, b dayLight) int {
			switch {
			case a.clearness > b.clearness:
				return -1
			case a.clearness < b.clearness:
				return 1
			}
			return 0
		})
		fifth := len(days) / 5
		if fifth < 3 {
			continue
		}
		at := 0.
		for _, d := range days[:fifth] {
			at += d.atMin / float64(fifth)
		}
		months[m].clearDays = at
	}
}

// darkBeam counts rows with beam in which the sun is down, of a mean from end to end.
func (t *table) darkBeam(c skyClock, offset time.Duration) {
	const leastTold = 5
	var down counted
	half := t.step() / 2
	if t.instant {
		half = 0
	}
	below := -math.Sin(rad(0.8333)) // refraction and the sun's radius
	for i, b := range t.columns[dni] {
		if b > darkBeamWM2 && math.Max(c.cosZ(i, offset), math.Max(c.cosZ(i, offset-half), c.cosZ(i, offset+half))) < below {
			down.add(i)
		}
	}
	if down.n >= leastTold {
		t.noteRow(down.first, "beam of over %d W/m² stands in %d rows in which the sun is down; the first is line %d", darkBeamWM2, down.n, t.line(down.first))
	}
}
