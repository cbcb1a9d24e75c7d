package demand

import "math"

// StraightLine is a straight line y = Intercept + Slope x through points, by ordinary least squares.
type StraightLine struct {
	Intercept, Slope     float64
	InterceptSE, SlopeSE float64 // standard errors; the intercept's is 0 through the origin
	ResidualSD           float64 // sqrt(RSS/(n - p)), p the number of fitted values
	R2                   float64 // share of the variance explained; through the origin, of the sum of squares
	RSS                  float64 // residual sum of squares
}

// FitLine fits a line with an intercept. The points must be as many in x as in y; with fewer than three, or with
// all x alike, the errors are NaN.
func FitLine(x, y []float64) StraightLine {
	n := float64(len(x))
	mx, my := meanOf(x), meanOf(y)
	sxx, sxy, syy := 0.0, 0.0, 0.0
	for i := range x {
		dx, dy := x[i]-mx, y[i]-my
		sxx += dx * dx
		sxy += dx * dy
		syy += dy * dy
	}
	l := StraightLine{Slope: sxy / sxx}
	l.Intercept = my - l.Slope*mx
	for i := range x {
		// Taken about the means, the residuals lose no digits to a large intercept.
		r := (y[i] - my) - l.Slope*(x[i]-mx)
		l.RSS += r * r
	}
	l.R2 = 1 - l.RSS/syy
	l.ResidualSD = math.Sqrt(l.RSS / (n - 2))
	l.SlopeSE = l.ResidualSD / math.Sqrt(sxx)
	l.InterceptSE = l.ResidualSD * math.Sqrt(1/n+mx*mx/sxx)
	return l
}

// FitThroughOrigin fits y = Slope x.
func FitThroughOrigin(x, y []float64) StraightLine {
	sxx, sxy, syy := 0.0, 0.0, 0.0
	for i := range x {
		sxx += x[i] * x[i]
		sxy += x[i] * y[i]
		syy += y[i] * y[i]
	}
	l := StraightLine{Slope: sxy / sxx}
	for i := range x {
		r := y[i] - l.Slope*x[i]
		l.RSS += r * r
	}
	l.R2 = 1 - l.RSS/syy
	l.ResidualSD = math.Sqrt(l.RSS / float64(len(x)-1))
	l.SlopeSE = l.ResidualSD / math.Sqrt(sxx)
	return l
}

func meanOf(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}
