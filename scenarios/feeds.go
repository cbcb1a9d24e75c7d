package scenarios

import (
	"fmt"

	"noonkeep/demand"
	"noonkeep/plant"
	"noonkeep/plant/clock"
	"noonkeep/plant/steam"
)

// Feeds says where a field's heat goes.
type Feeds int

const (
	ToHeaderAndStore Feeds = iota
	ToStoreAlone
	ToFeedwater
)

// Preheat is what a field on the feedwater of a header may do. Its heat counts as the header's: it is heat that the
// boilers need not give.
type Preheat struct {
	FromC, ToC float64 // of the water
	MakeUp     bool    // it warms the make-up before a deaerator, which then needs the less steam; else the feedwater
	// ShareFrac is the most that it can give, of the header's load at the time.
	ShareFrac float64
}

// MeanC is the mean temperature of the water that it warms.
func (p Preheat) MeanC() float64 { return (p.FromC + p.ToC) / 2 }

// Yield is the field's heat where it mainly goes: to header or feedwater, or to the first store that it alone feeds.
func (f Field) Yield() plant.YieldYear {
	if f.Feeds != ToStoreAlone {
		return f.ToHeader
	}
	for _, y := range f.ToStores {
		if y.KWM2 != nil {
			return y
		}
	}
	return f.ToStore
}

// feeds sets where a field's heat goes.
func (b *builder) feeds(f fieldFile, field *Field) {
	switch f.Feeds.s {
	case "store":
		field.Feeds = ToStoreAlone
		if len(b.storeFiles()) == 0 {
			b.add(f.Feeds.at, "is the store, and the scenario has none")
		}
		if f.ChargesStore.set && !f.ChargesStore.yes {
			b.add(f.ChargesStore.at, "stands beside feeds: store; one of them is wrong")
		}
		if f.Header.set {
			b.doubtAt(f.Header.at, "has no effect on a field that feeds the store alone")
		}
		b.unassume(f.Header.key)
		b.unassume(f.ChargesStore.key)
	case "feedwater":
		field.Feeds = ToFeedwater
		if f.ChargesStore.set && f.ChargesStore.yes {
			b.add(f.ChargesStore.at, "stands beside feeds: feedwater; such a field is cooler than the store")
		}
		if len(f.Charges) > 0 {
			b.add(f.Charges[0].at, "stands beside feeds: feedwater; such a field is cooler than the store")
		}
		b.unassume(f.ChargesStore.key)
		for _, other := range b.c.Fields {
			if other.Feeds == ToFeedwater && other.Header == field.Header {
				b.add(f.Feeds.at, "is that of field %s too; want one field on a header's feedwater", quoted(other.Name))
			}
		}
		b.preheat(f, field)
		return
	}
	if f.PreheatTo.set {
		b.doubtAt(f.PreheatTo.at, "has no effect on a field that does not feed the feedwater")
	}
}

// noHeat is what a field that feeds the store alone gives its header, step by step; a variant shares it with its origin.
func (b *builder) noHeat() clock.KW {
	if b.from != nil {
		for _, known := range b.from.c.Fields {
			if known.Feeds == ToStoreAlone && len(known.ToHeader.KWM2) == b.c.Axis.N {
				return known.ToHeader.KWM2
			}
		}
	}
	return make(clock.KW, b.c.Axis.N)
}

// usualPreheatC is just below boiling in an open feed tank.
const usualPreheatC = 95

// preheat works out what a field on the feedwater may give.
func (b *builder) preheat(f fieldFile, field *Field) {
	if field.Header < 0 || len(b.faults.list) > 0 {
		return
	}
	h := &b.c.Headers[field.Header]
	if h.Medium != nil {
		b.add(f.Feeds.at, "header %s carries %v, which has no feedwater", quoted(h.Name), h.Medium)
		return
	}
	p := Preheat{FromC: h.FeedwaterC, ToC: usualPreheatC}
	if h.House != nil && h.House.Plant.Deaerator.Valid() {
		p.MakeUp, p.FromC = true, h.House.Plant.MakeUpC
	}
	if f.PreheatTo.set {
		p.ToC = f.PreheatTo.base()
	} else {
		b.note(f.PreheatTo.key, fmt.Sprintf("%d degC", usualPreheatC), "below boiling in an open tank (common practice, no source)")
	}
	what := "feedwater"
	if p.MakeUp {
		what = "make-up before the deaerator"
	}
	switch {
	case p.ToC <= p.FromC:
		b.add(f.Feeds.at, "has nothing to warm: the %s of header %s comes at %.4g degC, and %.4g degC is the most", what, quoted(h.Name), p.FromC, p.ToC)
	case p.ToC >= h.SteamC:
		b.add(f.PreheatTo.at, "%.4g degC is not below the %.4g degC of header %s", p.ToC, h.SteamC, quoted(h.Name))
	case p.MakeUp && p.ToC > h.House.FeedwaterC:
		b.add(f.PreheatTo.at, "%.4g degC is above the deaerator's %.4g degC; want at most that", p.ToC, h.House.FeedwaterC)
	}
	if len(b.faults.list) > 0 {
		return
	}
	var err error
	if p.ShareFrac, err = preheatShare(p, h); err != nil {
		b.wrap(f.Feeds.at, err)
		return
	}
	field.Preheat = &p
	b.note(f.Feeds.key, fmt.Sprintf("%.3g %% of the load", 100*p.ShareFrac),
		fmt.Sprintf("at most, the %s of header %s warmed from %.4g to %.4g degC", what, h.Name, p.FromC, p.ToC))
}

// preheatShare is the most that warming the water can give, of the header's load.
//
// Feedwater: with F kg of it for a load of Q, F (h(to) - h(from)) / Q. Without a boiler house F/Q is 1/(hg - hfw).
// Make-up before a deaerator: the boilers' heat with cold make-up less that with warm, which also stops where the
// deaerator needs no more steam.
func preheatShare(p Preheat, h *Header) (float64, error) {
	lift, err := liftKJKg(h, p.FromC, p.ToC)
	if err != nil {
		return 0, err
	}
	if h.House == nil {
		return lift / h.HeatKJKg, nil
	}
	cold := h.House.HouseBalance
	const kJPerKWh = 3600
	if !p.MakeUp {
		return cold.FeedKgH * lift / kJPerKWh / cold.BoilerKW, nil
	}
	plant := h.House.Plant
	if cold, err = plant.Balance(); err != nil {
		return 0, err
	}
	plant.MakeUpC = p.ToC
	var warm demand.HouseBalance
	if warm, err = plant.Balance(); err != nil {
		return 0, err
	}
	given := cold.MakeUpKgH * lift / kJPerKWh
	return min(given, cold.BoilerKW-warm.BoilerKW) / cold.BoilerKW, nil
}

func liftKJKg(h *Header, fromC, toC float64) (float64, error) {
	from, err := steam.Liquid(h.Pressure, fromC)
	if err != nil {
		return 0, err
	}
	to, err := steam.Liquid(h.Pressure, toC)
	return to.HKJKg - from.HKJKg, err
}
