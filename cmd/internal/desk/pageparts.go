package desk

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"noonkeep/cmd/internal/answer"
	"noonkeep/cmd/internal/desk/sketch"
	"noonkeep/cmd/internal/report"
	"noonkeep/plant/clock"
	"noonkeep/scenarios"
)

type planned = answer.Plan

// curvePart draws the curve with its handle, and beside it, dashed, that of the version before.
func curvePart(now snapshot, r, was solved, knobs []knob) curveView {
	a, m3 := r.curve, r.c.Store.VolumeM3
	v := curveView{Currency: a.Currency, SavingsName: "against the same plant without a store"}
	c := sketch.Curve{Currency: a.Currency, BestM3: -1}
	for _, p := range a.Points {
		c.VolumesM3 = append(c.VolumesM3, p.VolumeM3)
		c.Savings = append(c.Savings, p.SavingsVsNoStorage)
		c.Upper = append(c.Upper, p.UpperBound)
		c.Marginal = append(c.Marginal, p.MarginalSavingsPerM3)
		v.Points = append(v.Points, pointRow{sizeText(p.VolumeM3), report.Whole(p.SavingsVsNoStorage), report.Tenths(p.MarginalSavingsPerM3), report.Whole(p.UpperBound)})
	}
	first, last := c.VolumesM3[0], c.VolumesM3[len(c.VolumesM3)-1]
	c.AtM3 = min(max(m3, first), last)
	if costs := r.c.StoreYearly(); costs != nil {
		if _, one := costs(c.AtM3); one > 0 && !math.IsInf(one, 0) {
			c.CostM3 = one
		}
	}
	if pays(a) {
		if best, _ := paysUpTo(a); best > first && best <= last {
			c.BestM3 = best
		}
	}
	if len(was.curve.Points) > 1 && now.unsavedAgainst(was) {
		c.Was = &sketch.Line{Name: wasName(now)}
		for _, p := range was.curve.Points {
			c.Was.VolumesM3 = append(c.Was.VolumesM3, p.VolumeM3)
			c.Was.Savings = append(c.Was.Savings, p.SavingsVsNoStorage)
		}
	}
	narrow := c
	narrow.Narrow = true
	v.Pictures = pictures(c.SVG, narrow.SVG)
	v.Min, v.Max, v.M3 = plainNumber(first), plainNumber(last), plainNumber(c.AtM3)
	v.Step = "1"
	for _, k := range knobs {
		if volumeOf(r.c, plainKey(k.Key)) {
			v.Key, v.Step = k.Key, plainNumber(roundStepFor(k.Number, last))
		}
	}
	at, _, _ := between(a.Points, c.AtM3)
	v.AtM3 = sizeText(c.AtM3) + " m³"
	v.AtSaving = report.Sum3(at.SavingsVsNoStorage) + " " + a.Currency + " a year"
	v.ValueText = v.AtM3 + ", saves " + v.AtSaving
	if !r.fine {
		v.Rough = "a finer curve is on its way"
	}
	return v
}

func (s snapshot) unsavedAgainst(was solved) bool { return string(was.text) != string(s.text) }

func wasName(now snapshot) string {
	if now.view.against != "" {
		return now.view.against
	}
	return "as saved"
}

// anyDay is the day of a page on which none was chosen yet: the busiest of the week that begins at midsummer (of the north).
const (
	anyDay    = -1
	midsummer = 171 // 21 June, counted from 0
)

func busyDay(p planned, days int) (day int) {
	n, most := stepsPerDay(p), -1.0
	for d := min(midsummer, max(0, days-7)); d < min(midsummer+7, days); d++ {
		if sum := p.DemandKW[d*n : (d+1)*n].EnergyKWh(p.Axis.StepH()); sum > most*(1+1e-9) {
			day, most = d, sum
		}
	}
	return day
}

// dayPart draws one day of the plan.
func dayPart(now snapshot, r solved, day int) dayView {
	p, n := r.plan, stepsPerDay(r.plan)
	from := day * n
	heat, energy := now.view.units.heatFlow(r.c, -1), now.view.units.energy(r.c, -1)
	label := p.Axis.At(from).Format("Mon 2 Jan")
	v := dayView{Label: label, HeatUnit: heat.Unit, Note: heat.Why}
	part := func(kw clock.KW) []float64 {
		if len(kw) == 0 {
			return nil
		}
		return kw[from : from+n]
	}
	d := sketch.Day{StartLabel: label, StepH: p.Axis.StepH(), DemandKW: part(p.DemandKW), SunKW: part(p.SunToHeaderKW), StoreKW: part(p.StoreOutKW),
		BoilerKW: part(p.BoilerKW), UnmetKW: part(p.UnmetKW), SunToStoreKW: part(p.SunToStoreKW), SpilledKW: part(p.SpilledSunKW),
		CapacityKWh: p.CapacityKWh, HeatUnit: heat.Unit, HeatTimes: heat.Times, EnergyUnit: energy.Unit, EnergyTimes: energy.Times / 1000}
	if len(p.StoredKWh) > from+n && p.CapacityKWh > 0 {
		d.StoredKWh = p.StoredKWh[from : from+n+1]
	}
	narrow := d
	narrow.Narrow = true
	v.Pictures = pictures(d.SVG, narrow.SVG)
	num := func(list []float64, i int) string {
		if list == nil {
			return "0"
		}
		return numberText(list[i] * heat.Times)
	}
	for i := range min(n, 96) {
		row := dayRow{Time: p.Axis.At(from + i).Format("15:04"), Demand: num(d.DemandKW, i), Sun: num(d.SunKW, i), Store: num(d.StoreKW, i), Boiler: num(d.BoilerKW, i)}
		if d.StoredKWh != nil {
			row.Stored = numberText(d.StoredKWh[i]*d.EnergyTimes) + chartSpace + energy.Unit
		}
		v.Table = append(v.Table, row)
	}
	return v
}

// yearSeries are the maps of the year.
var yearSeries = []struct {
	id, name string
	tone     sketch.Tone
	of       func(answer.Plan) clock.KW
}{
	{"sun", "Sun taken", sketch.SunTone, func(p answer.Plan) clock.KW { return sumOf(p.SunToHeaderKW, p.SunToStoreKW) }},
	{"store", "Heat from the store", sketch.StoreTone, func(p answer.Plan) clock.KW { return p.StoreOutKW }},
	{"boilers", "Boilers", sketch.BoilerTone, func(p answer.Plan) clock.KW { return p.BoilerKW }},
}

func sumOf(a, b clock.KW) clock.KW {
	out := slices.Clone(a)
	for i := range b {
		out[i] += b[i]
	}
	return out
}

// wholeDays cuts a series to its whole days, and gives its most.
func wholeDays(p answer.Plan, kw clock.KW) (cut clock.KW, most float64) {
	n := stepsPerDay(p)
	cut = kw[:len(kw)/n*n]
	for _, v := range cut {
		most = math.Max(most, v)
	}
	return cut, most
}

// yearPart draws the frames of the year's maps; the maps themselves are files.
func yearPart(now snapshot, r solved) yearView {
	var v yearView
	heat, energy := now.view.units.heatFlow(r.c, -1), now.view.units.energy(r.c, -1)
	h := r.plan.Axis.StepH()
	for _, y := range yearSeries {
		kw := y.of(r.plan)
		cut, most := wholeDays(r.plan, kw)
		if most <= 1e-6 {
			v.Note = addSentence(v.Note, y.name+": none in this year.")
			continue
		}
		sum := energy.Text(clock.KW(cut).EnergyKWh(h) / 1000)
		f := sketch.YearFrame{ID: "year-" + y.id, Title: y.name + ": " + sum + " in the year", Name: y.name, Note: sum + " a year", Year: r.plan.Axis.Start.Year(),
			Href: fmt.Sprintf("/sheet/%s/year/%s.png?rev=%d", now.id, y.id, now.rev), MostKW: most, HeatUnit: heat.Unit, HeatTimes: heat.Times, Tone: y.tone}
		narrow := f
		narrow.Narrow = true
		v.Pictures = append(v.Pictures, pictures(f.SVG, narrow.SVG)...)
	}
	return v
}

func addSentence(to, sentence string) string {
	if to == "" {
		return sentence
	}
	return to + " " + sentence
}

// writeYearPNG writes one of the maps.
func writeYearPNG(w io.Writer, p answer.Plan, id string) error {
	for _, y := range yearSeries {
		if y.id == id {
			cut, most := wholeDays(p, y.of(p))
			return sketch.YearPNG(w, stepsPerDay(p), cut, most, y.tone)
		}
	}
	return fmt.Errorf("there is no map called %q", id)
}

var weekdays = []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun", "holidays"}

// weekParts are the grids of all loads.
func weekParts(now snapshot, c scenarios.Case, weeks []loadWeek, beside map[string][]string) weeksView {
	perDay := now.view.perDay
	v := weeksView{Slot: fmt.Sprintf("%d min", 24*60/perDay)}
	for _, n := range finerGrids {
		v.Fine = append(v.Fine, unitLink{fmt.Sprintf("%d min", 24*60/n), queryWith(now.view, func(w *view) { w.perDay = n }), n == perDay})
	}
	for h := 0; h < 24; h += 3 {
		v.Hours = append(v.Hours, hourHead{fmt.Sprintf("%02d", h), 3 * perDay / 24})
	}
	heat := now.view.units
	for i, w := range weeks {
		scale := heat.heatFlow(c, c.Loads[i].Header)
		wv := weekView{Load: w.Load, Header: w.Header, Slug: slug("week " + w.Load), Key: w.Key, When: w.When, Value: w.When, PerDay: perDay, Paintable: w.Paintable,
			Why: w.Why, Hours: numberText(w.HoursPerWeek) + " h a week", Most: scale.Text(w.MostKW), Faults: beside[w.Key]}
		if text, there := now.typed[w.Key]; there && w.Key != "" {
			wv.Value = text
		}
		if w.FinerPerDay > 0 {
			wv.Why = addSentence(wv.Why, fmt.Sprintf("Slots of %d min would show them.", 24*60/w.FinerPerDay))
		}
		wv.Days = daysOf(w)
		v.Loads = append(v.Loads, wv)
	}
	return v
}

func daysOf(w loadWeek) []weekDay {
	var days []weekDay
	for d := range 7 {
		day := weekDay{Name: weekdays[d], Day: d}
		for s := range w.PerDay {
			cell := weekCell{Slot: s}
			at := time.Date(2000, 1, 1, 0, s*24*60/w.PerDay, 0, 0, time.UTC).Format("15:04")
			if w.Paintable {
				cell.On = w.Week.Days[d][s]
				cell.Label = weekdays[d] + " " + at
			} else {
				if w.MostKW > 0 && s < len(w.KW[d]) {
					cell.Heat = int(math.Round(9 * w.KW[d][s] / w.MostKW))
				}
				cell.On = cell.Heat > 0
				cell.Label = fmt.Sprintf("%s %s, %d %% of the most", weekdays[d], at, int(math.Round(100*float64(cell.Heat)/9)))
			}
			day.Cells = append(day.Cells, cell)
		}
		days = append(days, day)
	}
	if w.Paintable {
		holidays := w.Week.Holidays
		if holidays == nil { // without hours of their own nothing runs on them
			holidays = make([]bool, w.PerDay)
		}
		day := weekDay{Name: weekdays[7], Day: 7}
		for s := range w.PerDay {
			at := time.Date(2000, 1, 1, 0, s*24*60/w.PerDay, 0, 0, time.UTC).Format("15:04")
			day.Cells = append(day.Cells, weekCell{Slot: s, On: holidays[s], Label: "holidays " + at})
		}
		days = append(days, day)
	}
	return days
}
