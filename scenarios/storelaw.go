package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"noonkeep/optimize"
)

// Varying is the case with another of its stores as the one whose volume is varied. An empty name leaves it as it is.
func (c Case) Varying(name string) (Case, error) {
	if name == "" {
		return c, nil
	}
	var names []string
	for k, s := range c.Stores {
		if s.Name == name {
			c.Store, c.Money, c.Fields = s, c.Money.of(s.Cost), slices.Clone(c.Fields)
			for i := range c.Fields {
				c.Fields[i].ToStore = c.Fields[i].ToStores[k]
			}
			return c, nil
		}
		names = append(names, s.Name)
	}
	if len(names) == 0 {
		return c, fmt.Errorf("%s: the scenario has no store, and none is called %s", c.File, quoted(name))
	}
	return c, fmt.Errorf("%s: no store is called %s; want %s", c.File, quoted(name), strings.Join(names, " or "))
}

// of is the money with another vessel's cost.
func (m Money) of(c VesselCost) Money {
	m.VesselFixed, m.VesselPerM3, m.VesselUpkeepFrac = c.Price.Fixed, c.Price.PerM3, c.UpkeepFrac
	return m
}

// StoreAt is the place in Stores of the varied store, -1 when there is none.
func (c Case) StoreAt() int { return slices.Index(c.Stores, c.Store) }

// StoreLaw gives the varied store at any volume, as [optimize.Trace] asks for it; nil when the plant has none.
func (c Case) StoreLaw() optimize.StoreLaw {
	if c.Store == nil {
		return nil
	}
	return c.storeLaw(c.StoreAt())
}

func (c Case) storeLaw(k int) optimize.StoreLaw {
	s, charge := c.Stores[k], c.chargeKW(k)
	var from *int
	if s.From != s.Header {
		from = &s.From
	}
	return func(volumeM3 float64) (optimize.Store, error) {
		limits, err := s.Limits(volumeM3)
		if err != nil {
			return optimize.Store{}, fmt.Errorf("%s of %g m3: %w", s.Name, volumeM3, err)
		}
		out := optimize.Store{
			Name: s.Name, Header: s.Header, ChargedFrom: from, VolumeM3: volumeM3,
			CapacityKWh: limits.CapacityKWh, DischargeKW: limits.DischargeKW,
			ChargeKW: charge, HeaderChargeKW: s.HeaderChargeKW,
			Keep: make([]float64, c.Axis.N), StandingKW: make([]float64, c.Axis.N),
		}
		// The two parts of the loss, dE/dt = -UA (T(E) - Tair) with T(E) straight from floor to hot.
		keep := limits.KeepFrac(c.Axis.StepH())
		for t := range out.Keep {
			out.Keep[t] = keep
			out.StandingKW[t] = limits.StandingKW(s.AmbientC[t])
		}
		return out, nil
	}
}

// chargeKW is the most heat that goes into a store at once: as written, or the fields' peak. Where a header of higher
// pressure charges it, or no field does, the header's part is not held back by that.
func (c Case) chargeKW(k int) float64 {
	s := c.Stores[k]
	if s.ChargeKW > 0 {
		return s.ChargeKW
	}
	peak := c.chargePeak(k)
	if s.From != s.Header || peak == 0 {
		return peak + s.HeaderChargeKW
	}
	return peak
}

// chargePeak is the most heat that the fields could put into a store at once, kW.
func (c Case) chargePeak(k int) float64 {
	sum := 0.0
	for _, f := range c.Fields {
		if y := f.ToStores[k]; y.KWM2 != nil {
			sum += y.PeakKWM2 * f.AreaM2()
		}
	}
	return sum
}
