package plant

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func horizonOf(t testing.TB, points ...HorizonPoint) *Horizon {
	t.Helper()
	h, err := NewHorizon(points)
	if err != nil {
		t.Fatal(err)
	}
	return &h
}

func TestHorizonLine(t *testing.T) {
	const src = "straight lines by hand"
	h := horizonOf(t, HorizonPoint{270, 10}, HorizonPoint{90, 5}, HorizonPoint{180, 0})
	for _, row := range []struct{ azimuth, want float64 }{
		{90, 5}, {135, 2.5}, {180, 0}, {225, 5}, {270, 10}, {0, 7.5}, {360, 7.5}, {315, 8.75}, {45, 6.25}, {-45, 8.75}, {765, 6.25},
	} {
		near(t, "height", h.HeightDeg(row.azimuth), row.want, 1e-12, src)
	}
	near(t, "one point", horizonOf(t, HorizonPoint{77, 3}).HeightDeg(200), 3, 0, "the same all round")
	near(t, "level", new(Horizon).HeightDeg(200), 0, 0, "no points")
	if !horizonOf(t).Level() || !horizonOf(t, HorizonPoint{10, 0}).Level() || h.Level() || !(*Horizon)(nil).Level() {
		t.Error("Level is wrong of one of four lines")
	}
}

// A long wall, seen from 10 m before its middle: the book draws it on a solar chart by its angles at three azimuths.
func TestHorizonWall(t *testing.T) {
	const src = "Duffie & Beckman example 1.9.1 (wall 2.5 m over the collector, 10 m to the south of it), value from memory"
	var points []HorizonPoint
	for a := 100.; a <= 260; a += 5 {
		points = append(points, HorizonPoint{a, degrees(math.Atan(2.5 / 10 * math.Cos(radians(a-180))))})
	}
	h := horizonOf(t, append(points, HorizonPoint{90, 0}, HorizonPoint{270, 0})...)
	for _, row := range []struct{ azimuth, want float64 }{{180, 14.0}, {225, 10.0}, {240, 7.1}} {
		near(t, "height of the wall", h.HeightDeg(row.azimuth), row.want, 0.051, src)
	}
}

func TestHorizonSky(t *testing.T) {
	level := horizonOf(t)
	for _, slope := range []float64{0, 30, 60, 90} {
		near(t, "level", level.SkyFrac(slope, 200), (1+math.Cos(radians(slope)))/2, 1e-5, "(1 + cos slope)/2, Duffie & Beckman 2.15")
	}
	for _, height := range []float64{1, 10, 40, 80} {
		round := horizonOf(t, HorizonPoint{0, height})
		cos := math.Cos(radians(height))
		near(t, "a bowl seen from a level plane", round.SkyFrac(0, 0), cos*cos, 1e-5, "cos² of its height, closed form")
		near(t, "a bowl seen from a wall", round.SkyFrac(90, 33), 0.5-height/180-math.Sin(radians(2*height))/(2*math.Pi), 1e-5,
			"1/2 - h/π - sin 2h/(2π), closed form")
	}
	// Random lines and planes, by directions that fall evenly on the plane.
	rnd := rand.New(rand.NewPCG(31, 1))
	const rays = 20000
	for range 40 {
		h := randomHorizon(t, rnd)
		slope, azimuth := 90*rnd.Float64(), 360*rnd.Float64()
		m := mountOf(&Collector{Tracking: Fixed, SlopeDeg: slope, AzimuthDeg: azimuth})
		seen := 0
		for range rays {
			r, turn := math.Sqrt(rnd.Float64()), 2*math.Pi*rnd.Float64()
			x, y, z := r*math.Cos(turn), r*math.Sin(turn), math.Sqrt(1-r*r)
			d := ray{
				x*m.cross.east + y*m.up.east + z*m.normal.east,
				x*m.cross.north + y*m.up.north + z*m.normal.north,
				x*m.cross.up + y*m.up.up + z*m.normal.up,
			}
			if d.up > 0 && h.over(d) > 0 {
				seen++
			}
		}
		near(t, "sky", h.SkyFrac(slope, azimuth), float64(seen)/rays, 4.5*0.5/math.Sqrt(rays), "20 000 random rays, 4.5 sigma")
	}
}

func randomHorizon(t testing.TB, rnd *rand.Rand) *Horizon {
	var points []HorizonPoint
	for k := range 1 + rnd.IntN(12) {
		points = append(points, HorizonPoint{float64(k)*30 + 29*rnd.Float64(), 25 * rnd.Float64() * rnd.Float64()})
	}
	return horizonOf(t, points...)
}

// The lit share of a step against the sun second by second.
func TestHorizonOpens(t *testing.T) {
	rnd := rand.New(rand.NewPCG(32, 1))
	partly := 0
	for k := range 6000 {
		h := randomHorizon(t, rnd)
		p := siteAt(120*rnd.Float64() - 60)
		half := []float64{7.5, 3.75, 1.875}[k%3]
		dec, hour := radians(46.9*rnd.Float64()-23.45), radians(360*rnd.Float64()-180)
		way := path{site: p, sinDec: math.Sin(dec), cosDec: math.Cos(dec)}
		s := way.at(hour)
		lit, up := p.sunlit(s, half)
		if up == 0 || math.Abs(h.over(s)) > 8 && k%10 != 0 {
			continue
		}
		got, share := h.open(p, s, lit, half)
		const n = 1000
		over, middle, sunUp := 0., 0., 0.
		for i := range n {
			w := hour + radians(half)*(2*(float64(i)+0.5)/n-1)
			x := way.at(w)
			if x.up > 0 {
				sunUp++
				if h.over(x) > 0 {
					over++
					middle += w
				}
			}
		}
		if over > 0 && over < sunUp {
			partly++
		}
		near(t, "lit share", share, over/sunUp, 0.01, "1000 suns in the step")
		if over > 0.05*n && share > 0 {
			want := way.at(middle / over)
			near(t, "lit middle", math.Acos(min(1, got.dot(want))), 0, radians(0.1), "the mean hour of the lit ones")
		}
		if t.Failed() {
			t.Fatalf("instant %d: horizon %v, latitude sine %g", k, h.points, p.sinLat)
		}
	}
	if partly < 200 {
		t.Errorf("%d steps are lit in part; want enough of them", partly)
	}
}

func TestHorizonFaults(t *testing.T) {
	for _, row := range []struct {
		points []HorizonPoint
		want   string
	}{
		{[]HorizonPoint{{360, 1}}, "horizon: azimuth: is 360°; want 0 to below 360, from north clockwise"},
		{[]HorizonPoint{{10, -1}}, "horizon: height: is -1° at azimuth 10°; want 0 (level) to below 90"},
		{[]HorizonPoint{{10, math.NaN()}}, "horizon: height: is NaN° at azimuth 10°"},
		{[]HorizonPoint{{10, 1}, {20, 2}, {10, 3}}, "horizon: azimuth: of 10° stands twice; want one height there"},
	} {
		if _, err := NewHorizon(row.points); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
}
