package demand

import (
	"math"
	"testing"
)

// The certified values have 15 digits; a double keeps about 12 of them through sums of squares.
func TestStraightLineCertified(t *testing.T) {
	t.Parallel()
	norrisX := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6,
		556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	norrisY := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8,
		557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	var noIntX, noIntY []float64
	for i := range 11 {
		noIntX, noIntY = append(noIntX, 60+float64(i)), append(noIntY, 130+float64(i))
	}
	norris, noInt := FitLine(norrisX, norrisY), FitThroughOrigin(noIntX, noIntY)
	for _, row := range []struct {
		what      string
		got, want float64
		src       string
	}{
		{"intercept", norris.Intercept, -0.262323073774029, "NIST StRD linear regression, Norris"},
		{"slope", norris.Slope, 1.00211681802045, "NIST StRD linear regression, Norris"},
		{"error of the intercept", norris.InterceptSE, 0.232818234301152, "NIST StRD linear regression, Norris"},
		{"error of the slope", norris.SlopeSE, 0.429796848199937e-3, "NIST StRD linear regression, Norris"},
		{"residual deviation", norris.ResidualSD, 0.884796396144373, "NIST StRD linear regression, Norris"},
		{"R2", norris.R2, 0.999993745883712, "NIST StRD linear regression, Norris"},
		{"slope", noInt.Slope, 2.07438016528926, "NIST StRD linear regression, NoInt1"},
		{"error of the slope", noInt.SlopeSE, 0.165289256198347e-1, "NIST StRD linear regression, NoInt1"},
		{"residual deviation", noInt.ResidualSD, 3.56753034006338, "NIST StRD linear regression, NoInt1"},
		{"R2", noInt.R2, 0.999365492298663, "NIST StRD linear regression, NoInt1"},
	} {
		needSource(t, row.src)
		if math.Abs(row.got-row.want) > 1e-12*math.Abs(row.want)+1e-13 {
			t.Errorf("%s: %.15g, want %.15g (%s)", row.what, row.got, row.want, row.src)
		}
	}
}

func TestDegreeDays(t *testing.T) {
	t.Parallel()
	// T = 10 - 6 cos(2 pi t/24): its mean over each of n equal steps is exact.
	swing := func(n int) []float64 {
		air, w := make([]float64, n), 2*math.Pi/float64(n)
		for i := range air {
			air[i] = 10 - 6*(math.Sin(w*float64(i+1))-math.Sin(w*float64(i)))/w
		}
		return air
	}
	hourly := make([]float64, 24) // at the full hours, as the row's own remark has it
	for i := range hourly {
		hourly[i] = 10 - 6*math.Cos(2*math.Pi*float64(i)/24)
	}
	for _, row := range []struct {
		what             string
		got, wantKh, tol float64
		src              string
	}{
		{"fine steps", DegreeDays(swing(24*3600), 15, 1./3600) * 24, 122.9656, 1e-4, "closed form, checks-heat.md 7.14"},
		{"hourly samples", DegreeDays(hourly, 15, 1) * 24, 122.983, 5e-4, "checks-heat.md 7.14"},
		{"the daily mean", DegreeDays([]float64{10}, 15, 24) * 24, 120, 1e-12, "24 (15 - 10), checks-heat.md 7.15"},
		{"no cold", DegreeDays([]float64{15, 18}, 15, 1), 0, 0, "definition"},
		{"65 degF day: 48 and 32 degF", DegreeDays([]float64{(40. - 32) / 1.8}, (65.-32)/1.8, 24) * 1.8, 25, 1e-12,
			"heating degree days of a day with 48 and 32 degF are 25 (whyy.org, Franklin facts, 3 Jan 2001)"},
	} {
		needSource(t, row.src)
		if math.Abs(row.got-row.wantKh) > row.tol {
			t.Errorf("%s: %.6f, want %g (%s)", row.what, row.got, row.wantKh, row.src)
		}
	}
	// The bills' quick way gives the same.
	c := coldOf(hourly, 1)
	if got, want := c.perDay(15), DegreeDays(hourly, 15, 1); math.Abs(got-want) > 1e-12 {
		t.Errorf("sorted %g, summed %g", got, want)
	}
}
