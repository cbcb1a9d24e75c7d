package plant

import (
	"math"
	"testing"
)

func TestOneAxisTracking(t *testing.T) {
	const src = "two independent routes agreeing to the digits: a public solar library's single-axis tracker, and Duffie & Beckman 1.7"
	ns, ew := Collector{Tracking: AxisNorthSouth}, Collector{Tracking: AxisEastWest}
	for _, row := range []struct{ z, a, nsTurn, nsTheta, nsCos, ewTurn, ewTheta, ewCos float64 }{
		{30, 120, 26.5651, 14.4775, 0.968246, 16.1021, 25.6589, 0.901388},
		{50.111622, 194.340241, -16.5068, 48.0208, 0.668861, 49.2168, 10.9553, 0.981776},
		{60, 270, -60, 0, 1, 0, 60, 0.5},
		{70, 100, 69.7164, 9.3913, 0.986597, 25.5056, 67.7313, 0.378951},
		{45, 180, 0, 45, 0.707107, 45, 0, 1},
		{80, 240, -78.4916, 29.4987, 0.870367, 70.5746, 58.5251, 0.522126},
		{20, 0, 0, 20, 0.939693, -20, 0, 1},
	} {
		for _, got := range []struct {
			name                       string
			in                         Incidence
			turn, theta, cos, slopeDeg float64
		}{
			{"north-south", ns.Aim(row.z, row.a), row.nsTurn, row.nsTheta, row.nsCos, math.Abs(row.nsTurn)},
			{"east-west", ew.Aim(row.z, row.a), row.ewTurn, row.ewTheta, row.ewCos, math.Abs(row.ewTurn)},
		} {
			near(t, got.name+" rotation", got.in.RotationDeg, got.turn, 6e-5, src)
			near(t, got.name+" slope", got.in.SlopeDeg, got.slopeDeg, 6e-5, src)
			near(t, got.name+" incidence", got.in.ThetaDeg, got.theta, 6e-5, src)
			near(t, got.name+" cos", got.in.Cos, got.cos, 6e-7, src)
		}
		two := Collector{Tracking: TwoAxis}.Aim(row.z, row.a)
		near(t, "two-axis cos", two.Cos, 1, 0, "it faces the sun")
		near(t, "two-axis slope", two.SlopeDeg, row.z, 1e-6, "it faces the sun")
	}
}

// sunOf is the textbook sun: zenith and azimuth from north at a latitude, declination and hour angle.
// Duffie & Beckman eqs. 1.6.5 and 1.6.6, written for azimuths from north.
func sunOf(latDeg, decDeg, hourDeg float64) (zenithDeg, azimuthDeg float64) {
	sinP, cosP := math.Sincos(radians(latDeg))
	sinD, cosD := math.Sincos(radians(decDeg))
	sinW, cosW := math.Sincos(radians(hourDeg))
	up := sinD*sinP + cosD*cosW*cosP
	return degrees(math.Acos(max(-1, min(1, up)))), degrees(math.Atan2(-cosD*sinW, sinD*cosP-cosD*cosW*sinP))
}

func TestTextbookIncidence(t *testing.T) {
	const book = "Duffie & Beckman 5th ed., statement read, value evaluated in double precision with numpy; example "
	fixed := func(slope, azimuth float64) Collector {
		return Collector{Tracking: Fixed, SlopeDeg: slope, AzimuthDeg: azimuth}
	}
	for _, row := range []struct {
		c              Collector
		lat, dec, hour float64
		cos, tol       float64
		src            string
	}{
		{fixed(45, 195), 43, -14, -22.5, 0.817384, 6e-7, book + "1.6.1 (printed 0.817)"},
		{fixed(60, 205), 43, -2.4, 60, 0.776533, 2e-5, book + "1.6.3 (Cooper declination rounded in the statement)"},
		{Collector{Tracking: AxisEastWest}, 40, 21.2, 30, math.Cos(radians(27.785)), 1e-5, book + "1.7.1a"},
		{Collector{Tracking: AxisEastWest}, 40, 21.2, 100, math.Cos(radians(66.659)), 1e-5, book + "1.7.1b"},
		{Collector{Tracking: AxisNorthSouth}, 40, 21.2, 30, math.Cos(radians(14.003)), 1e-5, book + "1.7.1, axis turned"},
		{Collector{Tracking: AxisNorthSouth}, 40, 21.2, 100, math.Cos(radians(22.401)), 1e-5, book + "1.7.1, axis turned"},
		{Collector{Tracking: AxisEastWest}, 35, 8.670, 22.5, 0.925679, 1e-5, book + "2.18.2"},
	} {
		in := row.c.Aim(sunOf(row.lat, row.dec, row.hour))
		near(t, "cos of incidence", in.Cos, row.cos, row.tol, row.src)
	}
	for _, row := range []struct {
		t              Tracking
		hour, slopeDeg float64
		src            string
	}{
		{AxisEastWest, 30, 15.873, book + "1.7.1a"},
		{AxisEastWest, 100, 74.118, book + "1.7.1b, the aperture faces north"},
		{AxisNorthSouth, 30, 28.714, book + "1.7.1, axis turned"},
		{AxisNorthSouth, 100, 83.265, book + "1.7.1, axis turned"},
	} {
		near(t, "slope", Collector{Tracking: row.t}.Aim(sunOf(40, 21.2, row.hour)).SlopeDeg, row.slopeDeg, 6e-4, row.src)
	}
	if turn := (Collector{Tracking: AxisEastWest}).Aim(sunOf(40, 21.2, 100)).RotationDeg; turn >= 0 {
		t.Errorf("east-west axis at hour angle 100 turns %g° to the south; want to the north", turn)
	}
	for _, row := range []struct {
		slope, lat, dec, hour, ratio float64
		src                          string
	}{
		{30, 40, -13, -37.5, 1.613626, book + "1.8.2 (printed 1.61)"},
		{50, 40, -13, -37.5, 1.788179, book + "1.8.3 (printed 1.79)"},
	} {
		z, a := sunOf(row.lat, row.dec, row.hour)
		got := fixed(row.slope, 180).Aim(z, a).Cos / math.Cos(radians(z))
		near(t, "beam ratio", got, row.ratio, 1e-6, row.src)
	}
}

func TestSunBehindOrDown(t *testing.T) {
	upright := Collector{Tracking: Fixed, SlopeDeg: 90, AzimuthDeg: 180}
	if in := upright.Aim(60, 0); in.Cos != 0 || in.ThetaDeg != 90 {
		t.Errorf("sun in the north of an upright south wall: cos %g at %g°; want 0 at 90°", in.Cos, in.ThetaDeg)
	}
	for tr := TwoAxis; tr <= Fixed; tr++ {
		if in := (Collector{Tracking: tr}).Aim(95, 90); in.Cos != 0 {
			t.Errorf("%v: sun 5° down: cos %g; want 0", tr, in.Cos)
		}
	}
}

func TestParseTracking(t *testing.T) {
	for tr := TwoAxis; tr <= Fixed; tr++ {
		if got, err := ParseTracking(tr.String()); got != tr || err != nil {
			t.Errorf("ParseTracking(%q) = %v, %v", tr.String(), got, err)
		}
	}
	if got, err := ParseTracking(" North-South "); got != AxisNorthSouth || err != nil {
		t.Errorf("ParseTracking of north-south = %v, %v", got, err)
	}
	for _, bad := range []string{"", "axis", "polar", "two-axis axis axis"} {
		if _, err := ParseTracking(bad); err == nil {
			t.Errorf("ParseTracking(%q) is taken; want an error", bad)
		}
	}
}
