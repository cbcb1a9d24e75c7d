package clock

import "math"

// KW is a power on an axis: the mean over each step, kW.
type KW []float64

// EnergyKWh is what the power comes to over steps of stepH hours each.
func (p KW) EnergyKWh(stepH float64) float64 {
	sum := 0.0
	for _, kW := range p {
		sum += kW
	}
	return sum * stepH
}

// Peak is the largest value and the first step that has it; 0 and -1 of an empty series.
func (p KW) Peak() (kW float64, step int) {
	kW, step = math.Inf(-1), -1
	for i, v := range p {
		if v > kW {
			kW, step = v, i
		}
	}
	if step < 0 {
		return 0, -1
	}
	return kW, step
}

// KWh is a stock of heat: its value at each step's start and, last, at the axis' end, so
// it is one longer than the axis.
type KWh []float64
