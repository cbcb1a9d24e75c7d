package scenarios

import (
	"fmt"
	"strings"

	"noonkeep/plant/clock"
)

// summerTime sets the rule by which the clock on the wall is changed.
func (b *builder) summerTime() {
	f := b.f.Time.Summer
	if !f.set || f.s == "none" {
		return
	}
	rule, err := clock.ParseSummerTime(f.s)
	if err != nil {
		b.wrap(f.at, err)
		return
	}
	b.c.Calendar.Summer = rule
	b.otherYear(f.at, rule.From.Date, rule.To.Date)
}

// clocks says that no summer time is supposed, where hours would follow it.
func (b *builder) clocks() {
	if b.f.Time.Summer.set {
		return
	}
	for _, f := range b.f.Loads {
		if way, t := patternOf(f); way != nil && t.s != clock.Always().String() {
			b.note("time.summer_time", "none", "the hours of the loads stay on standard time all year; write none, or when the clocks are changed")
			return
		}
	}
}

// hoursOf sets the hours and the seasons, and says them; false for a fault.
func (b *builder) hoursOf(f loadFile, load *Consumer) bool {
	when, okWhen := b.patternOf(f)
	seasons, okSeasons := b.seasonsOf(f)
	load.When, load.Seasons = when, seasons
	load.Says = when.String()
	if len(seasons) > 0 {
		var days []string
		for _, s := range seasons {
			days = append(days, s.String())
		}
		load.Says += ", in " + andList(days)
	}
	if okWhen && okSeasons && b.c.Axis.N > 0 {
		load.Says += oddNights(when.OddNights(b.c.Axis, b.c.Calendar, seasons...))
	}
	return okWhen && okSeasons
}

// oddNights says what the nights on which the clocks are changed make of a load's hours.
func oddNights(nights []clock.OddNight) string {
	said := ""
	for _, n := range nights {
		day := n.At.Format("2 Jan")
		switch {
		case n.H < 0:
			said += fmt.Sprintf(", %.4g h fewer on %s", -n.H, day)
		case n.H > 0:
			said += fmt.Sprintf(", %.4g h more on %s", n.H, day)
		}
	}
	return said
}

// patternOf gives the hours of the week, or of weeks that take turns; always where none are written.
func (b *builder) patternOf(f loadFile) (clock.When, bool) {
	switch {
	case f.Rota != nil:
		return b.rotaOf(f)
	case f.RotaFrom.set:
		b.add(f.RotaFrom.at, "stands without rota; write rota: [..., ...], a pattern for each week")
		return clock.When{}, false
	case !f.When.set:
		b.note(f.When.key, "always", "it runs all hours but on shutdown days")
		return clock.Always(), true
	}
	when, err := clock.ParseWhen(f.When.s)
	b.wrapAny(f.When.at, err)
	return when, err == nil
}

func (b *builder) rotaOf(f loadFile) (clock.When, bool) {
	before := len(b.faults.list)
	if f.When.set {
		b.add(f.When.at, "stands beside rota; want one of the two")
	}
	var weeks []clock.When
	for _, t := range f.Rota {
		if !t.set || t.s == "" {
			continue // a fault that is noted already
		}
		week, err := clock.ParseWeek(t.s)
		b.wrapAny(t.at, err)
		weeks = append(weeks, week)
	}
	place := f.RotaFrom.at
	if !f.RotaFrom.set {
		b.add(place, "is missing beside rota; write a day of the week in which its first pattern stands, such as 2026-01-05")
	}
	if len(b.faults.list) > before {
		return clock.When{}, false
	}
	from, err := clock.ParseDate(f.RotaFrom.s)
	if err != nil {
		b.wrap(place, err)
		return clock.When{}, false
	}
	if from.Year != 0 && len(f.Rota) > 0 {
		place = f.Rota[0].at
	}
	rota, err := clock.Rota(from, weeks...)
	b.wrapAny(place, err)
	return rota, err == nil
}

// seasonsOf gives the days of the year on which a load may run; none are all. Days that the study does not
// have are a fault.
func (b *builder) seasonsOf(f loadFile) ([]clock.Span, bool) {
	written := f.Seasons
	before := len(b.faults.list)
	switch {
	case f.Season.set && f.Seasons != nil:
		b.add(f.Season.at, "stands beside seasons; want one of the two")
	case f.Season.set:
		written = []text{f.Season}
	case f.Seasons != nil && len(f.Seasons) == 0:
		b.add(at{line: f.At.line, col: f.At.col, key: join(f.At.key, "seasons")}, "is empty; want days such as 15 Jul..30 Sep")
	}
	var seasons []clock.Span
	for _, t := range written {
		if !t.set {
			continue
		}
		span, err := clock.ParseSpan(t.s)
		b.wrapAny(t.at, err)
		seasons = append(seasons, span)
		if a := b.c.Axis; err == nil && a.N > 0 && !span.Meets(a) {
			b.add(t.at, "%s has no day from %s to %s; want days of the study", span, a.Date(0), a.Date(a.N-1))
		}
	}
	return seasons, len(b.faults.list) == before
}

// hasHours tells whether any hours or days are written for a load.
func (f loadFile) hasHours() bool {
	return f.When.set || f.Season.set || f.Seasons != nil || f.Rota != nil || f.RotaFrom.set
}

// hoursAt is where a load's hours stand.
func (f loadFile) hoursAt() at {
	if f.When.set || len(f.Rota) == 0 {
		return f.When.at
	}
	here := f.Rota[0].at
	here.key = join(f.At.key, "rota")
	return here
}

// rotaText is a rota in one text, as `when` takes it too.
func (f loadFile) rotaText() text {
	weeks := make([]string, len(f.Rota))
	for i, t := range f.Rota {
		weeks[i] = t.s
	}
	return text{f.hoursAt(), "rota from " + f.RotaFrom.s + ": " + strings.Join(weeks, " | ")}
}
