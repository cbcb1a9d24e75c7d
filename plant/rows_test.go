package plant

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

const noRoundEnds = 2. // of two rows one is shaded, so that its own share is twice the mean

func TestRowsShaded(t *testing.T) {
	const computed = "an open solar-resource library's one-dimensional shading, and unshaded = (pitch/width) cos(rotation)"
	const profile = "textbook 1 - pitch sin p/(w sin(slope + p)), evaluated with numpy"
	ns, ew := Collector{Tracking: AxisNorthSouth}, Collector{Tracking: AxisEastWest}
	flat := Collector{Tracking: Fixed, SlopeDeg: 35, AzimuthDeg: 180}
	for _, row := range []struct {
		c                     Collector
		spacing, width        float64
		zenith, azimuth, want float64
		tol                   float64
		src                   string
	}{
		{ns, 15, 5, 75, 270, 0.223543, 5e-7, computed},
		{ns, 12, 5, 75, 270, 0.378834, 5e-7, computed},
		{ns, 6, 2.3, 70, 270, 0.107774, 5e-7, computed},
		{ns, 15, 5, 50, 270, 0, 0, computed},
		{ns, 15, 5, 75, 90, 0.223543, 5e-7, computed + ", morning"},
		{ew, 15, 5, 75, 180, 0.223543, 5e-7, computed + ", axis turned"},
		{ns, 15, 5, 75, 180, 0, 0, "sun along the rows"},
		{flat, 4, 2, 80, 180, 0.5088, 5e-5, profile},
		{flat, 4, 2, 75, 180, 0.3243, 5e-5, profile},
		{flat, 4, 2, 70, 180, 0.1649, 5e-5, profile},
		{flat, 4, 2, 65, 180, 0.0240, 5e-5, profile},
		{flat, 4, 2, 60, 180, 0, 0, profile},
		{flat, 5.9195, 2, 75, 180, 0, 2e-5, "pitch free of shade at a profile angle of 15°: w sin(slope + p)/sin p"},
		{flat, 4, 2, 80, 0, 0, 0, "sun behind"},
		{flat, 4, 2, 100, 180, 0, 0, "sun down"},
	} {
		r := Rows{SpacingM: row.spacing, WidthM: row.width, Count: 2}
		near(t, row.c.Tracking.String(), noRoundEnds*r.Shaded(row.c, row.zenith, row.azimuth), row.want, row.tol, row.src)
		r.Count = 8
		near(t, "of 8 rows", r.Shaded(row.c, row.zenith, row.azimuth), row.want*7/8, row.tol, "7 of 8 rows stand behind another")
		r.Count = 1
		near(t, "one row", r.Shaded(row.c, row.zenith, row.azimuth), 0, 0, "nothing in front")
	}
}

// rayShade asks of points all over the rows whether the way to the sun is free, in three dimensions, row by row.
func rayShade(c Collector, r Rows, s ray, points int) float64 {
	m := mountOf(&c)
	cos, slopeCos := m.meet(s)
	if !(cos > 0) {
		return 0
	}
	var across, along, back ray // unit vectors: up the aperture, along the row, from the front row to the back, level
	switch c.Tracking {
	case AxisNorthSouth:
		across, along, back = ray{-s.up / cos, 0, s.east / cos}, ray{0, 1, 0}, ray{1, 0, 0}
	case AxisEastWest:
		across, along, back = ray{0, -s.up / cos, s.north / cos}, ray{1, 0, 0}, ray{0, 1, 0}
	default:
		across, along = m.up, m.cross
		sin, cosA := math.Sincos(radians(c.AzimuthDeg))
		back = ray{-sin, -cosA, 0}
	}
	normal := m.normalTo(s, cos)
	_ = slopeCos
	length := r.LengthM
	if length == 0 {
		length = 1e7
	}
	shaded := 0
	for row := range r.Count {
		for i := range points {
			u := ((float64(i)+0.5)/float64(points) - 0.5) * r.WidthM
			for j := range points {
				v := ((float64(j)+0.5)/float64(points) - 0.5) * length
				for other := range r.Count {
					if other == row {
						continue
					}
					d := float64(other-row) * r.SpacingM
					// From the point, along s, to the other row's plane: (point + way s - its middle)·normal = 0.
					way := d * back.dot(normal) / s.dot(normal)
					if way <= 1e-9 {
						continue
					}
					x := ray{
						u*across.east + v*along.east + way*s.east - d*back.east,
						u*across.north + v*along.north + way*s.north - d*back.north,
						u*across.up + v*along.up + way*s.up - d*back.up,
					}
					if math.Abs(x.dot(across)) < r.WidthM/2 && math.Abs(x.dot(along)) < length/2 {
						shaded++
						break
					}
				}
			}
		}
	}
	return float64(shaded) / float64(r.Count*points*points)
}

// The closed form against rays, which know of no shadow, over random rows and suns.
func TestRowsAgainstRays(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 1))
	const points = 60
	some := 0
	for k := range 300 {
		c := Collector{Tracking: []Tracking{AxisNorthSouth, AxisEastWest, Fixed}[k%3], SlopeDeg: 5 + 80*rnd.Float64(), AzimuthDeg: 360 * rnd.Float64()}
		r := Rows{WidthM: 1 + 5*rnd.Float64(), Count: 2 + rnd.IntN(4), LengthM: []float64{0, 8, 40}[rnd.IntN(3)]}
		r.SpacingM = r.WidthM * (1 + 2*rnd.Float64())
		s := rayTo(40+49*rnd.Float64(), 360*rnd.Float64())
		z, a := degrees(math.Acos(s.up)), degrees(math.Atan2(s.east, s.north))
		got := r.Shaded(c, z, a)
		if got > 0 {
			some++
		}
		near(t, c.Tracking.String(), got, rayShade(c, r, s, points), 2.5/points, "rays from 3600 points of each row")
		if t.Failed() {
			t.Fatalf("instant %d: %+v, slope %g°, azimuth %g°, sun at %g°, %g°", k, r, c.SlopeDeg, c.AzimuthDeg, z, a)
		}
	}
	if some < 80 {
		t.Errorf("%d of 300 random instants have shade; want enough of them", some)
	}
}

func TestRowsFartherShadeLess(t *testing.T) {
	rnd := rand.New(rand.NewPCG(12, 1))
	for range 2000 {
		c := Collector{Tracking: []Tracking{AxisNorthSouth, AxisEastWest, Fixed}[rnd.IntN(3)], SlopeDeg: 90 * rnd.Float64(), AzimuthDeg: 360 * rnd.Float64()}
		z, a := 89.9*rnd.Float64(), 360*rnd.Float64()
		last := 1.
		for _, spacing := range []float64{2, 2.1, 3, 5, 20, 1e6} {
			r := Rows{SpacingM: spacing, WidthM: 2, Count: 9, LengthM: float64(rnd.IntN(2)) * 1e9}
			got := r.Shaded(c, z, a)
			if got > last+1e-12 || got < 0 {
				t.Fatalf("%v, sun at %g°, %g°: %g shaded %g m apart, %g when closer", c.Tracking, z, a, got, spacing, last)
			}
			last = got
		}
		if last > 0 {
			t.Fatalf("%v, sun at %g°, %g°: %g shaded a thousand kilometres apart", c.Tracking, z, a, last)
		}
		if c.Tracking == Fixed {
			continue
		}
		r := Rows{SpacingM: 5, WidthM: 3, Count: 4, LengthM: 30}
		near(t, "east and west", r.Shaded(c, z, a), r.Shaded(c, z, 360-a), 1e-12, "mirror image")
		near(t, "north and south", r.Shaded(c, z, a), r.Shaded(c, z, 180-a), 1e-12, "mirror image")
	}
}

// The view factors against the whole: what a row sees of sky, of ground, of the row before it is all there is.
func TestRowViews(t *testing.T) {
	const strings = "crossed strings of Hottel, by hand"
	far := Rows{SpacingM: 1e7, WidthM: 2, Count: 1000000}
	sky, ground := far.views(math.Cos(radians(30)))
	near(t, "far sky", sky, (1+math.Cos(radians(30)))/2, 1e-6, "a row alone")
	near(t, "far ground", ground, (1-math.Cos(radians(30)))/2, 1e-6, "a row alone")
	// Upright, as far apart as high: sky (2 - √2)/2, the wall before it √2 - 1, ground (2 - √2)/2: opposite walls of a square.
	square := Rows{SpacingM: 2, WidthM: 2, Count: 1000000}
	sky, ground = square.views(0)
	near(t, "square sky", sky, 1-math.Sqrt2/2, 1e-6, strings)
	near(t, "square ground", ground, 1-math.Sqrt2/2, 1e-6, strings)
	lone := Rows{SpacingM: 2, WidthM: 2, Count: 1}
	sky, ground = lone.views(0.5)
	near(t, "lone sky", sky, 0.75, 1e-15, "(1 + cos slope)/2")
	near(t, "lone ground", ground, 0.25, 1e-15, "(1 - cos slope)/2")
	// By rays in the plane square to the rows: even light makes rays even in the sine of their angle.
	for _, slope := range []float64{0, 20, 45, 70, 90} {
		r := Rows{SpacingM: 3, WidthM: 2, Count: 1 << 40}
		wantSky, wantGround := raysOver(r, radians(slope))
		sky, ground := r.views(math.Cos(radians(slope)))
		near(t, "sky", sky, wantSky, 2e-3, "rays even in the sine of their angle")
		near(t, "ground", ground, wantGround, 2e-3, "rays even in the sine of their angle")
	}
}

// raysOver counts the rays of a row that reach sky and ground past the row before it, in two dimensions.
func raysOver(r Rows, slope float64) (sky, ground float64) {
	const n = 800
	sin, cos := math.Sincos(slope)
	for i := range n {
		// A point of the row, foot at the origin, sloping up to the left; the row before it has its foot at SpacingM.
		along := (float64(i) + 0.5) / n * r.WidthM
		x, y := -along*cos, along*sin
		for j := range n {
			off := 2*(float64(j)+0.5)/n - 1 // sine of the angle from the normal
			up := math.Sqrt(1 - off*off)
			dx, dy := sin*up-cos*off, cos*up+sin*off
			// Where it meets the front row's line: (x + w dx - SpacingM, y + w dy) = l (-cos, sin).
			det := dx*sin + dy*cos
			hit := false
			if math.Abs(det) > 1e-12 {
				w := ((r.SpacingM-x)*sin - y*cos) / det
				l := y + w*dy
				if sin > 0 {
					l /= sin
				}
				hit = w > 1e-9 && l > 0 && l < r.WidthM && sin > 0
			}
			switch {
			case hit:
			case dy > 0:
				sky++
			default:
				ground++
			}
		}
	}
	return sky / (n * n), ground / (n * n)
}

func TestRowsFaults(t *testing.T) {
	flat := Collector{Tracking: Fixed, SlopeDeg: 60, AzimuthDeg: 180}
	for _, row := range []struct {
		r    Rows
		c    Collector
		want string
	}{
		{Rows{SpacingM: 4, WidthM: 5, Count: 2}, Collector{Tracking: AxisNorthSouth}, "rows: row spacing: is 4 m; want at least the row's width of 5 m, or rows that lie level touch"},
		{Rows{SpacingM: 2, WidthM: 5, Count: 2}, flat, "rows: row spacing: is 2 m; want at least the 2.5 m that a row covers on the ground"},
		{Rows{SpacingM: 4, WidthM: 2, Count: 0}, flat, "rows: rows: are 0; want 1 or more"},
		{Rows{SpacingM: math.NaN(), WidthM: 2, Count: 1}, flat, "rows: row spacing: is NaN m"},
		{Rows{SpacingM: 4, Count: 1}, flat, "rows: row width: is 0 m; want more than 0, the aperture across the row"},
		{Rows{SpacingM: 4, WidthM: 2, Count: 1, LengthM: -1}, flat, "rows: row length: is -1 m; want 0 (long) or more"},
		{Rows{SpacingM: 4, WidthM: 2, Count: 1}, Collector{Tracking: TwoAxis}, "rows: rows: are given for a two-axis collector; want a grid for it"},
	} {
		if err := row.r.Check(row.c); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("got %v; want %q", err, row.want)
		}
	}
}
