package sky

import (
	"math"
	"strings"
	"testing"
	"time"
)

func TestMeanDay(t *testing.T) {
	low, high, peakH, sum := 1., -1., 0., 0.
	for h := 0.; h < 24; h += 0.01 {
		v := meanDay(h)
		sum += v / 2400
		if v > high {
			high, peakH = v, h
		}
		low = math.Min(low, v)
	}
	src := "theorem: the curve is a day of mean 0 and range 1"
	near(t, "mean", sum, 0, 1e-9, src)
	near(t, "range", high-low, 1, 0.03, src)
	near(t, "peak", peakH, 15, 0.5, "mid-afternoon: common knowledge, no source")
}

// The shape of the mean day against real thermometers.
func TestMeanDayOfFiles(t *testing.T) {
	for _, f := range realFiles[:5] {
		if strings.HasPrefix(f.name, "honolulu") {
			continue // a small island's day has its peak at noon, by the sea wind
		}
		y := readReal(t, f.name, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, f.zone)})
		var byHour [24]float64
		for i, c := range y.AirC {
			byHour[i%24] += c / float64(len(y.AirC)/24)
		}
		low, high := byHour[0], byHour[0]
		for _, c := range byHour {
			low, high = math.Min(low, c), math.Max(high, c)
		}
		worst := 0.
		for h, c := range byHour {
			sunH := float64(h) + 0.5 + y.Place.LonDeg/15 - y.Place.UTCOffset.Hours()
			worst = math.Max(worst, math.Abs((c-mean(y.AirC))/(high-low)-meanDay(sunH)))
		}
		t.Logf("%s: worst hour %.2f of the swing off", f.name, worst)
		near(t, f.name, worst, 0, 0.2, "the file's own mean day; a fifth of the swing is 2 K")
	}
}

func TestGeneratedAir(t *testing.T) {
	p := Place{LatDeg: 38.7, LonDeg: 29.1, ElevationM: 470, UTCOffset: 3 * time.Hour}
	a := yearAxis(t, 2026, time.Hour, 3*time.Hour)
	m := clearnessMonthly(p, a, 0.5)
	for _, swing := range []float64{14, 0} {
		m.AirSwingK = swing
		y := generate(t, m, p, a, 1)
		want := swing
		if swing == 0 {
			want = 25.8*0.5 - 5.21
		}
		peaks := 0.
		ranges := 0.
		for d := range 365 {
			day := y.AirC[d*24 : d*24+24]
			top, low := 0, 0
			for h := range day {
				if day[h] > day[top] {
					top = h
				}
				if day[h] < day[low] {
					low = h
				}
			}
			peaks += float64(top) / 365
			ranges += (day[top] - day[low]) / 365
		}
		near(t, "mean daily range", ranges, want, 0.04*want+0.2, "the swing asked for, or Erbs' 25.8 K - 5.21")
		near(t, "clock hour of the peak", peaks, 15.5, 1, "by hand: 15 h by the sun is 16:03 by a clock 3 h ahead at 29.1 E, so in the step from 15 or 16 h")
	}
}

func TestGeneratedWind(t *testing.T) {
	a := yearAxis(t, 2026, time.Hour, 0)
	means := [12]float64{3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3}
	var all []float64
	for seed := range uint64(10) {
		all = append(all, windOf(means, a, newDice(seed, streamWind))...)
	}
	m, std, lag1 := stats(all)
	near(t, "mean", m, 3, 1e-9, "theorem: monthly means are met")
	near(t, "std over mean", std/m, math.Sqrt(4/math.Pi-1), 0.02, "Rayleigh distribution: sqrt(4/pi - 1)")
	near(t, "lag 1", lag1, windLag1, 0.03, "the correlation asked for")
	over := 0.
	for _, v := range all {
		if v > 7.5 {
			over += 1 / float64(len(all))
		}
	}
	near(t, "share over 2.5 times the mean", over, math.Exp(-math.Pi/4*6.25), 0.002, "Rayleigh distribution: exp(-pi/4 (v/mean)^2)")
}

// The correlation taken lies among those of real winds.
func TestWindOfFiles(t *testing.T) {
	least, most := 1., 0.
	for _, f := range realFiles {
		_, _, lag1 := stats(readReal(t, f.name, ReadOptions{Axis: yearAxis(t, 2026, time.Hour, f.zone), FillLongGaps: true}).WindMS)
		least, most = math.Min(least, lag1), math.Max(most, lag1)
	}
	if windLag1 < least || windLag1 > most {
		t.Errorf("%g is not between %g and %g of the real files", windLag1, least, most)
	}
}
