package scenarios

import (
	"fmt"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// workOf sets breaks, ramp, start-up and cleaning, and says them; false for a fault.
func (b *builder) workOf(f loadFile, load *Consumer) bool {
	before := len(b.faults.list)
	if f.Breaks.set {
		breaks, err := clock.ParseWhen(f.Breaks.s)
		b.wrapAny(f.Breaks.at, err)
		load.Breaks = breaks
		switch {
		case f.BreakLoad.set:
			load.BreakFrac = f.BreakLoad.base()
		case b.faulty(f.BreakLoad.key):
			return false
		default:
			b.note(f.BreakLoad.key, "0", "in its breaks it takes nothing")
		}
		share := "nothing"
		if load.BreakFrac > 0 {
			share = fmt.Sprintf("%.3g %%", 100*load.BreakFrac)
		}
		load.Says += fmt.Sprintf("; %s in breaks %s", share, breaks)
	} else if f.BreakLoad.set {
		b.add(f.BreakLoad.at, "stands without breaks; write breaks, such as \"daily 12:00-12:30\"")
	}
	if f.Ramp.set {
		load.Ramp = hours(f.Ramp.base())
		load.Says += "; full after " + f.Ramp.String()
	}
	startUp, okStart := b.extraOf(f.StartUp, "start-up", load)
	cleanUp, okClean := b.extraOf(f.CleanUp, "cleaning", load)
	load.StartUp, load.CleanUp = startUp, cleanUp
	if !okStart || !okClean || len(b.faults.list) > before || b.faulty(f.Ramp.key) {
		return false
	}
	b.doubtWork(f, load.Load)
	return true
}

func (b *builder) extraOf(f *extraFile, what string, load *Consumer) (e demand.Extra, ok bool) {
	if f == nil {
		return e, true
	}
	h := b.c.Headers[load.Header]
	switch {
	case f.Steam.set && f.Heat.set:
		b.add(f.At, "has both steam and heat; want one of the two")
	case !f.Steam.set && !f.Heat.set && !b.faulty(f.Steam.key) && !b.faulty(f.Heat.key):
		b.add(f.At, "takes nothing; write steam or heat")
	}
	e = demand.Extra{KW: f.Heat.base(), Lasts: hours(f.Lasts.base())}
	if f.Steam.set {
		e.KW = f.Steam.base() * h.HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
	}
	load.Says += fmt.Sprintf("; %s of %s at %.4g kW", what, f.Lasts, e.KW)
	return e, f.Lasts.set && f.Steam.set != f.Heat.set
}

// steadyOnly refuses what belongs to a shift pattern beside another way to give a load.
func (b *builder) steadyOnly(f loadFile, way string) {
	if way == "steam" || way == "heat" {
		return
	}
	var places []at
	if f.Breaks.set {
		places = append(places, f.Breaks.at)
	}
	for _, x := range []amount{f.BreakLoad, f.Ramp} {
		if x.set {
			places = append(places, x.at)
		}
	}
	for _, x := range []*extraFile{f.StartUp, f.CleanUp} {
		if x != nil {
			places = append(places, x.At)
		}
	}
	for _, p := range places {
		b.add(p, "goes with steam or heat by the hours of a week; a load by %s has no such thing", way)
	}
}

// doubtWork doubts breaks, start-up and cleaning that never come.
func (b *builder) doubtWork(f loadFile, load demand.Load) {
	a, c := b.c.Axis, b.c.Calendar
	if f.Breaks.set && load.BreakH(a, c) == 0 {
		b.doubtAt(f.Breaks.at, "lie outside the load's hours and change nothing")
	}
	starts, stops := load.Turns(a, c)
	if f.StartUp != nil && starts == 0 {
		b.doubtAt(f.StartUp.At, "never comes: the load runs on and on")
	}
	if f.CleanUp != nil && stops == 0 {
		b.doubtAt(f.CleanUp.At, "never comes: the load runs on and on")
	}
}

// steady gives a load that package demand knows by itself; part is the name of its work.
func (b *builder) steady(load Consumer, part string) profile {
	return func() (clock.KW, []demand.Part, error) {
		kW, parts, err := load.Heat(b.c.Axis, b.c.Calendar)
		if err != nil {
			return nil, nil, err
		}
		parts[0].Name = part
		return kW, parts, nil
	}
}
