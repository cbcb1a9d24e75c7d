package sky

import (
	"math"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// Of many seeds, the factor between years is normal about 1: mean, standard deviation and the share below mean - 1.2816 s.
func TestYearFactor(t *testing.T) {
	t.Parallel()
	const n, spread = 20000, 0.05
	mean, square, below := 0.0, 0.0, 0
	for seed := range uint64(n) {
		f := yearFactor(spread, seed)
		mean += f / n
		square += (f - 1) * (f - 1) / n
		if f < 1-1.2816*spread {
			below++
		}
		if math.Abs(f-1) > 3*spread {
			t.Fatalf("seed %d: factor %g; want within three standard deviations", seed, f)
		}
	}
	// Cut at three standard deviations, a normal's own is 0.9866 of it (closed form: 1 - 2·3·φ(3)/(2Φ(3)-1)); four standard errors.
	for _, row := range []struct {
		what           string
		got, want, tol float64
		src            string
	}{
		{"mean", mean, 1, 4 * spread / math.Sqrt(n), "the distribution drawn from"},
		{"spread", math.Sqrt(square) / spread, math.Sqrt(1 - 6*0.004431848/0.9973002), 4 / math.Sqrt(2*n), "closed form of the cut normal"},
		{"below P90", float64(below) / n, (0.1 - 0.00135) / 0.9973, 4 * math.Sqrt(0.09/n), "checks-sun.md 6.7: P90 = mean - 1.2816 sigma; less the tail that is cut"},
	} {
		if math.Abs(row.got-row.want) > row.tol {
			t.Errorf("%s: %.5f, want %.5f ± %.5f (%s)", row.what, row.got, row.want, row.tol, row.src)
		}
	}
	if yearFactor(0, 3) != 1 {
		t.Error("without a spread a year is not the mean year")
	}
}

// A drawn year has each month's mean times one factor; where the sky allows no more, the month stands at the bound and is told.
func TestBetweenYears(t *testing.T) {
	t.Parallel()
	place := Place{LatDeg: 38, LonDeg: 30, ElevationM: 900, UTCOffset: 2 * time.Hour}
	axis, err := clock.NewYear(2026, time.Hour, place.UTCOffset)
	if err != nil {
		t.Fatal(err)
	}
	m := Monthly{GHIKWhM2Day: [12]float64{2.2, 3, 4, 5, 6, 6.8, 7, 6.2, 5, 3.5, 2.4, 1.9}, BetweenYearsFrac: 0.04}
	for i := range 12 {
		m.AirC[i], m.WindMS[i] = 15, 2
	}
	check := func(seed uint64) (held int) {
		y, err := FromMonthly(m, place, axis, seed)
		if err != nil {
			t.Fatal(err)
		}
		factor := yearFactor(m.BetweenYearsFrac, seed)
		var sum [12]float64
		for i, v := range y.GHI {
			sum[axis.At(i).Month()-1] += v / 1000
		}
		for i := range 12 {
			days := time.Date(2026, time.Month(i+2), 0, 0, 0, 0, 0, time.UTC).Day()
			want := m.GHIKWhM2Day[i] * factor * float64(days)
			if math.Abs(sum[i]/want-1) > 1e-9 {
				held++
				if sum[i] > want {
					t.Errorf("seed %d, %v: %.3f kWh/m², want %.3f, or less at the sky's bound", seed, time.Month(i+1), sum[i], want)
				}
			}
		}
		told := 0
		for _, n := range y.Notes {
			if len(n.Text) > 3 && n.Text[:3] == "in " {
				told++
			}
		}
		if (held > 0) != (told > 0) {
			t.Errorf("seed %d: %d months held, told %d times", seed, held, told)
		}
		return held
	}
	for seed := range uint64(3) {
		if held := check(seed); held > 0 {
			t.Errorf("seed %d: %d months held; this place has room for 12 %%", seed, held)
		}
	}
	bright := uint64(0)
	for yearFactor(0.3, bright) < 1.5 {
		bright++
	}
	m.BetweenYearsFrac = 0.3
	if check(bright) == 0 {
		t.Error("half as much sun again is under no bound")
	}
	m.BetweenYearsFrac = 0.31
	const want = "spread between years: is 0.31; want 0 to 0.3"
	if _, err := FromMonthly(m, place, axis, 1); err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}
