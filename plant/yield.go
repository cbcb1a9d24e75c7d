package plant

import (
	"errors"
	"fmt"
	"math"

	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
)

const (
	// leastHeatWM2 is the smallest heat that counts: a step that would deliver less delivers nothing, so that
	// nobody divides by a yield of nearly nothing. Heat so dropped is in ClippedKWhM2.
	leastHeatWM2 = 0.1
	// netLongwaveWM2 stands for the long-wave irradiance less σ Ta⁴, which the weather year does not carry: the
	// figure with which test reports are to be read when a4 or a7 is not 0.
	netLongwaveWM2 = -100.

	lowestFluidC, highestFluidC = 0., 400.
)

// YieldYear is what 1 m² of a field's aperture gives over the axis of a weather year. Sums are kWh per m² of
// aperture, hours are of the axis.
//
// Gross = delivered + pipe loss + warm-up + clipped, to rounding. Gross heat, and with it all four, is that of the
// working collectors, after cleanliness. Hours in which the sun is up are tracked, stowed, below the least DNI or out of
// service.
type YieldYear struct {
	KWM2 clock.KW // heat delivered, net of everything, mean over each step

	DNIKWhM2     float64 // beam on a plane that faces the sun, all of it
	BeamKWhM2    float64 // beam on the aperture, cosine included, stowed and waiting hours too
	DiffuseKWhM2 float64 // diffuse light and ground reflection on the aperture, where Kd is above 0
	StowedKWhM2  float64 // the part of BeamKWhM2 that fell while stowed
	BelowKWhM2   float64 // the part that fell below the least DNI
	HorizonKWhM2 float64 // the part, of the tracked hours, that fell with the sun behind the horizon line
	ShadedKWhM2  float64 // the part of what is left that other rows or dishes took
	EndsKWhM2    float64 // the part of what is left that passed the receivers' ends

	GrossKWhM2     float64 // heat leaving the collectors, in the steps that have some left after the pipes
	PipeLossKWhM2  float64
	WarmupKWhM2    float64 // first heat of the day, and after clouds, that only warms receiver and pipes, or gives back what kept them from freezing
	ClippedKWhM2   float64 // steps under 0.1 W/m²
	DeliveredKWhM2 float64

	SunUpH, TrackedH, StowedH, BelowDNIH float64 // a fixed collector "tracks" whenever the sun is up
	DeliveringH                          float64
	PeakKWM2                             float64 // the best step

	// DriveKWhM2 is electricity for the drives, which run while the sun is up and no wind stows, under cloud too.
	DriveKWhM2 float64
	// IdleKWhM2 is electricity of the pumps of an idle field, and of what keeps it from freezing.
	IdleKWhM2 float64

	FrostKWhM2    float64  // heat that kept the field from freezing, of the working collectors
	FrostH, OutH  float64  // hours of frost protection, or drained; hours of the sun up while out of service
	CleanMeanFrac float64  // mean over the year of the light that dirt between washings leaves
	Notes         []string // what had to be assumed, in whole sentences
}

// Yield works out the field's heat, step by step, with the fluid at the use at fluidC (mean, °C): the header's
// saturation temperature, or the store's.
//
// Heat of the sun that comes after a cold spell first warms receiver and pipes from where they have cooled to up to
// fluidC; until then nothing is delivered, and the collector's loss is counted at fluidC, not below, which is on the
// safe side. Idle receivers and pipes cool towards the air exponentially and are never warmed by it. Before the first
// step the last 24 hours of the year are run through from cold, so that a year follows itself.
//
// In each step, heat at a higher fluidC never exceeds heat at a lower one.
func (f Field) Yield(y sky.Year, fluidC float64) (YieldYear, error) {
	if err := errors.Join(f.Check(), checkYear(y, f.Collector.Kd > 0), checkFluid(fluidC)); err != nil {
		return YieldYear{}, err
	}
	r := newRun(&f, &y, fluidC)
	n := len(y.DNI)
	lead := int(math.Ceil(24 / r.stepH))
	if f.Freeze.On && !f.Freeze.Electric {
		lead = n // a winter's debt may be paid after new year
	}
	for i := max(0, n-lead); i < n; i++ {
		r.step(i)
	}
	out := YieldYear{KWM2: make(clock.KW, n), CleanMeanFrac: r.meanClean(f.Cleanliness * f.Collector.Eta0b)}
	for i := range n {
		o := r.step(i)
		out.KWM2[i] = o.delivered / wattsPerKW
		out.add(&o, r.stepH)
	}
	out.DriveKWhM2 = f.Availability * f.Collector.DriveWM2 / wattsPerKW * (out.TrackedH + out.BelowDNIH)
	out.IdleKWhM2 = f.idleKWhM2(&out, r.stepH*float64(n))
	out.Notes = f.notes(&out, fluidC)
	return out, nil
}

const wattsPerKW = 1000.

func checkFluid(fluidC float64) error {
	if fluidC >= lowestFluidC && fluidC <= highestFluidC {
		return nil
	}
	return fmt.Errorf("fluid: is %g °C; want %g to %g °C", fluidC, lowestFluidC, highestFluidC)
}

// idleKWhM2 is the electricity of an idle field: its pumps, and heat against frost where that is electric.
func (f *Field) idleKWhM2(out *YieldYear, hours float64) float64 {
	kWh := f.perM2(f.IdlePumpW) * (hours - out.DeliveringH) / wattsPerKW
	if f.Freeze.Drain {
		return kWh
	}
	kWh += f.perM2(f.Freeze.PumpW) * out.FrostH / wattsPerKW
	if f.Freeze.Electric {
		kWh += out.FrostKWhM2
	}
	return kWh
}

// checkYear looks for what the sky should never hand over; the first bad step is named.
func checkYear(y sky.Year, diffuse bool) error {
	n := len(y.DNI)
	if n == 0 || n != y.Axis.N || len(y.AirC) != n || len(y.WindMS) != n || len(y.Suns) != n ||
		diffuse && (len(y.DHI) != n || len(y.GHI) != n) {
		return fmt.Errorf("weather: has %d DNI, %d air, %d wind, %d DHI, %d GHI, %d sun values on an axis of %d steps; want as many each",
			len(y.DNI), len(y.AirC), len(y.WindMS), len(y.DHI), len(y.GHI), len(y.Suns), y.Axis.N)
	}
	for i, dni := range y.DNI {
		ok := dni >= 0 && dni < 2000 && y.WindMS[i] >= 0 && math.Abs(y.AirC[i]) < 100
		if diffuse {
			ok = ok && y.DHI[i] >= 0 && y.GHI[i] >= 0
		}
		if !ok {
			return fmt.Errorf("weather: %s: DNI %g W/m², air %g °C, wind %g m/s; want values a sky can have",
				y.Axis.Label(i), dni, y.AirC[i], y.WindMS[i])
		}
	}
	return nil
}

// add books one step.
func (out *YieldYear) add(o *flows, stepH float64) {
	kWh := stepH / wattsPerKW
	out.DNIKWhM2 += o.dni * kWh
	out.BeamKWhM2 += o.beam * kWh
	out.DiffuseKWhM2 += o.diffuse * kWh
	out.HorizonKWhM2 += o.horizon * kWh
	out.ShadedKWhM2 += o.shaded * kWh
	out.EndsKWhM2 += o.ends * kWh
	out.GrossKWhM2 += o.gross * kWh
	out.PipeLossKWhM2 += o.pipe * kWh
	out.WarmupKWhM2 += o.warmup * kWh
	out.ClippedKWhM2 += o.clipped * kWh
	out.DeliveredKWhM2 += o.delivered * kWh
	up := o.upFrac * stepH
	out.SunUpH += up
	switch o.duty {
	case tracked:
		out.TrackedH += up
	case outOfService:
		out.OutH += up
	case stowed:
		out.StowedH += up
		out.StowedKWhM2 += o.beam * kWh
	case below:
		out.BelowDNIH += up
		out.BelowKWhM2 += o.beam * kWh
	}
	out.FrostKWhM2 += o.held * kWh
	if o.frosty {
		out.FrostH += stepH
	}
	if o.delivered > 0 {
		out.DeliveringH += stepH
		out.PeakKWM2 = max(out.PeakKWM2, o.delivered/wattsPerKW)
	}
}

func (f *Field) notes(out *YieldYear, fluidC float64) []string {
	var notes []string
	if c := &f.Collector; c.A4 != 0 || c.A7 != 0 {
		notes = append(notes, fmt.Sprintf("The weather has no long-wave irradiance; %g W/m² net is taken for the terms of a4 and a7.",
			netLongwaveWM2))
	}
	if out.DeliveredKWhM2 == 0 {
		notes = append(notes, fmt.Sprintf("The field never gives heat at %.4g °C.", fluidC))
	}
	return notes
}
