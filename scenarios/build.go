package scenarios

import (
	"cmp"
	"reflect"
	"slices"
	"strings"
	"time"

	"noonkeep/plant"
	"noonkeep/plant/clock"
	"noonkeep/plant/sky"
)

// builder makes a Case of what was read. Its stages run in the order in which they need each other;
// each notes all its faults and leaves zero values behind them.
type builder struct {
	*decoder
	f    file
	c    Case
	open Open
	jobs []job // loads that wait for the weather
	swap []int // place in Case.Headers of each header as written

	from  *origin // the plant whose variant this is; nil for a scenario of its own
	noted map[string]noted
	kept  map[string]keptLoad

	turned map[string]time.Duration // loads whose heat comes so much later in the year (move.go)
	given  *otherYear               // the weather year in place of the scenario's own (years.go); nil for that
}

// build runs all stages: those that look at the scenario alone, and then the year of sun.
func (b *builder) build() (Case, error) {
	b.understand()
	for _, stage := range []func(){b.sky, b.waited, b.series} {
		if err := b.err(); err != nil {
			return Case{}, err
		}
		stage()
	}
	if err := b.err(); err != nil {
		return Case{}, err
	}
	b.doubt()
	b.clocks()
	b.sortAssumed()
	b.c.Assumptions = b.assumed
	b.c.Warnings = b.doubts
	slices.SortStableFunc(b.c.Warnings, func(a, b Warning) int { return cmp.Compare(a.Line, b.Line) })
	b.c.made = &origin{root: b.root, f: b.f, c: b.c, open: b.open, given: b.given, noted: b.noted, loads: b.kept}
	return b.c, nil
}

// understand runs the stages that need no sun. It notes all their faults.
func (b *builder) understand() {
	b.c.Name, b.c.File = b.f.Name.s, b.file
	b.money()
	b.site()
	b.headers()
	b.power()
	b.fuelList()
	b.boilers()
	b.limits()
	b.loads()
	b.fields()
	b.stores()
	b.business()
	b.unsure()
	b.variants()
}

// sortAssumed brings the assumptions into the order of a scenario's sections.
func (b *builder) sortAssumed() {
	order := keysOf(reflect.TypeFor[file]())
	section := func(a Assumption) int { return slices.Index(order, a.Key[:strings.IndexAny(a.Key+".", ".[")]) }
	slices.SortStableFunc(b.assumed, func(x, y Assumption) int { return cmp.Compare(section(x), section(y)) })
}

// site sets place, air pressure, axis and calendar.
func (b *builder) site() {
	f := b.f.Site
	offset, err := clock.ParseOffset(f.UTCOffset.s)
	switch {
	case f.UTCOffset.set && number.FindString(f.UTCOffset.s) == f.UTCOffset.s:
		b.add(f.UTCOffset.at, "%s has no unit; write \"%+g h\"", quoted(f.UTCOffset.s), offset.Hours())
	case f.UTCOffset.set && err != nil:
		b.wrap(f.UTCOffset.at, err)
	}
	b.c.Place = sky.Place{LatDeg: f.Latitude.base(), LonDeg: f.Longitude.base(), ElevationM: f.Elevation.base(), UTCOffset: offset}
	b.c.AirBarA = sky.AirPressureBarA(b.c.Place.ElevationM)
	if len(b.faults.list) == 0 {
		b.wrapAny(f.At, b.c.Place.Check())
	}
	t := b.f.Time
	if !t.Year.set && t.Year.num == 0 || t.Step.num == 0 {
		return // a fault that is noted already
	}
	axis, err := clock.NewYear(int(t.Year.base()), hours(t.Step.base()), offset)
	b.wrapAny(t.Step.at, err)
	b.c.Axis = axis
	b.summerTime()
	for _, day := range t.Holidays {
		date, err := clock.ParseDate(day.s)
		b.wrapAny(day.at, err)
		b.c.Calendar.Holidays = append(b.c.Calendar.Holidays, date)
		b.otherYear(day.at, date, date)
	}
	for _, days := range t.Shutdown {
		span, err := clock.ParseSpan(days.s)
		b.wrapAny(days.at, err)
		b.c.Calendar.Shutdowns = append(b.c.Calendar.Shutdowns, span)
		b.otherYear(days.at, span.From, span.To)
	}
}

// otherYear doubts dates that cannot fall into the study's year.
func (b *builder) otherYear(p at, from, to clock.Date) {
	year := int(b.f.Time.Year.base())
	if from.Year > year || to.Year != 0 && to.Year < year {
		b.doubtAt(p, "lies outside the study's year %d and has no effect", year)
	}
}

// headers sets the headers, highest pressure first.
func (b *builder) headers() {
	b.names("header", len(b.f.Headers), func(i int) text { return b.f.Headers[i].Name })
	if len(b.f.Headers) == 0 && !b.faulty("headers") {
		b.add(at{line: b.f.At.line, key: "headers"}, "is empty; want at least one header")
	}
	order := make([]int, len(b.f.Headers))
	all := make([]Header, len(b.f.Headers))
	for i, f := range b.f.Headers {
		order[i] = i
		h := Header{UnmetPerKWh: f.Unmet.base(), FromAbove: f.Valve.yes}
		h.Header = plant.Header{Name: f.Name.s, Pressure: f.Pressure.pressure(b.c.AirBarA), FeedwaterC: f.Feedwater.base()}
		if h.House = b.house(f); h.House != nil {
			h.FeedwaterC = h.House.FeedwaterC
		}
		switch {
		case f.Medium != nil:
			b.medium(f, &h)
		case !f.Pressure.set && !b.faulty(f.Pressure.key):
			b.add(f.Pressure.at, `is missing; write for example "pressure: 6 bar(g)"`)
		case f.Pressure.set && b.absolute(f.Pressure):
			var err error
			if h.SteamC, err = h.Header.SteamC(); err != nil {
				b.wrap(f.Pressure.at, err)
			} else if h.HeatKJKg, err = h.Header.HeatKJKg(); err != nil {
				b.wrap(f.Feedwater.at, err)
			}
		}
		all[i] = h
	}
	slices.SortStableFunc(order, func(i, j int) int { return hotter(all[i], all[j]) })
	b.swap = make([]int, len(all))
	for place, i := range order {
		b.swap[i] = place
		b.c.Headers = append(b.c.Headers, all[i])
	}
	b.above()
}

// absolute refuses a pressure at or below nothing.
func (b *builder) absolute(p amount) bool {
	if p.pressure(b.c.AirBarA).BarAbs() > 0 {
		return true
	}
	b.add(p.at, "%s is no pressure; want more than 0 bar(a)", quoted(p.String()))
	return false
}

func fuelNames(all []fuelFile) []string {
	var names []string
	for _, f := range all {
		names = append(names, f.Name.s)
	}
	return names
}

// header finds the header that a thing names, the first written one when it names none; -1 for a fault.
// Where there are several, a thing that names none is told so by an assumption.
func (b *builder) header(name text, near at) int {
	var names []string
	for _, f := range b.f.Headers {
		names = append(names, f.Name.s)
	}
	i := b.pick("header", name, near, names)
	if i < 0 {
		return -1
	}
	return b.swap[i]
}

// pick finds what a thing names among names, the first when it names none; -1 when there is none such.
func (b *builder) pick(what string, name text, near at, names []string) int {
	if name.s == "" {
		if len(names) == 0 {
			if what != "header" && !b.faulty(what+"s") { // a scenario without a header is a fault already
				b.add(near, "needs a %s, and the scenario has none", what)
			}
			return -1
		}
		if len(names) > 1 {
			b.note(name.key, names[0], "the first "+what)
		}
		return 0
	}
	if i := slices.Index(names, name.s); i >= 0 {
		return i
	}
	if len(names) == 0 && b.faulty(what+"s") {
		return -1
	}
	tail, like := wantOneOf(name.s, names)
	b.add(name.at, "no %s is called %s; %s", what, quoted(name.s), tail).Near = like
	return -1
}

// names refuses two things of one name.
func (b *builder) names(what string, n int, name func(int) text) {
	seen := map[string]at{}
	for i := range n {
		t := name(i)
		if !t.set {
			continue
		}
		if first, twice := seen[t.s]; twice {
			b.add(t.at, "a second %s is called %s, the first in line %d; give each its own name", what, quoted(t.s), first.line)
			continue
		}
		seen[t.s] = t.at
	}
}

// wrapAny notes an error if there is one.
func (b *builder) wrapAny(p at, err error) {
	if err != nil {
		b.wrap(p, err)
	}
}
