package plant

import "math"

// Pipes are the pipes between the collectors and the use, where their heat is not in the collector's heat capacity. The
// zero value is none.
type Pipes struct {
	LengthM, WaterKg, SteelKg float64
	// LossWMK is their loss per m of length and K over the air; it adds to the field's PipeUAWM2K.
	LossWMK float64
	// CoolingTimeH is the time constant with which they cool when no heat is taken; 0 follows from LossWMK.
	CoolingTimeH float64
}

// Specific heats of the pipes and what is in them.
const (
	// Water at 150 °C, IAPWS R7-97: 4.3 kJ/(kg K); 4.18 at 20 °C. The hotter one, to be on the safe side.
	waterKJKgK = 4.3
	steelKJKgK = 0.49 // carbon steel near 100 °C, textbook value, from memory
)

// CapacityKJK is their heat capacity.
func (p Pipes) CapacityKJK() float64 { return p.WaterKg*waterKJKgK + p.SteelKg*steelKJKgK }

// coolingTimeH is the time constant of the pipes; +Inf for pipes that lose nothing.
func (p Pipes) coolingTimeH() float64 {
	if p.CoolingTimeH > 0 {
		return p.CoolingTimeH
	}
	const kJPerWh = 3.6
	return p.CapacityKJK() / kJPerWh / (p.LossWMK * p.LengthM)
}

func (p Pipes) check(bad *faults) {
	for _, x := range [...]float64{p.LengthM, p.WaterKg, p.SteelKg, p.LossWMK, p.CoolingTimeH} {
		bad.require(x >= 0 && x < math.Inf(1), "pipes", "have a value of %g; want 0 or more", x)
	}
	bad.require(p.CapacityKJK() == 0 || p.CoolingTimeH > 0 || p.LossWMK*p.LengthM > 0, "pipes",
		"cool in no known time; want a cooling time, or a loss per m")
}

// mass is what must be warmed before heat arrives: the receivers, or the pipes, per m² of aperture.
type mass struct {
	capacity  float64 // Wh/(m² K)
	tauH      float64 // time constant towards the air
	keep      float64 // share of the distance to air temperature that is left after an idle step
	shortWhM2 float64 // STATE: heat that brings it up to the fluid's temperature
}

func newMass(capacity, tauH, stepH float64) mass {
	m := mass{capacity: capacity, tauH: tauH}
	if capacity > 0 {
		m.keep = math.Exp(-stepH / tauH)
	}
	return m
}

// cool lets it cool over an idle step. Air warmer than it is does not warm it: the shortfall only grows.
func (m *mass) cool(fluidC, airC float64) {
	if m.capacity == 0 {
		return
	}
	toAir := m.capacity * (fluidC - airC)
	m.shortWhM2 = max(m.shortWhM2, toAir+(m.shortWhM2-toAir)*m.keep)
}

// hold is cool, but heat is put in so that it never is below keepC; the heat is returned, Wh/m². Air is colder than keepC.
func (m *mass) hold(fluidC, airC, keepC, stepH float64) float64 {
	before, most := m.shortWhM2, m.capacity*(fluidC-keepC)
	m.cool(fluidC, airC)
	if m.capacity == 0 || m.shortWhM2 <= most {
		return 0
	}
	m.shortWhM2 = most
	heat, held := 0., stepH
	if before > most {
		heat = before - most // it was colder already
	} else {
		// Falls to keepC within the step, after τ ln((T - Ta)/(Tkeep - Ta)).
		atC := fluidC - before/m.capacity
		held -= m.tauH * math.Log((atC-airC)/(keepC-airC))
	}
	return heat + m.capacity/m.tauH*(keepC-airC)*max(0, held)
}

// take warms it with up to heatWhM2 and returns what that took.
func (m *mass) take(heatWhM2 float64) float64 {
	took := min(heatWhM2, m.shortWhM2)
	m.shortWhM2 -= took
	return took
}
