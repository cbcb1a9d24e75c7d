package demand

import (
	"errors"
	"fmt"
	"math"

	"noonkeep/plant/clock"
)

// CoolingLine is a cooling load by outdoor air: BaseKW up to BalanceC, from there a straight line through DesignKW
// at DesignC, and on beyond it. What people, machines and goods give off day and night is in BaseKW.
type CoolingLine struct {
	BaseKW   float64 // 0 or more
	DesignKW float64 // at DesignC, BaseKW included
	DesignC  float64 // outdoor air of the design day, above BalanceC
	BalanceC float64 // outdoor air from which there is more than BaseKW
}

// Check reports all that is wrong with the line.
func (l CoolingLine) Check() error {
	var faults []error
	require := func(holds bool, format string, args ...any) {
		if !holds {
			faults = append(faults, fmt.Errorf(format, args...))
		}
	}
	require(l.BaseKW >= 0 && l.BaseKW <= mostKW, "base: is %g kW; want 0 or more", l.BaseKW)
	require(l.DesignKW >= l.BaseKW && l.DesignKW <= mostKW, "design: is %g kW; want at least the base of %g", l.DesignKW, l.BaseKW)
	require(l.BalanceC > -60 && l.DesignC < 70 && l.DesignC > l.BalanceC, "design: is at %g degC; want more than the balance point of %g", l.DesignC, l.BalanceC)
	return errors.Join(faults...)
}

// KW is the cooling load in outdoor air of airC, degC, one value a step.
func (l CoolingLine) KW(airC []float64) (clock.KW, error) {
	if err := l.Check(); err != nil {
		return nil, err
	}
	kW := make(clock.KW, len(airC))
	perK := (l.DesignKW - l.BaseKW) / (l.DesignC - l.BalanceC)
	for i, tC := range airC {
		if !(tC > -90 && tC < 70) {
			return nil, fmt.Errorf("air: is %g degC in step %d; want -90 to 70", tC, i)
		}
		kW[i] = l.BaseKW + perK*max(tC-l.BalanceC, 0)
	}
	return kW, nil
}

// OverCapacity says that more cold is asked than a chiller can make.
type OverCapacity struct {
	Steps          int
	Hours          float64
	CapacityKW     float64 // with the heat that it gets
	WorstKW        float64 // asked
	First          string  // labels of the first and the worst step
	WorstLabel     string
	FeedC, RatedKW float64 // heat that it gets, degC; its rated capacity
}

func (e *OverCapacity) Error() string {
	text := fmt.Sprintf("cooling asks more than the chiller's %.4g kW in %.4g h, first on %s, worst %.4g kW on %s", e.CapacityKW, e.Hours, e.First, e.WorstKW, e.WorstLabel)
	if e.CapacityKW < e.RatedKW {
		return text + fmt.Sprintf("; its generator gets %.4g degC, hotter heat would give %.4g kW", e.FeedC, e.RatedKW)
	}
	return text + "; raise its capacity or write less cooling"
}

// Heat is what the generator takes for a cooling load on the axis, with heat of feedC, mean over each step. Cold
// beyond the capacity is an *[OverCapacity].
func (c Chiller) Heat(coldKW clock.KW, feedC float64, a clock.Axis) (clock.KW, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	if len(coldKW) != a.N {
		return nil, fmt.Errorf("cooling: has %d steps; want %d", len(coldKW), a.N)
	}
	if !(feedC >= c.LeastC) {
		return nil, fmt.Errorf("generator: gets %.4g degC; want the %.4g that it needs at least", feedC, c.LeastC)
	}
	over := OverCapacity{CapacityKW: c.CapacityAt(feedC), FeedC: feedC, RatedKW: c.CapacityKW}
	heat := make(clock.KW, a.N)
	for i, kW := range coldKW {
		if !(kW >= 0) || math.IsInf(kW, 0) {
			return nil, fmt.Errorf("cooling: is %g kW on %s; want 0 or more", kW, a.Label(i))
		}
		if kW > over.CapacityKW*(1+1e-9) {
			over.see(kW, i, a)
			continue
		}
		if kW > 0 {
			heat[i] = kW / c.COPAt(feedC, kW/over.CapacityKW)
		}
	}
	if over.Steps > 0 {
		return nil, &over
	}
	return heat, nil
}

// see counts a step in which too much is asked.
func (e *OverCapacity) see(kW float64, i int, a clock.Axis) {
	if e.Steps == 0 {
		e.First = a.Label(i)
	}
	e.Steps++
	e.Hours += a.StepH()
	if kW > e.WorstKW {
		e.WorstKW, e.WorstLabel = kW, a.Label(i)
	}
}
