package storage

import (
	"math"
	"testing"
)

func TestEnds(t *testing.T) {
	const own = "geometry, computed, checks-heat "
	for _, c := range []struct {
		what                string
		end                 end
		depth, volume, area float64 // over D, D³, D²
		tol                 float64
		src                 string
	}{
		{"ellipsoidal", Ellipsoidal.shape(), 0.25, 0.13089969, 1.08398534, 5.1e-9, own + "4.1.1-4.1.3"},
		{"hemispherical", Hemispherical.shape(), 0.5, 0.26179939, 1.57079633, 5.1e-9, own + "4.1.9"},
		{"flat", Flat.shape(), 0, 0, math.Pi / 4, 1e-15, "a disc"},
		{"Kloepper", Kloepper.shape(), 0.1937742, 0.0989660, 0.9899871, 5.1e-8, "numerical revolution, checks-heat 4.1.5"},
		{"Korbbogen", Korbbogen.shape(), 0.2544727, 0.1307717, 1.0879209, 5.1e-8, "numerical revolution, checks-heat 4.1.6"},
		{"6 % knuckle", torispherical(1, 0.06), 0.1693376, 0.0809990, 0.9305828, 5.1e-8, "numerical revolution, checks-heat 4.1.7"},
		{"hemisphere as torispherical", torispherical(0.5+1e-12, 0.25), 0.5, math.Pi / 12, math.Pi / 2, 1e-5, "a crown of D/2 is a hemisphere"},
	} {
		near(t, c.what+" depth", c.end.depth, c.depth, c.tol, c.src)
		near(t, c.what+" volume", c.end.volume, c.volume, c.tol, c.src)
		near(t, c.what+" area", c.end.area, c.area, c.tol, c.src)
	}
	// The hand formula counts outside diameter and wall; without wall it is 0.1 D³ and 0.1298 D³.
	near(t, "Kloepper hand formula", Kloepper.shape().volume, 0.1, 0.011*0.1, "DIN 28011 hand formula, value from memory, checks-heat 4.1.8")
	near(t, "Korbbogen hand formula", Korbbogen.shape().volume, 0.1298, 0.008*0.1298, "DIN 28013 hand formula, value from memory, checks-heat 4.1.8")
}

// radiusOf is the radius of a torispherical end at the height z above its tangent line.
func radiusOf(r, a float64) func(z float64) float64 {
	depth := torispherical(r, a).depth
	knee := a * (r - depth) / (r - a) // height at which the arcs meet
	return func(z float64) float64 {
		if z <= knee {
			return 0.5 - a + math.Sqrt(a*a-z*z)
		}
		x := z + r - depth
		return math.Sqrt(math.Max(0, r*r-x*x))
	}
}

// A torispherical end fills as a spheroid, near enough: the level of a vessel of L/D 3 with such ends moves by under 0.0002 D.
func TestTorisphericalFill(t *testing.T) {
	for _, c := range []struct {
		r, a float64
		src  string
	}{{1, 0.1, "midpoint rule over circular segments, own"}, {0.8, 0.154, "midpoint rule over circular segments, own"}} {
		e, radius := torispherical(c.r, c.a), radiusOf(c.r, c.a)
		b := bodyOf(3, e)
		for _, x := range []float64{0.2, 0.4, 0.6, 0.8, 0.9} {
			const n = 5000
			m3 := 0.0
			for i := range n {
				r := radius(e.depth * (float64(i) + 0.5) / n)
				m3 += math.Pi * r * r * segment(math.Min(1, math.Max(0, (x-0.5+r)/(2*r)))) * e.depth / n
			}
			fill := (math.Pi/4*b.ratio*segment(x) + 2*m3) / b.solid
			near(t, "level", b.level(fill), x, 0.0002, c.src)
		}
	}
}

// By revolution of the meridian with Simpson's rule: volume and depth of the torispherical form, independent of the closed form.
func TestTorisphericalByRevolution(t *testing.T) {
	for _, c := range []struct {
		r, a float64
		src  string
	}{{1, 0.1, "Simpson's rule, own"}, {0.8, 0.154, "Simpson's rule, own"}} {
		e, radius := torispherical(c.r, c.a), radiusOf(c.r, c.a)
		const n = 20000
		sum := 0.0
		for i := 0; i <= n; i++ {
			w := 2.0 + 2*float64(i%2)
			if i == 0 || i == n {
				w = 1
			}
			r := radius(e.depth * float64(i) / n)
			sum += w * math.Pi * r * r
		}
		near(t, "volume", e.volume, sum*e.depth/n/3, 1e-8, c.src)
	}
}

func TestWholeVessels(t *testing.T) {
	for _, c := range []struct {
		d, straight float64
		ends        Ends
		m3, m2      float64
		src         string
	}{
		{2.4, 8.0, Ellipsoidal, 39.8103, 72.8061, "computed, checks-heat 4.2.1"},
		{2.4, 8.0, Kloepper, 38.9274, 71.7232, "computed, checks-heat 4.2.2"},
		{2.4, 8.0, Korbbogen, 39.8067, 72.8514, "computed, checks-heat 4.2.3"},
		{2.4, 8.0, Hemispherical, 43.4294, 78.4142, "computed, checks-heat 4.2.4"},
		{2.4, 8.0, Flat, 36.1911, 69.3664, "computed, checks-heat 4.2.5"},
		{3.0, 12.0, Ellipsoidal, 91.8916, 132.6091, "computed, checks-heat 4.2.6"},
		{3.0, 12.0, Kloepper, 90.1672, 130.9171, "computed, checks-heat 4.2.7"},
		{3.0, 12.0, Korbbogen, 91.8847, 132.6799, "computed, checks-heat 4.2.8"},
		{3.0, 12.0, Hemispherical, 98.9602, 141.3717, "computed, checks-heat 4.2.9"},
		{3.0, 12.0, Flat, 84.8230, 127.2345, "computed, checks-heat 4.2.10"},
	} {
		s := flashSpec(20, 6, 0.9, WhileCharging)
		s.LengthPerDiameter, s.Ends = c.straight/c.d, c.ends
		l := limitsOf(t, mustNew(t, s), c.m3)
		near(t, "diameter", l.DiameterM, c.d, 1e-5, c.src)
		near(t, "straight length", l.StraightM, c.straight, 5e-5, c.src)
		near(t, "length", l.LengthM, c.straight+2*c.ends.shape().depth*c.d, 1e-4, c.src)
		near(t, "surface", l.SurfaceM2, c.m2, 1.1e-4, c.src)
	}
}

func TestFillAndLevel(t *testing.T) {
	cylinder := bodyOf(3, Flat.shape())
	for _, c := range []struct {
		x, cylinder, end float64
		src              string
	}{
		{0.1, 0.05204402, 0.028, "computed, checks-heat 4.2"},
		{0.25, 0.19550111, 0.15625, "computed, checks-heat 4.2"},
		{0.5, 0.5, 0.5, "computed, checks-heat 4.2"},
		{0.75, 0.80449889, 0.84375, "computed, checks-heat 4.2"},
		{0.9, 0.94795598, 0.972, "computed, checks-heat 4.2"},
	} {
		near(t, "cylinder", cylinder.filled(c.x), c.cylinder, 5.1e-9, c.src)
		near(t, "ends", bodyOf(0, Ellipsoidal.shape()).filled(c.x), c.end, 5.1e-9, c.src)
		near(t, "sphere", bodyOf(0, Hemispherical.shape()).filled(c.x), c.end, 5.1e-9, "a sphere fills as a spheroid")
	}
	for _, c := range []struct {
		fill, level, width float64
		src                string
	}{
		{0.90, 0.84352441, 0.726611, "computed, checks-heat 4.2, inverse"},
		{0.75, 0.70198638, 0.914771, "computed, checks-heat 4.2, inverse"},
	} {
		x := cylinder.level(c.fill)
		near(t, "level", x, c.level, 5.1e-9, c.src)
		near(t, "width", cylinder.waterSkin(x)/cylinder.ratio, c.width, 5.1e-7, c.src)
	}
	for _, e := range []Ends{Ellipsoidal, Hemispherical, Flat, Kloepper, Korbbogen} {
		b := bodyOf(3, e.shape())
		near(t, "empty", b.filled(0), 0, 1e-15, "an empty vessel")
		near(t, "full", b.filled(1), 1, 1e-14, "a full vessel")
		for fill := 0.02; fill < 1; fill += 0.02 {
			near(t, "round trip", b.filled(b.level(fill)), fill, 1e-12, "inverse")
		}
	}
}
