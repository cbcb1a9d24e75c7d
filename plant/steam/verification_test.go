package steam

import (
	"errors"
	"math"
	"testing"
)

// cited stops a row that names no source.
func cited(t *testing.T, src string) {
	t.Helper()
	if src == "" {
		t.Fatal("row without a source")
	}
}

// near compares, absolute tolerance, and prints the source of a failure.
func near(t *testing.T, what string, got, want, tol float64, src string) {
	t.Helper()
	cited(t, src)
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g; want %.10g within %.2g (%s)", what, got, want, tol, src)
	}
}

// nineDigits is half a unit in the ninth printed digit, as a fraction: 5e-9 of a number that begins with 1.
const nineDigits = 5e-9

func TestVerificationStates(t *testing.T) {
	for _, c := range []struct {
		f                 func(Pressure, float64) (Props, error)
		tK, pMPa          float64
		v, h, u, s, cp, w float64
		src               string
	}{
		{Liquid, 300, 3, 0.100215168e-2, 0.115331273e3, 0.112324818e3, 0.392294792, 0.417301218e1, 0.150773921e4, "IAPWS R7-97(2012) table 5"},
		{Liquid, 300, 80, 0.971180894e-3, 0.184142828e3, 0.106448356e3, 0.368563852, 0.401008987e1, 0.163469054e4, "IAPWS R7-97(2012) table 5"},
		{Liquid, 500, 3, 0.120241800e-2, 0.975542239e3, 0.971934985e3, 0.258041912e1, 0.465580682e1, 0.124071337e4, "IAPWS R7-97(2012) table 5"},
		{Vapour, 300, 0.0035, 0.394913866e2, 0.254991145e4, 0.241169160e4, 0.852238967e1, 0.191300162e1, 0.427920172e3, "IAPWS R7-97(2012) table 15"},
		{Vapour, 700, 0.0035, 0.923015898e2, 0.333568375e4, 0.301262819e4, 0.101749996e2, 0.208141274e1, 0.644289068e3, "IAPWS R7-97(2012) table 15"},
		{Vapour, 700, 30, 0.542946619e-2, 0.263149474e4, 0.246861076e4, 0.517540298e1, 0.103505092e2, 0.480386523e3, "IAPWS R7-97(2012) table 15"},
	} {
		p, err := c.f(BarAbs(c.pMPa*10), c.tK-zeroC)
		if err != nil {
			t.Errorf("%g MPa, %g K: %v", c.pMPa, c.tK, err)
			continue
		}
		for _, q := range []struct {
			what      string
			got, want float64
		}{{"v", p.VM3Kg, c.v}, {"h", p.HKJKg, c.h}, {"u", p.UKJKg, c.u}, {"s", p.SKJKgK, c.s}, {"cp", p.CpKJKgK, c.cp}, {"w", p.SoundMS, c.w}} {
			near(t, q.what, q.got, q.want, nineDigits*q.want, c.src)
		}
	}
}

func TestVerificationSaturation(t *testing.T) {
	for _, c := range []struct {
		tK, pMPa float64
		src      string
	}{
		{300, 0.353658941e-2, "IAPWS R7-97(2012) table 35"},
		{500, 0.263889776e1, "IAPWS R7-97(2012) table 35"},
		{600, 0.123443146e2, "IAPWS R7-97(2012) table 35"},
	} {
		p, err := SatPressure(c.tK - zeroC)
		if err != nil {
			t.Error(err)
		}
		near(t, "psat", p.BarAbs()/10, c.pMPa, nineDigits*c.pMPa, c.src)
	}
	for _, c := range []struct {
		pMPa, tK float64
		src      string
	}{
		{0.1, 0.372755919e3, "IAPWS R7-97(2012) table 36"},
		{1, 0.453035632e3, "IAPWS R7-97(2012) table 36"},
		{10, 0.584149488e3, "IAPWS R7-97(2012) table 36"},
	} {
		tC, err := SatTemp(BarAbs(c.pMPa * 10))
		if err != nil {
			t.Error(err)
		}
		near(t, "Tsat", tC+zeroC, c.tK, 5e-7, c.src)
	}
	near(t, "boundary of regions 2 and 3 at 623.15 K", b23MPa(623.15), 16.5291643, 5e-8, "IAPWS R7-97(2012) section 4, check value")
}

// The release's backward equation T(p,h) gives temperatures whose enthalpy by the forward equation is the one asked,
// within the 25 mK the release allows between the two.
func TestVerificationBackwardByForward(t *testing.T) {
	const why = 0.025 // K, R7-97(2012) section 5.2
	for _, c := range []struct {
		pMPa, hKJKg, tK float64
		src             string
	}{
		{3, 500, 391.798509, "IAPWS R7-97(2012) table 7"},
		{80, 500, 378.108626, "IAPWS R7-97(2012) table 7"},
		{80, 1500, 611.041229, "IAPWS R7-97(2012) table 7"},
	} {
		p, err := Liquid(BarAbs(c.pMPa*10), c.tK-zeroC)
		if err != nil {
			t.Error(err)
		}
		near(t, "h", p.HKJKg, c.hKJKg, why*p.CpKJKgK, c.src)
	}
}

// The release prints exponents as whole numbers; the loops use them as indices.
func TestTablesFitTheirPowers(t *testing.T) {
	for k, x := range region1 {
		if x.i != math.Trunc(x.i) || x.j != math.Trunc(x.j) || x.i < 0 || x.i > topI1 || x.j < -lowJ1 || x.j > topJ1 {
			t.Errorf("region 1 term %d: exponents %g, %g", k+1, x.i, x.j)
		}
	}
	for k, x := range region2residual {
		if x.i != math.Trunc(x.i) || x.j != math.Trunc(x.j) || x.i < 1 || x.i > topI2 || x.j < 0 || x.j > topJ2 {
			t.Errorf("region 2 term %d: exponents %g, %g", k+1, x.i, x.j)
		}
	}
}

func TestRangeErrors(t *testing.T) {
	for _, c := range []struct {
		f    func() error
		want string
		src  string
	}{
		{func() error { _, err := SatTemp(Pressure{}); return err }, "steam: pressure of saturation: not set; want 0.00611213 to 220.64 bar(a)", "R7-97(2012) figure 1"},
		{func() error { _, err := SatTemp(BarAbs(300)); return err }, "steam: pressure of saturation: 300 bar(a); want 0.00611213 to 220.64 bar(a)", "R7-97(2012) figure 1"},
		{func() error { _, err := SatTemp(BarGauge(6, 0)); return err }, "steam: pressure of saturation: NaN bar(a); want 0.00611213 to 220.64 bar(a)", "gauge without the air's pressure is no pressure"},
		{func() error { _, err := SatPressure(374); return err }, "steam: temperature of saturation: 374 °C; want 0 to 373.946 °C", "R7-97(2012) figure 1"},
		{func() error { _, err := SatPressure(math.NaN()); return err }, "steam: temperature of saturation: NaN °C; want 0 to 373.946 °C", "R7-97(2012) figure 1"},
		{func() error { _, err := SaturatedAt(350.01); return err }, "steam: temperature of both phases: 350.01 °C; want 0 to 350 °C", "R7-97(2012) figure 1"},
		{func() error { _, err := SaturatedUnder(BarAbs(166)); return err }, "steam: pressure of both phases: 166 bar(a); want 0.00611213 to 165.292 bar(a)", "R7-97(2012) figure 1"},
		{func() error { _, err := Liquid(BarAbs(7), 170); return err }, "steam: temperature of liquid water under 7 bar(a): 170 °C; want 0 to 164.953 °C", "it boils"},
		{func() error { _, err := Liquid(BarAbs(1001), 20); return err }, "steam: pressure of liquid water: 1001 bar(a); want 0.00611213 to 1000 bar(a)", "R7-97(2012) figure 1"},
		{func() error { _, err := Liquid(BarAbs(7), -1); return err }, "steam: temperature of liquid water: -1 °C; want 0 to 350 °C", "R7-97(2012) figure 1"},
		{func() error { _, err := Vapour(BarAbs(7), 160); return err }, "steam: pressure of steam at this temperature: 7 bar(a); want 0 to 6.18139 bar(a)", "it condenses"},
		{func() error { _, err := Vapour(BarAbs(200), 360); return err }, "steam: pressure of steam at this temperature: 200 bar(a); want 0 to 176.627 bar(a)", "R7-97(2012) eq. (5): region 3"},
		{func() error { _, err := Vapour(BarAbs(7), 801); return err }, "steam: temperature of steam: 801 °C; want 0 to 800 °C", "R7-97(2012) figure 1"},
		{func() error { _, err := FlashFraction(BarAbs(2), BarAbs(3)); return err }, "steam: flash: lower pressure 3 bar(a) is above the upper 2 bar(a); want it the other way round", "no steam flashes upwards"},
	} {
		cited(t, c.src)
		err := c.f()
		if err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s (%s)", err, c.want, c.src)
		}
	}
	_, err := SaturatedAt(400)
	var r *RangeError
	if !errors.As(err, &r) || r.Value != 400 || r.Low != 0 || r.High != 350 {
		t.Errorf("error carries %+v; want the value and the range", r)
	}
	_, err = FlashFraction(BarAbs(300), BarAbs(1))
	if !errors.As(err, &r) || r.Value != 300 {
		t.Errorf("flash wraps %v; want the RangeError of the upper pressure", err)
	}
}

func TestPressure(t *testing.T) {
	for _, c := range []struct {
		p    Pressure
		barA float64
		src  string
	}{
		{BarAbs(7), 7, "definition"},
		{BarGauge(6, 1.01325), 7.01325, "style.md 2.3: 6 bar(g) is 7.01 bar(a) at sea level"},
		{BarGauge(6, 0.845), 6.845, "style.md 2.3: 6.85 at 1500 m"},
		{BarAbs(7).Plus(-0.5), 6.5, "arithmetic"},
	} {
		near(t, "pressure", c.p.BarAbs(), c.barA, 1e-12, c.src)
		if !c.p.Valid() {
			t.Errorf("%v is not valid (%s)", c.p, c.src)
		}
	}
	for _, p := range []Pressure{{}, BarAbs(0), BarAbs(-1), BarAbs(math.NaN()), BarAbs(math.Inf(1)), BarGauge(6, 0), BarGauge(-2, 1), Pressure{}.Plus(3)} {
		if p.Valid() {
			t.Errorf("%v is valid; want not", p)
		}
	}
	near(t, "gauge", BarAbs(7).BarGauge(1.01325), 5.98675, 1e-12, "arithmetic")
	if s := BarAbs(7).String(); s != "7 bar(a)" {
		t.Errorf("String is %q", s)
	}
}
