package plant

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestEndLoss(t *testing.T) {
	const form = "1 - (f/L) tan θ, Rabl 1985 (formula from memory), evaluated with numpy"
	for _, row := range []struct{ focal, length, theta, left float64 }{
		{1, 12, 20, 0.969669}, {1, 12, 45, 0.916667}, {1.84, 48, 30, 0.977868}, {1.84, 96, 50, 0.977158}, {1, 12, 0, 1},
	} {
		e := Ends{LengthM: row.length, FocalM: row.focal}
		near(t, "light left", 1-e.LossFrac(row.theta), row.left, 5e-7, form)
	}
	wide := Ends{LengthM: 12, FocalM: 1, WidthM: 2.3}
	near(t, "mean distance to the focal line", 12*wide.LossFrac(45), 1.110208, 5e-7, "f (1 + W²/(48 f²)), evaluated with numpy")
	near(t, "grazing", wide.LossFrac(90), 1, 0, "all passes the end")
	near(t, "none set", Ends{}.LossFrac(60), 0, 0, "no end, no loss")
}

// Rays off a parabola, each followed to the focal line, with the receivers of a row below each other.
func TestEndLossAgainstRays(t *testing.T) {
	unraced(t)
	rnd := rand.New(rand.NewPCG(41, 1))
	for k := range 200 {
		e := Ends{LengthM: 4 + 20*rnd.Float64(), FocalM: 0.5 + 2*rnd.Float64()}
		e.WidthM = e.FocalM * 3 * rnd.Float64()
		gap := 0.
		if k%2 == 0 {
			e.InRow, e.GapM = 2+rnd.IntN(3), 0.8*rnd.Float64()
			gap = e.GapM
		}
		theta := 75 * rnd.Float64()
		lost := lostRays(e, max(1, e.InRow), gap, radians(theta))
		// Five strips see a bend, where part of the mirror slips past a receiver's end, less sharply than 200.
		near(t, "lost", e.LossFrac(theta), lost, 0.006, "rays off 200 strips of a parabola")
		if t.Failed() {
			t.Fatalf("%+v at %g°", e, theta)
		}
	}
}

// lostRays sends beam with a slant along the axis onto mirrors end to end and follows it in three dimensions.
func lostRays(e Ends, mirrors int, gap, theta float64) float64 {
	const strips, places = 200, 400
	lost := 0
	in := [3]float64{0, -math.Cos(theta), math.Sin(theta)} // across, down, along
	for i := range strips {
		x := e.WidthM * ((float64(i)+0.5)/strips - 0.5)
		y := x * x / (4 * e.FocalM)
		// Normal of the parabola, and the mirrored ray.
		n := [3]float64{-x / (2 * e.FocalM), 1, 0}
		size := math.Hypot(n[0], n[1])
		n[0], n[1] = n[0]/size, n[1]/size
		dot := in[0]*n[0] + in[1]*n[1]
		out := [3]float64{in[0] - 2*dot*n[0], in[1] - 2*dot*n[1], in[2]}
		way := (e.FocalM - y) / out[1]
		if math.Abs(out[1]) < 1e-9 {
			way = -x / out[0]
		}
		slip := way * out[2]
		for m := range mirrors {
			for j := range places {
				z := float64(m)*(e.LengthM+gap) + e.LengthM*(float64(j)+0.5)/places + slip
				at := math.Mod(z, e.LengthM+gap)
				if z > float64(mirrors)*(e.LengthM+gap)-gap || at > e.LengthM {
					lost++
				}
			}
		}
	}
	return float64(lost) / float64(strips*places*mirrors)
}

func TestEndsFaults(t *testing.T) {
	trough := Collector{Tracking: AxisNorthSouth}
	for _, row := range []struct {
		e    Ends
		c    Collector
		want string
	}{
		{Ends{LengthM: 12}, trough, "ends: focal length: is 0 m; want more than 0"},
		{Ends{FocalM: 1}, trough, "ends: length: is 0 m; want more than 0"},
		{Ends{LengthM: 12, FocalM: 1, WidthM: 9}, trough, "ends: width: is 9 m with a focal length of 1 m; want 0 to 8 times it"},
		{Ends{LengthM: 12, FocalM: 1, GapM: -1}, trough, "ends: gap: is -1 m; want 0 or more"},
		{Ends{LengthM: 12, FocalM: 1}, Collector{Tracking: TwoAxis}, "ends: ends: are given for a two-axis collector; want them for one that turns about one axis"},
	} {
		if err := row.e.Check(row.c); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
	if err := (Ends{}).Check(Collector{Tracking: Fixed}); err != nil {
		t.Errorf("no ends at all: %v", err)
	}
}
