package sky

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// minuteYears are the sources of minutes in these tests: real files, and generated years where no file is needed.
func minuteYears(t *testing.T) map[string]Year {
	t.Helper()
	years := map[string]Year{}
	for _, lat := range []float64{-35, 0, 45, 68} {
		p := Place{LatDeg: lat, LonDeg: 8, ElevationM: 300, UTCOffset: time.Hour}
		a := yearAxis(t, 2026, time.Hour, time.Hour)
		y, err := FromMonthly(clearnessMonthly(p, a, 0.5), p, a, 3)
		if err != nil {
			t.Fatal(err)
		}
		years[fmt.Sprintf("generated at %g deg", lat)] = y
	}
	for _, f := range []struct {
		name string
		zone time.Duration
		air  []float64
	}{
		{"tucson-usa-tmy3.csv", -7 * time.Hour, nil}, {"po-valley-italy-pvgis.csv", time.Hour, nil},
		{"fairbanks-usa-psm4-tmy-ghi-only.csv", -9 * time.Hour, []float64{0}}, {"honolulu-usa-tmy3.csv", -10 * time.Hour, nil},
	} {
		if !haveWeather(f.name) {
			t.Logf("%s is not here: its row is left out", f.name)
			continue
		}
		years[f.name] = readReal(t, f.name, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, f.zone), AirC: f.air})
	}
	return years
}

// Every step of the source keeps its energy; the night has none, unless the file's has; nothing passes the limits, unless the
// file does.
func TestMinutesKeepEnergy(t *testing.T) {
	for name, y := range minuteYears(t) {
		smooth, err := SmoothMinutes(y, yearAxis(t, y.Axis.Start.Year(), time.Minute, y.Place.UTCOffset))
		if err != nil {
			t.Fatal(err)
		}
		keepsEnergy(t, name+" smooth", y, smooth)
		withinLimits(t, name+" smooth", y, smooth)
		t.Logf("%s: turbidity %.1f", name, FitLinke(y))
	}
}

func keepsEnergy(t *testing.T, name string, y, fine Year) {
	t.Helper()
	n := int(y.Axis.Step / fine.Axis.Step)
	worst := 0.
	for _, pair := range [][2][]float64{{y.GHI, fine.GHI}, {y.DNI, fine.DNI}, {y.DHI, fine.DHI}, {y.AirC, fine.AirC}, {y.WindMS, fine.WindMS}} {
		for i, w := range pair[0] {
			off := math.Abs(mean(pair[1][i*n:(i+1)*n])-w) / math.Max(1, math.Abs(w))
			worst = math.Max(worst, off)
		}
	}
	if !(worst < 1e-12) {
		t.Errorf("%s, %v: a step's mean is off by %g of itself; want 1e-12: its energy is kept", name, fine.Axis.Step, worst)
	}
}

// withinLimits wants light only under the sun and under the limits, but in as many steps of the source as are told.
func withinLimits(t *testing.T, name string, y, fine Year) {
	t.Helper()
	n := int(y.Axis.Step / fine.Axis.Step)
	dark, over := 0, 0
	for i := range y.Axis.N {
		lit, isOver := false, false
		for k := i * n; k < (i+1)*n; k++ {
			lit = lit || fine.Suns[k].CosZenith() > 0
		}
		if !lit {
			if y.GHI[i]+y.DNI[i]+y.DHI[i] > 0 {
				dark++
			}
			continue
		}
		for k := i * n; k < (i+1)*n; k++ {
			s := fine.Suns[k]
			l := Light{fine.GHI[k], fine.DNI[k], fine.DHI[k]}
			if l.GHI < 0 || l.DNI < 0 || l.DHI < 0 || s.CosZenith() <= 0 && l != (Light{}) {
				t.Fatalf("%s: %s: light %v with the sun at %g deg", name, fine.Axis.Label(k), l, s.ZenithDeg)
			}
			_, most := LimitsAt(s.CosZenith(), ExtraterrestrialWM2(s.DistanceAU))
			isOver = isOver || l.GHI > most.GHI*(1+1e-9) || l.DNI > most.DNI*(1+1e-9) || l.DHI > most.DHI*(1+1e-9)
		}
		if isOver {
			over++
		}
	}
	says(t, name, fine, dark, "in %d steps of the source there is light while the sun is down")
	says(t, name, fine, over, "in %d steps of the source there is more light than")
}

// says wants a note with the number, or none where the number is 0.
func says(t *testing.T, name string, y Year, n int, form string) {
	t.Helper()
	want := fmt.Sprintf(form, n)
	if has := strings.Contains(notesOf(y), want); has != (n > 0) {
		t.Errorf("%s: a note %q: %v; want %v; notes:\n%s", name, want, has, n > 0, notesOf(y))
	}
}

// A coarser axis has the means of the minutes.
func TestMinutesJoin(t *testing.T) {
	y := minuteYears(t)["generated at 45 deg"]
	minute, err := SmoothMinutes(y, yearAxis(t, 2026, time.Minute, time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	ten, err := SmoothMinutes(y, yearAxis(t, 2026, 10*time.Minute, time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	keepsEnergy(t, "ten of one minute", ten, minute)
	keepsEnergy(t, "ten minutes", y, ten)
}

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
