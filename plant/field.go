package plant

import (
	"math"

	"noonkeep/plant/clock"
)

// GroundAlbedo is the share of light that the ground throws back when nothing else is said; the usual figure for
// grass and soil.
const GroundAlbedo = 0.2

// Field is a number of equal collectors with their piping.
type Field struct {
	Name       string
	Collector  Collector
	Count      int
	ApertureM2 float64 // of each

	Cleanliness  float64 // share of the clean mirrors' or covers' light, mean over the year (see Soiling); must be given, 1 is clean
	Availability float64 // share of the collectors that work, mean over the year; must be given, 1 is all
	// Heat lost between collector and use while heat is delivered: UA in W/K per m² of aperture, from the fluid's
	// temperature to the air; and a share of the heat that is left.
	PipeUAWM2K   float64
	PipeLossFrac float64
	ApproachK    float64 // the fluid in the collector is hotter by this than at the use: exchanger, pressure drop
	// PumpKWhPerKWh is electricity for the pumps per kWh of heat delivered.
	PumpKWhPerKWh float64
	Albedo        float64 // of the ground; 0 is GroundAlbedo. Acts on collectors that see diffuse light only

	Soiling Soiling // how Cleanliness falls between washings; Cleanliness is then that of a washed collector
	Pipes   Pipes   // pipes with a heat capacity and a cooling time of their own
	Freeze  Freeze
	// IdlePumpW is electricity of the whole field's pumps and controls in every hour without heat delivered.
	IdlePumpW float64
	// Out are days on which the whole field stands drained and dark. Availability is beside them.
	Out []clock.Span

	// What stands between the collectors and the sky. Count has no say in it: Rows and Grid carry their own.
	Horizon *Horizon // nil: level
	Rows    *Rows    // nil: no row shades another
	Grid    *Grid    // nil: no dish shades another
	Ends    Ends
}

// AreaM2 is the aperture of the whole field.
func (f Field) AreaM2() float64 { return float64(f.Count) * f.ApertureM2 }

// Check returns everything that is wrong with the field and its collector.
func (f Field) Check() error {
	bad := newFaults("field", f.Name)
	bad.require(f.Count >= 0, "count", "is %d; want 0 or more", f.Count)
	bad.require(f.ApertureM2 > 0 && f.ApertureM2 < math.Inf(1), "aperture", "is %g m² each; want more than 0", f.ApertureM2)
	bad.require(f.Cleanliness > 0 && f.Cleanliness <= 1, "cleanliness", "is %g; want more than 0, at most 1 (clean)",
		f.Cleanliness)
	bad.require(f.Availability > 0 && f.Availability <= 1, "availability", "is %g; want more than 0, at most 1 (always)",
		f.Availability)
	bad.require(f.PipeUAWM2K >= 0 && f.PipeUAWM2K < math.Inf(1), "pipe loss", "is %g W/(m² K); want 0 or more",
		f.PipeUAWM2K)
	bad.require(f.PipeLossFrac >= 0 && f.PipeLossFrac < 1, "pipe loss", "is a share of %g; want 0 to below 1",
		f.PipeLossFrac)
	bad.require(f.ApproachK >= 0 && f.ApproachK < 200, "approach", "is %g K; want 0 to 200", f.ApproachK)
	bad.require(f.PumpKWhPerKWh >= 0 && f.PumpKWhPerKWh < 1, "pump power", "is %g kWh per kWh; want 0 to below 1",
		f.PumpKWhPerKWh)
	bad.require(f.Albedo >= 0 && f.Albedo <= 1, "albedo", "is %g; want 0 to 1", f.Albedo)
	f.checkSurround(&bad)
	f.Soiling.check(&bad)
	f.Pipes.check(&bad)
	f.Freeze.check(&bad)
	bad.require(f.IdlePumpW >= 0 && f.IdlePumpW < math.Inf(1), "idle pump", "is %g W; want 0 or more", f.IdlePumpW)
	if err := f.Collector.Check(); err != nil {
		bad.found = append(bad.found, err)
	}
	return bad.err()
}

// perM2 spreads something of the whole field over its aperture.
func (f *Field) perM2(x float64) float64 {
	if area := f.AreaM2(); area > 0 {
		return x / area
	}
	return 0
}

// outOf marks the steps in which the field is out of service; nil for none.
func (f *Field) outOf(a clock.Axis) []bool {
	if len(f.Out) == 0 {
		return nil
	}
	c := clock.Calendar{Shutdowns: f.Out}
	out := make([]bool, a.N)
	for i := range out {
		_, out[i] = c.Closed(a.At(i))
	}
	return out
}

// OfTheWhole says whether the yield of a m² depends on how large the field is: some of its values are of the whole field.
func (f Field) OfTheWhole() bool {
	return f.Pipes != Pipes{} || f.IdlePumpW > 0 || f.Freeze.PumpW > 0
}
