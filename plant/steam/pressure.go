package steam

import (
	"fmt"
	"math"
)

const (
	barPerMPa = 10.0
	kPaPerMPa = 1000.0
)

// Pressure is an absolute pressure. It is made by [BarAbs] or [BarGauge] only, so that nobody takes a
// gauge reading for an absolute one. The zero value is invalid, and every function that takes it says so.
type Pressure struct{ barA float64 }

// BarAbs makes a pressure from bar(a). Zero, a negative number, infinity and NaN make an invalid one.
func BarAbs(bar float64) Pressure { return Pressure{bar} }

// BarGauge makes a pressure from a gauge reading in bar(g) and the pressure of the air around the gauge
// in bar(a). 6 bar(g) is 7.01 bar(a) at sea level (air 1.01325) and 6.85 at 1500 m. Without a positive air pressure
// the result is invalid.
func BarGauge(bar, airBarA float64) Pressure {
	if !(airBarA > 0) {
		return Pressure{math.NaN()}
	}
	return Pressure{bar + airBarA}
}

// BarAbs returns the pressure in bar(a).
func (p Pressure) BarAbs() float64 { return p.barA }

// BarGauge returns what a gauge shows in bar(g) where the air has airBarA.
func (p Pressure) BarGauge(airBarA float64) float64 { return p.barA - airBarA }

// Plus returns the pressure raised by bar, or lowered by a negative one (a margin, a pressure drop).
// The sum with an invalid pressure stays invalid.
func (p Pressure) Plus(bar float64) Pressure {
	if !p.Valid() {
		return p
	}
	return Pressure{p.barA + bar}
}

// Valid tells whether the pressure is a finite number above zero.
func (p Pressure) Valid() bool { return p.barA > 0 && !math.IsInf(p.barA, 1) }

// String writes the pressure as the trade does, "7 bar(a)".
func (p Pressure) String() string {
	if p == (Pressure{}) {
		return "no pressure"
	}
	return fmt.Sprintf("%.6g bar(a)", p.barA)
}

func (p Pressure) mPa() float64 { return p.barA / barPerMPa }

// RangeError says that a state lies outside what the equations hold for.
type RangeError struct {
	What      string  // the quantity, such as "pressure of saturation" or "temperature of liquid water"
	Value     float64 // as given
	Low, High float64 // both ends inside
	Unit      string  // of all three, "bar(a)" or "°C"
}

// Error names the quantity, the value and the range.
func (e *RangeError) Error() string {
	if e.Unit == unitBar && e.Value == 0 {
		return fmt.Sprintf("steam: %s: not set; want %.6g to %.6g %s", e.What, e.Low, e.High, e.Unit)
	}
	return fmt.Sprintf("steam: %s: %.6g %s; want %.6g to %.6g %s", e.What, e.Value, e.Unit, e.Low, e.High, e.Unit)
}

const (
	unitBar = "bar(a)"
	unitC   = "°C"
)

func badPressure(what string, p Pressure, lowMPa, highMPa float64) error {
	return &RangeError{what, p.barA, lowMPa * barPerMPa, highMPa * barPerMPa, unitBar}
}

func badTemp(what string, tC, lowK, highK float64) error {
	return &RangeError{what, tC, lowK - zeroC, highK - zeroC, unitC}
}
