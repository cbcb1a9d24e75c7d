package scenarios

import (
	"errors"
	"strings"

	"noonkeep/demand"
	"noonkeep/plant/clock"
)

// sharper is how much a batch's own peak may stand over the load's highest step before that is said; common practice,
// no source.
const sharper = 1.25

// batchLoad is heat for batches, by heat balances and a timetable.
func (b *builder) batchLoad(f loadFile, load *Consumer) profile {
	table, ok := b.timetable(f, load)
	if !ok || b.faultyUnder(f.Batch.At.key) || !b.c.Headers[load.Header].known() {
		return nil
	}
	batch, ok := b.batch(f.Batch, b.c.Headers[load.Header])
	if !ok {
		return nil
	}
	cycle, err := batch.Run()
	if err != nil {
		b.wrapBatch(f, err)
		return nil
	}
	begins, err := table.Begins(b.c.Axis, b.c.Calendar, cycle.H)
	if err != nil {
		b.wrapBatch(f, err)
		return nil
	}
	year := cycle.Over(b.c.Axis, begins)
	switch {
	case year.Batches == 0:
		b.add(f.Batch.At, "has no batch in the year; want hours that hold one of %s", shortTime(cycle.H))
		return nil
	case len(year.Parts) == 0:
		b.add(f.Batch.At, "takes no heat: its baths are filled as hot as they are wanted, and lose nothing; want a higher to, or a loss")
		return nil
	}
	if peak, _ := year.KW.Peak(); cycle.PeakKW > sharper*peak {
		b.doubtAt(f.Batch.At, "a batch takes %.4g kW for a while, and by the step of %s the load's peak is %.4g kW; a finer time.step shows more of it",
			cycle.PeakKW, shortTime(b.c.Axis.StepH()), peak)
	}
	load.Says = batchSays(table, load.Says, cycle, year) + b.staggerSays(table, cycle, year)
	year.Parts[0].Text = batchText(cycle, year)
	return func() (clock.KW, []demand.Part, error) { return year.KW, year.Parts, nil }
}

// faultyUnder tells whether a fault is noted anywhere under a key.
func (b *builder) faultyUnder(key string) bool {
	for _, e := range b.faults.list {
		if e.Key == key || strings.HasPrefix(e.Key, key+".") {
			return true
		}
	}
	return false
}

// timetable reads when batches begin; false for a fault.
func (b *builder) timetable(f loadFile, load *Consumer) (demand.Timetable, bool) {
	x := f.Batch
	ok := b.hoursOf(f, load)
	t := demand.Timetable{Every: hours(x.Every.base()), When: load.When, Seasons: load.Seasons, Machines: int(x.Machines.base()), Stagger: hours(x.Stagger.base())}
	switch {
	case x.Starts.set && x.Every.set:
		b.add(x.Every.at, "stands beside starts; want one of the two")
		return t, false
	case !x.Starts.set && !x.Every.set:
		if !b.faulty(x.Starts.key) && !b.faulty(x.Every.key) {
			b.add(x.At, `does not say when batches begin; write for example "starts: Mon-Fri 06:00, 10:30" or "every: 4 h"`)
		}
		return t, false
	case x.Every.set:
		return t, ok
	}
	for _, hours := range []at{f.When.at, firstOf(f.Rota)} {
		if hours.set {
			b.add(hours, "stands beside batch.starts, which says when; want one of the two")
			ok = false
		}
	}
	b.unassume(f.When.key)
	var err error
	if t.Starts, err = demand.ParseStarts(x.Starts.s); err != nil {
		b.wrap(x.Starts.at, err)
		ok = false
	}
	load.When, load.Says = clock.When{}, "begun "+t.Starts.String()
	if len(load.Seasons) > 0 {
		var days []string
		for _, season := range load.Seasons {
			days = append(days, season.String())
		}
		load.Says += ", in " + andList(days)
	}
	return t, ok
}

// firstOf is where a list begins.
func firstOf(list []text) at {
	if len(list) == 0 {
		return at{}
	}
	return list[0].at
}

// wrapBatch notes what is wrong with a batch, each fault where it stands.
func (b *builder) wrapBatch(f loadFile, err error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range many.Unwrap() {
			b.wrapBatch(f, one)
		}
		return
	}
	var fault *demand.BatchFault
	if !errors.As(err, &fault) {
		b.wrapLoad(f, err)
		return
	}
	b.add(f.Batch.place(fault), "%s", fault.Text).Err = err
}

// place is where a fault of a batch stands in the file.
func (f *batchFile) place(e *demand.BatchFault) at {
	keys := map[string]at{"mass": f.Mass.at, "goods": f.Goods.at, "loss": f.Loss.at, "heat_up": f.HeatUp.At, "from": f.From.at, "to": f.To.at, "hold": f.Hold.at,
		"boil_off": f.BoilOff.at, "starts": f.Starts.at, "every": f.Every.at, "machines": f.Machines.at, "stagger": f.Stagger.at}
	if f.Machine != nil {
		keys["machine"] = f.Machine.At
	}
	if e.Key == "gradient" {
		return f.HeatUp.Gradient.at
	}
	if n := e.Stage; n > 0 && n <= len(f.Stages) {
		s := f.Stages[n-1]
		keys = map[string]at{"from": s.From.at, "to": s.To.at, "hold": s.Hold.at, "wait": s.Wait.at, "gradient": s.Gradient.at, "boil_off": s.BoilOff.at}
	}
	if p, ok := keys[e.Key]; ok {
		return p
	}
	return f.At
}
