package steam

import "fmt"

// FlashFraction returns the kg of steam that flash from each kg of saturated condensate let down from the
// upper to the lower pressure, x = (h_f1 - h_f2)/h_fg2. Equal pressures give 0; a lower pressure above the
// upper one is an error. Kinetic energy and heat loss are neglected.
func FlashFraction(upper, lower Pressure) (float64, error) {
	up, err := SaturatedUnder(upper)
	if err != nil {
		return 0, fmt.Errorf("flash, upper pressure: %w", err)
	}
	low, err := SaturatedUnder(lower)
	if err != nil {
		return 0, fmt.Errorf("flash, lower pressure: %w", err)
	}
	if lower.barA > upper.barA {
		return 0, fmt.Errorf("steam: flash: lower pressure %v is above the upper %v; want it the other way round", lower, upper)
	}
	return (up.Liquid.HKJKg - low.Liquid.HKJKg) / low.EvaporationKJKg(), nil
}
