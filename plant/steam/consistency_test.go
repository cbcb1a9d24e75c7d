package steam

import (
	"math"
	"testing"
)

// grid calls f along the saturation line, 0 to 350 °C.
func grid(t *testing.T, stepK float64, f func(Saturation)) {
	t.Helper()
	for tC := 0.0; tC <= 350; tC += stepK {
		s, err := SaturatedAt(tC)
		if err != nil {
			t.Fatal(err)
		}
		f(s)
	}
}

func TestSaturationRoundTrip(t *testing.T) {
	const src = "equations (30) and (31) are one quadratic; checks-heat 1.1.11"
	for tK := 273.16; tK <= 623.15; tK += 0.7 {
		p, err := SatPressure(tK - zeroC)
		if err != nil {
			t.Fatal(err)
		}
		tC, err := SatTemp(p)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "round trip", tC+zeroC, tK, 1e-9, src)
	}
}

// Both ends of every range are inside it, rounding included.
func TestEndsAreInside(t *testing.T) {
	for _, tC := range []float64{0, 0.01, 20, 100, 164.953, 250, 349.999, 350} {
		s, err := SaturatedAt(tC)
		if err != nil {
			t.Errorf("both phases at %g °C: %v", tC, err)
		}
		if _, err := SaturatedUnder(s.P); err != nil {
			t.Errorf("both phases under %v: %v", s.P, err)
		}
		boil, err := SatTemp(s.P)
		if err != nil {
			t.Errorf("boiling under %v: %v", s.P, err)
		}
		if _, err := Liquid(s.P, tC); err != nil {
			t.Errorf("boiling water at %g °C: %v", tC, err)
		}
		if _, err := Vapour(s.P, tC); err != nil {
			t.Errorf("saturated steam at %g °C: %v", tC, err)
		}
		if _, err := Vapour(s.P, math.Max(boil, 0)); err != nil {
			t.Errorf("steam under %v at its boiling point: %v", s.P, err)
		}
	}
	if _, err := SatPressure(373.946); err != nil {
		t.Error(err)
	}
	if _, err := Vapour(BarAbs(1000), 800); err != nil {
		t.Error(err)
	}
}

// Where both phases stand at one p and T, their Gibbs energies are equal. Regions 1 and 2 were fitted apart and the
// saturation line by a third equation, so the difference is a measure of IF97, not of this code: at most 0.012 kJ/kg, of 2500.
func TestGibbsEquality(t *testing.T) {
	worst := 0.0
	grid(t, 1, func(s Saturation) {
		g := func(p Props) float64 { return p.HKJKg - (s.TC+zeroC)*p.SKJKgK }
		worst = math.Max(worst, math.Abs(g(s.Vapour)-g(s.Liquid)))
	})
	near(t, "largest |g” - g'|, kJ/kg", worst, 0, 0.012, "thermodynamics; bound measured")
	t.Logf("largest |g” - g'| %.4f kJ/kg", worst)
}

// Clapeyron: dp/dT = r / (T (v” - v')). The bound is IF97's own, measured, since the three equations were fitted apart:
// 0.6e-4 up to 310 °C, 1.6e-4 near 340 °C.
func TestClapeyron(t *testing.T) {
	const h = 0.01 // K
	worst := 0.0
	grid(t, 1, func(s Saturation) {
		if s.TC < 1 || s.TC > 349 {
			return
		}
		tK := s.TC + zeroC
		slope := (satMPa(tK+h) - satMPa(tK-h)) / (2 * h) * kPaPerMPa
		want := s.EvaporationKJKg() / (tK * (s.Vapour.VM3Kg - s.Liquid.VM3Kg))
		worst = math.Max(worst, math.Abs(slope/want-1))
	})
	near(t, "largest departure from Clapeyron", worst, 0, 2e-4, "thermodynamics; bound measured")
	t.Logf("largest departure from Clapeyron %.2e", worst)
}

// Every property is a derivative of one Gibbs energy, so differences of one must give another: cp = (dh/dT)_p,
// v = (dg/dp)_T, s = -(dg/dT)_p, and the speed of sound from (dv/dp)_s = (dv/dp)_T + T (dv/dT)_p²/cp. Central differences of
// 0.01 K and 1e-4 of p err by 1e-7 or less of these smooth functions, rounding by about 1e-8.
func TestDerivatives(t *testing.T) {
	const tol = 2e-6
	src := "definitions of thermodynamics, by differences"
	check := func(f func(pMPa, tK float64) Props, pMPa, tK float64) {
		const dT = 0.01
		dp := pMPa * 1e-4
		g := func(pMPa, tK float64) float64 {
			x := f(pMPa, tK)
			return x.HKJKg - tK*x.SKJKgK
		}
		x := f(pMPa, tK)
		up, down := f(pMPa, tK+dT), f(pMPa, tK-dT)
		near(t, "cp", (up.HKJKg-down.HKJKg)/(2*dT), x.CpKJKgK, tol*x.CpKJKgK, src)
		near(t, "v", (g(pMPa+dp, tK)-g(pMPa-dp, tK))/(2*dp*kPaPerMPa), x.VM3Kg, tol*x.VM3Kg+1e-9, src)
		near(t, "s", -(g(pMPa, tK+dT)-g(pMPa, tK-dT))/(2*dT), x.SKJKgK, tol*x.SKJKgK, src)
		vT := (up.VM3Kg - down.VM3Kg) / (2 * dT)
		vp := (f(pMPa+dp, tK).VM3Kg - f(pMPa-dp, tK).VM3Kg) / (2 * dp * kPaPerMPa)
		vps := vp + tK*vT*vT/x.CpKJKgK
		near(t, "w", math.Sqrt(-x.VM3Kg*x.VM3Kg/vps*1000), x.SoundMS, 1e-5*x.SoundMS, src)
	}
	for _, tK := range []float64{280, 353.15, 450, 520, 620} {
		for _, over := range []float64{1.5, 4} {
			check(liquid, math.Max(satMPa(tK)*over, 5), tK)
			check(vapour, satMPa(tK)*0.9/over, tK)
		}
	}
	check(vapour, 10, 900)
	check(vapour, 50, 1000)
}

// Along the line: more pressure is hotter, the liquid gets lighter above 4 °C, the vapour denser, and the heat of evaporation falls.
func TestOrderAlongTheLine(t *testing.T) {
	var last Saturation
	grid(t, 1, func(s Saturation) {
		if s.TC >= 6 {
			if s.P.BarAbs() <= last.P.BarAbs() || s.Liquid.VM3Kg <= last.Liquid.VM3Kg ||
				s.Vapour.VM3Kg >= last.Vapour.VM3Kg || s.EvaporationKJKg() >= last.EvaporationKJKg() {
				t.Errorf("order breaks at %g °C", s.TC)
			}
		}
		last = s
	})
}

// Water in its reference state: u and s are zero in the liquid at the triple point.
func TestZeroPoint(t *testing.T) {
	s, err := SaturatedAt(0.01)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u' at the triple point", s.Liquid.UKJKg, 0, 1e-8, "IAPWS R7-97(2012) section 5, eq. (8)")
	// Relaxed: the release's fourteen-digit coefficients give -6.2e-8, and so does python3-iapws.
	near(t, "s' at the triple point", s.Liquid.SKJKgK, 0, 1e-7, "IAPWS R7-97(2012) section 5, eq. (8)")
	near(t, "h' at the triple point", s.Liquid.HKJKg, 0.000611783, 1e-7, "IAPWS R7-97(2012) section 5, eq. (8)")
}
