package sky

import (
	"math"
	"strings"
	"testing"
	"time"
)

func TestPlaceCheck(t *testing.T) {
	rows := []struct {
		p    Place
		want string
		src  string
	}{
		{Place{38.7, 29.1, 470, 3 * time.Hour}, "", "Anatolia keeps UTC+3, an hour ahead of its sun"},
		{Place{39.5, 76, 1290, 8 * time.Hour}, "", "western China keeps UTC+8, 2.9 h ahead"},
		{Place{1.9, -157.4, 3, 14 * time.Hour}, "", "Line Islands: UTC+14 at 157 W, beyond the date line"},
		{Place{-21.2, -175.2, 3, 13 * time.Hour}, "", "Tonga: UTC+13 at 175 W"},
		{Place{32.2, 110.9, 809, -7 * time.Hour}, "UTC offset: is -7 h at longitude 110.9; want about +7 h", "a lost sign"},
		{Place{91, 0, 0, 0}, "latitude: is 91", "by definition"},
		{Place{0, -181, 0, -12 * time.Hour}, "longitude: is -181", "by definition"},
		{Place{0, 0, 9000, 0}, "elevation: is 9000; want -450 to 6000 m", "no plant stands there"},
		{Place{0, math.NaN(), 0, 0}, "longitude: is NaN", "NaN is no place"},
		{Place{0, 0, math.NaN(), 0}, "elevation: is NaN", "NaN is no place"},
	}
	for _, r := range rows {
		err := r.p.Check()
		if (err == nil) != (r.want == "") || err != nil && !strings.Contains(err.Error(), r.want) {
			t.Errorf("%+v: %v; want %q (%s)", r.p, err, r.want, r.src)
		}
	}
}

func TestDistance(t *testing.T) {
	rows := []struct {
		a, b Place
		want float64
		src  string
	}{
		{Place{}, Place{LatDeg: 90}, math.Pi / 2 * 6371, "by hand: a quarter of the circle"},
		{Place{LonDeg: 179}, Place{LonDeg: -179}, math.Pi / 90 * 6371, "by hand: 2 deg over the date line"},
		{Place{LatDeg: 60}, Place{LatDeg: 60, LonDeg: 0.1}, math.Pi / 1800 * 6371 / 2, "by hand: half the circle of the equator at 60 deg"},
		{golden, golden, 0, "by hand"},
	}
	for _, r := range rows {
		near(t, "distance", r.a.distanceKM(r.b), r.want, 0.01, r.src)
	}
}
