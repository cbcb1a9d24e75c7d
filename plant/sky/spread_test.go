package sky

import (
	"math"
	"testing"
	"time"
)

// Hours spread over finer steps keep their energy, give no light at night and keep the parts' sum.
func TestSpread(t *testing.T) {
	for _, f := range realFiles[:2] {
		hourly := readReal(t, f.name, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, f.zone)})
		for _, step := range []time.Duration{30 * time.Minute, 15 * time.Minute, 5 * time.Minute} {
			y := readReal(t, f.name, ReadOptions{Axis: yearAxis(t, 2026, step, f.zone)})
			n := int(time.Hour / step)
			fine := Suns(y.Place, yearAxis(t, 2026, step, f.zone), 0)
			for q, pair := range [][2][]float64{{hourly.GHI, y.GHI}, {hourly.DNI, y.DNI}, {hourly.DHI, y.DHI}} {
				for i, w := range pair[0] {
					near(t, known[q].name, mean(pair[1][i*n:(i+1)*n]), w, 1e-9, "theorem: each hour's energy is kept")
				}
			}
			night := 0
			for i, s := range fine {
				reachDeg := 15*step.Hours()/2 + 0.3
				if s.ZenithDeg > 90+reachDeg && y.GHI[i]+y.DNI[i]+y.DHI[i] > 0 {
					night++
				}
			}
			if night > 4*12 { // the file's own rows of sunless light, see its note
				t.Errorf("%s, %v: light in %d steps of night", f.name, step, night)
			}
			if c := closure(y); c > 2.6 {
				t.Errorf("%s, %v: closure %g W/m²; want 2.6; the hours have 0.7, or 1.3 with the mean cosine", f.name, step, c)
			}
		}
	}
}

func TestSpreadNeverAtNight(t *testing.T) {
	light := lightOf(false, 0)
	text := file(epwHeader, epwRow, light, nil)
	y := mustRead(t, text, ReadOptions{Axis: yearAxis(t, 2026, 10*time.Minute, time.Hour)})
	lit := 0
	for i, s := range y.Suns {
		// A step of 10 min moves the sun by at most 2.5 deg; a sample of the spreader stands within 1 deg of its end.
		if s.ZenithDeg > 92.5 && y.GHI[i]+y.DNI[i]+y.DHI[i] > 0 {
			t.Fatalf("step %d: light with the sun at zenith angle %g", i, s.ZenithDeg)
		}
		if y.GHI[i] > 0 {
			lit++
		}
	}
	if share := float64(lit) / float64(len(y.Suns)); math.Abs(share-0.5) > 0.01 {
		t.Errorf("light in %.3f of the steps; want a half, as everywhere on Earth", share)
	}
}

// Files with more rows an hour: energy of a record becomes power, and rows become steps or their mean.
func TestQuarterHourFile(t *testing.T) {
	text := quarterFile(func(quarter int) float64 {
		if quarter%96 == 50 {
			return 200 // Wh in a quarter of an hour: 800 W
		}
		return 0
	})
	y := mustRead(t, text, ReadOptions{Axis: yearAxis(t, 2026, 15*time.Minute, time.Hour)})
	near(t, "quarter", y.GHI[50], 800, 0, "checks-sun.md 6.2: W/m² = Wh/m² x records an hour")
	near(t, "next quarter", y.GHI[51], 0, 0, "same")
	h := mustRead(t, text, ReadOptions{})
	near(t, "hour", h.GHI[12], 200, 1e-12, "by hand: 800/4")
	if y.LightOffset != 0 || h.LightOffset != 0 {
		t.Errorf("light offsets %v, %v; want 0: a record's middle is the step's", y.LightOffset, h.LightOffset)
	}
	if _, err := readText(t, text, ReadOptions{Axis: yearAxis(t, 2026, 20*time.Minute, time.Hour)}); err == nil {
		t.Error("quarters on steps of 20 min: no error")
	}
}
