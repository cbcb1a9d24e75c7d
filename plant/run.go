package plant

import (
	"math"

	"noonkeep/plant/sky"
)

// duty is what the wind and the beam leave a collector to do while the sun is up.
type duty int

const (
	down duty = iota // the sun is down
	tracked
	stowed
	below
)

// flows is one step's light and heat, means over the step in W per m² of aperture.
type flows struct {
	upFrac                                  float64 // share of the step with the sun up
	duty                                    duty
	dni, beam, diffuse                      float64
	gross, pipe, warmup, clipped, delivered float64
}

// run steps one field through one weather year at one temperature.
type run struct {
	y       *sky.Year
	c       Collector // its Eta0b with the cleanliness in it
	mount   mount
	site    site
	stepH   float64
	halfDeg float64 // hour angle of half a step

	useC, fluidC     float64 // at the use, and in the collector
	availability     float64
	pipeUA, pipeFrac float64
	albedo, stowMS   float64
	plainK           bool // Kb is constK at every incidence this collector meets
	constK           float64
	capacity         float64 // Wh/(m² K) of aperture
	keep             float64 // share of the distance to air temperature that is left after an idle step
	shortWhM2        float64 // STATE: heat that brings receiver and pipes up to fluidC
}

func newRun(f *Field, y *sky.Year, useC float64) *run {
	r := &run{
		y: y, c: f.Collector, site: siteAt(y.Place.LatDeg), stepH: y.Axis.StepH(),
		useC: useC, fluidC: useC + f.ApproachK, availability: f.Availability,
		pipeUA: f.PipeUAWM2K, pipeFrac: f.PipeLossFrac, albedo: f.Albedo,
	}
	const degPerHour = 15
	r.halfDeg = degPerHour * r.stepH / 2
	r.c.Eta0b *= f.Cleanliness
	if r.albedo == 0 {
		r.albedo = GroundAlbedo
	}
	r.mount = mountOf(&r.c)
	r.stowMS = r.c.stowWindMS()
	atNormal := Incidence{Cos: 1}
	r.constK = r.c.Modifier(atNormal)
	r.plainK = r.c.Tracking == TwoAxis || len(r.c.IAM)+len(r.c.IAMT) == 0 && r.c.B0 == 0 && r.c.IAMPoly == [2]float64{}
	r.capacity = r.c.capacityWhM2K()
	if r.capacity > 0 {
		r.keep = math.Exp(-r.stepH / r.c.CoolingTimeH)
	}
	r.shortWhM2 = r.capacity * max(0, r.fluidC-y.AirC[len(y.AirC)-1])
	return r
}

// step moves the state over step i and returns what happened. It allocates nothing.
func (r *run) step(i int) flows {
	o := flows{dni: r.y.DNI[i]}
	sun := &r.y.Suns[i]
	s, up := r.site.sunlit(rayTo(sun.ZenithDeg, sun.AzimuthDeg), r.halfDeg)
	if up == 0 {
		r.idle(i)
		return o
	}
	o.upFrac = up
	o.duty = r.dutyAt(i)
	cos, slopeCos := r.mount.meet(s)
	o.beam = o.dni * cos
	if r.c.Kd > 0 {
		// Isotropic sky and ground, Duffie & Beckman eq. 2.15.1.
		o.diffuse = r.y.DHI[i]*(1+slopeCos)/2 + r.y.GHI[i]*r.albedo*(1-slopeCos)/2
	}
	if o.duty != tracked {
		r.idle(i)
		return o
	}
	r.heat(i, &o, r.modifier(s, cos))
	return o
}

func (r *run) dutyAt(i int) duty {
	switch {
	case r.y.WindMS[i] > r.stowMS:
		return stowed
	case r.y.DNI[i] < r.c.LeastDNIWM2:
		return below
	}
	return tracked
}

func (r *run) modifier(s ray, cos float64) float64 {
	if r.plainK || cos <= 0 {
		return r.constK
	}
	in := Incidence{Cos: cos, ThetaDeg: degrees(math.Acos(cos))}
	if len(r.c.IAMT) > 0 {
		in.LongDeg, in.TransDeg = r.mount.planes(s, cos)
	}
	return r.c.Modifier(in)
}

// heat works out the heat of a tracked step: what leaves the collectors, what the pipes lose, what warms them, what
// arrives. Each of the four is monotone in the temperature, which makes the yield so (TestHotterNeverMore).
func (r *run) heat(i int, o *flows, kb float64) {
	airC := r.y.AirC[i]
	gross := r.c.HeatWM2(Conditions{
		BeamWM2: o.beam, Kb: kb, DiffuseWM2: o.diffuse,
		FluidC: r.fluidC, AirC: airC, WindMS: r.y.WindMS[i], NetLongwaveWM2: netLongwaveWM2,
	}) / r.c.share()
	pipe := r.pipeUA * max(0, r.useC-airC)
	pipe += r.pipeFrac * max(0, gross-pipe)
	net := gross - pipe
	if !(net > 0) {
		r.idle(i)
		return
	}
	warmup := min(net*r.stepH, r.shortWhM2)
	r.shortWhM2 -= warmup
	o.gross = gross * r.availability
	o.pipe = pipe * r.availability
	o.warmup = warmup / r.stepH * r.availability
	o.delivered = (net - warmup/r.stepH) * r.availability
	if o.delivered < leastHeatWM2 {
		// What rounding leaves of a step spent wholly on warming may be below 0.
		o.clipped, o.delivered = o.delivered, 0
	}
}

// idle lets receiver and pipes cool over a step in which they take no heat.
func (r *run) idle(i int) {
	if r.capacity == 0 {
		return
	}
	toAir := r.capacity * (r.fluidC - r.y.AirC[i])
	// Air warmer than the receiver does not warm it: the shortfall only grows.
	r.shortWhM2 = max(r.shortWhM2, toAir+(r.shortWhM2-toAir)*r.keep)
}
