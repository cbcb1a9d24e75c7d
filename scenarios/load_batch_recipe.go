package scenarios

import (
	"fmt"

	"noonkeep/demand"
	"noonkeep/plant/steam"
)

// batch reads the vessel and its recipe; false for a fault.
func (b *builder) batch(f *batchFile, h Header) (demand.Batch, bool) {
	d := demand.Batch{Header: h.Pressure, FeedwaterC: h.FeedwaterC}
	before := len(b.faults.list)
	d.HeatUp = b.heatUp(f.HeatUp)
	d.Stages = b.recipe(f)
	d.Loss = b.bathLoss(f)
	if len(d.Stages) > 0 {
		b.charges(f, &d)
	}
	return d, len(b.faults.list) == before
}

// heatUp reads how a bath is heated.
func (b *builder) heatUp(f heatUpFile) (h demand.HeatUp) {
	ways := []struct {
		key string
		amount
		way demand.Way
	}{{"power", f.Power, demand.ByPower}, {"coil", f.Coil, demand.ByCoil}, {"live_steam", f.Live, demand.ByLiveSteam}, {"gradient", f.Gradient, demand.ByGradient}}
	var found, all []string
	for _, w := range ways {
		all = append(all, w.key)
		if w.set {
			found = append(found, w.key)
			h.Way = w.way
		}
	}
	switch {
	case len(found) == 0:
		b.add(f.At, "says no way; write %s", orList(all))
	case len(found) > 1:
		b.add(f.At, "has %s; want one of them", andList(found))
	case h.Way == demand.ByCoil && !f.U.set:
		b.add(f.U.at, `is missing; write for example "coefficient: 800 W/m2K"`)
	case h.Way != demand.ByCoil && f.U.set:
		b.add(f.U.at, "stands without a coil; want both or neither")
	case h.Way != demand.ByCoil && f.Pressure.set:
		b.add(f.Pressure.at, "stands without a coil; want both or neither")
	}
	h.KW, h.AreaM2, h.WM2K, h.KgH, h.KPerMin = f.Power.base(), f.Coil.base(), f.U.base(), f.Live.base(), f.Gradient.base()
	if f.Pressure.set && b.absolute(f.Pressure) {
		h.Pressure = f.Pressure.pressure(b.c.AirBarA)
	}
	return h
}

// recipe reads the stages, or makes them of from, to, hold, boil_off and refills.
func (b *builder) recipe(f *batchFile) (all []demand.Stage) {
	if len(f.Stages) > 0 {
		for _, short := range []amount{f.From, f.To, f.Hold, f.BoilOff, f.Refills} {
			if short.set {
				b.add(short.at, "stands beside stages, which say it; want one of the two")
			}
		}
		for _, s := range f.Stages {
			all = append(all, demand.Stage{WaitH: s.Wait.base(), FromC: degC(s.From), ToC: s.To.base(), HoldH: s.Hold.base(),
				KPerMin: s.Gradient.base(), BoilOffFrac: s.BoilOff.base()})
			b.doubtBoiling(s.BoilOff, s.To)
		}
		if all[0].FromC == nil {
			b.add(f.Stages[0].From.at, `is missing; want the temperature that the first bath is filled with, for example "from: 15 degC"`)
			return nil
		}
		return all
	}
	if !f.From.set {
		b.add(f.From.at, `is missing; write for example "from: 15 degC", or stages`)
	}
	if !f.To.set {
		b.add(f.To.at, `is missing; write for example "to: 98 degC", or stages`)
	}
	if !f.From.set || !f.To.set {
		return nil
	}
	b.doubtBoiling(f.BoilOff, f.To)
	for range 1 + int(f.Refills.base()) {
		all = append(all, demand.Stage{FromC: degC(f.From), ToC: f.To.base(), HoldH: f.Hold.base(), BoilOffFrac: f.BoilOff.base()})
	}
	return all
}

// degC is a temperature, nil for one that was not written.
func degC(a amount) *float64 {
	if !a.set {
		return nil
	}
	v := a.base()
	return &v
}

// doubtBoiling doubts a boil-off far under the boiling point.
func (b *builder) doubtBoiling(boil, to amount) {
	const near = 5 // K
	p, err := steam.SatTemp(steam.BarAbs(b.c.AirBarA))
	if err == nil && boil.set && boil.base() > 0 && to.set && to.base() < p-near {
		b.doubtAt(boil.at, "boils off at %g degC, and water boils at %.1f degC here; it counts with the heat of evaporation at %g degC", to.base(), p, to.base())
	}
}

// bathLoss reads what the vessel loses.
func (b *builder) bathLoss(f *batchFile) demand.BathLoss {
	const roomC = 20
	l := demand.BathLoss{KW: f.Loss.base(), AreaM2: f.Surface.base(), WM2K: f.LossU.base(), AirC: f.Air.base()}
	switch {
	case f.Surface.set != f.LossU.set:
		missing, has := f.LossU, "surface"
		if !f.Surface.set {
			missing, has = f.Surface, "loss_coefficient"
		}
		b.add(missing.at, "is missing beside %s; want both or neither", has)
	case f.Surface.set && !f.Air.set:
		l.AirC = roomC
		b.note(f.Air.key, fmt.Sprintf("%d degC", roomC), "air round the vessel (indoors; common practice, no source)")
	case !f.Surface.set && f.Air.set:
		b.add(f.Air.at, "stands without a surface; want both or neither")
	}
	if !f.Surface.set && !f.Loss.set {
		b.note(f.Loss.key, "0 kW", "the vessel loses no heat")
	}
	return l
}
