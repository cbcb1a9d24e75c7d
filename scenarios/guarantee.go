package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"noonkeep/plant"
)

// Promise is a field's guarantee, with what of it the scenario itself says.
type Promise struct {
	plant.Guarantee
	UseC float64  // where the field's heat is used, as its pipe factor takes it
	Said []string // the keys that are written
}

// Says tells whether the scenario writes a key of the guarantee.
func (p Promise) Says(key string) bool { return slices.Contains(p.Said, key) }

// guarantee sets what is promised of a field. What is left out is an assumption only where there is a guarantee at all.
func (b *builder) guarantee(f fieldFile, field *Field) {
	p := Promise{UseC: field.AtC}
	if field.Feeds == ToStoreAlone {
		for k, s := range b.c.Stores {
			if field.ToStores[k].KWM2 != nil {
				p.UseC = s.HotC()
				break
			}
		}
	}
	w := f.Guarantee
	if w == nil || w.At.line == 0 {
		p.Guarantee = plant.UsualGuarantee(plant.FormulaFor(field.Collector))
		p.PipeFactor = field.PipeFactor(p.UseC)
		field.Promise = p
		return
	}
	formula, err := plant.ParseFormula(w.Formula.s)
	if err != nil { // left out: another word is noted already
		formula = plant.FormulaFor(field.Collector)
		b.note(w.Formula.key, formula.String(), "that which fits the collector")
	}
	p.Guarantee = plant.UsualGuarantee(formula)
	if p.PipeFactor = w.Pipes.base(); !w.Pipes.set {
		p.PipeFactor = field.PipeFactor(p.UseC)
		b.note(w.Pipes.key, fmt.Sprintf("%.4g %%", 100*p.PipeFactor), "f_P: what the pipes do not lose, by the field's own pipe loss")
	}
	p.UncertaintyFactor, p.OtherFactor, p.MostShadeFrac = w.Uncertainty.base(), w.Other.base(), w.Shade.base()
	p.LeastHours = int(w.Hours.base())
	b.guaranteeLimits(w, &p)
	for _, v := range []at{w.Formula.at, w.Pipes.at, w.Uncertainty.at, w.Other.at, w.LeastSun.at, w.Incidence.at, w.Wind.at, w.Air.at,
		w.Warming.at, w.Shade.at, w.Hours.at} {
		if v.set {
			p.Said = append(p.Said, v.key[len(w.At.key)+1:])
		}
	}
	if err := p.Check(field.Collector); err != nil {
		for text := range strings.Lines(err.Error()) {
			b.add(w.At, "%s", strings.TrimPrefix(strings.TrimSpace(text), "guarantee: "))
		}
	}
	field.Promise = p
}

// guaranteeLimits sets when an hour counts.
func (b *builder) guaranteeLimits(w *guaranteeFile, p *Promise) {
	const perMinute = 60 // a gradient's base unit is K/min
	for _, v := range []struct {
		from   amount
		to     *float64
		by, no float64
	}{
		{w.LeastSun, &p.LeastSunWM2, 1, 0},
		{w.Incidence, &p.MostIncidenceDeg, 1, plant.NoIncidenceLimit},
		{w.Wind, &p.MostWindMS, 1, math.Inf(1)},
		{w.Air, &p.LeastAirC, 1, math.Inf(-1)},
		{w.Warming, &p.MostWarmingKH, perMinute, math.Inf(1)},
	} {
		switch {
		case v.from.word == "none":
			*v.to = v.no
		case v.from.set || v.from.num != 0:
			*v.to = v.by * v.from.base()
		}
	}
	if !w.LeastSun.set {
		b.note(w.LeastSun.key, fmt.Sprintf("%g W/m2", p.LeastSunWM2), "from which an hour counts (value from memory)")
	}
	if !w.Incidence.set {
		most := "none"
		if p.MostIncidenceDeg < plant.NoIncidenceLimit {
			most = fmt.Sprintf("%g deg", p.MostIncidenceDeg)
		}
		b.note(w.Incidence.key, most, "up to which an hour counts (value from memory)")
	}
}
