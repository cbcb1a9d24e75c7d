//go:build cgo

package optimize

import "slices"

// oddKinds is what may be odd about a plant.
var oddKinds = []struct {
	name string
	is   func(p Problem, s Store) bool // s is the plant's store, or one of nothing
}{
	{"no store", func(p Problem, _ Store) bool { return len(p.Stores) == 0 }},
	{"no sun", func(p Problem, _ Store) bool { return !p.anySun() }},
	{"no demand", func(p Problem, _ Store) bool { return slices.Max(p.Headers[0].DemandKW) == 0 }},
	{"no boiler", func(p Problem, _ Store) bool { return len(p.Boilers) == 0 }},
	{"no charging", func(_ Problem, s Store) bool { return s.CapacityKWh > 0 && s.ChargeKW == 0 }},
	{"no drawing", func(_ Problem, s Store) bool { return s.CapacityKWh > 0 && s.DischargeKW == 0 }},
	{"charging from the header", func(_ Problem, s Store) bool { return s.CapacityKWh > 0 && s.HeaderChargeKW > 0 && s.ChargeKW > 0 }},
	{"equal prices", func(p Problem, _ Store) bool { return p.equalPrices() }},
	{"prices of nothing", func(p Problem, _ Store) bool { return p.anyPrice(func(x float64) bool { return x == 0 }) }},
	{"prices below nothing", func(p Problem, _ Store) bool { return p.anyPrice(func(x float64) bool { return x < 0 }) }},
	{"keeps all", func(_ Problem, s Store) bool { return s.CapacityKWh > 0 && slices.Min(s.Keep) == 1 }},
	{"keeps half", func(_ Problem, s Store) bool { return s.CapacityKWh > 0 && slices.Contains(s.Keep, 0.5) }},
	{"keeps nothing", func(_ Problem, s Store) bool { return s.CapacityKWh > 0 && slices.Max(s.Keep) == 0 }},
	{"holds nothing", func(p Problem, s Store) bool { return len(p.Stores) > 0 && s.CapacityKWh == 0 }},
	{"tiny store", func(_ Problem, s Store) bool { return s.CapacityKWh > 0 && s.CapacityKWh <= 1e-3 }},
	{"huge store", func(_ Problem, s Store) bool { return s.CapacityKWh >= 1e5 }},
	{"shortage not allowed", func(p Problem, _ Store) bool { return p.Headers[0].UnmetPrice == 0 }},
	{"leap year of days", func(p Problem, _ Store) bool { return p.N() == 366 && p.StepH == 24 }},
	{"leap year of hours", func(p Problem, _ Store) bool { return p.N() == 8784 && p.StepH == 1 }},
}

// kinds are the names of all that is odd about a plant.
func (p Problem) kinds() []string {
	var s Store
	if len(p.Stores) > 0 {
		s = p.Stores[0]
	}
	var list []string
	for _, k := range oddKinds {
		if k.is(p, s) {
			list = append(list, k.name)
		}
	}
	return list
}

func (p Problem) anySun() bool {
	for _, f := range p.Fields {
		for _, y := range slices.Concat(f.HeaderKWM2, f.StoreKWM2) {
			if f.AreaM2 > 0 && len(y) > 0 && slices.Max(y) > 0 {
				return true
			}
		}
	}
	return false
}

func (p Problem) anyPrice(is func(float64) bool) bool {
	return slices.ContainsFunc(p.Boilers, func(b Boiler) bool { return slices.ContainsFunc(b.FuelPrice, is) })
}

// equalPrices says whether two boilers' pieces cost the same in some step.
func (p Problem) equalPrices() bool {
	for i, b := range p.Boilers {
		for _, c := range p.Boilers[:i] {
			for t, price := range b.FuelPrice {
				if price == c.FuelPrice[t] && b.capacity(0, t) > 0 && c.capacity(0, t) > 0 {
					return true
				}
			}
		}
	}
	return false
}
