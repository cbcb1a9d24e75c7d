package sky

import (
	"errors"
	"fmt"
	"math"
	"time"

	"noonkeep/plant/clock"
)

// SmoothMinutes puts a year on an axis of finer steps, 1 min as a rule, with no cloud coming or going within a step of the
// source: beam and diffuse light follow the clear sky's course (its turbidity as [FitLinke] finds it) times straight lines
// between the neighbouring steps' clear-sky indices, global light their sum.
//
// The mean over each step of the source is kept, to rounding, in GHI, DNI and DHI, in temperature and wind. Light falls while
// the sun's middle is up, within the limits that Long and Dutton (2002) call extremely rare; where a step has less beam than
// the clear sky, each of its minutes has. A step of the source that has more than its sun allows is told in a Note and keeps its
// energy: above the limits or, where the sun is down all the time, evenly. Temperature and wind run in straight lines.
//
// The axis must have the same span and clock, and a step that divides the year's; one of several minutes gets the means of
// them. A year that has that step already is handed back as it is if its rows are as fine, and spread anew if they were not.
// LightOffset is kept: light and sun of a minute belong together as they did in the hour.
func SmoothMinutes(y Year, axis clock.Axis) (Year, error) {
	return minutesOf(y, axis, nil)
}

// minutesOf spreads a year's steps; cloud makes the beam of a step, nil leaves it smooth.
func minutesOf(y Year, axis clock.Axis, cloud *clouds) (Year, error) {
	if err := checkMinutes(y, axis); err != nil {
		return Year{}, err
	}
	if y.Axis.Step == axis.Step {
		if y.RowStep <= axis.Step {
			y.Notes = append([]Note(nil), y.Notes...)
			y.note(0, "the weather has steps of %s of its own: its light is taken as it is, and nothing is spread", sayStep(axis.Step))
			return y, nil
		}
		y = y.coarse(y.RowStep)
	}
	fine := y
	fine.Axis, fine.RowStep = axis, y.Axis.Step
	fine.Notes = append([]Note(nil), y.Notes...)
	fine.Suns = Suns(y.Place, axis, y.LightOffset)
	linke := FitLinke(y)
	clear := y.clearSky(linke)
	s := newSharer(&fine, linke, y, clear)
	if cloud != nil {
		cloud.plan(y, clear)
	}
	for i := range y.Axis.N {
		s.share(i, Light{y.GHI[i], y.DNI[i], y.DHI[i]}, cloud)
	}
	fine.GHI, fine.DNI, fine.DHI = s.out[ghi], s.out[dni], s.out[dhi]
	parts := int(y.Axis.Step / axis.Step)
	fine.AirC = straight(y.AirC, parts, false)
	fine.WindMS = straight(y.WindMS, parts, true)
	s.say(&fine, y.Axis.Step, cloud)
	return fine, nil
}

func checkMinutes(y Year, axis clock.Axis) error {
	if err := errors.Join(axis.Check(), y.check()); err != nil {
		return err
	}
	switch {
	case !axis.Start.Equal(y.Axis.Start) || !axis.End().Equal(y.Axis.End()) || zoneOf(axis.Start) != zoneOf(y.Axis.Start):
		return fmt.Errorf("minutes: the axis runs %s for %s; want the weather's, %s for %s",
			axis.Start.Format(spanForm), axis.End().Sub(axis.Start), y.Axis.Start.Format(spanForm), y.Axis.End().Sub(y.Axis.Start))
	case y.Axis.Step%axis.Step != 0:
		return fmt.Errorf("minutes: the axis has steps of %s, the weather of %s; want a whole part of that",
			sayStep(axis.Step), sayStep(y.Axis.Step))
	case y.RowStep < 0 || y.RowStep > time.Hour || y.RowStep%y.Axis.Step != 0 && y.Axis.Step%max(1, y.RowStep) != 0:
		return fmt.Errorf("minutes: the weather's rows are of %s, its steps of %s; want one to be a whole part of the other, an hour at most",
			sayStep(y.RowStep), sayStep(y.Axis.Step))
	}
	return nil
}

const spanForm = "2006-01-02 15:04 -07:00"

// sayStep writes "1 min" or "60 min".
func sayStep(step time.Duration) string { return fmt.Sprintf("%g min", step.Minutes()) }

// check wants a whole year of light that can be.
func (y *Year) check() error {
	n := y.Axis.N
	if err := y.Axis.Check(); err != nil {
		return err
	}
	for _, v := range [][]float64{y.GHI, y.DNI, y.DHI, y.AirC, y.WindMS} {
		if len(v) != n || len(y.Suns) != n {
			return fmt.Errorf("weather: has %d GHI, %d DNI, %d DHI, %d air, %d wind and %d sun values on an axis of %d steps; want as many each",
				len(y.GHI), len(y.DNI), len(y.DHI), len(y.AirC), len(y.WindMS), len(y.Suns), n)
		}
	}
	for i := range n {
		g, b, d, w, c := y.GHI[i], y.DNI[i], y.DHI[i], y.WindMS[i], y.AirC[i]
		if !(g >= 0 && g < 1e4 && b >= 0 && b < 1e4 && d >= 0 && d < 1e4 && w >= 0 && w < 1e3 && math.Abs(c) < 1e3) {
			return fmt.Errorf("weather: %s: GHI %g, DNI %g, DHI %g W/m², air %g °C, wind %g m/s; want values a sky can have",
				y.Axis.Label(i), g, b, d, c, w)
		}
	}
	return nil
}

// coarse is the year by the steps of its rows, whose light was spread.
func (y Year) coarse(step time.Duration) Year {
	n := int(step / y.Axis.Step)
	y.Axis = clock.Axis{Start: y.Axis.Start, Step: step, N: y.Axis.N / n}
	for _, v := range []*[]float64{&y.GHI, &y.DNI, &y.DHI, &y.AirC, &y.WindMS} {
		*v = means(*v, n)
	}
	y.Suns = Suns(y.Place, y.Axis, y.LightOffset)
	return y
}

// straight parts each step's mean into n on straight lines: through the middles of neighbouring means at the step's ends and
// through whatever keeps the mean in its middle. Where least is set, no value falls below 0 that was not.
func straight(v []float64, n int, least bool) []float64 {
	out := make([]float64, len(v)*n)
	edge := func(a, b float64) float64 {
		e := (a + b) / 2
		if least {
			e = min(e, 2*a, 2*b)
		}
		return e
	}
	last := len(v) - 1
	for i, m := range v {
		from, to := edge(v[max(0, i-1)], m), edge(m, v[min(last, i+1)])
		mid := 2*m - (from+to)/2
		part, sum := out[i*n:(i+1)*n], 0.
		before := 0.
		for k := range part {
			till := rising(from, mid, to, float64(k+1)/float64(n))
			part[k] = (till - before) * float64(n)
			before = till
			sum += part[k]
		}
		for k := range part { // what rounding leaves
			part[k] += m - sum/float64(n)
			if least {
				part[k] = max(0, part[k])
			}
		}
	}
	return out
}

// rising is the integral from 0 to x of the line from a at 0 through b at 1/2 to c at 1.
func rising(a, b, c, x float64) float64 {
	if x <= 0.5 {
		return x * (a + (b-a)*x)
	}
	x -= 0.5
	return (a+b)/4 + x*(b+(c-b)*x)
}
