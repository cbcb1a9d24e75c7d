package demand

import (
	"fmt"

	"noonkeep/plant/steam"
)

const secondsPerHour = 3600 // kg/h to kg/s, and so kJ/kg to kW

// SteamKW is the heat of kgH kg/h of saturated steam at the header's pressure, made from feedwater at
// feedwaterC degC: m (h_g - h_fw)/3600 kW, with h_fw of water at the header's pressure.
// Feedwater that would boil at that pressure is an error.
func SteamKW(kgH float64, header steam.Pressure, feedwaterC float64) (float64, error) {
	if !(kgH >= 0 && kgH <= mostKW) {
		return 0, fmt.Errorf("steam: is %g kg/h; want 0 to %g", kgH, float64(mostKW))
	}
	kJKg, err := heatKJKg(header, feedwaterC)
	if err != nil {
		return 0, err
	}
	return kgH * kJKg / secondsPerHour, nil
}

// Heat is the series in kW: one in kg/h times the heat of a kilogram of steam as in [SteamKW], one in kW
// as it is.
func (s Series) Heat(header steam.Pressure, feedwaterC float64) (Series, error) {
	if err := s.check(); err != nil {
		return Series{}, err
	}
	if s.Unit == InKW {
		return s, nil
	}
	kJKg, err := heatKJKg(header, feedwaterC)
	if err != nil {
		return Series{}, fmt.Errorf("%s: %w", s.source(), err)
	}
	kgH := s.Values
	s.Unit, s.Values = InKW, make([]float64, len(kgH))
	for i, v := range kgH {
		s.Values[i] = v * kJKg / secondsPerHour
	}
	return s, nil
}

// heatKJKg is h_g - h_fw, kJ/kg.
func heatKJKg(header steam.Pressure, feedwaterC float64) (float64, error) {
	sat, err := steam.SaturatedUnder(header)
	if err != nil {
		return 0, fmt.Errorf("header: %w", err)
	}
	feed, err := steam.Liquid(header, feedwaterC)
	if err != nil {
		return 0, fmt.Errorf("feedwater: %w", err)
	}
	return sat.Vapour.HKJKg - feed.HKJKg, nil
}
