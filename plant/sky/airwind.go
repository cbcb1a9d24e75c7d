package sky

import (
	"math"
	"time"

	"noonkeep/plant/clock"
)

const (
	leastSwingK = 2
	airRounds   = 40
)

// airOf is the temperature of a generated year: the seasons through the months' means, and on them the mean day.
func airOf(m Monthly, clearness [12]float64, y Year) []float64 {
	season := seasonOf(m.AirC, y.Axis)
	out := make([]float64, len(season))
	stepH := y.Axis.StepH()
	months := monthsOf(y.Axis)
	for i, month := range months {
		swing := m.AirSwingK
		if swing == 0 {
			// Erbs, Klein and Beckman 1983, ASHRAE Journal 25(6): value from memory
			swing = math.Max(leastSwingK, 25.8*clearness[month]-5.21)
		}
		clockH := math.Mod((float64(i)+0.5)*stepH, 24)
		sunH := clockH + y.Place.LonDeg/15 - y.Place.UTCOffset.Hours() + y.Suns[i].EquationOfTimeMin/60
		out[i] = season[i] + swing*meanDay(sunH)
	}
	// What the mean day leaves over in a month, some thousandths of a degree, is taken off.
	got := monthMeans(out, months)
	for i, month := range months {
		out[i] += m.AirC[month] - got[month]
	}
	return out
}

// airGiven makes the temperature of a year whose file has none, from one value or from twelve means.
func (y *Year) airGiven(c []float64) {
	if len(c) == 1 {
		y.AirC = make([]float64, y.Axis.N)
		for i := range y.AirC {
			y.AirC[i] = c[0]
		}
		y.note(0, "the file has no temperature: %g °C is taken in every hour, as told", c[0])
		return
	}
	y.AirC = airOf(Monthly{AirC: [12]float64(c)}, y.clearness(), *y)
	y.note(0, "the file has no temperature: it is made from the monthly means that are told, with the mean day of Erbs")
}

// clearness is each month's global light over that outside the air; 0 in a polar night.
func (y *Year) clearness() (k [12]float64) {
	var outside [12]float64
	for i, m := range monthsOf(y.Axis) {
		k[m] += y.GHI[i]
		outside[m] += ExtraterrestrialWM2(y.Suns[i].DistanceAU) * math.Max(0, y.Suns[i].CosZenith())
	}
	for m := range k {
		if k[m] = k[m] / outside[m]; !(k[m] <= 1) {
			k[m] = 0
		}
	}
	return k
}

// meanDay is the mean day's temperature at an hour by the sun, less its mean, over its swing.
// Erbs, Klein and Beckman 1983, ASHRAE Journal 25(6): values from memory; TestMeanDay holds them against real files.
func meanDay(sunH float64) float64 {
	t := 2 * math.Pi * (sunH - 1) / 24
	return 0.4632*math.Cos(t-3.805) + 0.0984*math.Cos(2*t-0.360) + 0.0168*math.Cos(3*t-0.822) + 0.0138*math.Cos(4*t-3.513)
}

// seasonOf runs straight lines through points in the middle of the months, moved until each month has its mean.
func seasonOf(means [12]float64, a clock.Axis) []float64 {
	months := monthsOf(a)
	knot, part := make([]int, a.N), make([]float64, a.N) // the point before each step, and how far on to the next
	for i := range knot {
		at := a.Mid(i)
		length := time.Date(at.Year(), at.Month()+1, 0, 0, 0, 0, 0, at.Location()).Day()
		day := float64(at.Day()-1) + math.Mod((float64(i)+0.5)*a.StepH()/24, 1)
		month := float64(months[i]) + day/float64(length) - 0.5
		k := math.Floor(month)
		knot[i], part[i] = (int(k)+12)%12, month-k
	}
	knots := means
	out := make([]float64, a.N)
	for range airRounds {
		for i, k := range knot {
			out[i] = knots[k]*(1-part[i]) + knots[(k+1)%12]*part[i]
		}
		for m, got := range monthMeans(out, months) {
			if !math.IsNaN(got) {
				knots[m] += means[m] - got
			}
		}
	}
	return out
}

// monthsOf is the month, 0 to 11, of each step.
func monthsOf(a clock.Axis) []int {
	out := make([]int, a.N)
	for i := range out {
		out[i] = int(a.At(i).Month()) - 1
	}
	return out
}

// monthMeans is NaN for months that the axis does not have.
func monthMeans(v []float64, months []int) [12]float64 {
	var sum, n [12]float64
	for i, x := range v {
		m := months[i]
		sum[m] += x
		n[m]++
	}
	for m := range sum {
		sum[m] /= n[m]
	}
	return sum
}

// windLag1 is the correlation of the wind with that of the hour before. Five real files of the test set have 0.69
// (readings rounded to knots) to 0.91.
const windLag1 = 0.85

// windOf is the length of a vector of two independent first-order Gaussian series, so that its speed is Rayleigh
// (Weibull with k = 2, common practice where only the mean is known); each hour's value holds for its steps.
func windOf(means [12]float64, a clock.Axis, d *dice) []float64 {
	out := make([]float64, a.N)
	perHour := int(time.Hour / a.Step)
	// The correlation of a Rayleigh speed is close to the square of its parts'.
	phi := math.Sqrt(windLag1)
	rest := math.Sqrt(1 - phi*phi)
	x, y := d.normal(), d.normal()
	for i := range out {
		if i%perHour == 0 && i > 0 {
			x, y = phi*x+rest*d.normal(), phi*y+rest*d.normal()
		}
		out[i] = math.Hypot(x, y)
	}
	months := monthsOf(a)
	got := monthMeans(out, months)
	for i, m := range months {
		out[i] *= means[m] / got[m]
	}
	return out
}
