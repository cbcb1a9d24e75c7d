package scenarios

import (
	"errors"
	"fmt"
	"slices"

	"noonkeep/demand"
	"noonkeep/plant/steam"
)

// House is a header's boiler house.
type House struct {
	demand.HouseBalance                    // with make-up by the season, at the year's mean
	Plant               demand.BoilerHouse // what it was made of
	ByStep              []float64          // own use by step where the make-up follows the season; nil for the same all year
	Coldest, Warmest    float64            // make-up of the year, degC
	FlashTo             string             // the header into which its condensate's flash steam goes; empty for none
}

// house sets a header's boiler house; nil where there is none, or a fault. Make-up by the season waits for the
// weather: until then the house has that of 10 degC, on which with a deaerator no temperature depends.
func (b *builder) house(f headerFile) *House {
	w := f.Condensate
	if w == nil || w.At.line == 0 { // left out, or no mapping, a fault that is noted already
		return nil
	}
	if f.Feedwater.set {
		b.add(f.Feedwater.at, "stands beside condensate, from which the feedwater's temperature follows; want one of the two")
	}
	b.unassume(f.Feedwater.key)
	before := len(b.faults.list)
	h := demand.BoilerHouse{
		Header: f.Pressure.pressure(b.c.AirBarA), AirBarA: b.c.AirBarA, ReturnFrac: w.Return.base(), MakeUpC: w.MakeUp.base(),
		Recovery: demand.Recovery(max(0, slices.Index([]string{"none", "flash", "full"}, w.Recovery.s))),
	}
	low := b.flashTo(f)
	if low != nil {
		h.FlashAt, h.FlashTaken = low.Pressure.pressure(b.c.AirBarA), true
	}
	b.tankOf(w, &h)
	b.condensateOf(w, &h)
	h.BlowdownFrac = b.blowdown(w)
	if w.MakeUp.word != "" {
		h.MakeUpC = 10
		if !w.Deaerator.set {
			b.add(w.MakeUp.at, `"season" needs a deaerator, since in an open tank the feedwater would follow the season too; write the year's mean, such as "12 degC"`)
		}
	}
	if h.Recovery == demand.FullRecovery {
		h.ApproachK = b.orUsual(w.Approach, "10 K")
	} else if w.Approach.set {
		b.doubtAt(w.Approach.at, "has no effect without full heat_recovery")
	}
	if len(b.faults.list) > before || !w.Return.set || !f.Pressure.set || b.faulty(w.MakeUp.key) || b.faulty(w.Recovery.key) {
		return nil
	}
	balance, err := h.Balance()
	if err != nil {
		b.houseFaults(f, err)
		return nil
	}
	if balance.Boils {
		b.doubtAt(w.At, "more heat comes back than the tank can take: %.4g kg/h boil off for each 1000 kg/h of process steam", 1000*balance.VentKgH)
	}
	house := &House{HouseBalance: balance, Plant: h, Coldest: h.MakeUpC, Warmest: h.MakeUpC}
	if low != nil {
		house.FlashTo = low.Name.s
	}
	return house
}

// tankOf sets the deaerator, if there is one.
func (b *builder) tankOf(w *condensateFile, h *demand.BoilerHouse) {
	if !w.Deaerator.set {
		if w.Vent.set {
			b.doubtAt(w.Vent.at, "has no effect without a deaerator")
		}
		return
	}
	if b.absolute(w.Deaerator) {
		h.Deaerator = w.Deaerator.pressure(b.c.AirBarA)
		h.VentFrac = b.orUsual(w.Vent, "0.1 %")
	}
}

// condensateOf sets how warm the condensate comes back.
func (b *builder) condensateOf(w *condensateFile, h *demand.BoilerHouse) {
	if w.FlashAt.set && b.absolute(w.FlashAt) {
		h.FlashAt = w.FlashAt.pressure(b.c.AirBarA)
	}
	switch {
	case w.Temperature.set || b.faulty(w.Temperature.key):
		h.CondensateC = w.Temperature.base()
	case h.FlashAt.Valid():
		tC, err := steam.SatTemp(h.FlashAt)
		b.wrapAny(w.FlashAt.at, err)
		h.CondensateC = tC
		b.note(w.Temperature.key, fmt.Sprintf("%.4g degC", tC), "as it leaves the flash, with no loss on its way")
	case w.Return.base() > 0:
		h.CondensateC = b.orUsual(w.Temperature, "90 degC")
	default:
		h.CondensateC = 90 // of nothing
	}
}

// blowdown is the blowdown as a share of the feedwater.
func (b *builder) blowdown(w *condensateFile) float64 {
	solids := w.FeedTDS.set || w.LimitTDS.set || b.faulty(w.FeedTDS.key) || b.faulty(w.LimitTDS.key)
	switch {
	case w.Blowdown.set && solids:
		b.add(w.Blowdown.at, "stands beside feed_tds and limit_tds, from which it follows; want one of the two")
	case w.Blowdown.set || b.faulty(w.Blowdown.key):
		return w.Blowdown.base()
	case !solids:
		return b.orUsual(w.Blowdown, "5 %")
	case !w.FeedTDS.set || !w.LimitTDS.set:
		if !b.faulty(w.FeedTDS.key) && !b.faulty(w.LimitTDS.key) {
			b.add(w.At, "has one of feed_tds and limit_tds; want both")
		}
	case w.FeedTDS.unit.dim != w.LimitTDS.unit.dim:
		b.add(w.FeedTDS.at, "%s and the limit of %s do not count alike; want one unit", quoted(w.FeedTDS.String()), w.LimitTDS)
	default:
		// Solids: feed F carries feed_tds, blowdown B limit_tds, steam none, so B/F = feed_tds/limit_tds.
		return w.FeedTDS.base() / w.LimitTDS.base()
	}
	return 0
}

// usualHouse is on what ground a value of a boiler house is filled in.
var usualHouse = map[string]string{
	"temperature": "condensate after its lines; common practice, no source",
	"blowdown":    "of the feedwater; 4 to 8 % are usual, US DOE Steam Tip Sheet 9, from memory",
	"vent":        "of the feedwater, with the gases; common practice, no source",
	"approach":    "drained blowdown over make-up; common practice, no source",
}

// orUsual gives a value as written, or a usual one that is then noted.
func (b *builder) orUsual(v amount, usual string) float64 {
	if v.set || b.faulty(v.key) {
		return v.base()
	}
	key := lastKey(v.key)
	kind := map[string]string{"temperature": "temperature", "blowdown": "share", "vent": "share", "approach": "warmth"}[key]
	q, err := parse(usual, kind)
	if err != nil {
		panic("scenarios: usual " + key + ": " + err.Error())
	}
	b.note(v.key, usual, usualHouse[key])
	return q.base()
}

// houseFaults notes a boiler house's faults, each at its key.
func (b *builder) houseFaults(f headerFile, err error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range many.Unwrap() {
			b.houseFaults(f, one)
		}
		return
	}
	w := f.Condensate
	var fault *demand.HouseFault
	if !errors.As(err, &fault) {
		b.wrap(w.At, err)
		return
	}
	blowdown, flashAt := w.Blowdown.at, w.FlashAt.at
	if w.FlashTo.set {
		flashAt = w.FlashTo.at
	}
	if w.FeedTDS.set {
		blowdown = w.FeedTDS.at
	}
	place, ok := map[string]at{
		"pressure": f.Pressure.at, "return": w.Return.at, "temperature": w.Temperature.at, "flash_at": flashAt, "make_up": w.MakeUp.at,
		"blowdown": blowdown, "deaerator": w.Deaerator.at, "vent": w.Vent.at, "heat_recovery": w.Recovery.at, "approach": w.Approach.at,
	}[fault.What]
	if !ok {
		place = w.At
	}
	b.add(place, "%s", fault.Text).Err = err
}

// followsSeason tells whether a header's own use waits for the weather.
func (b *builder) followsSeason(header int) bool {
	i := slices.Index(b.swap, header)
	return i >= 0 && b.c.Headers[header].House != nil && b.f.Headers[i].Condensate.MakeUp.word != ""
}

// seasonHouses works out boiler houses whose make-up follows the season.
func (b *builder) seasonHouses() {
	for i := range b.c.Headers {
		if !b.followsSeason(i) {
			continue
		}
		h := &b.c.Headers[i]
		w := b.f.Headers[slices.Index(b.swap, i)].Condensate
		year, err := demand.AirYearOf(b.c.Axis, b.c.Weather.AirC, b.c.Place.LatDeg < 0)
		if err != nil {
			b.wrap(w.MakeUp.at, err)
			continue
		}
		mainsC := year.MainsC(b.c.Axis)
		house := House{Plant: h.House.Plant, FlashTo: h.House.FlashTo, ByStep: make([]float64, len(mainsC)), Coldest: slices.Min(mainsC), Warmest: slices.Max(mainsC)}
		at := func(tC float64) float64 {
			house.Plant.MakeUpC = tC
			balance, err := house.Plant.Balance()
			if err != nil && len(b.faults.list) == 0 {
				b.wrap(w.MakeUp.at, err)
			}
			house.HouseBalance = balance
			return balance.OwnUseFrac
		}
		mean := 0.0
		for t, tC := range mainsC {
			if mean += tC / float64(len(mainsC)); t > 0 && tC == mainsC[t-1] {
				house.ByStep[t] = house.ByStep[t-1]
				continue
			}
			house.ByStep[t] = at(tC)
		}
		at(mean)
		h.House = &house
	}
}

// ownUse adds to a load what the boiler house itself takes for it: deaerator steam and blowdown. A load that is
// known at the boiler holds that already, and it is only shown apart.
func (b *builder) ownUse(load *Consumer) {
	house := b.c.Headers[load.Header].House
	if house == nil || len(load.KW) == 0 {
		return
	}
	stepH, own, all, kW := b.c.Axis.StepH(), 0.0, 0.0, slices.Clone(load.KW)
	for t, process := range load.KW {
		frac := house.OwnUseFrac
		if house.ByStep != nil && load.Moved == nil { // work that may be moved has the year's mean, whenever it is done
			frac = house.ByStep[t]
		}
		if load.AtBoiler {
			process /= 1 + frac
		} else {
			kW[t] = process * (1 + frac)
		}
		own += process * frac * stepH
		all += process * (1 + frac) * stepH
	}
	if load.AtBoiler && all > 0 {
		load.Parts = slices.Clone(load.Parts)
		for i := range load.Parts {
			load.Parts[i].KWh *= 1 - own/all
		}
	}
	load.KW = kW
	load.Parts = append(slices.Clip(load.Parts), demand.Part{Name: "deaerator and blowdown", KWh: own, Text: "what the boiler house takes for the process steam"})
	if load.Moved != nil {
		load.Moved = load.Moved.times(1 + house.OwnUseFrac)
	}
}

// times gives the work with all its heat and power taken so many times.
func (m Moved) times(by float64) *Moved {
	m.HeatKWh *= by
	m.MostKW *= by
	m.LeastKW *= by
	m.Windows = slices.Clone(m.Windows)
	for i := range m.Windows {
		m.Windows[i].HeatKWh *= by
	}
	return &m
}
