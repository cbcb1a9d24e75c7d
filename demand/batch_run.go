package demand

import (
	"fmt"
	"math"

	"noonkeep/plant/steam"
)

// Cycle is one batch worked through: its legs in time, and where its heat goes.
// KWh = LiquorKWh + SolidsKWh + LossKWh + BoilKWh + WaterKWh, to rounding.
type Cycle struct {
	Legs []Leg // in order of their start; waits and cooling are the gaps between them
	H    float64

	KWh       float64 // heat at the header
	PeakKW    float64
	LiquorKWh float64 // warms the liquor
	SolidsKWh float64 // warms goods and machine
	LossKWh   float64
	BoilKWh   float64 // evaporates
	WaterKWh  float64 // of live steam: what its water has in the bath over feedwater; below 0 where feedwater is warmer
	SteamKg   float64 // live steam
	BoiledKg  float64
	GainedKg  float64 // water that live steam left in the last bath
}

// Run works the batch through. Where the heat never brings a bath to its temperature, or cannot hold it, the
// error says so; errors are those of [Batch.Check] and more [*BatchFault].
func (b Batch) Run() (Cycle, error) {
	if err := b.Check(); err != nil {
		return Cycle{}, err
	}
	r := run{b: b, liquor: b.Liquor.Kg}
	r.tC = *b.Stages[0].FromC
	r.goodsC, r.machineC = r.tC, r.tC
	if b.Goods.StartC != nil {
		r.goodsC = *b.Goods.StartC
	}
	if b.Machine.StartC != nil {
		r.machineC = *b.Machine.StartC
	}
	for i, s := range b.Stages {
		if err := r.stage(i+1, s); err != nil {
			return Cycle{}, err
		}
	}
	c := &r.c
	c.GainedKg = r.water
	if !(c.H > 0) {
		return Cycle{}, &BatchFault{len(b.Stages), "to", "is reached at once and held for no time; want a batch that takes some"}
	}
	if c.H > mostBatchH {
		return Cycle{}, &BatchFault{0, "heat_up", fmt.Sprintf("makes a batch of %.4g h; want at most %d h", c.H, mostBatchH)}
	}
	return *c, nil
}

// run is the vessel on its way through the stages.
type run struct {
	b                  Batch
	c                  Cycle
	tC                 float64 // of the bath
	goodsC, machineC   float64 // before the first bath; after it they have the bath's
	liquor, water      float64 // kg in the bath; water is what live steam left
	cLiquor, cWater    float64 // kJ/kgK over the present stage
	solidsKJK, goodsKJ float64 // goods and machine together, and goods alone, kJ/K
}

func (r *run) stage(n int, s Stage) error {
	r.c.H += s.WaitH
	low := r.tC
	if s.FromC != nil {
		low = *s.FromC
	}
	if err := r.heats(low, s.ToC); err != nil {
		return &BatchFault{n, "to", err.Error()}
	}
	if s.FromC != nil {
		r.fill(n, *s.FromC)
	}
	switch {
	case s.ToC > r.tC:
		if err := r.heat(n, s); err != nil {
			return err
		}
	case s.ToC < r.tC && s.FromC == nil:
		if s.KPerMin == 0 {
			return &BatchFault{n, "to", fmt.Sprintf("is %g degC and the bath has %.4g degC; want a higher one, or a gradient of this stage to cool by", s.ToC, r.tC)}
		}
		r.c.H += (r.tC - s.ToC) / (s.KPerMin * minutesPerHour)
		r.tC = s.ToC
	}
	return r.hold(n, s)
}

const minutesPerHour = 60

// heats sets the specific heats of a stage.
func (r *run) heats(low, high float64) (err error) {
	mean := func(c Charge) float64 {
		if c.Kg == 0 || err != nil {
			return 0
		}
		var v float64
		v, err = c.Of.KJKgK(low, high)
		return v
	}
	r.cLiquor = mean(r.b.Liquor)
	r.goodsKJ = r.b.Goods.Kg * mean(r.b.Goods)
	r.solidsKJK = r.goodsKJ + r.b.Machine.Kg*mean(r.b.Machine)
	if err == nil && r.b.HeatUp.Way == ByLiveSteam {
		r.cWater, err = materials[0].KJKgK(low, high)
	}
	return err
}

// fill drops the bath and fills a new one: liquor of fromC mixes with warm goods and machine.
func (r *run) fill(n int, fromC float64) {
	if n > 1 {
		r.goodsC, r.machineC = r.tC, r.tC
	}
	r.liquor, r.water = r.b.Liquor.Kg, 0
	liquor := r.liquor * r.cLiquor
	machine := r.solidsKJK - r.goodsKJ
	r.tC = (liquor*fromC + r.goodsKJ*r.goodsC + machine*r.machineC) / (liquor + r.solidsKJK)
}

// bath is the lump as it is now.
func (r *run) bath() bath {
	return bath{(r.liquor*r.cLiquor + r.water*r.cWater + r.solidsKJK) / secondsPerHour, r.b.Loss}
}

// heat brings the bath to the stage's temperature.
func (r *run) heat(n int, s Stage) error {
	h, b, t0, t1 := r.b.HeatUp, r.bath(), r.tC, s.ToC
	var leg Leg
	var live liveSteam
	net := 1.0
	switch {
	case s.KPerMin > 0 && h.Way == ByLiveSteam:
		return &BatchFault{n, "gradient", "heats beside live steam; want a gradient only to cool by, or another heat_up"}
	case s.KPerMin > 0:
		leg = b.byGradient(s.KPerMin*minutesPerHour, t0, t1)
	case h.Way == ByGradient:
		leg = b.byGradient(h.KPerMin*minutesPerHour, t0, t1)
	case h.Way == ByPower:
		leg, net = b.byPower(h.KW, t0, t1)
	case h.Way == ByCoil:
		steamC, err := r.coilC()
		if err != nil {
			return err
		}
		leg, net = b.byCoil(h.AreaM2*h.WM2K/1000, steamC, t0, t1)
	case h.Way == ByLiveSteam:
		var err error
		if live, err = r.live(t1); err != nil {
			return err
		}
		leg, net = b.byLiveSteam(live, t0, t1)
	}
	if !(net > 0) {
		return &BatchFault{n, "to", fmt.Sprintf("is %g degC, which the bath never reaches: %.4g kW are lacking there; want more heat or a lower one", t1, -net)}
	}
	if leg.At(0) < 0 {
		return &BatchFault{n, "gradient", fmt.Sprintf("is so slow that the air at %g degC warms the bath faster; want a steeper one", b.loss.AirC)}
	}
	leg.Stage, leg.Does, leg.StartH, leg.FromC, leg.ToC = n, heatingUp, r.c.H, t0, t1
	r.add(leg)
	r.c.H += leg.H
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
	loss, boil, boiled := r.b.Loss.kW(r.tC), 0.0, s.BoilOffFrac*(r.liquor+r.water)
	if boiled > 0 {
		sat, err := steam.SaturatedAt(r.tC)
		if err != nil {
			return &BatchFault{n, "boil_off", err.Error()}
		}
		boil = boiled * sat.EvaporationKJKg() / secondsPerHour / s.HoldH
	}
	if loss < 0 {
		loss = 0 // the air warms it; it takes no heat
	}
	most, err := r.mostKW()
	if err != nil {
		return err
	}
	if loss+boil > most*(1+1e-9) {
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
