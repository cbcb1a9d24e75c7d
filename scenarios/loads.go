package scenarios

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// mostFileBytes is the size up to which a weather file or a series is read; a year by the minute has 15 MB.
const mostFileBytes = 256 << 20

// source is one way to say what a load takes. A load has exactly one.
type source struct {
	key     string
	written func(f loadFile) bool
	// read checks what stands under the key, notes all its faults, and gives what works the load's heat out;
	// nil for a fault.
	read func(b *builder, f loadFile, load *Consumer) profile
	sun  bool // the profile needs the weather year, and runs when there is one
}

// profile is a load's heat on the study's axis, and where each part of it came from.
type profile func() (clock.KW, []demand.Part, error)

// sources lists all ways, in the order in which messages name them. Each stands in its own file.
func sources() []source {
	return []source{
		{"steam", func(f loadFile) bool { return f.Steam.kind != "" }, (*builder).steamLoad, false},
		{"heat", func(f loadFile) bool { return f.Heat.kind != "" }, (*builder).heatLoad, false},
		{"bills", func(f loadFile) bool { return f.Bills != nil }, (*builder).billsLoad, true},
		{"series", func(f loadFile) bool { return f.Series.s != "" }, (*builder).seriesLoad, false},
		{"batch", func(f loadFile) bool { return f.Batch != nil }, (*builder).batchLoad, false},
		{"hot_water", func(f loadFile) bool { return f.HotWater != nil }, (*builder).hotWaterLoad, true},
		{"cooling", func(f loadFile) bool { return f.Cooling != nil }, (*builder).coolingLoad, true},
		{"log", func(f loadFile) bool { return f.Log != nil }, (*builder).logLoad, false},
		{"movable", func(f loadFile) bool { return f.Movable != nil }, (*builder).movableLoad, false},
	}
}

// job is a load whose heat waits for the weather year.
type job struct {
	f    loadFile
	load int // place in Case.Loads
	run  profile
	sun  bool // it waits for the weather year
}

// loads sets the loads, and the heat of those that need no weather.
func (b *builder) loads() {
	b.names("load", len(b.f.Loads), func(i int) text { return b.f.Loads[i].Name })
	if len(b.f.Loads) == 0 && b.f.Noonkeep.set && !b.faulty("loads") {
		b.doubts = append(b.doubts, Warning{Text: "loads: there is none, so nothing is to be saved"})
	}
	for _, f := range b.f.Loads {
		if !b.loadAgain(f) {
			b.noting("load "+f.Name.s, func() { b.load(f) })
		}
	}
	if len(b.jobs) == 0 {
		b.demands()
	}
}

// load sets one load. A variant takes it from the plant where nothing changes that it is made of (vary.go), so it
// may set nothing but its own place in Case.Loads, assumptions and doubts.
func (b *builder) load(f loadFile) {
	load := Consumer{Header: b.header(f.Header, f.At)}
	load.Name = f.Name.s
	from := b.sourceOf(f)
	if from == nil || load.Header < 0 || b.c.Axis.N == 0 {
		b.hoursOf(f, &load) // for its faults
		return
	}
	if !b.noSteam(f, b.c.Headers[load.Header]) || !b.loadMedium(f, &load) {
		return
	}
	b.steadyOnly(f, from.key)
	run := from.read(b, f, &load)
	if run == nil {
		return
	}
	b.c.Loads = append(b.c.Loads, load)
	todo := job{f, len(b.c.Loads) - 1, run, from.sun || b.followsSeason(load.Header)}
	if todo.sun {
		b.jobs = append(b.jobs, todo)
		return
	}
	b.finish(todo)
}

// sourceOf finds the one way in which a load is given; nil for a fault.
func (b *builder) sourceOf(f loadFile) *source {
	all := sources()
	var keys, wrong []string
	var found []*source
	for i := range all {
		keys = append(keys, all[i].key)
		if all[i].written(f) {
			found = append(found, &all[i])
		}
		if b.faulty(join(f.At.key, all[i].key)) {
			wrong = append(wrong, all[i].key)
		}
	}
	switch {
	case len(found) > 1:
		b.add(f.At, "has %d of %s; want one", len(found), andList(keys))
	case len(found) == 1:
		return found[0]
	case len(wrong) == 0:
		b.add(f.At, "takes nothing; write %s", orList(keys))
	}
	return nil
}

// finish works out a load's heat.
func (b *builder) finish(j job) {
	var err error
	load := &b.c.Loads[j.load]
	if load.KW, load.Parts, err = j.run(); err != nil {
		b.wrapLoad(j.f, err)
		return
	}
	process := *load
	b.turn(load)
	b.ownUse(load)
	b.keepLoad(process, *load, j.sun)
}

// waited works out what waited for the weather: loads, and the vessel, which may wait for them.
func (b *builder) waited() {
	b.seasonHouses()
	if len(b.jobs) == 0 {
		return
	}
	for _, j := range b.jobs {
		b.noting("load "+j.f.Name.s, func() { b.finish(j) })
	}
	b.demands()
	b.vessels()
}

// demands sums what each header must give.
func (b *builder) demands() {
	for i := range b.c.Headers {
		b.c.Headers[i].DemandKW, b.c.Headers[i].MovableKW = make(clock.KW, b.c.Axis.N), nil
	}
	for _, load := range b.c.Loads {
		h := &b.c.Headers[load.Header]
		sum := h.DemandKW
		if load.Moved != nil {
			if h.MovableKW == nil {
				h.MovableKW = make(clock.KW, b.c.Axis.N)
			}
			sum = h.MovableKW
		}
		for t, kW := range load.KW {
			sum[t] += kW
		}
	}
	b.flashSteam()
}

// known tells whether what a header carries is known.
func (h Header) known() bool { return h.HeatKJKg > 0 || h.Medium != nil }

// faulty tells whether a fault of this key is noted.
func (b *builder) faulty(key string) bool {
	for _, e := range b.faults.list {
		if e.Key == key {
			return true
		}
	}
	return false
}

// steamLoad is steam in the hours of a weekly pattern.
func (b *builder) steamLoad(f loadFile, load *Consumer) profile {
	if !b.hoursOf(f, load) || !b.workOf(f, load) || !f.Steam.set {
		return nil
	}
	load.Load.KW = f.Steam.base() * b.c.Headers[load.Header].HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
	return b.steady(*load, "steam by the shift pattern")
}

// heatLoad is heat in the hours of a weekly pattern.
func (b *builder) heatLoad(f loadFile, load *Consumer) profile {
	if !b.hoursOf(f, load) || !b.workOf(f, load) || !f.Heat.set {
		return nil
	}
	load.Load.KW = f.Heat.base()
	return b.steady(*load, "heat by the shift pattern")
}

// seriesLoad is a measured series that covers the year.
func (b *builder) seriesLoad(f loadFile, load *Consumer) profile {
	if f.hasHours() {
		b.add(f.At, "has hours or a season beside a series, which is taken as measured; want one of the two")
		return nil
	}
	if !b.c.Headers[load.Header].known() {
		return nil
	}
	r, err := b.opened(f.Series)
	if err != nil {
		return nil
	}
	defer r.Close()
	series, err := demand.ReadSeries(io.LimitReader(r, mostFileBytes), f.Series.s)
	if err != nil {
		b.wrap(f.Series.at, err)
		return nil
	}
	h := b.c.Headers[load.Header]
	if h.Medium != nil && series.Unit != demand.InKW {
		b.add(f.Series.at, "%s counts steam, and header %s carries %v; want kW", quoted(f.Series.s), quoted(h.Name), h.Medium)
		return nil
	}
	if series, err = series.Heat(h.Pressure, h.FeedwaterC); err != nil {
		b.wrap(f.Series.at, err)
		return nil
	}
	load.Series = &series
	load.Says = "as measured in " + f.Series.s
	return b.steady(*load, "measured in "+f.Series.s)
}

// opened opens a file that a scenario names, and notes what is wrong with it.
func (b *builder) opened(name text) (io.ReadCloser, error) {
	r, err := b.open(name.s)
	if err != nil {
		b.add(name.at, "%s: %v", strconv.Quote(name.s), cause(err)).Err = err
	}
	return r, err
}

// cause takes the call and the path off a system's error: the message names the file already.
func cause(err error) error {
	for {
		under := errors.Unwrap(err)
		if under == nil {
			return err
		}
		err = under
	}
}

// wrapLoad notes a load's faults without their repeated name.
func (b *builder) wrapLoad(f loadFile, err error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range many.Unwrap() {
			b.wrapLoad(f, one)
		}
		return
	}
	said := strings.TrimPrefix(err.Error(), fmt.Sprintf("load %q: ", f.Name.s))
	place := f.At
	switch {
	case strings.HasPrefix(said, "season: "):
		place, said = f.Season.at, strings.TrimPrefix(said, "season: ")
	case f.Series.set:
		place = f.Series.at
	}
	b.add(place, "%s", said).Err = err
}
