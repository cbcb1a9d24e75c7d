package demand

import (
	"fmt"

	"noonkeep/plant/steam"
)

// waterFlow is a mass with its enthalpy.
type waterFlow struct{ kgH, kJKg float64 }

// mixing is a tank in which streams meet to make feedwater. Make-up closes the mass, heating steam the heat.
type mixing struct {
	makeUpKJKg, steamKJKg, feedKJKg, ventKJKg float64
	ventFrac                                  float64     // of the feed
	fixed                                     []waterFlow // what comes in whatever the feed
	perFeed                                   []waterFlow // what comes in with each kg/h of feed
	heatPerFeed                               float64     // kJ without mass, with each kg of feed
	heatPerMakeUp                             float64     // kJ/kg without mass, to the make-up
}

// known is what comes into the mix for a feed without steam and make-up, kg/h and kJ/h.
func (m mixing) known(feedKgH float64) (in, heat float64) {
	heat = m.heatPerFeed * feedKgH
	for _, f := range m.fixed {
		in += f.kgH
		heat += f.kgH * f.kJKg
	}
	for _, f := range m.perFeed {
		in += f.kgH * feedKgH
		heat += f.kgH * f.kJKg * feedKgH
	}
	return in, heat
}

// steamKgH is the heating steam for a feed, and the make-up. The steam is affine in the feed.
//
// Mass: make-up + steam + in = feed + vent. Heat: the same, each by its enthalpy.
func (m mixing) steamKgH(feedKgH float64) (steamKgH, makeUpKgH float64) {
	in, heat := m.known(feedKgH)
	vent := m.ventFrac * feedKgH
	rest := feedKgH + vent - in // of make-up and steam together
	cold := m.makeUpKJKg + m.heatPerMakeUp
	steamKgH = (feedKgH*m.feedKJKg + vent*m.ventKJKg - heat - rest*cold) / (m.steamKJKg - cold)
	return steamKgH, rest - steamKgH
}

// house holds the enthalpies of one boiler house, kJ/kg.
type house struct {
	BoilerHouse
	steamK, waterK           float64 // the header's steam and boiler water
	tankWaterK, tankSteamK   float64 // saturated in the tank
	tankC                    float64
	makeUpK, condensateK     float64
	caughtK                  float64 // the condensate where it crosses the bounds
	flashWaterK, flashSteamK float64
	flash, blowFlash         float64 // shares that flash
	drainK, warmestK         float64 // blowdown after the exchanger; make-up at most
}

// Balance works out the feedwater and what the boiler makes for each kg/h of process steam.
func (h BoilerHouse) Balance() (HouseBalance, error) {
	if err := h.Check(); err != nil {
		return HouseBalance{}, err
	}
	w, err := h.states()
	if err != nil {
		return HouseBalance{}, fmt.Errorf("boiler house: %w", err)
	}
	return w.solve()
}

// states looks up all enthalpies.
func (h BoilerHouse) states() (house, error) {
	w := house{BoilerHouse: h}
	var err error
	liquid := func(tC float64) float64 {
		if tC <= w.tankC {
			p, e := steam.Liquid(h.tank(), tC)
			err = firstOf(err, e)
			return p.HKJKg
		}
		p, e := steam.SaturatedAt(tC)
		err = firstOf(err, e)
		return p.Liquid.HKJKg
	}
	saturated := func(p steam.Pressure) steam.Saturation {
		s, e := steam.SaturatedUnder(p)
		err = firstOf(err, e)
		return s
	}
	main, tank := saturated(h.Header), saturated(h.tank())
	w.steamK, w.waterK = main.Vapour.HKJKg, main.Liquid.HKJKg
	w.tankC, w.tankWaterK, w.tankSteamK = tank.TC, tank.Liquid.HKJKg, tank.Vapour.HKJKg
	w.makeUpK, w.condensateK = liquid(h.MakeUpC), liquid(h.CondensateC)
	w.caughtK = w.condensateK
	if h.FlashAt.Valid() {
		low := saturated(h.FlashAt)
		w.caughtK, w.flashWaterK, w.flashSteamK = w.waterK, low.Liquid.HKJKg, low.Vapour.HKJKg
		var e error
		w.flash, e = steam.FlashFraction(h.Header, h.FlashAt)
		err = firstOf(err, e)
	}
	if h.Recovery != NoRecovery {
		var e error
		w.blowFlash, e = steam.FlashFraction(h.Header, h.tank())
		err = firstOf(err, e)
	}
	w.drainK = liquid(min(h.MakeUpC+h.ApproachK, w.tankC))
	w.warmestK = liquid(max(w.tankC-h.ApproachK, h.MakeUpC))
	return w, err
}

func firstOf(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// mixing is the tank with the exchanger for the make-up at its full heat, or held back by too little make-up.
func (w house) mixing(heldBack bool) mixing {
	m := mixing{makeUpKJKg: w.makeUpK, steamKJKg: w.steamK, feedKJKg: w.tankWaterK, ventKJKg: w.tankSteamK, ventFrac: w.VentFrac}
	m.fixed = []waterFlow{{w.ReturnFrac * (1 - w.flash), w.condensateK}}
	if w.Recovery == NoRecovery {
		return m
	}
	if !w.FlashTaken {
		m.fixed = append(m.fixed, waterFlow{w.ReturnFrac * w.flash, w.flashSteamK})
	}
	m.perFeed = []waterFlow{{w.BlowdownFrac * w.blowFlash, w.tankSteamK}}
	switch {
	case w.Recovery == FullRecovery && heldBack:
		m.heatPerMakeUp = w.warmestK - w.makeUpK
	case w.Recovery == FullRecovery:
		m.heatPerFeed = w.BlowdownFrac * (1 - w.blowFlash) * (w.tankWaterK - w.drainK)
	}
	return m
}

// solve finds the deaerator's steam, or the feedwater's temperature where there is no deaerator or it needs none.
func (w house) solve() (HouseBalance, error) {
	m := w.mixing(false)
	out := w.flows(m)
	if w.Recovery == FullRecovery && m.heatPerFeed*out.FeedKgH > out.MakeUpKgH*(w.warmestK-w.makeUpK) {
		m = w.mixing(true)
		out = w.flows(m)
	}
	var err error
	if out.FeedwaterC == 0 {
		if out.FeedwaterC, err = w.temperature(out.feedK); err != nil {
			return HouseBalance{}, err
		}
	}
	return w.close(m, out)
}

// houseFlows is a balance with what only its making needs.
type houseFlows struct {
	HouseBalance
	feedK float64 // of the feedwater in the tank
}

// flows solves mass and heat about tank and boiler for one kg/h of process steam.
func (w house) flows(m mixing) houseFlows {
	var out houseFlows
	perSteam := 1 / (1 - w.BlowdownFrac) // feed per steam made
	if w.Deaerator.Valid() {
		none, _ := m.steamKgH(0)
		one, _ := m.steamKgH(1)
		slope := (one - none) * perSteam // steam for the feed of a kg of steam
		out.DeaeratorKgH = (none + slope) / (1 - slope)
		out.FeedwaterC, out.feedK = w.tankC, w.tankWaterK
	}
	if out.DeaeratorKgH < 0 || !w.Deaerator.Valid() {
		out.DeaeratorKgH = 0
		w.noSteam(m, perSteam, &out)
	}
	out.FeedKgH = (1 + out.DeaeratorKgH) * perSteam
	out.BlowdownKgH = w.BlowdownFrac * out.FeedKgH
	if !out.Boils {
		out.VentKgH = w.VentFrac * out.FeedKgH
	}
	in := 0.0
	for _, f := range m.fixed {
		in += f.kgH
	}
	for _, f := range m.perFeed {
		in += f.kgH * out.FeedKgH
	}
	out.MakeUpKgH = out.FeedKgH + out.VentKgH - out.DeaeratorKgH - in
	switch {
	case w.FlashTaken:
		out.FlashTakenKgH = w.ReturnFrac * w.flash
	case w.Recovery == NoRecovery:
		out.FlashLostKgH = w.ReturnFrac * w.flash
	}
	return out
}

// noSteam mixes without heating steam: the feedwater takes the temperature that comes, or boils and vents the rest.
func (w house) noSteam(m mixing, feedKgH float64, out *houseFlows) {
	in, heat := m.known(feedKgH)
	cold := m.makeUpKJKg + m.heatPerMakeUp
	out.feedK, out.FeedwaterC = (heat+(feedKgH-in)*cold)/feedKgH, 0
	if out.feedK > w.tankWaterK {
		out.Boils = true
		// Mass and heat with the vent open: (F + V - in) cold + heat = F h' + V h''.
		out.VentKgH = (heat + (feedKgH-in)*cold - feedKgH*w.tankWaterK) / (w.tankSteamK - cold)
		out.feedK, out.FeedwaterC = w.tankWaterK, w.tankC
	}
}

// temperature finds the water in the tank that has an enthalpy.
func (w house) temperature(kJKg float64) (float64, error) {
	lo, hi := 0.0, w.tankC
	for range 60 {
		mid := (lo + hi) / 2
		p, err := steam.Liquid(w.tank(), mid)
		if err != nil {
			return 0, err
		}
		if p.HKJKg < kJKg {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, nil
}

// close works out the boiler's heat and lists what crosses the bounds.
func (w house) close(m mixing, f houseFlows) (HouseBalance, error) {
	out := f.HouseBalance
	feed, err := steam.Liquid(w.Header, out.FeedwaterC)
	if err != nil {
		return HouseBalance{}, err
	}
	perKg := w.steamK - feed.HKJKg
	boiler := (1+out.DeaeratorKgH)*perKg + out.BlowdownKgH*(w.waterK-feed.HKJKg)
	out.BoilerKW = boiler / secondsPerHour
	out.OwnUseFrac = boiler/perKg - 1
	drain := waterFlow{out.BlowdownKgH, w.waterK}
	if w.Recovery != NoRecovery {
		drain = waterFlow{out.BlowdownKgH * (1 - w.blowFlash), w.tankWaterK}
		if drain.kgH > 0 {
			drain.kJKg -= (m.heatPerFeed*out.FeedKgH + m.heatPerMakeUp*out.MakeUpKgH) / drain.kgH
		}
	}
	stream := func(name string, goes bool, kgH, kJKg float64) {
		out.Streams = append(out.Streams, HouseStream{name, goes, kgH, kJKg, kgH * kJKg / secondsPerHour})
	}
	heat := func(name string, goes bool, kW float64) {
		out.Streams = append(out.Streams, HouseStream{Name: name, Out: goes, KW: kW})
	}
	stream("condensate caught", false, w.ReturnFrac, w.caughtK)
	stream("make-up", false, out.MakeUpKgH, w.makeUpK)
	heat("boiler", false, out.BoilerKW)
	// At one temperature, water has a little more enthalpy at the boiler's pressure than in the tank.
	heat("feed pump", false, out.FeedKgH*(feed.HKJKg-f.feedK)/secondsPerHour)
	stream("process steam", true, 1, w.steamK)
	if w.FlashAt.Valid() {
		if out.FlashLostKgH > 0 {
			stream("flash steam lost", true, out.FlashLostKgH, w.flashSteamK)
		}
		if out.FlashTakenKgH > 0 {
			stream("flash steam to another header", true, out.FlashTakenKgH, w.flashSteamK)
		}
		heat("condensate lines", true, w.ReturnFrac*(1-w.flash)*(w.flashWaterK-w.condensateK)/secondsPerHour)
	}
	stream("blowdown", true, drain.kgH, drain.kJKg)
	stream("vent", true, out.VentKgH, w.tankSteamK)
	return out, nil
}
