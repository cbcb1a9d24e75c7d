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
	outOfService
)

// flows is one step's light and heat, means over the step in W per m² of aperture.
type flows struct {
	upFrac                                  float64 // share of the step with the sun up
	duty                                    duty
	dni, beam, diffuse                      float64
	horizon, shaded, ends                   float64 // taken of the beam before it reaches a receiver
	gross, pipe, warmup, clipped, delivered float64
	frosty                                  bool    // kept from freezing, or drained
	held                                    float64 // heat that kept it from freezing
}

// run steps one field through one weather year at one temperature.
type run struct {
	y       *sky.Year
	c       Collector // its Eta0b with the cleanliness in it
	clean   []float64 // by day, Eta0b with that day's dirt; nil for the same all year
	out     []bool    // by step; nil for never
	freeze  Freeze
	mount   mount
	site    site
	around  surround
	stepH   float64
	halfDeg float64 // hour angle of half a step

	useC, fluidC     float64 // at the use, and in the collector
	availability     float64
	pipeUA, pipeFrac float64
	albedo, stowMS   float64
	plainK           bool // Kb is constK at every incidence this collector meets
	constK           float64
	receiver, pipes  mass    // STATE: how far they have cooled
	owedWhM2         float64 // STATE: heat that kept them from freezing and is not given back yet
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
	r.around = surroundOf(f)
	r.stowMS = r.c.stowWindMS()
	atNormal := Incidence{Cos: 1}
	r.constK = r.c.Modifier(atNormal)
	r.plainK = r.c.Tracking == TwoAxis || len(r.c.IAM)+len(r.c.IAMT) == 0 && r.c.B0 == 0 && r.c.IAMPoly == [2]float64{}
	r.masses(f)
	if s := f.Soiling; s.EveryDays > 0 || len(s.Dates) > 0 {
		r.clean = s.Factors(y.Axis)
		for d := range r.clean {
			r.clean[d] *= r.c.Eta0b
		}
	}
	r.out, r.freeze = f.outOf(y.Axis), f.Freeze
	return r
}

// masses sets what has to be warmed, cold from the year's last air.
func (r *run) masses(f *Field) {
	const kJPerWh = 3.6
	r.receiver = newMass(r.c.capacityWhM2K(), r.c.CoolingTimeH, r.stepH)
	r.pipes = newMass(f.perM2(f.Pipes.CapacityKJK()/kJPerWh), f.Pipes.coolingTimeH(), r.stepH)
	r.pipeUA += f.perM2(f.Pipes.LossWMK * f.Pipes.LengthM)
	cold := max(0, r.fluidC-r.y.AirC[len(r.y.AirC)-1])
	r.receiver.shortWhM2, r.pipes.shortWhM2 = r.receiver.capacity*cold, r.pipes.capacity*cold
}

// step moves the state over step i and returns what happened. It allocates nothing.
func (r *run) step(i int) flows {
	o := flows{dni: r.y.DNI[i]}
	sun := &r.y.Suns[i]
	middle := rayTo(sun.ZenithDeg, sun.AzimuthDeg)
	s, up := r.site.sunlit(middle, r.halfDeg)
	if r.clean != nil {
		r.c.Eta0b = r.clean[int(float64(i)*r.stepH/24)]
	}
	if up == 0 {
		r.idle(i, &o)
		return o
	}
	o.upFrac = up
	o.duty = r.dutyAt(i)
	cos, slopeCos := r.mount.meet(s)
	o.beam = o.dni * cos
	if r.c.Kd > 0 {
		o.diffuse = r.diffuse(i, s, cos, slopeCos)
	}
	if o.duty != tracked {
		r.idle(i, &o)
		return o
	}
	s, cos = r.shade(&o, middle, s, cos, slopeCos)
	r.heat(i, &o, r.modifier(s, cos))
	return o
}

func (r *run) dutyAt(i int) duty {
	switch {
	case r.out != nil && r.out[i]:
		return outOfService
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
		BeamWM2: o.beam - o.horizon - o.shaded - o.ends, Kb: kb, DiffuseWM2: o.diffuse,
		FluidC: r.fluidC, AirC: airC, WindMS: r.y.WindMS[i], NetLongwaveWM2: netLongwaveWM2,
	}) / r.c.share()
	pipe := r.pipeUA * max(0, r.useC-airC)
	pipe += r.pipeFrac * max(0, gross-pipe)
	net := gross - pipe
	if !(net > 0) {
		r.idle(i, o)
		return
	}
	warmup := r.warm(net * r.stepH)
	o.gross = gross * r.availability
	o.pipe = pipe * r.availability
	o.warmup = warmup / r.stepH * r.availability
	o.delivered = (net - warmup/r.stepH) * r.availability
	if o.delivered < leastHeatWM2 {
		// What rounding leaves of a step spent wholly on warming may be below 0.
		o.clipped, o.delivered = o.delivered, 0
	}
}

// warm takes what receiver and pipes are short of, and what is owed, from the heat of a step. Each stays the greater the
// hotter the fluid, as the heat is then the less.
func (r *run) warm(heatWhM2 float64) float64 {
	took := r.receiver.take(heatWhM2)
	took += r.pipes.take(heatWhM2 - took)
	if r.owedWhM2 > 0 {
		back := min(heatWhM2-took, r.owedWhM2)
		r.owedWhM2 -= back
		took += back
	}
	return took
}

// meanClean is the mean light over that of washed collectors.
func (r *run) meanClean(eta0b float64) float64 {
	if r.clean == nil {
		return 1
	}
	sum := 0.
	for _, eta := range r.clean {
		sum += eta / eta0b
	}
	return sum / float64(len(r.clean))
}

// idle lets receiver and pipes cool over a step in which they take no heat, but not freeze.
func (r *run) idle(i int, o *flows) {
	if airC := r.y.AirC[i]; r.freeze.On && airC < r.freeze.BelowC && (r.out == nil || !r.out[i]) {
		r.frost(i, o)
		return
	}
	r.cool(r.y.AirC[i])
}

func (r *run) cool(airC float64) {
	r.receiver.cool(r.fluidC, airC)
	r.pipes.cool(r.fluidC, airC)
}
