package demand

import (
	"time"

	"noonkeep/plant/clock"
)

// BatchYear is the heat of many batches on an axis.
type BatchYear struct {
	KW         clock.KW // mean over each step
	Parts      []Part   // by what the legs do
	Batches    int      // that share time with the axis
	Cut        int      // of them, those that begin before the axis or end after it
	OutsideKWh float64  // heat of those that lies outside
}

// Over lays a batch at each of the times on an axis. Every leg is integrated into the steps that it crosses by its own formula,
// so the steps' energy is that of the batches, but for what lies outside the axis.
func (c Cycle) Over(a clock.Axis, begins [][]time.Time) BatchYear {
	y := BatchYear{KW: make(clock.KW, a.N)}
	kWh := map[string]float64{}
	stepH, endH := a.StepH(), float64(a.N)*a.StepH()
	for _, machine := range begins {
		for _, at := range machine {
			start := at.Sub(a.Start).Hours()
			if start >= endH || start+c.H <= 0 {
				continue
			}
			y.Batches++
			inside := 0.0
			for _, leg := range c.Legs {
				got := leg.into(y.KW, stepH, start+leg.StartH)
				kWh[leg.Does] += got
				inside += got
			}
			if start < 0 || start+c.H > endH+1e-9 {
				y.Cut++
				y.OutsideKWh += c.KWh - inside
			}
		}
	}
	for _, does := range []string{heatingUp, holding, boilingOff} {
		if kWh[does] > 0 {
			y.Parts = append(y.Parts, Part{Name: does, KWh: kWh[does]})
		}
	}
	return y
}

// into adds the leg, begun startH after the axis' start, to the steps, and gives its heat inside them.
func (l Leg) into(kW clock.KW, stepH, startH float64) (kWh float64) {
	from, to := max(startH, 0), min(startH+l.H, float64(len(kW))*stepH)
	if from >= to {
		return 0
	}
	done := l.UpTo(from - startH)
	for i := int(from / stepH); from < to && i < len(kW); i++ {
		until := min(float64(i+1)*stepH, to)
		if until <= from { // from lies on the step's end, but for rounding
			continue
		}
		upTo := l.UpTo(until - startH)
		kW[i] += (upTo - done) / stepH
		kWh += upTo - done
		from, done = until, upTo
	}
	return kWh
}
