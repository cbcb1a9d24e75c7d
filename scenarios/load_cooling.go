package scenarios

import (
	"fmt"
	"io"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// coolingLoad is the heat of an absorption chiller.
func (b *builder) coolingLoad(f loadFile, load *Consumer) profile {
	c := f.Cooling
	cold, ok := b.cold(f, load)
	if c.Chiller == nil || b.faultIn(c.Chiller.At) {
		return nil
	}
	chiller := b.chiller(c.Chiller)
	if err := chiller.Check(); err != nil {
		b.wrap(c.Chiller.At, err)
		return nil
	}
	feedC, feeds := b.feed(c.Chiller, chiller, load.Header)
	if !ok || !feeds {
		return nil
	}
	load.LeastFeedC = chiller.LeastC
	load.Says += fmt.Sprintf(", through a %s chiller", chiller.Effect)
	return func() (clock.KW, []demand.Part, error) {
		kW, parts, err := cold()
		if err != nil {
			return nil, nil, err
		}
		heat, err := chiller.Heat(kW, feedC, b.c.Axis)
		if err != nil {
			return nil, nil, err
		}
		return heat, b.chillerParts(kW, heat, parts, chiller, feedC), nil
	}
}

// cold gives what works out a cooling load, with its parts in cold.
func (b *builder) cold(f loadFile, load *Consumer) (run profile, ok bool) {
	c := f.Cooling
	var keys []string
	for _, way := range []struct {
		key   string
		given bool
	}{{"power", c.Power.kind != ""}, {"series", c.Series.s != ""}, {"design", c.Design != nil}} {
		if way.given {
			keys = append(keys, way.key)
		}
	}
	switch {
	case len(keys) > 1:
		b.add(c.At, "has %s; want one of the two", andList(keys))
	case len(keys) == 0 && !b.faulty(c.Power.key) && !b.faulty(c.Series.key):
		b.add(c.At, "asks for no cold; write power, series or design")
	case c.Series.s != "":
		return b.coldSeries(f, load)
	case c.Design != nil:
		return b.coldByAir(f, load)
	case c.Power.set:
		if !b.hoursOf(f, load) {
			return nil, false
		}
		load.Load.KW = c.Power.base() // of cold
		run = b.steady(*load, "cold by the shift pattern")
		load.Load.KW = 0
		load.Says = fmt.Sprintf("%s of cold, %s", c.Power, load.Says)
		return run, true
	}
	b.hoursOf(f, load) // for its faults
	return nil, false
}

// coldSeries is a measured series of cold.
func (b *builder) coldSeries(f loadFile, load *Consumer) (profile, bool) {
	if f.hasHours() {
		b.add(f.At, "has hours or a season beside a series, which is taken as measured; want one of the two")
		return nil, false
	}
	name := f.Cooling.Series
	r, err := b.opened(name)
	if err != nil {
		return nil, false
	}
	defer r.Close()
	series, err := demand.ReadSeries(io.LimitReader(r, mostFileBytes), name.s)
	if err != nil {
		b.wrap(name.at, err)
		return nil, false
	}
	if series.Unit != demand.InKW {
		b.add(name.at, "%s: is in %s; want kW of cold", name.s, series.Unit)
		return nil, false
	}
	load.Says = "cold as measured in " + name.s
	return func() (clock.KW, []demand.Part, error) {
		kW, err := series.On(b.c.Axis)
		if err != nil {
			b.wrap(name.at, err)
			return make(clock.KW, b.c.Axis.N), nil, nil // the fault is noted at its key
		}
		return kW, []demand.Part{{Name: "cold measured in " + name.s, KWh: kW.EnergyKWh(b.c.Axis.StepH())}}, nil
	}, true
}

// coldByAir is a straight line in the outdoor air, in the hours of when.
func (b *builder) coldByAir(f loadFile, load *Consumer) (profile, bool) {
	d := f.Cooling.Design
	if !b.hoursOf(f, load) || !d.Cooling.set || !d.Air.set || !d.Balance.set || b.faulty(d.Base.key) {
		return nil, false
	}
	line := demand.CoolingLine{BaseKW: d.Base.base(), DesignKW: d.Cooling.base(), DesignC: d.Air.base(), BalanceC: d.Balance.base()}
	if err := line.Check(); err != nil {
		b.wrap(d.At, err)
		return nil, false
	}
	load.Says = fmt.Sprintf("%s of cold at %s, %s", d.Cooling, d.Air, load.Says)
	hours := load.Load
	hours.KW = 1
	return func() (clock.KW, []demand.Part, error) {
		on, err := hours.On(b.c.Axis, b.c.Calendar)
		if err != nil {
			return nil, nil, err
		}
		kW, err := line.KW(b.c.Weather.AirC)
		if err != nil {
			return nil, nil, err
		}
		base := 0.0
		for t := range kW {
			kW[t] *= on[t]
			base += line.BaseKW * on[t] * b.c.Axis.StepH()
		}
		parts := []demand.Part{{Name: "base cold", KWh: base}, {Name: "cold by the outdoor air", KWh: kW.EnergyKWh(b.c.Axis.StepH()) - base,
			Text: fmt.Sprintf("straight from %s to %s of air, and on", d.Balance, d.Air)}}
		if base == 0 {
			parts = parts[1:]
		}
		return kW, parts, nil
	}, true
}
