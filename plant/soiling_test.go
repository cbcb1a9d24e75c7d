package plant

import (
	"fmt"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

func TestSoilingFactors(t *testing.T) {
	const (
		published = "checks-sun 5.10: mean cleanliness 1 - r (N-1)/2; r 0.005, N 14 -> 0.9675"
		hand      = "hand calculation"
	)
	axis, err := clock.NewYear(2025, time.Hour, 0)
	if err != nil {
		t.Fatal(err)
	}
	mean := func(v []float64) float64 {
		sum := 0.
		for _, x := range v {
			sum += x
		}
		return sum / float64(len(v))
	}
	fortnightly := Soiling{PerDay: 0.005, EveryDays: 14}.Factors(axis)
	near(t, "mean of 26 fortnights", mean(fortnightly[:26*14]), 0.9675, 1e-12, published)
	near(t, "day 13", fortnightly[13], 1-13*0.005, 1e-15, hand)
	near(t, "day of the second wash", fortnightly[14], 1, 0, hand)

	// Washed on 1 Apr (day 90) and 1 Sep (day 243): on 1 Jan dirt has grown for 122 days since September, to the cap.
	dated := Soiling{PerDay: 0.001, Dates: []clock.Date{{Month: time.April, Day: 1}, {Month: time.September, Day: 1}}, MostLossFrac: 0.1}.Factors(axis)
	near(t, "1 Jan", dated[0], 0.9, 0, hand)
	near(t, "1 Apr", dated[90], 1, 0, hand)
	near(t, "11 Apr", dated[100], 0.99, 1e-15, hand)
	near(t, "1 Sep", dated[243], 1, 0, hand)
	near(t, "the year before follows itself", Soiling{PerDay: 0.001, Dates: []clock.Date{{Month: time.December, Day: 30}}}.Factors(axis)[0], 0.998, 1e-15, hand)
	near(t, "capped by default", Soiling{PerDay: 0.01, EveryDays: 300}.Factors(axis)[299], 0.7, 1e-15, "Kimber et al. 2006: at most 30 %")
}

// Soiling that takes nothing gives the constant's yields, to the last digit.
func TestNoSoilingIsConstant(t *testing.T) {
	for _, k := range Kinds() {
		y := roughYear(t, 38, time.Hour, 4)
		f := clean(k.Collector)
		f.Cleanliness = 0.93
		constant := mustYield(t, f, y, 120)
		f.Soiling = Soiling{EveryDays: 14}
		washed := mustYield(t, f, y, 120)
		for i, v := range constant.KWM2 {
			if washed.KWM2[i] != v {
				t.Fatalf("%s, step %d: %v washed, %v constant", k.Name, i, washed.KWM2[i], v)
			}
		}
	}
}

// In a still year with no loss, heat follows the day's cleanliness.
func TestSoilingInYield(t *testing.T) {
	y := stillYear(t, time.Hour)
	f := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8})
	f.Soiling = Soiling{PerDay: 0.004, EveryDays: 10}
	out := mustYield(t, f, y, 120)
	for day := range 365 {
		near(t, fmt.Sprintf("day %d", day), 1000*out.KWM2[24*day+23], 640*(1-0.004*float64(day%10)), 1e-9, "0.8 × 800 W/m² × cleanliness")
	}
	near(t, "mean cleanliness", out.CleanMeanFrac, (36*10*(1-0.018)+5*(1-0.008))/365, 1e-12, "36 tens of days and 5 days")
}

func TestAvailabilityOverLife(t *testing.T) {
	const src = "hand calculation"
	near(t, "first year", AvailableIn(1, 20, 0.98, -0.005), 0.98, 0, src)
	near(t, "fifth year", AvailableIn(5, 20, 0.98, -0.005), 0.98*0.98, 1e-15, src)
	sum := 0.
	for year := 1; year <= 20; year++ {
		sum += AvailableIn(year, 20, 0.98, -0.005)
	}
	near(t, "mean over 20 years", AvailableIn(0, 20, 0.98, -0.005), sum/20, 1e-15, "the mean of its years")
}

func TestOutOfService(t *testing.T) {
	y := stillYear(t, time.Hour)
	f := clean(Collector{Tracking: TwoAxis, Eta0b: 0.8, HeatCapacityKJM2K: 9, CoolingTimeH: 6, DriveWM2: 1})
	f.Out = []clock.Span{{From: clock.Date{Month: time.March, Day: 1}, To: clock.Date{Month: time.March, Day: 10}}}
	out := mustYield(t, f, y, 180)
	near(t, "hours out", out.OutH, 240, 1e-9, "ten days of a sun that never sets")
	near(t, "hours", out.OutH+out.TrackedH, 8760, 1e-9, "they add up")
	near(t, "drives", out.DriveKWhM2, 8.520, 1e-9, "1 W/m² in the other 8520 h")
	// Ten days cool it wholly: 9 kJ × 160 K = 0.4 kWh.
	near(t, "delivered", out.DeliveredKWhM2, 0.64*8520-0.4, 1e-6, "hand calculation")
}
