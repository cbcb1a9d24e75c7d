package scenarios

import (
	"fmt"
	"math"

	"noonkeep/plant"
	"noonkeep/plant/clock"
)

// care sets what a field's years do to it: dirt, drift, days out, frost, and pipes that cool in their own time.
func (b *builder) care(f fieldFile, p *plant.Field) {
	b.dirt(f, p)
	b.drift(f, p)
	p.Out = b.spans(f.Out)
	b.pipes(f, p)
	b.freeze(f, p)
	p.IdlePumpW = 1000 * f.IdlePump.base()
}

// spans reads spans of days, and doubts those of another year.
func (b *builder) spans(texts []text) []clock.Span {
	var all []clock.Span
	for _, days := range texts {
		span, err := clock.ParseSpan(days.s)
		if err != nil {
			b.wrap(days.at, err)
			continue
		}
		all = append(all, span)
		b.otherYear(days.at, span.From, span.To)
	}
	return all
}

// dirt sets how the collectors get dirty between washings. With it, cleanliness is that of a washed collector.
func (b *builder) dirt(f fieldFile, p *plant.Field) {
	if f.Wash == nil {
		if f.Soiling.set {
			b.add(f.Soiling.at, "grows without end; write wash: {every: 14 d} or its dates too")
		}
		if f.MostSoiling.set {
			b.doubtAt(f.MostSoiling.at, "has no effect without soiling and wash")
		}
		return
	}
	w := f.Wash
	if w.At.line == 0 {
		return // no mapping, a fault that is noted already
	}
	if !f.Soiling.set {
		if !b.faulty(f.Soiling.key) {
			b.add(w.At, "washes off nothing; write soiling too, such as 0.4 %%/d")
		}
		return
	}
	if w.Every.set == (len(w.Dates) > 0) && !b.faulty(w.Every.key) {
		b.add(w.At, "needs every or dates, and one of them")
		return
	}
	if !f.Cleanliness.set && !b.faulty(f.Cleanliness.key) {
		p.Cleanliness = 1
		b.unassume(f.Cleanliness.key)
		b.note(f.Cleanliness.key, "100 %", "of a collector just washed, since soiling is written")
	}
	s := plant.Soiling{PerDay: f.Soiling.base(), MostLossFrac: f.MostSoiling.base()}
	if !f.MostSoiling.set {
		b.note(f.MostSoiling.key, fmt.Sprintf("%g %%", 100*plant.MostSoilingFrac), "the most that dirt takes (Kimber et al. 2006)")
	}
	if days := w.Every.base() / 24; w.Every.set {
		if s.EveryDays = int(math.Round(days)); math.Abs(days-float64(s.EveryDays)) > 1e-9 {
			b.add(w.Every.at, "%s is no number of whole days; write for example \"14 d\"", quoted(w.Every.String()))
		}
	}
	for _, day := range w.Dates {
		date, err := clock.ParseDate(day.s)
		if err != nil {
			b.wrap(day.at, err)
			continue
		}
		s.Dates = append(s.Dates, date)
		b.otherYear(day.at, date, date)
	}
	p.Soiling = s
}

// drift takes the availability to the year of the field's life, or to the mean over it.
func (b *builder) drift(f fieldFile, p *plant.Field) {
	if !f.Drift.set {
		if f.YearOfLife.set {
			b.doubtAt(f.YearOfLife.at, "has no effect without drift")
		}
		return
	}
	year, life := int(f.YearOfLife.base()), int(math.Round(b.c.Money.LifeH/hoursAYear))
	if year == 0 && life == 0 {
		b.add(f.Drift.at, "is of each year of the field's life; write year_of_life, or life in money for the mean over it")
		return
	}
	when := fmt.Sprintf("in year %d of its life", year)
	if year == 0 {
		when = fmt.Sprintf("mean over a life of %d years", life)
	}
	p.Availability = plant.AvailableIn(year, life, p.Availability, f.Drift.base())
	b.note(f.Drift.key, fmt.Sprintf("availability %.4g %%", 100*p.Availability), when)
}

const hoursAYear = 8760

// pipes sets the pipes; a kind's heat capacity, which has them in it, then falls to that of its a5.
func (b *builder) pipes(f fieldFile, p *plant.Field) {
	w := f.Pipes
	if w == nil || w.At.line == 0 {
		return
	}
	p.Pipes = plant.Pipes{LengthM: w.Length.base(), WaterKg: w.Water.base(), SteelKg: w.Steel.base(),
		LossWMK: w.Loss.base(), CoolingTimeH: w.Cooling.base()}
	if w.Loss.set && !w.Length.set {
		b.add(w.Loss.at, "is of each m of length; write length too")
	}
	if p.Pipes.CapacityKJK() > 0 && !w.Cooling.set && !(w.Loss.base()*w.Length.base() > 0) && !b.faulty(w.Cooling.key) {
		const usual = 12
		p.Pipes.CoolingTimeH = usual
		b.note(w.Cooling.key, fmt.Sprintf("%d h", usual), "time in which the pipes lose two thirds of their warmth (insulated; common practice, no source)")
	}
	if f.Collector.Kind.set && !f.Collector.Capacity.set && p.Collector.HeatCapacityKJM2K > 0 && p.Pipes.CapacityKJK() > 0 {
		p.Collector.HeatCapacityKJM2K = 0
		b.note(f.Collector.Capacity.key, fmt.Sprintf("%g kJ/m2K", p.Collector.A5/1000), "of the receivers alone, a5; the kind's own has pipes in it, which stand in pipes")
	}
}

// freeze sets the protection against frost.
func (b *builder) freeze(f fieldFile, p *plant.Field) {
	w := f.Freeze
	if w == nil || w.At.line == 0 {
		return
	}
	p.Freeze = plant.Freeze{On: true, BelowC: w.Below.base(), Drain: w.Drain.yes}
	if w.Drain.yes {
		for _, v := range []at{w.Keep.at, w.By.at, w.Pump.at} {
			if v.set {
				b.add(v, "is of water that stays in the field; with drain there is none")
			}
		}
		return
	}
	p.Freeze.KeepC, p.Freeze.Electric, p.Freeze.PumpW = w.Keep.base(), w.By.s == "electricity", 1000*w.Pump.base()
	if !w.Keep.set && !b.faulty(w.Keep.key) {
		p.Freeze.KeepC = 5
		b.note(w.Keep.key, "5 degC", "temperature kept in the field (common practice, no source)")
	}
	if !w.By.set {
		b.note(w.By.key, "header", "heat of the header, given back by the field's next sun")
	}
}
