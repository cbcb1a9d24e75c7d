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

// loads sets the loads on the study's axis, and what each header must give.
func (b *builder) loads() {
	b.names("load", len(b.f.Loads), func(i int) text { return b.f.Loads[i].Name })
	if len(b.f.Loads) == 0 && b.f.Noonkeep.set && !b.faulty("loads") {
		b.doubts = append(b.doubts, Warning{Text: "loads: there is none, so nothing is to be saved"})
	}
	for i := range b.c.Headers {
		b.c.Headers[i].DemandKW = make(clock.KW, b.c.Axis.N)
	}
	for _, f := range b.f.Loads {
		load := Consumer{Header: b.header(f.Header, f.At)}
		load.Name = f.Name.s
		ok := b.hoursOf(f, &load) && b.heatOf(f, &load) && load.Header >= 0 && b.c.Axis.N > 0
		if !ok {
			continue
		}
		var err error
		if load.KW, err = load.On(b.c.Axis, b.c.Calendar); err != nil {
			b.wrapLoad(f, err)
			continue
		}
		sum := b.c.Headers[load.Header].DemandKW
		for t, kW := range load.KW {
			sum[t] += kW
		}
		b.c.Loads = append(b.c.Loads, load)
	}
}

// faulty tells whether a fault of this key is noted.
func (b *builder) faulty(key string) bool {
	for _, e := range b.faults.list {
		if e.Key == key {
			return true
		}
	}
	return false
}

// hoursOf sets the hours and the season; false for a fault.
func (b *builder) hoursOf(f loadFile, load *Consumer) bool {
	ok := true
	if f.When.set {
		when, err := clock.ParseWhen(f.When.s)
		if err != nil {
			b.wrap(f.When.at, err)
			ok = false
		}
		load.When = when
	} else if !f.Series.set {
		load.When = clock.Always()
		b.note(f.When.key, "always", "it runs all hours but on shutdown days")
	}
	if f.Season.set {
		season, err := clock.ParseSpan(f.Season.s)
		if err != nil {
			b.wrap(f.Season.at, err)
			ok = false
		}
		load.Season = &season
	}
	return ok
}

// heatOf sets how much the load takes: one of steam, heat and series. False for a fault.
func (b *builder) heatOf(f loadFile, load *Consumer) bool {
	written := 0
	for _, set := range []bool{f.Steam.kind != "", f.Heat.kind != "", f.Series.s != ""} {
		if set {
			written++
		}
	}
	switch {
	case written > 1:
		b.add(f.At, "has %d of steam, heat and series; want one", written)
		return false
	case f.Series.set:
		return b.seriesOf(f, load)
	case f.Heat.set:
		load.Load.KW = f.Heat.base()
		return true
	case f.Steam.set && load.Header >= 0:
		load.Load.KW = f.Steam.base() * b.c.Headers[load.Header].HeatKJKg / 3600 // kg/h by kJ/kg is kJ/h
		return true
	case written == 0 && !b.faulty(f.Steam.key) && !b.faulty(f.Heat.key):
		b.add(f.At, "takes nothing; write steam, heat or series")
	}
	return false
}

// seriesOf reads a load's measured series.
func (b *builder) seriesOf(f loadFile, load *Consumer) bool {
	if f.When.set || f.Season.set {
		b.add(f.At, "has hours or a season beside a series, which is taken as measured; want one of the two")
		return false
	}
	if load.Header < 0 || b.c.Headers[load.Header].HeatKJKg == 0 {
		return false
	}
	r, err := b.opened(f.Series)
	if err != nil {
		return false
	}
	defer r.Close()
	series, err := demand.ReadSeries(io.LimitReader(r, mostFileBytes), f.Series.s)
	if err != nil {
		b.wrap(f.Series.at, err)
		return false
	}
	h := b.c.Headers[load.Header]
	if series, err = series.Heat(h.Pressure, h.FeedwaterC); err != nil {
		b.wrap(f.Series.at, err)
		return false
	}
	load.Series = &series
	return true
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
