package answer

import (
	"context"
	"errors"
	"math"

	"noonkeep/optimize"
	"noonkeep/scenarios"
)

// Guide says how far the store may be drawn down in place of a boiler, hour by hour: as far as
// HoldKWh at the step's end, and no further. It knows the year beforehand, as the plan does.
type Guide struct {
	Why     string  // why there is none; empty if there is one
	FullKWh float64 // what the store holds when full

	HoldKWh     []float64 // by step; 0: give all there is
	BoilerPrice []float64 // by step, per kWh: what the stored heat is weighed against; +Inf where boilers alone fall short

	Hours  [12][24]GuideHour // by month and hour of the day
	Advice []Advice          // the same in few words, by month; none if nothing is to be held back
	Gauge  []Gauge           // from empty to full, in fifths
}

// GuideHour is the mean over a month's steps that begin in one hour of the day.
type GuideHour struct {
	HoldKWh, HoldFrac float64 // HoldFrac is the share of full
	Hold              Gauge   // the same as the store's gauges show it
	GivesFrac         float64 // share of the steps in which the plan draws from the store
	StorePrice        float64 // of stored heat at the step's end, per kWh
	BoilerPrice       float64 // of the steps in which boilers alone do not fall short; 0 if there is none
	ShortFrac         float64 // share of the steps in which they do
}

// Gauge is the store's state at a share of full.
type Gauge struct{ Frac, TempC, BarG float64 }

// guideOf adds the guide line to a plan.
func guideOf(ctx context.Context, c scenarios.Case, p optimize.Problem, a *Plan) error {
	g := &a.Guide
	line, err := optimize.Guide(ctx, p)
	switch no := (*optimize.NoGuide)(nil); {
	case errors.As(err, &no):
		g.Why = no.Why
		return nil
	case err != nil:
		return err
	case a.CapacityKWh == 0:
		g.Why = "the store holds nothing"
		return nil
	}
	g.FullKWh, g.HoldKWh, g.BoilerPrice = a.CapacityKWh, line.HoldKWh, line.BoilerPrice
	gauge := gauges(c)
	g.byHour(a, gauge)
	for fifth := range 6 {
		g.Gauge = append(g.Gauge, gauge(float64(fifth)/5))
	}
	g.Advice = g.advise(gauge)
	return nil
}

// gauges gives the way from a share of full to what the store's gauges show: of a thermocline, the mean of its thermometers.
func gauges(c scenarios.Case) func(frac float64) Gauge {
	return func(frac float64) Gauge {
		return Gauge{frac, c.Store.TempAt(frac), c.Store.PressureAt(frac).BarAbs() - c.AirBarA}
	}
}

func (g *Guide) byHour(a *Plan, gauge func(float64) Gauge) {
	var steps, priced [12][24]float64
	for t := range a.Axis.N {
		at := a.Axis.At(t)
		m, hour := at.Month()-1, at.Hour()
		h := &g.Hours[m][hour]
		steps[m][hour]++
		h.HoldKWh += g.HoldKWh[t]
		h.StorePrice += a.StoredHeatPrice[t]
		if a.StoreOutKW[t] > 0 {
			h.GivesFrac++
		}
		if math.IsInf(g.BoilerPrice[t], 1) {
			h.ShortFrac++
			continue
		}
		priced[m][hour]++
		h.BoilerPrice += g.BoilerPrice[t]
	}
	for m := range g.Hours {
		for hour := range g.Hours[m] {
			h, n := &g.Hours[m][hour], math.Max(steps[m][hour], 1)
			h.HoldKWh, h.StorePrice, h.GivesFrac, h.ShortFrac = h.HoldKWh/n, h.StorePrice/n, h.GivesFrac/n, h.ShortFrac/n
			h.BoilerPrice /= math.Max(priced[m][hour], 1)
			h.HoldFrac = math.Min(h.HoldKWh/g.FullKWh, 1)
			h.Hold = gauge(h.HoldFrac)
		}
	}
}

// MostHoldFrac is the highest mean level of any month and hour, as a share of full.
func (g *Guide) MostHoldFrac() float64 {
	most := 0.0
	for m := range g.Hours {
		for _, h := range g.Hours[m] {
			most = math.Max(most, h.HoldFrac)
		}
	}
	return most
}
