package plant

import (
	"fmt"
	"math"
	"strings"
)

// Flue is what a boiler test measures at the chimney. The shares are of the dry flue gas by volume.
type Flue struct {
	GasC, AirC float64 // flue gas leaving the boiler, air for the burner
	O2Frac     float64 // oxygen; not used where CO2Frac is above 0
	CO2Frac    float64 // carbon dioxide; 0: not measured
	COFrac     float64 // carbon monoxide
	AirKgKg    float64 // water in the air, kg per kg of dry air; [Analysis] alone counts it
}

// oxygenOfAir is the oxygen of dry air by volume as the trade's formulas round it.
const oxygenOfAir = 0.21

// Check returns everything that is wrong with what was measured.
func (f Flue) Check() error {
	bad := newFaults("flue gas", "")
	bad.require(f.GasC > f.AirC && f.GasC <= 1200, "flue", "is %g degC, the air %g degC; want more than the air and at most 1200", f.GasC, f.AirC)
	bad.require(f.AirC >= -50 && f.AirC <= 400, "air", "is %g degC; want -50 to 400", f.AirC)
	bad.require(f.O2Frac >= 0 && f.O2Frac < 0.2, "oxygen", "is %g %%; want 0 to less than 20 %% of the dry flue gas", 100*f.O2Frac)
	bad.require(f.CO2Frac >= 0 && f.CO2Frac <= oxygenOfAir, "carbon dioxide", "is %g %%; want up to 21 %% of the dry flue gas", 100*f.CO2Frac)
	bad.require(f.COFrac >= 0 && f.COFrac <= 0.05, "carbon monoxide", "is %g %%; want 0 to 5 %%", 100*f.COFrac)
	bad.require(f.AirKgKg >= 0 && f.AirKgKg <= 0.1, "humidity", "is %g kg/kg; want 0 to 0.1", f.AirKgKg)
	return bad.err()
}

// ExcessAir is the air beyond what burns the fuel, over that.
func (f Flue) ExcessAir() float64 {
	// O2/(21 - O2): energy auditors' formula.
	return f.O2Frac / (oxygenOfAir - f.O2Frac)
}

// Loss is one of a boiler's losses, as a share of the heat in its fuel.
type Loss struct {
	Name string
	Frac float64
}

// Losses is a boiler's balance by its losses. Shares are of net heat, or of gross heat where Gross is set.
type Losses struct {
	List  []Loss
	Gross bool
}

// Efficiency is what the losses leave.
func (l Losses) Efficiency() float64 {
	left := 1.0
	for _, x := range l.List {
		left -= x.Frac
	}
	return left
}

// siegert holds the constants of a fuel in Siegert's formula; CO is that of the loss by carbon monoxide.
type siegert struct {
	kind          string
	A1, A2, B, CO float64
}

// Constants: the German ordinance on small furnaces, from memory (A1, A2, B); a flue-gas analyser's manual,
// IMR 2800-A p. 42 (32 for gas, 48 for fuel oil). Liquefied gas counts as gas there.
var siegertFuels = []siegert{
	{"natural gas", 0.37, 0.66, 0.009, 32},
	{"gas oil", 0.50, 0.68, 0.007, 48},
	{"liquefied petroleum gas", 0.42, 0.63, 0.008, 32},
}

// SiegertKinds are the fuels, by the names of [FuelKinds], for which [Siegert] has constants.
func SiegertKinds() []string {
	var names []string
	for _, s := range siegertFuels {
		names = append(names, s.kind)
	}
	return names
}

// Siegert gives the losses of a gas or light oil boiler on net heat, by Siegert's formula. radiationFrac is the loss
// of the boiler's surface. The kind is one of [SiegertKinds].
func Siegert(kind string, f Flue, radiationFrac float64) (Losses, error) {
	if err := checkLosses(f, radiationFrac); err != nil {
		return Losses{}, err
	}
	for _, s := range siegertFuels {
		if s.kind != kind {
			continue
		}
		// q_A = (t_A - t_L) (A2/(21 - O2) + B), or (t_A - t_L) (A1/CO2 + B), in %.
		per := s.A2 / (100 * (oxygenOfAir - f.O2Frac))
		// Both forms are one where A1/CO2 = A2/(21 - O2).
		co2 := s.A1 / s.A2 * (oxygenOfAir - f.O2Frac)
		if f.CO2Frac > 0 {
			per, co2 = s.A1/(100*f.CO2Frac), f.CO2Frac
		}
		return losses(false, Loss{"flue gas", (f.GasC - f.AirC) * (per + s.B) / 100},
			// q = a CO/(CO + CO2), in %.
			Loss{"carbon monoxide", s.CO / 100 * f.COFrac / (f.COFrac + co2)},
			Loss{"radiation and convection", radiationFrac})
	}
	return Losses{}, fmt.Errorf("losses: no constants of Siegert's formula are known for %q; want one of: %s, or the fuel's analysis",
		kind, strings.Join(SiegertKinds(), ", "))
}

func checkLosses(f Flue, radiationFrac float64) error {
	if err := f.Check(); err != nil {
		return err
	}
	if !(radiationFrac >= 0 && radiationFrac < 0.5) {
		return fmt.Errorf("losses: radiation is %g %%; want 0 to less than 50 %%", 100*radiationFrac)
	}
	return nil
}

// losses leaves out what is nothing, and refuses losses that leave nothing.
func losses(gross bool, all ...Loss) (Losses, error) {
	l := Losses{Gross: gross}
	for _, x := range all {
		if x.Frac != 0 {
			l.List = append(l.List, x)
		}
	}
	if left := l.Efficiency(); !(left > 0) || math.IsNaN(left) {
		return Losses{}, fmt.Errorf("losses: they come to %.4g %% of the fuel; want less than all of it", 100*(1-left))
	}
	return l, nil
}
