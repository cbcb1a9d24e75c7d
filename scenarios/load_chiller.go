package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"noonkeep/demand"
	"noonkeep/plant/clock"
	"noonkeep/storage"
)

// What a chiller wants when its scenario does not say. The temperatures lie in the usual ranges (ASHRAE Handbook,
// Refrigeration, from memory): hot water 80 to 115 degC or steam of 0.6 to 1.0 bar(g) for a single effect, 150 to
// 190 degC or 5.5 to 10 bar(g) for a double effect.
const (
	doubleGeneratorC   = 165.
	steamGeneratorC    = 115.
	hotWaterGeneratorC = 90.
	leastUnderK        = 15. // common practice, no source
	usualApproachK     = 5.  // common practice, no source
)

// chiller fills in what its scenario leaves out.
func (b *builder) chiller(f *chillerFile) demand.Chiller {
	c := demand.Chiller{Effect: demand.SingleEffect, CapacityKW: f.Capacity.base(), CoolingC: f.CoolingWater.base(), ChilledC: f.ChilledWater.base()}
	wants := steamGeneratorC
	switch {
	case f.Kind.s == demand.DoubleEffect.String():
		c.Effect, wants = demand.DoubleEffect, doubleGeneratorC
	case f.FiredBy.s == "hot water":
		wants = hotWaterGeneratorC
	}
	or := func(a amount, usual float64, value, say string) float64 {
		if a.kind != "" {
			return a.base()
		}
		b.note(a.key, fmt.Sprintf(value, usual), say)
		return usual
	}
	c.GeneratorC = or(f.Generator, wants, "%g degC", "what the generator of a "+c.Effect.String()+" wants (from memory, ASHRAE Handbook, Refrigeration)")
	c.LeastC = or(f.Least, c.GeneratorC-leastUnderK, "%g degC", "the coldest heat that it works with, 15 K less than it wants; common practice, no source")
	c.COP = or(f.COP, c.Effect.UsualCOP(), "%g", "cold per heat of a "+c.Effect.String())
	usual := c.Effect.UsualLeastFrac()
	c.LeastFrac = or(f.LeastCapacity, 100*usual, "%g %%", "of the capacity is left with the coldest heat; common practice, no source")
	if f.LeastCapacity.kind == "" {
		c.LeastFrac = usual
	}
	if len(f.PartLoad) == 0 {
		b.note(join(f.At.key, "part_load"), "by the usual curve", "COP at part load, EnergyPlus Engineering Reference")
	}
	for _, p := range f.PartLoad {
		c.PartLoad = append(c.PartLoad, demand.LoadPoint{LoadFrac: p.Load.base(), COPFrac: p.COP.base()})
	}
	return c
}

// feed gives the coldest heat that the generator may be given: the header's steam, or water that it heats, or that of an exchanger
// store which serves the header. Capacity and COP are taken at it. False for a fault.
func (b *builder) feed(f *chillerFile, c demand.Chiller, header int) (feedC float64, ok bool) {
	h := b.c.Headers[header]
	if h.SteamC == 0 {
		return 0, false // a fault that is noted already
	}
	feedC = h.SteamC
	says := fmt.Sprintf("the steam of header %s has %.4g degC", quoted(h.Name), feedC)
	if f.FiredBy.s == "hot water" {
		approach := f.Approach.base()
		if f.Approach.kind == "" {
			approach = usualApproachK
			b.note(f.Approach.key, "5 K", "header steam over hot water; common practice, no source")
		}
		feedC -= approach
		says += fmt.Sprintf(", water that it heats %.4g", feedC)
	} else if f.Approach.set {
		b.doubtAt(f.Approach.at, "has no effect on a chiller fired by steam")
	}
	if feedC < c.LeastC {
		at := f.Least.at
		if !at.set && f.Generator.set {
			at = f.Generator.at
		}
		b.add(at, "%s; the generator needs %.4g at least: want a header of more pressure, or a chiller that works with less", says, c.LeastC)
		return 0, false
	}
	for _, s := range b.exchangersOn(header) {
		supply := c.LeastC
		if s.Supply.kind != "" {
			supply = s.Supply.base()
		}
		if supply < c.LeastC && s.Supply.set {
			b.add(s.Supply.at, "%s is too cold for the generator of %s, which needs %.4g degC at least", quoted(s.Supply.String()), strings.TrimSuffix(f.At.key, ".cooling.chiller"), c.LeastC)
			return 0, false
		}
		feedC = min(feedC, supply)
	}
	return min(feedC, c.GeneratorC), true
}

// exchangersOn are the stores that serve a header through an exchanger.
func (b *builder) exchangersOn(header int) []*storeFile {
	var list []*storeFile
	for _, s := range b.storeFiles() {
		if s.Vessel.s == storage.Flash.String() || len(b.swap) == 0 {
			continue
		}
		if s.Header.s == "" && b.swap[0] == header || b.c.Headers[header].Name == s.Header.s {
			list = append(list, s)
		}
	}
	return list
}

// supplyFor is what an exchanger store must give at least where its scenario writes no supply: the most that the
// chillers' generators and the hot water of its header need, or the header's steam temperature where there is no chiller.
func (b *builder) supplyFor(f *storeFile, h Header) (tC float64, say string) {
	var from string
	var others []string
	cooled := false
	for _, l := range b.c.Loads {
		switch {
		case b.c.Headers[l.Header].Name != h.Name:
			continue
		case l.LeastFeedC == 0:
			others = append(others, l.Name)
		case l.LeastFeedC > tC:
			tC, from = l.LeastFeedC, l.Name
		}
		cooled = cooled || l.Medium != nil || slices.ContainsFunc(b.f.Loads, func(f loadFile) bool { return f.Name.s == l.Name && f.Cooling != nil })
	}
	switch {
	case h.Medium != nil:
		return h.Medium.SupplyC, "the supply of header " + h.Name
	case !cooled:
		return h.SteamC, "the steam temperature of header " + h.Name
	}
	if len(others) > 0 {
		b.doubtAt(f.At, "gives %.4g degC at least, for %s; %s must do with that too, or write supply", tC, from, andList(others))
	}
	return tC, "the coldest heat that " + from + " works with"
}

// chillerParts turns parts of cold into parts of heat, each by its share of the cold.
func (b *builder) chillerParts(cold, heat clock.KW, parts []demand.Part, c demand.Chiller, feedC float64) []demand.Part {
	stepH := b.c.Axis.StepH()
	coldKWh, heatKWh := cold.EnergyKWh(stepH), heat.EnergyKWh(stepH)
	if coldKWh == 0 {
		return []demand.Part{{Name: "heat for no cold"}}
	}
	left := heatKWh
	for i := range parts {
		p := &parts[i]
		text := fmt.Sprintf("%.4g MWh of cold by a %s chiller, COP %.3g in the mean, capacity %.4g kW with heat of %.4g degC", p.KWh/1000, c.Effect, coldKWh/heatKWh, c.CapacityAt(feedC), feedC)
		if p.Text != "" {
			text += "; " + p.Text
		}
		p.Name = strings.Replace(p.Name, "cold", "heat for cold", 1)
		p.Text = text
		p.KWh *= heatKWh / coldKWh
		if i == len(parts)-1 {
			p.KWh = left
		}
		left -= p.KWh
	}
	return parts
}

// faultIn tells whether a fault of a mapping, or of anything in it, is noted.
func (b *builder) faultIn(p at) bool {
	for _, e := range b.faults.list {
		if e.Key == p.key || strings.HasPrefix(e.Key, p.key+".") || strings.HasPrefix(e.Key, p.key+"[") {
			return true
		}
	}
	return false
}
