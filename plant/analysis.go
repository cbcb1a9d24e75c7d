package plant

// Analysis is a fuel's ultimate analysis: shares of its mass as fired, and its gross calorific value.
type Analysis struct {
	Carbon, Hydrogen, Oxygen, Nitrogen, Sulphur, Moisture float64
	GrossKJKg                                             float64
}

// Check returns everything that is wrong with the analysis. What is missing to the whole is ash.
func (a Analysis) Check() error {
	bad := newFaults("analysis", "")
	sum := 0.0
	for _, x := range []struct {
		key  string
		frac float64
	}{{"carbon", a.Carbon}, {"hydrogen", a.Hydrogen}, {"oxygen", a.Oxygen}, {"nitrogen", a.Nitrogen}, {"sulphur", a.Sulphur}, {"moisture", a.Moisture}} {
		bad.require(x.frac >= 0 && x.frac <= 1, x.key, "is %g %%; want 0 to 100 %%", 100*x.frac)
		sum += x.frac
	}
	bad.require(sum <= 1+1e-9, "sum", "is %.4g %%; want at most 100 %%", 100*sum)
	bad.require(a.AirKgKg() > 0, "carbon", "and hydrogen leave nothing to burn; want more")
	bad.require(a.GrossKJKg > 1000 && a.GrossKJKg < 150e3, "gross calorific value", "is %g kJ/kg; want 1000 to 150000", a.GrossKJKg)
	return bad.err()
}

// AirKgKg is the air that just burns a kg of the fuel, kg.
func (a Analysis) AirKgKg() float64 {
	// Energy auditors' formula, from memory: (11.6 C + 34.8 (H - O/8) + 4.35 S)/100.
	return 11.6*a.Carbon + 34.8*(a.Hydrogen-a.Oxygen/8) + 4.35*a.Sulphur
}

// DryGasKgKg is the dry flue gas of a kg of the fuel in so much air, kg: CO2, SO2, nitrogen, oxygen left over.
func (a Analysis) DryGasKgKg(airKgKg float64) float64 {
	return a.Carbon*44/12 + a.Sulphur*64/32 + a.Nitrogen + nitrogenOfAir*airKgKg + (1-nitrogenOfAir)*(airKgKg-a.AirKgKg())
}

const (
	nitrogenOfAir = 0.77 // by mass, rounded as the trade's formulas have it

	kJPerKcal      = 4.1868
	dryGasKJKgK    = 0.23 * kJPerKcal // specific heat of dry flue gas
	vapourKJKgK    = 0.45 * kJPerKcal // of water vapour in it
	vapourKJKg     = 584 * kJPerKcal  // latent heat at the partial pressure in flue gas
	monoxideKJKg   = 5654 * kJPerKcal // per kg of carbon that burns to CO in place of CO2
	hydrogenWater  = 9                // kg of water from a kg of hydrogen
	carbonKgKmol   = 12
	sulphurKgKmol  = 32
	oxygenKgKmol   = 32
	nitrogenKgKmol = 28
)

// Losses gives a boiler's losses on gross heat, one by one, by energy auditors' indirect method (formulas and
// constants from memory). radiationFrac is the loss of the boiler's surface. Oxygen must have been measured.
func (a Analysis) Losses(f Flue, radiationFrac float64) (Losses, error) {
	if err := checkLosses(f, radiationFrac); err != nil {
		return Losses{}, err
	}
	if err := a.Check(); err != nil {
		return Losses{}, err
	}
	rise := f.GasC - f.AirC
	air := a.AirKgKg() * (1 + f.ExcessAir())
	vapour := (vapourKJKg + vapourKJKgK*rise) / a.GrossKJKg // of a kg of water that leaves as vapour
	return losses(true,
		Loss{"dry flue gas", a.DryGasKgKg(air) * dryGasKJKgK * rise / a.GrossKJKg},
		Loss{"hydrogen in the fuel", hydrogenWater * a.Hydrogen * vapour},
		Loss{"moisture in the fuel", a.Moisture * vapour},
		Loss{"moisture in the air", air * f.AirKgKg * vapourKJKgK * rise / a.GrossKJKg},
		Loss{"carbon monoxide", f.COFrac / (f.COFrac + a.co2Frac(air)) * a.Carbon * monoxideKJKg / a.GrossKJKg},
		Loss{"radiation and convection", radiationFrac})
}

// co2Frac is the carbon dioxide of the dry flue gas by volume.
func (a Analysis) co2Frac(airKgKg float64) float64 {
	co2 := a.Carbon / carbonKgKmol
	rest := a.Sulphur/sulphurKgKmol + (a.Nitrogen+nitrogenOfAir*airKgKg)/nitrogenKgKmol +
		(1-nitrogenOfAir)*(airKgKg-a.AirKgKg())/oxygenKgKmol
	return co2 / (co2 + rest)
}
