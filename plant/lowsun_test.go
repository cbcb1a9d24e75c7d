package plant

import (
	"math"
	"testing"
)

// The best small test of low-sun handling: the middle of the hour gives a beam ratio of 44, the true ratio of the hour is 4.6.
func TestBeamRatioAtSunrise(t *testing.T) {
	const src = "Duffie & Beckman example 2.14.1: lat 45, slope 60, 4 Mar, 6-7 h; values evaluated in double precision with numpy"
	wall := Collector{Tracking: Fixed, SlopeDeg: 60, AzimuthDeg: 180}
	m := mountOf(&wall)
	z, a := sunOf(45, -7.1504, -82.5)
	middle := rayTo(z, a)
	cos, _ := m.meet(middle)
	near(t, "ratio at 6:30", cos/middle.up, 44.17, 0.05, src)
	lit, share := siteAt(45).sunlit(middle, 7.5)
	cos, _ = m.meet(lit)
	near(t, "ratio over the sunlit part", cos/lit.up, 4.610, 0.005*4.610, src)
	near(t, "sunlit share of the hour", share, (82.793-75)/15, 1e-4, src+": sunrise hour angle -82.793°")
}

// Over a whole year at every latitude outside the polar circles the sun of a fixed declination curve is up half the time.
func TestSunlitHours(t *testing.T) {
	const src = "half of 8760 h, exact; checked in a public table at 0, 20, 40 and 60°"
	for _, lat := range []float64{-35, 0, 20, 40, 60} {
		hours := 0.0
		for n := 1; n <= 365; n++ {
			dec := 23.45 * math.Sin(radians(360*float64(284+n)/365))
			for hour := -172.5; hour < 180; hour += 15 {
				_, share := siteAt(lat).sunlit(rayTo(sunOf(lat, dec, hour)), 7.5)
				hours += share
			}
		}
		near(t, "sunlit hours", hours, 4380, 1e-6, src)
	}
}

// The sun that sunlit gives is up, on the day's own path, inside the step, and stays where it is in the middle of the day.
func TestSunlitStaysInStep(t *testing.T) {
	for _, lat := range []float64{-89, -66.5, -40, 0, 23, 52, 66.5, 80} {
		for dec := -23.4; dec <= 23.4; dec += 2.6 {
			for hour := -179.0; hour <= 180; hour += 7 {
				for _, half := range []float64{7.5, 3.75, 0.125} {
					was := rayTo(sunOf(lat, dec, hour))
					lit, share := siteAt(lat).sunlit(was, half)
					if share < 0 || share > 1+1e-12 {
						t.Fatalf("lat %g dec %g hour %g: share %g", lat, dec, hour, share)
					}
					if share == 0 {
						continue
					}
					if lit.up <= 0 {
						t.Fatalf("lat %g dec %g hour %g: lit sun at %g", lat, dec, hour, lit.up)
					}
					if turn := degrees(math.Acos(min(1, was.dot(lit)))); turn > half+1e-6 {
						t.Fatalf("lat %g dec %g hour %g: moved %g° in a half step of %g°", lat, dec, hour, turn, half)
					}
					if share > 1-1e-12 && was.dot(lit) < 1-1e-12 {
						t.Fatalf("lat %g dec %g hour %g: moved although up throughout", lat, dec, hour)
					}
				}
			}
		}
	}
}
