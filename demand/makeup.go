package demand

import (
	"fmt"
	"math"

	"noonkeep/plant/clock"
)

// AirYear is what the temperature of make-up water depends on: a year of outdoor air, and its hemisphere.
// Make one with [AirYearOf].
type AirYear struct {
	MeanC  float64 // mean of the year
	RangeK float64 // warmest less coldest of the monthly means
	South  bool    // of the equator: the warm half of the year is the other one
}

// AirYearOf takes the year's mean and the range of its monthly means from air temperatures on the axis, degC.
func AirYearOf(a clock.Axis, airC []float64, south bool) (AirYear, error) {
	if err := a.Check(); err != nil {
		return AirYear{}, err
	}
	if len(airC) != a.N {
		return AirYear{}, fmt.Errorf("air: has %d values; want %d, one a step", len(airC), a.N)
	}
	var sum, steps [12]float64
	all := 0.0
	for i, tC := range airC {
		if !(tC > -90 && tC < 70) {
			return AirYear{}, fmt.Errorf("air: is %g degC on %s; want -90 to 70", tC, a.Label(i))
		}
		month := a.At(i).Month() - 1
		sum[month] += tC
		steps[month]++
		all += tC
	}
	coldest, warmest := math.Inf(1), math.Inf(-1)
	for m := range sum {
		if steps[m] > 0 {
			coldest, warmest = min(coldest, sum[m]/steps[m]), max(warmest, sum[m]/steps[m])
		}
	}
	return AirYear{MeanC: all / float64(a.N), RangeK: warmest - coldest, South: south}, nil
}

// leastMainsC keeps the correlations from freezing the water in the pipe; it acts where the year's mean is near or below 0 degC.
const leastMainsC = 1

// MainsC is the temperature of water from a town's mains, degC, one value a step, constant over a day. It is a sine
// about 6 degF over the air's yearly mean; how far it swings and how late it comes follow from the mean.
// It was fitted to towns of the United States with means of 7 to 27 degC.
//
// Source: Burch and Christensen, Towards Development of an Algorithm for Mains Water Temperature, Proceedings of
// the 2007 ASES annual conference; the same form in Hendron et al., NREL/CP-550-35917 (2004).
func (y AirYear) MainsC(a clock.Axis) []float64 {
	const offsetF = 6
	meanF := 1.8*y.MeanC + 32
	ratio := max(0.4+0.01*(meanF-44), 0)
	lagDays := 35 - (meanF - 44)
	swingK := ratio * y.RangeK / 2
	sign := -1.0
	if y.South {
		sign = 1
	}
	return byDay(a, func(day int) float64 {
		// T = (Tmean + offset) + ratio dT/2 sin(0.986 (day - 15 - lag) - 90), angles in degrees
		angleDeg := 0.986*(float64(day)-15-lagDays) + sign*90
		tF := meanF + offsetF + 1.8*swingK*math.Sin(angleDeg*math.Pi/180)
		return max((tF-32)/1.8, leastMainsC)
	})
}

// Ground is where in the ground a pipe lies, and in what soil.
type Ground struct {
	DepthM         float64 // under the surface, 0 to 100
	DiffusivityM2D float64 // of heat in the soil, m2 per day, 0.005 to 0.5; see [UsualSoilM2D]
}

// UsualSoilM2D is the diffusivity with which the ground temperatures of public weather files are made,
// 0.025 ft2/h (6.5e-7 m2/s).
const UsualSoilM2D = 0.055741824

// surfacePhase is the angle of the year at which the ground's surface is coldest, counted from new year: 0.6 rad
// are 35 days. It is the mean of the stations of Kusuda and Achenbach, and what weather files use.
const surfacePhase = 0.6

// GroundC is the temperature of undisturbed ground, degC, one value a step, constant over a day: that of water in
// a long buried pipe or a cistern. The surface is taken to follow the air: the mean of the year, half the range of
// the monthly means to either side, coldest 35 days after new year (half a year later in the south).
//
// Source: Kusuda and Achenbach, Earth Temperatures and Thermal Diffusivity at Selected Stations in the United
// States, ASHRAE Transactions 71(1), 1965.
func (y AirYear) GroundC(g Ground, a clock.Axis) ([]float64, error) {
	if !(g.DepthM >= 0 && g.DepthM <= 100) {
		return nil, fmt.Errorf("depth: is %g m; want 0 to 100", g.DepthM)
	}
	if !(g.DiffusivityM2D >= 0.005 && g.DiffusivityM2D <= 0.5) {
		return nil, fmt.Errorf("diffusivity: is %g m2/d; want 0.005 to 0.5", g.DiffusivityM2D)
	}
	return byDay(a, func(day int) float64 { return max(y.groundC(g, float64(day)), leastMainsC) }), nil
}

func (y AirYear) groundC(g Ground, day float64) float64 {
	const yearDays = 365
	phase := surfacePhase
	if y.South {
		phase += math.Pi
	}
	// T = Tm - A exp(-b) cos(2 pi t/365 - phase - b), b = z sqrt(pi/(365 alpha))
	b := g.DepthM * math.Sqrt(math.Pi/(yearDays*g.DiffusivityM2D))
	return y.MeanC - y.RangeK/2*math.Exp(-b)*math.Cos(2*math.Pi*day/yearDays-phase-b)
}

// MonthlyC gives twelve monthly values, January first, one value a step, constant over a month.
func MonthlyC(monthC [12]float64, a clock.Axis) []float64 {
	out := make([]float64, a.N)
	for i := range out {
		out[i] = monthC[a.At(i).Month()-1]
	}
	return out
}

// byDay fills the axis with a value for each day of the year; 1 January is 1.
func byDay(a clock.Axis, tC func(day int) float64) []float64 {
	out := make([]float64, a.N)
	last, value := -1, 0.0
	for i := range out {
		if day := a.At(i).YearDay(); day != last {
			last, value = day, tC(day)
		}
		out[i] = value
	}
	return out
}
