package demand

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"noonkeep/plant/clock"
)

// A cubic metre of hot water against the heat that others count for it.
func TestHeatOfHotWater(t *testing.T) {
	for _, r := range []struct {
		coldC, hotC, m3, wantKWh, tol float64
		src, why                      string
	}{
		{15, 80, 5, 377.15, 0.6, "checks-heat.md 7.9: 5 m3, 998 kg/m3, 4.186 kJ/kgK", "constant density and heat capacity there: 0.15 %"},
		{10, 60, 1, 999.8 * (251.15 - 42.02) / 3600, 0.06, "checks-heat.md 1.3: h' at 10 and 60 degC, by hand", "saturated water there, 4 bar(a) here: 0.1 %"},
		{20, 40, 1, 998.161 * (167.54 - 83.92) / 3600, 0.02, "checks-heat.md 1.3: h' at 20 and 40 degC, by hand", "same"},
	} {
		needSource(t, r.src)
		heat, err := HotWater{ToC: r.hotC, MakeUpC: []float64{r.coldC}}.KWhM3()
		if err != nil {
			t.Fatal(err)
		}
		if got := heat[0] * r.m3; math.Abs(got-r.wantKWh) > r.tol {
			t.Errorf("%g m3 from %g to %g degC: %.3f kWh, want %.3f (%s; %s)", r.m3, r.coldC, r.hotC, got, r.wantKWh, r.src, r.why)
		}
	}
}

// The volume of a year, however the draw is given and however long the step is.
func TestDrawKeepsVolume(t *testing.T) {
	profile := make([]float64, 24)
	for h := range profile {
		profile[h] = float64(1 + h%5)
	}
	summer, err := clock.ParseSummerTime("last Sun Mar 02:00..last Sun Oct 03:00")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		draw Draw
		cal  clock.Calendar
		want float64
		src  string
	}{
		{Draw{M3H: 0.8, When: mustWhen(t, "Mon-Fri 06:00-14:00")}, clock.Calendar{}, 0.8 * 261 * 8, "by hand: 261 working days in 2026"},
		{Draw{M3D: 12, When: mustWhen(t, "Mon-Fri 06:00-14:00, 15:00-16:30")}, clock.Calendar{}, 12 * 261, "by hand"},
		{Draw{M3D: 12, When: mustWhen(t, "Mon-Fri 06:00-14:00"), Profile: profile}, clock.Calendar{}, 12 * 261, "by hand"},
		{Draw{M3D: 12, When: mustWhen(t, "always")}, clock.Calendar{}, 12 * 365, "by hand"},
		{Draw{M3D: 12, When: mustWhen(t, "always")}, clock.Calendar{Holidays: []clock.Date{{Month: 1, Day: 6}}}, 12 * 364, "by hand: one holiday"},
		{Draw{M3D: 12, When: mustWhen(t, "daily 06:00-10:00"), Profile: profile}, clock.Calendar{Summer: summer}, 12 * 365, "by hand: the clock's nights change hours, not volumes"},
		{Draw{M3D: 12, When: mustWhen(t, "daily 06:00-10:00"), Seasons: []clock.Span{*mustSpan(t, "1 Jun..30 Sep")}}, clock.Calendar{}, 12 * 122, "by hand: 30 + 31 + 31 + 30 days"},
	} {
		needSource(t, r.src)
		for _, step := range []time.Duration{time.Hour, 15 * time.Minute} {
			a := mustYear(t, 2026, step)
			flow, err := r.draw.On(a, r.cal)
			if err != nil {
				t.Fatal(err)
			}
			if got := clock.KW(flow).EnergyKWh(a.StepH()); math.Abs(got-r.want) > 1e-9*r.want {
				t.Errorf("%+v, step %v: %g m3, want %g (%s)", r.draw, step, got, r.want, r.src)
			}
		}
	}
}

// A night shift's draw belongs to the evening on which it begins; a profile stands by the clock on the wall.
func TestDrawHours(t *testing.T) {
	a := mustYear(t, 2026, time.Hour) // 1 January is a Thursday
	flow, err := Draw{M3D: 8, When: mustWhen(t, "Fri 22:00-06:00")}.On(a, clock.Calendar{})
	if err != nil {
		t.Fatal(err)
	}
	for h, want := range map[int]float64{24 + 21: 0, 24 + 22: 1, 48 + 5: 1, 48 + 6: 0} {
		if math.Abs(flow[h]-want) > 1e-12 {
			t.Errorf("%s: %g m3/h, want %g: 8 m3 in 8 hours from Friday 22:00", a.Label(h), flow[h], want)
		}
	}
	profile := make([]float64, 24)
	profile[7], profile[18] = 1, 3
	flow, err = Draw{M3D: 8, When: mustWhen(t, "Fri 09:00-10:00"), Profile: profile}.On(a, clock.Calendar{})
	if err != nil {
		t.Fatal(err)
	}
	for h, want := range map[int]float64{24 + 7: 2, 24 + 9: 0, 24 + 18: 6} {
		if math.Abs(flow[h]-want) > 1e-12 {
			t.Errorf("%s: %g m3/h, want %g: a quarter at 07:00, three at 18:00", a.Label(h), flow[h], want)
		}
	}
}

func TestDrawRefuses(t *testing.T) {
	always, profile := clock.Always(), make([]float64, 24)
	bad := slices.Repeat([]float64{1}, 23)
	for _, r := range []struct {
		draw Draw
		want string
	}{
		{Draw{M3D: 1}, `when: is missing; want hours such as "Mon-Fri 06:00-14:00", or "always"`},
		{Draw{M3D: 1, M3H: 1, When: always}, "draw: is given by the hour and by the day; want one of the two"},
		{Draw{M3D: math.NaN(), When: always}, "draw: is NaN m3/d; want 0 to 1e5"},
		{Draw{M3H: -1, When: always}, "draw: is -1 m3/h; want 0 to 1e5"},
		{Draw{M3D: 1, When: always, Profile: bad}, "profile: has 23 values; want 24, one an hour"},
		{Draw{M3D: 1, When: always, Profile: profile}, "profile: is nothing in every hour; want a share in one at least"},
	} {
		if err := r.draw.Check(); err == nil || err.Error() != r.want {
			t.Errorf("%v, want %s", err, r.want)
		}
	}
	if _, err := (HotWater{ToC: 60, MakeUpC: []float64{61}}).KWhM3(); err == nil || err.Error() != "make-up: is 61 degC; want 0 to the 60 of the hot water" {
		t.Error(err)
	}
	if _, err := (HotWater{ToC: 150}).KWhM3(); err == nil || err.Error() != "to: is 150 degC; want more than 0 and at most 140" {
		t.Error(err)
	}
}

// By hand, hour by hour: 10 kWh tank, 4 kW heater, no loss; 12 kW are drawn for two hours of each six.
// It lacks 0, then 12-4 = 8, then 8+12-4 = 16 of which 6 cannot be had: 10; then 6, 2, and the last hour takes 2.
func TestTankByHand(t *testing.T) {
	tank := Tank{VolumeM3: 1, HeaterKW: 4}
	draw := clock.KW{12, 12, 0, 0, 0, 0}
	y, err := tank.Run(draw, slices.Repeat([]float64{10}, 6), 1)
	if err != nil {
		t.Fatal(err)
	}
	if want := (clock.KW{4, 4, 4, 4, 2, 0}); !slices.Equal(y.HeatKW, want) {
		t.Errorf("heater %v, want %v", y.HeatKW, want)
	}
	if want := (clock.KWh{0, 8, 10, 6, 2, 0, 0}); !slices.Equal(y.LackKWh, want) {
		t.Errorf("lack %v, want %v", y.LackKWh, want)
	}
	if y.UnmetKWh != 6 || y.ShortH != 1 || y.Worst != 1 || y.DrawnKWh != 24 {
		t.Errorf("%+v, want 6 kWh of 24 unmet in one hour", y)
	}
}

// Energy is kept over any year, the year ends as it began, the heater is never above its power, and no larger
// tank or heater leaves more unmet. With a heater that carries the peak nothing is unmet, whatever the tank.
func TestTankProperties(t *testing.T) {
	const seed = 7
	rnd := rand.New(rand.NewPCG(seed, 0))
	for trial := range 200 {
		n := 24 * (1 + rnd.IntN(20))
		draw, whole := make(clock.KW, n), make([]float64, n)
		peak := 0.0
		for i := range draw {
			if rnd.IntN(3) == 0 {
				draw[i] = 300 * rnd.Float64()
			}
			peak = max(peak, draw[i])
			whole[i] = 55 + 10*math.Sin(float64(i)/float64(n)*2*math.Pi)
		}
		stepH := []float64{1, 0.5, 0.25}[rnd.IntN(3)]
		tank := Tank{VolumeM3: 0.2 + 8*rnd.Float64(), HeaterKW: 30 + 150*rnd.Float64(), LossKW: 2 * rnd.Float64()}
		y, err := tank.Run(draw, whole, stepH)
		if err != nil {
			continue // a heater that just balances the draw
		}
		heat := y.HeatKW.EnergyKWh(stepH)
		if off := heat - (y.DrawnKWh - y.UnmetKWh + y.LossKWh); math.Abs(off) > 1e-9*heat || y.LackKWh[0] != y.LackKWh[n] {
			t.Fatalf("seed %d, trial %d: %g kWh are not accounted for; starts at %g, ends at %g", seed, trial, off, y.LackKWh[0], y.LackKWh[n])
		}
		for i, kW := range y.HeatKW {
			if kW < 0 || kW > tank.HeaterKW*(1+1e-12) || y.LackKWh[i] < 0 {
				t.Fatalf("seed %d, trial %d, step %d: heater %g of %g kW, lack %g", seed, trial, i, kW, tank.HeaterKW, y.LackKWh[i])
			}
		}
		for _, more := range []Tank{{2 * tank.VolumeM3, tank.HeaterKW, tank.LossKW}, {tank.VolumeM3, 2 * tank.HeaterKW, tank.LossKW}} {
			if z, err := more.Run(draw, whole, stepH); err == nil && z.UnmetKWh > y.UnmetKWh*(1+1e-9)+1e-6 {
				t.Errorf("seed %d, trial %d: %+v leaves %g kWh unmet, %+v %g", seed, trial, tank, y.UnmetKWh, more, z.UnmetKWh)
			}
		}
		tank.HeaterKW = peak + tank.LossKW + 1e-9
		if z, err := tank.Run(draw, whole, stepH); err != nil || z.UnmetKWh != 0 {
			t.Errorf("seed %d, trial %d: a heater of the peak leaves %g kWh unmet, %v", seed, trial, z.UnmetKWh, err)
		}
	}
}

// A step cut into quarters gives the same energy, lack and shortfall: within a step the balance is exact.
func TestTankStepDoesNotMatter(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 0))
	n := 24 * 14
	draw, fine := make(clock.KW, n), make(clock.KW, 0, 4*n)
	for i := range draw {
		if rnd.IntN(2) == 0 {
			draw[i] = 200 * rnd.Float64()
		}
		fine = append(fine, draw[i], draw[i], draw[i], draw[i])
	}
	tank := Tank{VolumeM3: 3, HeaterKW: 60, LossKW: 1}
	y, err1 := tank.Run(draw, slices.Repeat([]float64{58}, n), 1)
	z, err2 := tank.Run(fine, slices.Repeat([]float64{58}, 4*n), 0.25)
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	if y.UnmetKWh == 0 || math.Abs(y.UnmetKWh-z.UnmetKWh) > 1e-9*y.DrawnKWh {
		t.Errorf("unmet %g and %g kWh", y.UnmetKWh, z.UnmetKWh)
	}
	for i := range y.LackKWh {
		if math.Abs(y.LackKWh[i]-z.LackKWh[4*i]) > 1e-9 {
			t.Fatalf("hour %d: lack %g and %g", i, y.LackKWh[i], z.LackKWh[4*i])
		}
	}
}

func TestTankRefuses(t *testing.T) {
	for _, r := range []struct {
		tank Tank
		want string
	}{
		{Tank{HeaterKW: 1}, "volume: is 0 m3; want more than 0 and at most 1e5"},
		{Tank{VolumeM3: 1, HeaterKW: math.NaN()}, "heater: is NaN kW; want more than 0\nloss: is 0 kW; want 0 to less than the heater's NaN"},
		{Tank{VolumeM3: 1, HeaterKW: 2, LossKW: 2}, "loss: is 2 kW; want 0 to less than the heater's 2"},
	} {
		if err := r.tank.Check(); err == nil || err.Error() != r.want {
			t.Errorf("%v, want %s", err, r.want)
		}
	}
	if _, err := (Tank{VolumeM3: 1, HeaterKW: 2}).Run(clock.KW{1}, nil, 1); err == nil {
		t.Error("series of two lengths are taken")
	}
}
