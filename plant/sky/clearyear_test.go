package sky

import (
	"math"
	"strings"
	"testing"
	"time"
)

// The clear sky's own turbidity is found, month by month.
func TestFitLinke(t *testing.T) {
	for _, tl := range []float64{2, 3.3, 6} {
		y := minuteYears(t)["generated at 45 deg"]
		linke := [12]float64{}
		for m := range linke {
			linke[m] = tl + 0.1*float64(m)
		}
		c, err := ClearSkyOf(y, linke)
		if err != nil {
			t.Fatal(err)
		}
		for m, got := range FitLinke(c) {
			near(t, time.Month(m+1).String(), got, linke[m], 0.05, "round trip; the mean of an hour is not its middle")
		}
	}
}

// The clear sky of hours is the mean of that of their minutes, its notes say how it was fitted, and a place without sun in a
// month, or a year without beam, has a turbidity all the same.
func TestClearSkyYear(t *testing.T) {
	y := daysOf(minuteYears(t)["generated at 68 deg"], time.February, 60)
	hours, err := ClearSky(y)
	if err != nil {
		t.Fatal(err)
	}
	minutes, err := ClearSkyOf(byMinute(t, y, time.Minute), FitLinke(y))
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range hours.DNI {
		near(t, y.Axis.Label(i), mean(minutes.DNI[i*60:(i+1)*60]), w, 8, "the hour is looked at every 5 min; at sunrise the beam climbs by 10 W/m² a minute")
	}
	near(t, "year", sumKWh(minutes.DNI, 1./60), sumKWh(hours.DNI, 1), 2e-3*sumKWh(hours.DNI, 1), "same")
	if want := "clear sky by Ineichen and Perez 2002; its Linke turbidity is that of each month's clearest tenth of beam: "; len(hours.Notes) != 1 || !strings.HasPrefix(hours.Notes[0].Text, want) {
		t.Errorf("notes %v; want %q and twelve numbers", hours.Notes, want)
	}
	dull := y
	dull.DNI = make([]float64, y.Axis.N)
	for m, tl := range FitLinke(dull) {
		near(t, time.Month(m+1).String(), tl, ordinaryLinke, 0, "as documented")
	}
	nan := math.NaN()
	got := bridged([12]float64{nan, 2, nan, nan, 5, 5, 5, 5, 5, 5, 4, nan})
	want := [12]float64{4 - 2*2./3, 2, 3, 4, 5, 5, 5, 5, 5, 5, 4, 4 - 2./3}
	if !closeTo(got[:], want[:], 1e-12) {
		t.Errorf("bridged %v; want %v, by hand", got, want)
	}
}
