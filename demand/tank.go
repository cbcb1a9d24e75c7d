package demand

import (
	"errors"
	"fmt"

	"noonkeep/plant/clock"
)

// Tank is a hot-water tank between the make-up and the taps, in plug flow: hot water leaves at the top, as much cold
// enters below, and the heater turns cold water hot as long as there is any. What the header sees is the heater.
//
// Its balance is that of the heat that the tank lacks for being hot throughout:
//
//	d lack/dt = draw + loss - heater,   0 <= lack <= all of it
//
// Within a step everything is constant, so each step is exact. Not seen: mixing between hot and cold, and that a tank
// that has gone cold loses less.
type Tank struct {
	VolumeM3 float64 // more than 0
	HeaterKW float64 // most that its coil or exchanger passes, more than 0
	LossKW   float64 // while it stands hot; counted all year
}

// TankYear is a tank's year. HeatKW over the year is DrawnKWh less UnmetKWh plus LossKWh: the year ends as it began.
type TankYear struct {
	HeatKW   clock.KW  // what the heater takes, mean over the step
	LackKWh  clock.KWh // heat that the tank lacks for being hot throughout
	DrawnKWh float64   // heat of all water that was wanted
	LossKWh  float64
	UnmetKWh float64 // heat that the taps wanted and the empty tank could not give
	ShortH   float64 // hours of the steps in which that was so
	Worst    int     // the step with the most of it; -1 for none
}

// Check reports all that is wrong with the tank.
func (t Tank) Check() error {
	var faults []error
	require := func(holds bool, format string, args ...any) {
		if !holds {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	require(t.VolumeM3 > 0 && t.VolumeM3 <= 1e5, "volume: is %g m3; want more than 0 and at most 1e5", t.VolumeM3)
	require(t.HeaterKW > 0 && t.HeaterKW <= mostKW, "heater: is %g kW; want more than 0", t.HeaterKW)
	require(t.LossKW >= 0 && t.LossKW < t.HeaterKW, "loss: is %g kW; want 0 to less than the heater's %g", t.LossKW, t.HeaterKW)
	return errors.Join(faults...)
}

// mostTankYears is how often a year is gone through until it ends as it began. A tank that is once full or empty in
// the year needs two.
const mostTankYears = 60

// Run goes through a year that repeats. drawKW is the heat of the water that the taps want, wholeKWhM3 what a m3
// of the tank holds when it is hot, both one value a step.
func (t Tank) Run(drawKW clock.KW, wholeKWhM3 []float64, stepH float64) (TankYear, error) {
	if err := t.Check(); err != nil {
		return TankYear{}, err
	}
	if len(drawKW) != len(wholeKWhM3) || !(stepH > 0) {
		return TankYear{}, fmt.Errorf("tank: has %d steps of draw, %d of heat, each of %g h; want as many of both",
			len(drawKW), len(wholeKWhM3), stepH)
	}
	for i := range drawKW {
		if !(drawKW[i] >= 0 && drawKW[i] <= mostKW) || !(wholeKWhM3[i] >= 0) {
			return TankYear{}, fmt.Errorf("tank: step %d draws %g kW of water of %g kWh/m3; want 0 or more", i, drawKW[i], wholeKWhM3[i])
		}
	}
	start := 0.0
	for range mostTankYears {
		year := t.year(drawKW, wholeKWhM3, stepH, start)
		end := year.LackKWh[len(drawKW)]
		if end == start {
			return year, nil
		}
		start = end
	}
	return TankYear{}, fmt.Errorf("tank: after %d years the year's end is still not its start; want a heater that can follow the draw, or a smaller tank", mostTankYears)
}

// year goes through one year from what the tank lacks at its start.
func (t Tank) year(drawKW clock.KW, wholeKWhM3 []float64, stepH, lackKWh float64) TankYear {
	n := len(drawKW)
	y := TankYear{HeatKW: make(clock.KW, n), LackKWh: make(clock.KWh, n+1), Worst: -1}
	worst := 0.0
	for i, kW := range drawKW {
		y.LackKWh[i] = lackKWh
		wanted := lackKWh + (kW+t.LossKW)*stepH // for being full at the step's end
		heat := min(t.HeaterKW*stepH, wanted)
		// A tank that holds colder or warmer water than today's make-up may lack a little more than today's whole.
		whole := max(wholeKWhM3[i]*t.VolumeM3, lackKWh)
		lackKWh = wanted - heat
		if unmet := lackKWh - whole; unmet > 0 {
			unmet = min(unmet, kW*stepH)
			lackKWh -= unmet
			y.UnmetKWh += unmet
			y.ShortH += stepH
			if unmet > worst {
				worst, y.Worst = unmet, i
			}
		}
		y.HeatKW[i] = heat / stepH
		y.DrawnKWh += kW * stepH
		y.LossKWh += t.LossKW * stepH
	}
	y.LackKWh[n] = lackKWh
	return y
}
