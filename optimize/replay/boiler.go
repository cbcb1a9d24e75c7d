package replay

import "math"

// boiler is a boiler in play.
type boiler struct {
	header                        int
	capacityKW, leastKW           float64
	rampKWH                       float64 // 0: no limit
	startS, startKWh              float64
	standbyKW, purgeKWh           float64
	heat, fuel                    []float64 // its load curve, kW, from the lowest load up
	available                     series
	plain                         bool    // no lowest fire, nothing to start: it burns as little as it likes
	leadS, startLeadS, restS      float64 // time to its full heat when hot, and when cold; least time worth putting it out for
	limits                        []int   // in which it is
	state                         BoilerState
	leftS, outS, standKWh, lastKW float64 // STATE: of its start; since it was out; stood by since; heat in the step before
	fresh                         bool    // its fire burns already

	// Of the step.
	capKW, loKW, hiKW, kW             float64
	starts, lights                    int
	startFuelKWh, hotFuelKWh, fuelKWh float64
}

const (
	mostRampS = 3600 // how far ahead a slow boiler is thought of, s
	restLeast = 900  // a boiler is put out when it will not be wanted for so long, s; common practice, no source
	aliveS    = 600  // a boiler without lowest fire counts as lit for so long after it gave heat, s; common practice, no source
)

func newBoiler(b *Boiler, steps int) boiler {
	out := boiler{
		header: b.Header, capacityKW: b.CapacityKW, leastKW: b.LeastKW(), rampKWH: b.RampKWH,
		startS: b.StartH * secondsPerHour, startKWh: b.StartKWh, standbyKW: b.StandbyFrac * b.Boiler.FuelKW(b.CapacityKW),
		purgeKWh: b.PurgeKWh, available: seriesOf(b.Available, steps, 1), outS: math.Inf(1),
	}
	for _, p := range b.Curve() {
		out.heat, out.fuel = append(out.heat, p.HeatKW), append(out.fuel, p.FuelKW)
	}
	switch {
	case b.PurgeKWh < 0 || b.Fuel.Power:
		out.purgeKWh = 0
	case b.PurgeKWh == 0:
		out.purgeKWh = DefaultPurgeH * out.fuel[len(out.fuel)-1]
	}
	out.plain = out.leastKW == 0 && out.startS == 0 && out.startKWh == 0
	if out.rampKWH > 0 {
		out.leadS = math.Min(mostRampS, (out.capacityKW-out.leastKW)/out.rampKWH*secondsPerHour)
	}
	out.startLeadS = out.startS + out.leadS
	if !out.plain {
		out.restS = math.Max(restLeast, out.startS)
	}
	return out
}

// fuelKW is the fuel of a load: straight between the points of its curve.
func (b *boiler) fuelKW(kW float64) float64 { return between(b.heat, b.fuel, kW) }

// heatOf is the load that takes so much fuel.
func (b *boiler) heatOf(fuelKW float64) float64 { return between(b.fuel, b.heat, fuelKW) }

// between goes on straight beyond both ends.
func between(xs, ys []float64, x float64) float64 {
	n := len(xs)
	if n == 1 {
		return ys[0] * x / xs[0]
	}
	i := 1
	for i < n-1 && xs[i] < x {
		i++
	}
	return ys[i-1] + (ys[i]-ys[i-1])*(x-xs[i-1])/(xs[i]-xs[i-1])
}

// startsForNothing says that it costs nothing to let it go out.
func (b *boiler) startsForNothing() bool { return b.startS == 0 && b.startKWh == 0 }

// begin sets between what its heat may lie in a step.
func (b *boiler) begin(stepH float64) {
	b.kW, b.loKW, b.hiKW = 0, 0, 0
	if b.state != Firing && !b.plain {
		return
	}
	b.loKW, b.hiKW = math.Min(b.leastKW, b.capKW), b.capKW
	if b.rampKWH > 0 {
		ramp := b.rampKWH * stepH
		b.loKW = math.Min(math.Max(b.loKW, b.lastKW-ramp), b.capKW)
		b.hiKW = math.Min(b.capKW, math.Max(b.lastKW, b.leastKW)+ramp)
	}
}

// end books the step's fuel.
func (b *boiler) end(stepH float64) {
	b.fuelKWh = b.startFuelKWh
	if b.plain {
		b.endPlain(stepH)
	}
	switch {
	case b.state == Firing && (b.kW > 0 || !b.plain):
		b.fuelKWh += b.fuelKW(b.kW) * stepH
	case b.state == Hot:
		b.hotFuelKWh = b.standbyKW * stepH
		b.standKWh += b.hotFuelKWh
		b.fuelKWh += b.hotFuelKWh
	}
	b.lastKW = b.kW
}

// endPlain says whether a boiler without lowest fire was lit anew.
func (b *boiler) endPlain(stepH float64) {
	if b.kW > 0 {
		if b.outS > aliveS {
			b.starts++
			b.light()
			b.fuelKWh += b.purgeKWh
		}
		b.state, b.outS = Firing, 0
		return
	}
	b.outS += stepH * secondsPerHour
	b.state = Off
}

// light purges and lights the fire.
func (b *boiler) light() {
	b.lights++
	b.startFuelKWh += b.purgeKWh
}

// raise gives up to kW more heat, as far as ramp, capacity and joint limits go, to where it is needed.
func (m *machine) raise(j int, to float64) {
	b := &m.boilers[j]
	most := math.Min(to, b.hiKW) - b.kW
	for _, i := range b.limits {
		most = math.Min(most, m.leftOf(i, b))
	}
	if most <= 0 {
		return
	}
	t := m.give(b.header, most)
	m.mains[b.header].inKW += t
	b.kW += t
}

// leftOf is how much more heat a joint limit lets a boiler give.
func (m *machine) leftOf(i int, b *boiler) float64 {
	l := &m.limits[i]
	left := l.MostKW
	for _, j := range l.Boilers {
		other := &m.boilers[j]
		switch {
		case !l.OfFuel:
			left -= other.kW
		case other.state == Firing || other.kW > 0:
			left -= other.fuelKW(other.kW)
		}
	}
	if !l.OfFuel || left <= 0 {
		return left
	}
	if b.kW == 0 && b.plain { // not counted above
		return b.heatOf(left)
	}
	return b.heatOf(b.fuelKW(b.kW)+left) - b.kW
}
