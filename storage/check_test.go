package storage

import (
	"math"
	"testing"

	"noonkeep/plant/steam"
)

// near compares with an absolute tolerance and prints the source of a failure; a row without a source stops the test.
func near(t *testing.T, what string, got, want, tol float64, src string) {
	t.Helper()
	if src == "" {
		t.Fatal("row without a source")
	}
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g; want %.10g within %.2g (%s)", what, got, want, tol, src)
	}
}

// exact is the tolerance of the source list for code on IF97 and the exact balance, as a fraction.
const exact = 1e-4

const computed = "python3-iapws 1.5.3 and two independent integrations, checks-heat "

// flashSpec is the vessel of the source list's cases: 2.4 m by 8 m when it has 39.81 m³, feed 80 °C.
func flashSpec(hotBarA, headerBarA, fill float64, feed FeedChoice) Spec {
	return Spec{
		Working: steam.BarAbs(hotBarA), Header: steam.BarAbs(headerBarA), FeedwaterC: 80, Feed: feed,
		FillFrac: fill, LengthPerDiameter: 8 / 2.4,
		InsulationM: 0.2, InsulationWMK: 0.055, OutsideWM2K: 10,
	}
}

func exchangerSpec() Spec {
	s := flashSpec(20, 6, 0.9, WhileDischarging)
	s.Discharge, s.SupplyC, s.ApproachK, s.LimitKW = Exchanger, 140, 8, 2000
	return s
}

func mustNew(t testing.TB, s Spec) Vessel {
	t.Helper()
	v, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func limitsOf(t testing.TB, v Vessel, volumeM3 float64) Limits {
	t.Helper()
	l, err := v.Limits(volumeM3)
	if err != nil {
		t.Fatal(err)
	}
	return l
}
