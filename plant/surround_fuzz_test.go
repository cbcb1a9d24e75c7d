package plant

import (
	"math"
	"testing"
)

// Any grid, rows, ends and line that pass their checks take a share between none and all, and allow a sum that is finite.
func FuzzSurround(f *testing.F) {
	f.Add(18., 15., 10.7, true, true, 6, 24, 70., 120., 5., 12.)
	f.Add(1e-3, 1e4, 1e-3, false, false, 1, 3, 89.9999999, 90., 0., 0.)
	f.Add(12., 12., 12., true, false, 40, 300, 90., 0., 40., 1e-300)
	f.Fuzz(func(t *testing.T, east, north, diameter float64, staggered, shorter bool, columns, count int, zenith, azimuth, height, length float64) {
		if math.Abs(zenith) > 180 || math.Abs(azimuth) > 1e6 || count > 400 {
			return
		}
		share := func(what string, got float64) {
			if !(got >= -1e-12 && got <= 1+1e-12) { // a rounding beyond is none of light
				t.Errorf("%s takes %g of the light", what, got)
			}
		}
		g := Grid{EastM: east, NorthM: north, Staggered: staggered, Shorter: shorter, Columns: columns, Count: count, DiameterM: diameter}
		if g.Check(Collector{Tracking: TwoAxis}) == nil {
			share("grid", g.Shaded(zenith, azimuth))
			ground := Ground{EastM: min(1e3, 10*east), NorthM: min(1e3, 10*north), BorderM: 1}
			if full := ground.Dishes(g); full.Count < 0 || full.Count > 0 && full.Rows() < 1 {
				t.Errorf("%+v holds %+v", ground, full)
			}
		}
		for _, tr := range []Tracking{AxisNorthSouth, AxisEastWest, Fixed, FresnelNorthSouth, FresnelEastWest} {
			c := Collector{Tracking: tr, SlopeDeg: 40, AzimuthDeg: 190}
			r := Rows{SpacingM: east, WidthM: diameter, Count: count, LengthM: length}
			if r.Check(c) == nil {
				share("rows", r.Shaded(c, zenith, azimuth))
				sky, ground := r.views(math.Abs(math.Cos(zenith)))
				share("sky", sky)
				share("ground", ground)
			}
			if e := (Ends{LengthM: length, FocalM: diameter, WidthM: east, InRow: columns}); e.Check(c) == nil && columns < 1000 {
				share("ends", e.LossFrac(zenith))
			}
		}
		if h, err := NewHorizon([]HorizonPoint{{math.Mod(math.Abs(azimuth), 360), height}, {10, 5}}); err == nil {
			share("horizon", 1-h.SkyFrac(math.Mod(math.Abs(zenith), 90), 30))
			p := siteAt(math.Mod(zenith, 90))
			s := rayTo(zenith, azimuth)
			if lit, up := p.sunlit(s, 7.5); up > 0 {
				_, open := h.open(p, s, lit, 7.5)
				share("horizon", open)
			}
		}
	})
}
