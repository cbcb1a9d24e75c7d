package plant

import (
	"fmt"

	"noonkeep/plant/steam"
)

const (
	secondsPerHour = 3600.
	normalBarA     = 1.01325
	// fromAndAtKJKg is the evaporation heat at 100 °C as the trade rounds it (IF97: 2256.5 kJ/kg).
	fromAndAtKJKg = 2257.
)

// Header is a steam main: saturated steam at its pressure, made from feedwater.
type Header struct {
	Name       string
	Pressure   steam.Pressure
	FeedwaterC float64
}

// Check says what is wrong with the header.
func (h Header) Check() error {
	_, err := h.HeatKJKg()
	return err
}

// SteamC is the saturation temperature in the header, °C.
func (h Header) SteamC() (float64, error) {
	tC, err := steam.SatTemp(h.Pressure)
	if err != nil {
		return 0, fmt.Errorf("%s: pressure: %w", h.place(), err)
	}
	return tC, nil
}

// HeatKJKg is the heat that makes a kg of dry saturated steam from the feedwater, h_g - h_fw, kJ/kg.
func (h Header) HeatKJKg() (float64, error) {
	sat, err := steam.SaturatedUnder(h.Pressure)
	if err != nil {
		return 0, fmt.Errorf("%s: pressure: %w", h.place(), err)
	}
	if !(h.FeedwaterC >= 0 && h.FeedwaterC <= sat.TC) {
		return 0, fmt.Errorf("%s: feedwater: is %g °C; want 0 °C up to the steam's %.1f °C", h.place(), h.FeedwaterC, sat.TC)
	}
	if h.FeedwaterC == sat.TC {
		return sat.Vapour.HKJKg - sat.Liquid.HKJKg, nil
	}
	feed, err := steam.Liquid(h.Pressure, h.FeedwaterC)
	if err != nil {
		return 0, fmt.Errorf("%s: feedwater: %w", h.place(), err)
	}
	return sat.Vapour.HKJKg - feed.HKJKg, nil
}

// KW is the heat flow in kgH of steam.
func (h Header) KW(kgH float64) (float64, error) {
	heat, err := h.HeatKJKg()
	return kgH * heat / secondsPerHour, err
}

// KgH is the steam that kW makes.
func (h Header) KgH(kW float64) (float64, error) {
	heat, err := h.HeatKJKg()
	if err != nil {
		return 0, err
	}
	return kW * secondsPerHour / heat, nil
}

// FromAndAt is the kg of steam from and at 100 °C that stand for one kg of this header's steam. A boiler rated in kg/h from and at
// 100 °C makes its rating divided by this.
func (h Header) FromAndAt() (float64, error) {
	heat, err := h.HeatKJKg()
	return heat / fromAndAtKJKg, err
}

func (h Header) place() string {
	if h.Name == "" {
		return "header"
	}
	return fmt.Sprintf("header %q", h.Name)
}
