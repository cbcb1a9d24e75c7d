package sky

import (
	"cmp"
	"math"
	"slices"
	"testing"
	"time"
)

func TestMinutesSeed(t *testing.T) {
	y := daysOf(minuteYears(t)["generated at 45 deg"], time.June, 15)
	a, again, other := byMinute(t, y, time.Minute, 1), byMinute(t, y, time.Minute, 1), byMinute(t, y, time.Minute, 2)
	if !slices.Equal(a.DNI, again.DNI) || !slices.Equal(a.GHI, again.GHI) {
		t.Error("the same seed gives other minutes")
	}
	if slices.Equal(a.DNI, other.DNI) {
		t.Error("another seed gives the same minutes")
	}
	if !slices.Equal(a.DHI, other.DHI) || !slices.Equal(a.AirC, other.AirC) {
		t.Error("a seed moves what has no chance in it")
	}
}

// An hour without beam has none in any minute; one as clear as the sky can be, with such neighbours, is smooth; and the
// clearer the hour, the less its beam moves.
func TestCloudsKeepToTheHour(t *testing.T) {
	days := 40
	if underRace {
		days = 15
	}
	for name, y := range minuteYears(t) {
		y = daysOf(y, time.May, days)
		clear, err := ClearSky(y)
		if err != nil {
			t.Fatal(err)
		}
		fine, smooth := byMinute(t, y, time.Minute, 1), byMinute(t, y, time.Minute)
		minuteClear, err := ClearSkyOf(fine, FitLinke(y))
		if err != nil {
			t.Fatal(err)
		}
		var moved, hours [3]float64 // by hours over 0.97, 0.9 and 0.6 of the clear beam
		for i, b := range y.DNI {
			minutes, still := fine.DNI[i*60:(i+1)*60], smooth.DNI[i*60:(i+1)*60]
			frac := b / clear.DNI[i]
			if b == 0 && slices.Max(minutes) > 0 || frac > 1 && !slices.Equal(minutes, still) {
				t.Errorf("%s: %s: DNI %g of a clear %g W/m²: minutes are not those of an hour without clouds", name, y.Axis.Label(i), b, clear.DNI[i])
			}
			if course := minuteClear.DNI[i*60 : (i+1)*60]; mean(course) > b {
				for k, v := range minutes {
					if v > course[k]*(1+1e-9) {
						t.Fatalf("%s: %s and %d min: DNI %g W/m² in an hour of %g; want no more than the clear sky's %g", name, y.Axis.Label(i), k, v, b, course[k])
					}
				}
			}
			for class, least := range [...]float64{0.97, 0.9, 0.6} {
				if frac <= 1 && frac > least && y.Suns[i].ZenithDeg < 70 {
					hours[class]++
					for k, v := range minutes {
						moved[class] += math.Abs(v-still[k]) / 60 / clear.DNI[i]
					}
					break
				}
			}
		}
		for class := range moved {
			moved[class] /= math.Max(1, hours[class])
		}
		t.Logf("%s: mean move %.3f of the clear beam in %v hours", name, moved, hours)
		if moved[0] > 0.03 || hours[2] > 5 && hours[0] > 5 && moved[0] > moved[2] {
			t.Errorf("%s: minutes move by %.3f of the clear beam in hours over 97 %%, 90 %% and 60 %%; want under 0.03 and rising", name, moved)
		}
	}
}

// The spread within the hour is the formula's wherever the beam has room for it.
func TestSpreadWithin(t *testing.T) {
	const src = "Skartveit and Olseth 1992, formula from memory, worked out by hand"
	near(t, "clear and still", spreadWithin(1, 0), 0, 0, src)
	near(t, "k 0.5, still", spreadWithin(0.5, 0), 0.10875, 1e-15, src)
	near(t, "k 0.64, moved by 0.1", spreadWithin(0.64, 0.1), 0.87*0.4096*0.36+0.0312, 1e-12, src)
	near(t, "moved", differs([]float64{0.5, 0.6, 0.3}, 1), math.Sqrt((0.01+0.09)/2), 1e-15, "Skartveit, Olseth and Tuft 1998, from memory, by hand")
	near(t, "at sunrise", differs([]float64{math.NaN(), 0.6, 0.3}, 1), 0.3, 1e-15, "as documented: the neighbours with sun")

	y := daysOf(minuteYears(t)["generated at 45 deg"], time.May, 60)
	linke := FitLinke(y)
	hourly := y.clearSky(linke)
	fine, smooth := byMinute(t, y, time.Minute, 1), byMinute(t, y, time.Minute)
	c := newClouds(1)
	c.plan(y, hourly)
	checked := 0
	for i, s := range c.steps {
		minutes := fine.DNI[i*60 : (i+1)*60]
		still := smooth.DNI[i*60 : (i+1)*60]
		most := 0.
		for _, sun := range fine.Suns[i*60 : (i+1)*60] {
			most = max(most, sun.ZenithDeg)
		}
		// Where no minute is at an end of its range, nothing was cut.
		if s.spreadWM2 == 0 || s.beamFrac < 0.3 || s.beamFrac > 0.95 || most > 75 || slices.Min(minutes) < 20 || slices.Max(minutes) > 0.97*hourly.DNI[i] {
			continue
		}
		square := 0.
		for k, v := range minutes {
			d := (v - still[k]) * fine.Suns[i*60+k].CosZenith()
			square += d * d / 60
		}
		checked++
		near(t, y.Axis.Label(i), math.Sqrt(square)/s.spreadWM2, 1, 0.1, "the formula; the mean is put right after the spread")
	}
	if checked < 20 {
		t.Errorf("only %d hours were free to spread; want 20 at least", checked)
	}
}

// Lengths follow the published law.
func TestCloudLengths(t *testing.T) {
	c, before, logs, n := newClouds(5), int64(0), 0., 0.
	least, most := math.Inf(1), 0.
	for _, end := range c.ends {
		m := float64(end - before)
		before = end
		least, most = min(least, m), max(most, m)
		if m < mostCloudM/30 { // the law's end is far: what is cut by it does not show
			logs += math.Log(m / leastCloudM)
			n++
		}
	}
	const src = "Wood and Field 2011: exponent 1.66 ± 0.04, 0.1 to 1500 km, as read in the published code of Bright et al. 2015"
	// The mean of ln(x/least) of a power law cut at r times its least: 1/q - ln r/(r^q - 1), with q the exponent less 1.
	r := mostCloudM / 30 / leastCloudM
	q := 0.1
	for mean := logs / n; 1/q-math.Log(r)/(math.Pow(r, q)-1) > mean; q += 1e-4 {
	}
	near(t, "exponent", 1+q, cloudExponent, 0.02, src)
	if least < leastCloudM || most > mostCloudM {
		t.Errorf("lengths of %g to %g m; want %g to %g (%s)", least, most, leastCloudM, mostCloudM, src)
	}
}

// realBroken is a broken hour by the minute, global light in W/m²: 14 Oct 2018, 13:00 to 13:59, of the day that the public
// repository pvlib/pvlib-python has as tests/data/midc_20181014.txt. It is a station's of a national laboratory's network; the file
// names no coordinates, and its beam is not among the columns.
var realBroken = []float64{
	713.965, 699.819, 361.129, 340.563, 373.238, 505.694, 745.680, 771.912, 740.808, 647.183, 426.028, 580.48, 640.703, 585.074, 437.334,
	544.986, 633.167, 605.824, 612.670, 568.556, 377.863, 382.553, 421.861, 614.149, 736.549, 608.168, 804.940, 885.436, 649.830, 434.487,
	424.635, 423.946, 428.171, 438.524, 460.559, 483.335, 489.607, 526.854, 558.553, 610.061, 706.651, 790.068, 845.082, 600.884, 703.504,
	799.799, 792.205, 773.522, 718.611, 664.685, 659.827, 609.515, 628.057, 649.257, 663.943, 677.480, 668.893, 659.783, 686.025, 617.134,
}

// The one real hour at hand would not stand out among ours: neither its spread nor how soon it forgets. One hour proves no law.
func TestRealBrokenHour(t *testing.T) {
	spread, after1, _ := movement(realBroken)
	y := daysOf(minuteYears(t)["generated at 45 deg"], time.April, 120)
	clear, err := ClearSky(y)
	if err != nil {
		t.Fatal(err)
	}
	fine := byMinute(t, y, time.Minute, 1)
	var spreads, afters, later []float64
	for i := range y.GHI {
		if k := y.GHI[i] / clear.GHI[i]; k < 0.6 || k > 0.8 || y.Suns[i].ZenithDeg > 60 {
			continue
		}
		s, r1, r5 := movement(fine.GHI[i*60 : (i+1)*60])
		spreads, afters, later = append(spreads, s), append(afters, r1), append(later, r5)
	}
	inside := func(what string, real float64, ours []float64) {
		slices.Sort(ours)
		low, high := ours[len(ours)/20], ours[len(ours)-1-len(ours)/20]
		t.Logf("%s: real %.2f; ours %.2f (5 %%), %.2f (half), %.2f (95 %%) of %d hours", what, real, low, ours[len(ours)/2], high, len(ours))
		if cmp.Compare(real, low) < 0 || cmp.Compare(real, high) > 0 {
			t.Errorf("%s: a real broken hour has %.3f; nine in ten of ours have %.3f to %.3f", what, real, low, high)
		}
	}
	inside("spread over mean", spread, spreads)
	inside("correlation with the minute before", after1, afters)
	if mean(later) > mean(afters)-0.2 {
		t.Errorf("correlation falls from %.2f after 1 min to %.2f after 5; want a clear fall", mean(afters), mean(later))
	}
}

// movement is the standard deviation over the mean, and the correlation with 1 and 5 minutes before.
func movement(v []float64) (spreadFrac, after1, after5 float64) {
	m, square := mean(v), 0.
	for _, x := range v {
		square += (x - m) * (x - m)
	}
	after := func(lag int) float64 {
		sum := 0.
		for k := lag; k < len(v); k++ {
			sum += (v[k] - m) * (v[k-lag] - m)
		}
		return sum / float64(len(v)-lag) / (square / float64(len(v)))
	}
	return math.Sqrt(square/float64(len(v))) / m, after(1), after(5)
}
