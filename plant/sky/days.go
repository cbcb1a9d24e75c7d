package sky

import (
	"fmt"
	"math"
	"time"
)

const (
	drawsAMonth = 500
	drawWithin  = 0.01 // of the month's mean: a month further off is drawn again
	belowBound  = 0.98 // of a day's clear bound, so that its hours can differ
)

// days draws the clearness of each day, month by month, the means times a factor; held counts the months that stand
// at a bound of the sky for it.
func (g *generator) days(m Monthly, factor float64, d *dice) (held int, err error) {
	before := math.NaN()
	for from := 0; from < len(g.day); {
		to := from
		for to < len(g.day) && g.day[to].month == g.day[from].month {
			to++
		}
		atBound, err := drawMonth(g.day[from:to], m.GHIKWhM2Day[g.day[from].month], factor, before, d)
		if err != nil {
			return 0, err
		}
		if atBound {
			held++
		}
		outside, light := 0., 0.
		for _, day := range g.day[from:to] {
			outside += day.outsideWh
			light += day.outsideWh * day.clearness
		}
		if outside > 0 {
			g.monthClearness[g.day[from].month] = light / outside
		}
		before = g.day[to-1].clearness
		from = to
	}
	return held, nil
}

// drawMonth sets the clearness of a month's days so that their mean light is the one given times a factor, or at the bound
// of what the sky allows.
func drawMonth(days []skyDay, kWhM2Day, factor, before float64, d *dice) (atBound bool, err error) {
	name := time.Month(days[0].month + 1)
	outside, most := 0., 0.
	for _, day := range days {
		outside += day.outsideWh
		most += day.outsideWh * day.most()
	}
	want := kWhM2Day * 1000 * float64(len(days))
	if outside < leastMonthWhM2 {
		if want > outside {
			return false, fmt.Errorf("GHI of %s: is %g kWh/m² a day in polar night; want 0", name, kWhM2Day)
		}
		return false, nil
	}
	if least := leastClearness * outside; !(want >= least && want <= most) {
		perDay := 1000 * float64(len(days))
		return false, fmt.Errorf("GHI of %s: is %g kWh/m² a day, %.2f of the light outside the air; want %.2f to %.2f kWh/m² at this latitude",
			name, kWhM2Day, want/outside, least/perDay, most/perDay)
	}
	drawn := math.Max(leastClearness*outside, math.Min(most, want*factor))
	atBound = drawn != want*factor
	want = drawn
	k := chain(days, want/outside, before, d)
	// Scaled and held between the bounds, the month meets its mean.
	limits := make([][2]float64, len(days))
	weights := make([]float64, len(days))
	for i, day := range days {
		limits[i] = [2]float64{leastClearness, day.most()}
		weights[i] = day.outsideWh
	}
	scaleTo(want, k, weights, limits)
	for i := range days {
		days[i].clearness = k[i]
	}
	return atBound, nil
}

func (d skyDay) most() float64 {
	if d.outsideWh == 0 {
		return leastClearness
	}
	return math.Max(leastClearness, math.Min(mostClearness, belowBound*d.mostWh/d.outsideWh))
}

// chain draws a month from its Markov matrix, anew until its mean is near the one wanted, and returns the best drawn.
func chain(days []skyDay, mean, before float64, d *dice) []float64 {
	m := &markovs[len(markovs)-1]
	for i := range markovs {
		if mean <= markovs[i].upTo {
			m = &markovs[i]
			break
		}
	}
	if math.IsNaN(before) {
		before = mean
	}
	best, off := make([]float64, len(days)), math.Inf(1)
	k := make([]float64, len(days))
	for range drawsAMonth {
		sum, outside := 0., 0.
		at := m.class(before)
		for i, day := range days {
			at = m.step(at, d.uniform())
			k[i] = m.lowest + (float64(at)+d.uniform())*(m.above-m.lowest)/10
			sum += k[i] * day.outsideWh
			outside += day.outsideWh
		}
		if now := math.Abs(sum/outside/mean - 1); now < off {
			off = now
			copy(best, k)
		}
		if off <= drawWithin {
			break
		}
	}
	return best
}

// class is the class, 0 to 9, of a day's clearness.
func (m *markov) class(k float64) int {
	c := int(10 * (k - m.lowest) / (m.above - m.lowest))
	return max(0, min(9, c))
}

// step is the class of the day after one of class from, for a number drawn uniformly from 0 to 1.
func (m *markov) step(from int, u float64) int {
	total := 0.
	for _, p := range m.next[from] {
		total += p
	}
	last := from
	for c, p := range m.next[from] {
		if p == 0 {
			continue
		}
		last = c
		if u -= p / total; u < 0 {
			break
		}
	}
	return last
}

// scaleTo multiplies v by one factor, holding each value in its limits, so that the sum of v times weights is want. The
// limits must allow it. The factor is found by halving, and what rounding leaves goes to the values inside their limits.
func scaleTo(want float64, v, weights []float64, limits [][2]float64) {
	held := func(i int, s float64) float64 { return math.Max(limits[i][0], math.Min(limits[i][1], v[i]*s)) }
	sum := func(s float64) float64 {
		total := 0.
		for i := range v {
			total += held(i, s) * weights[i]
		}
		return total
	}
	low, high := 0., 1.
	for sum(high) < want && high < 1e12 {
		high *= 2
	}
	for range 100 {
		mid := (low + high) / 2
		if sum(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	left, free := want, 0.
	for i := range v {
		v[i] = held(i, high)
		left -= v[i] * weights[i]
		if v[i] > limits[i][0] && v[i] < limits[i][1] {
			free += weights[i]
		}
	}
	if free == 0 {
		return
	}
	for i := range v {
		if v[i] > limits[i][0] && v[i] < limits[i][1] {
			v[i] = math.Max(limits[i][0], math.Min(limits[i][1], v[i]+left/free))
		}
	}
}
