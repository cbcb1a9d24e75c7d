package demand

import (
	"fmt"
	"math"

	"noonkeep/plant/steam"
)

// heating is the leg that brings the bath to the stage's temperature; live steam is zero for other ways.
func (r *run) heating(n int, s Stage) (leg Leg, live liveSteam, err error) {
	h, b, t0, t1, net := r.b.HeatUp, r.bath(), r.tC, s.ToC, 1.0
	switch {
	case s.KPerMin > 0 && h.Way == ByLiveSteam:
		return leg, live, &BatchFault{n, "gradient", "heats beside live steam; want a gradient only to cool by, or another heat_up"}
	case s.KPerMin > 0:
		leg = b.byGradient(s.KPerMin*minutesPerHour, t0, t1)
	case h.Way == ByGradient:
		leg = b.byGradient(h.KPerMin*minutesPerHour, t0, t1)
	case h.Way == ByPower:
		leg, net = b.byPower(h.KW, t0, t1)
	case h.Way == ByCoil:
		steamC, err := r.coilC()
		if err != nil {
			return leg, live, err
		}
		leg, net = b.byCoil(h.AreaM2*h.WM2K/1000, steamC, t0, t1)
	case h.Way == ByLiveSteam:
		if live, err = r.live(t1); err != nil {
			return leg, live, err
		}
		leg, net = b.byLiveSteam(live, t0, t1)
	}
	if !(net > 0) {
		return leg, live, &BatchFault{n, "to", fmt.Sprintf("is %g degC, which the bath never reaches: %.4g kW are lacking there; want more heat or a lower one", t1, -net)}
	}
	if leg.At(0) < 0 {
		return leg, live, &BatchFault{n, "gradient", fmt.Sprintf("is so slow that the air at %g degC warms the bath faster; want a steeper one", b.loss.AirC)}
	}
	leg.Stage, leg.Does, leg.StartH, leg.FromC, leg.ToC = n, heatingUp, r.c.H, t0, t1
	return leg, live, nil
}

// heat brings the bath to the stage's temperature.
func (r *run) heat(n int, s Stage) error {
	leg, live, err := r.heating(n, s)
	if err != nil {
		return err
	}
	r.add(leg)
	r.c.H += leg.H
	t0, t1 := leg.FromC, leg.ToC
	liquor, solids := (r.liquor*r.cLiquor+r.water*r.cWater)*(t1-t0)/secondsPerHour, r.solidsKJK*(t1-t0)/secondsPerHour
	r.c.LiquorKWh += liquor
	r.c.SolidsKWh += solids
	given := leg.KWh()
	if live.kgH > 0 {
		given = r.steamed(live, leg.H*live.kgH)
	}
	r.c.LossKWh += given - liquor - solids
	r.tC = t1
	return nil
}

// steamed notes kg of live steam, and gives what the bath has of them.
func (r *run) steamed(s liveSteam, kg float64) (kWh float64) {
	r.c.SteamKg += kg
	r.c.WaterKWh += kg * (s.headKWhKg - s.giveKWhKg)
	r.water += kg
	return kg * s.giveKWhKg
}

// coilC is the temperature of the steam in the coil.
func (r *run) coilC() (float64, error) {
	p := r.b.HeatUp.Pressure
	if !p.Valid() {
		p = r.b.Header
	}
	if p.BarAbs() > r.b.Header.BarAbs() {
		return 0, &BatchFault{0, "heat_up", fmt.Sprintf("has steam of %s in the coil; want no more than the header's %s", p, r.b.Header)}
	}
	return steam.SatTemp(p)
}

// live is live steam into a bath that ends at endC. A reducing valve keeps its enthalpy.
func (r *run) live(endC float64) (liveSteam, error) {
	sat, err := steam.SaturatedUnder(r.b.Header)
	if err != nil {
		return liveSteam{}, err
	}
	end, err := steam.SaturatedAt(endC)
	if err != nil {
		return liveSteam{}, err
	}
	feed, err := steam.Liquid(r.b.Header, r.b.FeedwaterC)
	if err != nil {
		return liveSteam{}, fmt.Errorf("feedwater: %w", err)
	}
	return liveSteam{kgH: r.b.HeatUp.KgH, giveKWhKg: (sat.Vapour.HKJKg - end.Liquid.HKJKg) / secondsPerHour,
		headKWhKg: (sat.Vapour.HKJKg - feed.HKJKg) / secondsPerHour, kWhKgK: r.cWater / secondsPerHour}, nil
}

// hold keeps the bath at its temperature: the loss, and what is to be evaporated at an even rate.
func (r *run) hold(n int, s Stage) error {
	if s.HoldH == 0 {
		return nil
	}
	loss := max(r.b.Loss.kW(r.tC), 0) // where the air is warmer the bath takes no heat
	boiled := s.BoilOffFrac * (r.liquor + r.water)
	sat, err := steam.SaturatedAt(r.tC)
	if err != nil {
		return &BatchFault{n, "to", err.Error()}
	}
	boil := boiled * sat.EvaporationKJKg() / secondsPerHour / s.HoldH
	if most, err := r.mostKW(); err != nil {
		return err
	} else if loss+boil > most*(1+1e-9) {
		return &BatchFault{n, "hold", fmt.Sprintf("at %.4g degC takes %.4g kW and the heater gives at most %.4g kW there; want more heat, or a longer hold", r.tC, loss+boil, most)}
	}
	atHeader := 1.0
	if r.b.HeatUp.Way == ByLiveSteam {
		live, err := r.live(r.tC)
		if err != nil {
			return err
		}
		atHeader = live.headKWhKg / live.giveKWhKg
		r.steamed(live, (loss+boil)*s.HoldH/live.giveKWhKg)
	}
	for _, part := range []struct {
		does string
		kW   float64
	}{{holding, loss}, {boilingOff, boil}} {
		if part.kW > 0 {
			r.add(Leg{Stage: n, Does: part.does, StartH: r.c.H, H: s.HoldH, FromC: r.tC, ToC: r.tC, KW: part.kW * atHeader})
		}
	}
	r.c.H += s.HoldH
	r.c.LossKWh += loss * s.HoldH
	r.c.BoilKWh += boil * s.HoldH
	r.c.BoiledKg += boiled
	left := 1 - boiled/(r.liquor+r.water)
	r.liquor, r.water = r.liquor*left, r.water*left
	return nil
}

// mostKW is what the heater can give the bath as it is; by a gradient there is no limit.
func (r *run) mostKW() (float64, error) {
	switch h := r.b.HeatUp; h.Way {
	case ByPower:
		return h.KW, nil
	case ByCoil:
		steamC, err := r.coilC()
		return h.AreaM2 * h.WM2K / 1000 * (steamC - r.tC), err
	case ByLiveSteam:
		live, err := r.live(r.tC)
		return live.kgH * live.giveKWhKg, err
	}
	return math.Inf(1), nil
}

// add keeps a leg. Boiling and holding run side by side.
func (r *run) add(leg Leg) {
	r.c.Legs = append(r.c.Legs, leg)
	r.c.KWh += leg.KWh()
	at := leg.PeakKW()
	if n := len(r.c.Legs); leg.Does == boilingOff && n > 1 && r.c.Legs[n-2].Does == holding && r.c.Legs[n-2].Stage == leg.Stage {
		at += r.c.Legs[n-2].KW
	}
	r.c.PeakKW = max(r.c.PeakKW, at)
}
