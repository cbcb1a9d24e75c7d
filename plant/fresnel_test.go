package plant

import (
	"math"
	"testing"
	"time"

	"noonkeep/plant/sky"
)

// The published model of a linear Fresnel field, written out here from its description, angle by angle.
func TestFresnelAgainstPublishedModel(t *testing.T) {
	const src = fresnelSource + "; with true angles of the source's formulas"
	c := kind(t, "linear fresnel")
	worst := 0.
	for elevation := 2.; elevation <= 90; elevation += 4 {
		for azimuth := 0.; azimuth < 360; azimuth += 7 {
			sinE, cosE := math.Sincos(radians(elevation))
			sinA, cosA := math.Sincos(radians(azimuth))
			transDeg := degrees(math.Atan(math.Abs(sinA) * cosE / sinE))
			longDeg := degrees(math.Acos(math.Sqrt(1 - cosE*cosE*cosA*cosA)))
			in := c.Aim(90-elevation, azimuth)
			near(t, "angle across", in.TransDeg, transDeg, 1e-6, src)
			near(t, "angle along", in.LongDeg, longDeg, 1e-5, src)
			kt := 0.995 - 4e-4*transDeg - 3e-5*transDeg*transDeg + 1e-6*math.Pow(transDeg, 3) - 5e-8*math.Pow(transDeg, 4) + 3e-10*math.Pow(transDeg, 5)
			kl := math.Cos(radians(longDeg)) * (1 - 7.4/44.8*math.Tan(radians(longDeg)))
			want := max(0, kt) * max(0, kl)
			got := c.Modifier(in) * in.Cos
			worst = max(worst, math.Abs(got-want))
		}
	}
	near(t, "product of both modifiers, worst", worst, 0, 0.004, src+"; straight lines between whole degrees")
	for _, row := range []struct{ deg, across, along float64 }{
		{0, 0.995, 1}, {20, 0.9760, 0.8832}, {40, 0.8977, 0.6599}, {60, 0.6643, 0.3570}, {80, 0.2180, 0.0110},
	} {
		near(t, "across", tableK(c.IAMT, row.deg), row.across, 6e-5, src)
		near(t, "along", tableK(c.IAM, row.deg), row.along, 6e-5, src)
	}
	near(t, "eta0b", c.Eta0b, 0.935*0.955*0.965*0.725, 5e-4, "the source's reflectance, absorptance, transmittance and geometry")
	near(t, "loss at 150 K, W per m of receiver", 11.46*(c.A1*150+c.A2*150*150), 0.1598*150+0.0057*150*150, 1e-9, fresnelSource)
}

// One still hour by hand: sun in the south at 30° from the zenith, so 30° along and 0° across.
func TestFresnelStepByHand(t *testing.T) {
	const src = "hand calculation with the collector's own tables"
	c := Collector{Tracking: FresnelNorthSouth, Eta0b: 0.6, A1: 0.1,
		IAM: []IAMPoint{{30, 0.9}, {60, 0.5}}, IAMT: []IAMPoint{{30, 0.8}, {60, 0.6}}}
	y := stillYear(t, time.Hour)
	cos := math.Sqrt(3) / 2
	at := func(c Collector) float64 { return 1000 * mustYield(t, clean(c), y, 120).KWM2[17] }
	near(t, "rows north-south", at(c), 0.6*800*cos*0.9-10, 1e-9, src)
	c.Tracking = FresnelEastWest
	near(t, "rows east-west", at(c), 0.6*800*cos*0.8-10, 1e-9, src)
	c.IAMWithCosine = true
	near(t, "cosine in the tables", at(c), 0.6*800*0.8-10, 1e-9, src)
	c.Tracking = FresnelNorthSouth
	for i := range y.Suns { // 45° high in the south-west: 45° from the zenith
		y.Suns[i] = sky.Sun{ZenithDeg: 45, AzimuthDeg: 225}
	}
	// Projected, tan 35.264° = sin 45° tan 45° both ways; by incidence, sin 30° = 0.5 along.
	projected := degrees(math.Atan(math.Sqrt(0.5)))
	across := 0.8 - 0.2*(projected-30)/30
	near(t, "projected", at(c), 0.6*800*across*(0.9-0.4*(projected-30)/30)-10, 1e-9, src)
	c.IAMAtIncidence = true
	near(t, "at incidence", at(c), 0.6*800*across*0.9-10, 1e-9, src)
}

func TestFresnelFaults(t *testing.T) {
	c := kind(t, "linear fresnel")
	c.IAMT = nil
	wantFault(t, c, `collector "linear fresnel": incidence modifier: has not both tables; want one along and one across, for level mirrors do not face the sun`)
	d := kind(t, "trough")
	d.IAMWithCosine = true
	wantFault(t, d, `collector "trough": incidence modifier: is given in a linear Fresnel collector's way for north-south axis; want that for none but those`)
}

func wantFault(t *testing.T, c Collector, want string) {
	t.Helper()
	if err := c.Check(); err == nil || err.Error() != want {
		t.Errorf("got %v; want %s", err, want)
	}
}
